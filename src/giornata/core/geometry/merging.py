"""Merging: which faces belong together."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from giornata.core.geometry.coverage import OUTSIDE, Labels

__all__ = ["at_index", "label_of", "linked", "same_label"]


def at_index(values: Labels, index: Labels) -> Labels:
    """Value at each place of the index; OUTSIDE for OUTSIDE."""
    return np.append(values, OUTSIDE).astype(np.intp)[index]  # OUTSIDE is -1: the last one


def linked(first: Labels, second: Labels, count: int) -> Labels:
    """Number of the set that each of some things belongs to, where pairs of them hang together.

    Parameters
    ----------
    first, second : ndarray of int, shape (p,)
        The pairs. [-]
    count : int
        Things. Sets are numbered from 0. [-]
    """
    links = coo_array((np.ones(len(first), dtype=np.int8), (first, second)), shape=(count, count))
    return np.asarray(connected_components(links, directed=False)[1], dtype=np.intp)


def same_label(
    labels: Labels, left: Labels, right: Labels, alone: NDArray[np.bool_] | None = None
) -> Labels:
    """Number of the region that each face belongs to: neighbours of one label make one.

    Parameters
    ----------
    labels : ndarray of int, shape (n,)
        Of the faces; those labelled OUTSIDE stay by themselves. [-]
    left, right : ndarray of int, shape (m,)
        Face on either side of each edge between them; OUTSIDE for none. [-]
    alone : ndarray of bool, shape (n,), optional
        Faces that stay by themselves whatever their label.
    """
    inner = np.flatnonzero((left != OUTSIDE) & (right != OUTSIDE))
    alike = inner[labels[left[inner]] == labels[right[inner]]]
    alike = alike[labels[left[alike]] != OUTSIDE]
    if alone is not None:
        alike = alike[~alone[left[alike]] & ~alone[right[alike]]]
    return linked(left[alike], right[alike], len(labels))


def label_of(region: Labels, labels: Labels) -> Labels:
    """Label of each region, whose faces all have it."""
    own: Labels = np.full(int(region.max(initial=-1)) + 1, OUTSIDE, dtype=np.intp)
    own[region] = labels
    return own
