"""Darkness: when a night is dark enough to project, from sun and moon for place and date."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo

import numpy as np
from scipy.optimize import brentq

from giornata.core.foundation import Floats
from giornata.core.site.sky_light import (
    SKY_ON_WALL,
    moonlight,
    moonlight_on_wall,
    skylight,
)
from giornata.core.site.sun_moon import julian_day, moment, moon_seen, sun_seen

__all__ = ["ASTRONOMICAL", "CIVIL", "NAUTICAL", "SUNSET", "Night", "darkness_left", "night_of_date"]

# Altitude of the sun's centre without refraction; 34' of refraction and 16' of half a disc.
SUNSET = -np.radians(50 / 60)
CIVIL = -np.radians(6.0)
NAUTICAL = -np.radians(12.0)
ASTRONOMICAL = -np.radians(18.0)

_MOONRISE = -np.radians(50 / 60)  # upper limb, as seen from the ground
_STEP = 1 / 1440  # days
_HALF = 0.5

_Ends = tuple[datetime | None, datetime | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Night:
    """One night at a place: what sun and moon do, and when it is dark enough.

    Parameters
    ----------
    evening : date
        Day on which it begins.
    sunset, sunrise : datetime or None
        None both where the sun does not set, or does not rise.
    civil, nautical, astronomical : tuple of datetime or None
        Dusk and dawn: the sun 6, 12 and 18 degrees below the horizon. None both where it does
        not get that low, or never comes up that far.
    lowest : float
        Least altitude of the sun. [rad]
    highest : float
        Greatest altitude of the sun in the day around it. [rad]
    darkest : datetime
        When the sun is lowest.
    moonrise, moonset : datetime or None
        In this night, from noon to noon.
    moon_lit : float
        Share of the moon's disc that is lit at the darkest. [-]
    moonlight : float
        Greatest light of the moon on the wall while it is dark. [lx]
    limit : float
        Light of sky and moon on the wall up to which one projects. [lx]
    least_light : float
        Of sky and moon on the wall, in the whole night. [lx]
    dark : tuple of (datetime, datetime)
        Spans in which the light is under the limit, in order; none where it never is.
    """

    evening: date
    sunset: datetime | None
    sunrise: datetime | None
    civil: _Ends
    nautical: _Ends
    astronomical: _Ends
    lowest: float
    highest: float
    darkest: datetime
    moonrise: datetime | None
    moonset: datetime | None
    moon_lit: float
    moonlight: float
    limit: float
    least_light: float
    dark: tuple[tuple[datetime, datetime], ...]

    @property
    def longest(self) -> tuple[datetime, datetime] | None:
        """The longest dark span; None where there is none."""
        return max(self.dark, key=lambda span: span[1] - span[0], default=None)

    @property
    def length(self) -> float:
        """Length of the longest dark span. [s]"""
        span = self.longest
        return 0.0 if span is None else (span[1] - span[0]).total_seconds()


def night_of_date(
    evening: date,
    zone: tzinfo,
    latitude: float,
    longitude: float,
    limit: float,
    *,
    facing: float | None = None,
) -> Night:
    """The night that begins on a day.

    Parameters
    ----------
    evening : date
        In the place's own calendar.
    zone : tzinfo
        Of the place.
    latitude, longitude : float
        North and east above 0. [rad]
    limit : float
        Light of sky and moon on the wall up to which one projects; above 0. [lx]
    facing : float or None
        Direction the wall looks, from true north by east. [rad]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    The sun is followed for half a day to each side of its lowest place nearest to midnight, so
    that a dusk and a dawn that nearly meet are both found. Level ground and a clear sky: hills
    and cloud make it darker sooner.
    """
    if not (abs(latitude) <= np.pi / 2 and abs(longitude) <= np.pi and limit > 0):
        raise ValueError("a place has a latitude and a longitude, and the light is above 0")
    midnight = julian_day(datetime.combine(evening + timedelta(days=1), time(0), zone))

    def altitude(day: float) -> float:
        return float(sun_seen(day, latitude, longitude)[0])

    bottom = _lowest(midnight, latitude, longitude)
    days = bottom + np.arange(-_HALF, _HALF + _STEP / 2, _STEP)
    sun, _ = sun_seen(days, latitude, longitude)

    def ends(level: float) -> _Ends:
        return _crossing(altitude, level, bottom, -_HALF), _crossing(altitude, level, bottom, _HALF)

    sunset, sunrise = ends(SUNSET)
    moon = moon_seen(days, latitude, longitude)
    level = moonlight(moon.altitude, moon.phase_angle, moon.distance)
    from_moon = moonlight_on_wall(level, moon.altitude, moon.azimuth, facing)
    light = SKY_ON_WALL.value * skylight(sun) + from_moon
    dark = _under(days, light, limit)
    inside = light <= limit
    return Night(
        evening=evening,
        sunset=sunset,
        sunrise=sunrise,
        civil=ends(CIVIL),
        nautical=ends(NAUTICAL),
        astronomical=ends(ASTRONOMICAL),
        lowest=altitude(bottom),
        highest=float(sun.max()),
        darkest=moment(bottom),
        moonrise=_turn(days, moon.altitude - _MOONRISE, rising=True),
        moonset=_turn(days, moon.altitude - _MOONRISE, rising=False),
        moon_lit=float(moon.lit[len(days) // 2]),
        moonlight=float(from_moon[inside].max()) if inside.any() else float(from_moon.max()),
        limit=limit,
        least_light=float(light.min()),
        dark=dark,
    )


def darkness_left(nights: Sequence[Night], at: datetime) -> float | None:
    """How long it stays dark enough to project; None where it is not dark now. [s]

    Parameters
    ----------
    nights : sequence of Night
        Those planned.
    at : datetime
        Now, with its zone.

    Raises
    ------
    ValueError
        If the moment has no zone.
    """
    if at.tzinfo is None:
        raise ValueError("a moment has a zone")
    ends = [end for night in nights for start, end in night.dark if start <= at < end]
    return (max(ends) - at).total_seconds() if ends else None


def _lowest(midnight: float, latitude: float, longitude: float) -> float:
    """Julian day of the sun's lowest place within half a day of midnight, to a second or two."""
    around, step = midnight, 1 / 144
    days = around + np.arange(-_HALF, _HALF, step)
    for _ in range(4):
        around = float(days[np.argmin(sun_seen(days, latitude, longitude)[0])])
        days = around + np.linspace(-step, step, 41)
        step /= 20
    return around


