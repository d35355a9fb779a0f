"""Tilt and lens shift: what reaches from the foot to the top of a wall, and how square.

Angles are from the horizontal, upwards above 0. The wall is upright and square in plan.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

__all__ = ["TiltedImage", "keystone", "side_shift_left", "square_level", "tilt_to_cover"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TiltedImage:
    """How a projector without lens shift is tilted to cover a wall from foot to top.

    Parameters
    ----------
    tilt : float
        Optical axis above the horizontal. [rad]
    half_angle : float
        Half the angle between the rays to the foot and to the top. [rad]
    keystone : float
        Width of the top row over width of the bottom row. [-]
    """

    tilt: float
    half_angle: float
    keystone: float


def keystone(tilt: float, half_angle: float) -> float:
    """Width of the image's top row over that of its bottom row. [-]

    Parameters
    ----------
    tilt : float
        Optical axis above the horizontal. [rad]
    half_angle : float
        Half the upright angle of the image; tilt and half angle together below pi/2. [rad]

    Raises
    ------
    ValueError
        If a ray of the image does not meet the wall.

    Notes
    -----
    cos(tilt - half angle) / cos(tilt + half angle): both rows lie equally far off the axis, so
    their widths go as the lengths of their rays to the wall.

    Examples
    --------
    >>> round(keystone(math.radians(13.7), math.radians(21.83)), 2)
    1.22
    """
    if not (abs(tilt) + abs(half_angle) < math.pi / 2 and half_angle >= 0):
        raise ValueError("the image's rays must meet the wall")
    return math.cos(tilt - half_angle) / math.cos(tilt + half_angle)


def tilt_to_cover(lens: float, foot: float, top: float, distance: float) -> TiltedImage:
    """Tilt that halves the angle between the rays to the foot and to the top of a wall.

    Parameters
    ----------
    lens : float
        Level of the lens. [m]
    foot, top : float
        Levels between which the image must lie; foot below top. [m]
    distance : float
        Lens to wall; above 0. [m]

    Raises
    ------
    ValueError
        If the levels do not ascend or the distance is not above 0.

    Examples
    --------
    >>> image = tilt_to_cover(1.0, 0.0, 6.0, 7.0)
    >>> round(math.degrees(image.tilt), 1), round(image.keystone, 3)
    (13.7, 1.217)
    """
    if not foot < top:
        raise ValueError("the foot lies below the top")
    if not distance > 0:
        raise ValueError("distance is above 0")
    down, up = math.atan2(foot - lens, distance), math.atan2(top - lens, distance)
    tilt, half = (up + down) / 2, (up - down) / 2
    return TiltedImage(tilt=tilt, half_angle=half, keystone=keystone(tilt, half))


def square_level(foot: float, top: float) -> float:
    """Lens level at which an image from foot to top is square without lens shift. [m]

    Parameters
    ----------
    foot, top : float
        Levels of the image's lower and upper edge. [m]
    """
    return (foot + top) / 2


def side_shift_left(
    up: float,
    shift_up: float,
    shift_side: float,
    table: Sequence[tuple[float, float]] = (),
) -> float:
    """Side shift that is left while the lens is shifted up or down. [-]

    Parameters
    ----------
    up : float
        Shift in use, of image height, up above 0; its size at most ``shift_up``. [-]
    shift_up, shift_side : float
        Greatest shifts of the sheet, of image height and of image width; 0 or more. [-]
    table : sequence of (up, side)
        The manual's own pairs in ascending order of up, from 0; straight lines between. [-]

    Raises
    ------
    ValueError
        If the lens does not shift that far.

    Notes
    -----
    Shift ranges limit each other. Where the manual prints no table the straight line from
    (0, shift_side) to (shift_up, 0) is used: a range that bulges outwards holds more than that,
    never less.

    Examples
    --------
    >>> round(side_shift_left(0.25, 0.5, 0.32), 2)
    0.16
    """
    size = abs(up)
    if size > shift_up + 1e-12:
        raise ValueError(f"the lens shifts by at most {shift_up:g} of the image height")
    pairs = tuple(table) or ((0.0, shift_side), (shift_up, 0.0))
    if shift_up == 0 and not table:
        return shift_side
    heights, sides = zip(*pairs, strict=True)
    return float(np.interp(size, heights, sides))
