"""CIELAB under D65, and colour differences in it.

References
----------
CIE 15:2004, eqs 8.3 to 8.8 (L*, a*, b*), eq. 8.21 (CIE 1976 difference), from memory.
Sharma, Wu and Dalal 2005, The CIEDE2000 color-difference formula: implementation notes,
supplementary test data, and mathematical observations, Color Research and Application 30(1),
21-30, doi 10.1002/col.20070, eqs 2 to 22.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.colour.srgb import D65_XYZ, xyz_from_srgb
from giornata.core.foundation import Floats

__all__ = ["ciede2000", "difference_1976", "lab_from_srgb", "lab_from_xyz", "xyz_from_lab"]

_DELTA = 6.0 / 29.0
_POW7_25 = 25.0**7


def lab_from_xyz(xyz: ArrayLike, white: ArrayLike = D65_XYZ) -> Floats:
    """CIELAB L*, a*, b* of XYZ, shape ``(..., 3)``. [-]

    Parameters
    ----------
    xyz : array_like
        XYZ with Y = 1 for white. [-]
    white : array_like
        XYZ of the white, shape ``(3,)``; D65 unless given. [-]
    """
    t = np.asarray(xyz, dtype=np.float64) / np.asarray(white, dtype=np.float64)
    f = np.where(t > _DELTA**3, np.cbrt(t), t / (3 * _DELTA**2) + 4.0 / 29.0)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)], axis=-1)


def xyz_from_lab(lab: ArrayLike, white: ArrayLike = D65_XYZ) -> Floats:
    """XYZ of CIELAB, shape ``(..., 3)``; the inverse of `lab_from_xyz`. [-]

    Parameters
    ----------
    lab : array_like
        L*, a*, b*. [-]
    white : array_like
        XYZ of the white, shape ``(3,)``; D65 unless given. [-]
    """
    lightness, a, b = np.moveaxis(np.asarray(lab, dtype=np.float64), -1, 0)
    y = (lightness + 16.0) / 116.0
    f = np.stack([y + a / 500.0, y, y - b / 200.0], axis=-1)
    t = np.where(f > _DELTA, f**3, 3 * _DELTA**2 * (f - 4.0 / 29.0))
    return t * np.asarray(white, dtype=np.float64)


def lab_from_srgb(srgb: ArrayLike) -> Floats:
    """CIELAB under D65 of encoded sRGB, shape ``(..., 3)``. [-]"""
    return lab_from_xyz(xyz_from_srgb(srgb))


def difference_1976(lab_1: ArrayLike, lab_2: ArrayLike) -> Floats:
    """CIE 1976 colour difference: distance in CIELAB, shape ``(...)``. [-]"""
    apart = np.asarray(lab_1, dtype=np.float64) - np.asarray(lab_2, dtype=np.float64)
    return np.asarray(np.sqrt((apart**2).sum(axis=-1)))


def ciede2000(lab_1: ArrayLike, lab_2: ArrayLike) -> Floats:
    """CIEDE2000 colour difference with unit factors kL = kC = kH = 1, shape ``(...)``. [-]

    Parameters
    ----------
    lab_1, lab_2 : array_like
        L*, a*, b*, shape ``(..., 3)``. [-]

    Notes
    -----
    Where the two hues lie exactly opposite the formula jumps; one rounding bit decides which of
    two values comes out (row 14 of the published test data).

    Examples
    --------
    >>> float(ciede2000((50.0, 2.6772, -79.7751), (50.0, 0.0, -82.7485)).round(4))
    2.0425
    """
    l1, a1, b1 = np.moveaxis(np.asarray(lab_1, dtype=np.float64), -1, 0)
    l2, a2, b2 = np.moveaxis(np.asarray(lab_2, dtype=np.float64), -1, 0)
    mean_c7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2) ** 7
    stretch = 1.5 - 0.5 * np.sqrt(mean_c7 / (mean_c7 + _POW7_25))
    c1, c2 = np.hypot(stretch * a1, b1), np.hypot(stretch * a2, b2)
    h1 = np.degrees(np.arctan2(b1, stretch * a1)) % 360.0
    h2 = np.degrees(np.arctan2(b2, stretch * a2)) % 360.0

    grey = c1 * c2 == 0.0
    turn = h2 - h1
    turn = np.where(turn > 180.0, turn - 360.0, np.where(turn < -180.0, turn + 360.0, turn))
    d_hue = 2.0 * np.sqrt(c1 * c2) * np.sin(np.radians(np.where(grey, 0.0, turn)) / 2.0)

    total = h1 + h2
    wrapped = np.where(total < 360.0, total + 360.0, total - 360.0)
    mean_h = np.where(np.abs(h1 - h2) > 180.0, wrapped, total) / 2.0
    mean_h = np.where(grey, total, mean_h)
    mean_l, mean_c = (l1 + l2) / 2.0, (c1 + c2) / 2.0

    def cosine(degrees: Floats) -> Floats:
        return np.asarray(np.cos(np.radians(degrees)))

    t = (
        1.0
        - 0.17 * cosine(mean_h - 30.0)
        + 0.24 * cosine(2.0 * mean_h)
        + 0.32 * cosine(3.0 * mean_h + 6.0)
        - 0.20 * cosine(4.0 * mean_h - 63.0)
    )
    away = (mean_l - 50.0) ** 2
    s_l = 1.0 + 0.015 * away / np.sqrt(20.0 + away)
    s_c = 1.0 + 0.045 * mean_c
    s_h = 1.0 + 0.015 * mean_c * t
    turning = np.radians(60.0 * np.exp(-(((mean_h - 275.0) / 25.0) ** 2)))
    rotation = -2.0 * np.sqrt(mean_c**7 / (mean_c**7 + _POW7_25)) * np.sin(turning)
    lightness, chroma, hue = (l2 - l1) / s_l, (c2 - c1) / s_c, d_hue / s_h
    return np.asarray(np.sqrt(lightness**2 + chroma**2 + hue**2 + rotation * chroma * hue))
