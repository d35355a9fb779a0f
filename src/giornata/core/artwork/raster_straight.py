"""Vertices an outline can do without, the same for the regions on both sides of it.

A stretch of outline is replaced by a straight line only if the line passes between the same pairs
of pixel centres as the stretch does. So no pixel's centre changes sides, no two outlines meet that
did not, and no region vanishes, whatever the picture. Tips stay, and the way to each from where its
legs begin is one step, which passes between more pairs than one.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.raster_corners import ABSENT, Corners, SideEnds
from giornata.core.artwork.raster_rings import Rings
from giornata.core.artwork.raster_sides import OUT, Edges
from giornata.core.artwork.raster_tips import Tips

__all__ = ["Stretches", "kept_vertices", "stretches"]

_AREA = 0.15  # of the tolerance squared: area between a stretch and its straight line, either way
_BIAS = 0.0005  # px; more of it for each pixel of length
_ON_BORDER = 1e-9  # px; the border of the picture stays where it is
_AT_ONCE = 1 << 18  # steps looked at
_CLEAR = 1e-6  # px; a line keeps clear of the pixel centres it passes

Places = NDArray[np.int64]
Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stretches:
    """Steps along outlines from junction to junction, each stretch once.

    Parameters
    ----------
    vertex, end : ndarray of int, shape (n,)
        Vertices at both ends of each step. [-]
    gate : ndarray of float, shape (n, 2)
        Point midway between the pair of pixel centres that each step passes between. [px]
    across : ndarray of bool, shape (n,)
        True where the pair lies in one row, False where in one column.
    border : ndarray of bool, shape (n,)
        True along the border of the picture.
    first : ndarray of bool, shape (n,)
        True for the first step of each stretch.
    single : ndarray of bool, shape (n,)
        False where a step only says what else the step before it passes between.
    """

    vertex: Places
    end: Places
    gate: Points
    across: NDArray[np.bool_]
    border: NDArray[np.bool_]
    first: NDArray[np.bool_]
    single: NDArray[np.bool_]


def _junctions(found: Corners, ends: tuple[SideEnds, SideEnds]) -> NDArray[np.bool_]:
    """Vertices at which other than two sides end, or that share their corner with another."""
    count = np.zeros(found.vertices, np.int32)
    for side in ends:
        for vertex in (side.first_vertex, side.last_vertex):
            count += np.bincount(vertex, minlength=found.vertices).astype(np.int32)
    junction: NDArray[np.bool_] = np.not_equal(count, 2)
    split = found.second != ABSENT
    junction[np.flatnonzero(split)] = junction[found.second[split]] = True
    return junction


def _from_junction(loops: Rings, junction: NDArray[np.bool_]) -> tuple[Places, Places]:
    """Order of the steps with each ring turned to start at a junction if it has one; the next."""
    start, lengths = loops.start[:-1], np.diff(loops.start)
    total = int(loops.start[-1])
    place = np.where(junction[loops.vertex], np.arange(total), total)
    turn = np.minimum.reduceat(place, start)
    turn = np.where(turn < total, turn - start, 0)
    local = np.arange(total) - np.repeat(start, lengths)
    length = np.repeat(lengths, lengths)
    order = np.repeat(start, lengths) + (local + np.repeat(turn, lengths)) % length
    after = np.repeat(start, lengths) + (local + np.repeat(turn, lengths) + 1) % length
    return order, after


def stretches(
    loops: Rings, found: Corners, edges: Edges, ends: tuple[SideEnds, SideEnds], tips: Tips
) -> Stretches:
    """Stretches of outline, each taken from one of the two rings that run along it.

    Parameters
    ----------
    loops : Rings
        Rings of all regions.
    found : Corners
        Corners of the framed picture.
    edges : Edges
        Where paints meet in the whole picture.
    ends : tuple of SideEnds
        Ends of the sides across and down.
    tips : Tips
        Sharp turns, at which stretches end too.
    """
    across, down = edges.across, edges.down
    junction = _junctions(found, ends)
    junction[tips.vertex] = True
    order, after = _from_junction(loops, junction)
    step = loops.step[order]
    a, d = len(across.pixel), len(down.pixel)
    level = step < 2 * a
    forward = np.where(level, step < a, step < 2 * a + d)
    side = np.where(level, step % max(a, 1), a + (step - 2 * a) % max(d, 1))
    pixel = np.concatenate([across.pixel, down.pixel])[side]
    out = [(s.before == OUT) | (s.after == OUT) for s in (across, down)]
    border = np.concatenate(out)[side]
    vertex = loops.vertex[order].astype(np.int64)
    first = junction[vertex]
    first[loops.start[:-1]] = True
    begin = np.flatnonzero(first)
    # Of two rings along a stretch, the one that walks its lowest side forward.
    lowest = np.minimum.reduceat(2 * side + ~forward, begin)
    taken = (lowest % 2 == 0) | border[begin]
    kept = np.repeat(taken, np.diff(begin, append=len(first)))
    row, column = np.divmod(pixel, edges.stride)
    gate = np.stack([column - 0.5 + 0.5 * level, row - 0.5 + 0.5 * ~level], axis=1)
    lines = Stretches(
        vertex=vertex[kept],
        end=loops.vertex[after].astype(np.int64)[kept],
        gate=gate[kept],
        across=level[kept],
        border=border[kept],
        first=first[kept],
        single=np.ones(int(kept.sum()), bool),
    )
    return _with_tips(lines, tips, found.vertices)


def _with_tips(lines: Stretches, tips: Tips, count: int) -> Stretches:
    """The same with one step between each tip and where its legs begin.

    Each pair of pixel centres but the first that it passes between is a step that is not single.
    """
    if not len(tips.vertex):
        return lines
    number = np.full(count, ABSENT, np.int64)  # of the tip at a vertex
    number[tips.vertex] = np.arange(len(tips.vertex))
    leg = np.full(count, ABSENT, np.int64)
    leg[tips.between] = tips.leg
    kept = leg[lines.vertex] == ABSENT
    vertex, end = lines.vertex[kept], lines.end[kept]
    near = leg[end]  # leg of the next vertex, if it is left out
    onto, off = (
        (near != ABSENT) & (number[vertex] == ABSENT),
        (near != ABSENT) & (number[vertex] != ABSENT),
    )
    end[onto] = tips.vertex[near[onto] // 2]
    end[off] = tips.foot.ravel()[near[off]]
    own = np.full(len(vertex), ABSENT, np.int64)
    away = number[vertex] != ABSENT
    for side in (0, 1):
        for tip, foot in ((number[vertex], end), (number[end], vertex)):
            here = (tip != ABSENT) & (tips.foot[tip, side] == foot)
            own[here] = 2 * tip[here] + side
    on_leg = own != ABSENT
    openings = np.where(on_leg, tips.start[own + 1] - tips.start[own], 1)
    source = np.repeat(np.arange(len(own)), openings)
    at = np.arange(len(source)) - np.repeat(np.cumsum(openings) - openings, openings)
    single = at == 0
    own, away, on_leg = own[source], away[source], on_leg[source]
    at = np.where(away, tips.start[own + 1] - 1 - at, tips.start[own] + at)
    gate, across = lines.gate[kept][source], lines.across[kept][source]
    gate[on_leg], across[on_leg] = tips.gate[at[on_leg]], tips.across[at[on_leg]]
    return Stretches(
        vertex=np.where(single, vertex[source], end[source]),
        end=end[source],
        gate=gate,
        across=across,
        border=lines.border[kept][source],
        first=lines.first[kept][source] & single,
        single=single,
    )


def _straight(
    lines: Stretches, points: Points, low: Places, high: Places, tolerance: float
) -> NDArray[np.bool_]:
    """Whether the steps ``low`` to ``high`` (not included) can each become one line."""
    count = high - low
    begin = np.concatenate([[0], np.cumsum(count)[:-1]])
    at = np.repeat(low - begin, count) + np.arange(int(count.sum()))
    from_, to = points[lines.vertex[low]], points[lines.end[high - 1]]
    along = to - from_
    length = np.hypot(along[:, 0], along[:, 1])
    unit = along / np.maximum(length, 1e-12)[:, None]
    base, way = np.repeat(from_, count, axis=0), np.repeat(unit, count, axis=0)
    here, there = points[lines.vertex[at]] - base, points[lines.end[at]] - base
    off = here[:, 0] * way[:, 1] - here[:, 1] * way[:, 0]
    limit = np.where(lines.border[at], _ON_BORDER, tolerance)
    fine = np.abs(off) <= limit
    # the line between the two pixel centres, as the step is
    gate = lines.gate[at] - base
    level = lines.across[at]
    run = np.where(level, way[:, 1], way[:, 0])
    rise = np.where(level, way[:, 0], way[:, 1])
    target = np.where(level, gate[:, 1], gate[:, 0])
    middle = np.where(level, gate[:, 0], gate[:, 1])
    reached = target / np.where(run == 0, np.inf, run)
    fine &= (run != 0) & (reached >= 0) & (reached <= np.repeat(length, count))
    fine &= np.abs(reached * rise - middle) <= 0.5 - _CLEAR
    swept = 0.5 * (here[:, 0] * there[:, 1] - here[:, 1] * there[:, 0])
    area = np.abs(np.add.reduceat(swept, begin))
    whole = np.logical_and.reduceat(fine, begin)
    return np.asarray(
        whole & (length > 0) & (area <= _AREA * tolerance**2 + _BIAS * length), dtype=np.bool_
    )


def _parts(count: Places) -> list[slice]:
    """Lines, so many at a time that their steps take little memory."""
    cuts = np.flatnonzero(np.diff(np.cumsum(count) // _AT_ONCE, prepend=0)).tolist()
    return [slice(*pair) for pair in pairwise([0, *cuts, len(count)]) if pair[0] < pair[1]]


def kept_vertices(
    lines: Stretches, points: Points, tips: Tips, *, tolerance: float
) -> NDArray[np.bool_]:
    """Which vertices the outlines keep.

    Parameters
    ----------
    lines : Stretches
        All stretches of outline.
    points : ndarray of float, shape (v, 2)
        Vertices. [px]
    tips : Tips
        Sharp turns: they stay, and what is between them and their legs goes.
    tolerance : float
        Greatest distance of a dropped vertex from the outline; 0 or more. [px]

    Notes
    -----
    Neighbouring lines are joined two and two, as long as every vertex dropped stays within the
    tolerance, and the area between old and new outline within half its square: of the two the area
    is what binds on a curve, so that curves do not shrink.
    """
    kept = np.ones(len(points), bool)
    kept[tips.between] = False
    part = np.flatnonzero(lines.single)
    free = ~lines.first[part]
    idle, turn = 0, 0
    while idle < 2 and len(part):
        chosen = free.copy()
        chosen[turn::2] = False
        turn = 1 - turn
        at = np.flatnonzero(chosen)
        idle += 1
        if not len(at):
            continue
        bounds = np.append(part, len(lines.vertex))
        low, high = bounds[at - 1], bounds[at + 1]
        good = np.concatenate(
            [
                _straight(lines, points, low[some], high[some], tolerance)
                for some in _parts(high - low)
            ]
        )
        free[at[~good]] = False
        gone = at[good]
        if len(gone):
            idle = 0
            kept[lines.vertex[part[gone]]] = False
            stay = np.ones(len(part), bool)
            stay[gone] = False
            part, free = part[stay], free[stay]
    return kept
