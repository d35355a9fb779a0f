"""Sensitivity: what one more coat of a paint adds in hours, litres and money."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.foundation import Figure, Money, derived, given
from giornata.core.pricing.amounts import (
    amount_of,
    given_amount,
    hours_of,
    reckoned_amount,
)
from giornata.core.works import (
    CoatLayer,
    LabourTerms,
    PaintLine,
    PaintTerms,
    WorkPlan,
    paint_line,
    working_time,
)

__all__ = ["ExtraCoat", "extra_coats"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ExtraCoat:
    """What one more coat of a paint adds.

    Parameters
    ----------
    layer, number, key, name
        Of the paint, as in the order.
    coats : int
        With the one more. [-]
    hours : Figure
        Person-time added. [s]
    volume : Figure
        Paint added. [m³]
    paint_cost : Figure or None
        Of the tins added; None where the paint has no price.
    cost : Figure or None
        Tins and hours; None where the paint or an hour has no price.
    """

    layer: CoatLayer
    number: int
    key: str
    name: str
    coats: int
    hours: Figure
    volume: Figure
    paint_cost: Figure | None
    cost: Figure | None


def extra_coats(
    plan: WorkPlan, *, paint: PaintTerms, rates: LabourTerms
) -> tuple[ExtraCoat, ...]:  # fmt: skip
    """One more coat of each paint on the order, one at a time.

    Parameters
    ----------
    plan : WorkPlan
        Of an option in a colourway.
    paint : PaintTerms
        As the plan was made with.
    rates : LabourTerms
        As the plan was made with; ``hour`` prices the hours.
    """
    return tuple(_extra_coat(line, plan, paint, rates) for line in plan.order.lines)


def _extra_coat(
    line: PaintLine, plan: WorkPlan, paint: PaintTerms, rates: LabourTerms
) -> ExtraCoat:  # fmt: skip
    more, _ = paint_line(
        layer=line.layer, number=line.number, key=line.key, name=line.name,
        colour_hex=line.colour_hex, area=line.area, coats=line.coats + 1, terms=paint,
    )  # fmt: skip
    method = "pricing.extra_coats v1"
    hours = _hours(line, plan, rates)
    volume = derived(
        f"paint for one more coat, {line.name}", float(more.need) - float(line.need), "m³",
        method=method, formula="need with one more coat − need", parts=(more.need, line.need),
    )  # fmt: skip
    paint_cost = cost = None
    if more.cost is not None and line.cost is not None:
        added = amount_of(more.cost) - amount_of(line.cost)
        paint_cost = reckoned_amount(
            f"tins for one more coat, {line.name}", added, method=method,
            formula="tins with one more coat − tins", parts=(more.cost, line.cost),
        )  # fmt: skip
        if rates.hour is not None:
            cost = _cost(line.name, paint_cost, hours, rates.hour)
    return ExtraCoat(
        layer=line.layer, number=line.number, key=line.key, name=line.name, coats=line.coats + 1,
        hours=hours, volume=volume, paint_cost=paint_cost, cost=cost,
    )  # fmt: skip


def _hours(line: PaintLine, plan: WorkPlan, rates: LabourTerms) -> Figure:
    rate = {
        CoatLayer.PRIMER: rates.rates.primer,
        CoatLayer.BASE: rates.rates.base,
        CoatLayer.FIGURE: rates.rates.fill,
    }[line.layer]
    key = {CoatLayer.PRIMER: "primer", CoatLayer.BASE: "base", CoatLayer.FIGURE: "fill"}[line.layer]
    duration = working_time(float(line.area), 1, rate)
    parts = [line.area, given(f"{key} rate", rate, "m²/s", source=f"job file, labour.{key}")]
    for quantity in plan.quantities:
        if quantity.key == line.key and line.layer is not CoatLayer.PRIMER:
            duration += working_time(float(quantity.cut_edge), 1, rates.rates.edge)
            edge = given("edge rate", rates.rates.edge, "m/s", source="job file, labour.edge")
            parts += [quantity.cut_edge, edge]
    return derived(
        f"hours for one more coat, {line.name}", duration, "s", method="pricing.extra_coats v1",
        formula="area ÷ rate + edge ÷ edge rate" if len(parts) > 2 else "area ÷ rate",
        parts=tuple(parts),
    )  # fmt: skip


def _cost(name: str, paint_cost: Figure, hours: Figure, hour: Money) -> Figure:
    wages = hour * hours_of(hours)
    return reckoned_amount(
        f"one more coat, {name}", amount_of(paint_cost) + wages, method="pricing.extra_coats v1",
        formula="tins + hours × an hour",
        parts=(paint_cost, hours, given_amount("an hour of one person", hour, "labour.hour")),
    )  # fmt: skip
