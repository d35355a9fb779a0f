"""Nights with the projector: hours of each set-up, how they fall into nights, and power."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import accumulate

from giornata.core.foundation import (
    Assumption,
    Figure,
    Finding,
    Severity,
    derived,
    given,
    number_of,
)
from giornata.core.site import Night
from giornata.core.works.night_order import ClosingPlace
from giornata.core.works.terms import NightTerms, decided

__all__ = [
    "BEFORE_DARK", "HOURS", "LAPTOP", "SET_UP", "TRACING", "NightPlan", "PlannedNight",
    "night_plan", "set_up_time",
]  # fmt: skip

SET_UP = Assumption(
    name="moving and aiming the projector",
    value=12 * 60.0,
    unit="s",
    source="common practice, no source: 8 to 20 min practised; a first time up to a whole night",
    usual=(8 * 60.0, 20 * 60.0),
)
TRACING = Assumption(
    name="tracing",
    value=90 / 3600,
    unit="m/s",
    source="common practice, no source: 60 to 120 m/h with good access, 30 to 60 from a lift",
    usual=(30 / 3600, 120 / 3600),
)
HOURS = Assumption(
    name="working time in a night",
    value=5.5 * 3600,
    unit="s",
    source="common practice, no source",
    usual=(3 * 3600.0, 8 * 3600.0),
)
BEFORE_DARK = Assumption(
    name="setting up before dark",
    value=45 * 60.0,
    unit="s",
    source="common practice, no source: unloading, power, placing and the first focus by daylight",
    usual=(30 * 60.0, 90 * 60.0),
)
LAPTOP = Assumption(
    name="power of the laptop",
    value=65.0,
    unit="W",
    source="common practice, no source: the rating of its charger",
    usual=(30.0, 140.0),
)

_WAITED = 40  # nights passed over one after the other, after which no more are looked at


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedNight:
    """One night of the plan.

    Parameters
    ----------
    set_ups : tuple of int
        Their numbers in order of work; none on a night that is not used.
    limit : float
        Time there is: the darkness, or the working time decided, whichever is shorter. [s]
    used : float
        By its set-ups. [s]
    left : tuple of int
        Numbers of the set-ups that are still to be done when it ends.
    left_time : float
        Of those. [s]
    night : Night or None
        Sun, moon and darkness; None where no date was decided.
    """

    set_ups: tuple[int, ...]
    limit: float
    used: float
    left: tuple[int, ...]
    left_time: float
    night: Night | None

    @property
    def begin(self) -> datetime | None:
        """When it gets dark enough; None without a date or without darkness."""
        span = None if self.night is None else self.night.longest
        return None if span is None else span[0]

    @property
    def on_site(self) -> datetime | None:
        """When setting up by daylight begins; None as for `begin`."""
        begin = self.begin
        return None if begin is None else begin - timedelta(seconds=BEFORE_DARK.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class NightPlan:
    """How the set-ups fall into nights.

    Parameters
    ----------
    nights : tuple of tuple of int
        Numbers of the set-ups of each night that is worked, in order of work.
    set_ups : tuple of Figure
        Time of each set-up, in order of number. [s]
    duration : Figure
        Of all set-ups, by the clock. [s]
    person_time : Figure
        Of all people together. [s]
    planned : tuple of PlannedNight
        The nights that are worked, with their darkness and what they leave.
    passed_over : tuple of Night
        Nights before the last one that are too short of darkness to begin a set-up.
    closing : ClosingPlace or None
        The seam at which the runs from both ends meet; None where there is one run.
    """

    nights: tuple[tuple[int, ...], ...]
    set_ups: tuple[Figure, ...]
    duration: Figure
    person_time: Figure
    planned: tuple[PlannedNight, ...] = ()
    passed_over: tuple[Night, ...] = ()
    closing: ClosingPlace | None = None

    def since(self, planned: PlannedNight) -> tuple[float, ...]:
        """Time from the beginning of a night to that of each of its set-ups. [s]

        Parameters
        ----------
        planned : PlannedNight
            Of this plan.
        """
        times = [float(self.set_ups[number - 1]) for number in planned.set_ups]
        return tuple(accumulate(times[:-1], initial=0.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Way:
    """One way to spend the first nights; ``run`` is where the last of them ended."""

    groups: tuple[tuple[int, ...], ...] = ()
    limits: tuple[float, ...] = ()
    nights: tuple[Night | None, ...] = ()
    changes: int = 0
    run: int | None = None


def set_up_time(edge: float, set_up: float, tracing: float) -> float:
    """Time of one set-up: moving and aiming, then tracing its edge. [s]

    Parameters
    ----------
    edge : float
        Traced in it, 0 or more. [m]
    set_up : float
        0 or more. [s]
    tracing : float
        Above 0. [m/s]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if not (edge >= 0 and set_up >= 0 and tracing > 0):
        raise ValueError("edge and set-up are 0 or more, the tracing speed above 0")
    return set_up + edge / tracing


