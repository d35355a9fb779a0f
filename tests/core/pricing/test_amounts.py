"""Money as figures."""

from __future__ import annotations

from decimal import Decimal

import pytest

from giornata.core import pricing
from giornata.core.foundation import Money, given


def test_there_and_back() -> None:
    sum_ = Money(amount=Decimal("12.34"), currency="EUR")
    assert pricing.amount_of(pricing.given_amount("rate", sum_, "price.rate")) == sum_


def test_reckoned_amounts_are_whole_cents() -> None:
    part = given("area", 1.0, "m²", source="worked case")
    figure = pricing.reckoned_amount(
        "charge", Money(amount=Decimal("0.005"), currency="EUR"), method="pricing.quote v1",
        formula="area × rate", parts=(part,),
    )  # fmt: skip
    assert str(figure.value) == "0.01"


def test_hours_of_a_duration() -> None:
    assert pricing.hours_of(given("hours", 5400.0, "s", source="worked case")) == Decimal("1.5")


def test_a_length_is_no_money() -> None:
    with pytest.raises(ValueError, match="not money"):
        pricing.amount_of(given("edge", 1.0, "m", source="worked case"))


def test_hours_come_from_seconds() -> None:
    with pytest.raises(ValueError, match="in seconds"):
        pricing.hours_of(given("edge", 1.0, "m", source="worked case"))
