"""A coverage: faces that tile an area, and the edges by which unlike faces meet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["OUTSIDE", "Coverage", "Geometries", "Labels"]

Geometries = NDArray[Any]  # object array of shapely geometries
Labels = NDArray[np.intp]

OUTSIDE = -1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Coverage:
    """Faces that tile an area without gap or overlap, each with a label.

    Parameters
    ----------
    faces : ndarray of shapely.Polygon, shape (n,)
        Connected, valid, no two overlap; neighbours with one label are already merged.
    labels : ndarray of int, shape (n,)
        Label of each face, 0 or above. [-]
    edges : ndarray of shapely.LineString, shape (m,)
        Every stretch of boundary between two unlike labels, or between a label and the outside,
        exactly once.
    left, right : ndarray of int, shape (m,)
        Labels on either side of each edge, the lower one in ``left``; OUTSIDE (-1) where the
        coverage ends. Each edge runs with its lower label on its left hand. [-]
    """

    faces: Geometries
    labels: Labels
    edges: Geometries
    left: Labels
    right: Labels

    def __post_init__(self) -> None:
        if not len(self.faces) == len(self.labels):
            raise ValueError("each face has one label")
        if not len(self.edges) == len(self.left) == len(self.right):
            raise ValueError("each edge has two sides")
        for array in (self.faces, self.labels, self.edges, self.left, self.right):
            array.setflags(write=False)
