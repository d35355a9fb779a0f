"""One more coat of a paint."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from giornata.core import pricing, works
from giornata.core.foundation import Money

HOUR = 3600.0
LITRE = 1e-3


def test_one_more_coat_of_each_paint(planned, paint_terms, labour_terms) -> None:
    # Tide, by hand: 51.9312 m² ÷ 15 + 420 ÷ 15 = 31.46 h; 51.9312 ÷ 6 × 1.1 = 9.52 L. Tins for
    # 20.0 L with reserve are 15 + 5 at 135, for 30.0 L (28.56 × 1.05 = 29.99) 2 × 15 at 190: +55.
    # Haze: 167.52 ÷ 15 = 11.17 h; 30.71 L; 64.5 L at 420, 96.7 L at 6 × 15 + 5 + 2 × 1 = 634
    # or 7 × 15 = 665: + 214.
    terms = replace(labour_terms, hour=Money(amount=Decimal(40), currency="USD"))
    haze, tide = pricing.extra_coats(planned(0.31, 420.0), paint=paint_terms, rates=terms)
    assert (tide.key, tide.coats, tide.layer) == ("tide", 3, works.CoatLayer.FIGURE)
    assert float(tide.hours) / HOUR == pytest.approx(31.46, abs=0.005)
    assert float(tide.volume) / LITRE == pytest.approx(9.52, abs=0.005)
    assert tide.paint_cost.value == 55
    assert float(tide.cost) == pytest.approx(55 + 31.4621 * 40, abs=0.01)
    assert float(haze.hours) / HOUR == pytest.approx(11.17, abs=0.005)
    assert float(haze.volume) / LITRE == pytest.approx(30.71, abs=0.005)
    assert haze.paint_cost.value == 214


def test_it_equals_the_works_reckoned_again(planned, paint_terms, labour_terms) -> None:
    before, after = planned(0.31, 420.0), planned(0.31, 420.0, {"tide": 3})
    (_, tide) = pricing.extra_coats(before, paint=paint_terms, rates=labour_terms)
    assert float(tide.hours) == pytest.approx(
        float(after.labour.total) - float(before.labour.total)
    )  # fmt: skip
    assert float(tide.volume) == pytest.approx(
        float(after.order.volume) - float(before.order.volume)
    )  # fmt: skip
    assert tide.paint_cost.value == after.order.cost.value - before.order.cost.value


def test_without_prices_there_is_no_money(planned, paint_terms, labour_terms) -> None:
    plan = planned(0.31, 420.0)
    (_, tide) = pricing.extra_coats(plan, paint=paint_terms, rates=labour_terms)
    assert tide.paint_cost is not None
    assert tide.cost is None
    unpriced = replace(paint_terms, tins=())
    (_, bare) = pricing.extra_coats(plan, paint=unpriced, rates=labour_terms)
    assert bare.paint_cost is None
    assert float(bare.hours) == float(tide.hours)
