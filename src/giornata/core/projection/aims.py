"""Aiming: rows of images up the wall, lens shift, and the tilt where the shift does not reach."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.foundation import Floats
from giornata.core.projection.projector import Orientation, Projector
from giornata.core.projection.throw import SLACK
from giornata.core.projection.tilt import side_shift_left

__all__ = ["aim", "image_feet", "resting_side", "rows_of", "side_beside"]


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
    foot: ArrayLike,
    head: ArrayLike,
    height: float,
    rows: ArrayLike,
    row: int,
    lens: ArrayLike,
    *,
    centred: bool = False,
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
        Level at which the image's middle would lie by itself: the lens's, but for its offset. [m]
    centred : bool
        Whether one row alone leaves as much room above the wall as below it.

    Notes
    -----
    One row alone is set so that it needs least shift, unless it is centred; more are spaced evenly.
    """
    low, high = np.asarray(foot, dtype=float), np.asarray(head, dtype=float)
    if centred:
        lens = (low + high) / 2
    alone = np.minimum(np.maximum(lens, high - height / 2), low + height / 2) - height / 2
    step = (high - low - height) / np.maximum(np.asarray(rows) - 1, 1)
    return np.asarray(np.where(np.asarray(rows) == 1, alone, low + (row - 1) * step))


def aim(
    reach: tuple[float, float],
    distance: float,
    height: float,
    lens: ArrayLike,
    image_foot: ArrayLike,
    wall_foot: ArrayLike,
    wall_head: ArrayLike,
    *,
    centred: bool = False,
) -> tuple[Floats, Floats]:
    """Lens shift, and the least tilt where the shift alone does not reach. [-], [rad]

    Parameters
    ----------
    reach : (float, float)
        Least and greatest lens shift, of the image's upright size. [-]
    distance : float
        Lens to wall; above 0. [m]
    height : float
        Of the image; above 0. [m]
    lens, image_foot : array_like
        Levels of the lens and of the image's lower edge. [m]
    wall_foot, wall_head : array_like
        Levels between which the image has wall to light. [m]
    centred : bool
        Whether a tilt leaves as much room above the wall as below it, instead of being the least.

    Notes
    -----
    Where no tilt reaches both edges the middle misses both alike.
    """
    eye = np.asarray(lens, dtype=np.float64)
    foot, head = np.asarray(wall_foot, dtype=np.float64), np.asarray(wall_head, dtype=np.float64)
    wanted = (np.asarray(image_foot, dtype=np.float64) + height / 2 - eye) / height
    shift = np.clip(wanted, *reach)
    slope = height / distance
    low, high = np.arctan((shift - 0.5) * slope), np.arctan((shift + 0.5) * slope)
    least = np.arctan((head - eye) / distance) - high
    greatest = np.arctan((foot - eye) / distance) - low
    tilt = np.where(
        (least <= greatest) & (not centred),
        np.minimum(np.maximum(0.0, least), greatest),
        (least + greatest) / 2,
    )
    enough = (wanted >= reach[0] - SLACK) & (wanted <= reach[1] + SLACK)
    return np.where(enough, wanted, shift), np.where(enough, 0.0, tilt)


def resting_side(projector: Projector, orientation: Orientation) -> float:
    """Where the image's centre lies to the side if it is brought as near to the lens as it may. [-]

    Parameters
    ----------
    projector : Projector
        For its offset and shifts.
    orientation : Orientation
        How it lies.
    """
    left, right = projector.level_shift(orientation)
    return min(max(0.0, left), right)


def side_beside(projector: Projector, orientation: Orientation, up: float, side: float) -> float:
    """Shift to the side that is left beside a shift up, of the image's width. [-]

    Parameters
    ----------
    projector : Projector
        For its offset, its shifts and their limits.
    orientation : Orientation
        How it lies.
    up : float
        Shift in use, of the image's upright size, within its range. [-]
    side : float
        Shift to the side that is wanted, within its range. [-]
    """
    if orientation is Orientation.ON_SIDE:
        # On its side the two change places: what is wanted along the wall is the lens's own up.
        own_up = min(abs(side - projector.offset), projector.shift_up)
        left = side_shift_left(
            own_up, projector.shift_up, projector.shift_side, projector.shift_limits
        )
        if abs(up) <= left + SLACK or projector.shift_up == 0:
            return side
        return resting_side(projector, orientation)
    own_up = min(abs(up - projector.offset), projector.shift_up)
    left = side_shift_left(own_up, projector.shift_up, projector.shift_side, projector.shift_limits)
    return min(max(side, -left), left)
