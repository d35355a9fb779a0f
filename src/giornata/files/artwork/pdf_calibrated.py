"""Colours with a white point or a profile of their own to sRGB (ISO 32000-1, section 8.6.5)."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike

__all__ = ["by_profile", "cal_grey", "cal_rgb", "lab"]

Screen = tuple[float, float, float]

# Linear adaptation of white points: Lam's Bradford matrix as in ICC.1:2022, annex E.
_BRADFORD = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)
_MODES = {1: "L", 3: "RGB", 4: "CMYK"}


def _screen(xyz: ArrayLike, white: ArrayLike) -> Screen:
    """sRGB, 0 to 1 and cut off there, of tristimulus values seen under a white."""
    from giornata.core.colour import D65_XYZ, linear_from_xyz, srgb_from_linear

    share = (_BRADFORD @ np.asarray(D65_XYZ)) / (_BRADFORD @ np.asarray(white))
    adapted = np.linalg.solve(_BRADFORD, share * (_BRADFORD @ np.asarray(xyz)))
    red, green, blue = srgb_from_linear(np.clip(linear_from_xyz(adapted), 0.0, 1.0)).tolist()
    return red, green, blue


def cal_grey(value: float, gamma: float) -> Screen:
    """A CalGray colour; grey is grey under every white. [-]"""
    from giornata.core.colour import srgb_from_linear

    light = np.clip(value, 0.0, 1.0) ** gamma
    red, green, blue = srgb_from_linear((light, light, light)).tolist()
    return red, green, blue


def cal_rgb(
    values: tuple[float, ...],
    white: tuple[float, ...],
    gamma: tuple[float, ...],
    matrix: tuple[float, ...],
) -> Screen:
    """A CalRGB colour; the matrix is X, Y, Z of each primary in turn. [-]"""
    linear = np.clip(values[:3], 0.0, 1.0) ** np.array(gamma)
    return _screen(linear @ np.array(matrix).reshape(3, 3), white)


def lab(values: tuple[float, ...], white: tuple[float, ...]) -> Screen:
    """A CIE 1976 L*a*b* colour. [-]"""
    from giornata.core.colour import xyz_from_lab

    return _screen(xyz_from_lab(values[:3], white), white)


@lru_cache(maxsize=256)
def by_profile(values: tuple[float, ...], profile: bytes) -> Screen | None:
    """A colour by an ICC profile of so many channels, to a level of 255; None where it is unfit."""
    from giornata.files.artwork.raster_colour import srgb

    levels = np.clip(np.round(255.0 * np.array([values])), 0, 255).astype(np.uint8)
    found, said = srgb(levels, _MODES[len(values)], profile, name="profile")
    if any(finding.code == "artwork.colour_profile" for finding in said):
        return None
    red, green, blue = (found[0] / 255.0).tolist()
    return red, green, blue
