"""Room on a sheet: what is taken already, and the first place where a label is free."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from giornata.core.documents.drawing import Label
from giornata.core.documents.letters import Box, label_box
from giornata.core.foundation import Floats

__all__ = ["Room", "spread"]


class Room:
    """The free room of a sheet, filled label by label.

    Parameters
    ----------
    bounds : tuple of float
        Left, upper, right, lower: nothing is placed beyond. [mm]
    gap : float
        Kept between labels. [mm]
    """

    def __init__(self, bounds: Box, *, gap: float = 0.5) -> None:
        self.bounds = bounds
        self.gap = gap
        self._taken = np.empty((64, 4))
        self._count = 0

    @property
    def taken(self) -> Floats:
        """Boxes taken so far, shape ``(n, 4)``. [mm]"""
        return self._taken[: self._count]

    def take(self, box: Box) -> None:
        """Mark a box as taken."""
        if self._count == len(self._taken):
            self._taken = np.concatenate([self._taken, np.empty_like(self._taken)])
        self._taken[self._count] = box
        self._count += 1

    def free(self, boxes: Floats) -> np.typing.NDArray[np.bool_]:
        """Which of the boxes, shape ``(n, 4)``, lie inside the bounds and touch nothing."""
        left, upper, right, lower = self.bounds
        inside = (
            (boxes[:, 0] >= left) & (boxes[:, 1] >= upper)
            & (boxes[:, 2] <= right) & (boxes[:, 3] <= lower)
        )  # fmt: skip
        taken, gap = self.taken, self.gap
        if not len(taken):
            return np.asarray(inside)
        hit = (
            (boxes[:, None, 0] < taken[None, :, 2] + gap)
            & (taken[None, :, 0] < boxes[:, None, 2] + gap)
            & (boxes[:, None, 1] < taken[None, :, 3] + gap)
            & (taken[None, :, 1] < boxes[:, None, 3] + gap)
        )
        return np.asarray(inside & ~hit.any(axis=1))

    def place(self, candidates: Iterable[Label]) -> Label | None:
        """The first of the labels that is free, its room now taken; None where none is."""
        for label in candidates:
            taking = label_box(label)
            if self.free(np.array([taking]))[0]:
                self.take(taking)
                return label
        return None


def spread(wanted: Sequence[float], gap: float, low: float, high: float) -> tuple[float, ...]:
    """Places as near to the wanted ones as a least gap lets, in the same order. [mm]

    Parameters
    ----------
    wanted : sequence of float
        Ascending. [mm]
    gap : float
        Least distance between neighbours; above 0. [mm]
    low, high : float
        Ends. Where there are more places than room, the gap shrinks to what there is. [mm]

    Examples
    --------
    >>> spread([10.0, 11.0, 30.0], 4.0, 0.0, 100.0)
    (8.5, 12.5, 30.0)
    """
    if not wanted:
        return ()
    count = len(wanted)
    gap = min(gap, (high - low) / max(count - 1, 1))
    # Runs that touch are pooled about their common mean: least squares under the gap.
    runs: list[tuple[float, int]] = []  # mean of (wanted - k·gap) over a run, and its length
    for k, place in enumerate(wanted):
        mean, length = place - k * gap, 1
        while runs and runs[-1][0] > mean:
            before, many = runs.pop()
            mean = (before * many + mean * length) / (many + length)
            length += many
        runs.append((mean, length))
    places: list[float] = []
    for mean, length in runs:
        clamped = min(max(mean, low), high - (count - 1) * gap)
        places += [clamped + (len(places) + k) * gap for k in range(length)]
    return tuple(places)
