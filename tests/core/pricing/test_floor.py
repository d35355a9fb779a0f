"""The price floor."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from giornata.core import pricing
from giornata.core.foundation import Money, Severity, given

HOUR = 3600.0


def _usd(amount: int | str) -> Money:
    return Money(amount=Decimal(str(amount)), currency="USD")


def _floor(plan, quote, hour: str):
    return pricing.price_floor(
        quote, paint_cost=plan.order.cost, hours=plan.labour.total, hour=_usd(hour),
        subject="option B in Slack water",
    )  # fmt: skip


def test_what_has_to_come_in(areas, terms, planned) -> None:
    # N23: subtotal 37,955.60, lift 990.00; paint 420 + 135 = 555; 85.260 h at 100 = 8,526.02:
    # floor 10,071.02, over it 27,884.58; an hour earns (37,955.60 - 1,545) ÷ 85.260 = 427.05.
    plan = planned(0.31, 420.0)
    quote, _ = pricing.quote(areas=areas, terms=terms, lift=plan.lift)
    floor, findings = _floor(plan, quote, "100")
    assert str(floor.outlay.value) == "1545.00"
    assert str(floor.wages.value) == "8526.02"
    assert floor.floor.value == floor.outlay.value + floor.wages.value
    assert floor.margin.value == quote.subtotal.value - floor.floor.value
    assert float(floor.earned_per_hour) == pytest.approx(427.05, abs=0.02)
    assert findings == ()


def test_a_price_under_cost(areas, terms, planned) -> None:
    # $5/sq ft without lines: 9,016.00 + lift 990 = 10,006.00 against 10,071.02: 65.02 short.
    plan = planned(0.31, 420.0)
    cheap = replace(terms, rate=_usd(5), lines=())
    quote, _ = pricing.quote(areas=areas, terms=cheap, lift=plan.lift)
    floor, (finding,) = _floor(plan, quote, "100")
    assert str(floor.margin.value) == "-65.02"
    assert finding.code == "pricing.under_cost"
    assert finding.severity is Severity.WARN
    assert "85.3 h at 100.00 USD" in finding.message
    assert "Raise the price by 65.02 USD" in finding.remedy
    # At what such an hour really earns, the price is no longer under cost.
    enough, none = _floor(plan, quote, str(floor.earned_per_hour.value - Decimal("0.01")))
    assert none == ()
    assert enough.margin.value >= 0


def test_fixed_sums_are_outlay_and_paint_may_have_no_price(areas, terms, planned) -> None:
    plan = planned(0.31, 420.0)
    lines = (pricing.PriceLine(name="Projector hire", sum=_usd(640)),)
    quote, _ = pricing.quote(areas=areas, terms=replace(terms, lines=lines), lift=None)
    floor, _ = pricing.price_floor(
        quote, paint_cost=None, hours=plan.labour.total, hour=_usd(100), subject="option B"
    )
    assert str(floor.outlay.value) == "640.00"
    bare, _ = pricing.quote(areas=areas, terms=replace(terms, lines=()), lift=None)
    nothing, _ = pricing.price_floor(
        bare, paint_cost=None, hours=plan.labour.total, hour=_usd(100), subject="option B"
    )
    assert nothing.outlay.value == 0


def test_a_floor_needs_hours(areas, terms) -> None:
    quote, _ = pricing.quote(areas=areas, terms=terms, lift=None)
    none = given("hours", 0.0, "s", source="worked case")
    with pytest.raises(ValueError, match="hours above 0"):
        pricing.price_floor(quote, paint_cost=None, hours=none, hour=_usd(1), subject="option B")
