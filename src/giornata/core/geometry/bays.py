"""Bays: a long drawing cut by upright lines, so that each piece is overlaid on its own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.coverage import Geometries, Labels
from giornata.core.geometry.hiding import Cut

__all__ = ["bay_lines", "in_bays"]

Floats = NDArray[np.float64]
Marks = NDArray[np.bool_]

_NEAR = 500  # gaps between vertices to either side of an even cut, the widest of which is taken


def bay_lines(areas: Geometries, most: int, *, clear: float = 0.0) -> Floats:
    """Abscissae that cut areas into bays of about equally many vertices; none for few vertices.

    Parameters
    ----------
    areas : ndarray of shapely.Polygon or shapely.MultiPolygon, shape (n,)
    most : int
        Vertices in a bay, about; above 0. [-]
    clear : float
        A line is farther than this from every vertex; 0 or more. [unit of the coordinates]

    Raises
    ------
    ValueError
        If a bay may have no vertices.

    Notes
    -----
    No vertex lies on a line, so every outline crosses it or stays clear of it; of the gaps
    between vertices near an even cut the widest is taken.

    Examples
    --------
    >>> import numpy as np, shapely
    >>> steps = np.array([shapely.box(x, 0, x + 0.5, 1) for x in range(4)])
    >>> bay_lines(steps, 10).tolist()   # four boxes of five vertices, in two bays
    [1.75]
    """
    if most < 1:
        raise ValueError("a bay has at least one vertex")
    x = np.sort(shapely.get_coordinates(areas)[:, 0])
    count = -(-len(x) // most)
    if count < 2:
        return np.empty(0)
    middle = x[:-1] / 2 + x[1:] / 2
    place = np.flatnonzero((middle - x[:-1] > clear) & (x[1:] - middle > clear))
    if not len(place):
        return np.empty(0)
    middle, width = middle[place], x[place + 1] - x[place]
    even = np.searchsorted(place + 1, len(x) * np.arange(1, count) / count)
    reach = min(_NEAR, len(middle) // (4 * count))
    lines = []
    for at in np.minimum(even, len(middle) - 1):
        first = max(at - reach, 0)
        lines.append(middle[first + np.argmax(width[first : at + reach + 1])])
    return np.unique(lines)


def in_bays(
    areas: Geometries,
    spans: Iterable[tuple[float, float]],
    hidden: Mapping[int, Marks] | None = None,
) -> Iterator[tuple[Geometries, Labels, Cut]]:
    """For each bay the parts of areas in it, the area each is part of, and what was cut.

    Parameters
    ----------
    areas : ndarray of shapely.Polygon or shapely.MultiPolygon, shape (n,)
        Valid, without a vertex on a bay line.
    spans : iterable of (float, float)
        Abscissae at which the bays begin and end, which may be infinite. [unit of the coordinates]
    hidden : mapping of int to ndarray of bool, optional
        Of each area that is cut, the segments that are hidden, by the coordinate at which they
        begin; without it none is.

    Notes
    -----
    An area that lies to both sides of a bay has an empty part in it. Of each ring the vertices
    between the lines stay, and the points where it crosses a line come in. A part's outline may
    so run along a line more than once, there and back: whether a point lies inside is still told
    by counting crossings, which is all that is asked of it. A crossing is computed from the
    segment's two ends in the order of their abscissae, so neighbours, and the bays on both sides
    of a line, have the same one to the last bit.
    """
    boxes = shapely.bounds(areas).reshape(-1, 4)
    start, _, end, _ = boxes.T
    for low, high in spans:
        near = np.flatnonzero((start < high) & (end > low))
        across = np.flatnonzero((start[near] < low) | (end[near] > high))
        parts = areas[near]
        marks = np.empty(0, dtype=bool)
        if len(across):
            kind, xy, offsets = shapely.to_ragged_array(parts[across])
            marks = np.zeros(len(xy), dtype=bool)
            if hidden is not None:
                marks = np.concatenate([hidden[area] for area in near[across].tolist()])
            rings = np.asarray(offsets[0], dtype=np.intp)
            xy, ring_at, marks = _between(xy, rings, marks, low, high)
            parts[across] = _parts(kind, xy, ring_at, offsets)
        yield parts, near, Cut(boxes=boxes[near], parts=across, hidden=marks)


def _parts(
    kind: shapely.GeometryType, xy: Floats, ring_at: Labels, offsets: Sequence[Labels]
) -> Geometries:
    """Areas of rings of which some may be empty; what has no ring left is empty too."""
    cut = [ring_at]
    for outer in offsets[1:]:
        # An empty ring or part is left out: its parent's offsets count what stays.
        stays = np.diff(cut[-1]) > 0
        cut[-1] = np.append(cut[-1][:-1][stays], cut[-1][-1])
        cut.append(np.concatenate([[0], np.cumsum(stays)])[np.asarray(outer, dtype=np.intp)])
    stays = np.diff(cut[-1]) > 0
    cut[-1] = np.append(cut[-1][:-1][stays], cut[-1][-1])
    parts = np.full(len(stays), shapely.MultiPolygon(), dtype=object)
    if stays.any():
        parts[stays] = shapely.from_ragged_array(kind, xy, tuple(cut))
    return parts


def _between(
    xy: Floats, ring_at: Labels, unseen: Marks, low: float, high: float
) -> tuple[Floats, Labels, Marks]:
    """Rings between two lines, closed; a ring with nothing between them has no points.

    The last array says of each point whether the segment that begins there is unseen; along the
    lines none is.
    """
    count = np.diff(ring_at)
    ring = np.repeat(np.arange(len(count)), count)
    last = np.zeros(len(xy), dtype=bool)
    last[ring_at[1:] - 1] = True  # a ring's last vertex repeats its first one
    here, there = xy[~last], xy[1:][~last[:-1]]
    ring = ring[~last]
    rising = here[:, 0] < there[:, 0]
    left = np.where(rising[:, None], here, there)
    right = np.where(rising[:, None], there, here)
    # To each vertex: itself, then the crossing of the line met first, then that of the other.
    points = np.empty((len(here), 3, 2))
    taken = np.zeros((len(here), 3), dtype=bool)
    points[:, 0] = here
    taken[:, 0] = (here[:, 0] > low) & (here[:, 0] < high)
    for line, first in ((low, rising), (high, ~rising)):
        crosses = np.flatnonzero((left[:, 0] < line) & (right[:, 0] > line))
        a, b = left[crosses], right[crosses]
        share = (line - a[:, 0]) / (b[:, 0] - a[:, 0])
        slot = np.where(first[crosses], 1, 2)
        points[crosses, slot, 0] = line
        points[crosses, slot, 1] = a[:, 1] + share * (b[:, 1] - a[:, 1])
        taken[crosses, slot] = True
    unseen = np.repeat(unseen[~last], taken.sum(axis=1))
    points, ring = points[taken], np.repeat(ring, taken.sum(axis=1))
    size = np.bincount(ring, minlength=len(count))
    begin = np.cumsum(size) - size
    full = size > 0
    at: Labels = np.zeros(len(count) + 1, dtype=np.intp)
    np.cumsum(size + full, out=at[1:])
    closed = np.empty((at[-1], 2))
    ends = np.zeros(at[-1], dtype=bool)
    ends[at[1:][full] - 1] = True
    closed[~ends] = points
    closed[ends] = points[begin[full]]
    begins = np.zeros(at[-1], dtype=bool)
    begins[~ends] = unseen
    begins[:-1] &= (closed[1:, 0] != closed[:-1, 0]) | ~np.isin(closed[:-1, 0], (low, high))
    return closed, at, begins
