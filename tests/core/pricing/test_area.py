"""The billed area and the printed rates."""

from __future__ import annotations

from decimal import Decimal

import pytest

from giornata.core import pricing
from giornata.core.foundation import Money, given
from giornata.core.pricing import AreaUnit


def _m2(value: float):
    return given("net area", value, "m²", source="worked case")


def test_n27_bills_from_one_stated_unit() -> None:
    # 167.52 ÷ 0.3048² = 1,803.17, to 0.1: 1,803.2 × 18 = 32,457.60; 167.52 × 193.75 = 32,457.00.
    feet = pricing.billed_area(_m2(167.52), AreaUnit.SQUARE_FOOT)
    metres = pricing.billed_area(_m2(167.52), AreaUnit.SQUARE_METRE)
    assert (feet.value, feet.unit) == (Decimal("1803.2"), "sq ft")
    assert (metres.value, metres.unit) == (Decimal("167.52"), "m²")
    rate = Money(amount=Decimal(18), currency="USD")
    printed = pricing.printed_rates(rate, AreaUnit.SQUARE_FOOT)
    assert printed.per_square_metre.amount == Decimal("193.75")
    assert printed.per_square_foot.amount == Decimal("18.00")
    assert (rate * feet.value).amount == Decimal("32457.60")
    assert (printed.per_square_metre * metres.value).amount == Decimal("32457.0000")


def test_a_metric_rate_is_printed_for_a_square_foot() -> None:
    # 193.75 × 0.09290304 = 17.99996, to the cent 18.00.
    rate = Money(amount=Decimal("193.75"), currency="USD")
    printed = pricing.printed_rates(rate, AreaUnit.SQUARE_METRE)
    assert printed.per_square_metre == rate
    assert printed.per_square_foot.amount == Decimal("18.00")


def test_the_square_foot_is_exact() -> None:
    # International yard and pound agreement, 1959: 1 ft = 0.3048 m.
    assert Decimal("0.09290304") == pricing.SQUARE_FOOT_EXACT


@pytest.mark.parametrize(
    ("value", "expected"),
    # Halves up, and float noise below a millionth makes no difference.
    [(0.005, "0.01"), (0.0049, "0.00"), (167.52000000000001, "167.52"), (12.125, "12.13")],
)
def test_rounding_to_a_hundredth_of_a_square_metre(value: float, expected: str) -> None:
    assert str(pricing.billed_area(_m2(value), AreaUnit.SQUARE_METRE).value) == expected


def test_a_billed_area_comes_from_square_metres() -> None:
    wrong = given("net area", 1803.2, "sq ft", source="worked case")
    with pytest.raises(ValueError, match="square metres"):
        pricing.billed_area(wrong, AreaUnit.SQUARE_FOOT)


def test_a_billed_area_is_not_negative() -> None:
    with pytest.raises(ValueError, match="square metres"):
        pricing.billed_area(_m2(-1.0), AreaUnit.SQUARE_METRE)
