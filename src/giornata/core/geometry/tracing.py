"""Tracing: the polygon of each region from the edges that bound it."""

from __future__ import annotations

from fractions import Fraction
from functools import cmp_to_key

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.adjacency import nodes_of
from giornata.core.geometry.coverage import OUTSIDE, Geometries, Labels
from giornata.core.geometry.joining import chains

__all__ = ["traced"]

Floats = NDArray[np.float64]

_CLOSE = 1e-9  # two edges that leave a node at a smaller angle are told apart exactly [rad]


def traced(xy: Floats, size: Labels, left: Labels, right: Labels, count: int) -> Geometries:
    """Polygon of each region, its shell anticlockwise and its holes clockwise.

    Parameters
    ----------
    xy : ndarray, shape (k, 2)
        Vertices of the edges, one edge after the other.
    size : ndarray of int, shape (m,)
        Vertices of each edge, at least 2. Edges meet at their ends only. [-]
    left, right : ndarray of int, shape (m,)
        Region on either side of each edge, unlike ones; OUTSIDE (-1) for none. [-]
    count : int
        Regions; each hangs together and has edges. [-]

    Raises
    ------
    ValueError
        If the edges do not close around each region.

    Notes
    -----
    Each edge is run through with its region on the left hand. Where a region's boundary passes
    a node more than once, the next edge is the one across the gap, anticlockwise from where the
    boundary comes in, so rings that touch at a point stay apart, as shell and holes must. A
    region that hangs together has one shell: its ring of greatest area.
    """
    begin = np.cumsum(size) - size
    forth, back = np.flatnonzero(left != OUTSIDE), np.flatnonzero(right != OUTSIDE)
    edge = np.concatenate([forth, back])
    region = np.concatenate([left[forth], right[back]])
    backward = np.arange(len(edge)) >= len(forth)
    node = nodes_of(np.concatenate([xy[begin], xy[begin + size - 1]]))
    begins, ends = node[: len(size)][edge], node[len(size) :][edge]
    begins, ends = np.where(backward, ends, begins), np.where(backward, begins, ends)

    at_begin = region * len(node) + begins
    at_end = region * len(node) + ends
    out, into = np.argsort(at_begin, kind="stable"), np.argsort(at_end, kind="stable")
    if not np.array_equal(at_begin[out], at_end[into]):
        raise ValueError("the edges do not close around each region")
    following = np.empty(len(edge), dtype=np.intp)
    following[into] = out
    step = np.where(backward, -1, 1)
    start = np.where(backward, begin[edge] + size[edge] - 1, begin[edge])
    stop = np.where(backward, begin[edge], begin[edge] + size[edge] - 1)
    again = np.flatnonzero(_repeated(at_begin[out]))
    if len(again):
        coming, leaving = into[again], out[again]
        following[coming] = _across(
            at_begin[leaving],
            xy[start[leaving]],
            xy[stop[coming] - step[coming]],
            xy[start[leaving] + step[leaving]],
            leaving,
        )

    order, ring_first = chains(following)
    taken = size[edge[order]] - 1
    step, start = step[order], start[order]
    within = np.arange(taken.sum()) - np.repeat(np.cumsum(taken) - taken, taken)
    points = xy[np.repeat(start, taken) + np.repeat(step, taken) * within]
    ring_at = np.append(np.cumsum(taken) - taken, len(points))[np.append(ring_first, len(order))]
    return _polygons(points, ring_at, region[order[ring_first]], count)


def _repeated(keys: Labels) -> NDArray[np.bool_]:
    """Whether each of a sorted row of keys stands there more than once."""
    alike = keys[1:] == keys[:-1]
    return np.asarray(np.append(alike, False) | np.insert(alike, 0, False))


def _across(key: Labels, node: Floats, come: Floats, leave: Floats, leaving: Labels) -> Labels:
    """Edge by which a boundary goes on from each edge by which it comes to a node.

    The keys tell the passages apart, each of a region through a node; they are sorted. To each
    passage belong as many edges that come as edges that leave.
    """
    ways = np.concatenate([come, leave]) - np.tile(node, (2, 1))
    angle = np.arctan2(ways[:, 1], ways[:, 0])
    passage = np.tile(np.cumsum(np.append(True, key[1:] != key[:-1])) - 1, 2)
    order = np.lexsort((angle, passage))
    count = np.bincount(passage)
    begin = np.cumsum(count) - count
    after = np.arange(1, len(order) + 1)
    after[begin + count - 1] = begin
    turn = np.mod(angle[order[after]] - angle[order], 2 * np.pi)
    near = (turn < _CLOSE) | (turn > 2 * np.pi - _CLOSE)
    for number in np.unique(passage[order[near]]).tolist():
        place = slice(begin[number], begin[number] + count[number])
        ends = np.concatenate([come, leave])[order[place]]
        order[place] = order[place][_exactly(node[order[place][0] % len(node)], ends)]
    arriving = order < len(come)
    if np.any(arriving == arriving[after]):
        raise ValueError("the edges do not close around each region")
    beyond = np.empty(len(come), dtype=np.intp)
    beyond[order[arriving]] = leaving[order[after[arriving]] - len(come)]
    return beyond


def _exactly(node: Floats, ends: Floats) -> Labels:
    """Order of directions from a node, anticlockwise, without rounding."""
    x, y = (Fraction(value) for value in node.tolist())
    ways = [(Fraction(a) - x, Fraction(b) - y) for a, b in ends.tolist()]

    def compared(i: int, j: int) -> int:
        (a, b), (c, d) = ways[i], ways[j]
        beyond, other = b < 0 or (b == 0 and a < 0), d < 0 or (d == 0 and c < 0)
        if beyond != other:  # one is from 0 to 180 degrees, one beyond
            return -1 if beyond else 1
        cross = a * d - b * c
        return -1 if cross > 0 else 1 if cross < 0 else 0

    return np.array(sorted(range(len(ways)), key=cmp_to_key(compared)), dtype=np.intp)


def _polygons(points: Floats, ring_at: Labels, region: Labels, count: int) -> Geometries:
    """Polygons of open rings, which belong to the regions."""
    size, begin = np.diff(ring_at), ring_at[:-1]
    off = points - np.repeat(points[begin], size, axis=0)  # small, so that little is rounded away
    cross = np.zeros(len(points))
    cross[:-1] = off[:-1, 0] * off[1:, 1] - off[1:, 0] * off[:-1, 1]
    cross[ring_at[1:] - 1] = 0.0  # a ring's last segment ends where the offsets begin
    order = np.lexsort((-np.add.reduceat(cross, begin), region))
    rings_of = np.bincount(region, minlength=count)
    if not rings_of.all():
        raise ValueError("the edges do not close around each region")
    closed = np.append(0, np.cumsum(size[order] + 1))
    at = np.arange(closed[-1]) + np.repeat(begin[order] - closed[:-1], size[order] + 1)
    at[closed[1:] - 1] = begin[order]
    return np.asarray(
        shapely.from_ragged_array(
            shapely.GeometryType.POLYGON,
            points[at],
            (closed, np.append(0, np.cumsum(rings_of))),
        )
    )
