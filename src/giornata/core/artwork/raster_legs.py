"""Sharp turns of outlines, and the two smooth legs that meet in each.

A leg is a stretch of vertices beside the turn, beyond those that the turn itself disturbs: as much
as 64 of them, where they are on a straight line or, if that does not do, on a parabola. Many
vertices tell where the leg goes better than few: JPEG moves each by a tenth of a pixel.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.raster_chains import Chains

__all__ = ["CRISP", "SOFT", "Legs", "Manner", "legs", "sharp_turns"]

_LEAST_TURN = np.radians(25.0)
_APART = 4  # vertices; of turns nearer to one another the sharpest counts
_WINDOWS = (64, 32, 16, 8)  # vertices of a leg, the longest that is straight

Points = NDArray[np.float64]
Places = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How the vertices of one kind of picture are trusted.

    Parameters
    ----------
    least_skip, most_skip : int
        Vertices beside a turn that do not count for its legs: of short legs and of long. [-]
    least : int
        Least number of vertices of a leg. [-]
    known : int
        Least number of vertices of legs that may be drawn over the centres of pixels. [-]
    bow : float
        Greatest distance of a vertex from its leg. [px]
    sag : float
        Greatest sag of a leg that is taken for straight. [px]
    short : float
        Length under which a leg is taken for straight. [px]
    turn : float
        Least turn between two legs. [rad]
    blunt : float
        Area that the outline lacks at a turn that was drawn sharp, over the square of the sine of
        half the turn. [px²]
    """

    least_skip: int
    most_skip: int
    least: int
    known: int
    bow: float
    sag: float
    short: float
    turn: float
    blunt: float


