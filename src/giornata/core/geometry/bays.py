"""Bays: a long drawing cut by upright lines, so that each piece is overlaid on its own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from giornata.core.geometry.adjacency import faces_beside, parts_of
from giornata.core.geometry.coverage import OUTSIDE, Coverage, Geometries, Labels
from giornata.core.geometry.dissolve import labels_at, slivers_given_away
from giornata.core.geometry.joining import joined
from giornata.core.geometry.overlay import Overlay

__all__ = ["Bay", "bay_lines", "bay_of", "in_bays", "joined_bays", "renamed", "unmatched_lines"]

Floats = NDArray[np.float64]

_NEAR = 500  # gaps between vertices to either side of an even cut, the widest of which is taken


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bay:
    """What of a coverage lies between two bay lines.

    Parameters
    ----------
    coverage : Coverage
        Its edges leave out those along the bay lines.
    seams : ndarray of shapely.LineString, shape (k,)
        The single segments by which the faces end at a bay line.
    labels : ndarray of int, shape (k,)
        Label of the face at each. [-]
    """

    coverage: Coverage
    seams: Geometries
    labels: Labels


def bay_lines(areas: Geometries, most: int) -> Floats:
    """Abscissae that cut areas into bays of about equally many vertices; none for few vertices.

    Parameters
    ----------
    areas : ndarray of shapely.Polygon or shapely.MultiPolygon, shape (n,)
    most : int
        Vertices in a bay, about; above 0. [-]

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
    place = np.flatnonzero((middle > x[:-1]) & (middle < x[1:]))
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
    areas: Geometries, spans: Iterable[tuple[float, float]]
) -> Iterator[tuple[Geometries, Labels]]:
    """For each bay the parts of areas in it, and the index of the area each is part of.

    Parameters
    ----------
    areas : ndarray of shapely.Polygon or shapely.MultiPolygon, shape (n,)
        Valid, without a vertex on a bay line.
    spans : iterable of (float, float)
        Abscissae at which the bays begin and end, which may be infinite. [unit of the coordinates]

    Notes
    -----
    Of each ring the vertices between the lines stay, and the points where it crosses a line
    come in. A part's outline may so run along a line more than once, there and back: whether a
    point lies inside is still told by counting crossings, which is all that is asked of it. A
    crossing is computed from the segment's two ends in the order of their abscissae, so
    neighbours, and the bays on both sides of a line, have the same one to the last bit.
    """
    start, _, end, _ = shapely.bounds(areas).reshape(-1, 4).T
    for low, high in spans:
        near = np.flatnonzero((start < high) & (end > low))
        across = np.flatnonzero((start[near] < low) | (end[near] > high))
        yield _parts(areas[near], near, across, low, high)


def _parts(
    parts: Geometries, near: Labels, across: Labels, low: float, high: float
) -> tuple[Geometries, Labels]:
    """The parts with those cut that reach across a line, and what is left of the indices."""
    if not len(across):
        return parts, near
    kind, xy, offsets = shapely.to_ragged_array(parts[across])
    xy, ring_at = _between(xy, np.asarray(offsets[0], dtype=np.intp), low, high)
    cut = [ring_at]
    for outer in offsets[1:]:
        # An empty ring, part or area is left out: its parent's offsets count what stays.
        stays = np.diff(cut[-1]) > 0
        cut[-1] = np.append(cut[-1][:-1][stays], cut[-1][-1])
        cut.append(np.concatenate([[0], np.cumsum(stays)])[np.asarray(outer, dtype=np.intp)])
    stays = np.diff(cut[-1]) > 0
    cut[-1] = np.append(cut[-1][:-1][stays], cut[-1][-1])
    parts[across[stays]] = shapely.from_ragged_array(kind, xy, tuple(cut))
    kept = np.ones(len(parts), dtype=bool)
    kept[across[~stays]] = False
    return parts[kept], near[kept]


def _between(xy: Floats, ring_at: Labels, low: float, high: float) -> tuple[Floats, Labels]:
    """Rings between two lines, closed; a ring with nothing between them has no points."""
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
    return closed, at


