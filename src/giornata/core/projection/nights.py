"""Nights: how long the set-ups take, how many nights they fill, and what power they draw."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from giornata.core.foundation import Figure, Finding, Severity, derived, given
from giornata.core.projection.setups import numbers_named
from giornata.core.projection.throw import SLACK

__all__ = ["Night", "NightPlan", "NightPower", "battery_duration", "night_plan", "night_power"]

HOUR = 3600.0
WATT_HOUR = 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Night:
    """One night's set-ups, by number, and how long they take. [s]"""

    number: int
    set_ups: tuple[int, ...]
    duration: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NightPlan:
    """All set-ups shared out over nights.

    Parameters
    ----------
    durations : tuple of float
        Of each set-up, moving and tracing. [s]
    nights : tuple of Night
        In order.
    total : Figure
        Of all set-ups. [s]
    """

    durations: tuple[float, ...]
    nights: tuple[Night, ...]
    total: Figure


def night_plan(
    edges: Sequence[float], set_up: float, tracing: float, hours: float
) -> tuple[NightPlan, tuple[Finding, ...]]:
    """Set-ups shared out over nights, in the order of their numbers.

    Parameters
    ----------
    edges : sequence of float
        Length of edge to trace at each set-up; at least one, each 0 or more. [m]
    set_up : float
        Moving and aiming, for each set-up; 0 or more. [s]
    tracing : float
        Edge traced; above 0. [m/s]
    hours : float
        Work in one night; above 0. [s]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    No set-up is broken off at the end of a night. One that is longer than a whole night has a
    night of its own and a finding.
    """
    if not edges or not all(0 <= edge < math.inf for edge in edges):
        raise ValueError("there is at least one set-up and its edge is 0 m or more")
    if not (set_up >= 0 and tracing > 0 and hours > 0):
        raise ValueError("tracing and the night are above 0, setting up 0 or more")
    durations = tuple(set_up + edge / tracing for edge in edges)
    shared: list[list[int]] = [[]]
    used = 0.0
    for number, duration in enumerate(durations, start=1):
        if shared[-1] and used + duration > hours * (1 + SLACK):
            shared.append([])
            used = 0.0
        shared[-1].append(number)
        used += duration
    nights = tuple(
        Night(
            number=number,
            set_ups=tuple(some),
            duration=math.fsum(durations[one - 1] for one in some),
        )
        for number, some in enumerate(shared, start=1)
    )
    plan = NightPlan(durations=durations, nights=nights, total=_total(edges, set_up, tracing))
    return plan, (*_long(durations, hours), *_many(plan, hours))


def _total(edges: Sequence[float], set_up: float, tracing: float) -> Figure:
    return derived(
        "work with the projector",
        len(edges) * set_up + math.fsum(edges) / tracing,
        "s",
        method="projection.night_plan v1",
        formula="set-ups × setting up + edge ÷ tracing",
        parts=(
            given("set-ups", len(edges), "-", source="this plan"),
            given("setting up, each", set_up, "s", source="nights"),
            given("edge to trace", math.fsum(edges), "m", source="artwork on the wall"),
            given("tracing", tracing, "m/s", source="nights"),
        ),
    )


def _long(durations: Sequence[float], hours: float) -> tuple[Finding, ...]:
    long = [i for i, duration in enumerate(durations, 1) if duration > hours * (1 + SLACK)]
    if not long:
        return ()
    most = max(durations)
    return (
        Finding(
            code="projection.night_short",
            severity=Severity.WARN,
            subject=numbers_named(long),
            message=(
                f"One set-up takes up to {most / HOUR:.1f} h; a night has {hours / HOUR:.1f} h."
            ),
            remedy="Smaller images, fewer lines traced, or two people tracing.",
        ),
    )


def _many(plan: NightPlan, hours: float) -> tuple[Finding, ...]:
    if len(plan.nights) == 1:
        return ()
    shares = ", then ".join(str(len(night.set_ups)) for night in plan.nights)
    return (
        Finding(
            code="projection.nights",
            severity=Severity.NOTE,
            subject="nights",
            message=(
                f"{float(plan.total) / HOUR:.1f} h of work in nights of {hours / HOUR:.1f} h: "
                f"{len(plan.nights)} nights, {shares} set-ups."
            ),
            remedy="Book the nights together, and one more against rain.",
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class NightPower:
    """What one night draws.

    Parameters
    ----------
    energy : Figure
        Of one night. [J]
    battery : Figure or None
        How long a battery lasts under that load. [s]
    """

    energy: Figure
    battery: Figure | None


def battery_duration(capacity: float, load: float) -> float:
    """How long a full battery feeds a load, without losses. [s]

    Parameters
    ----------
    capacity : float
        Energy it gives; above 0. [J]
    load : float
        Power drawn; above 0. [W]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if not capacity > 0:
        raise ValueError("a battery holds more than 0 J")
    if not load > 0:
        raise ValueError("a load is above 0 W")
    return capacity / load


def night_power(
    projector: float, laptop: float, hours: float, battery: float | None = None
) -> tuple[NightPower, tuple[Finding, ...]]:
    """Energy of one night, and how long a battery lasts.

    Parameters
    ----------
    projector, laptop : float
        Power drawn; 0 or more, one of them above 0. [W]
    hours : float
        Of one night; above 0. [s]
    battery : float or None
        Energy a full battery gives; above 0. [J]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    Losses of an inverter are not in it; its plate says how much more to count on.
    """
    load = projector + laptop
    if not (projector >= 0 and laptop >= 0 and load > 0 and hours > 0):
        raise ValueError("powers are 0 W or more, one of them and the night above 0")
    parts = (
        given("projector", projector, "W", source="sheet of the projector"),
        given("laptop", laptop, "W", source="nights"),
    )
    energy = derived(
        "energy of one night",
        load * hours,
        "J",
        method="projection.night_power v1",
        formula="(projector + laptop) × hours",
        parts=(*parts, given("hours", hours, "s", source="nights")),
    )
    caution = Finding(
        code="projection.power_outside",
        severity=Severity.NOTE,
        subject="power",
        message=f"{load:.0f} W for {hours / HOUR:.1f} h outside, in the dark and the damp.",
        remedy=(
            "Feed it through a residual current device (30 mA; GFCI in the US), keep plugs off "
            "the ground and covered, and follow the local code, the makers' manuals and, where "
            "it asks for one, a licensed electrician."
        ),
    )
    if battery is None:
        return NightPower(energy=energy, battery=None), (caution,)
    lasts = battery_duration(battery, load)
    figure = derived(
        "battery lasts",
        lasts,
        "s",
        method="projection.battery_duration v1",
        formula="capacity ÷ (projector + laptop)",
        parts=(given("capacity", battery, "J", source="battery's plate"), *parts),
    )
    found = [caution]
    if lasts < hours * (1 - SLACK):
        found.append(
            Finding(
                code="projection.battery",
                severity=Severity.WARN,
                subject="battery",
                message=(
                    f"A battery of {battery / WATT_HOUR / 1000:.2f} kWh lasts "
                    f"{lasts / HOUR:.1f} h; the night is {hours / HOUR:.1f} h and takes "
                    f"{load * hours / WATT_HOUR / 1000:.2f} kWh."
                ),
                remedy=(
                    f"Bring {math.ceil(load * hours / battery - SLACK)} such batteries, or feed "
                    "it from the mains or an inverter generator."
                ),
            )
        )
    return NightPower(energy=energy, battery=figure), tuple(found)
