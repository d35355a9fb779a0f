"""A picture moved by hand: the whole of it, so far to the right and so far up on the wall."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TypeVar

import numpy as np

from giornata.core.projection.poses import PoseMap
from giornata.core.projection.wall_maps import ProjectiveMap

__all__ = ["moved_by_hand"]

_Map = TypeVar("_Map", ProjectiveMap, PoseMap)


def moved_by_hand(on_wall: _Map, right: float, up: float) -> _Map:
    """The map of a picture that is moved on the wall: what fell on a place falls beside it. [px]

    Parameters
    ----------
    on_wall : ProjectiveMap or PoseMap
        From the wall to the picture.
    right, up : float
        By how much the light moves along the wall and up it. [m]

    Raises
    ------
    ValueError
        If they are not finite.

    Notes
    -----
    A place is drawn where the picture lights the place beside it, so the moved map at (x, y) is
    the map at (x + right, y + up): the same kind of map, its frame on the wall moved the other way.
    Exact on a flat wall, over a fold and on a curve of one radius; the design is moved along the
    developed wall.
    """
    if not (math.isfinite(right) and math.isfinite(up)):
        raise ValueError("a picture is moved by finite lengths")
    if isinstance(on_wall, PoseMap):
        lens = on_wall.lens - np.array([right, up, 0.0])
        return replace(on_wall, lens=lens, origin=on_wall.origin - right)
    hinge = None if on_wall.hinge is None else on_wall.hinge - right
    return replace(on_wall, middle=on_wall.middle - np.array([right, up]), hinge=hinge)
