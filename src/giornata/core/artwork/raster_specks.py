"""Specks: a few mixed pixels read as a paint that has no pure pixel near."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

__all__ = ["ROUNDS", "without_specks"]

ROUNDS = 8  # px to the nearest pixel that is no speck; further ones stay

Pixels = NDArray[np.uint8]
Places = NDArray[np.int64]


def _neighbours(places: Places, shape: tuple[int, int]) -> list[tuple[Places, NDArray[np.bool_]]]:
    """Left, right, upper and lower neighbour of each pixel, and whether the picture has it."""
    height, width = shape
    column = places % width
    return [
        (np.maximum(places - 1, 0), column > 0),
        (np.minimum(places + 1, height * width - 1), column < width - 1),
        (np.maximum(places - width, 0), places >= width),
        (np.minimum(places + width, height * width - 1), places < (height - 1) * width),
    ]


def _specks(paint: Pixels, mixed: Places, least: int) -> NDArray[np.bool_]:
    """Which mixed pixels are in a group that is small and touches no pure pixel of its paint."""
    flat = paint.ravel()
    count = len(mixed)
    anchored = np.zeros(count, bool)
    links: list[tuple[Places, Places]] = []
    for number, (at, there) in enumerate(_neighbours(mixed, (paint.shape[0], paint.shape[1]))):
        alike = there & (flat[at] == flat[mixed])
        place = np.minimum(np.searchsorted(mixed, at), count - 1)
        among = mixed[place] == at
        anchored |= alike & ~among
        if number % 2:
            row = np.flatnonzero(alike & among)
            links.append((row, place[row]))
    rows = np.concatenate([row for row, _ in links])
    columns = np.concatenate([column for _, column in links])
    graph = csr_array((np.ones(len(rows), np.int8), (rows, columns)), shape=(count, count))
    groups, group = connected_components(graph, directed=False)
    small = np.bincount(group, minlength=groups) < least
    small &= np.bincount(group, anchored, groups) == 0
    return np.asarray(small[group], dtype=np.bool_)


def without_specks(
    paint: Pixels, other: Pixels, share: Pixels, mixed: Places, *, least: int
) -> Places:
    """Give specks to a paint beside them, in place; the pixels that changed.

    Parameters
    ----------
    paint, other, share : ndarray of uint8, shape (h, w)
        As in ``Mixture``; changed in place. [-]
    mixed : ndarray of int, shape (n,)
        Places of the mixed pixels in rising order. [-]
    least : int
        Groups of at least so many pixels stay; 1 or more. [px]
    """
    if not len(mixed):
        return mixed
    changed = mixed[_specks(paint, mixed, least)]
    flat, second, parts = paint.ravel(), other.ravel(), share.ravel()
    left = changed
    for _ in range(ROUNDS):
        if not len(left):
            break
        found = np.full(len(left), -1, np.int16)
        for at, there in _neighbours(left, (paint.shape[0], paint.shape[1])):
            place = np.minimum(np.searchsorted(left, at), len(left) - 1)
            sound = there & (left[place] != at)
            wanted = sound & ((found < 0) | (flat[at] == second[left]))
            found = np.where(wanted, flat[at], found)
        done = found >= 0
        at = left[done]
        flat[at] = second[at] = found[done].astype(np.uint8)
        parts[at] = 255
        left = left[~done]
    return changed
