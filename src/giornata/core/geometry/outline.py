"""Outline: the rings of many faces as arrays, walked by arc length."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.coverage import Geometries, Labels

__all__ = ["Outline", "outline_of"]

Floats = NDArray[np.float64]

_FEWEST_SAMPLES = 12  # on one ring, so that small rings keep their form
_RING_GAP = 1.0  # between rings in the common arc length: no value is ever read there


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outline:
    """All rings of a set of faces; each runs with its face on the left.

    Parameters
    ----------
    xy : ndarray, shape (k, 2)
        Vertices of all rings, one ring after the other, each closed.
    along : ndarray, shape (k,)
        Rising arc length of each vertex, in the unit of the coordinates.
    ring_start, ring_length : ndarray, shape (r,)
        Arc length at each ring's first vertex, and the ring's length.
    ring_face : ndarray of int, shape (r,)
        Face of each ring. [-]
    """

    xy: Floats
    along: Floats
    ring_start: Floats
    ring_length: Floats
    ring_face: Labels

    def points(self, ring: Labels, s: Floats) -> Floats:
        """Points at arc length ``s`` from the start of their rings, going round as needed."""
        at = self.ring_start[ring] + np.mod(s, self.ring_length[ring])
        return np.stack(
            [np.interp(at, self.along, self.xy[:, 0]), np.interp(at, self.along, self.xy[:, 1])],
            axis=-1,
        )

    def inward(self, ring: Labels, s: Floats, reach: float) -> Floats:
        """Unit normals into the face, from the chord between ``s - reach`` and ``s + reach``."""
        chord = self.points(ring, s + reach) - self.points(ring, s - reach)
        size = np.hypot(chord[:, 0], chord[:, 1])
        size[size == 0] = 1.0
        return np.stack([-chord[:, 1], chord[:, 0]], axis=-1) / size[:, None]

    def around(self, ring_a: Labels, s_a: Floats, ring_b: Labels, s_b: Floats) -> Floats:
        """Shorter way along the boundary between points; infinite on different rings."""
        length = self.ring_length[ring_a]
        way = np.abs(s_a - s_b)
        way -= length * np.floor(way / length)
        return np.where(ring_a == ring_b, np.minimum(way, length - way), np.inf)

    def samples(self, step: float) -> tuple[Labels, Floats]:
        """Ring and arc length of evenly spaced samples, at most ``step`` apart."""
        counts = np.maximum(np.ceil(self.ring_length / step), _FEWEST_SAMPLES).astype(np.intp)
        ring = np.repeat(np.arange(len(counts)), counts)
        first = np.concatenate([[0], np.cumsum(counts)[:-1]])
        s = (np.arange(len(ring)) - first[ring]) * (self.ring_length / counts)[ring]
        return ring, s


def outline_of(faces: Geometries) -> Outline:
    """The rings of the faces, each with its face on the left."""
    rings, face = shapely.get_rings(
        shapely.orient_polygons(faces, exterior_cw=False), return_index=True
    )
    xy = shapely.get_coordinates(rings)
    counts = shapely.get_num_points(rings)
    first = np.concatenate([[0], np.cumsum(counts)[:-1]]).astype(np.intp)
    steps = np.zeros(len(xy))
    steps[1:] = np.hypot(*np.diff(xy, axis=0).T)
    steps[first] = _RING_GAP
    along = np.cumsum(steps)
    last = first + counts - 1
    return Outline(
        xy=xy,
        along=along,
        ring_start=along[first],
        ring_length=along[last] - along[first],
        ring_face=np.asarray(face, dtype=np.intp),
    )
