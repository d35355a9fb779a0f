"""Which faces lie on either side of an edge, found by the edge's first segment."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.coverage import OUTSIDE, Geometries, Labels

__all__ = ["faces_beside", "nodes_of", "parts_of", "rings_of", "rings_with_areas"]

Keys = NDArray[np.uint64]

_MIX_X = np.uint64(0x9E3779B97F4A7C15)
_MIX_Y = np.uint64(0xC2B2AE3D27D4EB4F)
_MIX_SEGMENT = np.uint64(0x165667B19E3779F9)
_FILTER_BITS = 22


def parts_of(geometries: Any) -> Geometries:
    """The single geometries in an array, or in one collection."""
    parts: Geometries = shapely.get_parts(geometries)
    return parts


def rings_of(areas: Any) -> Geometries:
    """All rings of the polygons in an array, as one array of lines."""
    return rings_with_areas(areas)[0]


def rings_with_areas(areas: Any) -> tuple[Geometries, Labels]:
    """All rings of the polygons in an array, and the index of the area each belongs to."""
    parts, area = shapely.get_parts(areas, return_index=True)
    rings, part = shapely.get_rings(parts, return_index=True)
    return rings, np.asarray(area, dtype=np.intp)[part]


def nodes_of(points: NDArray[np.float64]) -> Labels:
    """A number for each point; equal points have the same one, from 0 on.

    Parameters
    ----------
    points : ndarray, shape (n, 2)
    """
    keys = _point_keys(points)
    order = np.argsort(keys)
    new = np.ones(len(points), dtype=bool)
    new[1:] = keys[order[1:]] != keys[order[:-1]]
    again = np.flatnonzero(~new)
    if np.any(points[order[again]] != points[order[again - 1]]):
        # Two points have one key: they are told apart by their coordinates, which takes longer.
        order = np.lexsort((points[:, 1], points[:, 0]))
        new[1:] = np.any(points[order[1:]] != points[order[:-1]], axis=1)
    number = np.empty(len(points), dtype=np.intp)
    number[order] = np.cumsum(new) - 1
    return number


def faces_beside(edges: Geometries, faces: Geometries) -> tuple[Labels, Labels]:
    """Index of the face on the left and on the right of each edge; OUTSIDE where there is none.

    Parameters
    ----------
    edges : ndarray of shapely.LineString, shape (m,)
        Noded: they meet at their ends only.
    faces : ndarray of shapely.Polygon, shape (n,)
        Made of those edges, vertex by vertex.

    Notes
    -----
    A face's shell runs anticlockwise and its holes clockwise, so the face is on the left of
    each of its segments. An edge's first segment is looked up among them, forwards for the face
    on its left and backwards for the face on its right. Keys are 64 bits wide; a match counts
    only if the coordinates are equal.
    """
    left: Labels = np.full(len(edges), OUTSIDE, dtype=np.intp)
    right = left.copy()
    if not len(edges) or not len(faces):
        return left, right

    first, second = _first_segments(edges)
    first_key, second_key = _point_keys(first), _point_keys(second)
    wanted = np.concatenate(
        [_segment_keys(first_key, second_key), _segment_keys(second_key, first_key)]
    )
    order = np.argsort(wanted)
    ranked = wanted[order]

    start, end, key, face = _directed_segments(faces, wanted)
    place = np.minimum(np.searchsorted(ranked, key), len(ranked) - 1)
    found = np.flatnonzero(ranked[place] == key)
    slot = order[place[found]]
    edge, backward = slot % len(edges), slot >= len(edges)
    flipped = backward[:, None]
    same = np.all(start[found] == np.where(flipped, second[edge], first[edge]), axis=1)
    same &= np.all(end[found] == np.where(flipped, first[edge], second[edge]), axis=1)
    left[edge[same & ~backward]] = face[found[same & ~backward]]
    right[edge[same & backward]] = face[found[same & backward]]
    return left, right


def _first_segments(edges: Geometries) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    xy = shapely.get_coordinates(edges)
    count = shapely.get_num_points(edges)
    begin = np.cumsum(count) - count
    return xy[begin], xy[begin + 1]


def _point_keys(points: NDArray[np.float64]) -> Keys:
    bits = np.ascontiguousarray(points + 0.0).view(np.uint64)  # + 0.0 makes -0.0 equal to 0.0
    key: Keys = bits[:, 0] * _MIX_X
    key ^= key >> np.uint64(29)
    key += bits[:, 1] * _MIX_Y
    key ^= key >> np.uint64(32)
    key *= _MIX_SEGMENT
    return key


def _segment_keys(start: Keys, end: Keys) -> Keys:
    turned: Keys = (start << np.uint64(23)) | (start >> np.uint64(41))
    key: Keys = (turned ^ end) * _MIX_X
    key ^= key >> np.uint64(31)
    return key + start


def _directed_segments(
    faces: Geometries, wanted: Keys
) -> tuple[NDArray[np.float64], NDArray[np.float64], Keys, Labels]:
    """Segments of the faces that may have one of the wanted keys: start, end, key and face."""
    rings, face = shapely.get_rings(
        shapely.orient_polygons(faces, exterior_cw=False), return_index=True
    )
    counts = shapely.get_num_points(rings)
    xy = shapely.get_coordinates(rings)
    point_key = _point_keys(xy)
    key = _segment_keys(point_key[:-1], point_key[1:])

    table = np.zeros(1 << _FILTER_BITS, dtype=bool)
    shift = np.uint64(64 - _FILTER_BITS)
    table[wanted >> shift] = True
    likely = table[key >> shift]
    likely[np.cumsum(counts)[:-1] - 1] = False  # from one ring's end to the next one's start
    at = np.flatnonzero(likely)
    ring = np.searchsorted(np.cumsum(counts), at, side="right")
    return xy[at], xy[at + 1], key[at], np.asarray(face, dtype=np.intp)[ring]