def night_plan(
    edges: Sequence[Figure],
    terms: NightTerms,
    *,
    people: int = 2,
    runs: Sequence[Sequence[int]] | None = None,
    closing: ClosingPlace | None = None,
    evenings: Iterable[Night] = (),
) -> tuple[NightPlan | None, tuple[Finding, ...]]:
    """Set-ups in order of work, as many in a night as fit whole. [s]

    Parameters
    ----------
    edges : sequence of Figure
        Edge to trace in each set-up. [m]
    terms : NightTerms
        Times and speed.
    people : int
        On the night shift, at least 1. [-]
    runs : sequence of sequence of int, optional
        Numbers in order of work, in one run or in two that end at one place; those left out are
        not projected. One run as they are numbered where none is given. [-]
    closing : ClosingPlace or None
        Where the runs meet.
    evenings : iterable of Night
        Nights in order with their darkness; the working time decided where there are none.

    Raises
    ------
    ValueError
        If nobody works, or the runs name a set-up twice or one that there is not.

    Notes
    -----
    A set-up is not left standing over a day, so it is begun only if it fits into the night. One
    that is longer than a night has a night of its own, with a finding. A night with less than
    half the darkness that the shortest set-up takes is passed over. With two runs each night
    begins at the end that leads to the fewest nights, among those with the fewest changes of end;
    it goes over to the other run only where its own has ended.
    """
    if people < 1:
        raise ValueError("people are 1 or more")
    every = range(1, len(edges) + 1)
    asked = (tuple(every),) if runs is None else tuple(tuple(run) for run in runs)
    sequence = [number for run in asked for number in run]
    if len(set(sequence)) < len(sequence) or not set(sequence) <= set(every):
        raise ValueError("the runs name each set-up once")
    if not sequence:
        return None, ()
    set_up = decided("nights.set_up", terms.set_up, SET_UP)
    tracing = decided("nights.tracing", terms.tracing, TRACING)
    limit = decided("nights.hours", terms.hours, HOURS)
    each = tuple(
        derived(
            f"time of set-up {number}",
            set_up_time(float(edge), float(set_up), float(tracing)),
            "s",
            method="works.set_up_time v1",
            formula="moving and aiming + edge ÷ tracing speed",
            parts=(set_up, edge, tracing),
        )
        for number, edge in enumerate(edges, start=1)
    )
    planned, passed_over, dated = _planned(
        asked, tuple(map(float, each)), float(limit), iter(evenings)
    )
    worked = tuple(each[number - 1] for number in sorted(sequence))
    duration = derived(
        "night hours", sum(map(float, worked)), "s", method="works.night_plan v1",
        formula="sum over set-ups", parts=worked,
    )  # fmt: skip
    crew = given("people at night", float(people), "-", source="job file, labour.people")
    plan = NightPlan(
        nights=tuple(one.set_ups for one in planned),
        set_ups=each,
        duration=duration,
        person_time=derived(
            "night hours of all people", people * float(duration), "s",
            method="works.night_plan v1", formula="night hours × people", parts=(duration, crew),
        ),
        planned=planned,
        closing=closing,
        passed_over=passed_over,
    )  # fmt: skip
    return plan, _findings(plan, dated)


