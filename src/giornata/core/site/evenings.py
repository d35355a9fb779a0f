"""Evenings: the nights of a plan one after the other, and what is wrong with their darkness."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo

import numpy as np

from giornata.core.foundation import Finding, Severity, number_of, shown_day
from giornata.core.site.darkness import Night, night_of_date
from giornata.core.site.sky_light import SKY_ON_WALL, sun_depth
from giornata.core.site.sun_moon import julian_day, sun_seen

__all__ = ["NightPlace", "clock_time", "darkness_findings", "evenings", "nearest_dark"]

_WAITED = 40  # evenings without darkness after which no more are looked at
_LOOKED = 200  # days to each side in which a dark night is looked for
_SPARE = np.radians(1.0)  # of the sun's depth, so that the date named has some darkness to use
_BRIGHT_MOON = 0.2


@dataclass(frozen=True, slots=True, kw_only=True)
class NightPlace:
    """Where the nights are worked, and up to which light of the sky.

    Parameters
    ----------
    latitude, longitude : float
        North and east above 0. [rad]
    zone : tzinfo
        Of the place.
    limit : float
        Light of sky and moon on the wall up to which one projects; above 0. [lx]
    facing : float or None
        Direction the wall looks, from true north by east. [rad]
    """

    latitude: float
    longitude: float
    zone: tzinfo
    limit: float
    facing: float | None = None

    def __post_init__(self) -> None:
        if not (abs(self.latitude) <= np.pi / 2 and abs(self.longitude) <= np.pi):
            raise ValueError("a place has a latitude and a longitude on the globe")
        if not self.limit > 0:
            raise ValueError("the light up to which one projects is above 0")

    def night(self, evening: date) -> Night:
        """The night that begins on an evening."""
        return night_of_date(
            evening, self.zone, self.latitude, self.longitude, self.limit, facing=self.facing
        )


def evenings(place: NightPlace, first: date | None, dates: Sequence[date] = ()) -> Iterator[Night]:
    """The nights decided on; or, from a first one, each evening after it.

    Parameters
    ----------
    place : NightPlace
        Where.
    first : date or None
        The first evening, where no dates are listed.
    dates : sequence of date
        The evenings decided on, in order.

    Notes
    -----
    From a first evening on it ends after 40 evenings without darkness one after the other.
    """
    if dates:
        yield from map(place.night, sorted(dates))
        return
    evening, waited = first, 0
    while evening is not None and waited < _WAITED:
        night = place.night(evening)
        waited = 0 if night.dark else waited + 1
        yield night
        evening += timedelta(days=1)


def nearest_dark(place: NightPlace, evening: date) -> tuple[date | None, date | None]:
    """The nearest evenings before and after one with a night that gets dark enough.

    Parameters
    ----------
    place : NightPlace
        Where.
    evening : date
        From which is looked, 200 days each way.
    """
    bottom = julian_day(place.night(evening).darkest)
    offsets = np.arange(-_LOOKED, _LOOKED + 1)
    sun, _ = sun_seen(bottom + offsets, place.latitude, place.longitude)
    dark = offsets[sun < sun_depth(place.limit / SKY_ON_WALL.value) - _SPARE]

    def named(found: np.ndarray[tuple[int], np.dtype[np.int64]], which: int) -> date | None:
        return evening + timedelta(days=int(found[which])) if found.size else None

    return named(dark[dark < 0], -1), named(dark[dark > 0], 0)


def darkness_findings(
    place: NightPlace, nights: Sequence[Night], hours: float
) -> tuple[Finding, ...]:
    """Nights that do not get dark, that are shorter than planned, or that the moon lights.

    Parameters
    ----------
    place : NightPlace
        Where.
    nights : sequence of Night
        Those of the plan.
    hours : float
        Working time planned for a night; above 0. [s]
    """
    dark = [night for night in nights if night.dark]
    short = [night for night in dark if night.length < hours - 60]
    moonlit = [night for night in dark if night.moonlight > _BRIGHT_MOON * night.limit]
    return (
        *(_never_dark(place, night) for night in nights if not night.dark),
        *((_short(place, short, hours),) if short else ()),
        *((_moon(moonlit),) if moonlit else ()),
    )


def _never_dark(place: NightPlace, night: Night) -> Finding:
    before, after = nearest_dark(place, night.evening)
    when = " or ".join(
        f"{word} {shown_day(day)}"
        for word, day in (("up to", before), ("from", after))
        if day is not None
    )
    return Finding(
        code="site.no_darkness",
        severity=Severity.WARN,
        subject=_subject(night),
        message=f"It does not get dark enough to project: the sky alone gives the wall "
        f"{_lx(night.least_light)} lx at the darkest ({clock_time(night.darkest, place.zone)}, "
        f"sun {abs(np.degrees(night.lowest)):.1f} degrees "
        f"{'below' if night.lowest < 0 else 'above'} the horizon); the limit is "
        f"{_lx(night.limit)} lx.",
        remedy=(f"Project {when}; " if when else "")
        + "make the image smaller or brighter, so that it stands more light, or transfer by grid "
        "or pounce.",
    )


def _short(place: NightPlace, nights: Sequence[Night], hours: float) -> Finding:
    shortest = min(nights, key=lambda night: night.length)
    span = shortest.longest
    assert span is not None
    start, end = (clock_time(one, place.zone) for one in span)
    which = "" if len(nights) == 1 else f" on the shortest, {shown_day(shortest.evening)}"
    return Finding(
        code="site.short_darkness",
        severity=Severity.WARN,
        subject=_subject(*nights),
        message=f"Dark enough from {start} to {end}{which}, {shortest.length / 3600:.1f} h; "
        f"{hours / 3600:.1f} h were planned.",
        remedy="The plan takes the shorter. Be set up before dark, take an earlier or later "
        "season, or a brighter, smaller image that can begin sooner.",
    )


def _moon(nights: Sequence[Night]) -> Finding:
    worst = max(nights, key=lambda night: night.moonlight)
    return Finding(
        code="site.moonlight",
        severity=Severity.NOTE,
        subject=_subject(*nights),
        message=f"The moon, {100 * worst.moon_lit:.0f} % lit, gives the wall up to "
        f"{_lx(worst.moonlight)} lx of the {_lx(worst.limit)} lx there may be.",
        remedy="Begin where the wall is in shade, or take a night nearer to new moon.",
    )


def _subject(*nights: Night) -> str:
    first, last = nights[0].evening, nights[-1].evening
    if first == last:
        return f"night of {shown_day(first)}"
    return f"{number_of(len(nights), 'night')}, {shown_day(first)} to {shown_day(last)}"


def clock_time(at: datetime, zone: tzinfo) -> str:
    """A moment by the clock of its place: "22:07".

    Parameters
    ----------
    at : datetime
        With its zone.
    zone : tzinfo
        Of the place.
    """
    return f"{at.astimezone(zone):%H:%M}"


def _lx(light: float) -> str:
    """Light to two digits, or to the lux where it is more. [lx]"""
    return f"{light:.2g}" if light < 99.5 else f"{light:,.0f}"
