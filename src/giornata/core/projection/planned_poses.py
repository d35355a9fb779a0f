"""The pose that the plan gives a projector, as a map from the wall to its picture."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from giornata.core.foundation import readonly
from giornata.core.projection.poses import FACING, PoseMap, turned
from giornata.core.projection.projector import Orientation
from giornata.core.projection.setups import SetUp

__all__ = ["planned_pose"]


def planned_pose(
    set_up: SetUp, *, hinge: float | None = None, fold: float = 0.0, curvature: float = 0.0
) -> PoseMap:
    """Where the plan puts a projector and how it lies, before a flat, folded or curved wall.

    Parameters
    ----------
    set_up : SetUp
        Its place; square to the wall at its own chainage but for its tilt and pan.
    hinge : float or None
        Chainage of a bend inside the picture; None for none. [m]
    fold : float
        Turn of the wall at the hinge, towards you above 0. [rad]
    curvature : float
        One over the wall's radius, above 0 where it bulges towards you. [1/m]

    Notes
    -----
    Without tilt and on a flat wall this is `frame_from_wall`. A wall that folds is told in the
    frame of its stretch before the hinge; a projector beyond it is square to the other one.
    """
    turned_on_side = set_up.orientation is Orientation.ON_SIDE
    wide, high = set_up.columns, set_up.rows
    if turned_on_side:
        wide, high = high, wide
    axes = turned(set_up.pan, set_up.tilt, 0.0).T @ FACING
    centre = np.array([(0.5 - set_up.side_shift) * wide, (0.5 + set_up.shift) * high])
    if turned_on_side:
        axes = np.array([axes[1], -axes[0], axes[2]])
        centre = np.array([centre[1], wide - centre[0]])
    lens = np.array([set_up.centre, set_up.lens_level, set_up.distance])
    if hinge is not None and set_up.centre > hinge:
        c, s = math.cos(fold), math.sin(fold)
        # From along, up and out of the stretch beyond the hinge to those of the one before it.
        turn = np.array([[c, 0.0, -s], [0.0, 1.0, 0.0], [s, 0.0, c]])
        at_hinge = np.array([hinge, 0.0, 0.0])
        lens = at_hinge + turn @ (lens - at_hinge)
        axes = axes @ turn.T
    made = PoseMap(
        axes=readonly(axes),
        lens=readonly(lens),
        focal=set_up.throw_ratio * set_up.columns if set_up.pan else set_up.distance / set_up.pitch,
        centre=readonly(centre),
        origin=set_up.centre if hinge is None else hinge,
    )
    return replace(made, fold=fold if hinge is not None else 0.0, curvature=curvature)
