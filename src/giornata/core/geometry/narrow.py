"""Narrow places: where faces are thinner than a given width, and how thin."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from giornata.core.geometry.coverage import Geometries, Labels
from giornata.core.geometry.outline import Floats, Outline, outline_of

__all__ = ["Narrow", "narrow_places"]

_STEPS = 3  # samples to one limit width along the boundary
_AROUND = 3.0  # the way round is at least so many widths: wider corners are corners
_FACING = 0.3  # cosine between a side's inward normal and the line across, at least
_TAPER = 0.25  # change of width to one unit of length, 14 degrees between the sides: a point
_POINT = 2.0  # round a point, the way from side to side is at most so many limit widths
_WIDENS = 0.8  # a point widens to this share of the limit: a twig of even width does not
_TOUCHING = 1e-6  # limit widths: below it, the sides touch
_JOIN = 1.0  # places closer than this many limit widths are one place


@dataclass(frozen=True, slots=True, kw_only=True)
class Narrow:
    """One stretch of a face that is narrower than the limit.

    Parameters
    ----------
    face : int
        Index of the face. [-]
    x, y : float
        Middle of the narrowest spot; of the widest spot where ``whole``.
        [unit of the coordinates]
    width : float
        Least width; the greatest, where ``whole``. [unit of the coordinates]
    length : float
        Of the narrow stretch, about. [unit of the coordinates]
    whole : bool
        The face is nowhere as wide as the limit.
    point : bool
        The face runs out to a point there, slowly enough to count.
    """

    face: int
    x: float
    y: float
    width: float
    length: float
    whole: bool
    point: bool = False


def narrow_places(faces: Geometries, limit: float) -> tuple[Narrow, ...]:
    """Places where faces are narrower than a limit, in the order of the faces.

    Parameters
    ----------
    faces : ndarray of shapely.Polygon, shape (n,)
        Valid, no two overlap.
    limit : float
        Above 0. [unit of the coordinates]

    Raises
    ------
    ValueError
        If the limit is not above 0.

    Notes
    -----
    A face that vanishes when eroded by half the limit is narrow as a whole. Elsewhere samples
    of the boundary are paired with the nearest sample across the face; a pair counts where the
    way round is at least three times the way across, and the sides do not close in on one
    another by more than 14 degrees: an acute point is no thin feature. The width is the exact
    distance between the two stretches of boundary.

    Examples
    --------
    >>> import numpy as np, shapely
    >>> square_with_spike = shapely.union_all([shapely.box(0, 0, 1, 1), shapely.box(1, 0, 2, 0.02)])
    >>> place, = narrow_places(np.array([square_with_spike]), 0.025)
    >>> round(place.width, 6)
    0.02
    """
    if not limit > 0:
        raise ValueError("the limit width is above 0")
    faces = np.asarray(faces, dtype=object)
    whole = _narrow_throughout(faces, limit)
    rest = np.flatnonzero(~whole)
    found = [_whole_place(int(i), faces[i]) for i in np.flatnonzero(whole)]
    if len(rest):
        found += _stretches(rest, outline_of(faces[rest]), limit)
    return tuple(sorted(found, key=lambda place: (place.face, place.x, place.y)))


def _narrow_throughout(faces: Geometries, limit: float) -> NDArray[np.bool_]:
    """Whether a disc as wide as the limit fits nowhere into the face."""
    # A disc of radius area / perimeter fits into any face, so wider ones need no erosion.
    narrow: NDArray[np.bool_] = shapely.area(faces) < limit / 2 * shapely.length(faces)
    at = np.flatnonzero(narrow)
    narrow[at] = shapely.is_empty(shapely.buffer(faces[at], -limit / 2))
    return narrow


def _whole_place(index: int, face: shapely.Polygon) -> Narrow:
    reach = float(shapely.length(face))
    line = shapely.maximum_inscribed_circle(face, tolerance=5e-4 * shapely.area(face) / reach)
    (x, y), _ = shapely.get_coordinates(line)
    width = 2 * float(shapely.length(line))
    return Narrow(
        face=index,
        x=float(x),
        y=float(y),
        width=width,
        length=max(reach / 2 - width, width),
        whole=True,
    )


def _stretches(face_of: Labels, outline: Outline, limit: float) -> list[Narrow]:
    ring, s = outline.samples(limit / _STEPS)
    step = outline.ring_length / np.maximum(np.bincount(ring, minlength=len(outline.ring_start)), 1)
    a, b = _pairs_across(outline, ring, s, limit)
    if not len(a):
        return []
    half = np.minimum(step[ring], limit / _STEPS)
    s_a, s_b, width = _closest(outline, ring, s, a, b, half)
    way = outline.around(ring[a], s_a, ring[b], s_b)
    thin = (width < limit) & (way >= np.maximum(_AROUND * width, limit))
    thin &= ~_tapers(outline, ring[a], s_a, ring[b], s_b, width, limit)
    a, b, s_a, s_b = a[thin], b[thin], s_a[thin], s_b[thin]
    width, way = width[thin], way[thin]
    if not len(a):
        return []
    middle = (outline.points(ring[a], s_a) + outline.points(ring[b], s_b)) / 2
    face = outline.ring_face[ring[a]]
    found = []
    for members in _clusters(middle, face, _JOIN * limit):
        narrowest = members[width[members] <= width[members].min() * (1 + 1e-6)]
        off = middle[narrowest] - middle[members].mean(axis=0)
        best = narrowest[np.argmin(np.hypot(off[:, 0], off[:, 1]))]
        sides = np.unique(np.concatenate([a[members], b[members]]))
        length = max(float(half[sides].sum() / 2), float(width[best]))
        if width[best] < _TOUCHING * limit and length <= limit:
            continue  # the face touches itself at one point
        widest = float(width[members].max())
        found.append(
            Narrow(
                face=int(face_of[face[best]]),
                x=float(middle[best, 0]),
                y=float(middle[best, 1]),
                width=float(width[best]),
                length=length,
                whole=False,
                point=bool(way[best] <= _POINT * limit and widest >= _WIDENS * limit),
            )
        )
    return found


def _pairs_across(outline: Outline, ring: Labels, s: Floats, limit: float) -> tuple[Labels, Labels]:
    """Each sample with the nearest one across its face, where one is near enough."""
    reach = limit * (1 + 1 / _STEPS)
    points = outline.points(ring, s)
    normal = outline.inward(ring, s, limit / _STEPS)
    a, b = cKDTree(points).query_pairs(reach, output_type="ndarray").T
    across = points[b] - points[a]
    distance = np.hypot(across[:, 0], across[:, 1])
    keep = outline.around(ring[a], s[a], ring[b], s[b]) >= _AROUND * distance
    keep &= (distance > 0) & (outline.ring_face[ring[a]] == outline.ring_face[ring[b]])
    a, b, across, distance = a[keep], b[keep], across[keep], distance[keep]
    facing = np.einsum("ij,ij->i", across, normal[a]) > _FACING * distance
    facing &= np.einsum("ij,ij->i", across, normal[b]) < -_FACING * distance
    a, b, distance = a[facing], b[facing], distance[facing]
    a, b, distance = np.append(a, b), np.append(b, a), np.append(distance, distance)
    order = np.lexsort((distance, a))
    a, b = a[order], b[order]
    first = np.ones(len(a), dtype=bool)
    first[1:] = a[1:] != a[:-1]
    return a[first], b[first]


def _closest(
    outline: Outline, ring: Labels, s: Floats, a: Labels, b: Labels, half: Floats
) -> tuple[Floats, Floats, Floats]:
    """Arc lengths at which the boundary near two samples is closest, and the distance."""
    near_a = _stretch(outline, ring[a], s[a], half[a])
    near_b = _stretch(outline, ring[b], s[b], half[b])
    shortest = shapely.shortest_line(near_a, near_b)
    ends = shapely.get_coordinates(shortest).reshape(-1, 2, 2)
    s_a = s[a] - half[a] + shapely.line_locate_point(near_a, shapely.points(ends[:, 0]))
    s_b = s[b] - half[b] + shapely.line_locate_point(near_b, shapely.points(ends[:, 1]))
    return s_a, s_b, shapely.length(shortest)


def _stretch(outline: Outline, ring: Labels, s: Floats, half: Floats) -> Geometries:
    """The boundary from ``s - half`` to ``s + half`` with all its vertices, as lines."""
    length, start = outline.ring_length[ring], outline.ring_start[ring]
    low = np.mod(s - half, length)
    span = np.minimum(2 * half, length)
    # Vertices strictly inside the stretch; it may pass the ring's first vertex once.
    first = np.searchsorted(outline.along, start + low, side="right")
    end = np.minimum(low + span, length)
    last = np.searchsorted(outline.along, start + end, side="left")
    again = np.searchsorted(outline.along, start, side="left")
    beyond = np.maximum(low + span - length, 0)
    more = np.where(
        beyond > 0, np.searchsorted(outline.along, start + beyond, side="left") - again, 0
    )
    inner = np.maximum(last - first, 0)
    count = inner + more + 2
    line = np.repeat(np.arange(len(ring)), count)
    place = np.arange(len(line)) - np.repeat(np.cumsum(count) - count, count)
    vertex = np.where(
        place - 1 < inner[line],
        first[line] + place - 1,
        again[line] + place - 1 - inner[line],
    )
    xy = outline.xy[np.clip(vertex, 0, len(outline.xy) - 1)]
    at_start, at_end = place == 0, place == count[line] - 1
    xy[at_start] = outline.points(ring, s - half)
    xy[at_end] = outline.points(ring, s - half + span)
    return np.asarray(shapely.linestrings(xy, indices=line))


def _tapers(
    outline: Outline,
    ring_a: Labels,
    s_a: Floats,
    ring_b: Labels,
    s_b: Floats,
    width: Floats,
    limit: float,
) -> NDArray[np.bool_]:
    """Whether the sides close in on one another on one hand and open on the other."""
    d = np.maximum(width / 2, limit / _STEPS)

    def width_at(shift: Floats) -> Floats:  # the sides run in opposite directions
        across = outline.points(ring_a, s_a + shift) - outline.points(ring_b, s_b - shift)
        return np.asarray(np.hypot(across[:, 0], across[:, 1]))

    ahead, behind = width_at(d), width_at(-d)
    slope = np.abs(ahead - behind) / (2 * d)
    one_way = np.minimum(ahead, behind) < width
    return np.asarray(one_way & (slope > _TAPER))


def _clusters(points: Floats, face: Labels, reach: float) -> list[Labels]:
    """Indices of points that hang together, each step within one face and at most ``reach``."""
    pairs = cKDTree(points).query_pairs(reach, output_type="ndarray")
    pairs = pairs[face[pairs[:, 0]] == face[pairs[:, 1]]]
    links = coo_array(
        (np.ones(len(pairs), dtype=np.int8), (pairs[:, 0], pairs[:, 1])),
        shape=(len(points), len(points)),
    )
    _, cluster = connected_components(links, directed=False)
    order = np.argsort(cluster, kind="stable")
    cuts = np.flatnonzero(np.diff(cluster[order])) + 1
    return list(np.split(order, cuts))