def _planned(
    runs: Sequence[Sequence[int]],
    times: Sequence[float],
    hours: float,
    evenings: Iterator[Night],
) -> tuple[tuple[PlannedNight, ...], tuple[Night, ...], bool]:
    """The nights, those passed over, and whether dates were given."""
    least = min(min(times[number - 1] for run in runs for number in run), hours) / 2
    passed: list[Night] = []
    dated, waited = False, 0
    ways: dict[tuple[int, ...], _Way] = {(0,) * len(runs): _Way()}
    ended = tuple(map(len, runs))
    while ended not in ways:
        night = next(evenings, None) if waited < _WAITED else None
        dated = dated or night is not None
        limit = hours if night is None else min(hours, night.length)
        if night is not None and limit < least:
            passed.append(night)
            waited += 1
            continue
        waited = min(waited, _WAITED) if night is None else 0
        ways = _one_night_on(ways, runs, times, limit, night)
    done = ways[ended]
    every = [number for group in done.groups for number in group]
    planned = []
    for group, limit, night in zip(done.groups, done.limits, done.nights, strict=True):
        every = every[len(group) :]
        planned.append(
            PlannedNight(
                set_ups=group,
                limit=limit,
                used=sum(times[number - 1] for number in group),
                left=tuple(every),
                left_time=sum(times[number - 1] for number in every),
                night=night,
            )
        )
    return tuple(planned), tuple(passed), dated


def _one_night_on(
    ways: dict[tuple[int, ...], _Way],
    runs: Sequence[Sequence[int]],
    times: Sequence[float],
    limit: float,
    night: Night | None,
) -> dict[tuple[int, ...], _Way]:
    """How far along the runs one can be a night later, each with the fewest changes of end."""
    reached: dict[tuple[int, ...], _Way] = {}
    for state, way in ways.items():
        for first in range(len(runs)):
            if state[first] == len(runs[first]):
                continue
            at, group, used = list(state), list[int](), 0.0
            for run in (first, *(other for other in range(len(runs)) if other != first)):
                while at[run] < len(runs[run]):
                    number = runs[run][at[run]]
                    if group and used + times[number - 1] > limit + 1e-6:
                        break
                    group.append(number)
                    used += times[number - 1]
                    at[run] += 1
                if at[run] < len(runs[run]):
                    break
            changes = way.changes + (way.run is not None and first != way.run)
            known = reached.get(tuple(at))
            if known is None or changes < known.changes:
                reached[tuple(at)] = _Way(
                    groups=(*way.groups, tuple(group)),
                    limits=(*way.limits, limit),
                    nights=(*way.nights, night),
                    changes=changes,
                    run=run,
                )
    return reached


def _findings(plan: NightPlan, dated: bool) -> tuple[Finding, ...]:
    found = [
        Finding(
            code="works.long_set_up",
            severity=Severity.WARN,
            subject=f"set-up {one.set_ups[0]}",
            message=f"It takes {one.used / 3600:.1f} h; a night has {one.limit / 3600:.1f} h.",
            remedy="Make the set-up smaller, trace with two, or trace only the edges that need it.",
        )
        for one in plan.planned
        if one.used > one.limit + 1e-6
    ]
    without = [one for one in plan.planned if one.night is None] if dated else []
    if without:
        left = [number for one in without for number in one.set_ups]
        hours = sum(one.used for one in without) / 3600
        many = number_of(len(left), "set-up is", "set-ups are")
        which = f"{many} left ({', '.join(map(str, left))}), {hours:.1f} h."
        message = f"When the darkness of the last night decided on ends, {which}"
        remedy = f"Add {len(without)} more to the dates under [nights], or trace with more people."
        if len(without) == len(plan.planned):
            message = f"No night decided on gets dark enough to begin a set-up: {which}"
            remedy = "Take other dates under [nights], or transfer by grid or pounce."
        found.append(Finding(code="works.nights_run_out", severity=Severity.WARN,
                             subject="nights", message=message, remedy=remedy))  # fmt: skip
    return tuple(found)
