"""Places that another picture from the same spot outdoes, so that they need not be looked at.

A picture from the same lens, no wider to either side, lights nothing that the wider one does not
light, where that is limited by its sides alone.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from giornata.core.foundation import Floats
from giornata.core.projection.faces import Face
from giornata.core.projection.lit import Aimed, Machine, bearings

__all__ = ["Seen"]

_TOUCH = 1e-7  # m
_CLOSE = 1e-9  # of a bearing's tangent
_AHEAD = 1e-7  # least share of a ray that goes forward


class Seen:
    """How far to both sides each place before the wall has been lit so far."""

    def __init__(self) -> None:
        self._at = np.zeros(0)
        self._left = np.zeros(0)
        self._right = np.zeros(0)

    def outdone(self, machine: Machine, aimed: Aimed) -> NDArray[np.bool_]:
        """Whether all of each picture lies inside what was lit from its place before.

        Parameters
        ----------
        machine : Machine
            The pictures as they leave the lens.
        aimed : Aimed
            The projectors.
        """
        if not len(self._at):
            return np.zeros(len(aimed.chainage), dtype=bool)
        left, right = _sides(machine, aimed)
        spot = np.minimum(np.searchsorted(self._at, aimed.chainage), len(self._at) - 1)
        known = self._at[spot] == aimed.chainage
        inside = (self._left[spot] <= left + _CLOSE) & (self._right[spot] >= right - _CLOSE)
        return np.asarray(known & inside)

    def add(self, face: Face, aimed: Aimed, start: Floats, end: Floats) -> None:
        """Note what was lit.

        Parameters
        ----------
        face : Face
            The wall.
        aimed : Aimed
            The projectors.
        start, end : ndarray, shape (n,)
            Chainages lit from each; the end not above the start where nothing is. [m]
        """
        lit = np.flatnonzero(end > start)
        some = aimed.some(lit)
        left = bearings(face, some, start[lit])
        right = bearings(face, some, end[lit])
        left[start[lit] <= _TOUCH] = -np.inf
        right[end[lit] >= face.band.length - _TOUCH] = np.inf
        at = np.concatenate([self._at, some.chainage])
        order = np.argsort(at, kind="stable")
        self._at = at[order]
        self._left = np.concatenate([self._left, left])[order]
        self._right = np.concatenate([self._right, right])[order]
        first = np.ones(len(self._at), dtype=bool)
        first[1:] = self._at[1:] != self._at[:-1]
        self._at, self._left, self._right = self._at[first], self._left[first], self._right[first]


def _sides(machine: Machine, aimed: Aimed) -> tuple[Floats, Floats]:
    """Tangents of the farthest bearings inside each picture, left and right. [-]"""
    cosine, sine = np.cos(aimed.tilt), np.sin(aimed.tilt)
    upper, lower = ((2 * aimed.up + way) * machine.half_height for way in (1, -1))
    ahead = np.minimum(cosine - upper * sine, cosine - lower * sine)
    ahead = np.maximum(ahead, _AHEAD)
    return (
        (2 * aimed.side - 1) * machine.half_width / ahead,
        (2 * aimed.side + 1) * machine.half_width / ahead,
    )
