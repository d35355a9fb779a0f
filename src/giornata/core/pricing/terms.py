"""The terms of the price: basis, unit, rates, lines, stages."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from giornata.core.foundation import Money

__all__ = [
    "AreaUnit", "BandMethod", "PriceBasis", "PriceLine", "PriceTerms", "RateBand", "Stage",
    "TaxRounding",
]  # fmt: skip


class PriceBasis(StrEnum):
    """Which area is billed."""

    NET_WALL = "net wall"
    GROSS_WALL = "gross wall"
    FIGURE = "figure"
    SURFACE = "surface"


class AreaUnit(StrEnum):
    """The unit the area is billed in; each has its own rounding."""

    SQUARE_METRE = "m²"
    SQUARE_FOOT = "sq ft"


class BandMethod(StrEnum):
    """Whether a band's rate holds for the whole area or for the part within the band."""

    WHOLE = "whole"
    MARGINAL = "marginal"


class TaxRounding(StrEnum):
    """How the tax on a total becomes whole cents: to the nearest, or down where the law allows."""

    NEAREST = "nearest"
    DOWN = "down"


@dataclass(frozen=True, slots=True, kw_only=True)
class RateBand:
    """A rate for areas from a size on, 0 or more in the billed unit."""

    start: Decimal
    rate: Money

    def __post_init__(self) -> None:
        if not self.start >= 0 or self.rate.amount < 0:
            raise ValueError("a band starts at 0 or more and its rate is 0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLine:
    """A further line of the price: a fixed sum, or a rate for one billed unit of area."""

    name: str
    sum: Money | None = None
    per_unit: Money | None = None

    def __post_init__(self) -> None:
        if (self.sum is None) == (self.per_unit is None):
            raise ValueError("a price line is a sum or a rate per unit, and not both")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """A stage payment and its share of the total, 0 to 1."""

    name: str
    share: Decimal

    def __post_init__(self) -> None:
        if not 0 <= self.share <= 1:
            raise ValueError("a stage's share is 0 to 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceTerms:
    """All that the price is made from besides areas and hire.

    Parameters
    ----------
    currency : str
        Of every sum.
    basis, unit : PriceBasis, AreaUnit
        Which area is billed, and in which unit.
    rate : Money
        For one unit of area; holds below the first band.
    bands : tuple of RateBand
        None of them means the plain ``rate``.
    band_method : BandMethod
        How bands hold.
    lines : tuple of PriceLine
        Further lines.
    contingency, tax : Decimal
        Fractions, 0 or more. [-]
    design_share : Decimal
        Of the total that pays for the design, 0 to 1. [-]
    stages : tuple of Stage
        Their shares sum to 1.
    valid_days : int
        How long the quote holds. [days]
    exclusions : tuple of str
        What the price leaves out.
    tax_rounding : TaxRounding
        Of the tax on the whole invoice.
    stated : Decimal or None
        Area the contract states, above 0, in the billed unit; None where it states none.
    size_clause : Decimal or None
        Difference of size the contract lets pass, 0 or more; None is the house default. [-]
    budget : Money or None
        What the client has for the whole, above 0.
    concepts : int
        Further full concepts asked for, 0 or more. [-]
    concept_share : Decimal
        Of the total for each of them, 0 or more. [-]
    """

    currency: str
    basis: PriceBasis
    unit: AreaUnit
    rate: Money
    bands: tuple[RateBand, ...] = ()
    band_method: BandMethod = BandMethod.MARGINAL
    lines: tuple[PriceLine, ...] = ()
    contingency: Decimal = Decimal(0)
    tax: Decimal = Decimal(0)
    design_share: Decimal = Decimal(0)
    stages: tuple[Stage, ...] = ()
    valid_days: int = 30
    exclusions: tuple[str, ...] = ()
    tax_rounding: TaxRounding = TaxRounding.NEAREST
    stated: Decimal | None = None
    size_clause: Decimal | None = None
    budget: Money | None = None
    concepts: int = 0
    concept_share: Decimal = Decimal(0)

    def _rates(self) -> list[Money]:
        return [self.rate, *(band.rate for band in self.bands)]

    def __post_init__(self) -> None:
        if min(self.contingency, self.tax, self.design_share) < 0 or self.design_share > 1:
            raise ValueError("contingency, tax and design share are 0 or more")
        if max(self.contingency, self.tax) > 1:
            raise ValueError("contingency and tax are at most 100 %")
        if self.valid_days < 1:
            raise ValueError("a price is valid for one day or more")
        if len({band.start for band in self.bands}) < len(self.bands):
            raise ValueError("two bands start at the same size")
        if self.stated is not None and not self.stated > 0:
            raise ValueError("the area that the contract states is above 0")
        if self.size_clause is not None and self.size_clause < 0:
            raise ValueError("the difference of size let pass is 0 or more")
        if self.budget is not None and not self.budget.amount > 0:
            raise ValueError("a budget is above 0")
        if self.budget is not None and min(r.amount for r in self._rates()) <= 0:
            raise ValueError("what a budget buys is reckoned at rates above 0")
        if self.concepts < 0 or self.concept_share < 0:
            raise ValueError("further concepts and their share are 0 or more")
        sums = [*self._rates(), *([] if self.budget is None else [self.budget])]
        sums += [amount for line in self.lines for amount in (line.sum, line.per_unit) if amount]
        if any(amount.currency != self.currency for amount in sums):
            raise ValueError(f"every sum of the price is in {self.currency}")
