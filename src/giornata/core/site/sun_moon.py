"""Sun and moon over a place: altitude, azimuth, and how much of the moon is lit."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.foundation import Assumption, Floats

__all__ = ["DELTA_T", "MoonSeen", "julian_day", "moment", "moon_seen", "sun_seen"]

DELTA_T = Assumption(
    name="terrestrial time less universal time",
    value=69.0,
    unit="s",
    source="International Earth Rotation Service: 69.2 to 69.4 s from 2019 to 2025; a minute "
    "moves the moon by 0.01 degrees",
    usual=(60.0, 75.0),
)

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_EPOCH_DAY = 2440587.5
_DAY = 86400.0
_MEAN_DISTANCE = 385000.56  # km, Meeus (47)
_EARTH = 6378.14  # km
_SUN_DISTANCE = 149597870.7  # km

# Meeus (1998), table 47.A: multiples of D, M, M', F; longitude [1e-6 deg], distance [1e-3 km].
_LONGITUDE = np.array([
    (0, 0, 1, 0, 6288774, -20905355), (2, 0, -1, 0, 1274027, -3699111),
    (2, 0, 0, 0, 658314, -2955968), (0, 0, 2, 0, 213618, -569925),
    (0, 1, 0, 0, -185116, 48888), (0, 0, 0, 2, -114332, -3149),
    (2, 0, -2, 0, 58793, 246158), (2, -1, -1, 0, 57066, -152138),
    (2, 0, 1, 0, 53322, -170733), (2, -1, 0, 0, 45758, -204586),
    (0, 1, -1, 0, -40923, -129620), (1, 0, 0, 0, -34720, 108743),
    (0, 1, 1, 0, -30383, 104755), (2, 0, 0, -2, 15327, 10321),
    (0, 0, 1, 2, -12528, 0), (0, 0, 1, -2, 10980, 79661),
    (4, 0, -1, 0, 10675, -34782), (0, 0, 3, 0, 10034, -23210),
    (4, 0, -2, 0, 8548, -21636), (2, 1, -1, 0, -7888, 24208),
    (2, 1, 0, 0, -6766, 30824), (1, 0, -1, 0, -5163, -8379),
    (1, 1, 0, 0, 4987, -16675), (2, -1, 1, 0, 4036, -12831),
], dtype=np.float64)  # fmt: skip
# The same, table 47.B: latitude [1e-6 deg].
_LATITUDE = np.array([
    (0, 0, 0, 1, 5128122), (0, 0, 1, 1, 280602), (0, 0, 1, -1, 277693), (2, 0, 0, -1, 173237),
    (2, 0, -1, 1, 55413), (2, 0, -1, -1, 46271), (2, 0, 0, 1, 32573), (0, 0, 2, 1, 17198),
    (2, 0, 1, -1, 9266), (0, 0, 2, -1, 8822), (2, -1, 0, -1, 8216), (2, 0, -2, -1, 4324),
    (2, 0, 1, 1, 4200),
], dtype=np.float64)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class MoonSeen:
    """The moon as it stands over a place, one value for each moment.

    Parameters
    ----------
    altitude : Floats
        Of its centre over the true horizon, seen from the ground. [rad]
    azimuth : Floats
        From true north by east, 0 to 2 π. [rad]
    phase_angle : Floats
        Between sun and earth as seen from the moon; 0 at full moon, π at new moon. [rad]
    distance : Floats
        From the earth's centre over its mean. [-]
    """

    altitude: Floats
    azimuth: Floats
    phase_angle: Floats
    distance: Floats

    @property
    def lit(self) -> Floats:
        """Share of the disc that is lit, 0 to 1. [-]"""
        return np.asarray((1 + np.cos(self.phase_angle)) / 2)


def julian_day(at: datetime) -> float:
    """Julian day of a moment, in universal time. [days]

    Parameters
    ----------
    at : datetime
        With its zone.

    Raises
    ------
    ValueError
        If the moment has no zone.

    References
    ----------
    Meeus J. (1998), Astronomical Algorithms, 2nd ed., chapter 7.

    Examples
    --------
    >>> julian_day(datetime(2000, 1, 1, 12, tzinfo=UTC))
    2451545.0
    """
    if at.tzinfo is None:
        raise ValueError("a moment has a zone")
    return _EPOCH_DAY + (at - _EPOCH) / timedelta(days=1)


def moment(day: float) -> datetime:
    """The moment of a Julian day in universal time, to the second.

    Parameters
    ----------
    day : float
        [days]
    """
    return _EPOCH + timedelta(seconds=round((day - _EPOCH_DAY) * _DAY))


def sun_seen(day: ArrayLike, latitude: float, longitude: float) -> tuple[Floats, Floats]:
    """Altitude of the sun's centre without refraction, and its azimuth from north by east. [rad]

    Parameters
    ----------
    day : array_like
        Julian days in universal time. [days]
    latitude, longitude : float
        North and east above 0. [rad]

    Notes
    -----
    Within 0.01 degrees between 1950 and 2050: about 3 s of a sunset at 45 degrees.

    References
    ----------
    Meeus J. (1998), Astronomical Algorithms, 2nd ed., chapters 12, 13 and 25 (lower accuracy).
    """
    days = np.asarray(day, dtype=np.float64)
    along, _ = _sun(_centuries(days))
    altitude, azimuth = _horizontal(days, along, np.zeros_like(along), latitude, longitude)
    return altitude, azimuth


def moon_seen(day: ArrayLike, latitude: float, longitude: float) -> MoonSeen:
    """The moon over a place.

    Parameters
    ----------
    day : array_like
        Julian days in universal time. [days]
    latitude, longitude : float
        North and east above 0. [rad]

    Notes
    -----
    The largest terms of the series alone: within 0.05 degrees, which is 15 s of moonrise.

    References
    ----------
    Meeus J. (1998), Astronomical Algorithms, 2nd ed., chapters 40, 47 and 48.
    """
    days = np.asarray(day, dtype=np.float64)
    t = _centuries(days)
    along, across, distance = _moon(t)
    altitude, azimuth = _horizontal(days, along, across, latitude, longitude)
    altitude = altitude - np.arcsin(_EARTH / distance * np.cos(altitude))
    sun, sun_distance = _sun(t)
    apart = np.arccos(np.cos(across) * np.cos(along - sun))
    far = sun_distance * _SUN_DISTANCE
    phase = np.arctan2(far * np.sin(apart), distance - far * np.cos(apart))
    return MoonSeen(
        altitude=altitude, azimuth=azimuth, phase_angle=phase, distance=distance / _MEAN_DISTANCE
    )


def _centuries(days: Floats) -> Floats:
    return np.asarray((days + DELTA_T.value / _DAY - 2451545.0) / 36525.0)


def _degrees(value: Floats) -> Floats:
    return np.asarray(np.radians(np.mod(value, 360.0)))


def _node(t: Floats) -> Floats:
    return _degrees(125.04 - 1934.136 * t)


def _sun(t: Floats) -> tuple[Floats, Floats]:
    """Apparent longitude of the sun [rad] and its distance [au]: Meeus (25.2) to (25.5)."""
    anomaly = _degrees(357.52911 + 35999.05029 * t - 0.0001537 * t**2)
    eccentricity = 0.016708634 - 0.000042037 * t - 0.0000001267 * t**2
    centre = (
        (1.914602 - 0.004817 * t - 0.000014 * t**2) * np.sin(anomaly)
        + (0.019993 - 0.000101 * t) * np.sin(2 * anomaly)
        + 0.000289 * np.sin(3 * anomaly)
    )
    mean = 280.46646 + 36000.76983 * t + 0.0003032 * t**2
    along = mean + centre - 0.00569 - 0.00478 * np.sin(_node(t))
    distance = (
        1.000001018
        * (1 - eccentricity**2)
        / (1 + eccentricity * np.cos(anomaly + np.radians(centre)))
    )
    return _degrees(along), distance


def _moon(t: Floats) -> tuple[Floats, Floats, Floats]:
    """Apparent longitude and latitude [rad] and distance [km] from the earth's centre."""
    mean = 218.3164477 + 481267.88123421 * t - 0.0015786 * t**2
    elongation = 297.8501921 + 445267.1114034 * t - 0.0018819 * t**2
    sun = 357.5291092 + 35999.0502909 * t - 0.0001536 * t**2
    moon = 134.9633964 + 477198.8675055 * t + 0.0087414 * t**2
    node = 93.2720950 + 483202.0175233 * t - 0.0036539 * t**2
    arguments = np.stack([_degrees(one) for one in (elongation, sun, moon, node)], axis=-1)
    flat = 1 - 0.002516 * t - 0.0000074 * t**2

    def terms(table: Floats) -> tuple[Floats, Floats]:
        angle = arguments @ table[:, :4].T
        return angle, np.asarray(flat[..., None] ** np.abs(table[:, 1]))

    angle, share = terms(_LONGITUDE)
    along = (share * np.sin(angle)) @ _LONGITUDE[:, 4] * 1e-6
    distance = _MEAN_DISTANCE + (share * np.cos(angle)) @ _LONGITUDE[:, 5] * 1e-3
    # Venus, Jupiter and the earth's flattening, as far as they show.
    venus, jupiter = _degrees(119.75 + 131.849 * t), _degrees(53.09 + 479264.290 * t)
    along += 3958e-6 * np.sin(venus) + 1962e-6 * np.sin(np.radians(mean) - arguments[..., 3])
    along += 318e-6 * np.sin(jupiter)
    angle, share = terms(_LATITUDE)
    across = (share * np.sin(angle)) @ _LATITUDE[:, 4] * 1e-6
    across -= 2235e-6 * np.sin(np.radians(mean))
    nutation = -17.20 / 3600 * np.sin(_node(t))
    return _degrees(mean + along + nutation), np.radians(across), distance


