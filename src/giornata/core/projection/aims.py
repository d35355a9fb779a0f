"""Aiming: rows of images up the wall, lens shift, and the tilt where the shift does not reach."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.foundation import Floats
from giornata.core.projection.projector import Orientation, Projector
from giornata.core.projection.throw import SLACK

__all__ = ["aim", "image_feet", "rows_of", "upright_shift"]


def upright_shift(projector: Projector, orientation: Orientation) -> float:
    """How far the lens shifts upright as the projector lies, of the image's upright size. [-]

    Parameters
    ----------
    projector : Projector
        For its lens shift.
    orientation : Orientation
        How it lies.
    """
    return projector.shift_up if orientation is Orientation.LEVEL else projector.shift_side


def rows_of(tall: ArrayLike, height: float, overlap: float) -> Floats:
    """Rows of images of one height that cover so tall a stretch of wall. [-]

    Parameters
    ----------
    tall : array_like
        Height to cover; 0 or more. [m]
    height : float
        Of an image; above 0. [m]
    overlap : float
        Least overlap of the rows; below the height. [m]

    Raises
    ------
    ValueError
        If the overlap is not below the height.
    """
    if not 0 <= overlap < height:
        raise ValueError("the overlap is 0 or more and below the image's height")
    more = np.ceil((np.asarray(tall) - height) / (height - overlap) - SLACK)
    return np.maximum(more, 0.0) + 1.0


def image_feet(
    foot: ArrayLike, head: ArrayLike, height: float, rows: ArrayLike, row: int, lens: ArrayLike
) -> Floats:
    """Level of the lower edge of the images in one row. [m]

    Parameters
    ----------
    foot, head : array_like
        Levels between which the images cover the wall. [m]
    height : float
        Of an image. [m]
    rows : array_like
        Rows there are. [-]
    row : int
        Which, from 1 at the foot. [-]
    lens : array_like
        Level of the lens. [m]

    Notes
    -----
    One row alone is set so that it needs least shift; more are spaced evenly.
    """
    low, high = np.asarray(foot, dtype=float), np.asarray(head, dtype=float)
    alone = np.minimum(np.maximum(lens, high - height / 2), low + height / 2) - height / 2
    step = (high - low - height) / np.maximum(np.asarray(rows) - 1, 1)
    return np.asarray(np.where(np.asarray(rows) == 1, alone, low + (row - 1) * step))


def aim(
    most: float,
    distance: float,
    height: float,
    lens: ArrayLike,
    image_foot: ArrayLike,
    wall_foot: ArrayLike,
    wall_head: ArrayLike,
) -> tuple[Floats, Floats]:
    """Lens shift, and the least tilt where the shift alone does not reach. [-], [rad]

    Parameters
    ----------
    most : float
        Greatest lens shift, of the image's upright size; 0 or more. [-]
    distance : float
        Lens to wall; above 0. [m]
    height : float
        Of the image; above 0. [m]
    lens, image_foot : array_like
        Levels of the lens and of the image's lower edge. [m]
    wall_foot, wall_head : array_like
        Levels between which the image has wall to light. [m]

    Notes
    -----
    Where no tilt reaches both edges the middle misses both alike.
    """
    eye = np.asarray(lens, dtype=np.float64)
    foot, head = np.asarray(wall_foot, dtype=np.float64), np.asarray(wall_head, dtype=np.float64)
    wanted = (np.asarray(image_foot, dtype=np.float64) + height / 2 - eye) / height
    shift = np.clip(wanted, -most, most)
    slope = height / distance
    low, high = np.arctan((shift - 0.5) * slope), np.arctan((shift + 0.5) * slope)
    least = np.arctan((head - eye) / distance) - high
    greatest = np.arctan((foot - eye) / distance) - low
    tilt = np.where(
        least <= greatest,
        np.minimum(np.maximum(0.0, least), greatest),
        (least + greatest) / 2,
    )
    enough = np.abs(wanted) <= most + SLACK
    return np.where(enough, wanted, shift), np.where(enough, 0.0, tilt)
