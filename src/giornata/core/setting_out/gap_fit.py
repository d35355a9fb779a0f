"""Gap fit: how much each gap between rigid shapes gives, so that the whole has a wanted length."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from giornata.core.foundation import Floats

__all__ = ["GapFit", "fit_gaps"]

_ROUNDING = 1e-12  # m: a span whose gaps fall short by less has a fit


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GapFit:
    """Changes of the gaps of a chain of rigid shapes.

    Parameters
    ----------
    changes : ndarray, shape (n,)
        Of each gap; above 0 it grows. [m]
    rates : ndarray, shape (k,)
        Of each span: change over width of the gaps that are not at their least. [-]
    possible : ndarray of bool, shape (k,)
        Whether the span has a fit; where it has none its changes are as near as its gaps can
        come.
    residual : float
        Greatest violation of the optimum's conditions (Karush, Kuhn and Tucker) over the spans
        that have a fit: sums missed [m], least widths undercut [m], and rates that differ
        between gaps that are free [-].
    """

    changes: Floats
    rates: Floats
    possible: NDArray[np.bool_]
    residual: float


def fit_gaps(gaps: ArrayLike, least: ArrayLike, first: ArrayLike, wanted: ArrayLike) -> GapFit:
    """The changes of gaps with the least sum of squares, each square divided by the gap's width.

    Parameters
    ----------
    gaps : array, shape (n,)
        Widths in order along the wall; 0 or more. [m]
    least : array, shape (n,) or float
        No gap gets narrower than this, or than it is where it is narrower already. [m]
    first : array of int, shape (k,)
        Index of the first gap of each span between two fixed points, ascending from 0. [-]
    wanted : array, shape (k,)
        By how much the gaps of each span together must grow; below 0 shrink. [m]

    Raises
    ------
    ValueError
        If a gap is below 0 or not finite, or the spans do not part the gaps.

    Notes
    -----
    The problem, for each span, is: least sum of d²/g, the d summing to what is wanted, each
    g + d no less than its least. Its conditions say that all gaps change by one and the same
    rate, d = r g, but for those that stand at their least, where d/g is above r. So r is raised
    or lowered by what the gaps at their least cannot give, gaps that now undercut their least
    join them, and this is done again until none does. A gap that has joined never leaves, for r
    only falls; there are at most as many rounds as gaps and seldom more than ten.

    References
    ----------
    S. Boyd and L. Vandenberghe (2004), Convex Optimization, Cambridge University Press, section
    5.5.3 (the conditions) and example 5.2 (filling with water up to one level).

    Examples
    --------
    >>> fit_gaps([1.0, 3.0, 0.5], 0.4, [0], [-1.0]).changes.round(3).tolist()
    [-0.225, -0.675, -0.1]
    """
    width = np.asarray(gaps, dtype=np.float64)
    lower = np.minimum(np.asarray(least, dtype=np.float64) - width, 0.0)
    start = np.asarray(first, dtype=np.intp)
    total = np.asarray(wanted, dtype=np.float64)
    _check(width, start, total)
    count = np.diff(np.append(start, len(width)))
    can = np.add.reduceat(lower, start)
    some = np.add.reduceat(width, start) > 0
    possible = (total >= can - _ROUNDING) & (some | (np.abs(total) <= _ROUNDING))
    aim = np.where(some, np.maximum(total, can), 0.0)

    # A gap is free while its span's rate is above that at which it comes to its least.
    bound = np.divide(lower, width, out=np.zeros(len(width)), where=width > 0)
    rates, standing = np.full(len(start), np.inf), -1
    free = np.ones(len(width), dtype=bool)
    while True:
        free &= np.repeat(rates, count) >= bound
        now = int(np.count_nonzero(free))
        if now == standing:
            break
        standing = now
        weight = np.add.reduceat(width * free, start)
        left = aim - np.add.reduceat(lower * ~free, start)
        rates = np.divide(left, weight, out=np.zeros(len(start)), where=weight > 0)
    changes = np.where(free, np.repeat(rates, count) * width, lower)
    for array in (changes, rates, possible):
        array.setflags(write=False)
    residual = _residual(width, lower, free, start, count, total, rates, changes, possible)
    return GapFit(changes=changes, rates=rates, possible=possible, residual=residual)


def _check(width: Floats, start: NDArray[np.intp], total: Floats) -> None:
    if width.ndim != 1 or not len(width) or not np.isfinite(width).all() or (width < 0).any():
        raise ValueError("gaps are 0 or more, and there is one")
    if not len(start) or start[0] != 0 or (np.diff(start) < 1).any() or start[-1] >= len(width):
        raise ValueError("spans begin at the first gap and part the gaps in order")
    if total.shape != start.shape or not np.isfinite(total).all():
        raise ValueError("each span is to change by a finite length")


def _residual(
    width: Floats,
    lower: Floats,
    free: NDArray[np.bool_],
    start: NDArray[np.intp],
    count: NDArray[np.intp],
    total: Floats,
    rates: Floats,
    changes: Floats,
    possible: NDArray[np.bool_],
) -> float:
    """Violation of the optimum's conditions, worked from the changes alone."""
    missed = np.abs(np.add.reduceat(changes, start) - total)[possible]
    counts = np.repeat(possible, count) & (width > 0)
    undercut = (lower - changes)[counts]
    # The multiplier of a gap at its least is its own rate less the span's: 0 or more.
    own = np.divide(changes, width, out=np.zeros(len(width)), where=width > 0)
    multiplier = own - np.repeat(rates, count)
    bent = np.where(free, np.abs(multiplier), -multiplier)[counts]
    parts = (missed, undercut, bent)
    return max([0.0, *(float(part.max()) for part in parts if len(part))])
