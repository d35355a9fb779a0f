"""The paint order of a wall: base under everything, figures on their own area."""

from __future__ import annotations

from dataclasses import replace

import pytest

from giornata.core import works
from giornata.core.artwork import Colourway, Role
from giornata.core.foundation import Basis, Figure, Severity, System, explain, given

LITRE = 1e-3


def _order(
    net: Figure,
    quantities: tuple[works.PaintQuantity, ...],
    colourway: Colourway,
    terms: works.PaintTerms,
) -> tuple[works.PaintOrder, tuple]:
    coats = works.coat_counts(quantities, colourway, terms)
    return works.paint_order(
        net_area=net, quantities=quantities, coats=coats, colourway=colourway, terms=terms
    )


def test_n38_primer_base_and_figure(n1_net, n1_quantities, colourway, paint_terms) -> None:
    # 167.52 × 1 ÷ 7 × 1.1 = 26.32; 167.52 × 2 ÷ 6 × 1.1 = 61.42; 31 % of it 19.04 L.
    order, _ = _order(n1_net, n1_quantities(0.31, 420.0), colourway, paint_terms)
    litres = {line.layer: float(line.need) / LITRE for line in order.lines}
    assert litres == pytest.approx(
        {
            works.CoatLayer.PRIMER: 26.3,
            works.CoatLayer.BASE: 61.4,
            works.CoatLayer.FIGURE: 19.0,
        },
        abs=0.05,
    )
    assert float(order.volume) == pytest.approx(sum(float(line.need) for line in order.lines))


def test_n39_roughcast_takes_43_9_litres_more(
    n1_net, n1_quantities, colourway, paint_terms
) -> None:
    # 167.52 × 2 ÷ 3.5 × 1.1 = 105.3 L; 105.3 - 61.4 = 43.9 L.
    rough = replace(paint_terms, base=works.Coating(coats=2, spreading_rate=3.5 / LITRE))
    quantities = n1_quantities(0.31, 420.0)
    before, _ = _order(n1_net, quantities, colourway, paint_terms)
    after, _ = _order(n1_net, quantities, colourway, rough)
    base = [
        next(float(li.need) / LITRE for li in order.lines if li.layer is works.CoatLayer.BASE)
        for order in (before, after)
    ]
    assert base[1] == pytest.approx(105.3, abs=0.05)
    assert base[1] - base[0] == pytest.approx(43.9, abs=0.05)


def test_the_ground_is_painted_once_by_its_base_coats(
    n1_net, n1_quantities, colourway, paint_terms
) -> None:
    order, _ = _order(n1_net, n1_quantities(0.31, 420.0), colourway, paint_terms)
    ground = [line for line in order.lines if line.key == "haze"]
    assert [line.layer for line in ground] == [works.CoatLayer.BASE]
    assert float(ground[0].area) == pytest.approx(167.52)
    assert ground[0].colour_hex == "#c9d6d5"
    assert ground[0].coats == 2


def test_a_colourway_changes_coats_of_one_paint_and_of_the_ground(
    n1_net, n1_quantities, colourway, paint_terms
) -> None:
    # Volume goes with the coats: 3 for 2 makes 1.5 times, 1 for 2 makes half.
    quantities = n1_quantities(0.31, 420.0)
    other = replace(colourway, coats={"tide": 3, "haze": 1})
    plain, _ = _order(n1_net, quantities, colourway, paint_terms)
    changed, _ = _order(n1_net, quantities, other, paint_terms)
    needs = [{line.key: float(line.need) for line in order.lines} for order in (plain, changed)]
    assert needs[1]["tide"] / needs[0]["tide"] == pytest.approx(1.5)
    assert needs[1]["haze"] / needs[0]["haze"] == pytest.approx(0.5)
    assert needs[1]["primer"] == needs[0]["primer"]


def test_tins_cover_need_and_reserve(n1_net, n1_quantities, colourway, paint_terms) -> None:
    # N41 inside the order: base 61.4 L, cheapest with reserve 4 × 15 + 5 at 420.
    order, findings = _order(n1_net, n1_quantities(0.31, 420.0), colourway, paint_terms)
    base = next(line for line in order.lines if line.layer is works.CoatLayer.BASE)
    assert str(base.tins.for_need) == "4 × 15 L + 2 × 1 L"
    assert str(base.tins.for_reserve) == "4 × 15 L + 1 × 5 L"
    assert base.cost.value == 420
    assert base.cost.unit == "EUR"
    assert float(base.left_over) / LITRE == pytest.approx(3.6, abs=0.05)
    for line in order.lines:
        assert float(line.left_over) >= float(line.reserve) - 1e-6
    assert [f.subject for f in findings if f.code == "works.tins_reserve"] == ["Haze"]
    # Primer 26.3 + 1.3 L in 2 × 15 at 190; figure 19.0 + 1.0 L in 15 + 5 at 135.
    assert order.cost.value == 420 + 190 + 135


