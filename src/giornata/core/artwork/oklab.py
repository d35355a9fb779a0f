"""Oklab: a plain measure of how near two sRGB colours look, for suggestions only."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from giornata.core.foundation import Floats

__all__ = ["levels_of", "nearest_colour", "oklab"]

_CONE_FROM_LINEAR = np.array(
    [
        [0.4122214708, 0.5363325363, 0.0514459929],
        [0.2119034982, 0.6806995451, 0.1073969566],
        [0.0883024619, 0.2817188376, 0.6299787005],
    ]
)
_LAB_FROM_CONE = np.array(
    [
        [0.2104542553, 0.7936177850, -0.0040720468],
        [1.9779984951, -2.4285922050, 0.4505937099],
        [0.0259040371, 0.7827717662, -0.8086757660],
    ]
)


def levels_of(colours: Sequence[str]) -> Floats:
    """Levels 0 to 255 of ``#rrggbb`` colours, shape (n, 3). [-]"""
    values = [[int(colour[at : at + 2], 16) for at in (1, 3, 5)] for colour in colours]
    return np.array(values, dtype=np.float64).reshape(-1, 3)


def oklab(levels: Floats) -> Floats:
    """Oklab lightness, a and b of sRGB levels 0 to 255, shape (n, 3). [-]

    Parameters
    ----------
    levels : ndarray, shape (n, 3)
        Red, green and blue, 0 to 255. [-]

    References
    ----------
    B. Ottosson, A perceptual color space for image processing, 2020 (the matrices).
    IEC 61966-2-1:1999, the sRGB transfer function.

    Examples
    --------
    >>> [round(float(v), 3) + 0.0 for v in oklab(levels_of(["#ffffff"]))[0]]
    [1.0, 0.0, 0.0]
    """
    signal = np.asarray(levels, dtype=np.float64) / 255
    linear = np.where(signal <= 0.04045, signal / 12.92, ((signal + 0.055) / 1.055) ** 2.4)
    return np.asarray(np.cbrt(linear @ _CONE_FROM_LINEAR.T) @ _LAB_FROM_CONE.T)


def nearest_colour(colour: str, among: Sequence[str]) -> str:
    """The colour that looks nearest; the first of equals.

    Raises
    ------
    ValueError
        If there is none to choose from.
    """
    if not among:
        raise ValueError("there is no colour to choose from")
    off = oklab(levels_of(among)) - oklab(levels_of([colour]))
    return among[int(np.argmin(np.einsum("ij,ij->i", off, off)))]
