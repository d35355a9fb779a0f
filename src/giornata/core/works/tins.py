"""Tins: the cheapest set from the supplier's list that covers a volume."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp

from giornata.core.foundation import Finding, Money, Severity, total
from giornata.core.works.terms import Tin

__all__ = ["TinOrder", "TinSet", "cheapest_tins", "tin_order"]

MILLILITRE = 1e-6
"""A need counts as covered to within this. [m³]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class TinSet:
    """Tins to buy, largest first; no count is 0.

    Parameters
    ----------
    counts : tuple of (Tin, int)
        Each tin and how many of it.
    volume : float
        Together. [m³]
    cost : Money
        Together.
    """

    counts: tuple[tuple[Tin, int], ...]
    volume: float
    cost: Money

    @property
    def number(self) -> int:
        """How many tins there are. [-]"""
        return sum(count for _, count in self.counts)

    def __str__(self) -> str:
        return " + ".join(f"{n} × {1000 * tin.volume:.5g} L" for tin, n in self.counts) or "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class TinOrder:
    """The cheapest tins for a need, and for the need with the touch-up reserve.

    Parameters
    ----------
    need, reserve : float
        What the wall takes; what is to be left over. [m³]
    for_need, for_reserve : TinSet
        Cheapest to cover the one, and both.
    """

    need: float
    reserve: float
    for_need: TinSet
    for_reserve: TinSet


def cheapest_tins(need: float, tins: Sequence[Tin]) -> TinSet:
    """The cheapest set of tins that covers a need; of equal ones the fewest tins, then most paint.

    Parameters
    ----------
    need : float
        0 or more, finite; covered to within a millilitre. [m³]
    tins : sequence of Tin
        The supplier's list, at least one, of one currency.

    Raises
    ------
    ValueError
        If there are no tins, or the need is negative or not finite.

    Notes
    -----
    An integer programme, solved to optimality twice (HiGHS): least cost, then least number at
    that cost. The list's order makes no difference.

    Examples
    --------
    >>> from decimal import Decimal
    >>> def tin(litres, price):
    ...     return Tin(volume=litres / 1000, price=Money(amount=Decimal(price), currency="EUR"))
    >>> best = cheapest_tins(0.0614, [tin(15, 95), tin(5, 40), tin(1, 12)])
    >>> str(best), str(best.cost)
    ('4 × 15 L + 2 × 1 L', '404.00 EUR')
    """
    if not tins:
        raise ValueError("there are no tins to choose from")
    if not (need >= 0 and math.isfinite(need)):
        raise ValueError("the need is a volume of 0 or more")
    return _cheapest(need, frozenset(tins))


@lru_cache(maxsize=1024)
def _cheapest(need: float, tins: frozenset[Tin]) -> TinSet:
    """Colourways mostly ask for the same volumes, so each is solved once."""
    ordered = sorted(tins, key=lambda tin: (-tin.volume, tin.price.amount))
    currency = ordered[0].price.currency
    least = need - MILLILITRE
    if least <= 0:
        return _set(ordered, [0] * len(ordered), currency)
    volumes = 1000 * np.array([tin.volume for tin in ordered])
    prices = np.array([float(tin.price.amount) for tin in ordered])
    most = np.ceil(1000 * need / volumes)
    covers = LinearConstraint(volumes[np.newaxis], lb=1000 * least)
    cheapest = _whole(prices, [covers], most)
    affordable = float(prices @ cheapest) + 0.25 * float(ordered[0].price.cent)
    at_that_cost = LinearConstraint(prices[np.newaxis], ub=affordable)
    # Below 1 in all, so that the number of tins goes first.
    more_paint = volumes / (1 + float(volumes @ most))
    fewest = _whole(1 - more_paint, [covers, at_that_cost], most)
    chosen = _set(ordered, [int(count) for count in fewest], currency)
    if chosen.volume < least - 1e-3 * MILLILITRE:
        raise ArithmeticError("the solver's tins do not cover the need")
    return chosen


def tin_order(
    need: float, reserve: float, tins: Sequence[Tin], *, subject: str
) -> tuple[TinOrder, tuple[Finding, ...]]:
    """Both tin sets, with a note where the cheapest for the need leaves too little for touch-up.

    Parameters
    ----------
    need : float
        0 or more. [m³]
    reserve : float
        0 or more. [m³]
    tins : sequence of Tin
        The supplier's list.
    subject : str
        The paint.

    Raises
    ------
    ValueError
        If there are no tins, or a volume is negative.
    """
    if not reserve >= 0:
        raise ValueError("the reserve is a volume of 0 or more")
    for_need = cheapest_tins(need, tins)
    covered = for_need.volume >= need + reserve - MILLILITRE
    for_reserve = for_need if covered else cheapest_tins(need + reserve, tins)
    order = TinOrder(need=need, reserve=reserve, for_need=for_need, for_reserve=for_reserve)
    if covered:
        return order, ()
    return order, (
        Finding(
            code="works.tins_reserve",
            severity=Severity.NOTE,
            subject=subject,
            message=f"The cheapest tins for {_litres(need)}, {for_need} at {for_need.cost}, leave "
            f"{_litres(for_need.volume - need)}, under the touch-up reserve of "
            f"{_litres(reserve)}.",
            remedy=f"Buy {for_reserve} at {for_reserve.cost}: "
            f"{_litres(for_reserve.volume - need)} left.",
        ),
    )


def _whole(
    objective: NDArray[np.float64],
    constraints: list[LinearConstraint],
    most: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Whole numbers of tins that make the objective least."""
    found = milp(
        c=objective,
        constraints=constraints,
        integrality=np.ones(len(objective), dtype=np.int64),
        bounds=Bounds(0, most),
        options={"mip_rel_gap": 0.0},
    )
    if found.x is None:
        raise ArithmeticError(f"no set of tins was found: {found.message}")
    counts: NDArray[np.float64] = np.asarray(found.x, dtype=np.float64)
    return np.rint(counts)


def _set(ordered: Sequence[Tin], counts: Sequence[int], currency: str) -> TinSet:
    chosen = tuple((tin, n) for tin, n in zip(ordered, counts, strict=True) if n)
    return TinSet(
        counts=chosen,
        volume=math.fsum(tin.volume * n for tin, n in chosen),
        cost=total((tin.price * n for tin, n in chosen), currency),
    )


def _litres(volume: float) -> str:
    return f"{1000 * volume:.1f} L"
