"""The terms of the price: basis, unit, rates, lines, stages."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from giornata.core.foundation.money import Money

__all__ = ["AreaUnit", "BandMethod", "PriceBasis", "PriceLine", "PriceTerms", "RateBand", "Stage"]


class PriceBasis(StrEnum):
    """Which area is billed."""

    NET_WALL = "net wall"
    GROSS_WALL = "gross wall"
    FIGURE = "figure"


class AreaUnit(StrEnum):
    """The unit the area is billed in; each has its own rounding."""

    SQUARE_METRE = "m²"
    SQUARE_FOOT = "sq ft"


class BandMethod(StrEnum):
    """Whether a band's rate holds for the whole area or for the part within the band."""

    WHOLE = "whole"
    MARGINAL = "marginal"


@dataclass(frozen=True, slots=True, kw_only=True)
class RateBand:
    """A rate for areas from a size on, in the billed unit."""

    start: Decimal
    rate: Money


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


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceTerms:
    """All that the price is made from besides areas and hire.

    Shares (contingency, tax, design_share) are fractions as Decimal. ``bands`` empty means the
    plain ``rate``.
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
