"""Touching: noded edges that meet within the rounding are made to meet exactly."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.adjacency import parts_of
from giornata.core.geometry.coverage import Geometries, Labels
from giornata.core.geometry.merging import linked

__all__ = ["brought_together", "noded"]

Floats = NDArray[np.float64]
Points = NDArray[np.complex128]

_SEGMENTS = 6  # in a run at most
_SLICE = 64  # runs looked up at first
_FOUND = 200_000  # pairs of runs looked up at a time, about
_PAIRS = 60_000  # pairs of runs compared at a time
_ROUNDS = 4  # what was brought together may come near to something else


def noded(lines: Geometries, near: float = 0.0, ends: tuple[float, ...] = ()) -> Geometries:
    """Stretches of lines between nodes, each once.

    Parameters
    ----------
    lines : ndarray of shapely.LineString, shape (n,)
        They may cross, touch and repeat in any way.
    near : float
        As in `brought_together`. [unit of the coordinates]
    ends : tuple of float
        As in `brought_together`. [unit of the coordinates]
    """
    edges = parts_of(shapely.union_all(lines))
    for _ in range(_ROUNDS):
        together = brought_together(edges, near, ends)
        if together is None:
            break
        edges = parts_of(shapely.union_all(together))
    return edges


def brought_together(
    edges: Geometries, near: float, ends: tuple[float, ...] = ()
) -> Geometries | None:
    """Edges through the points they pass near to; None if they pass none.

    Where two outlines run along one another, or one ends on another, it hangs on the last bit
    whether they meet: a hairline between them is then a face by itself, or hangs on a larger
    one. With this they meet.

    Parameters
    ----------
    edges : ndarray of shapely.LineString, shape (m,)
        Noded: they meet at their ends only.
    near : float
        Greatest distance of a vertex from a segment, or from another vertex, that is made good;
        more than the rounding of coordinates. [unit of the coordinates]
    ends : tuple of float
        Abscissae of bay lines: vertices on them stay on them. [unit of the coordinates]

    Returns
    -------
    ndarray of shapely.LineString or None
        Not noded: two of them may share a stretch, vertex by vertex.

    Examples
    --------
    >>> lines = shapely.linestrings([[(0, 0), (4, 0)], [(1, 1e-14), (1, 2)]])
    >>> [line.wkt for line in brought_together(lines, 1e-12)]
    ['LINESTRING (0 0, 1 1e-14, 4 0)', 'LINESTRING (1 1e-14, 1 2)']
    """
    if not near > 0 or not len(edges):
        return None
    xy, edge = shapely.get_coordinates(edges, return_index=True)
    vertex, start, place, by_end = _near_pairs(xy, edge, near)
    if not len(vertex):
        return None
    at = np.ascontiguousarray(xy + 0.0).view(np.complex128).ravel()
    inside = by_end < 0
    moved = _as_one(at, at[vertex[~inside]], at[by_end[~inside]], ends)
    # What comes in between goes after the vertex at which its segment begins.
    order = np.lexsort(
        (
            np.concatenate([np.zeros(len(at)), place[inside]]),
            np.concatenate([np.arange(len(at)), start[inside]]),
        )
    )
    at = np.concatenate([moved, moved[vertex[inside]]])[order]
    edge = np.concatenate([edge, edge[start[inside]]])[order]
    again = np.append(False, (at[1:] == at[:-1]) & (edge[1:] == edge[:-1]))
    at, edge = at[~again], edge[~again]
    runs = np.bincount(edge)[edge] > 1
    at, edge = at[runs], edge[runs]
    return np.asarray(
        shapely.linestrings(at.view(np.float64).reshape(-1, 2), indices=_counted(edge))
    )


def _counted(edge: Labels) -> Labels:
    """The rising numbers of edges, without gaps."""
    counted: Labels = np.cumsum(np.append(False, edge[1:] != edge[:-1]))
    return counted


def _as_one(at: Points, one: Points, other: Points, ends: tuple[float, ...]) -> Points:
    """Points, those that pairs put together in the place of one of them."""
    known, number = np.unique(np.concatenate([one, other]), return_inverse=True)
    if not len(known):
        return at
    which = linked(number[: len(one)], number[len(one) :], len(known))
    order = np.lexsort((~np.isin(known.real, ends), which))  # of equals the least one first
    first = np.append(True, which[order][1:] != which[order][:-1])
    chosen = known[order[first]][which]
    place = np.minimum(np.searchsorted(known, at), len(known) - 1)
    return np.where(known[place] == at, chosen[place], at)


def _near_pairs(xy: Floats, edge: Labels, near: float) -> tuple[Labels, Labels, Floats, Labels]:
    """Vertices near a segment that does not end there.

    Of each pair the vertex; the vertex at which the segment begins; how far along the segment
    the nearest point lies, as a share; the vertex of the segment it is near to, -1 for none.
    """
    x, y = np.ascontiguousarray(xy.T)
    first, last = _runs(x, y, edge)
    corners = np.stack([xy[first], xy[last]], axis=1)
    corners.sort(axis=1)
    corners[:, 0] -= near
    corners[:, 1] += near
    (left, low), (right, high) = np.ascontiguousarray(corners.transpose(1, 2, 0))
    boxes = np.asarray(shapely.linestrings(corners))
    tree = shapely.STRtree(boxes)
    found = []
    begin, size = 0, _SLICE
    while begin < len(boxes):
        run, other = tree.query(boxes[begin : begin + size])
        run += begin
        begin += size
        size = min(2 * size, size * _FOUND // len(run) + 1)  # each has found itself
        run, other = run[run != other], other[run != other]
        for pair in range(0, len(run), _PAIRS):
            part = slice(pair, pair + _PAIRS)
            vertex, two = _expanded(first[run[part]], last[run[part]] + 1, other[part])
            for along, least, most in ((x, left, right), (y, low, high)):
                own = along[vertex]
                held = np.flatnonzero((own >= least[two]) & (own <= most[two]))
                vertex, two = vertex[held], two[held]
            start, vertex = _expanded(first[two], last[two], vertex)
            found.append(_measured(xy, *_beside(x, y, vertex, start, near), near))
    if not found:
        none: Labels = np.empty(0, dtype=np.intp)
        return none, none, np.empty(0), none
    vertex, start, place, by_end = (np.concatenate(parts) for parts in zip(*found, strict=True))
    return vertex, start, place, by_end


def _runs(x: Floats, y: Floats, edge: Labels) -> tuple[Labels, Labels]:
    """First and last vertex of runs of a few segments that turn through less than a right angle.

    In such a run no vertex comes near to a segment but the two it ends.
    """
    start = np.flatnonzero(edge[1:] == edge[:-1])
    way = 2 * (x[1:] > x[:-1])[start] + (y[1:] > y[:-1])[start]
    new = np.ones(len(start), dtype=bool)
    new[1:] = (np.diff(start) > 1) | (way[1:] != way[:-1])
    begin = np.flatnonzero(new)
    place = np.arange(len(start)) - np.repeat(begin, np.diff(begin, append=len(start)))
    begin = np.flatnonzero(place % _SEGMENTS == 0)
    end = np.append(begin[1:], len(start)) - 1
    return start[begin], start[end] + 1


def _expanded(first: Labels, stop: Labels, of: Labels) -> tuple[Labels, Labels]:
    """Each whole number from first to below stop, and what the pair of them is of."""
    size = stop - first
    count = int(size.sum())
    return np.arange(count) + np.repeat(first - (np.cumsum(size) - size), size), of.repeat(size)


def _beside(
    x: Floats, y: Floats, vertex: Labels, start: Labels, near: float
) -> tuple[Labels, Labels]:
    """Of pairs of a vertex and a segment it does not end those of which the box is near."""
    for along in (x, y):
        own = along[vertex]
        before, after = along[start] - own, along[start + 1] - own
        close = (np.minimum(before, after) <= near) & (np.maximum(before, after) >= -near)
        at = np.flatnonzero(close)
        vertex, start = vertex[at], start[at]
    ends = np.zeros(len(vertex), dtype=bool)
    for end in (start, start + 1):
        ends |= (x[vertex] == x[end]) & (y[vertex] == y[end])
    return vertex[~ends], start[~ends]


def _measured(
    xy: Floats, vertex: Labels, start: Labels, near: float
) -> tuple[Labels, Labels, Floats, Labels]:
    """Of pairs of a vertex and a segment those that are near, as in `_near_pairs`."""
    point, here, there = xy[vertex], xy[start], xy[start + 1]
    step = there - here
    ahead, square = np.sum((point - here) * step, axis=1), np.sum(step * step, axis=1)
    # The square of a length below 1e-162 is 0.
    place = np.divide(ahead, square, out=np.zeros_like(square), where=square > 0)
    foot = here + place.clip(0, 1)[:, None] * step
    by_here = np.hypot(*(point - here).T) <= near
    by_there = np.hypot(*(point - there).T) <= near
    by_end = np.where(by_here, start, np.where(by_there, start + 1, -1))
    hit = np.hypot(*(point - foot).T) <= near
    return vertex[hit], start[hit], place[hit], by_end[hit]