def bay_of(laid: Overlay, labels: Labels, ends: Floats, *, sliver: float = 0.0) -> Bay:
    """Coverage of one bay, with neighbours of one label merged.

    Parameters
    ----------
    laid : Overlay
        Of the areas' parts in the bay.
    labels : ndarray, shape (n,)
        Of its faces; faces labelled OUTSIDE are left out. [-]
    ends : ndarray
        Abscissae at which the bay ends; infinite ones are none. [unit of the coordinates]
    sliver : float
        As in `dissolved`. [unit of the coordinates]
    """
    edges, of, seam = _parted(laid.edges, ends)
    left, right = laid.left[of], laid.right[of]
    if sliver > 0:
        labels = slivers_given_away(laid.faces, labels, edges, left, right, sliver, seam=seam)
    on_left, on_right = labels_at(labels, left), labels_at(labels, right)
    kept = on_left != on_right
    both = np.concatenate([np.flatnonzero(kept & ~seam), np.flatnonzero(kept & seam)])
    inner = int(np.count_nonzero(kept & ~seam))
    turned = edges[both]
    backward = on_left[both] > on_right[both]
    turned[backward] = shapely.reverse(turned[backward])
    edges, first = joined(turned[:inner])
    lines = np.concatenate([edges, turned[inner:]])
    both = np.concatenate([both[first], both[inner:]])
    lower = np.minimum(on_left, on_right)[both]
    upper = np.maximum(on_left, on_right)[both]
    faces = parts_of(shapely.polygonize(lines))
    left, right = faces_beside(lines, faces)
    own: Labels = np.full(len(faces), OUTSIDE, dtype=np.intp)
    own[left[left != OUTSIDE]] = lower[left != OUTSIDE]
    own[right[right != OUTSIDE]] = upper[right != OUTSIDE]
    held = own != OUTSIDE
    seams, at = _segments(lines[len(edges) :])
    return Bay(
        coverage=Coverage(
            faces=faces[held],
            labels=own[held],
            edges=edges,
            left=lower[: len(edges)],
            right=upper[: len(edges)],
        ),
        seams=seams,
        labels=upper[len(edges) :][at],
    )


def _parted(edges: Geometries, ends: Floats) -> tuple[Geometries, Labels, NDArray[np.bool_]]:
    """Edges, those that turn off a bay line into another in single segments; seams are marked.

    The second array is the index of the edge each is part of.
    """
    start, _, end, _ = shapely.bounds(edges).reshape(-1, 4).T
    at_end = np.isin(start, ends) | np.isin(end, ends)
    turning = np.flatnonzero(at_end & (start != end))
    segments, owner = _segments(edges[turning])
    first, _, last, _ = shapely.bounds(segments).reshape(-1, 4).T
    along = (first == last) & np.isin(first, ends)
    cut = np.zeros(len(edges), dtype=bool)
    cut[turning[owner[along]]] = True
    pieces = cut[turning[owner]]
    whole = np.flatnonzero(~cut)
    return (
        np.concatenate([edges[whole], segments[pieces]]),
        np.concatenate([whole, turning[owner[pieces]]]),
        np.concatenate([(at_end & (start == end))[whole], along[pieces]]),
    )


def _segments(lines: Geometries) -> tuple[Geometries, Labels]:
    """The single segments of lines, and the line each is part of."""
    xy, owner = shapely.get_coordinates(lines, return_index=True)
    runs = owner[1:] == owner[:-1]
    pairs = np.stack([xy[:-1], xy[1:]], axis=1)[runs]
    return np.asarray(shapely.linestrings(pairs)).reshape(-1), owner[:-1][runs]


def unmatched_lines(bays: list[Bay], lines: Floats) -> Floats:
    """Lines at which the faces on both sides do not end by the same segments.

    Parameters
    ----------
    bays : list of Bay
        From left to right.
    lines : ndarray
        Abscissae of the lines between them. [unit of the coordinates]
    """
    wrong = []
    for number, line in enumerate(lines):
        before, after = (_rows(bays[side].seams, line) for side in (number, number + 1))
        if not np.array_equal(before, after):
            wrong.append(line)
    return np.array(wrong)


