"""Options side by side: what each takes, costs and earns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from giornata.core.artwork import Colourway, Option
from giornata.core.foundation import Assumption, Figure, Finding, Severity, derived
from giornata.core.pricing.amounts import amount_of, hours_of, reckoned_amount
from giornata.core.pricing.quote import Quote
from giornata.core.pricing.terms import PriceBasis
from giornata.core.works import Task, WorkPlan

__all__ = ["UNEVEN_EARNINGS", "Candidate", "OptionRow", "compare", "option_row"]

UNEVEN_EARNINGS = Assumption(
    name="least earning in an hour, against the best option",
    value=0.7,
    unit="-",
    source="common practice, no source",
    usual=(0.6, 0.9),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """An option in a colourway with its works and its quote.

    Parameters
    ----------
    option, colourway
        Of the job.
    plan : WorkPlan
        Its works.
    quote : Quote
        Its price.
    night_time : Figure or None
        Person-time of the projection nights, where planned. [s]
    """

    option: Option
    colourway: Colourway
    plan: WorkPlan
    quote: Quote
    night_time: Figure | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OptionRow:
    """One row of the option sheet.

    Parameters
    ----------
    option_key, option_name, colourway_key, colourway_name : str
        Which it is.
    areas : tuple of (str, Figure)
        Paint key and visible area, in the order of painting. [m²]
    edge : Figure
        Edge cut in, each once. [m]
    coats : tuple of (str, int)
        Paint key and coats; the ground's are the base coats. [-]
    primer_coats : int
        Over the whole net wall. [-]
    volume : Figure or None
        All paint needed. [m³]
    hours : Figure
        Person-time of painting and of the nights. [s]
    work_days, calendar_days, booked_days : Figure
        Of the painting: on the wall, on the calendar, whole. [days]
    lift_days : Figure or None
        None where no lift is hired. [days]
    price, total : Figure
        Before tax, and with tax.
    per_square_metre, per_square_foot : Figure
        Price before tax for a unit of net wall.
    per_hour : Figure
        Price before tax for an hour of one person.
    area_charge_per_hour : Figure
        Charge for the area alone for an hour of one person.
    base_share : Figure
        Of the base coats in the painting hours. [-]
    """

    option_key: str
    option_name: str
    colourway_key: str
    colourway_name: str
    areas: tuple[tuple[str, Figure], ...]
    edge: Figure
    coats: tuple[tuple[str, int], ...]
    primer_coats: int
    volume: Figure | None
    hours: Figure
    work_days: Figure
    calendar_days: Figure
    booked_days: Figure
    lift_days: Figure | None
    price: Figure
    total: Figure
    per_square_metre: Figure
    per_square_foot: Figure
    per_hour: Figure | None
    area_charge_per_hour: Figure | None
    base_share: Figure


def option_row(candidate: Candidate) -> OptionRow:
    """What one option takes, costs and earns in one colourway."""
    plan, quoted = candidate.plan, candidate.quote
    hours = _all_hours(plan, candidate.night_time)
    coats = dict(plan.coats.figures)
    return OptionRow(
        option_key=candidate.option.key,
        option_name=candidate.option.name,
        colourway_key=candidate.colourway.key,
        colourway_name=candidate.colourway.name,
        areas=tuple((q.key, q.area) for q in plan.quantities),
        edge=plan.edge,
        coats=tuple((q.key, coats.get(q.key, plan.coats.base)) for q in plan.quantities),
        primer_coats=plan.coats.primer,
        volume=plan.order.volume,
        hours=hours,
        work_days=plan.days.work,
        calendar_days=plan.days.calendar,
        booked_days=plan.days.booked,
        lift_days=None if plan.lift is None else plan.lift.days,
        price=quoted.before_tax,
        total=quoted.total,
        per_square_metre=quoted.per_square_metre,
        per_square_foot=quoted.per_square_foot,
        per_hour=_per_hour("price for an hour", quoted.before_tax, hours),
        area_charge_per_hour=_per_hour("charge for the area, an hour", quoted.area_charge, hours),
        base_share=plan.labour.base_share,
    )


def compare(candidates: Sequence[Candidate]) -> tuple[tuple[OptionRow, ...], tuple[Finding, ...]]:
    """Options side by side, with warnings where one price basis pays them unevenly.

    Parameters
    ----------
    candidates : sequence of Candidate
        In the order of the sheet.
    """
    rows = tuple(option_row(candidate) for candidate in candidates)
    findings = [*_uneven(rows)]
    for candidate, row in zip(candidates, rows, strict=True):
        if candidate.quote.basis is PriceBasis.FIGURE:
            findings += _base_unbilled(candidate.plan, row)
    return rows, tuple(findings)


def _all_hours(plan: WorkPlan, night_time: Figure | None) -> Figure:
    if night_time is None:
        return plan.labour.total
    return derived(
        "hours with nights", float(plan.labour.total) + float(night_time), "s",
        method="pricing.option_row v1", formula="painting hours + night hours of all people",
        parts=(plan.labour.total, night_time),
    )  # fmt: skip


def _per_hour(name: str, price: Figure, hours: Figure) -> Figure | None:
    worked = hours_of(hours)
    if not worked > 0:
        return None
    return reckoned_amount(
        name, amount_of(price) / worked, method="pricing.option_row v1",
        formula=f"{price.name} ÷ hours", parts=(price, hours),
    )  # fmt: skip


def _uneven(rows: Sequence[OptionRow]) -> tuple[Finding, ...]:
    """Rows whose area charge earns much less in an hour than the best row's."""
    earning = [(row, row.area_charge_per_hour) for row in rows]
    paid = [(row, figure) for row, figure in earning if figure is not None]
    if len(paid) < 2:
        return ()
    best_row, best = max(paid, key=lambda pair: pair[1].value)
    return tuple(
        Finding(
            code="pricing.uneven_earnings",
            severity=Severity.WARN,
            subject=_title(row),
            message=f"At one area price it earns {amount_of(figure)} an hour, "
            f"{100 * float(figure) / float(best):.0f} % of what {_title(best_row)} earns "
            f"({amount_of(best)}): {float(row.edge):.0f} m of edge against "
            f"{float(best_row.edge):.0f} m.",
            remedy="Give it a rate of its own, or add a line for its edges.",
        )
        for row, figure in paid
        if float(figure) < UNEVEN_EARNINGS.value * float(best)
    )


def _base_unbilled(plan: WorkPlan, row: OptionRow) -> tuple[Finding, ...]:
    base = plan.labour.of(Task.BASE) / 3600
    if not base > 0:
        return ()
    return (
        Finding(
            code="pricing.base_unbilled",
            severity=Severity.WARN,
            subject=_title(row),
            message="Only the figure's area is billed, but the base coat goes over the whole wall: "
            f"{base:.1f} of {float(plan.labour.total) / 3600:.1f} h "
            f"({100 * float(row.base_share):.0f} %).",
            remedy="Bill the net wall, or add a line for the base coat.",
        ),
    )


def _title(row: OptionRow) -> str:
    return f"option {row.option_key} in {row.colourway_name}"
