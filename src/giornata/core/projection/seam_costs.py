"""What a seam costs: the edge that a way from the wall's top to its foot has to cross."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise

import numpy as np
import shapely
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import ArrayLike

from giornata.core.foundation import Assumption, Floats, readonly
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.projection.band import WallBand
from giornata.core.projection.seam_rooms import seam_rooms
from giornata.core.projection.seams import BOW, LEVEL, STRAIGHT
from giornata.core.projection.setups import SetUp

__all__ = [
    "SEAM_STEP", "EdgeGrid", "edge_grid", "level_costs", "seam_costs", "seam_path",
    "with_level_seams",
]  # fmt: skip

SEAM_STEP = Assumption(
    name="distance between the places looked at for a seam",
    value=0.05,
    unit="m",
    source="own choice: a painter lets a seam wander by more",
    usual=(0.02, 0.10),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgeGrid:
    """Edge between paints in each field of a square grid over the wall.

    Parameters
    ----------
    foot : float
        Level of the grid's lower side. [m]
    step : float
        Side of a field; the grid begins at chainage 0. [m]
    edge : ndarray, shape (rows, columns)
        Edge in each field, rows from below; straight level edges count for more. [m]
    """

    foot: float
    step: float
    edge: Floats


def edge_grid(coverage: Coverage, band: WallBand) -> EdgeGrid:
    """The edges of an artwork, summed up in fields of `SEAM_STEP`.

    Parameters
    ----------
    coverage : geometry.Coverage
        The artwork on the wall, by paint number; wall frame. [m]
    band : WallBand
        Top and ground of the wall.

    Notes
    -----
    A straight, nearly level edge (as `seams` takes them) counts 1 m, `STRAIGHT`, for every field
    it crosses: a step in it is seen where one in a leaf's outline is not.
    """
    step = SEAM_STEP.value
    foot, head = band.extent(0.0, band.length)
    shape = (max(math.ceil((head - foot) / step), 1), max(math.ceil(band.length / step), 1))
    between = (coverage.left != OUTSIDE) & (coverage.right != OUTSIDE)
    edges = coverage.edges[between]
    grid = np.zeros(shape)
    _add(grid, _pieces(edges), foot, 1.0)
    lines = _pieces(shapely.simplify(edges, BOW.value))
    along, up = np.abs(lines[:, 2] - lines[:, 0]), np.abs(lines[:, 3] - lines[:, 1])
    straight = lines[(along >= STRAIGHT.value) & (up <= LEVEL.value * along)]
    _add(grid, straight, foot, STRAIGHT.value / step - 1.0)
    return EdgeGrid(foot=foot, step=step, edge=readonly(grid))


def _pieces(lines: np.ndarray) -> Floats:
    """Segments of lines; shape (n, 4). [m]"""
    xy, owner = shapely.get_coordinates(lines, return_index=True)
    return np.asarray(np.hstack([xy[:-1], xy[1:]])[owner[:-1] == owner[1:]], dtype=np.float64)


def _add(grid: Floats, pieces: Floats, foot: float, weight: float) -> None:
    """Add the length of segments to the fields that they lie in, half a field at a time."""
    step = SEAM_STEP.value
    length = np.hypot(pieces[:, 2] - pieces[:, 0], pieces[:, 3] - pieces[:, 1])
    parts = np.maximum(np.ceil(2 * length / step), 1).astype(int)
    owner = np.repeat(np.arange(len(pieces)), parts)
    before = np.repeat(np.cumsum(parts) - parts, parts)
    share = (np.arange(len(owner)) - before + 0.5) / parts[owner]
    x = pieces[owner, 0] + share * (pieces[owner, 2] - pieces[owner, 0])
    z = pieces[owner, 1] + share * (pieces[owner, 3] - pieces[owner, 1])
    column, row = np.floor(x / step).astype(int), np.floor((z - foot) / step).astype(int)
    rows, columns = grid.shape
    inside = (column >= 0) & (column < columns) & (row >= 0) & (row < rows)
    field = row[inside] * columns + column[inside]
    added = (length / parts)[owner][inside] * weight
    grid += np.bincount(field, weights=added, minlength=rows * columns).reshape(rows, columns)


def seam_costs(grid: EdgeGrid, chainages: ArrayLike, half_width: float) -> Floats:
    """Least edge that a way from top to foot crosses within reach of each chainage. [m]

    Parameters
    ----------
    grid : EdgeGrid
        The edges.
    chainages : array_like, shape (n,)
        Where seams may lie, on the wall. [m]
    half_width : float
        How far to each side the way may wander; 0 or more. [m]

    Raises
    ------
    ValueError
        If the half width is below 0.

    Notes
    -----
    From row to row the way goes straight on or to the field beside; least path row by row, for all
    chainages at once. The edge of every field entered counts.
    """
    views, _ = _views(grid, chainages, half_width)
    cost = views[-1].copy()
    for view in views[-2::-1]:
        least = cost.copy()
        np.minimum(least[:, 1:], cost[:, :-1], out=least[:, 1:])
        np.minimum(least[:, :-1], cost[:, 1:], out=least[:, :-1])
        cost = least + view
    return np.asarray(cost.min(axis=1))


def _views(
    grid: EdgeGrid, chainages: ArrayLike, half_width: float
) -> tuple[list[Floats], np.ndarray]:
    if not half_width >= 0:
        raise ValueError("a seam wanders by 0 or more")
    reach = int(half_width / grid.step + 1e-9)
    columns = grid.edge.shape[1]
    at = np.clip(np.floor(np.asarray(chainages) / grid.step).astype(int), 0, columns - 1)
    beyond = np.pad(grid.edge, ((0, 0), (reach, reach)), constant_values=math.inf)
    return [sliding_window_view(row, 2 * reach + 1)[at] for row in beyond], at - reach


def seam_path(grid: EdgeGrid, chainage: float, half_width: float) -> Floats:
    """The way whose cost `seam_costs` gives at one chainage, from top to foot; shape (rows, 2). [m]

    Parameters
    ----------
    grid : EdgeGrid
        The edges.
    chainage : float
        Where the seam lies. [m]
    half_width : float
        How far to each side the way may wander; 0 or more. [m]

    Notes
    -----
    Middles of the fields gone through: chainage and level. Among ways that cost as little, the one
    that keeps nearest to the chainage.
    """
    views, first = _views(grid, [chainage], half_width)
    rows = np.array([view[0] for view in views])
    off = 1e-9 * np.abs(np.arange(rows.shape[1]) - rows.shape[1] // 2)
    costs = [rows[0] + off]
    for row in rows[1:]:
        before = np.pad(costs[-1], 1, constant_values=math.inf)
        costs.append(row + off + sliding_window_view(before, 3).min(axis=1))
    place = int(costs[-1].argmin())
    ways = [place]
    for cost in costs[-2::-1]:
        low = max(place - 1, 0)
        place = low + int(cost[low : place + 2].argmin())
        ways.append(place)
    x = (np.array(ways) + first[0] + 0.5) * grid.step
    z = grid.foot + (np.arange(len(rows))[::-1] + 0.5) * grid.step
    return np.column_stack([x, z])


def level_costs(grid: EdgeGrid, start: float, end: float, levels: ArrayLike) -> Floats:
    """Edge crossed by a level line between two chainages, at each level. [m]

    Parameters
    ----------
    grid : EdgeGrid
        The edges.
    start, end : float
        Chainages of the line's ends; it ends after it starts. [m]
    levels : array_like, shape (n,)
        Levels looked at. [m]

    Raises
    ------
    ValueError
        If the line does not end after it starts.
    """
    if not end > start:
        raise ValueError("a line ends after it starts")
    first, last = (int(np.clip(at / grid.step, 0, grid.edge.shape[1])) for at in (start, end))
    rows = np.floor((np.asarray(levels) - grid.foot) / grid.step).astype(int)
    sums = grid.edge[:, first : max(last, first + 1)].sum(axis=1)
    return np.asarray(sums[np.clip(rows, 0, len(sums) - 1)])


def with_level_seams(set_ups: Sequence[SetUp], grid: EdgeGrid) -> tuple[SetUp, ...]:
    """Set-ups whose rows meet at the level that crosses least edge, near the middle if alike.

    Parameters
    ----------
    set_ups : sequence of SetUp
        In order of number.
    grid : EdgeGrid
        The edges.
    """
    rooms: dict[int, tuple[float, float]] = {}
    pairs = [pair for pair in pairwise(set_ups) if pair[0].overlap_above is not None]
    for _, rows in groupby(pairs, key=lambda pair: pair[0].column):
        column = list(rows)
        free = seam_rooms([(above.foot, one.head) for one, above in column])
        rooms.update((one.number, room) for (one, _), room in zip(column, free, strict=True))
    found = []
    for one in set_ups:
        if one.number not in rooms:
            found.append(one)
            continue
        low, high = rooms[one.number]
        room = max(high - low - 2 * grid.step, 0.0)
        count = int(room / grid.step) + 1
        middle = (low + high) / 2
        levels = middle + (np.arange(count) - (count - 1) / 2) * grid.step
        costs = level_costs(grid, max(one.start, 0.0), one.end, levels)
        best = int(np.lexsort((np.abs(levels - middle), costs.round(9)))[0])
        found.append(replace(one, seam_above=float(levels[best])))
    return tuple(found)