def _horizontal(
    days: Floats, along: Floats, across: Floats, latitude: float, longitude: float
) -> tuple[Floats, Floats]:
    """Altitude and azimuth, seen from the earth's centre, of a place on the ecliptic. [rad]"""
    t = _centuries(days)
    tilt = np.radians(23.4392911 - 0.0130042 * t + 0.00256 * np.cos(_node(t)))
    ascension = np.arctan2(
        np.sin(along) * np.cos(tilt) - np.tan(across) * np.sin(tilt), np.cos(along)
    )
    declination = np.arcsin(
        np.sin(across) * np.cos(tilt) + np.cos(across) * np.sin(tilt) * np.sin(along)
    )
    sidereal = (
        280.46061837
        + 360.98564736629 * (days - 2451545.0)
        - 17.20 / 3600 * np.sin(_node(t)) * np.cos(tilt)
    )
    hour = _degrees(sidereal) + longitude - ascension
    altitude = np.arcsin(
        np.sin(latitude) * np.sin(declination)
        + np.cos(latitude) * np.cos(declination) * np.cos(hour)
    )
    azimuth = np.pi + np.arctan2(
        np.sin(hour), np.cos(hour) * np.sin(latitude) - np.tan(declination) * np.cos(latitude)
    )
    return np.asarray(altitude), np.asarray(np.mod(azimuth, 2 * np.pi))
