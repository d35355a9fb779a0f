"""The billed area: one area, in one stated unit, rounded once."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from giornata.core.foundation import Figure, Money, derived
from giornata.core.pricing.terms import AreaUnit, PriceBasis

__all__ = ["SQUARE_FOOT_EXACT", "BillableAreas", "PrintedRates", "billed_area", "printed_rates"]

SQUARE_FOOT_EXACT = Decimal("0.3048") ** 2
"""A square foot, by the international foot of 1959. [m²]"""

_STEP = {AreaUnit.SQUARE_METRE: Decimal("0.01"), AreaUnit.SQUARE_FOOT: Decimal("0.1")}


@dataclass(frozen=True, slots=True, kw_only=True)
class BillableAreas:
    """Areas a price may be based on: gross and net wall, the figure on it, and its surface. [m²]

    The surface is the net wall with its corrugations and painted returns; it may be None where
    nothing is billed by it.
    """

    gross: Figure
    net: Figure
    figure: Figure
    surface: Figure | None = None

    def of(self, basis: PriceBasis) -> Figure:
        """The area of a basis. [m²]

        Raises
        ------
        ValueError
            If it is the surface, and that is not known.
        """
        if basis is PriceBasis.SURFACE:
            if self.surface is None:
                raise ValueError("the surface to bill by is not known")
            return self.surface
        return {
            PriceBasis.NET_WALL: self.net,
            PriceBasis.GROSS_WALL: self.gross,
            PriceBasis.FIGURE: self.figure,
        }[basis]


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedRates:
    """One rate in both units, each to the cent; only the billed unit's enters the price."""

    per_square_metre: Money
    per_square_foot: Money


def billed_area(area: Figure, unit: AreaUnit) -> Figure:
    """An area in the unit it is billed in, rounded half up to 0.01 m² or 0.1 sq ft.

    Parameters
    ----------
    area : Figure
        0 or more. [m²]
    unit : AreaUnit
        That the price is stated in.

    Raises
    ------
    ValueError
        If the area is negative or not in square metres.
    """
    if area.unit != "m²" or not float(area) >= 0:
        raise ValueError("a billed area comes from 0 or more square metres")
    exact = Decimal(repr(float(area)))
    if unit is AreaUnit.SQUARE_FOOT:
        exact /= SQUARE_FOOT_EXACT
    step = _STEP[unit]
    return derived(
        "billed area", exact.quantize(step, rounding=ROUND_HALF_UP), unit.value,
        method="pricing.billed_area v1", formula=f"{area.name}, to {step} {unit.value}",
        parts=(area,),
    )  # fmt: skip


def printed_rates(rate: Money, unit: AreaUnit) -> PrintedRates:
    """A rate as it is printed, for a square metre and for a square foot, to the cent.

    Parameters
    ----------
    rate : Money
        For one unit of area.
    unit : AreaUnit
        That unit.

    Examples
    --------
    >>> both = printed_rates(Money(amount=Decimal(18), currency="USD"), AreaUnit.SQUARE_FOOT)
    >>> str(both.per_square_metre), str(both.per_square_foot)
    ('193.75 USD', '18.00 USD')
    """
    metric = rate if unit is AreaUnit.SQUARE_METRE else rate / SQUARE_FOOT_EXACT
    return PrintedRates(
        per_square_metre=metric.rounded(), per_square_foot=(metric * SQUARE_FOOT_EXACT).rounded()
    )
