"""Price, paint and hours of one option in one colourway."""

from __future__ import annotations

from giornata.cli.report import Cell, Column, Fact, Facts, Report, Section, Table
from giornata.core import works
from giornata.core.job import JobResults, Scheme

__all__ = ["hours_page", "paint_page", "price_page"]

_OF_PAINT = (
    "works.spreading_rate", "works.test_patch", "works.tins_reserve", "works.no_paint_price",
    "works.no_coats", "works.coats_short",
)  # fmt: skip
_OF_HOURS = (
    "works.rate_unusual", "works.past_too_few", "works.past_range", "works.past_negative",
    "works.past_hours", "works.no_lift", "works.reach", "works.no_hire_tariff", "works.lift_low",
    "works.lift_indoors",
)  # fmt: skip


def _title(results: JobResults, scheme: Scheme, what: str) -> str:
    name = results.inputs.title.name
    return f"{name}, {scheme.option.name} in {scheme.colourway.name} ({scheme.key}): {what}"


def price_page(results: JobResults, scheme: Scheme) -> Report:
    """The quote: basis, lines to the cent, tax, total, stages, and what it must cover."""
    quoted, currency = scheme.quote, results.inputs.title.currency
    basis = Facts(
        facts=(
            Fact(key="basis", name="basis", value=str(quoted.basis)),
            Fact(key="billed_area", name="billed area", value=quoted.billed_area),
            Fact(key="rate_square_metre", name="rate for a m²",
                 value=str(quoted.rates.per_square_metre)),
            Fact(key="rate_square_foot", name="rate for a sq ft",
                 value=str(quoted.rates.per_square_foot),
                 remark=f"billed by the {quoted.unit}"),
        )
    )  # fmt: skip
    lines = Table(
        key="lines",
        title="Lines",
        columns=(Column(key="line", head="line"), Column(key="kind", head="kind"),
                 Column(key="amount", head="amount", unit=currency)),
        rows=tuple((line.name, str(line.kind), line.amount) for line in quoted.lines),
        total=("Subtotal", "", quoted.subtotal),
    )  # fmt: skip
    sums = [
        Fact(key="subtotal", name="subtotal", value=quoted.subtotal),
        Fact(key="contingency", name="contingency", value=quoted.contingency),
        Fact(key="price", name="price before tax", value=quoted.before_tax),
        Fact(key="tax", name="tax", value=quoted.tax),
        Fact(key="total", name="total", value=quoted.total),
        Fact(key="per_square_metre", name="for a net m²", value=quoted.per_square_metre),
        Fact(key="per_square_foot", name="for a net sq ft", value=quoted.per_square_foot),
        Fact(key="per_hour", name="for an hour of one person", value=scheme.row.per_hour),
    ]
    if quoted.design is not None:
        sums.append(Fact(key="design", name="design, within the total", value=quoted.design))
    stages = Table(
        key="stages",
        title="Stage payments",
        columns=(Column(key="stage", head="stage"),
                 Column(key="amount", head="amount", unit=currency)),
        rows=tuple((stage.name, stage.amount) for stage in quoted.stages),
        none="No stages are agreed under [price].",
    )  # fmt: skip
    sections: list[Section] = [basis, lines, Facts(title="Price", facts=tuple(sums)), stages]
    if scheme.floor is not None:
        floor = scheme.floor
        sections.append(
            Facts(
                title="What it must cover",
                facts=(
                    Fact(key="outlay", name="outlay", value=floor.outlay),
                    Fact(key="wages", name="wages", value=floor.wages),
                    Fact(key="least_price", name="least price", value=floor.floor),
                    Fact(key="margin", name="over it", value=floor.margin),
                    Fact(key="earned_per_hour", name="earned in an hour",
                         value=floor.earned_per_hour),
                ),
            )
        )  # fmt: skip
    return Report(
        title=_title(results, scheme, "price"), sections=tuple(sections), rooms=("pricing",)
    )


