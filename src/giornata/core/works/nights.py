"""Nights with the projector: hours of each set-up, how they fall into nights, and power."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from giornata.core.foundation import Assumption, Figure, Finding, Severity, derived, given
from giornata.core.works.terms import NightTerms, decided

__all__ = [
    "HOURS", "LAPTOP", "SET_UP", "TRACING", "NightPlan", "energy", "night_plan", "running_time",
    "set_up_time",
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
LAPTOP = Assumption(
    name="power of the laptop",
    value=65.0,
    unit="W",
    source="common practice, no source: the rating of its charger",
    usual=(30.0, 140.0),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class NightPlan:
    """How the set-ups fall into nights.

    Parameters
    ----------
    nights : tuple of tuple of int
        Set-ups of each night, numbered from 1 in order of work.
    set_ups : tuple of Figure
        Time of each set-up. [s]
    duration : Figure
        Of all set-ups, by the clock. [s]
    person_time : Figure
        Of all people together. [s]
    """

    nights: tuple[tuple[int, ...], ...]
    set_ups: tuple[Figure, ...]
    duration: Figure
    person_time: Figure


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
    edges: Sequence[Figure], terms: NightTerms, *, people: int = 2
) -> tuple[NightPlan | None, tuple[Finding, ...]]:
    """Set-ups in order, as many in a night as fit whole. [s]

    Parameters
    ----------
    edges : sequence of Figure
        Edge to trace in each set-up. [m]
    terms : NightTerms
        Times and speed.
    people : int
        On the night shift, at least 1. [-]

    Raises
    ------
    ValueError
        If nobody works.

    Notes
    -----
    A set-up is not left standing over a day, so it is begun only if it fits into the night. One
    that is longer than a night has a night of its own, with a finding.
    """
    if people < 1:
        raise ValueError("people are 1 or more")
    if not edges:
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
    groups: list[list[int]] = []
    used = float("inf")
    for number, time in enumerate(each, start=1):
        if used + float(time) > float(limit) + 1e-6:
            groups.append([])
            used = 0.0
        groups[-1].append(number)
        used += float(time)
    duration = derived(
        "night hours", sum(map(float, each)), "s", method="works.night_plan v1",
        formula="sum over set-ups", parts=each,
    )  # fmt: skip
    crew = given("people at night", float(people), "-", source="job file, labour.people")
    plan = NightPlan(
        nights=tuple(tuple(group) for group in groups),
        set_ups=each,
        duration=duration,
        person_time=derived(
            "night hours of all people", people * float(duration), "s",
            method="works.night_plan v1", formula="night hours × people", parts=(duration, crew),
        ),
    )  # fmt: skip
    return plan, tuple(
        Finding(
            code="works.long_set_up",
            severity=Severity.WARN,
            subject=f"set-up {number}",
            message=f"It takes {float(time) / 3600:.1f} h; a night has "
            f"{float(limit) / 3600:.1f} h.",
            remedy="Make the set-up smaller, trace with two, or trace only the edges that need it.",
        )
        for number, time in enumerate(each, start=1)
        if float(time) > float(limit) + 1e-6
    )


def energy(power: Sequence[Figure], time: Figure) -> Figure:
    """Energy that machines running together draw in a time. [J]

    Parameters
    ----------
    power : sequence of Figure
        Of each machine, at least one. [W]
    time : Figure
        [s]

    Raises
    ------
    ValueError
        If no machine is given.
    """
    if not power:
        raise ValueError("at least one machine draws power")
    return derived(
        "energy", sum(map(float, power)) * float(time), "J", method="works.energy v1",
        formula="power × time", parts=(*power, time),
    )  # fmt: skip


def running_time(battery: float, power: float) -> float:
    """How long a battery feeds a power. [s]

    Parameters
    ----------
    battery : float
        Energy that can be drawn, 0 or more. [J]
    power : float
        Above 0. [W]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if not (battery >= 0 and power > 0):
        raise ValueError("a battery holds 0 or more and the power is above 0")
    return battery / power
