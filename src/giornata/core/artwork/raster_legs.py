"""Sharp turns of outlines and the two straight legs that meet in each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.raster_chains import Chains

__all__ = ["CRISP", "SOFT", "Legs", "Manner", "legs", "sharp_turns", "some"]

_LEAST_TURN = np.radians(25.0)
_APART = 4  # vertices; of turns nearer to one another the sharpest counts
_WINDOWS = (64, 32, 16, 8)  # vertices of a leg, the longest that is straight
_AT_ONCE = 1 << 17  # vertices; what is worked out on the way is large

Points = NDArray[np.float64]
Places = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How the vertices of one kind of picture are trusted.

    Parameters
    ----------
    least_skip, most_skip : int
        Vertices beside a turn that do not count for its legs: in short legs and in long. [-]
    least : int
        Vertices that make a leg. [-]
    known : int
        Vertices that make one of which it is known on which side a pixel's centre is. [-]
    bow : float
        Greatest distance of one from the leg. [px]
    turn : float
        Least turn between two legs. [rad]
    blunt : float
        Area that a sharp turn lacks at its tip, over the square of the sine of half its turn. [px²]
    """

    least_skip: int
    most_skip: int
    least: int
    known: int
    bow: float
    turn: float
    blunt: float


CRISP = Manner(least_skip=2, most_skip=3, least=3, known=8, bow=0.06, turn=np.radians(20.0), blunt=0.75)
SOFT = Manner(least_skip=3, most_skip=8, least=5, known=5, bow=0.35, turn=np.radians(45.0), blunt=3.2)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Legs:
    """One leg of each of some turns.

    Parameters
    ----------
    walk : ndarray of int, shape (m, k)
        Vertices from the turn on, itself first. [-]
    skip : ndarray of int, shape (m,)
        Where in ``walk`` the leg begins to be trusted. [-]
    base, unit : ndarray of float, shape (m, 2)
        A point of its line, and the direction of it away from the turn. [px]
    count : ndarray of int, shape (m,)
        Vertices that are on it; 0 where no leg is straight. [-]
    """

    walk: NDArray[np.int32]
    skip: Places
    base: Points
    unit: Points
    count: Places

    def of(self, which: Bools) -> Legs:
        """Legs of some of the turns."""
        return Legs(
            walk=self.walk[which],
            skip=self.skip[which],
            base=self.base[which],
            unit=self.unit[which],
            count=self.count[which],
        )

    def foot(self, place: Points) -> Points:
        """Point of each leg beside the vertex where it begins to be trusted. [px]"""
        begin = place[self.walk[np.arange(len(self.skip)), self.skip]]
        along = ((begin - self.base) * self.unit).sum(axis=1)
        return np.asarray(self.base + along[:, None] * self.unit)


def some(own: Places, at_once: int = _AT_ONCE) -> Iterator[Places]:
    """Vertices, some at a time."""
    for start in range(0, len(own), at_once):
        yield own[start : start + at_once]


def sharp_turns(
    turn: NDArray[np.float32], chains: Chains, own: Places, barred: Bools
) -> Places:
    """Vertices at which an outline turns by 25° or more, and more than anywhere near.

    Parameters
    ----------
    turn : ndarray of float, shape (v,)
        Turn of the outline at each vertex, 0 where it is not looked at. [rad]
    chains : Chains
        Neighbours.
    own : ndarray of int, shape (n,)
        Vertices that are looked at; each has two neighbours. [-]
    barred : ndarray of bool, shape (v,)
        Vertices beside which no other one is a turn.
    """
    turn = np.where(barred, np.float32(np.inf), turn)
    found = own[(turn[own] >= _LEAST_TURN) & ~barred[own]]
    most = np.ones(len(found), bool)
    for side in (0, 1):
        before, here = found.astype(np.int32), chains.neighbours[chains.rank[found], side]
        for _ in range(_APART):
            most &= (turn[here] < turn[found]) | ((turn[here] == turn[found]) & (here >= found))
            onward, going = chains.next(here, before)
            before, here = np.where(going, here, before), onward
    return found[most]


def legs(
    place: Points, chains: Chains, own: Places, side: int, stops: Bools, manner: Manner
) -> Legs:
    """The leg of each turn on one side: the longest stretch of a straight line beside it.

    Parameters
    ----------
    place : ndarray of float, shape (v, 2)
        Where each vertex is. [px]
    chains : Chains
        Neighbours.
    own : ndarray of int, shape (m,)
        The turns. [-]
    side : int
        0 or 1.
    stops : ndarray of bool, shape (v,)
        Vertices at which a leg ends: other turns, and where more than two paints meet.
    manner : Manner
        How vertices are trusted.
    """
    longest = _WINDOWS[0]
    walk = np.empty((len(own), longest + 1), np.int32)
    walk[:, 0] = own
    before, here = own.astype(np.int32), chains.neighbours[chains.rank[own], side]
    reach = np.full(len(own), longest)
    going = np.arange(len(own))
    for at in range(1, longest + 1):
        walk[:, at] = here
        stop = stops[here[going]]
        reach[going[stop]] = at
        going = going[~stop]
        onward, _ = chains.next(here[going], before[going])
        before[going], here[going] = here[going], onward
    skip = np.clip(reach // 4, manner.least_skip, manner.most_skip)
    end = np.where(reach < longest, reach - skip, longest)
    base, unit = np.zeros((len(own), 2)), np.ones((len(own), 2))
    count = np.zeros(len(own), np.int64)
    for window in _WINDOWS:
        left = np.flatnonzero((count == 0) & (end - skip >= manner.least - 1))
        last = np.minimum(end, skip + window)[left]
        index = np.arange(last.max(initial=0) + 1)
        part = (index >= skip[left, None]) & (index <= last[:, None])
        number = part.sum(axis=1)
        weight = part / number[:, None]
        x, y = np.moveaxis(place[walk[left, : len(index)]], 2, 0)
        mean = np.stack([(x * weight).sum(axis=1), (y * weight).sum(axis=1)], axis=1)
        x, y = x - mean[:, :1], y - mean[:, 1:]
        spread, mixed = ((x**2 - y**2) * weight).sum(axis=1), (x * y * weight).sum(axis=1)
        way = 0.5 * np.arctan2(2 * mixed, spread)
        along = np.stack([np.cos(way), np.sin(way)], axis=1)
        back = ((mean - place[own[left]]) * along).sum(axis=1) < 0
        along[back] *= -1.0
        bow = np.abs(x * along[:, 1:] - y * along[:, :1]) * part
        fits = bow.max(axis=1, initial=0.0) <= manner.bow
        found = left[fits]
        base[found], unit[found], count[found] = mean[fits], along[fits], number[fits]
    return Legs(walk=walk, skip=skip, base=base, unit=unit, count=count)
