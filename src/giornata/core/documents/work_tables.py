"""Tables of the works and the price: options side by side, price, paint order, one more coat."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from giornata.core.documents.tables import Cell, Column, Table
from giornata.core.foundation import Figure, System, shown
from giornata.core.job import JobResults, Scheme
from giornata.core.works import Tin

__all__ = ["extra_coat_table", "option_table", "paint_order_table", "price_table", "tin_name"]


def option_table(results: JobResults) -> Table:
    """Every option in every colourway, one row each."""
    currency = results.inputs.price.currency
    paints = results.inputs.paints
    rows: list[tuple[Cell, ...]] = []
    for scheme in results.schemes:
        row = scheme.row
        areas, coats = dict(row.areas), dict(row.coats)
        rows.append(
            (
                row.option_key, row.option_name, row.colourway_key, row.colourway_name,
                "yes" if scheme is results.scheme else "no",
                row.edge, row.volume, scheme.plan.order.cost, scheme.plan.labour.total, row.hours,
                row.work_days, row.calendar_days, row.booked_days, row.lift_days,
                row.price, row.total, row.per_square_metre, row.per_square_foot, row.per_hour,
                None if scheme.floor is None else scheme.floor.floor,
                row.primer_coats,
                *(areas.get(paint.key) for paint in paints),
                *(coats.get(paint.key) for paint in paints),
            )
        )  # fmt: skip
    return Table(
        name="options",
        title="Options and colourways side by side",
        columns=(
            Column(head="Option"),
            Column(head="Option name"),
            Column(head="Colourway"),
            Column(head="Colourway name"),
            Column(head="Chosen"),
            Column(head="Edge", unit="m"),
            Column(head="Paint", unit="m³"),
            Column(head="Cost of paint", unit=currency),
            Column(head="Painting hours", unit="s"),
            Column(head="Hours with nights", unit="s"),
            Column(head="Days of work", unit="days"),
            Column(head="Working days on the calendar", unit="days"),
            Column(head="Days to book", unit="days", digits=0),
            Column(head="Lift", unit="days", digits=0),
            Column(head="Price before tax", unit=currency),
            Column(head="Total", unit=currency),
            Column(head="Price for a net m²", unit=currency),
            Column(head="Price for a net sq ft", unit=currency),
            Column(head="Price for an hour", unit=currency),
            Column(head="Least price", unit=currency),
            Column(head="Primer, coats"),
            *(Column(head=f"{paint.number} {paint.name}", unit="m²") for paint in paints),
            *(Column(head=f"{paint.number} {paint.name}, coats") for paint in paints),
        ),
        rows=tuple(rows),
    )


def price_table(scheme: Scheme) -> Table:
    """The quote's lines, sums and stage payments of one option in one colourway."""
    quoted = scheme.quote
    rows: list[tuple[Cell, ...]] = [("line", line.name, line.amount) for line in quoted.lines]
    sums = [
        ("subtotal", "Subtotal", quoted.subtotal),
        ("sum", "Contingency", quoted.contingency),
        ("subtotal", "Price before tax", quoted.before_tax),
        ("sum", "Tax", quoted.tax),
        ("total", "Total", quoted.total),
    ]
    stages = [("stage", stage.name, stage.amount) for stage in quoted.stages]
    return Table(
        name="price",
        title="Price: lines, sums and stage payments",
        columns=(
            Column(head="Kind"),
            Column(head="Line"),
            Column(head="Amount", unit=quoted.total.unit),
        ),
        rows=(*rows, *sums, *stages),
    )


def paint_order_table(scheme: Scheme, system: System) -> Table:
    """What to buy for one option in one colourway, in the order it goes on."""
    order = scheme.plan.order
    sizes = _tin_sizes(scheme)
    rows: list[tuple[Cell, ...]] = []
    for line in order.lines:
        counts = {} if line.tins is None else dict(line.tins.for_reserve.counts)
        rows.append(
            (
                line.layer.value, line.number or None, line.name, line.colour_hex or "",
                line.area, line.coats, line.need, line.reserve,
                *((counts.get(tin, 0) for tin in sizes) if line.tins else (None for _ in sizes)),
                line.bought, line.left_over, line.cost,
            )
        )  # fmt: skip
    counted = [
        sum(
            dict(line.tins.for_reserve.counts).get(tin, 0)
            for line in order.lines
            if line.tins is not None
        )
        for tin in sizes
    ]
    currency = scheme.quote.total.unit
    total: tuple[Cell, ...] = (
        "all", None, "All paints", "", None, None,
        _sum([line.need for line in order.lines]),
        _sum([line.reserve for line in order.lines]),
        *counted,
        _sum([line.bought for line in order.lines]),
        _sum([line.left_over for line in order.lines]),
        order.cost,
    )  # fmt: skip
    return Table(
        name="paint-order",
        title="Paint to buy",
        columns=(
            Column(head="Coat"),
            Column(head="No."),
            Column(head="Paint"),
            Column(head="Colour"),
            Column(head="Area", unit="m²"),
            Column(head="Coats"),
            Column(head="Need", unit="m³"),
            Column(head="Touch-up reserve", unit="m³"),
            *(Column(head=f"Tins of {tin_name(tin, system)}") for tin in sizes),
            Column(head="Bought", unit="m³"),
            Column(head="Left over", unit="m³"),
            Column(head="Cost", unit=currency),
        ),
        rows=tuple(rows),
        totals=(total,) if rows else (),
    )


def tin_name(tin: Tin, system: System) -> str:
    """Size of a tin as its label says it: whole centilitres ("15 L"), else in the reader's unit.

    Examples
    --------
    >>> from decimal import Decimal
    >>> from giornata.core.foundation import Money
    >>> free = Money(amount=Decimal(0), currency="USD")
    >>> tin_name(Tin(volume=0.015, price=free), System.US)
    '15 L'
    >>> tin_name(Tin(volume=0.003785411784, price=free), System.US)
    '1 gal'
    """
    litres = 1000 * tin.volume
    if abs(litres - round(litres, 2)) < 1e-6:
        return f"{round(litres, 2):g} L"
    number, unit = shown(tin.volume, "m³", system, digits=3).split(" ", 1)
    return f"{number.rstrip('0').rstrip('.')} {unit}"


def extra_coat_table(scheme: Scheme) -> Table:
    """What one more coat of each paint adds, one at a time."""
    currency = scheme.quote.total.unit
    return Table(
        name="one-more-coat",
        title="What one more coat of a paint adds",
        columns=(
            Column(head="Coat"),
            Column(head="No."),
            Column(head="Paint"),
            Column(head="Coats then"),
            Column(head="Hours", unit="s"),
            Column(head="Paint added", unit="m³"),
            Column(head="Tins added", unit=currency),
            Column(head="Tins and hours", unit=currency),
        ),
        rows=tuple(
            (
                one.layer.value, one.number or None, one.name, one.coats, one.hours, one.volume,
                one.paint_cost, one.cost,
            )
            for one in scheme.extra_coats
        ),
    )  # fmt: skip


def _tin_sizes(scheme: Scheme) -> tuple[Tin, ...]:
    """Tins on the order, largest first."""
    tins = {
        tin: None
        for line in scheme.plan.order.lines
        if line.tins is not None
        for tin, _ in line.tins.for_reserve.counts
    }
    return tuple(sorted(tins, key=lambda tin: (-tin.volume, tin.price.amount)))


def _sum(figures: Sequence[Figure]) -> float | Decimal:
    return sum(map(float, figures))