# Measured on triangles of 30 to 150° drawn by Skia, saved as PNG and as JPEG of quality 60 and 85:
# the median of what they lack is 0.75 and 2.6 px², JPEG's spread up to 3.2.
CRISP = Manner(
    least_skip=2,
    most_skip=3,
    least=3,
    known=8,
    bow=0.06,
    sag=0.02,
    short=5.0,
    turn=np.radians(30.0),
    blunt=0.75,
)
SOFT = Manner(
    least_skip=3,
    most_skip=8,
    least=5,
    known=5,
    bow=0.35,
    sag=0.15,
    short=20.0,
    turn=np.radians(45.0),
    blunt=3.2,
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Legs:
    """One leg of each of some turns: a stretch of a parabola, or of a straight line.

    Parameters
    ----------
    walk : ndarray of int, shape (m, k)
        Vertices from the turn on, itself first. [-]
    skip : ndarray of int, shape (m,)
        Where in ``walk`` the leg begins to be trusted. [-]
    base, unit : ndarray of float, shape (m, 2)
        A point beside it, and the direction of it there away from the turn. [px]
    curve : ndarray of float, shape (m, 3)
        How far to the right of that line it is (left as one sees it, y down): at the point, for
        each pixel along the line, and for the square of each. [px]
    count : ndarray of int, shape (m,)
        Vertices that are on it; 0 where there is none. [-]
    """

    walk: NDArray[np.int32]
    skip: Places
    base: Points
    unit: Points
    curve: Points
    count: Places

    def of(self, which: Bools) -> Legs:
        """Legs of some of the turns."""
        return Legs(
            walk=self.walk[which],
            skip=self.skip[which],
            base=self.base[which],
            unit=self.unit[which],
            curve=self.curve[which],
            count=self.count[which],
        )

    def along(self, points: Points) -> NDArray[np.float64]:
        """How far each point is along the line of its leg. [px]"""
        return np.asarray(((points - self.base) * self.unit).sum(axis=1))

    def at(self, along: NDArray[np.float64]) -> Points:
        """Point of each leg so far along its line. [px]"""
        off = self.curve[:, 0] + along * (self.curve[:, 1] + along * self.curve[:, 2])
        return self.base + along[:, None] * self.unit + off[:, None] * self._normal

    def way(self, along: NDArray[np.float64]) -> Points:
        """Direction of each leg there, for each pixel along its line. [-]"""
        slope = self.curve[:, 1] + 2.0 * along * self.curve[:, 2]
        return self.unit + slope[:, None] * self._normal

    @property
    def _normal(self) -> Points:
        return np.stack([-self.unit[:, 1], self.unit[:, 0]], axis=1)


def sharp_turns(turn: NDArray[np.float32], chains: Chains, own: Places, barred: Bools) -> Places:
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
    return np.asarray(found[most])


def legs(
    place: Points, chains: Chains, own: Places, side: int, stops: Bools, manner: Manner
) -> Legs:
    """The leg of each turn on one side: the longest smooth stretch beside it.

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
    for step in range(1, longest + 1):
        walk[:, step] = here
        stop = stops[here[going]]
        reach[going[stop]] = step
        going = going[~stop]
        onward, _ = chains.next(here[going], before[going])
        before[going], here[going] = here[going], onward
    skip = np.clip(reach // 4, manner.least_skip, manner.most_skip)
    end = np.where(reach < longest, reach - skip, longest)
    base, unit = np.zeros((len(own), 2)), np.ones((len(own), 2))
    curve, count = np.zeros((len(own), 3)), np.zeros(len(own), np.int64)
    for window in _WINDOWS:
        left = np.flatnonzero((count == 0) & (end - skip >= manner.least - 1))
        last = np.minimum(end, skip + window)[left]
        index = np.arange(last.max(initial=0) + 1)
        part = (index >= skip[left, None]) & (index <= last[:, None])
        fits, *found = _fitted(place[walk[left, : len(index)]], part, manner)
        at = left[fits]
        base[at], unit[at], curve[at] = (each[fits] for each in found)
        count[at] = part.sum(axis=1)[fits]
    return Legs(walk=walk, skip=skip, base=base, unit=unit, curve=curve, count=count)


def _fitted(
    points: Points, part: Bools, manner: Manner
) -> tuple[Bools, Points, Points, NDArray[np.float64]]:
    """Whether a part of each row of points makes a leg, and its base, direction and curve."""
    weight = part / part.sum(axis=1)[:, None]
    mean = (points * weight[:, :, None]).sum(axis=1)
    x, y = np.moveaxis(points - mean[:, None], 2, 0)
    spread, mixed = ((x**2 - y**2) * weight).sum(axis=1), (x * y * weight).sum(axis=1)
    turned = 0.5 * np.arctan2(2.0 * mixed, spread)
    unit = np.stack([np.cos(turned), np.sin(turned)], axis=1)
    unit[((mean - points[:, 0]) * unit).sum(axis=1) < 0] *= -1.0  # away from the turn
    along = x * unit[:, :1] + y * unit[:, 1:]
    off = y * unit[:, :1] - x * unit[:, 1:]
    # Least squares; unit is the long axis of the points, so that the means of off and of off times
    # along are 0 and the parabola is lift + slope * along + bend * along².
    square = along * along
    weighed = square * weight
    two = np.maximum(weighed.sum(axis=1), 1e-9)
    three, four = (weighed * along).sum(axis=1), (weighed * square).sum(axis=1)
    bend = (weighed * off).sum(axis=1) / np.maximum(four - two**2 - three**2 / two, 1e-9)
    curve = np.stack([-bend * two, -bend * three / two, bend], axis=1)
    length = np.sqrt(12.0 * two)  # of points evenly along a line
    from_line = (np.abs(off) * part).max(axis=1, initial=0.0)
    rest = off - curve[:, :1] - along * (curve[:, 1:2] + along * curve[:, 2:])
    from_curve = (np.abs(rest) * part).max(axis=1, initial=0.0)
    short = length < manner.short
    straight = (from_line <= manner.bow) & (short | (np.abs(bend) * length**2 <= 4.0 * manner.sag))
    curve[straight] = 0.0
    return straight | (~short & (from_curve <= manner.bow)), mean, unit, curve
