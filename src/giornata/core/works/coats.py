"""Coats and hiding: what several ways to cover the wall cost in paint and hours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from giornata.core.foundation import Figure, Finding, Money, Severity, derived, given, total
from giornata.core.works.spreading import paint_volume

__all__ = ["CoatSystem", "SystemCost", "SystemLayer", "cheapest_system", "system_cost"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SystemLayer:
    """Coats of one material in a coat system.

    Parameters
    ----------
    name : str
        "orange", "tinted primer".
    coats : int
        At least 1. [-]
    spreading_rate : float
        Per coat, above 0. [m²/m³]
    price : Money
        Of one litre.
    fill : float
        Area filled by one person per coat, above 0. [m²/s]
    edge : float
        Edge cut by one person per coat, above 0. [m/s]
    """

    name: str
    coats: int
    spreading_rate: float
    price: Money
    fill: float
    edge: float

    def __post_init__(self) -> None:
        if self.coats < 1 or not min(self.spreading_rate, self.fill, self.edge) > 0:
            raise ValueError("a layer has at least one coat, and rates above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatSystem:
    """Layers from the wall outwards that are thought to cover it; at least one."""

    name: str
    layers: tuple[SystemLayer, ...]

    def __post_init__(self) -> None:
        if not self.layers:
            raise ValueError("a coat system has at least one layer")


@dataclass(frozen=True, slots=True, kw_only=True)
class SystemCost:
    """What a coat system takes: volume of each layer [m³], person-time [s], money."""

    system: CoatSystem
    volumes: tuple[Figure, ...]
    duration: Figure
    cost: Figure

    @property
    def money(self) -> Money:
        """The cost as an amount."""
        return Money(amount=Decimal(self.cost.value), currency=self.cost.unit)


def system_cost(
    system: CoatSystem, *, area: Figure, edge: Figure, waste: float, hour: Money
) -> SystemCost:
    """Paint, hours and money of one way to cover an area. [m³], [s]

    Parameters
    ----------
    system : CoatSystem
        Its layers.
    area, edge : Figure
        To be covered [m²]; to be cut in with each coat [m].
    waste : float
        Fraction of paint added on top, 0 or more. [-]
    hour : Money
        What an hour of one person costs.

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    method = "works.system_cost v1"
    extra = given("waste", waste, "-", source="job file, paint.waste")
    volumes, durations, prices = [], [], []
    for layer in system.layers:
        coats = given(f"coats, {layer.name}", float(layer.coats), "-", source="coat system")
        rate = given("spreading rate", layer.spreading_rate, "m²/m³", source="coat system")
        fill = given("fill", layer.fill, "m²/s", source="coat system")
        cut = given("edge", layer.edge, "m/s", source="coat system")
        volumes.append(
            derived(
                f"paint, {layer.name}",
                paint_volume(float(area), layer.coats, layer.spreading_rate, waste=waste),
                "m³",
                method="works.paint_volume v1",
                formula="area × coats ÷ spreading rate × (1 + waste)",
                parts=(area, coats, rate, extra),
            )
        )
        durations.append(
            derived(
                f"hours, {layer.name}",
                layer.coats * (float(area) / layer.fill + float(edge) / layer.edge),
                "s",
                method=method,
                formula="coats × (area ÷ fill rate + edge ÷ edge rate)",
                parts=(area, edge, coats, fill, cut),
            )
        )
        prices.append(
            given(
                f"a litre of {layer.name}", layer.price.amount, layer.price.currency,
                source="coat system",
            )
        )  # fmt: skip
    duration = derived(
        f"hours, {system.name}", sum(map(float, durations)), "s", method=method,
        formula="sum over layers", parts=tuple(durations),
    )  # fmt: skip
    paint = total(
        (
            layer.price * Decimal(repr(1000 * float(volume)))
            for layer, volume in zip(system.layers, volumes, strict=True)
        ),
        hour.currency,
    )
    money = (paint + hour * Decimal(repr(float(duration) / 3600))).rounded()
    wage = given(
        "an hour of one person", hour.amount, hour.currency, source="job file, labour.hour"
    )
    return SystemCost(
        system=system,
        volumes=tuple(volumes),
        duration=duration,
        cost=derived(
            f"cost, {system.name}", money.amount, money.currency, method=method,
            formula="litres × price of a litre + hours × an hour",
            parts=(*volumes, *prices, duration, wage),
        ),
    )  # fmt: skip


def cheapest_system(
    quoted: SystemCost, covering: Sequence[SystemCost], *, subject: str
) -> tuple[SystemCost, tuple[Finding, ...]]:
    """The cheapest of the systems that cover, with a finding where more was quoted than it takes.

    Parameters
    ----------
    quoted : SystemCost
        What the quote reckons with.
    covering : sequence of SystemCost
        Systems the brush-out showed to cover, at least one.
    subject : str
        The paint.

    Raises
    ------
    ValueError
        If no system is offered.
    """
    if not covering:
        raise ValueError("at least one system that covers is needed")
    ranked = sorted(covering, key=lambda each: (each.cost.value, each.system.name))
    best, dearest = ranked[0], ranked[-1]
    short = best.money - quoted.money
    if not short.amount > 0:
        return best, ()
    other = (
        f", and {dearest.money - quoted.money} with {dearest.system.name}"
        if dearest is not best
        else ""
    )
    return best, (
        Finding(
            code="works.coats_short",
            severity=Severity.WARN,
            subject=subject,
            message=f"Quoted with {quoted.system.name} at {quoted.money}, which does not cover; "
            f"{best.system.name} costs {best.money}: the quote is short by {short}{other}.",
            remedy=f"Plan {best.system.name} and put it into the price.",
        ),
    )