def _crossing(
    altitude: Callable[[float], float], level: float, bottom: float, way: float
) -> datetime | None:
    if altitude(bottom) >= level or altitude(bottom + way) <= level:
        return None
    low, high = sorted((bottom, bottom + way))
    return moment(float(brentq(lambda day: altitude(day) - level, low, high, xtol=1e-6)))


def _turn(days: Floats, height: Floats, *, rising: bool) -> datetime | None:
    """First moment at which a height passes 0 the way asked for."""
    signed = height if rising else -height
    at = np.flatnonzero((signed[:-1] < 0) & (signed[1:] >= 0))
    if not at.size:
        return None
    k = int(at[0])
    part = -signed[k] / (signed[k + 1] - signed[k])
    return moment(float(days[k] + part * _STEP))


def _under(days: Floats, light: Floats, limit: float) -> tuple[tuple[datetime, datetime], ...]:
    """Spans in which a light is at or under a limit, their ends between the minutes."""
    over = np.log(light) - np.log(limit)
    dark = over <= 0
    changes = np.flatnonzero(dark[:-1] != dark[1:])
    crossings = [
        float(days[k] + over[k] / (over[k] - over[k + 1]) * _STEP) for k in changes.tolist()
    ]
    if dark[0]:
        crossings.insert(0, float(days[0]))
    if dark[-1]:
        crossings.append(float(days[-1]))
    return tuple(
        (moment(start), moment(end))
        for start, end in zip(crossings[::2], crossings[1::2], strict=True)
    )
