"""Tins against brute force, and the worked case."""

from __future__ import annotations

import itertools
import math
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from giornata.core import works
from giornata.core.foundation import US_GALLON, Money, Severity

LITRE = 1e-3
MILLILITRE = 1e-6


def _tin(litres: float, price: str | int) -> works.Tin:
    return works.Tin(
        volume=litres * LITRE, price=Money(amount=Decimal(str(price)), currency="EUR")
    )  # fmt: skip


def _by_trial(need: float, tins: list[works.Tin]) -> tuple[Decimal, int, float]:
    """Least cost, then fewest tins, then most paint, of every set there is."""
    counts = [range(math.ceil(need / tin.volume) + 1) for tin in tins]
    best: tuple[Decimal, int, float] | None = None
    for chosen in itertools.product(*counts):
        volume = math.fsum(n * tin.volume for n, tin in zip(chosen, tins, strict=True))
        if volume < need - MILLILITRE:
            continue
        cost = sum((tin.price.amount * n for n, tin in zip(chosen, tins, strict=True)), Decimal(0))
        rank = (cost, sum(chosen), -volume)
        best = rank if best is None or rank < best else best
    assert best is not None
    return best


def test_n41_two_sets_and_the_reserve(three_tins: tuple[works.Tin, ...]) -> None:
    # Worked by hand: 61.4 L = 4 × 15 + 2 × 1 = 62 L at 4 × 95 + 2 × 12 = 404, against
    # 4 × 15 + 5 = 65 L at 420. Left over 0.6 and 3.6 L; the reserve is 5 % of 61.4 = 3.07 L.
    order, findings = works.tin_order(0.0614, 0.05 * 0.0614, three_tins, subject="Haze")
    assert str(order.for_need) == "4 × 15 L + 2 × 1 L"
    assert order.for_need.cost.amount == 404
    assert str(order.for_reserve) == "4 × 15 L + 1 × 5 L"
    assert order.for_reserve.cost.amount == 420
    assert (order.for_need.volume - order.need) / LITRE == pytest.approx(0.6, abs=1e-9)
    assert (order.for_reserve.volume - order.need) / LITRE == pytest.approx(3.6, abs=1e-9)
    (finding,) = findings
    assert finding.code == "works.tins_reserve"
    assert finding.severity is Severity.NOTE
    assert "leave 0.6 L, under the touch-up reserve of 3.1 L" in finding.message
    assert finding.remedy == "Buy 4 × 15 L + 1 × 5 L at 420.00 EUR: 3.6 L left."


def test_no_finding_where_the_cheapest_leaves_enough(three_tins: tuple[works.Tin, ...]) -> None:
    # 26.3 L: 2 × 15 = 30 L at 190 is cheapest (15 + 2 × 5 + 2 × 1 = 199), 3.7 L left over.
    order, findings = works.tin_order(0.0263, 0.0013, three_tins, subject="Primer")
    assert findings == ()
    assert order.for_need == order.for_reserve
    assert str(order.for_need) == "2 × 15 L"


@settings(max_examples=40)
@given(
    need=st.floats(0.1, 40.0),
    sizes=st.lists(st.sampled_from([1.0, 2.5, 5.0, 10.0, 15.0]), min_size=1, max_size=3,
                   unique=True),
    prices=st.lists(st.integers(500, 30000), min_size=3, max_size=3),
)  # fmt: skip
def test_cheapest_tins_equal_brute_force(
    need: float, sizes: list[float], prices: list[int]
) -> None:
    tins = [
        _tin(size, str(Decimal(price) / 100)) for size, price in zip(sizes, prices, strict=False)
    ]
    found = works.cheapest_tins(need * LITRE, tins)
    cost, number, volume = _by_trial(need * LITRE, tins)
    assert found.cost.amount == cost
    assert found.number == number
    assert found.volume == pytest.approx(-volume, rel=1e-12)
    assert found.volume >= need * LITRE - MILLILITRE


def test_of_equal_cost_the_fewest_tins() -> None:
    # Known by construction: the litre costs 8 in each size, so 10 L are one tin of 10.
    tins = [_tin(1, 8), _tin(5, 40), _tin(10, 80)]
    for order in itertools.permutations(tins):
        assert str(works.cheapest_tins(0.010, order)) == "1 × 10 L"


def test_of_equal_cost_and_number_the_most_paint() -> None:
    # Known by construction: 3 and 4 L cost the same, either covers 2.5 L.
    assert str(works.cheapest_tins(0.0025, [_tin(3, 20), _tin(4, 20)])) == "1 × 4 L"


def test_a_need_met_exactly_takes_no_further_tin() -> None:
    # 4 × 15 L for 60 L, whatever float noise the need carries below a millilitre.
    tins = [_tin(15, 95), _tin(1, 12)]
    for need in (0.060, 0.060 + 1e-10, 0.06 * (1 + 1e-15)):
        assert str(works.cheapest_tins(need, tins)) == "4 × 15 L"
    assert str(works.cheapest_tins(0.060 + 2e-6, tins)) == "4 × 15 L + 1 × 1 L"


def test_us_tins() -> None:
    # By hand: 16.2 US gal from pails of 5 gal at 160 and gallons at 38: 3 pails + 2 gal = 556,
    # 4 pails = 640.
    tins = [
        works.Tin(volume=5 * US_GALLON, price=Money(amount=Decimal(160), currency="USD")),
        works.Tin(volume=US_GALLON, price=Money(amount=Decimal(38), currency="USD")),
    ]
    found = works.cheapest_tins(16.2 * US_GALLON, tins)
    assert [count for _, count in found.counts] == [3, 2]
    assert found.cost.amount == 556


def test_no_need_no_tins(three_tins: tuple[works.Tin, ...]) -> None:
    nothing = works.cheapest_tins(0.0, three_tins)
    assert (nothing.number, nothing.volume, nothing.cost.amount) == (0, 0.0, 0)
    assert str(nothing) == "none"


@pytest.mark.parametrize("need", [-0.001, math.inf, math.nan])
def test_a_need_is_a_volume(need: float, three_tins: tuple[works.Tin, ...]) -> None:
    with pytest.raises(ValueError, match="volume of 0 or more"):
        works.cheapest_tins(need, three_tins)


def test_an_empty_list_is_refused() -> None:
    with pytest.raises(ValueError, match="no tins"):
        works.cheapest_tins(0.01, [])


def test_a_tin_has_a_volume() -> None:
    with pytest.raises(ValueError, match="volume above 0"):
        _tin(0, 10)


def test_a_reserve_is_no_debt(three_tins: tuple[works.Tin, ...]) -> None:
    with pytest.raises(ValueError, match="reserve"):
        works.tin_order(0.01, -0.001, three_tins, subject="Haze")
