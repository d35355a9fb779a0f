"""Hiding: the stretches of outlines that lie under later areas are left out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.adjacency import rings_with_areas
from giornata.core.geometry.coverage import Geometries, Labels

__all__ = ["Cut", "hidden_segments", "seen_outlines"]

Floats = NDArray[np.float64]
Marks = NDArray[np.bool_]

_STRETCHES = 24  # to a ring, about
_SEGMENTS = 8  # in a stretch at most
_ASKED = 8  # areas over a stretch, the largest first
_SLICE = 20_000  # stretches looked up at a time


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cut:
    """What is known of areas of which only the parts in a bay are at hand.

    Parameters
    ----------
    boxes : ndarray, shape (n, 4)
        Bounds of the whole of each area. [unit of the coordinates]
    parts : ndarray of int, shape (k,)
        The areas that are cut. [-]
    hidden : ndarray of bool
        For each coordinate of those, whether the segment that begins there is hidden.
    """

    boxes: Floats
    parts: Labels
    hidden: Marks


def seen_outlines(areas: Geometries, opaque: Marks, cut: Cut | None = None) -> Geometries:
    """Outlines of the areas, less stretches that lie inside a later opaque area.

    Parameters
    ----------
    areas : ndarray of shapely.Polygon or shapely.MultiPolygon, shape (n,)
        In painting order. The first is what the others lie on: its outline stays whole.
    opaque : ndarray of bool, shape (n,)
        Areas that hide what lies below them.
    cut : Cut, optional
        Where areas are parts of larger ones: then the same is left out as without the cuts.

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
    whole = np.ones(len(areas), dtype=bool)
    boxes = shapely.bounds(areas) if cut is None else cut.boxes
    if cut is not None:
        whole[cut.parts] = False
    xy, ring, first, last, hidden = _stretches(areas, opaque, boxes, np.flatnonzero(whole))
    kept = np.flatnonzero(~hidden)
    new = np.ones(len(kept), dtype=bool)
    new[1:] = (np.diff(kept) > 1) | (ring[kept[1:]] != ring[kept[:-1]])
    runs = np.flatnonzero(new)
    ends = np.append(runs[1:], len(kept))[: len(runs)] - 1
    seen = _lines(xy, first[kept[runs]], last[kept[ends]])
    return seen if cut is None else np.concatenate([seen, _seen_of_cut(areas[cut.parts], cut)])


def hidden_segments(areas: Geometries, opaque: Marks, some: Labels) -> list[Marks]:
    """For each of some areas, whether the segment that begins at each coordinate is hidden.

    Parameters
    ----------
    areas, opaque : ndarray, shape (n,)
        As in `seen_outlines`.
    some : ndarray of int, shape (k,)
        Indices of areas. [-]
    """
    xy, _, first, last, hidden = _stretches(areas, opaque, shapely.bounds(areas), some)
    marks = np.zeros(len(xy) + 1, dtype=np.intp)
    np.add.at(marks, first[hidden], 1)
    np.add.at(marks, last[hidden], -1)
    each = np.cumsum(shapely.get_num_coordinates(areas[some]))[:-1]
    return np.split(np.cumsum(marks[:-1]) > 0, each)[: len(some)]  # of nothing it makes one part


def _seen_of_cut(areas: Geometries, cut: Cut) -> Geometries:
    """Outlines of cut areas, less what is hidden."""
    rings, _ = rings_with_areas(areas)
    xy, ring_of = shapely.get_coordinates(rings, return_index=True)
    seen = np.append(ring_of[1:] == ring_of[:-1], False) & ~cut.hidden
    before = np.append(False, seen[:-1])
    return _lines(xy, np.flatnonzero(seen & ~before), np.flatnonzero(before & ~seen))


def _stretches(
    areas: Geometries, opaque: Marks, boxes: Floats, some: Labels
) -> tuple[Floats, Labels, Labels, Labels, Marks]:
    """Vertices of some areas' rings; of each stretch its ring, its ends, and if it is hidden."""
    rings, area_of = rings_with_areas(areas[some])
    area_of = some[area_of]
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
    box = boxes[over]
    tree = shapely.STRtree(shapely.box(*box.T))
    shapely.prepare(areas[over])
    size = (box[:, 0] - box[:, 2]) * (box[:, 3] - box[:, 1])
    rank = np.argsort(np.argsort(size, kind="stable"))
    for start in range(0, len(ring), _SLICE):
        part = slice(start, start + _SLICE)
        lines = _lines(xy, first[part], last[part])
        at, by = tree.query(lines)
        under = (area_of[ring[part]][at] < over[by]) & (area_of[ring[part]][at] > 0)
        under &= _within(shapely.bounds(lines), box, at, by, under)
        hidden[part] = _held(lines, areas[over], at[under], by[under], rank)
    return xy, ring, first, last, hidden


def _lines(xy: Floats, first: Labels, last: Labels) -> Geometries:
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
