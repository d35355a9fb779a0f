"""Dissolve: neighbouring faces of one label become one face."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.adjacency import faces_beside, parts_of
from giornata.core.geometry.coverage import OUTSIDE, Coverage, Geometries, Labels
from giornata.core.geometry.joining import joined

__all__ = ["dissolved", "labels_at", "relabelled", "slivers_given_away"]

_ROUNDING = 1e-6  # sliver widths
_MOSTLY = 0.75  # of a thin face's boundary
_ROUNDS = 8  # slivers that lie side by side are given away from the outside in


def dissolved(
    faces: Geometries,
    labels: Labels,
    edges: Geometries,
    left: Labels,
    right: Labels,
    *,
    sliver: float = 0.0,
) -> Coverage:
    """Coverage of the faces, with neighbours of one label merged.

    Parameters
    ----------
    faces, labels : ndarray, shape (n,)
        Faces that tile an area, and their labels; faces labelled OUTSIDE are left out. [-]
    edges, left, right : ndarray, shape (m,)
        Each edge once, with the face on its left and on its right. [-]
    sliver : float
        Faces whose mean width is below this take the label of the neighbour with the longest
        common edge; 0 for none. [unit of the coordinates]
    """
    if sliver > 0:
        labels = slivers_given_away(faces, labels, edges, left, right, sliver)
    return _merged(faces, labels, edges, labels_at(labels, left), labels_at(labels, right))


def relabelled(coverage: Coverage, labels: Labels) -> Coverage:
    """The coverage with label ``i`` renamed to ``labels[i]``; new neighbours alike are merged.

    Parameters
    ----------
    labels : ndarray of int
        New label of each old one, 0 or above. [-]
    """
    return _merged(
        coverage.faces,
        labels_at(labels, coverage.labels),
        coverage.edges,
        labels_at(labels, coverage.left),
        labels_at(labels, coverage.right),
    )


def labels_at(labels: Labels, index: Labels) -> Labels:
    """Label of each face of the index; OUTSIDE for OUTSIDE."""
    return np.append(labels, OUTSIDE).astype(np.intp)[index]  # OUTSIDE is -1: the last one


def _merged(
    faces: Geometries, labels: Labels, edges: Geometries, on_left: Labels, on_right: Labels
) -> Coverage:
    """Coverage of the faces less the edges that have one label on both sides."""
    kept = on_left != on_right
    backward = on_left[kept] > on_right[kept]
    edges = edges[kept]
    edges[backward] = shapely.reverse(edges[backward])
    lines, first = joined(edges)
    lower = np.minimum(on_left, on_right)[kept][first]
    upper = np.maximum(on_left, on_right)[kept][first]
    if not kept.all():
        faces = parts_of(shapely.polygonize(lines))
        left, right = faces_beside(lines, faces)
        labels = np.full(len(faces), OUTSIDE, dtype=np.intp)
        labels[left[left != OUTSIDE]] = lower[left != OUTSIDE]
        labels[right[right != OUTSIDE]] = upper[right != OUTSIDE]
    covered = labels != OUTSIDE
    return Coverage(
        faces=np.array(faces[covered], dtype=object),
        labels=np.array(labels[covered], dtype=np.intp),
        edges=lines,
        left=lower,
        right=upper,
    )


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
        at = np.flatnonzero((face != OUTSIDE) & (labels_at(labels, beside) != OUTSIDE))
        at = at[some[face[at]]]
        np.add.at(held, face[at], shapely.length(edges[at]))
    return held
