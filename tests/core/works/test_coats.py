"""Ways to cover an orange that two coats do not hide."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from giornata.core import works
from giornata.core.foundation import Money, Severity, given

LITRE = 1e-3
HOUR = 3600.0


def _money(amount: str) -> Money:
    return Money(amount=Decimal(amount), currency="EUR")


AREA = given("area, orange", 22.0, "m²", source="C7")
EDGE = given("edge, orange", 96.0, "m", source="C7")
ORANGE = works.SystemLayer(
    name="orange", coats=2, spreading_rate=6.5 / LITRE, price=_money("26"), fill=12 / HOUR,
    edge=15 / HOUR,
)  # fmt: skip
# Tinted primer: 7 m²/L, three quarters of the paint's price, fill 15 m²/h, edge 30 m/h.
PRIMER = works.SystemLayer(
    name="tinted primer", coats=1, spreading_rate=7 / LITRE, price=_money("19.50"),
    fill=15 / HOUR, edge=30 / HOUR,
)  # fmt: skip


def _cost(name: str, *layers: works.SystemLayer) -> works.SystemCost:
    return works.system_cost(
        works.CoatSystem(name=name, layers=layers),
        area=AREA, edge=EDGE, waste=0.10, hour=_money("55"),
    )  # fmt: skip


TWO = _cost("2 coats", ORANGE)
FIVE = _cost("5 coats", replace(ORANGE, coats=5))
PRIMED = _cost("primer + 2 coats", PRIMER, ORANGE)


def test_c7_two_coats() -> None:
    # 22 × 2 ÷ 6.5 × 1.1 = 7.45 L; 22 × 2 ÷ 12 + 96 × 2 ÷ 15 = 16.47 h; 193.6 + 905.7 = 1,099.
    assert float(TWO.volumes[0]) / LITRE == pytest.approx(7.45, abs=0.005)
    assert float(TWO.duration) / HOUR == pytest.approx(16.47, abs=0.005)
    assert float(TWO.cost) == pytest.approx(1099, abs=0.5)


def test_c7_five_coats() -> None:
    # 18.62 L; 41.17 h; 484 + 2,264 = 2,748.
    assert float(FIVE.volumes[0]) / LITRE == pytest.approx(18.62, abs=0.005)
    assert float(FIVE.duration) / HOUR == pytest.approx(41.17, abs=0.005)
    assert float(FIVE.cost) == pytest.approx(2748, abs=0.5)


def test_c7_tinted_primer_and_two_coats() -> None:
    # 22 ÷ 7 × 1.1 = 3.46 L, 22 ÷ 15 + 96 ÷ 30 = 4.67 h more: 3.46 + 7.45 L, 21.13 h, 1,423.
    assert [float(v) / LITRE for v in PRIMED.volumes] == pytest.approx([3.46, 7.45], abs=0.005)
    assert float(PRIMED.duration) / HOUR == pytest.approx(21.13, abs=0.005)
    assert float(PRIMED.cost) == pytest.approx(1423, abs=0.5)


def test_c7_primer_is_chosen_and_the_quote_is_short() -> None:
    # 1,423 - 1,099 = 324 short; without the primer 2,748 - 1,099 = 1,649 short.
    best, (finding,) = works.cheapest_system(TWO, [FIVE, PRIMED], subject="Orange")
    assert best is PRIMED
    assert float((best.money - TWO.money).amount) == pytest.approx(324, abs=0.6)
    assert float((FIVE.money - TWO.money).amount) == pytest.approx(1649, abs=0.6)
    assert finding.code == "works.coats_short"
    assert finding.severity is Severity.WARN
    assert "primer + 2 coats" in finding.remedy
    assert "with 5 coats" in finding.message


def test_a_quote_that_covers_is_not_short() -> None:
    assert works.cheapest_system(FIVE, [FIVE, PRIMED], subject="Orange") == (PRIMED, ())


def test_a_system_has_layers() -> None:
    with pytest.raises(ValueError, match="at least one layer"):
        works.CoatSystem(name="nothing", layers=())


def test_a_layer_has_a_coat() -> None:
    with pytest.raises(ValueError, match="at least one coat"):
        replace(ORANGE, coats=0)


def test_something_has_to_cover() -> None:
    with pytest.raises(ValueError, match="at least one system"):
        works.cheapest_system(TWO, [], subject="Orange")
