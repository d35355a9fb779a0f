"""Sharp turns of outlines put where their legs meet.

Beside a turn the vertices are not on its legs: a pixel there shares in both, a filter was at work,
a tip thinner than a pixel has no vertices at all. So the outline is drawn anew there: straight from
where each leg begins to be trusted to where both meet. It stays clear of every other outline, for
the cells it goes through (squares between four pixel centres, of which each holds the vertices of
one pixel corner) hold its own old vertices or none, and no other outline lies between the old line
and the new one. Where both legs are long, what they tell of a pixel's centre is believed before the
pixel's share, which is blurred at a tip: a centre may change sides there, and only there.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.raster_chains import WITHIN, Chains, some
from giornata.core.artwork.raster_corners import ABSENT
from giornata.core.artwork.raster_legs import CRISP, SOFT, Legs, Manner, legs, sharp_turns

__all__ = ["Tips", "pointed"]

_ROUNDED = 2.0  # px; what lacks more area than a turn rounded with this radius is left round
_FURTHEST = 8.0  # px from the outline to where its legs meet
_MOST_CELLS = 24  # that a leg is drawn through anew
_TRIED = (  # px from where the legs meet: inwards, and sideways
    *((0.0, sideways) for sideways in (0.0, 0.15, -0.15, 0.3, -0.3, 0.5, -0.5, 0.8, -0.8)),
    *((inwards, sideways) for inwards in (0.5, 1.0, 1.5) for sideways in (0.0, 0.3, -0.3)),
)
_NEWTON = 8  # steps
_FAR = 200.0  # px; a leg is not drawn on so far
_PARALLEL = 1e-2  # sine of the angle between two legs that do not meet
_CLEAR = 1e-6  # px; a leg keeps clear of the pixel centres it passes
_AT_ONCE = 1 << 11

Points = NDArray[np.float64]
Places = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tips:
    """Turns that were put where their legs meet.

    Parameters
    ----------
    vertex : ndarray of int, shape (m,)
        The vertex at each. [-]
    foot : ndarray of int, shape (m, 2)
        Where each of its two legs begins. [-]
    between : ndarray of int, shape (n,)
        Vertices between the turns and where their legs begin, which are not needed. [-]
    leg : ndarray of int, shape (n,)
        Which leg each of these belongs to: twice the number of the turn, one more for the second.
    start : ndarray of int, shape (2 m + 1,)
        Where the openings of each leg start. [-]
    gate : ndarray of float, shape (g, 2)
        Point midway between the two pixel centres that a leg passes between, from its foot
        to the turn. [px]
    across : ndarray of bool, shape (g,)
        True where the two lie in one row, False where in one column.
    """

    vertex: Places
    foot: Places
    between: Places
    leg: Places
    start: Places
    gate: Points
    across: Bools


NO_TIPS = Tips(
    vertex=np.empty(0, np.int64),
    foot=np.empty((0, 2), np.int64),
    between=np.empty(0, np.int64),
    leg=np.empty(0, np.int64),
    start=np.zeros(1, np.int64),
    gate=np.empty((0, 2)),
    across=np.empty(0, bool),
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Turns:
    """Turns whose legs meet, and the outline beside each.

    ``zone`` are the vertices from one foot to the other, the ends repeated to fill the row;
    ``first`` and ``last`` where in it the feet are; ``loop`` the outline along them as it is;
    ``feet`` both feet, shape (m, 2, 2); ``meet`` where the legs meet or the outline can go;
    ``known`` whether both legs are long enough to be drawn over the centres of pixels;
    ``ways`` the cells from each foot to there, shape (m, 2, k, 2).
    """

    zone: Places
    first: Places
    last: Places
    loop: Points
    feet: Points
    meet: Points
    known: Bools
    ways: Places

    def of(self, which: Places | Bools) -> _Turns:
        return replace(self, **{f.name: getattr(self, f.name)[which] for f in fields(self)})

    @classmethod
    def all(cls, parts: list[_Turns]) -> _Turns:
        return cls(
            **{f.name: np.concatenate([getattr(p, f.name) for p in parts]) for f in fields(cls)}
        )


def _cells(start: Points, end: Points) -> tuple[Places, Bools]:
    """Cells that straight lines go through, the last one repeated, and whether that is certain."""
    here, last = np.rint(start).astype(np.int64), np.rint(end).astype(np.int64)
    way = end - start
    sign = np.where(way < 0, -1, 1)
    rows = np.arange(len(start))
    path = [here]
    fine = np.ones(len(start), bool)
    for _ in range(_MOST_CELLS):
        ahead = here + 0.5 * sign - start
        reach = np.divide(ahead, way, out=np.full_like(way, np.inf), where=way != 0)
        axis = (reach[:, 1] < reach[:, 0]).astype(np.int64)
        done = (here == last).all(axis=1)
        if done.all():
            break
        at = start[rows, 1 - axis] + reach[rows, axis] * way[rows, 1 - axis]
        fine &= done | (np.abs(at - here[rows, 1 - axis]) <= 0.5 - _CLEAR)
        step = np.zeros_like(here)
        step[rows, axis] = np.where(done, 0, sign[rows, axis])
        here = here + step
        path.append(here)
    path += [here] * (_MOST_CELLS + 1 - len(path))
    return np.stack(path, axis=1), fine & (here == last).all(axis=1)


def _within(loop: Points, own: Places, points: Points) -> Bools:
    """Whether each point is inside the loop it is asked of."""
    inside = np.zeros(len(points), bool)
    x, y = points.T
    for at in range(loop.shape[1]):
        (x0, y0), (x1, y1) = loop[own, at - 1].T, loop[own, at].T
        spans = (y0 > y) != (y1 > y)
        rise = np.where(spans, y1 - y0, 1.0)
        inside ^= spans & (x < x0 + (y - y0) * (x1 - x0) / rise)
    return inside


def _boxed(loop: Points, offset: float) -> tuple[Places, Places, Places, Places]:
    """Rows of lattice points in each loop's box: its number, the row, first and last column."""
    low = np.ceil(loop.min(axis=1) - offset).astype(np.int64)
    high = np.floor(loop.max(axis=1) - offset).astype(np.int64)
    count = np.maximum(high[:, 1] - low[:, 1] + 1, 0)
    own = np.repeat(np.arange(len(loop)), count)
    row = np.arange(len(own)) - np.repeat(np.cumsum(count) - count, count) + low[own, 1]
    return own, row, low[own, 0], high[own, 0]


