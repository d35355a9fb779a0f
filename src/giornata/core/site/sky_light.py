"""Light of the sky and of the moon, on level ground and on an upright wall."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import brentq

from giornata.core.foundation import Assumption, Floats

__all__ = ["SKY_ON_WALL", "moonlight", "moonlight_on_wall", "skylight", "sun_depth"]

SKY_ON_WALL = Assumption(
    name="light of the sky on an upright wall over that on level ground",
    value=1.0,
    unit="-",
    source="no published source: an even sky gives an upright wall half, the glow of sunset more "
    "to a wall that faces it",
    usual=(0.5, 1.5),
)

# Least altitude [deg], and coefficients of log10 of the light in altitude over 90 degrees.
_SUN = (
    (-18.0, (13.84, 262.72, 1447.42, 2797.93)),
    (-12.0, (2.70, 12.17, -431.69, -1899.83)),
    (-5.0, (2.88, 21.81, -258.11, -858.36)),
    (-0.8, (2.88, 22.26, -207.64, 1034.30)),
    (5.0, (3.05, 13.28, -45.98, 64.33)),
    (20.0, (3.74, 3.97, -4.07, 1.47)),
)
_MOON = (
    (-0.8, (-2.79, 24.27, -252.95, 1321.29)),
    (5.0, (-2.58, 12.58, -42.58, 59.06)),
    (20.0, (-1.95, 4.06, -4.24, 1.56)),
)


def skylight(altitude: ArrayLike) -> Floats:
    """Light of sun and sky on level ground under a clear sky; shape of the altitude. [lx]

    Parameters
    ----------
    altitude : array_like
        Of the sun's centre without refraction. [rad]

    Notes
    -----
    Below 18 degrees under the horizon the light there is kept, 0.0006 lx: the sky never gets
    darker. Near the horizon published values differ by a factor of two.

    References
    ----------
    Seidelmann P. K., ed. (1992), Explanatory Supplement to the Astronomical Almanac, section 9.3,
    after Janiczek P. M. and DeYoung J. A. (1987), US Naval Observatory Circular 171.

    Examples
    --------
    >>> round(float(skylight(np.radians(-6.0))), 2)
    3.41
    """
    return _light(np.clip(altitude, np.radians(-18.0), np.pi / 2), _SUN)


def moonlight(altitude: ArrayLike, phase_angle: ArrayLike, distance: ArrayLike = 1.0) -> Floats:
    """Light of the moon on level ground under a clear sky. [lx]

    Parameters
    ----------
    altitude : array_like
        Of its centre; it gives none from 0.8 degrees under the horizon down. [rad]
    phase_angle : array_like
        0 at full moon, π at new moon. [rad]
    distance : array_like
        Over its mean. [-]

    References
    ----------
    As `skylight`.

    Examples
    --------
    >>> round(float(moonlight(np.radians(30.0), 0.0)), 3)
    0.098
    """
    up = np.asarray(altitude, dtype=np.float64)
    degrees = np.degrees(np.asarray(phase_angle, dtype=np.float64))
    full = _light(np.clip(up, np.radians(-0.8), np.pi / 2), _MOON)
    share = 10.0 ** (-8.68e-3 * degrees - 2.2e-9 * degrees**4)
    return np.asarray(np.where(up > np.radians(-0.8), full * share, 0.0) / np.square(distance))


def moonlight_on_wall(
    level: ArrayLike, altitude: ArrayLike, azimuth: ArrayLike, facing: float | None
) -> Floats:
    """Direct light of the moon on an upright wall. [lx]

    Parameters
    ----------
    level : array_like
        Its light on level ground. [lx]
    altitude, azimuth : array_like
        Of the moon. [rad]
    facing : float or None
        Direction the face looks, from true north by east; None reckons as if it looked at the
        moon. [rad]

    Notes
    -----
    The beam's light is that on level ground over the sine of the altitude, here never below 2
    degrees: lower down the haze decides.
    """
    up = np.maximum(np.asarray(altitude, dtype=np.float64), np.radians(2.0))
    towards = 1.0 if facing is None else np.maximum(np.cos(np.asarray(azimuth) - facing), 0.0)
    return np.asarray(np.asarray(level) / np.sin(up) * np.cos(up) * towards)


def sun_depth(light: float) -> float:
    """Altitude of the sun at which the sky gives a light on level ground. [rad]

    Parameters
    ----------
    light : float
        Between 0.0007 and 400 lx; beyond, the altitude of that end. [lx]

    Examples
    --------
    >>> round(float(np.degrees(sun_depth(3.41))), 1)
    -6.0
    """
    low, high = np.radians(-18.0), np.radians(-0.8)
    ends = skylight([low, high])
    if not ends[0] < light < ends[1]:
        return float(low if light <= ends[0] else high)
    wanted = np.log10(light)
    return float(brentq(lambda one: float(np.log10(skylight(one))) - wanted, low, high, xtol=1e-7))


def _light(altitude: ArrayLike, pieces: tuple[tuple[float, tuple[float, ...]], ...]) -> Floats:
    degrees = np.degrees(np.asarray(altitude, dtype=np.float64))
    x = degrees / 90.0
    floors = np.array([floor for floor, _ in pieces])
    factors = np.array([row for _, row in pieces])
    which = np.clip(np.searchsorted(floors, degrees + 1e-9, side="right") - 1, 0, len(pieces) - 1)
    row = factors[which]
    power = row[..., 0] + x * (row[..., 1] + x * (row[..., 2] + x * row[..., 3]))
    return np.asarray(10.0**power)
