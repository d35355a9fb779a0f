"""Rings of pixel sides around each connected region of one paint."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import breadth_first_order, connected_components

from giornata.core.artwork.raster_corners import Corners, Index, SideEnds
from giornata.core.artwork.raster_sides import OUT, Edges

__all__ = ["Rings", "rings"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rings:
    """Rings of all regions: each region's outer ring, then its holes.

    Parameters
    ----------
    vertex : ndarray of int, shape (n,)
        Vertices along the rings; no ring repeats its first. [-]
    step : ndarray of int, shape (n,)
        Directed side from each vertex to the next: of ``a`` sides across and ``d`` down, south
        along side k is k, north a + k, east 2 a + k, west 2 a + d + k. [-]
    start : ndarray of int, shape (r + 1,)
        Where each ring starts in ``vertex``. [-]
    region_start : ndarray of int, shape (m + 1,)
        Where each region starts among the rings. [-]
    paint : ndarray of uint8, shape (m,)
        Paint of each region. [-]
    """

    vertex: Index
    step: NDArray[np.int64]
    start: NDArray[np.int64]
    region_start: NDArray[np.int64]
    paint: NDArray[np.uint8]


@dataclass(frozen=True, slots=True, eq=False)
class _Walk:
    """Directed sides: south and north along sides across, then east and west along sides down.

    Each has its own pixel on the right hand.
    """

    onward: Index
    start_vertex: Index
    start_corner: Index
    paint: NDArray[np.uint8]


def _onward(
    found: Corners,
    arrived: Index,
    own: NDArray[np.uint8],
    ahead: tuple[NDArray[np.uint8], NDArray[np.uint8]],
    turns: tuple[Index, Index, Index],
) -> Index:
    """Next directed side: right around its own pixel, straight, or left around a foreign one."""
    right_hand, left_hand = ahead[0][arrived] == own, ahead[1][arrived] == own
    left = left_hand & (right_hand | (found.joined[arrived] == own))
    straight = right_hand & ~left_hand
    to_right, to_straight, to_left = (turn[arrived] for turn in turns)
    return np.where(left, to_left, np.where(straight, to_straight, to_right)).astype(np.int32)


def _walk(found: Corners, edges: Edges, ends: tuple[SideEnds, SideEnds]) -> _Walk:
    across, down = edges.across, edges.down
    a, d = len(across.pixel), len(down.pixel)
    on_across, on_down = ends
    west_of, east_of = across.before, across.after
    north_of, south_of = down.before, down.after
    go_south, go_north = found.south, found.north + np.int32(a)
    go_east, go_west = found.east + np.int32(2 * a), found.west + np.int32(2 * a + d)
    onward = np.concatenate(
        [
            _onward(
                found, on_across.last, west_of, (found.sw, found.se), (go_west, go_south, go_east)
            ),
            _onward(
                found, on_across.first, east_of, (found.ne, found.nw), (go_east, go_north, go_west)
            ),
            _onward(
                found, on_down.last, south_of, (found.se, found.ne), (go_south, go_east, go_north)
            ),
            _onward(
                found, on_down.first, north_of, (found.nw, found.sw), (go_north, go_west, go_south)
            ),
        ]
    )
    return _Walk(
        onward,
        np.concatenate(
            [
                on_across.first_vertex,
                on_across.last_vertex,
                on_down.first_vertex,
                on_down.last_vertex,
            ]
        ),
        np.concatenate([on_across.first, on_across.last, on_down.first, on_down.last]),
        np.concatenate([west_of, east_of, south_of, north_of]),
    )


def _single_file(onward: Index) -> tuple[NDArray[np.int64], NDArray[np.int64], Index]:
    """Elements of all cycles one after another, where each starts, and the cycle of each element.

    The cycles are cut open and strung together, so that one breadth-first walk lists them all.
    """
    count = len(onward)
    graph = csr_array(
        (np.ones(count, np.int8), onward, np.arange(count + 1, dtype=np.int32)),
        shape=(count, count),
    )
    cycles, cycle = connected_components(graph, directed=True, connection="weak")
    first = np.full(cycles, count, np.int64)
    np.minimum.at(first, cycle, np.arange(count))
    before = np.empty(count, np.int32)
    before[onward] = np.arange(count, dtype=np.int32)
    strung = onward.copy()
    strung[before[first[:-1]]] = first[1:]
    last = before[first[-1]]
    length = np.ones(count, np.int32)
    length[last] = 0
    graph = csr_array(
        (
            np.ones(count - 1, np.int8),
            np.delete(strung, last),
            np.concatenate([[0], np.cumsum(length)]).astype(np.int32),
        ),
        shape=(count, count),
    )
    order = breadth_first_order(graph, int(first[0]), return_predecessors=False)
    start = np.concatenate([[0], np.cumsum(np.bincount(cycle, minlength=cycles))])
    return order.astype(np.int64), start.astype(np.int64), cycle.astype(np.int32)


def rings(found: Corners, edges: Edges, ends: tuple[SideEnds, SideEnds]) -> Rings:
    """Rings around every connected region of one paint.

    Parameters
    ----------
    found : Corners
        Corners of the framed picture.
    edges : Edges
        Where paints meet in the whole picture.
    ends : tuple of SideEnds
        Ends of the sides across and down.

    Notes
    -----
    Two rings belong to one region if a run of its pixels reaches from one to the other: the run
    left of a hole's leftmost side ends at another ring of the region, further left.
    """
    walk = _walk(found, edges, ends)
    kept = np.flatnonzero(walk.paint != OUT)
    rank = np.full(len(walk.paint), -1, np.int32)
    rank[kept] = np.arange(len(kept), dtype=np.int32)
    order, start, ring = _single_file(rank[walk.onward[kept]])
    walked = kept[order]
    place = found.place[walk.start_corner[walked]]
    # twice the signed area between pixel corners: above 0 around the region, below 0 in a hole
    y, x = np.divmod(place, edges.stride)
    after = np.arange(1, len(order) + 1)
    after[start[1:] - 1] = start[:-1]
    turning = np.add.reduceat(x * y[after] - x[after] * y, start[:-1])
    # rings joined by runs of pixels
    across = edges.across
    row = across.pixel // edges.stride
    run = np.flatnonzero((row[1:] == row[:-1]) & (across.before[1:] != OUT))
    left_end = ring[rank[run + len(across.pixel)]]
    right_end = ring[rank[run + 1]]
    count = len(start) - 1
    links = csr_array((np.ones(len(run), np.int8), (left_end, right_end)), shape=(count, count))
    regions, region = connected_components(links, directed=False)
    by_region = np.lexsort((np.arange(count), turning < 0, region))
    lengths = np.diff(start)[by_region]
    new_start = np.concatenate([[0], np.cumsum(lengths)])
    pick = np.repeat(start[by_region] - new_start[:-1], lengths) + np.arange(new_start[-1])
    region_start = np.concatenate([[0], np.cumsum(np.bincount(region, minlength=regions))])
    return Rings(
        vertex=walk.start_vertex[walked][pick],
        step=walked[pick],
        start=new_start,
        region_start=region_start,
        paint=walk.paint[walked][pick][new_start[region_start[:-1]]],
    )
