"""Hiding: the stretches of outlines that lie under later areas are left out."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.adjacency import rings_with_areas
from giornata.core.geometry.coverage import Geometries, Labels

__all__ = ["seen_outlines"]

_STRETCHES = 24  # to a ring, about
_SEGMENTS = 8  # in a stretch at most
_ASKED = 8  # areas over a stretch, the largest first
_SLICE = 20_000  # stretches looked up at a time


def seen_outlines(areas: Geometries, opaque: NDArray[np.bool_]) -> Geometries:
    """Outlines of the areas, less stretches that lie inside a later opaque area.

    Parameters
    ----------
    areas : ndarray of shapely.Polygon or shapely.MultiPolygon, shape (n,)
        In painting order. The first is what the others lie on: its outline stays whole.
    opaque : ndarray of bool, shape (n,)
        Areas that hide what lies below them.

    Notes
    -----
    A stretch is left out only if it lies wholly in the interior of one opaque area, so on both
    of its sides that area or a later one is on top: no boundary that shows is lost. Not every
    hidden stretch is found.

    Examples
    --------
    >>> import numpy as np, shapely
    >>> three = [shapely.box(0, 0, 9, 9), shapely.box(2, 2, 4, 4), shapely.box(1, 1, 5, 5)]
    >>> seen = seen_outlines(np.array(three), np.array([True, True, True]))
    >>> sorted(shapely.length(seen).tolist())   # the small square is under the last one
    [16.0, 36.0]
    """
    rings, area_of = rings_with_areas(areas)
    xy, ring_of = shapely.get_coordinates(rings, return_index=True)
    vertices = np.bincount(ring_of, minlength=len(rings))
    begin = np.cumsum(vertices) - vertices
    segments = vertices - 1
    each = np.clip(segments // _STRETCHES, 1, _SEGMENTS)
    count = -(-segments // each)
    ring = np.repeat(np.arange(len(rings)), count)
    place = np.arange(len(ring)) - np.repeat(np.cumsum(count) - count, count)
    first = begin[ring] + place * segments[ring] // count[ring]
    last = begin[ring] + (place + 1) * segments[ring] // count[ring]

    hidden = np.zeros(len(ring), dtype=bool)
    over = np.flatnonzero(opaque)
    tree = shapely.STRtree(areas[over])
    shapely.prepare(areas[over])
    box = shapely.bounds(areas[over])
    rank = np.argsort(np.argsort((box[:, 0] - box[:, 2]) * (box[:, 3] - box[:, 1])))
    for start in range(0, len(ring), _SLICE):
        part = slice(start, start + _SLICE)
        lines = _lines(xy, first[part], last[part])
        at, by = tree.query(lines)
        under = (area_of[ring[part]][at] < over[by]) & (area_of[ring[part]][at] > 0)
        under &= _within(shapely.bounds(lines), box, at, by, under)
        hidden[part] = _held(lines, areas[over], at[under], by[under], rank)

    kept = np.flatnonzero(~hidden)
    new = np.ones(len(kept), dtype=bool)
    new[1:] = (np.diff(kept) > 1) | (ring[kept[1:]] != ring[kept[:-1]])
    runs = np.flatnonzero(new)
    ends = np.append(runs[1:], len(kept))[: len(runs)] - 1
    return _lines(xy, first[kept[runs]], last[kept[ends]])


def _lines(xy: NDArray[np.float64], first: Labels, last: Labels) -> Geometries:
    """Lines through the vertices from ``first`` to ``last``, both included."""
    size = last - first + 1
    at = np.repeat(first - (np.cumsum(size) - size), size) + np.arange(size.sum())
    lines = shapely.linestrings(xy[at], indices=np.repeat(np.arange(len(size)), size))
    return np.asarray(lines)


def _within(
    inner: NDArray[np.float64],
    outer: NDArray[np.float64],
    at: Labels,
    by: Labels,
    some: NDArray[np.bool_],
) -> NDArray[np.bool_]:
    """Whether the box of a line lies inside that of an area, for some pairs; else False."""
    result = np.zeros(len(at), dtype=bool)
    pairs = np.flatnonzero(some)
    a, b = inner[at[pairs]], outer[by[pairs]]
    result[pairs] = (a[:, :2] > b[:, :2]).all(axis=1) & (a[:, 2:] < b[:, 2:]).all(axis=1)
    return result


def _held(
    lines: Geometries, areas: Geometries, at: Labels, by: Labels, rank: Labels
) -> NDArray[np.bool_]:
    """Whether a line lies wholly inside one of the areas over it, of which a few are asked."""
    held = np.zeros(len(lines), dtype=bool)
    order = np.lexsort((rank[by], at))
    at, by = at[order], by[order]
    count = np.bincount(at, minlength=len(lines))
    turn = np.arange(len(at)) - np.repeat(np.cumsum(count) - count, count)
    for number in range(min(_ASKED, int(count.max(initial=0)))):
        asked = np.flatnonzero((turn == number) & ~held[at])
        inside = shapely.contains_properly(areas[by[asked]], lines[at[asked]])
        held[at[asked[inside]]] = True
    return held
