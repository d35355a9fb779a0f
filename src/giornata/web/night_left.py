"""What is left of the night: darkness by the sun and moon of the place, and the batteries."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from functools import lru_cache

from giornata.core.documents import moved_words, put_on
from giornata.core.foundation import System, in_units, number_of
from giornata.core.job import JobResults, place_of_nights
from giornata.core.site import Night, NightPlace, clock_time, darkness_findings
from giornata.core.works import before_light
from giornata.desk import MovedDesign
from giornata.desk.steering import Night as Steered
from giornata.web.records import said

__all__ = ["DarkSpan", "LeftState", "left_of_night", "moved_here", "order_of_work", "where_words"]

_ONE_NIGHT = timedelta(hours=14)  # what began longer ago was another night
_NOON = timedelta(hours=12)


@dataclass(frozen=True, slots=True, kw_only=True)
class DarkSpan:
    """A time in which it is dark enough to project."""

    begins: str = said("When.")
    ends: str = said("When.")
    begin: str = said("By the clock of the place.")
    end: str = said("By the clock of the place.")


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftState:
    """What is left of the night, where the job says enough to tell."""

    known: bool = said("Whether the job says where the wall stands, and by which clock.")
    dark: tuple[DarkSpan, ...] = said("Of this night, in order; none where it never is.")
    never: str = said("Why this night never gets dark enough; empty where it does.")
    fits: str = said("How many set-ups fit before light, and are left; empty if nobody knows.")
    battery: str = said("Until when the batteries last by the power plan; empty if nobody knows.")


@lru_cache(maxsize=4)
def _tonight(where: NightPlace, evening: date) -> tuple[Night, str]:
    night = where.night(evening)
    if night.dark:
        return night, ""
    (finding, *_) = darkness_findings(where, [night], 1.0)
    return night, f"{finding.message} {finding.remedy}"


def left_of_night(
    results: JobResults,
    now: datetime,
    begun: Sequence[datetime],
    system: System,
    *,
    steered: Steered | None = None,
) -> LeftState:
    """What is left now; pages count it down by themselves.

    Parameters
    ----------
    begun : sequence of datetime
        When set-ups were begun.
    system : System
        The reader's units.
    steered : desk.steering.Night, optional
        Where the night stands; without it no set-ups are counted.
    """
    inputs = results.inputs
    where = place_of_nights(inputs.site, inputs.nights, results.set_ups)
    spans: tuple[DarkSpan, ...] = ()
    never = fits = ""
    if where is not None:
        night, never = _tonight(where, (now.astimezone(where.zone) - _NOON).date())
        spans = tuple(
            DarkSpan(
                begins=start.isoformat(),
                ends=end.isoformat(),
                begin=clock_time(start, where.zone),
                end=clock_time(end, where.zone),
            )
            for start, end in night.dark
        )
        if steered is not None:
            fits = _fitting(results, steered, now, night, where.zone)
    power = results.power
    tonight = [at for at in begun if now - _ONE_NIGHT <= at <= now]
    battery = ""
    if power is not None and power.battery_time is not None and tonight:
        battery = (min(tonight) + timedelta(seconds=float(power.battery_time))).isoformat()
    return LeftState(
        known=where is not None,
        dark=spans,
        never=in_units(never, system),
        fits=fits,
        battery=battery,
    )


def _fitting(
    results: JobResults, steered: Steered, now: datetime, night: Night, zone: tzinfo
) -> str:
    """How many set-ups fit before it gets light, beside the one that is worked, and are left then.

    With the time at which they were counted: nobody counts them again between two presses.
    """
    plan = results.design.nights
    span = next((one for one in night.dark if now < one[1]), None)
    if plan is None or span is None:
        return ""
    dark = (span[1] - max(now, span[0])).total_seconds()
    done, here = set(steered.done), steered.set_up
    worked = here not in done and any(here in group for group in plan.nights)
    if worked:
        gone = 0.0 if steered.begun is None else (now - steered.begun).total_seconds()
        dark -= max(float(plan.set_ups[here - 1]) - gone, 0.0)
        done.add(here)
    fits, left = before_light(plan, done, max(dark, 0.0))
    if not fits and not left:
        return ""
    count = f"{number_of(len(fits), 'set-up fits', 'set-ups fit')} before light"
    after = " after this one" if worked else ""
    return f"By the plan, counted at {clock_time(now, zone)}: {count}{after}; {len(left)} left"


def order_of_work(results: JobResults, worked: Collection[int]) -> tuple[int, ...]:
    """Numbers of the set-ups in the order of work that the plan proposes.

    Parameters
    ----------
    worked : collection of int
        Begun or done; of those that are not projected only these are in the order, at its end.
    """
    plan = results.design.nights
    planned = () if plan is None else tuple(n for night in plan.nights for n in night)
    away = results.unprojected
    others = (
        one.number
        for one in results.set_ups.set_ups
        if one.number in worked or one.number not in away
    )
    return tuple(dict.fromkeys((*planned, *others)))


def where_words(results: JobResults | None, set_up: int) -> str:
    """The present set-up among those that are projected ("Set-up 7 of 14"), for a page's head.

    Parameters
    ----------
    set_up : int
        The one the projector stands for; 0 before the first.
    """
    ways = {} if results is None else put_on(results)
    projected = [number for number, way in ways.items() if way.projected]
    if set_up == 0:
        return "1 set-up" if len(projected) == 1 else f"{len(projected)} set-ups"
    if set_up not in ways:
        return f"Set-up {set_up}"
    if set_up not in projected:
        return f"Set-up {set_up}, {ways[set_up].other_ways}"
    place, count = projected.index(set_up) + 1, len(projected)
    if place == set_up:
        return f"Set-up {set_up} of {count}"
    return f"Set-up {set_up} ({place} of {count})"


def moved_here(results: JobResults, set_up: int, moved: MovedDesign | None, system: System) -> str:
    """By how much a closure moved the design in a set-up, as a sentence; "" where it did not.

    Parameters
    ----------
    set_up : int
        The one the projector stands for; 0 before the first.
    """
    one = next((s for s in results.set_ups.set_ups if s.number == set_up), None)
    words = moved_words(moved.knots, one, system) if moved is not None and one is not None else ""
    return f"The design is moved here, so that both ends meet: {words}." if words else ""
