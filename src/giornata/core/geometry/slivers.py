"""Slivers: faces too thin to be meant go to the neighbour they share most edge with."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.coverage import OUTSIDE, Geometries, Labels
from giornata.core.geometry.merging import at_index

__all__ = ["slivers_given_away"]

_ROUNDING = 1e-6  # sliver widths
_MOSTLY = 0.75  # of a thin face's boundary
_ROUNDS = 8  # slivers that lie side by side are given away from the outside in


def slivers_given_away(
    faces: Geometries,
    labels: Labels,
    edges: Geometries,
    left: Labels,
    right: Labels,
    width: float,
    *,
    seam: NDArray[np.bool_] | None = None,
) -> Labels:
    """Labels in which each sliver has that of the neighbour with the longest common edge.

    Parameters
    ----------
    width : float
        Mean width below which a face is a sliver. [unit of the coordinates]
    seam : ndarray of bool, shape (m,), optional
        Edges that are cuts through faces, not their boundary: a face is as wide as it would be
        without the cut.
    """
    around = shapely.length(faces)
    if seam is not None and seam.any():
        side = np.concatenate([left[seam], right[seam]])
        cut = np.tile(shapely.length(edges[seam]), 2)
        around -= np.bincount(
            side[side != OUTSIDE], weights=cut[side != OUTSIDE], minlength=len(faces)
        )
    mean = 2 * shapely.area(faces)
    thin: NDArray[np.bool_] = (mean < width * around) & (labels != OUTSIDE)
    # As thin as the rounding, a face may hold no point that says what covers it.
    unknown = (mean < _ROUNDING * width * around) & (labels == OUTSIDE)
    if unknown.any():
        thin |= unknown & (_held(labels, edges, left, right, unknown) > _MOSTLY * around)
    if not thin.any():
        return labels
    labels = labels.copy()
    inner = (left != OUTSIDE) & (right != OUTSIDE)
    inner[inner] &= thin[left[inner]] | thin[right[inner]]
    length = shapely.length(edges[inner])
    face = np.concatenate([left[inner], right[inner]])
    beside = np.concatenate([right[inner], left[inner]])
    length = np.concatenate([length, length])
    for _ in range(_ROUNDS):
        open_ = thin[face] & ~thin[beside] & (labels[beside] != OUTSIDE)
        if not open_.any():
            break
        pairs, pair_of = np.unique(
            np.stack([face[open_], labels[beside[open_]]], axis=1), axis=0, return_inverse=True
        )
        total = np.bincount(pair_of, weights=length[open_])
        order = np.lexsort((total, pairs[:, 0]))
        last = np.append(pairs[order][1:, 0] != pairs[order][:-1, 0], True)
        best = pairs[order][last]
        labels[best[:, 0]] = best[:, 1]
        thin[best[:, 0]] = False
    return labels


def _held(
    labels: Labels, edges: Geometries, left: Labels, right: Labels, some: NDArray[np.bool_]
) -> NDArray[np.float64]:
    """Length by which each of some faces meets labelled ones; 0 for all other faces."""
    held = np.zeros(len(labels))
    for face, beside in ((left, right), (right, left)):
        at = np.flatnonzero((face != OUTSIDE) & (at_index(labels, beside) != OUTSIDE))
        at = at[some[face[at]]]
        np.add.at(held, face[at], shapely.length(edges[at]))
    return held
