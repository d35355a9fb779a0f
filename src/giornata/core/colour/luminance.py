"""Luminance and what follows from it: contrast ratio, light reflectance, contrast in points.

References
----------
W3C 2023, Web Content Accessibility Guidelines 2.2, definitions of relative luminance and
contrast ratio.
BS 8493:2008, light reflectance value (LRV): 100 times the luminance factor Y under D65, as
reported on public pages; the standard itself was not read.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.colour.srgb import linear_from_srgb
from giornata.core.foundation import Assumption, Floats

__all__ = [
    "FIGURE_POINTS", "LARGE_AREA_POINTS", "ReflectanceContrast", "contrast_ratio",
    "light_reflectance", "reflectance_contrast", "relative_luminance",
]  # fmt: skip

FIGURE_POINTS = Assumption(
    name="least light reflectance difference, figure on ground",
    value=30.0,
    unit="-",
    source="five public pages on BS 8300 and BS 8493: 30 points are good",
    usual=(20.0, 40.0),
)
LARGE_AREA_POINTS = Assumption(
    name="least light reflectance difference, large areas that touch",
    value=20.0,
    unit="-",
    source="five public pages on BS 8300 and BS 8493: 20 points may do for large areas",
    usual=(20.0, 30.0),
)

# Luminance of the sRGB primaries as the W3C definition rounds them.
_LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
_SLACK = 1e-9  # rounding of binary fractions, far below any reading of a colour


def relative_luminance(srgb: ArrayLike) -> Floats:
    """Luminance of encoded sRGB relative to white, shape ``(...)``; 0 to 1. [-]

    Parameters
    ----------
    srgb : array_like
        Encoded sRGB, shape ``(..., 3)``, 0 to 1. [-]
    """
    return np.asarray(linear_from_srgb(srgb) @ _LUMINANCE)


def contrast_ratio(srgb_1: ArrayLike, srgb_2: ArrayLike) -> Floats:
    """Contrast ratio of two encoded sRGB colours, shape ``(...)``; 1 to 21. [-]

    Notes
    -----
    (L1 + 0.05) / (L2 + 0.05), the lighter colour above. Never round it up to meet a limit.

    Examples
    --------
    >>> round(float(contrast_ratio((1, 1, 1), (0, 0, 0))), 2)
    21.0
    """
    one, two = relative_luminance(srgb_1), relative_luminance(srgb_2)
    return np.asarray((np.maximum(one, two) + 0.05) / (np.minimum(one, two) + 0.05))


def light_reflectance(srgb: ArrayLike) -> Floats:
    """Light reflectance value of encoded sRGB, shape ``(...)``; 0 to 100 points. [-]

    Parameters
    ----------
    srgb : array_like
        Encoded sRGB, shape ``(..., 3)``, 0 to 1. [-]

    Notes
    -----
    An estimate from the colour on the screen. The paint maker's printed value, or a reading of
    the dry brush-out, goes before it.
    """
    return 100.0 * relative_luminance(srgb)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReflectanceContrast:
    """Contrast of two paints in points of light reflectance value.

    Parameters
    ----------
    lighter, darker : float
        Light reflectance values. [-]
    difference : float
        Points between the two. [-]
    limit : float
        Least points asked for. [-]
    passes : bool
        Whether the difference reaches the limit.
    darker_needed : float or None
        What the darker must drop to if the lighter stays; None where that is below 0. [-]
    lighter_needed : float or None
        What the lighter must rise to if the darker stays; None where that is above 100. [-]
    """

    lighter: float
    darker: float
    difference: float
    limit: float
    passes: bool
    darker_needed: float | None
    lighter_needed: float | None


def reflectance_contrast(
    lrv_1: float, lrv_2: float, limit: float = FIGURE_POINTS.value
) -> ReflectanceContrast:
    """Contrast of two light reflectance values against a limit in points.

    Parameters
    ----------
    lrv_1, lrv_2 : float
        Light reflectance values, 0 to 100. [-]
    limit : float
        Least difference, above 0 to 100. [-]

    Raises
    ------
    ValueError
        If a value is outside its range.

    Examples
    --------
    >>> contrast = reflectance_contrast(34, 21)
    >>> contrast.passes, contrast.darker_needed, contrast.lighter_needed
    (False, 4.0, 51.0)
    """
    if not (0 <= lrv_1 <= 100 and 0 <= lrv_2 <= 100):
        raise ValueError("a light reflectance value lies between 0 and 100")
    if not 0 < limit <= 100:
        raise ValueError("a limit in points is above 0 and at most 100")
    lighter, darker = float(max(lrv_1, lrv_2)), float(min(lrv_1, lrv_2))
    drop, rise = lighter - limit, darker + limit
    passes = lighter - darker >= limit - _SLACK
    return ReflectanceContrast(
        lighter=lighter,
        darker=darker,
        difference=lighter - darker,
        limit=float(limit),
        passes=passes,
        darker_needed=drop if drop >= 0 else None,
        lighter_needed=rise if rise <= 100 else None,
    )
