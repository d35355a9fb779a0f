"""sRGB: hexadecimal text, decoding to linear light, and the way to CIE XYZ.

Colours are arrays ``(..., 3)``; encoded and linear sRGB run from 0 to 1, XYZ has Y = 1 for white.

References
----------
IEC 61966-2-1:1999: primaries, white point D65 and transfer function (as quoted by W3C; the
standard itself was not read).
"""

from __future__ import annotations

import re

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.foundation import Floats, readonly

__all__ = [
    "D65_XYZ", "LINEAR_FROM_XYZ", "XYZ_FROM_LINEAR", "hex_from_srgb", "linear_from_srgb",
    "linear_from_xyz", "srgb_from_hex", "srgb_from_linear", "xyz_from_linear", "xyz_from_srgb",
]  # fmt: skip

# Chromaticities x, y of the red, green and blue primaries and of D65 (IEC 61966-2-1).
_PRIMARIES = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))
_WHITE = (0.3127, 0.3290)

_HEX = re.compile(r"#(?:[0-9a-fA-F]{3}|[0-9a-fA-F]{6})")


def _xyz_of(chromaticity: tuple[float, float]) -> list[float]:
    x, y = chromaticity
    return [x / y, 1.0, (1.0 - x - y) / y]


def _matrix() -> Floats:
    primaries = np.array([_xyz_of(p) for p in _PRIMARIES]).T
    scale = np.linalg.solve(primaries, np.array(_xyz_of(_WHITE)))
    return readonly(primaries * scale)


D65_XYZ = readonly(_xyz_of(_WHITE))
XYZ_FROM_LINEAR = _matrix()
LINEAR_FROM_XYZ = readonly(np.linalg.inv(XYZ_FROM_LINEAR))


def srgb_from_hex(text: str) -> Floats:
    """Encoded sRGB of ``#rgb`` or ``#rrggbb``, shape ``(3,)``, 0 to 1. [-]

    Raises
    ------
    ValueError
        If the text is not of that form.

    Examples
    --------
    >>> [round(float(c), 4) for c in srgb_from_hex("#3366cc")]
    [0.2, 0.4, 0.8]
    """
    if not _HEX.fullmatch(text):
        raise ValueError(f"{text!r} is not a colour of the form #rgb or #rrggbb")
    digits = text[1:]
    if len(digits) == 3:
        digits = "".join(2 * digit for digit in digits)
    return readonly([int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)])


def hex_from_srgb(srgb: ArrayLike) -> str:
    """``#rrggbb`` of one encoded sRGB colour, shape ``(3,)``; values outside 0 to 1 are clipped.

    Raises
    ------
    ValueError
        If the colour is not three finite numbers.

    Examples
    --------
    >>> hex_from_srgb((0.2, 0.4, 0.8))
    '#3366cc'
    """
    colour = _colours(srgb)
    if colour.shape != (3,) or not np.isfinite(colour).all():
        raise ValueError("one colour is three finite numbers")
    steps = np.floor(np.clip(colour, 0.0, 1.0) * 255 + 0.5).astype(int)
    return "#" + "".join(f"{step:02x}" for step in steps)


def linear_from_srgb(srgb: ArrayLike) -> Floats:
    """Linear light of encoded sRGB, shape ``(..., 3)``; 0 to 1. [-]

    Parameters
    ----------
    srgb : array_like
        Encoded sRGB, 0 to 1; negative values are decoded by symmetry. [-]

    References
    ----------
    IEC 61966-2-1:1999, decoding: c/12.92 up to 0.04045, ((c + 0.055)/1.055)^2.4 above.
    """
    colour = _colours(srgb)
    size = np.abs(colour)
    return np.sign(colour) * np.where(
        size <= 0.04045, size / 12.92, ((size + 0.055) / 1.055) ** 2.4
    )


def srgb_from_linear(linear: ArrayLike) -> Floats:
    """Encoded sRGB of linear light, shape ``(..., 3)``; the inverse of `linear_from_srgb`. [-]

    Parameters
    ----------
    linear : array_like
        Linear light, 0 to 1; negative values are encoded by symmetry. [-]
    """
    colour = _colours(linear)
    size = np.abs(colour)
    return np.sign(colour) * np.where(
        size <= 0.04045 / 12.92, 12.92 * size, 1.055 * size ** (1 / 2.4) - 0.055
    )


def xyz_from_linear(linear: ArrayLike) -> Floats:
    """CIE 1931 XYZ of linear sRGB, shape ``(..., 3)``; white has Y = 1. [-]"""
    return _colours(linear) @ XYZ_FROM_LINEAR.T


def linear_from_xyz(xyz: ArrayLike) -> Floats:
    """Linear sRGB of CIE 1931 XYZ, shape ``(..., 3)``; not clipped. [-]"""
    return _colours(xyz) @ LINEAR_FROM_XYZ.T


def xyz_from_srgb(srgb: ArrayLike) -> Floats:
    """CIE 1931 XYZ of encoded sRGB, shape ``(..., 3)``; white has Y = 1. [-]"""
    return xyz_from_linear(linear_from_srgb(srgb))


def _colours(values: ArrayLike) -> Floats:
    array = np.asarray(values, dtype=np.float64)
    if array.shape[-1:] != (3,):
        raise ValueError(f"colours have shape (..., 3), got {array.shape}")
    return array
