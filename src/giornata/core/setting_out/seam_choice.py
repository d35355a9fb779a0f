"""Choosing among marks for one seam: the fewest with which both its pictures meet as asked."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from giornata.core.setting_out.mark_accuracy import LEAST_MARKS
from giornata.core.setting_out.marks import ControlMark
from giornata.core.setting_out.seam_accuracy import Overlap, marks_of_pair, told

__all__ = ["fewest_for_seam", "room_for"]

_SLACK = 1.02  # of the best that all marks give, where that is not what is allowed
_CLEAR = 0.1  # m: a cross; nearer to one there is no room for another


def room_for(mark: ControlMark, marks: Sequence[ControlMark]) -> bool:
    """Whether a cross can stand beside others.

    Parameters
    ----------
    mark : ControlMark
        Where it would stand.
    marks : sequence of ControlMark
        The others.
    """
    return all(
        math.hypot(mark.chainage - one.chainage, mark.level - one.level) >= _CLEAR for one in marks
    )


def fewest_for_seam(
    overlap: Overlap,
    pair: tuple[int, int],
    marks: Sequence[ControlMark],
    free: Sequence[ControlMark],
    limit: float,
) -> tuple[list[ControlMark], float]:
    """The fewest marks that hold a seam, and the miss that they were to hold. [m]

    Parameters
    ----------
    overlap : Overlap
        Of the two pictures.
    pair : tuple of int
        Numbers of their set-ups. [-]
    marks : sequence of ControlMark
        Those that there are.
    free : sequence of ControlMark
        To choose among; both see them, or one of them does.
    limit : float
        How far the pictures may miss one another, 95 times of 100; above 0. [m]

    Notes
    -----
    Of every choice; among as many marks that with the least miss. Where all together do not hold
    the seam, the fewest that are nearly as good.
    """
    groups = marks_of_pair(marks, *pair)
    lacking = max(LEAST_MARKS - len(groups[side]) - len(groups[2]) for side in (0, 1))
    ways = _ways(len(free))
    ways = ways[ways.sum(axis=1) >= lacking]
    if not len(ways):
        return list(free), math.inf
    base = told(overlap, groups)
    each = np.zeros((len(free), 16, 16))
    for k, one in enumerate(free):
        sees = [number in one.set_ups for number in pair]
        if any(sees):
            (each[k],) = overlap.information(
                [(one.chainage, one.level)], left=sees[0], right=sees[1]
            )
    misses = overlap.miss(base + np.einsum("wn,nkl->wkl", ways, each))
    best = float(misses.min())
    held = limit if best <= limit else best * _SLACK
    counts = ways.sum(axis=1)
    holds = np.flatnonzero(misses <= held)
    at = min(holds.tolist(), key=lambda way: (counts[way], misses[way]))
    return [one for one, taken in zip(free, ways[at], strict=True) if taken], held


def _ways(count: int) -> NDArray[np.bool_]:
    """Every way to choose: shape (2**count, count)."""
    return np.array(list(itertools.product((False, True), repeat=count)), dtype=bool).reshape(
        2**count, count
    )
