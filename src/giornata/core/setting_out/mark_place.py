"""Where in a column a control mark can stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.foundation import Floats

__all__ = ["Column", "Spot", "placed_between", "placed_in_column"]

Spot = tuple[float, float, float]  # chainage, level, level of the ground there [m]

_STEP = 0.01  # m along the wall between places tried
_LEVEL_STEP = 0.05  # m
_BESIDE = 1e-6  # m to either side of a step


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Column:
    """Where the marks of one column may stand.

    Parameters
    ----------
    start, end, best : float
        Chainage from, to, and best of all. [m]
    ground, top : ndarray, shape (k, 2)
        Chainage and level. [m]
    inset : float
        Kept from ground and top; 0 or more. [m]
    seen : tuple of float
        Levels between which all images show the wall. [m]
    """

    start: float
    end: float
    best: float
    ground: Floats
    top: Floats
    inset: float
    seen: tuple[float, float]


def placed_in_column(
    column: Column, barred: Sequence[tuple[str, Any]]
) -> tuple[Spot | None, Spot | None]:
    """Places of the lower and the upper mark; None where nothing is clear.

    Parameters
    ----------
    barred : sequence of (str, shapely geometry)
        Where no mark can stand, with the mark's own size included. [m]

    Notes
    -----
    The two marks stand above one another at the clear chainage nearest the best one. Where
    there is none, each takes its own nearest clear place, first along the wall, then by moving
    towards the other row, at most to a quarter of the height from it.
    """
    x = _tried(column)
    ground, top = _levels(column, x)
    low = np.maximum(ground + column.inset, column.seen[0])
    high = np.minimum(top - column.inset, column.seen[1])
    room = high > low
    clear = [room & _clear(x, level, barred) for level in (low, high)]
    both = np.flatnonzero(clear[0] & clear[1])
    if len(both):
        at = both[0]
        foot = float(ground[at])
        return (float(x[at]), float(low[at]), foot), (float(x[at]), float(high[at]), foot)
    return (
        _alone(x, low, high - (high - low) / 4, ground, room, barred),
        _alone(x, high, low + (high - low) / 4, ground, room, barred),
    )


def placed_between(column: Column, barred: Sequence[tuple[str, Any]]) -> Spot | None:
    """Place of a mark half way between the lower and the upper row; None where none is clear.

    Parameters
    ----------
    barred : sequence of (str, shapely geometry)
        Where no mark can stand, with the mark's own size included. [m]
    """
    x = _tried(column)
    ground, top = _levels(column, x)
    low = np.maximum(ground + column.inset, column.seen[0])
    high = np.minimum(top - column.inset, column.seen[1])
    middle, room = (low + high) / 2, high > low
    below = _alone(x, middle, low + (high - low) / 4, ground, room, barred)
    above = _alone(x, middle, high - (high - low) / 4, ground, room, barred)
    if below is None or above is None:
        return below or above

    def away(spot: Spot) -> float:
        at = int(np.argmin(np.abs(x - spot[0])))
        return abs(spot[1] - float(middle[at]))

    return min(below, above, key=away)


def _tried(column: Column) -> Floats:
    """Chainages to try, the best first. [m]"""
    count = int(np.floor((column.end - column.start) / _STEP + 1e-9))
    best = min(max(column.best, column.start), column.end)
    steps = np.arange(-count - 1, count + 2) * _STEP
    x = best + steps
    x = np.concatenate([x[(x >= column.start) & (x <= column.end)], [column.start, column.end]])
    return np.asarray(x[np.argsort(np.abs(x - column.best), kind="stable")])


def _levels(column: Column, x: Floats) -> tuple[Floats, Floats]:
    """Ground and top at each chainage; at a step the higher ground and the lower top. [m]"""
    either = [x - _BESIDE, x + _BESIDE]
    ground = np.max([np.interp(side, *column.ground.T) for side in either], axis=0)
    top = np.min([np.interp(side, *column.top.T) for side in either], axis=0)
    return ground, top


def _clear(x: Floats, level: Floats, barred: Sequence[tuple[str, Any]]) -> NDArray[np.bool_]:
    free = np.ones(len(x), dtype=bool)
    for _, area in barred:
        free &= ~shapely.intersects_xy(area, x, level)
    return free


def _alone(
    x: Floats,
    level: Floats,
    farthest: Floats,
    ground: Floats,
    room: NDArray[np.bool_],
    barred: Sequence[tuple[str, Any]],
) -> Spot | None:
    way = farthest - level
    longest = float(np.abs(way)[room].max()) if room.any() else 0.0
    for k in range(int(longest / _LEVEL_STEP) + 1):
        tried = level + np.clip(way, -k * _LEVEL_STEP, k * _LEVEL_STEP)
        free = np.flatnonzero(room & _clear(x, tried, barred))
        if len(free):
            at = free[0]
            return float(x[at]), float(tried[at]), float(ground[at])
    return None