def _rows(seams: Geometries, line: float) -> Floats:
    """Ordinates of the segments on a line: lower end and upper end, rising."""
    xy = shapely.get_coordinates(seams).reshape(-1, 2, 2)
    rows = np.sort(xy[xy[:, 0, 0] == line, :, 1], axis=1)
    return rows[np.lexsort(rows.T)]


def renamed(bay: Bay, names: Labels) -> Bay:
    """The bay with label ``i`` renamed to ``names[i]``, which keeps the order of the labels.

    Parameters
    ----------
    names : ndarray of int
        New label of each old one, rising. [-]
    """
    whole = bay.coverage
    return Bay(
        coverage=Coverage(
            faces=whole.faces,
            labels=labels_at(names, whole.labels),
            edges=whole.edges,
            left=labels_at(names, whole.left),
            right=labels_at(names, whole.right),
        ),
        seams=bay.seams,
        labels=labels_at(names, bay.labels),
    )


def joined_bays(bays: list[Bay]) -> Coverage:
    """One coverage of bays side by side, with faces of one label merged across the bay lines.

    Parameters
    ----------
    bays : list of Bay
        Their seams match: see `unmatched_lines`.
    """
    faces = np.concatenate([bay.coverage.faces for bay in bays])
    labels = np.concatenate([bay.coverage.labels for bay in bays])
    seams = np.concatenate([bay.seams for bay in bays])
    xy = np.sort(shapely.get_coordinates(seams).reshape(-1, 2, 2), axis=1)
    segments = shapely.linestrings(np.unique(xy.reshape(-1, 4), axis=0).reshape(-1, 2, 2))
    left, right = _beside(segments, faces, np.unique(xy[:, 0, 0]))
    alike = (left != OUTSIDE) & (right != OUTSIDE)
    alike[alike] = labels[left[alike]] == labels[right[alike]]
    faces, at = _united(faces, left[alike], right[alike])
    on_left, on_right = (
        np.append(labels, OUTSIDE)[side[~alike]] for side in (left, right)
    )  # OUTSIDE is -1: the last one
    kept = segments[~alike]
    backward = on_left > on_right
    kept[backward] = shapely.reverse(kept[backward])
    edges = np.concatenate([*(bay.coverage.edges for bay in bays), kept])
    lower = np.concatenate(
        [*(bay.coverage.left for bay in bays), np.minimum(on_left, on_right)]
    ).astype(np.intp)
    upper = np.concatenate(
        [*(bay.coverage.right for bay in bays), np.maximum(on_left, on_right)]
    ).astype(np.intp)
    edges, first = joined(edges)
    return Coverage(
        faces=faces, labels=labels[at], edges=edges, left=lower[first], right=upper[first]
    )


def _beside(segments: Geometries, faces: Geometries, lines: Floats) -> tuple[Labels, Labels]:
    """Face on either side of the segments, looked for among those that reach a line."""
    start, _, end, _ = shapely.bounds(faces).T
    reach = np.flatnonzero(np.isin(start, lines) | np.isin(end, lines))
    left, right = faces_beside(segments, faces[reach])
    index = np.append(reach, OUTSIDE)
    return index[left], index[right]


def _united(faces: Geometries, first: Labels, second: Labels) -> tuple[Geometries, Labels]:
    """Faces with those that belong together in one, and the index of one face of each."""
    links = coo_array(
        (np.ones(len(first), dtype=np.int8), (first, second)), shape=(len(faces), len(faces))
    )
    _, group = connected_components(links, directed=False)
    order = np.argsort(group, kind="stable")
    size = np.bincount(group)
    begin = np.cumsum(size) - size
    at = order[begin]
    united = faces[at]
    for number in np.flatnonzero(size > 1):
        members = order[begin[number] : begin[number] + size[number]]
        united[number] = shapely.coverage_union_all(faces[members])
    return united, at
