"""The paint order: for each coat its need, reserve, tins and cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from giornata.core.artwork import Colourway, Role
from giornata.core.foundation import (
    Assumption,
    Figure,
    Finding,
    Money,
    Severity,
    derived,
    given,
    total,
)
from giornata.core.works.quantities import CoatCounts, CoatLayer, PaintQuantity, ground_of
from giornata.core.works.spreading import paint_volume
from giornata.core.works.terms import PaintTerms, decided
from giornata.core.works.tins import TinOrder, tin_order

__all__ = ["LOSS", "RESERVE", "WASTE", "PaintLine", "PaintOrder", "paint_line", "paint_order"]

WASTE = Assumption(
    name="waste",
    value=0.10,
    unit="-",
    source="paint-estimating how-to page: +10 %; a coatings page: 3 to 10 % left in containers "
    "and equipment; 10 to 15 % on rough walls is common practice, no source",
    usual=(0.03, 0.15),
)
LOSS = Assumption(
    name="loss",
    value=0.0,
    unit="-",
    source="common practice, no source, for brush and roller; a coatings page gives up to 30 % "
    "for spraying in wind",
    usual=(0.0, 0.30),
)
RESERVE = Assumption(
    name="touch-up reserve",
    value=0.05,
    unit="-",
    source="common practice, no source: 5 to 10 % kept",
    usual=(0.05, 0.10),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PaintLine:
    """One line of the paint order.

    Parameters
    ----------
    layer : CoatLayer
        Primer, base coat or figure.
    number : int
        Colour number; 0 for primer. [-]
    key, name : str
        Of the paint; "primer" for primer.
    colour_hex : str or None
        Of the colourway; None for primer.
    coats : int
        At least 1. [-]
    area, need, reserve : Figure
        Painted area [m²]; what it takes, and what is kept for touch-up [m³].
    tins : TinOrder or None
        None where the job lists no tins.
    bought, left_over : Figure
        Volume ordered, and what of it the wall does not take. [m³]
    cost : Figure or None
        In the job's currency; None where no price is known.
    """

    layer: CoatLayer
    number: int
    key: str
    name: str
    colour_hex: str | None
    coats: int
    area: Figure
    need: Figure
    reserve: Figure
    tins: TinOrder | None
    bought: Figure
    left_over: Figure
    cost: Figure | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PaintOrder:
    """All paint of one option in one colourway: lines, volume needed [m³] and cost."""

    lines: tuple[PaintLine, ...]
    volume: Figure | None
    cost: Figure | None


def paint_line(
    *,
    layer: CoatLayer,
    number: int,
    key: str,
    name: str,
    colour_hex: str | None,
    area: Figure,
    coats: int,
    terms: PaintTerms,
) -> tuple[PaintLine, tuple[Finding, ...]]:
    """One line of the order: need, reserve, tins and cost of one paint.

    Parameters
    ----------
    layer : CoatLayer
        Decides which coating's spreading rate and which tin list hold.
    number, key, name, colour_hex
        As in `PaintLine`.
    area : Figure
        0 or more. [m²]
    coats : int
        At least 1. [-]
    terms : PaintTerms
        Spreading rates, waste, loss, reserve, tins.

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if coats < 1:
        raise ValueError("an order line has at least one coat")
    need = _need(layer, name, area, coats, terms)
    share = decided("paint.reserve", terms.reserve, RESERVE)
    reserve = derived(
        f"touch-up reserve, {name}",
        float(need) * float(share),
        "m³",
        method="works.paint_line v1",
        formula="need × reserve share",
        parts=(need, share),
    )
    tins = terms.primer_tins if layer is CoatLayer.PRIMER and terms.primer_tins else terms.tins
    findings: tuple[Finding, ...] = ()
    order: TinOrder | None = None
    cost: Figure | None
    if tins:
        order, findings = tin_order(float(need), float(reserve), tins, subject=name)
        bought, cost = _in_tins(name, order, need, reserve)
    else:
        bought, cost = _by_the_litre(name, need, reserve, terms.price)
    left_over = derived(
        f"left over, {name}",
        float(bought) - float(need),
        "m³",
        method="works.paint_line v1",
        formula="bought less need",
        parts=(bought, need),
    )
    line = PaintLine(
        layer=layer, number=number, key=key, name=name, colour_hex=colour_hex, coats=coats,
        area=area, need=need, reserve=reserve, tins=order, bought=bought, left_over=left_over,
        cost=cost,
    )  # fmt: skip
    return line, findings


def paint_order(
    *,
    net_area: Figure,
    quantities: Sequence[PaintQuantity],
    coats: CoatCounts,
    colourway: Colourway,
    terms: PaintTerms,
) -> tuple[PaintOrder, tuple[Finding, ...]]:
    """Paint to order: primer and base over the whole net wall, each figure paint on its area.

    Parameters
    ----------
    net_area : Figure
        The whole net wall. [m²]
    quantities : sequence of PaintQuantity
        The option's paints; exactly one is the ground.
    coats : CoatCounts
        Of the option in this colourway.
    colourway : Colourway
        Its colours.
    terms : PaintTerms
        Spreading rates, waste, loss, reserve, tins.

    Notes
    -----
    The base coat is the ground paint, over the whole net wall; the ground is not painted again.
    """
    ground = ground_of(quantities)
    wanted: list[tuple[CoatLayer, int, str, str, str | None, Figure, int]] = [
        (CoatLayer.PRIMER, 0, "primer", "Primer", None, net_area, coats.primer),
        (
            CoatLayer.BASE, ground.number, ground.key, ground.name,
            colourway.colours.get(ground.key), net_area, coats.base,
        ),
    ]  # fmt: skip
    wanted += [
        (
            CoatLayer.FIGURE, q.number, q.key, q.name, colourway.colours.get(q.key), q.area,
            coats.of(q.key),
        )
        for q in quantities
        if q.role is Role.FIGURE
    ]  # fmt: skip
    lines: list[PaintLine] = []
    findings: list[Finding] = []
    for layer, number, key, name, colour, area, count in wanted:
        if count == 0 or float(area) == 0:
            findings += _unpainted(layer, name, float(area), count)
            continue
        line, notes = paint_line(
            layer=layer, number=number, key=key, name=name, colour_hex=colour, area=area,
            coats=count, terms=terms,
        )  # fmt: skip
        lines.append(line)
        findings += notes
    if any(line.cost is None for line in lines):
        findings.append(
            Finding(
                code="works.no_paint_price",
                severity=Severity.WARN,
                subject="paint order",
                message="No tins and no price for a litre are listed, so the paint has no cost.",
                remedy="List the supplier's tins under [paint], or a price for one litre.",
            )
        )
    return PaintOrder(lines=tuple(lines), **_sums(lines)), tuple(findings)


