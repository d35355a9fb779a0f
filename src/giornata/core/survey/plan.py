"""The wall in plan: its bends, and the place in space of every point of the unrolled wall."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.foundation import Floats, readonly
from giornata.core.survey.observations import Bend
from giornata.core.survey.wall import DevelopedWall

__all__ = ["facing_at", "plan_line", "position"]


def plan_line(length: float, bends: Iterable[Bend], facing: float) -> tuple[Floats, Floats]:
    """Chainage, east and north of ends and bends, shape (k + 1, 3) [m]; facings, (k,) [rad].

    Parameters
    ----------
    length : float
        Of the wall; above 0. [m]
    bends : iterable of Bend
        Inside the wall, in order, no two at one chainage. [m], [rad]
    facing : float
        Direction the painted face looks at chainage 0, from true north by east. [rad]

    Raises
    ------
    ValueError
        If a bend is not inside the wall or they are out of order.

    Notes
    -----
    The origin is the datum. Facing the wall one looks along ``facing`` + 180°, so the wall runs
    to the right along ``facing`` - 90°; a bend above 0 turns it towards the viewer.
    """
    bends = tuple(bends)
    chainages = [0.0, *(bend.at for bend in bends), length]
    if any(not b > a for a, b in itertools.pairwise(chainages)):
        raise ValueError("bends lie inside the wall, in order")
    facings = facing + np.concatenate([[0.0], np.cumsum([bend.angle for bend in bends])])
    along = facings - math.pi / 2
    steps = np.diff(chainages)
    east = np.concatenate([[0.0], np.cumsum(steps * np.sin(along))])
    north = np.concatenate([[0.0], np.cumsum(steps * np.cos(along))])
    return readonly(np.column_stack([chainages, east, north])), readonly(facings)


def facing_at(wall: DevelopedWall, chainage: float) -> float:
    """Direction the painted face looks at a chainage, from true north by east. [rad]

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall.
    chainage : float
        At a bend the stretch after it counts; beyond an end the last stretch. [m]
    """
    return float(wall.facing[int(_stretch(wall, np.asarray(chainage, dtype=np.float64)))])


def position(
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
    stretch: within reach of a bend two chainages may give one place, or none.
    """
    c, z, o = np.broadcast_arrays(
        np.asarray(chainage, dtype=np.float64),
        np.asarray(level, dtype=np.float64),
        np.asarray(offset, dtype=np.float64),
    )
    index = _stretch(wall, c)
    facing = wall.facing[index]
    along = c - wall.plan[index, 0]
    east = wall.plan[index, 1] - along * np.cos(facing) + o * np.sin(facing)
    north = wall.plan[index, 2] + along * np.sin(facing) + o * np.cos(facing)
    return np.stack([east, north, z], axis=-1)


def _stretch(wall: DevelopedWall, chainage: Floats) -> np.typing.NDArray[np.intp]:
    found = np.searchsorted(wall.plan[:, 0], chainage, side="right") - 1
    return np.asarray(np.clip(found, 0, len(wall.facing) - 1), dtype=np.intp)
