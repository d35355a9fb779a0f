"""The six coordinate frames, with their axes and origins.

::

    site        east, north, up [m]; origin at the wall's datum
    wall        chainage left to right as you face it, level up, offset towards you [m];
                origin at the datum: the foot of the datum end on the level line

                      level ^
                            |      ______________________
                            |     |                      |      (you look at it)
                      0 ----+-----+----------------------+---> chainage
                          datum

    artwork     own units, x right, y down; origin at the canvas's top left corner
    projector   px, x right, y down; origin at the outer corner of the first pixel
    photo       px, x right, y down; origin at the outer corner of the first pixel
    sheet       mm, x right, y down; origin at the sheet's top left corner

A transform is named ``wall_from_artwork``: it takes artwork coordinates to wall coordinates.
A coordinate array is named by its frame (``corners_wall``), shape ``(n, 2)``.
Affine transforms are ``(3, 3)`` matrices acting on column vectors ``(x, y, 1)``.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["Floats", "affine_applied", "placement_matrix", "readonly"]

Floats = NDArray[np.float64]


def readonly(values: ArrayLike, *, columns: int | None = None) -> Floats:
    """The values as a read-only array of floats; ``(n, columns)`` where columns is given.

    Parameters
    ----------
    values : array_like
        Finite numbers.
    columns : int or None
        Width the array must have; None for any shape. [-]

    Raises
    ------
    ValueError
        If a value is not finite or the shape does not fit.
    """
    array: NDArray[Any] = np.array(values, dtype=np.float64)
    if columns is not None and array.size == 0:
        array = array.reshape(0, columns)
    if columns is not None and (array.ndim != 2 or array.shape[1] != columns):
        raise ValueError(f"expected shape (n, {columns}), got {array.shape}")
    if not np.isfinite(array).all():
        raise ValueError("a value is not a finite number")
    array.setflags(write=False)
    return array


def affine_applied(matrix: Floats, points: ArrayLike) -> Floats:
    """Points taken through an affine matrix, shape ``(n, 2)``.

    Parameters
    ----------
    matrix : ndarray, shape (3, 3)
        Affine, on column vectors.
    points : array_like, shape (n, 2)
        In the frame the matrix takes from.
    """
    xy = np.asarray(points, dtype=np.float64)
    return xy @ matrix[:2, :2].T + matrix[:2, 2]


def placement_matrix(
    scale: float, chainage: float, level: float, canvas_height: float, *, mirrored_width: float = 0
) -> Floats:
    """``wall_from_artwork``: uniform scale, y turned up, lower left corner put at a wall point.

    Parameters
    ----------
    scale : float
        Metres of wall to one artwork unit; above 0. [m]
    chainage : float
        Chainage of the canvas's left edge. [m]
    level : float
        Level of the canvas's lower edge. [m]
    canvas_height : float
        Height of the canvas in artwork units. [-]
    mirrored_width : float
        Canvas width in artwork units where the artwork is to be mirrored, else 0. [-]

    Raises
    ------
    ValueError
        If the scale is not above 0.
    """
    if not scale > 0:
        raise ValueError("scale must be above 0")
    flip = -1.0 if mirrored_width else 1.0
    return readonly(
        [
            [flip * scale, 0.0, chainage + scale * mirrored_width],
            [0.0, -scale, level + scale * canvas_height],
            [0.0, 0.0, 1.0],
        ]
    )