def _runs(own: Places, first: Places, last: Places) -> tuple[Places, Places]:
    """Every number from first to last of each run, and what the run belongs to."""
    count = np.maximum(last - first + 1, 0)
    begin = np.repeat(np.cumsum(count) - count, count)
    return np.repeat(own, count), np.arange(len(begin)) - begin + np.repeat(first, count)


def _free(
    turns: _Turns, aim: Points, occupied: Places, corner: Points, stride: int
) -> tuple[Bools, Places]:
    """Whether the outline can go from both feet to a point, and the cells on both ways."""
    home = np.rint(corner[turns.zone]).astype(np.int64)
    rank = np.arange(home.shape[1])
    ours = (rank > turns.first[:, None]) & (rank < turns.last[:, None])
    keys = np.where(ours, home[:, :, 1] * stride + home[:, :, 0], ABSENT)
    fine = np.ones(len(aim), bool)
    ways = []
    for side in (0, 1):
        path, certain = _cells(turns.feet[:, side], aim)
        key = path[:, 1:, 1] * stride + path[:, 1:, 0]
        taken = _held(key, occupied)
        taken[taken] = (keys[np.nonzero(taken)[0]] != key[taken][:, None]).all(axis=1)
        fine &= certain & ~taken.any(axis=1) & (path[:, 0] != path[:, -1]).any(axis=1)
        ways.append(path)
    left = np.flatnonzero(fine)
    loop = np.concatenate([turns.loop[left], aim[left, None]], axis=1)
    own, row, west, east = _boxed(loop, 0.0)
    low = np.searchsorted(occupied, row * stride + west)
    high = np.searchsorted(occupied, row * stride + east, side="right") - 1
    own, at = _runs(own, low, high)
    at = occupied[at]
    foreign = (keys[left[own]] != at[:, None]).all(axis=1)
    own, at = own[foreign], at[foreign]
    points = np.stack([at % stride, at // stride], axis=1).astype(np.float64)
    fine[left[own[_within(loop, own, points)]]] = False
    left, loop = left[~turns.known[left]], loop[~turns.known[left]]
    own, row, west, east = _boxed(loop, 0.5)
    line, x = _runs(np.arange(len(own)), west, east)
    points = np.stack([x + 0.5, row[line] + 0.5], axis=1)
    fine[left[own[line][_within(loop, own[line], points)]]] = False
    return fine, np.stack(ways, axis=1)


def _held(key: Places, occupied: Places) -> Bools:
    """Which pixel corners have vertices."""
    spot = np.minimum(np.searchsorted(occupied, key), len(occupied) - 1)
    return np.asarray(occupied[spot] == key)


def _meeting(place: Points, one: Legs, two: Legs) -> tuple[Bools, Points, Points, Points]:
    """Which legs meet near their turn, where, and their directions there, by Newton's method."""
    turn = place[one.walk[:, 0]]
    s, t = one.along(turn), two.along(turn)
    for _ in range(_NEWTON):
        gap, a, b = two.at(t) - one.at(s), one.way(s), two.way(t)
        cross = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
        cross = np.where(np.abs(cross) < _PARALLEL, np.inf, cross)
        s = np.clip(s + (gap[:, 0] * b[:, 1] - gap[:, 1] * b[:, 0]) / cross, -_FAR, _FAR)
        t = np.clip(t + (gap[:, 0] * a[:, 1] - gap[:, 1] * a[:, 0]) / cross, -_FAR, _FAR)
    meet = one.at(s)
    good = np.abs(meet - two.at(t)).max(axis=1) < 1e-6
    good &= np.abs(meet - turn).max(axis=1) <= _FURTHEST
    return good, meet, one.way(s), two.way(t)


def _met(place: Points, corner: Points, one: Legs, two: Legs, manner: Manner) -> _Turns:
    """The turns whose legs meet near them, with nothing round between."""
    both = (one.count > 0) & (two.count > 0)
    one, two = one.of(both), two.of(both)
    near, *found = _meeting(place, one, two)
    one, two = one.of(near), two.of(near)
    meet, a, b = (each[near] for each in found)
    cross = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    inner = np.abs(np.arctan2(cross, (a * b).sum(axis=1)))
    most = manner.most_skip
    zone = np.concatenate([one.walk[:, most:0:-1], two.walk[:, : most + 1]], axis=1)
    first, last = most - one.skip, most + two.skip
    rank = np.clip(np.arange(2 * most + 1), first[:, None], last[:, None])
    zone = np.take_along_axis(zone, rank, axis=1).astype(np.int64)
    loop, feet = place[zone], []
    for leg, at in ((one, first), (two, last)):
        vertex = leg.walk[np.arange(len(at)), leg.skip]
        home = corner[vertex]
        feet.append(np.clip(leg.at(leg.along(place[vertex])), home - WITHIN, home + WITHIN))
        loop = np.where((rank == at[:, None])[:, :, None], feet[-1][:, None], loop)
    # What the turn lacks of the area between its legs, against one that is rounded.
    whole = np.concatenate([loop, meet[:, None]], axis=1) - meet[:, None]
    after = np.roll(whole, -1, axis=1)
    lack = 0.5 * (whole[:, :, 0] * after[:, :, 1] - whole[:, :, 1] * after[:, :, 0]).sum(axis=1)
    half = np.maximum(0.5 * inner, 1e-3)
    most_lack = (1.0 / np.tan(half) - 0.5 * np.pi + half) * _ROUNDED**2
    most_lack += manner.blunt * np.cos(half) ** 2
    sharp = (np.pi - inner >= manner.turn) & (np.sign(cross) * lack <= most_lack)
    turns = _Turns(
        zone=zone,
        first=first,
        last=last,
        loop=loop,
        feet=np.stack(feet, axis=1),
        meet=meet,
        known=np.minimum(one.count, two.count) >= manner.known,
        ways=np.zeros((len(zone), 2, _MOST_CELLS + 1, 2), np.int64),
    )
    return turns.of(sharp)


def _reached(turns: _Turns, occupied: Places, corner: Points, stride: int) -> _Turns:
    """The turns that can be drawn anew, each put as near to where its legs meet as it can be."""
    meet, ways = turns.meet.copy(), turns.ways.copy()
    done = np.zeros(len(meet), bool)
    base = turns.feet[:, 1] - turns.feet[:, 0]
    wide = np.maximum(np.hypot(base[:, 0], base[:, 1]), 1e-9)
    inward = turns.feet.mean(axis=1) - turns.meet
    deep = np.maximum(np.hypot(inward[:, 0], inward[:, 1]), 1e-9)
    for inwards, sideways in _TRIED:
        left = np.flatnonzero(~done & (deep > 2.0 * inwards))
        if not len(left):
            break
        # Moved along the base of the triangle it makes with the feet, a point changes no area.
        aim = turns.meet[left] + (inwards / deep[left])[:, None] * inward[left]
        aim += (sideways / wide[left])[:, None] * base[left]
        fine, paths = _free(turns.of(left), aim, occupied, corner, stride)
        found = left[fine]
        done[found] = True
        meet[found], ways[found] = aim[fine], paths[fine]
    return replace(turns, meet=meet, ways=ways).of(done)


def _undisputed(turns: _Turns, occupied: Places, stride: int) -> _Turns:
    """The turns that go through no cell without vertices that another one goes through too."""
    key = (turns.ways[..., 1] * stride + turns.ways[..., 0]).reshape(-1, 2 * (_MOST_CELLS + 1))
    empty = ~_held(key, occupied)
    own = np.nonzero(empty)[0]
    claims = np.unique(np.stack([key[empty], own], axis=1), axis=0)
    _, cell, claimed = np.unique(claims[:, 0], return_inverse=True, return_counts=True)
    kept = np.ones(len(turns.meet), bool)
    kept[claims[claimed[cell] > 1, 1]] = False
    return turns.of(kept)


def pointed(
    place: Points,
    seen: Points,
    turn: NDArray[np.float32],
    corner: Points,
    chains: Chains,
    own: Places,
    *,
    barred: Bools,
    occupied: Places,
    stride: int,
    lossy: bool,
) -> tuple[Points, Tips]:
    """Vertices with sharp turns put where their legs meet, and these turns.

    Parameters
    ----------
    place : ndarray of float, shape (v, 2)
        Where each vertex is. [px]
    seen : ndarray of float, shape (v, 2)
        Where it was before anything was smoothed, by which legs are judged. [px]
    turn : ndarray of float, shape (v,)
        Turn of the outline at each vertex. [rad]
    corner : ndarray of float, shape (v, 2)
        The pixel corner it belongs to. [px]
    chains : Chains
        Neighbours.
    own : ndarray of int, shape (n,)
        Vertices that may be turns. [-]
    barred : ndarray of bool, shape (v,)
        Vertices that stay and end a leg.
    occupied : ndarray of int, shape (c,)
        Pixel corners with vertices, in rising order: row times ``stride`` plus column. [-]
    stride : int
        Pixels in a row of the framed picture. [px]
    lossy : bool
        True for a picture whose edges shiver and whose tips are blunt.
    """
    manner = SOFT if lossy else CRISP
    peaks = sharp_turns(turn, chains, own, barred)
    stops = (chains.rank == ABSENT) | barred
    stops[peaks] = True
    drawn = []
    for part in some(peaks, _AT_ONCE):
        one, two = (legs(seen, chains, part, side, stops, manner) for side in (0, 1))
        turns = _met(place, corner, one, two, manner)
        drawn.append(_reached(turns, occupied, corner, stride))
    if not drawn:
        return place, NO_TIPS
    turns = _undisputed(_Turns.all(drawn), occupied, stride)
    middle = manner.most_skip
    vertex = turns.zone[:, middle]
    foot = turns.zone[:, [0, -1]]
    place = place.copy()
    place[foot] = turns.feet
    place[vertex] = turns.meet
    rank = np.arange(turns.zone.shape[1])
    between = (rank > turns.first[:, None]) & (rank < turns.last[:, None]) & (rank != middle)
    own, at = np.nonzero(between)
    side = (at > middle).astype(np.int64)
    skip = np.where(side == 1, turns.last[own] - middle, middle - turns.first[own])
    part_way = (np.abs(at - middle) / skip)[:, None]
    place[turns.zone[between]] = turns.meet[own] + part_way * (
        turns.feet[own, side] - turns.meet[own]
    )
    ways = turns.ways.reshape(-1, _MOST_CELLS + 1, 2)
    moved = (ways[:, 1:] != ways[:, :-1]).any(axis=2)
    return place, Tips(
        vertex=vertex,
        foot=foot,
        between=turns.zone[between],
        leg=2 * own + side,
        start=np.concatenate([[0], np.cumsum(moved.sum(axis=1))]),
        gate=(0.5 * (ways[:, 1:] + ways[:, :-1]))[moved],
        across=(ways[:, 1:, 1] != ways[:, :-1, 1])[moved],
    )
