"""Where the outline vertices stand: on the crossings, sharp where two straight edges meet."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.raster_chains import WITHIN, Chains, calmed, rounded, smoothed, turns
from giornata.core.artwork.raster_corners import ABSENT, Corners, Index, SideEnds
from giornata.core.artwork.raster_pairs import FAINT
from giornata.core.artwork.raster_sides import Edges, Sides
from giornata.core.artwork.raster_tips import Tips, pointed

__all__ = ["vertices"]

_STRAIGHT = 0.02  # px; crossings of a straight leg of a corner agree to this


def _straight_leg(
    found: Sides, own: Index, step: int
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Crossing of the leg that starts with each side ``own``, and whether the leg is straight.

    The first crossing of a leg is not trusted: the pixel at the corner shares in both legs.
    """
    pixel = found.pixel[own]
    before, after = found.before[own], found.after[own]
    last = len(found.pixel) - 1
    shift, there, hard = [], [], [found.hard[own]]
    for count in (1, 2):
        place = np.minimum(np.searchsorted(found.pixel, pixel + count * step), last)
        at = found.pixel[place]
        there.append(
            (at == pixel + count * step)
            & (found.before[place] == before)
            & (found.after[place] == after)
        )
        shift.append(found.shift[place])
        hard.append(found.hard[place])
    steady = there[1] & (np.abs(shift[1] - shift[0]) <= _STRAIGHT)
    return shift[0], there[0] & (steady | (hard[0] & hard[1]))


def _sharpened(
    found: Corners, edges: Edges
) -> tuple[NDArray[np.bool_], NDArray[np.float64], NDArray[np.float64]]:
    """Corners at which two straight legs meet square, and the shifts of all sides put right.

    Returns which corners are sharp, and the shifts of the sides across and down.
    """
    across, down, stride = edges.across, edges.down, edges.stride
    across_shift, down_shift = across.shift.copy(), down.shift.copy()
    sharp = np.zeros(len(found.place), bool)
    plain = (found.second == ABSENT) & ~found.framed
    for upright, rise in ((found.north, -stride), (found.south, stride)):
        for level, run in ((found.west, -1), (found.east, 1)):
            bends = plain & (upright != ABSENT) & (level != ABSENT)
            bends &= (found.north == ABSENT) | (found.south == ABSENT)
            bends &= (found.west == ABSENT) | (found.east == ABSENT)
            at = np.flatnonzero(bends)
            x, upright_straight = _straight_leg(across, upright[at], rise)
            y, level_straight = _straight_leg(down, level[at], run)
            square = upright_straight & level_straight
            at = at[square]
            sharp[at] = True
            across_shift[upright[at]] = x[square]
            down_shift[level[at]] = y[square]
    return sharp, across_shift, down_shift


def _placed(
    found: Corners,
    across_shift: NDArray[np.float64],
    down_shift: NDArray[np.float64],
    sharp: NDArray[np.bool_],
) -> NDArray[np.float64]:
    """Offset of each vertex from its corner: the mean of the crossings it joins. [px]"""
    total = np.zeros((found.vertices, 2))
    count = np.zeros(found.vertices, np.int8)
    square = np.zeros((found.vertices, 2))
    split = found.second != ABSENT
    falling = split & (found.joined == found.nw)
    for second, table, shift, axis, fixed in (
        (None, found.north, across_shift, 0, -0.5),
        (split, found.south, across_shift, 0, 0.5),
        (falling, found.west, down_shift, 1, -0.5),
        (split & ~falling, found.east, down_shift, 1, 0.5),
    ):
        there = np.flatnonzero(table != ABSENT)
        vertex = there if second is None else np.where(second[there], found.second[there], there)
        value = shift[table[there]]
        total[vertex, axis] += value
        total[vertex, 1 - axis] += fixed
        square[vertex, axis] += value
        count[vertex] += 1
    total /= count[:, None]
    exact = np.flatnonzero(sharp | found.framed)
    total[exact] = square[exact]
    return np.clip(total, -WITHIN, WITHIN, out=total)


def vertices(
    found: Corners,
    edges: Edges,
    ends: tuple[SideEnds, SideEnds],
    *,
    apart: NDArray[np.float64] | None,
) -> tuple[NDArray[np.float64], Tips]:
    """Outline vertices, shape (v, 2), columns x and y, y down, and the sharp turns. [px]

    Parameters
    ----------
    found : Corners
        Corners of the framed picture.
    edges : Edges
        Where paints meet in the whole picture.
    ends : tuple of SideEnds
        Ends of the sides across and down.
    apart : ndarray of float, shape (k, k), or None
        Difference in brightness of each two paints of a lossy picture, whose edges shiver. [-]
    """
    sharp, across_shift, down_shift = _sharpened(found, edges)
    offset = _placed(found, across_shift, down_shift, sharp)
    rows, columns = np.divmod(found.place, edges.stride)
    corner = np.stack([columns, rows], axis=1).astype(np.float64)
    split = np.flatnonzero(found.second != ABSENT)
    corner = np.concatenate([corner, corner[split]])
    tables = (found.north, found.south, found.west, found.east)
    degree = sum((table != ABSENT).astype(np.int8) for table in tables)
    hard = np.ones(len(found.place), bool)
    for table, side in zip(tables, 2 * (edges.across,) + 2 * (edges.down,), strict=True):
        there = np.flatnonzero(table != ABSENT)
        hard[there] &= side.hard[table[there]]
    on_chain = np.ones(len(corner), bool)
    on_chain[: len(degree)] = ((degree == 2) | (found.second != ABSENT)) & ~found.framed
    chains = Chains.joined(np.flatnonzero(on_chain), len(corner), ends)
    steps = on_chain[: len(degree)] & (degree == 2) & hard & ~sharp
    place = smoothed(corner + offset, corner, chains, np.flatnonzero(steps))
    mixed = on_chain[: len(degree)] & (degree == 2) & ~hard & ~sharp
    moving = np.flatnonzero(mixed)
    turning, seen = moving, place
    if apart is not None:
        every = np.flatnonzero(on_chain[: len(degree)] & (degree == 2) & ~sharp)
        around = np.stack([found.nw[every], found.ne[every], found.sw[every], found.se[every]])
        faint = every[apart[around.min(axis=0), around.max(axis=0)] < FAINT]
        place = calmed(place, corner, chains, every, faint)
        turning = np.flatnonzero(on_chain[: len(degree)] & (degree == 2))
    turn = turns(place, chains, turning)
    place = rounded(place, corner, chains, moving, turn)
    barred = np.zeros(len(corner), bool)
    barred[split] = barred[len(degree) :] = True
    if apart is None:
        seen = place
        barred[: len(degree)] |= sharp
    return pointed(
        place, seen, turn, corner, chains, turning,
        barred=barred, occupied=found.place, stride=edges.stride, lossy=apart is not None,
    )  # fmt: skip