def _need(
    layer: CoatLayer, name: str, area: Figure, coats: int, terms: PaintTerms
) -> Figure:  # fmt: skip
    coating, key = {
        CoatLayer.PRIMER: (terms.primer, "paint.primer"),
        CoatLayer.BASE: (terms.base, "paint.base"),
        CoatLayer.FIGURE: (terms.figure, "paint"),
    }[layer]
    rate = given(
        "spreading rate", coating.spreading_rate, "m²/m³",
        source=f"job file, {key}.spreading_rate",
    )  # fmt: skip
    number = given("coats", float(coats), "-", source=f"job file, {key}.coats, or the colourway")
    loss = decided("paint.loss", terms.loss, LOSS)
    waste = decided("paint.waste", terms.waste, WASTE)
    return derived(
        f"paint, {name}" if layer is not CoatLayer.BASE else f"base coat, {name}",
        paint_volume(
            float(area), coats, coating.spreading_rate, loss=float(loss), waste=float(waste)
        ),
        "m³",
        method="works.paint_volume v1",
        formula="area × coats ÷ spreading rate ÷ (1 − loss) × (1 + waste)",
        parts=(area, number, rate, loss, waste),
    )


def _in_tins(name: str, order: TinOrder, need: Figure, reserve: Figure) -> tuple[Figure, Figure]:
    """Volume bought and its cost, from the cheapest tins for need and reserve."""
    chosen = order.for_reserve
    method = "works.cheapest_tins v1"
    bought = derived(
        f"bought, {name}", chosen.volume, "m³", method=method,
        formula=f"cheapest tins that cover need and reserve: {chosen}", parts=(need, reserve),
    )  # fmt: skip
    prices = tuple(
        given(f"tin of {1000 * tin.volume:.4g} L, each of {count}", tin.price.amount,
              tin.price.currency, source="job file, paint.tins")
        for tin, count in chosen.counts
    )  # fmt: skip
    cost = derived(
        f"cost, {name}", chosen.cost.rounded().amount, chosen.cost.currency, method=method,
        formula="tins × their price", parts=(bought, *prices),
    )  # fmt: skip
    return bought, cost


def _by_the_litre(
    name: str, need: Figure, reserve: Figure, price: Money | None
) -> tuple[Figure, Figure | None]:
    bought = derived(
        f"bought, {name}", float(need) + float(reserve), "m³", method="works.paint_line v1",
        formula="need + reserve; no tins listed", parts=(need, reserve),
    )  # fmt: skip
    if price is None:
        return bought, None
    each = given("price of a litre", price.amount, price.currency, source="job file, paint.price")
    litres = Decimal(repr(1000 * float(bought)))
    cost = derived(
        f"cost, {name}", (price * litres).rounded().amount, price.currency,
        method="works.paint_line v1", formula="bought × price of a litre", parts=(bought, each),
    )  # fmt: skip
    return bought, cost


def _sums(lines: Sequence[PaintLine]) -> dict[str, Figure | None]:
    """Volume and cost of all lines; None where there is nothing, or a price is missing."""
    if not lines:
        return {"volume": None, "cost": None}
    volume = derived(
        "paint", sum(float(line.need) for line in lines), "m³", method="works.paint_order v1",
        formula="sum over primer, base coat and figure paints",
        parts=tuple(line.need for line in lines),
    )  # fmt: skip
    costs = tuple(line.cost for line in lines if line.cost is not None)
    if len(costs) < len(lines):
        return {"volume": volume, "cost": None}
    currency = costs[0].unit
    amount = total(
        (Money(amount=Decimal(cost.value), currency=cost.unit) for cost in costs), currency
    )
    cost = derived(
        "paint cost", amount.amount, currency, method="works.paint_order v1",
        formula="sum over the order's lines", parts=costs,
    )  # fmt: skip
    return {"volume": volume, "cost": cost}


def _unpainted(layer: CoatLayer, name: str, area: float, coats: int) -> list[Finding]:
    """An area that gets no coat although it is on the wall; primer is left out silently."""
    if coats > 0 or area == 0 or layer is CoatLayer.PRIMER:
        return []
    ground = layer is CoatLayer.BASE
    return [
        Finding(
            code="works.no_coats",
            severity=Severity.NOTE if ground else Severity.WARN,
            subject=name,
            message="The ground gets no coat, so the bare wall is the ground."
            if ground
            else f"{name} covers {area:.1f} m² and gets 0 coats.",
            remedy="Set the coats of the base, or of this paint in the colourway.",
        )
    ]
