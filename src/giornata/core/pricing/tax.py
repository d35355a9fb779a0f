"""Tax on an amount, with the rounding said."""

from __future__ import annotations

from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal

from giornata.core.foundation import Money
from giornata.core.pricing.terms import TaxRounding

__all__ = ["tax"]

_ROUNDING = {TaxRounding.NEAREST: ROUND_HALF_UP, TaxRounding.DOWN: ROUND_DOWN}


def tax(taxed: Money, rate: Decimal, rounding: TaxRounding) -> Money:
    """Tax in whole cents.

    Parameters
    ----------
    taxed : Money
        The whole invoice, or one line of it where the law wants lines rounded.
    rate : Decimal
        0 or more. [-]
    rounding : TaxRounding
        To the nearest cent (halves up), or down.

    Raises
    ------
    ValueError
        If the rate is negative.

    Notes
    -----
    Halves go up, never to the even digit. HMRC VATREC12010 lets an invoice trader round the
    total down to a whole penny; a retailer may not round down only (Notice 700). Other
    countries have rules of their own: ask the tax office.
    """
    if rate < 0:
        raise ValueError("a tax rate is 0 or more")
    exact = taxed.amount * rate
    return Money(
        amount=exact.quantize(taxed.cent, rounding=_ROUNDING[rounding]), currency=taxed.currency
    )
