"""Vertices in a row along an edge: steps smoothed, shiver calmed, bends moved out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.raster_corners import ABSENT, SideEnds

__all__ = ["WITHIN", "Chains", "calmed", "rounded", "smoothed", "some", "turns"]

WITHIN = 0.499  # px; a vertex stays within half a pixel of its corner
_ROUNDS = 16
_INWARD, _OUTWARD = 0.6, -0.61
_CALM, _BACK = 0.5, -0.5128  # wavelengths over 28 vertices are kept: 1 / (0.05 - 1 / 0.5)
_CALM_ROUNDS = 16
_STRIDES = (3, 1)  # vertices apart; so a faint edge keeps wavelengths over three times as long
_EVEN = (0.5, -0.5)  # neither shrinks nor grows a circle but by the fourth power of its turn
_FAINT_REACH, _FAINT_BEND = 10, np.radians(45.0)  # as the next two but one, where all shivers
_ROUNDING, _ROUNDING_REACH = 5 / 108, 3  # see ``rounded``
_BEND_REACH = 5  # vertices away to both sides between which the turn of an outline is taken
_MOST_BEND = np.radians(30.0)  # a circle of 10 px radius turns so much; a corner more

_AT_ONCE = 1 << 17  # vertices; what is worked out on the way is large

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Chains:
    """The two neighbours of every vertex that has just two.

    Parameters
    ----------
    rank : ndarray of int, shape (v,)
        Row of each vertex in ``neighbours``, ABSENT for junctions and the border. [-]
    neighbours : ndarray of int, shape (n, 2)
        Vertices next to it. [-]
    """

    rank: NDArray[np.int32]
    neighbours: NDArray[np.int32]

    @classmethod
    def joined(
        cls, members: NDArray[np.int64], count: int, ends: tuple[SideEnds, SideEnds]
    ) -> Chains:
        """Chains from the sides, each of which joins two vertices.

        Parameters
        ----------
        members : ndarray of int, shape (n,)
            Vertices at which exactly two sides end, in rising order. [-]
        count : int
            Number of all vertices. [-]
        ends : tuple of SideEnds
            Ends of the sides across and down.
        """
        first = np.concatenate([e.first_vertex for e in ends])
        last = np.concatenate([e.last_vertex for e in ends])
        rank = np.full(count, ABSENT, np.int32)
        rank[members] = np.arange(len(members), dtype=np.int32)
        start, end = np.concatenate([first, last]), np.concatenate([last, first])
        row = rank[start]
        kept = row != ABSENT
        order = np.argsort(row[kept], kind="stable")
        return cls(rank=rank, neighbours=end[kept][order].reshape(-1, 2))

    def next(
        self, here: NDArray[np.int32], before: NDArray[np.int32]
    ) -> tuple[NDArray[np.int32], NDArray[np.bool_]]:
        """Vertex after ``here`` when coming from ``before``, and whether there is one."""
        row = self.rank[here]
        both = self.neighbours[np.maximum(row, 0)]
        onward = np.where(both[:, 0] == before, both[:, 1], both[:, 0])
        going = row != ABSENT
        return np.where(going, onward, here), going


def some(own: NDArray[np.int64], at_once: int = _AT_ONCE) -> Iterator[NDArray[np.int64]]:
    """Vertices, some at a time.

    Parameters
    ----------
    own : ndarray of int, shape (m,)
        The vertices. [-]
    at_once : int
        How many; 1 or more. [-]
    """
    for start in range(0, len(own), at_once):
        yield own[start : start + at_once]


def _steady(place: Points, chains: Chains, moving: NDArray[np.int64]) -> NDArray[np.int64]:
    """Vertices at which the outline does not turn sharply."""
    return np.asarray(moving[turns(place, chains, moving)[moving] < _MOST_BEND])


def turns(place: Points, chains: Chains, own: NDArray[np.int64]) -> NDArray[np.float32]:
    """Turn of the outline at each vertex, 0 at those that are not among its own. [rad]

    Parameters
    ----------
    place : ndarray of float, shape (v, 2)
        Where each vertex is. [px]
    chains : Chains
        Neighbours.
    own : ndarray of int, shape (m,)
        Vertices that are looked at. [-]
    """
    turn = np.zeros(len(place), np.float32)
    for part in some(own):
        turn[part] = _turned(place, chains, part)
    return turn


def _turned(
    place: Points, chains: Chains, moving: NDArray[np.int64], reach: int = _BEND_REACH
) -> NDArray[np.float64]:
    """Turn of the outline at each vertex, as seen from some vertices away. [rad]"""
    ways = []
    for side in (0, 1):
        before, here = moving.astype(np.int32), chains.neighbours[chains.rank[moving], side]
        for _ in range(reach - 1):
            onward, going = chains.next(here, before)
            before, here = np.where(going, here, before), onward
        ways.append(place[here] - place[moving])
    one, two = ways
    cross = one[:, 0] * two[:, 1] - one[:, 1] * two[:, 0]
    return np.asarray(np.pi - np.abs(np.arctan2(cross, (one * two).sum(axis=1))))


def _walked(
    chains: Chains, own: NDArray[np.int64], steps: int
) -> tuple[NDArray[np.bool_], NDArray[np.int32], NDArray[np.int32]]:
    """Whether the chain goes on for so many steps both ways, and the vertices it comes to."""
    whole = np.ones(len(own), bool)
    ends = []
    for side in (0, 1):
        before, here = own.astype(np.int32), chains.neighbours[chains.rank[own], side]
        for _ in range(steps - 1):
            onward, going = chains.next(here, before)
            whole &= going
            before, here = here, onward
        ends.append(here)
    return whole, ends[0], ends[1]


def calmed(
    place: Points,
    corner: Points,
    chains: Chains,
    moving: NDArray[np.int64],
    faint: NDArray[np.int64],
) -> Points:
    """Vertices of a lossy picture's outlines without their shiver, which only adds length. [px]

    Parameters
    ----------
    place, corner : ndarray of float, shape (v, 2)
        Where each vertex is, and the pixel corner it belongs to. [px]
    chains : Chains
        Neighbours.
    moving : ndarray of int, shape (m,)
        Vertices that may move, if the outline does not turn sharply there. [-]
    faint : ndarray of int, shape (f,)
        Those of them that lie between paints near in brightness. [-]

    Notes
    -----
    Taubin's filter again, a milder one: what waves in under ten vertices goes, longer waves and
    areas stay. Between paints that are near in brightness the same rounding of the picture moves
    the edge further, and over wavelengths up to the size of a block of JPEG: there the filter is
    used once more with every third vertex, which takes out waves three times as long, and at last
    as before, so that the three sets of vertices come together.
    """
    steps = (_CALM, _BACK) * _CALM_ROUNDS
    place = _filtered(place, corner, chains, _steady(place, chains, moving), steps)
    bends = [_turned(place, chains, own, _FAINT_REACH) for own in some(faint)]
    steady = faint[np.concatenate([np.empty(0), *bends]) < _FAINT_BEND]
    for stride in _STRIDES:
        place = _filtered(place, corner, chains, steady, _EVEN * _CALM_ROUNDS, stride)
    return place


def rounded(
    place: Points,
    corner: Points,
    chains: Chains,
    moving: NDArray[np.int64],
    turn: NDArray[np.float32],
) -> Points:
    """Vertices of a bend moved out until the outline through them holds the area of the bend. [px]

    Parameters
    ----------
    place, corner : ndarray of float, shape (v, 2)
        Where each vertex is, and the pixel corner it belongs to. [px]
    chains : Chains
        Neighbours.
    moving : ndarray of int, shape (m,)
        Vertices that may move, if the outline does not turn sharply there. [-]
    turn : ndarray of float, shape (v,)
        Turn of the outline at each. [rad]

    Notes
    -----
    A vertex is the middle of two crossings a step s apart, so it lies s²/8r inside a circle of
    radius r, and straight lines between such vertices lose s²/12r more in the mean. The middle of
    the vertices three steps away lies 9/2 s²/r inside: 5/24 of s²/r is 5/108 of that.
    """
    result = place.copy()
    for own in some(moving):
        steady = own[turn[own] < _MOST_BEND]
        whole, *ends = _walked(chains, steady, _ROUNDING_REACH)
        steady, one, two = steady[whole], ends[0][whole], ends[1][whole]
        inside = 0.5 * (place[one] + place[two]) - place[steady]
        moved = place[steady] - _ROUNDING * inside
        result[steady] = np.clip(moved, corner[steady] - WITHIN, corner[steady] + WITHIN)
    return result


def smoothed(place: Points, corner: Points, chains: Chains, moving: NDArray[np.int64]) -> Points:
    """Vertices of hard pixel steps drawn towards the line they step along. [px]

    Parameters
    ----------
    place, corner : ndarray of float, shape (v, 2)
        Where each vertex is, and the pixel corner it belongs to. [px]
    chains : Chains
        Neighbours.
    moving : ndarray of int, shape (m,)
        Vertices that may move. [-]

    Notes
    -----
    Taubin, G. (1995), A signal processing approach to fair surface design, SIGGRAPH: steps in
    and out in turn smooth without shrinking. Each vertex stays within half a pixel of its
    corner, as in Gibson, S. (1998), Constrained elastic surface nets, MICCAI.
    """
    return _filtered(place, corner, chains, moving, (_INWARD, _OUTWARD) * _ROUNDS)


def _filtered(
    place: Points,
    corner: Points,
    chains: Chains,
    moving: NDArray[np.int64],
    steps: tuple[float, ...],
    stride: int = 1,
) -> Points:
    place = place.copy()
    whole, *ends = _walked(chains, moving, stride)
    moving, one, two = moving[whole], ends[0][whole], ends[1][whole]
    low, high = corner[moving] - WITHIN, corner[moving] + WITHIN
    for step in steps:
        own = place[moving]
        pull = 0.5 * (place[one] + place[two]) - own
        place[moving] = np.clip(own + step * pull, low, high)
    return place
