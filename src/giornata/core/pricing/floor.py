"""The price floor: what the job costs the painter, and whether the price is under it."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.foundation import Figure, Finding, Money, Severity, total
from giornata.core.pricing.amounts import (
    amount_of,
    given_amount,
    hours_of,
    reckoned_amount,
)
from giornata.core.pricing.quote import LineKind, Quote

__all__ = ["PriceFloor", "price_floor"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceFloor:
    """What has to come in, and what is left.

    Parameters
    ----------
    outlay : Figure
        Paint, lift and the fixed sums of the quote: money that goes out again.
    wages : Figure
        Hours at what an hour must earn.
    floor : Figure
        Outlay + wages.
    margin : Figure
        Subtotal less floor; contingency and tax stay out of it.
    earned_per_hour : Figure
        (Subtotal − outlay) ÷ hours.
    """

    outlay: Figure
    wages: Figure
    floor: Figure
    margin: Figure
    earned_per_hour: Figure


def price_floor(
    quote: Quote, *, paint_cost: Figure | None, hours: Figure, hour: Money, subject: str
) -> tuple[PriceFloor, tuple[Finding, ...]]:
    """The least price that loses no money, against a quote.

    Parameters
    ----------
    quote : Quote
        Of an option in a colourway.
    paint_cost : Figure or None
        Of its paint order; None where the paint has no price.
    hours : Figure
        Person-time of all work, above 0. [s]
    hour : Money
        What an hour of one person must earn.
    subject : str
        The option and colourway.

    Raises
    ------
    ValueError
        If there are no hours, or the currencies differ.

    Notes
    -----
    Lines that are fixed sums are taken for outlay, as hire and travel are. Contingency is money
    for the unknown and is not counted as earned.
    """
    worked = hours_of(hours)
    if not worked > 0:
        raise ValueError("a floor needs hours above 0")
    currency = quote.total.unit
    out = tuple(
        line.amount for line in quote.lines if line.kind in (LineKind.SUM, LineKind.LIFT)
    ) + (() if paint_cost is None else (paint_cost,))
    method = "pricing.price_floor v1"
    spent = total(map(amount_of, out), currency)
    outlay = reckoned_amount(
        "outlay", spent, method=method, formula="paint + lift + fixed sums",
        parts=out or (given_amount("nothing goes out", spent, "price.lines"),),
    )  # fmt: skip
    wage = given_amount("an hour of one person", hour, "labour.hour")
    wages = reckoned_amount(
        "wages", hour * worked, method=method, formula="hours × an hour", parts=(hours, wage)
    )
    floor = reckoned_amount(
        "price floor", amount_of(outlay) + amount_of(wages), method=method,
        formula="outlay + wages", parts=(outlay, wages),
    )  # fmt: skip
    margin = reckoned_amount(
        "over the floor", amount_of(quote.subtotal) - amount_of(floor), method=method,
        formula="subtotal − price floor", parts=(quote.subtotal, floor),
    )  # fmt: skip
    earned = reckoned_amount(
        "earned in an hour", (amount_of(quote.subtotal) - spent) / worked, method=method,
        formula="(subtotal − outlay) ÷ hours", parts=(quote.subtotal, outlay, hours),
    )  # fmt: skip
    result = PriceFloor(
        outlay=outlay, wages=wages, floor=floor, margin=margin, earned_per_hour=earned
    )
    if amount_of(margin).amount >= 0:
        return result, ()
    return result, (
        Finding(
            code="pricing.under_cost",
            severity=Severity.WARN,
            subject=subject,
            message=f"Before contingency and tax the price is {amount_of(quote.subtotal)}; paint, "
            f"lift, fixed sums and {worked:.1f} h at {hour} come to {amount_of(floor)}. An hour "
            f"earns {amount_of(earned)}.",
            remedy=f"Raise the price by {-amount_of(margin)}, or choose a design with less edge.",
        ),
    )
