"""Change orders and further concepts."""

from __future__ import annotations

from decimal import Decimal

import pytest

from giornata.core import pricing
from giornata.core.foundation import Money
from giornata.core.pricing import AreaUnit


def _usd(amount: int | str) -> Money:
    return Money(amount=Decimal(str(amount)), currency="USD")


def _order(stated: str, measured: str, clause: str = "0.05"):
    return pricing.change_order(
        Decimal(stated), Decimal(measured), rate=_usd(18), unit=AreaUnit.SQUARE_FOOT,
        clause=Decimal(clause),
    )  # fmt: skip


def test_n29_a_wall_6_per_cent_larger() -> None:
    # 103.2 ÷ 1,700 = 6.07 %, beyond 5 %: the whole difference, 103.2 × 18 = 1,857.60.
    order, (finding,) = _order("1700", "1803.2")
    assert order.difference == Decimal("103.2")
    assert float(order.share) == pytest.approx(0.0607, abs=5e-5)
    assert order.due
    assert str(order.amount.value) == "1857.60"
    assert finding.code == "pricing.change_order"
    assert "+6.07 %, beyond ±5 %" in finding.message
    assert "+103.2 sq ft" in finding.remedy


def test_within_the_clause_nothing_is_due() -> None:
    # 1,785 ÷ 1,700 is +5 % exactly, which the clause lets pass.
    order, findings = _order("1700", "1785")
    assert (order.due, order.amount.value) == (False, 0)
    assert findings == ()


def test_a_smaller_wall_is_paid_back() -> None:
    # 100 less: 100 × 18 back.
    order, (finding,) = _order("1700", "1600")
    assert str(order.amount.value) == "-1800.00"
    assert "-5.88 %" in finding.message


def test_n30_a_further_concept() -> None:
    # 20 % of 24,000 = 4,800 in it already, 4,800 more: design 9,600, total 28,800.
    whole = pricing.given_amount("total", _usd(24000), "price.rate")
    more = pricing.extra_concepts(
        whole, design_share=Decimal("0.2"), concept_share=Decimal("0.2"), number=1
    )
    assert (more.design.value, more.total.value) == (9600, 28800)


def test_a_change_needs_a_stated_area() -> None:
    with pytest.raises(ValueError, match="stated area is above 0"):
        _order("0", "1803.2")


def test_concepts_are_counted() -> None:
    whole = pricing.given_amount("total", _usd(24000), "price.rate")
    with pytest.raises(ValueError, match="number 0 or more"):
        pricing.extra_concepts(
            whole, design_share=Decimal("0.2"), concept_share=Decimal("0.2"), number=-1
        )
