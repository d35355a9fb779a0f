"""Budgets: what a sum buys, fixed costs out of two quotes, and a first range."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from giornata.core.foundation import Finding, Money, Severity
from giornata.core.pricing.bands import (
    all_bands,
    area_for_price,
    marginal_price,
    whole_price,
)
from giornata.core.pricing.terms import AreaUnit, BandMethod, RateBand

__all__ = [
    "Ballpark", "BudgetArea", "FixedAndRate", "area_for_budget", "ballpark", "fixed_and_rate",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class BudgetArea:
    """What a budget buys of a wall.

    Parameters
    ----------
    area : Decimal
        In the billed unit; at most the wall.
    share : Decimal
        Of the wall. [-]
    fixed_share : Decimal
        Of the budget that goes into fixed costs. [-]
    by_average : Decimal
        What dividing by the average price would promise, in the billed unit.
    """

    area: Decimal
    share: Decimal
    fixed_share: Decimal
    by_average: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class FixedAndRate:
    """Fixed costs and the price of one more unit of area."""

    fixed: Money
    rate: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Ballpark:
    """A first price before any survey: low, likely, high."""

    low: Money
    likely: Money
    high: Money


def area_for_budget(
    budget: Money,
    *,
    fixed: Money,
    rate: Money,
    wall: Decimal,
    unit: AreaUnit,
    bands: Sequence[RateBand] = (),
    method: BandMethod = BandMethod.MARGINAL,
    each: Sequence[Money] = (),
    on_top: Decimal = Decimal(0),
) -> tuple[BudgetArea, tuple[Finding, ...]]:
    """How much wall a budget buys once the fixed costs are paid.

    Parameters
    ----------
    budget : Money
        Above 0.
    fixed : Money
        Design, travel, lift: paid whatever the size; 0 or more.
    rate : Money
        For one unit of area, above 0.
    wall : Decimal
        The whole wall, above 0, in the billed unit.
    unit : AreaUnit
        That unit.
    bands : sequence of RateBand
        Rates for larger areas; ``rate`` holds below the first.
    method : BandMethod
        How bands hold.
    each : sequence of Money
        What further lines take for one unit of area.
    on_top : Decimal
        Contingency and tax, as a fraction of all else; 0 or more. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if not (budget.amount > 0 and fixed.amount >= 0 and rate.amount > 0 and wall > 0):
        raise ValueError("budget, rate and wall are above 0 and fixed costs 0 or more")
    if on_top < 0:
        raise ValueError("what comes on top is 0 or more")
    charged = [
        replace(band, rate=sum(each, band.rate) * (1 + on_top)) for band in all_bands(rate, bands)
    ]
    fixed = fixed * (1 + on_top)
    left = max(budget - fixed, fixed * 0)
    area = min(area_for_price(left, charged, method), wall)
    price = whole_price if method is BandMethod.WHOLE else marginal_price
    average = (fixed + price(wall, charged)).amount / wall
    bought = BudgetArea(
        area=area,
        share=area / wall,
        fixed_share=min(fixed.amount / budget.amount, Decimal(1)),
        by_average=min(budget.amount / average, wall),
    )
    if area == wall:
        return bought, ()
    with_all = ", contingency and tax in it," if on_top else ""
    return bought, (
        Finding(
            code="pricing.small_budget",
            severity=Severity.NOTE if area else Severity.WARN,
            subject="budget",
            message=f"{budget} buys {area:.1f} {unit.value} of {wall:f} {unit.value} "
            f"({100 * bought.share:.1f} %): fixed costs of {fixed}{with_all} take "
            f"{100 * bought.fixed_share:.0f} % of it first.",
            remedy="Choose the part of the wall that reads best at that size, or lower the fixed "
            f"costs; do not promise {bought.by_average:.1f} {unit.value} from the average price.",
        ),
    )


def fixed_and_rate(
    small: tuple[Decimal, Money], large: tuple[Decimal, Money]
) -> FixedAndRate:  # fmt: skip
    """Fixed costs and rate from two quotes for different sizes of one job.

    Parameters
    ----------
    small, large : tuple of Decimal and Money
        Area, in one unit, and price; the areas differ.

    Raises
    ------
    ValueError
        If the areas are equal.
    """
    (first_area, first), (second_area, second) = small, large
    if first_area == second_area:
        raise ValueError("two quotes for one size do not tell fixed costs from rate")
    rate = (second - first) / (second_area - first_area)
    return FixedAndRate(fixed=first - rate * first_area, rate=rate)


def ballpark(
    *,
    areas: tuple[Decimal, Decimal, Decimal],
    rates: tuple[Money, Money, Money],
    fixed: tuple[Money, Money, Money],
) -> Ballpark:
    """Area range × rate range + fixed costs, to the cent.

    Parameters
    ----------
    areas : tuple of three Decimal
        Low, likely and high, rising, 0 or more, in one unit.
    rates, fixed : tuple of three Money
        Low, likely and high, rising.

    Raises
    ------
    ValueError
        If a range does not rise.
    """
    amounts = [tuple(money.amount for money in group) for group in (rates, fixed)]
    if any(list(group) != sorted(group) or group[0] < 0 for group in (areas, *amounts)):
        raise ValueError("low, likely and high rise, from 0 or more")
    low, likely, high = (
        (rate * area + base).rounded() for area, rate, base in zip(areas, rates, fixed, strict=True)
    )
    return Ballpark(low=low, likely=likely, high=high)
