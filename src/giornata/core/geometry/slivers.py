"""Slivers: faces too thin to be meant go to the neighbour they share most edge with."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.coverage import OUTSIDE, Geometries, Labels
from giornata.core.geometry.merging import at_index

__all__ = ["judged_slivers", "slivers_given_away", "thin_as_rounding", "thin_faces"]

Floats = NDArray[np.float64]
Marks = NDArray[np.bool_]

_ROUNDING = 1e-6  # sliver widths
_MOSTLY = 0.75  # of a thin face's boundary
_ROUNDS = 8  # slivers that lie side by side are given away from the outside in
_AS_LONG = 1e-9  # of a length: neighbours are told apart by more than the rounding


def slivers_given_away(
    faces: Geometries,
    labels: Labels,
    edges: Geometries,
    left: Labels,
    right: Labels,
    width: float,
) -> Labels:
    """Labels in which each sliver has that of the neighbour with the longest common edge.

    Parameters
    ----------
    width : float
        Mean width below which a face is a sliver. [unit of the coordinates]
    """
    twice, around = 2 * shapely.area(faces), shapely.length(faces)
    if not np.logical_or(*thin_faces(labels, twice, around, width)).any():
        return labels
    return judged_slivers(labels, twice, around, left, right, shapely.length(edges), width)


def thin_faces(labels: Labels, twice: Floats, around: Floats, width: float) -> tuple[Marks, Marks]:
    """Faces that are slivers, and faces that may be ones, of which nothing is known.

    As thin as the rounding, a face may hold no point that says what covers it.

    Parameters
    ----------
    twice : ndarray, shape (n,)
        Twice the area of each face. [square unit of the coordinates]
    around : ndarray, shape (n,)
        Length of its boundary. [unit of the coordinates]
    width : float
        As in `slivers_given_away`. [unit of the coordinates]
    """
    thin = (twice < width * around) & (labels != OUTSIDE)
    return thin, thin_as_rounding(twice, around, width) & (labels == OUTSIDE)


def thin_as_rounding(twice: Floats, around: Floats, width: float) -> Marks:
    """Faces that may hold no point that says what covers them.

    Parameters
    ----------
    twice, around : ndarray, shape (n,)
        As in `thin_faces`. [unit of the coordinates, squared and plain]
    width : float
        As in `slivers_given_away`. [unit of the coordinates]
    """
    return np.asarray(twice < _ROUNDING * width * around)


def judged_slivers(
    labels: Labels,
    twice: Floats,
    around: Floats,
    left: Labels,
    right: Labels,
    length: Floats,
    width: float,
) -> Labels:
    """As `slivers_given_away`, of faces given by their size and the length of their edges.

    Parameters
    ----------
    twice, around : ndarray, shape (n,)
        As in `thin_faces`. [unit of the coordinates, squared and plain]
    left, right : ndarray of int, shape (m,)
        Face on either side of each edge. Edges between two faces that are no slivers may be left
        out. [-]
    length : ndarray, shape (m,)
        Of each edge. [unit of the coordinates]
    width : float
        As in `slivers_given_away`. [unit of the coordinates]

    Notes
    -----
    Of neighbours with edges as long as one another, the one with the highest label is taken, so
    that the order in which lengths are added up decides nothing.
    """
    thin, unknown = thin_faces(labels, twice, around, width)
    if unknown.any():
        thin |= unknown & (_held(labels, left, right, length, unknown) > _MOSTLY * around)
    if not thin.any():
        return labels
    labels = labels.copy()
    inner = (left != OUTSIDE) & (right != OUTSIDE)
    inner[inner] &= thin[left[inner]] | thin[right[inner]]
    face = np.concatenate([left[inner], right[inner]])
    beside = np.concatenate([right[inner], left[inner]])
    length = np.concatenate([length[inner], length[inner]])
    for _ in range(_ROUNDS):
        open_ = thin[face] & ~thin[beside] & (labels[beside] != OUTSIDE)
        if not open_.any():
            break
        pairs, pair_of = np.unique(
            np.stack([face[open_], labels[beside[open_]]], axis=1), axis=0, return_inverse=True
        )
        total = np.bincount(pair_of, weights=length[open_])
        begin = np.flatnonzero(np.append(True, pairs[1:, 0] != pairs[:-1, 0]))
        most = np.repeat(np.maximum.reduceat(total, begin), np.diff(begin, append=len(pairs)))
        best = pairs[total >= (1 - _AS_LONG) * most]
        labels[best[:, 0]] = best[:, 1]  # of a face's labels the last and highest stays
        thin[best[:, 0]] = False
    return labels


def _held(labels: Labels, left: Labels, right: Labels, length: Floats, some: Marks) -> Floats:
    """Length by which each of some faces meets labelled ones; 0 for all other faces."""
    held = np.zeros(len(labels))
    for face, beside in ((left, right), (right, left)):
        at = np.flatnonzero((face != OUTSIDE) & (at_index(labels, beside) != OUTSIDE))
        at = at[some[face[at]]]
        np.add.at(held, face[at], length[at])
    return held
