"""The wall in plan: bends and curves, and the place in space of every point of the wall."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.foundation import Floats, readonly
from giornata.core.survey.arcs import Arc
from giornata.core.survey.observations import Bend
from giornata.core.survey.wall import DevelopedWall

__all__ = ["PlanLine", "facing_at", "plan_line", "space_from_wall", "wall_from_space"]

_ON_LINE = 1e-9  # m


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlanLine:
    """The foot of the wall in plan, stretch by stretch.

    Parameters
    ----------
    points : ndarray, shape (k + 1, 3)
        Chainage, east, north of the ends of each stretch. [m]
    facing : ndarray, shape (k,)
        Direction the face looks where each stretch begins, from true north by east. [rad]
    curvature : ndarray, shape (k,)
        Turn of each stretch for each metre: 0 straight, above 0 concave. [rad/m]
    """

    points: Floats
    facing: Floats
    curvature: Floats


def plan_line(
    length: float, bends: Iterable[Bend], facing: float, arcs: Iterable[Arc] = ()
) -> PlanLine:
    """Straight and curved stretches of the wall in plan, from the datum on. [m], [rad]

    Parameters
    ----------
    length : float
        Of the wall, along its face; above 0. [m]
    bends : iterable of Bend
        Inside the wall, in order, no two at one chainage. [m], [rad]
    facing : float
        Direction the painted face looks at chainage 0, from true north by east. [rad]
    arcs : iterable of Arc
        On the wall, in order, none over another. [m]

    Raises
    ------
    ValueError
        If a bend is not inside the wall, an arc not on it, or they are out of order.

    Notes
    -----
    The origin is the datum. Facing the wall one looks along ``facing`` + 180°, so the wall runs
    to the right along ``facing`` - 90°; a bend above 0 turns it towards the viewer.
    """
    bends, arcs = tuple(bends), tuple(arcs)
    at_bends = [0.0, *(bend.at for bend in bends), length]
    ends = [0.0, *(at for arc in arcs for at in (arc.start, arc.end)), length]
    if any(not b > a for a, b in itertools.pairwise(at_bends)):
        raise ValueError("bends lie inside the wall, in order")
    if any(not b >= a for a, b in itertools.pairwise(ends)):
        raise ValueError("arcs lie on the wall, in order")
    chainages = np.unique([*at_bends, *ends])
    middles = (chainages[:-1] + chainages[1:]) / 2
    steps = np.diff(chainages)
    curvature = np.zeros(len(steps))
    for arc in arcs:
        curvature[(middles > arc.start) & (middles < arc.end)] = arc.curvature
    turn_at = dict.fromkeys(chainages.tolist(), 0.0) | {bend.at: bend.angle for bend in bends}
    turns = np.array([turn_at[at] for at in chainages[:-1].tolist()])
    before = np.concatenate([[0.0], np.cumsum(curvature * steps)[:-1]])
    facings = facing + np.cumsum(turns) + before
    east, north = _run(facings, curvature, steps)
    points = np.column_stack(
        [
            chainages,
            np.concatenate([[0.0], np.cumsum(east)]),
            np.concatenate([[0.0], np.cumsum(north)]),
        ]
    )
    return PlanLine(
        points=readonly(points), facing=readonly(facings), curvature=readonly(curvature)
    )


def _run(facing: Floats, curvature: Floats, along: Floats) -> tuple[Floats, Floats]:
    """East and north from the start of a stretch to a place along it.

    The chord of an arc: its length is that of the arc times sin x / x of half its turn, and it
    runs as the wall does in the middle of the arc.
    """
    half = curvature * along / 2
    chord = along * np.sinc(half / math.pi)
    heading = facing + half - math.pi / 2
    return chord * np.sin(heading), chord * np.cos(heading)


def facing_at(wall: DevelopedWall, chainage: float) -> float:
    """Direction the painted face looks at a chainage, from true north by east. [rad]

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall.
    chainage : float
        At a bend the stretch after it counts; beyond an end the wall runs on straight. [m]
    """
    return float(_facings(wall, np.asarray(chainage, dtype=np.float64)))


def _facings(wall: DevelopedWall, chainage: Floats) -> Floats:
    index = _stretch(wall, chainage)
    along = np.clip(chainage, 0.0, wall.length) - wall.plan[index, 0]
    found: Floats = wall.facing[index] + wall.curvature[index] * along
    return found


def space_from_wall(
    wall: DevelopedWall, chainage: ArrayLike, level: ArrayLike, offset: ArrayLike = 0.0
) -> Floats:
    """Place on site of points of the unrolled wall: east, north, up; shape (..., 3). [m]

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall.
    chainage, level : array_like
        In the wall frame; beyond an end the wall is carried on straight. [m]
    offset : array_like
        Distance before the wall's face, towards the viewer. [m]

    Notes
    -----
    At a bend the stretch after it counts. Points with an offset are squared off their own
    stretch: within reach of a bend, or beyond the centre of a hollow curve, two chainages may
    give one place, or none.
    """
    c, z, o = np.broadcast_arrays(
        np.asarray(chainage, dtype=np.float64),
        np.asarray(level, dtype=np.float64),
        np.asarray(offset, dtype=np.float64),
    )
    index = _stretch(wall, c)
    on_wall = np.clip(c, 0.0, wall.length)
    east, north = _run(wall.facing[index], wall.curvature[index], on_wall - wall.plan[index, 0])
    facing = _facings(wall, c)
    beyond = c - on_wall
    east = wall.plan[index, 1] + east - beyond * np.cos(facing) + o * np.sin(facing)
    north = wall.plan[index, 2] + north + beyond * np.sin(facing) + o * np.cos(facing)
    return np.stack([east, north, z], axis=-1)


def wall_from_space(wall: DevelopedWall, space: ArrayLike) -> Floats:
    """Chainage, level and offset of places on site; shape (..., 3). [m]

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall.
    space : array_like, shape (..., 3)
        East, north, up from the datum. [m]

    Notes
    -----
    Each place is squared off the nearest stretch of the wall. A place from which no stretch can
    be squared off, off an end or in the wedge behind a bend, has no chainage: its chainage and
    offset are not a number (nan).
    """
    places = np.asarray(space, dtype=np.float64)
    east, north = places[..., 0], places[..., 1]
    found = np.stack([np.full(east.shape, np.nan), places[..., 2], np.full(east.shape, np.nan)], -1)
    nearest = np.full(east.shape, np.inf)
    for k, (facing, curvature) in enumerate(zip(wall.facing, wall.curvature, strict=True)):
        (start, e0, n0), end = wall.plan[k], wall.plan[k + 1, 0]
        along, offset = _squared_off(
            east - e0, north - n0, float(facing), float(curvature), end - start
        )
        nearer = (
            (along >= -_ON_LINE)
            & (along <= end - start + _ON_LINE)
            & (np.abs(offset) < nearest - _ON_LINE)
        )
        nearest = np.where(nearer, np.abs(offset), nearest)
        found[..., 0] = np.where(nearer, np.clip(start + along, start, end), found[..., 0])
        found[..., 2] = np.where(nearer, offset, found[..., 2])
    return found


def _squared_off(
    east: Floats, north: Floats, facing: float, curvature: float, length: float
) -> tuple[Floats, Floats]:
    """Distance along a stretch, and before it, of places seen from where the stretch begins."""
    if curvature == 0.0:
        return (
            -east * math.cos(facing) + north * math.sin(facing),
            east * math.sin(facing) + north * math.cos(facing),
        )
    radius = 1.0 / curvature  # of a hollow curve the centre is on the viewer's side
    from_east = east - radius * math.sin(facing)
    from_north = north - radius * math.cos(facing)
    side = -math.copysign(1.0, radius)
    looks = np.arctan2(side * from_east, side * from_north)
    middle = facing + curvature * length / 2
    turned = np.remainder(looks - middle + math.pi, math.tau) - math.pi + middle - facing
    return turned / curvature, radius + side * np.hypot(from_east, from_north)


def _stretch(wall: DevelopedWall, chainage: Floats) -> np.typing.NDArray[np.intp]:
    found = np.searchsorted(wall.plan[:, 0], chainage, side="right") - 1
    return np.asarray(np.clip(found, 0, len(wall.facing) - 1), dtype=np.intp)
