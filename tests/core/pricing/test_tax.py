"""Tax roundings against the printed rules."""

from __future__ import annotations

from decimal import Decimal

import pytest

from giornata.core import pricing
from giornata.core.foundation import Money
from giornata.core.pricing import TaxRounding


def _gbp(amount: str) -> Money:
    return Money(amount=Decimal(amount), currency="GBP")


TWENTY = Decimal("0.2")


def test_f8_worked_example() -> None:
    # A bookkeeping help page citing HMRC: gross 12.2388 prints 12.24; its tax 2.0398 goes down
    # to 2.03. Here a net of 10.199 at 20 % is 2.0398.
    assert _gbp("12.2388").rounded().amount == Decimal("12.24")
    assert pricing.tax(_gbp("10.199"), TWENTY, TaxRounding.DOWN).amount == Decimal("2.03")


def test_f9_three_lines_of_19_99() -> None:
    # Worked from F6: invoice down 11.99; line half up 12.00; line down 11.97.
    invoice = pricing.tax(_gbp("59.97"), TWENTY, TaxRounding.DOWN)
    lines = {
        how: pricing.tax(_gbp("19.99"), TWENTY, how) * 3
        for how in (TaxRounding.NEAREST, TaxRounding.DOWN)
    }
    assert invoice.amount == Decimal("11.99")
    assert lines[TaxRounding.NEAREST].amount == Decimal("12.00")
    assert lines[TaxRounding.DOWN].amount == Decimal("11.97")


def test_f10_halves_go_up_never_to_the_even_digit() -> None:
    # 0.125 × 0.2 = 0.025: half up 0.03, half-even 0.02.
    assert pricing.tax(_gbp("0.125"), TWENTY, TaxRounding.NEAREST).amount == Decimal("0.03")


def test_a_currency_without_cents() -> None:
    # ISO 4217: the yen has no minor unit; 10 % of 1,235 is 123.5.
    yen = Money(amount=Decimal(1235), currency="JPY")
    assert pricing.tax(yen, Decimal("0.1"), TaxRounding.NEAREST).amount == 124
    assert pricing.tax(yen, Decimal("0.1"), TaxRounding.DOWN).amount == 123


def test_a_tax_rate_is_not_negative() -> None:
    with pytest.raises(ValueError, match="tax rate"):
        pricing.tax(_gbp("1"), Decimal("-0.1"), TaxRounding.NEAREST)