def paint_page(results: JobResults, scheme: Scheme) -> Report:
    """The paint order with its tins, and what one more coat would add."""
    order, currency = scheme.plan.order, results.inputs.title.currency
    lines = Table(
        key="order",
        title="Order: the cheapest tins that cover need and touch-up reserve",
        columns=(
            Column(key="layer", head="layer"),
            Column(key="paint", head="paint"),
            Column(key="coats", head="coats"),
            Column(key="need", head="need", unit="m³"),
            Column(key="reserve", head="spare", unit="m³"),
            Column(key="tins", head="tins", worded=True),
            Column(key="left_over", head="left", unit="m³"),
            Column(key="cost", head="cost", unit=currency),
        ),
        rows=tuple(
            (
                str(line.layer), line.name, line.coats, line.need, line.reserve,
                "by the litre" if line.tins is None else str(line.tins.for_reserve),
                line.left_over, line.cost,
            )
            for line in order.lines
        ),
    )  # fmt: skip
    sums = Facts(
        facts=(
            Fact(key="paint", name="paint needed", value=order.volume),
            Fact(key="paint_cost", name="cost of the order", value=order.cost),
        )
    )
    return Report(
        title=_title(results, scheme, "paint"),
        sections=(sums, lines, _more_coats(results, scheme)),
        rooms=_OF_PAINT,
    )


def _more_coats(results: JobResults, scheme: Scheme) -> Table:
    currency = results.inputs.title.currency
    rows: tuple[tuple[Cell, ...], ...] = tuple(
        (str(one.layer), one.name, one.coats, one.volume, one.hours, one.paint_cost)
        for one in scheme.extra_coats
    )
    return Table(
        key="one_more_coat",
        title="What one more coat adds",
        columns=(
            Column(key="layer", head="layer"),
            Column(key="paint", head="paint"),
            Column(key="coats", head="coats then"),
            Column(key="paint_added", head="paint", unit="m³"),
            Column(key="hours_added", head="hours", unit="s"),
            Column(key="cost_added", head="tins", unit=currency),
        ),
        rows=rows,
    )


def hours_page(results: JobResults, scheme: Scheme) -> Report:
    """Person-time by task, days, the lift, and the painter's own rates."""
    plan = scheme.plan
    lines = Table(
        key="tasks",
        title="Hours of all people together",
        columns=(
            Column(key="task", head="task"),
            Column(key="paint", head="paint"),
            Column(key="coats", head="coats"),
            Column(key="hours", head="hours", unit="s"),
        ),
        rows=tuple(
            (str(line.task), line.name, line.coats or None, line.duration)
            for line in plan.labour.lines
        ),
        total=("all painting", "", None, plan.labour.total),
    )
    days = [
        Fact(key="painting_hours", name="painting", value=plan.labour.total),
        Fact(key="hours", name="with the nights", value=scheme.row.hours),
        Fact(key="base_share", name="share of the base coats", value=plan.labour.base_share),
        Fact(key="edge_share", name="share of cutting in", value=plan.labour.edge_share),
        Fact(key="people", name="people", value=results.inputs.labour.people),
        Fact(key="work_days", name="on the wall", value=plan.days.work),
        Fact(key="calendar_days", name="on the calendar", value=plan.days.calendar,
             remark="working days, unusable ones in them"),
        Fact(key="booked_days", name="to book", value=plan.days.booked),
    ]  # fmt: skip
    sections: list[Section] = [lines, Facts(title="Days", facts=tuple(days))]
    if plan.lift is not None:
        sections.append(
            Facts(
                title="Lift",
                facts=(
                    Fact(key="lift_platform", name="platform, least", value=plan.lift.platform),
                    Fact(key="lift_days", name="days", value=plan.lift.days),
                    Fact(key="lift_periods", name="hire", value=str(plan.lift.periods)),
                    Fact(key="lift_cost", name="with delivery both ways", value=plan.lift.cost),
                ),
            )
        )
    sections.append(_own_rates(results, scheme))
    return Report(title=_title(results, scheme, "hours"), sections=tuple(sections), rooms=_OF_HOURS)


def _own_rates(results: JobResults, scheme: Scheme) -> Facts:
    """Rates from the painter's finished jobs, and what they say of this one."""
    own, _ = works.personal_rates(results.inputs.labour.past)
    past = scheme.plan.past
    if own is None or past is None:
        none = Fact(
            key="own_rates",
            name="finished jobs",
            value="too few under [labour] past to tell your own rates",
        )
        return Facts(title="Your own rates", facts=(none,))
    facts = [
        Fact(key="own_per_area", name="for figure", value=own.per_area),
        Fact(key="own_per_edge", name="for edge", value=own.per_edge),
        Fact(key="own_estimate", name="they say of this job", value=past.duration),
        Fact(key="own_by_area_alone", name="by area alone", value=past.by_area_alone),
    ]
    if past.low is not None and past.high is not None:
        facts += [
            Fact(key="own_low", name="four times in five, from", value=past.low),
            Fact(key="own_high", name="to", value=past.high),
        ]
    return Facts(title="Your own rates", facts=tuple(facts))
