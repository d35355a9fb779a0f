"""Power of the night: load, energy, battery, inverter, circuit and idling vehicle."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from giornata.core.foundation import Assumption, Figure, derived, given
from giornata.core.works.energy import energy
from giornata.core.works.nights import LAPTOP, NightPlan
from giornata.core.works.terms import NightTerms, decided

__all__ = [
    "CONTINUOUS", "CONTINUOUS_SHARE", "IDLING", "INVERTER", "POWER_FACTOR", "USABLE_CHARGE",
    "Consumer", "PowerPlan", "PowerSource", "PowerTerms", "power_plan",
]  # fmt: skip

CONTINUOUS = Assumption(
    name="time from which a load counts as continuous",
    value=3 * 3600.0,
    unit="s",
    source="NFPA 70 (National Electrical Code), article 100: maximum current for 3 h or more",
)
CONTINUOUS_SHARE = Assumption(
    name="share of its rating that a continuous load may take",
    value=0.8,
    unit="-",
    source="NFPA 70, 210.19(A) and 210.20(A): rating at least 125 % of the continuous load; for "
    "inverters and generators common practice, no source",
)
POWER_FACTOR = Assumption(
    name="power factor of projector and laptop supplies",
    value=0.9,
    unit="-",
    source="common practice, no source: corrected supplies 0.9 to 1, small chargers less",
    usual=(0.6, 1.0),
)
INVERTER = Assumption(
    name="share of a battery's energy that the inverter passes on",
    value=0.85,
    unit="-",
    source="common practice, no source: makers print 85 to 92 % at best",
    usual=(0.75, 0.92),
)
USABLE_CHARGE = Assumption(
    name="share of a battery's energy that may be drawn",
    value=0.8,
    unit="-",
    source="common practice, no source: lithium 80 to 90 %, lead 50 %; less in the cold",
    usual=(0.5, 0.9),
)
IDLING = Assumption(
    name="power an idling car can give beside its own needs",
    value=400.0,
    unit="W",
    source="common practice, no source: alternators give a part of their rating at idle",
    usual=(200.0, 800.0),
)


class PowerSource(StrEnum):
    """Where the power of the night comes from."""

    MAINS = "mains"
    BATTERY = "battery"
    GENERATOR = "generator"
    VEHICLE = "vehicle"


@dataclass(frozen=True, slots=True, kw_only=True)
class Consumer:
    """Something else that draws power.

    Parameters
    ----------
    name : str
        As the painter calls it.
    power : float
        0 or more. [W]
    """

    name: str
    power: float

    def __post_init__(self) -> None:
        if not 0 <= self.power < math.inf:
            raise ValueError("power is 0 W or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerTerms:
    """Where the power of the nights comes from.

    Parameters
    ----------
    source : PowerSource
        Mains, battery, generator or vehicle.
    battery : float or None
        Energy printed on one battery; above 0. [J]
    batteries : int
        That are brought; at least 1. [-]
    usable : float or None
        Share of it that may be drawn, above 0 to 1; None is `USABLE_CHARGE`. [-]
    efficiency : float or None
        Share the inverter passes on, above 0 to 1; None is `INVERTER`. [-]
    rating : float or None
        Continuous rating of inverter or generator; above 0. [W]
    circuit : float or None
        Rating of the circuit's breaker or fuse; above 0. [A]
    voltage : float
        Of the supply; above 0. [V]
    others : tuple of Consumer
        What runs beside projector and laptop.
    """

    source: PowerSource
    battery: float | None = None
    batteries: int = 1
    usable: float | None = None
    efficiency: float | None = None
    rating: float | None = None
    circuit: float | None = None
    voltage: float = 230.0
    others: tuple[Consumer, ...] = ()

    def __post_init__(self) -> None:
        positive = (self.battery, self.rating, self.circuit, self.voltage)
        if any(one is not None and not 0 < one < math.inf for one in positive):
            raise ValueError("battery, rating, circuit and voltage are above 0")
        if any(one is not None and not 0 < one <= 1 for one in (self.usable, self.efficiency)):
            raise ValueError("usable charge and efficiency are above 0 and at most 100 %")
        if self.batteries < 1:
            raise ValueError("batteries are 1 or more")
        if self.source is PowerSource.BATTERY and self.battery is None:
            raise ValueError("a battery needs its energy")

    @property
    def inverted(self) -> bool:
        """Whether an inverter makes the power from direct current."""
        return self.source in (PowerSource.BATTERY, PowerSource.VEHICLE)


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerPlan:
    """Power and energy of the longest night.

    Parameters
    ----------
    load : Figure
        Of all that runs together. [W]
    time : Figure
        Of the longest night. [s]
    energy : Figure
        Drawn in it. [J]
    current : Figure or None
        At the supply's voltage; None without a source. [A]
    printed_time : Figure or None
        How long one battery lasts by the energy printed on it. [s]
    battery_time : Figure or None
        How long the batteries brought last, through the inverter and no deeper than they may be
        drawn. [s]
    batteries : Figure or None
        Of that kind needed for the night. [-]
    """

    load: Figure
    time: Figure
    energy: Figure
    current: Figure | None = None
    printed_time: Figure | None = None
    battery_time: Figure | None = None
    batteries: Figure | None = None


def power_plan(
    projector: float, nights: NightTerms, plan: NightPlan, terms: PowerTerms | None
) -> PowerPlan:
    """Power and energy of the longest night, and what a battery makes of it.

    Parameters
    ----------
    projector : float
        Power it draws; 0 or more. [W]
    nights : NightTerms
        For the laptop.
    plan : NightPlan
        For the longest night.
    terms : PowerTerms or None
        Where the power comes from; None where that is not decided.

    Raises
    ------
    ValueError
        If the projector's power is below 0.
    """
    if not projector >= 0:
        raise ValueError("power is 0 W or more")
    parts = [
        given("power of the projector", projector, "W", source="job file, projector.power"),
        decided("nights.laptop", nights.laptop, LAPTOP),
        *(
            given(f"power of {one.name}", one.power, "W", source="job file, power.others")
            for one in (terms.others if terms else ())
        ),
    ]
    load = derived(
        "load", sum(map(float, parts)), "W", method="works.power_plan v1",
        formula="sum of what runs together", parts=tuple(parts),
    )  # fmt: skip
    time = _longest(plan)
    used = energy([load], time)
    if terms is None:
        return PowerPlan(load=load, time=time, energy=used)
    voltage = given("voltage", terms.voltage, "V", source="job file, power.voltage")
    current = derived(
        "current", float(load) / terms.voltage / POWER_FACTOR.value, "A",
        method="works.power_plan v1", formula="load ÷ voltage ÷ power factor",
        parts=(load, voltage, POWER_FACTOR.figure()),
    )  # fmt: skip
    if terms.battery is None or float(load) == 0:
        return PowerPlan(load=load, time=time, energy=used, current=current)
    return PowerPlan(
        load=load, time=time, energy=used, current=current, **_battery(terms, load, used)
    )


def _battery(terms: PowerTerms, load: Figure, used: Figure) -> dict[str, Figure]:
    held = given(
        "energy of one battery", terms.battery or 0.0, "J", source="job file, power.battery"
    )
    count = given("batteries", float(terms.batteries), "-", source="job file, power.batteries")
    usable = decided("power.usable", terms.usable, USABLE_CHARGE)
    efficiency = decided("power.efficiency", terms.efficiency, INVERTER)
    one = float(held) * float(usable) * float(efficiency)
    return {
        "printed_time": derived(
            "battery hours by its plate", float(held) / float(load), "s",
            method="works.running_time v1", formula="energy of the battery ÷ load",
            parts=(held, load),
        ),
        "battery_time": derived(
            "battery hours", float(count) * one / float(load), "s",
            method="works.power_plan v1",
            formula="batteries × energy of the battery × usable share × inverter's share ÷ load",
            parts=(count, held, usable, efficiency, load),
        ),
        "batteries": derived(
            "batteries for the night", float(math.ceil(float(used) / one - 1e-9)), "-",
            method="works.power_plan v1",
            formula="energy ÷ (energy of the battery × usable share × inverter's share), rounded "
            "up",
            parts=(used, held, usable, efficiency),
        ),
    }  # fmt: skip


def _longest(plan: NightPlan) -> Figure:
    def sums(group: Sequence[int]) -> float:
        return sum(float(plan.set_ups[number - 1]) for number in group)

    group = max(plan.nights, key=sums)
    return derived(
        "longest night", sums(group), "s", method="works.night_plan v1",
        formula="sum over set-ups", parts=tuple(plan.set_ups[number - 1] for number in group),
    )  # fmt: skip
