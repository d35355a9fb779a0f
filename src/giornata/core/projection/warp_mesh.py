"""From the planned picture to the squared one: one matrix where that is exact, else a mesh."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Floats, affine_applied, readonly
from giornata.core.projection.poses import PoseMap
from giornata.core.projection.setups import SetUp, frame_from_wall
from giornata.core.projection.wall_maps import ProjectiveMap, WallMap

__all__ = ["MESH_ERROR", "WarpMesh", "bend_of", "px_from_wall_matrix", "warp_mesh"]

MESH_ERROR = 0.05
"""Most that a mesh is off between its nodes. [px]"""

_FIRST, _MOST = 16, 256  # cells across


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WarpMesh:
    """Nodes of the planned picture and where the squared one has them; straight between.

    Parameters
    ----------
    planned : ndarray, shape (r, c, 2)
        Places of the planned picture, row by row. [px]
    squared : ndarray, shape (r, c, 2)
        The same places of the wall in the squared picture. [px]
    error : float
        Found in the middle of the cells at most. [px]
    """

    planned: Floats
    squared: Floats
    error: float


def bend_of(on_wall: WallMap) -> float | None:
    """Chainage at which a map has a fold, so that a line across it breaks; None for none. [m]

    Parameters
    ----------
    on_wall : WallMap
    """
    if isinstance(on_wall, ProjectiveMap):
        return on_wall.hinge
    if isinstance(on_wall, PoseMap) and on_wall.fold:
        return on_wall.origin
    return None


def px_from_wall_matrix(on_wall: WallMap) -> Floats | None:
    """The map as one matrix ``(3, 3)``; None where it is none: folds, curves, bent lenses.

    Parameters
    ----------
    on_wall : WallMap

    Notes
    -----
    Pixels count from the outer corner of the first one, so that its centre lies at 0.5, as style
    sheets have it. Where centres lie at whole numbers, as in OpenCV, half a pixel goes off.
    """
    if isinstance(on_wall, ProjectiveMap) and on_wall.hinge is None:
        x, y = on_wall.middle.tolist()
        inward = np.array([[1.0, 0.0, -x], [0.0, 1.0, -y], [0.0, 0.0, on_wall.spread]])
        u, v = on_wall.centre.tolist()
        outward = np.array([[on_wall.half, 0.0, u], [0.0, on_wall.half, v], [0.0, 0.0, 1.0]])
        made = outward @ on_wall.matrix @ inward
    elif isinstance(on_wall, PoseMap) and not (on_wall.bend or on_wall.curvature or on_wall.fold):
        u, v = on_wall.centre.tolist()
        lens = np.array([[on_wall.focal, 0.0, u], [0.0, on_wall.focal, v], [0.0, 0.0, 1.0]])
        x, y, z = on_wall.lens.tolist()
        made = lens @ on_wall.axes @ np.array([[1.0, 0.0, -x], [0.0, 1.0, -y], [0.0, 0.0, -z]])
    else:
        return None
    return readonly(made / made[2, 2])


def warp_mesh(set_up: SetUp, on_wall: WallMap) -> WarpMesh:
    """A mesh so fine that it is off by no more than a twentieth of a pixel.

    Parameters
    ----------
    set_up : SetUp
        Of the planned picture.
    on_wall : WallMap
        By which the squared one is drawn.

    Raises
    ------
    ValueError
        If no mesh of 256 cells is fine enough: the map is not that of a picture.
    """
    frame = frame_from_wall(set_up)
    back = readonly(np.linalg.inv(frame))
    cells = _FIRST
    while cells <= _MOST:
        across, down = _nodes(set_up, on_wall, frame, cells)
        planned = np.stack(np.meshgrid(across, down), axis=-1)
        squared = _squared(planned, back, on_wall)
        middle = (planned[1:, 1:] + planned[:-1, :-1]) / 2
        straight = (squared[1:, 1:] + squared[:-1, :-1] + squared[1:, :-1] + squared[:-1, 1:]) / 4
        error = float(np.abs(_squared(middle, back, on_wall) - straight).max())
        if error <= MESH_ERROR:
            return WarpMesh(planned=readonly(planned), squared=readonly(squared), error=error)
        cells *= 2
    raise ValueError("the map is too bent for a picture")


def _nodes(set_up: SetUp, on_wall: WallMap, frame: Floats, cells: int) -> tuple[Floats, Floats]:
    """Where the mesh has its columns and rows; a fold of the wall is one of them. [px]"""
    across = np.linspace(0.0, set_up.columns, cells + 1)
    down = np.linspace(0.0, set_up.rows, max(2, cells * set_up.rows // set_up.columns) + 1)
    hinge = bend_of(on_wall)
    if hinge is None:
        return across, down
    ((x, y),) = affine_applied(frame, [(hinge, set_up.foot)]).tolist()
    if abs(frame[0, 0]) > abs(frame[1, 0]):
        return (np.union1d(across, x) if 0 < x < set_up.columns else across), down
    return across, (np.union1d(down, y) if 0 < y < set_up.rows else down)


def _squared(planned: Floats, back: Floats, on_wall: WallMap) -> Floats:
    places = affine_applied(back, planned.reshape(-1, 2))
    return np.asarray(on_wall.px_from_wall(places).reshape(planned.shape), np.float64)