def test_primer_has_its_own_list_where_one_is_given(
    n1_net, n1_quantities, colourway, paint_terms, three_tins
) -> None:
    primer = works.Tin(volume=0.010, price=three_tins[0].price)
    terms = replace(paint_terms, primer_tins=(primer,))
    order, _ = _order(n1_net, n1_quantities(0.31, 420.0), colourway, terms)
    # 26.3 + 1.3 = 27.6 L from tins of 10 L: three at 95.
    assert str(order.lines[0].tins.for_reserve) == "3 × 10 L"
    assert order.lines[0].cost.value == 285


def test_by_the_litre_where_no_tins_are_listed(
    n1_net, n1_quantities, colourway, paint_terms, three_tins
) -> None:
    # Need with reserve 61.424 × 1.05 = 64.4952 L; at 40 a litre 2,579.808, to the cent 2,579.81.
    terms = replace(paint_terms, tins=(), price=three_tins[1].price)
    order, findings = _order(n1_net, n1_quantities(0.31, 420.0), colourway, terms)
    base = next(line for line in order.lines if line.layer is works.CoatLayer.BASE)
    assert base.tins is None
    assert float(base.bought) / LITRE == pytest.approx(64.4952, abs=1e-9)
    assert str(base.cost.value) == "2579.81"
    assert findings == ()


def test_no_price_is_a_finding_and_no_cost(
    n1_net, n1_quantities, colourway, paint_terms
) -> None:  # fmt: skip
    terms = replace(paint_terms, tins=())
    order, findings = _order(n1_net, n1_quantities(0.31, 420.0), colourway, terms)
    assert order.cost is None
    assert order.volume is not None
    assert [f.code for f in findings] == ["works.no_paint_price"]


def test_an_area_without_a_coat_is_found(n1_net, n1_quantities, colourway, paint_terms) -> None:
    bare = replace(colourway, coats={"tide": 0})
    order, findings = _order(n1_net, n1_quantities(0.31, 420.0), bare, paint_terms)
    assert "tide" not in {line.key for line in order.lines}
    missed = next(f for f in findings if f.code == "works.no_coats")
    assert missed.severity is Severity.WARN
    assert "51.9 m² and gets 0 coats" in missed.message


def test_a_bare_ground_is_noted(n1_net, n1_quantities, colourway, paint_terms) -> None:
    bare = replace(colourway, coats={"haze": 0})
    _, findings = _order(n1_net, n1_quantities(0.31, 420.0), bare, paint_terms)
    noted = next(f for f in findings if f.code == "works.no_coats")
    assert noted.severity is Severity.NOTE
    assert "bare wall" in noted.message


def test_nothing_to_paint_orders_nothing(n1_net, n1_quantities, colourway, paint_terms) -> None:
    terms = replace(
        paint_terms,
        primer=replace(paint_terms.primer, coats=0),
        base=replace(paint_terms.base, coats=0),
    )
    order, _ = _order(n1_net, n1_quantities(0.0, 0.0), colourway, terms)
    assert order.lines == ()
    assert order.volume is None
    assert order.cost is None


def test_the_need_explains_itself(n1_net, n1_quantities, colourway, paint_terms) -> None:
    order, _ = _order(n1_net, n1_quantities(0.31, 420.0), colourway, paint_terms)
    base = next(line for line in order.lines if line.layer is works.CoatLayer.BASE)
    text = explain(base.need, System.METRIC)
    for words in ("61.4 L", "167.52 m²", "6.00 m²/L", "waste", "loss", "1 − loss"):
        assert words in text
    assert {part.basis for part in base.need.parts} == {Basis.GIVEN}


def test_house_defaults_are_said_to_be_assumed(
    n1_net, n1_quantities, colourway, paint_terms
) -> None:
    terms = replace(paint_terms, waste=None, loss=None, reserve=None)
    order, _ = _order(n1_net, n1_quantities(0.31, 420.0), colourway, terms)
    assumed = {f.name: f.value for f in order.lines[0].bought.walk() if f.basis is Basis.ASSUMED}
    assert assumed == {"waste": 0.10, "loss": 0.0, "touch-up reserve": 0.05}


def test_exactly_one_ground(n1_quantities, colourway, paint_terms) -> None:
    figures_only = n1_quantities(0.31, 420.0)[1:]
    with pytest.raises(ValueError, match="exactly one paint is the ground"):
        works.coat_counts(figures_only, colourway, paint_terms)


def test_a_line_has_a_coat(n1_net, paint_terms) -> None:
    with pytest.raises(ValueError, match="at least one coat"):
        works.paint_line(
            layer=works.CoatLayer.BASE, number=1, key="haze", name="Haze", colour_hex=None,
            area=n1_net, coats=0, terms=paint_terms,
        )  # fmt: skip


def test_quantities_carry_their_units() -> None:
    wrong = given("edge", 1.0, "m", source="worked case")
    with pytest.raises(ValueError, match="area is in m²"):
        works.PaintQuantity(
            number=1, key="haze", name="Haze", role=Role.GROUND, area=wrong, cut_edge=wrong
        )


def test_all_paint_may_not_be_lost(paint_terms) -> None:
    with pytest.raises(ValueError, match="loss is below 1"):
        replace(paint_terms, loss=1.0)


def test_shares_are_not_negative(paint_terms) -> None:
    with pytest.raises(ValueError, match="0 or more"):
        replace(paint_terms, waste=-0.1)
