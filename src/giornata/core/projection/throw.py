"""Throw: distance, throw ratio and the size of the image on a wall square to the lens.

Distances run from the outermost lens element to the wall (ISO/IEC 21118:2020, after
IEC 61947-1, as quoted on a maker's page); measured from the projector's feet they come out
short by the length of the machine.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Finding, Floats, Severity, readonly
from giornata.core.projection.projector import Orientation, Projector

__all__ = [
    "ImageSize", "image_size", "image_width", "pixel_pitch", "set_up_centres", "set_up_count",
    "throw_distance", "throw_finding", "throw_ratio",
]  # fmt: skip

SLACK = 1e-9  # rounding of binary fractions, in metres or as a share; far below any reading


@dataclass(frozen=True, slots=True, kw_only=True)
class ImageSize:
    """The lit rectangle on the wall.

    Parameters
    ----------
    width, height : float
        Along the wall and upright, however the projector lies; above 0. [m]
    pitch : float
        Side of one pixel on the wall; above 0. [m]
    columns, rows : int
        Pixels along the wall and upright. [-]
    """

    width: float
    height: float
    pitch: float
    columns: int
    rows: int

    @property
    def area(self) -> float:
        """Lit area. [m²]"""
        return self.width * self.height


def image_width(distance: float, ratio: float) -> float:
    """Width of the image, along the projector's own columns. [m]

    Parameters
    ----------
    distance : float
        Lens to wall along the optical axis; above 0. [m]
    ratio : float
        Throw ratio; above 0. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Examples
    --------
    >>> round(image_width(7.0, 1.4), 3)
    5.0
    """
    return _above_0(distance, "distance") / _above_0(ratio, "throw ratio")


def throw_distance(width: float, ratio: float) -> float:
    """Distance from lens to wall for an image of a given width. [m]

    Parameters
    ----------
    width : float
        Width of the image along the projector's own columns; above 0. [m]
    ratio : float
        Throw ratio; above 0. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    return _above_0(width, "image width") * _above_0(ratio, "throw ratio")


def throw_ratio(distance: float, width: float) -> float:
    """Throw distance over image width. [-]

    Parameters
    ----------
    distance : float
        Lens to wall along the optical axis; above 0. [m]
    width : float
        Width of the image along the projector's own columns; above 0. [m]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    return _above_0(distance, "distance") / _above_0(width, "image width")


def pixel_pitch(distance: float, ratio: float, columns: int) -> float:
    """Side of one projected pixel on a wall square to the lens. [m]

    Parameters
    ----------
    distance : float
        Lens to wall along the optical axis; above 0. [m]
    ratio : float
        Throw ratio; above 0. [-]
    columns : int
        Native pixel columns; at least 1. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Examples
    --------
    >>> round(1000 * pixel_pitch(7.0, 1.4, 1920), 2)   # mm
    2.6
    """
    return image_width(distance, ratio) / _above_0(columns, "pixel columns")


def image_size(
    projector: Projector, distance: float, ratio: float, orientation: Orientation
) -> ImageSize:
    """Image on a wall square to the lens.

    Parameters
    ----------
    projector : Projector
        For its native pixels; they are taken as square.
    distance : float
        Lens to wall along the optical axis; above 0. [m]
    ratio : float
        Throw ratio, always of the projector's own columns; above 0. [-]
    orientation : Orientation
        Level, or on its side: columns and rows change places on the wall.

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    pitch = pixel_pitch(distance, ratio, projector.columns)
    across, upright = projector.columns, projector.rows
    if orientation is Orientation.ON_SIDE:
        across, upright = upright, across
    return ImageSize(
        width=across * pitch, height=upright * pitch, pitch=pitch, columns=across, rows=upright
    )


def throw_finding(projector: Projector, distance: float, width: float) -> Finding | None:
    """What stands in the way of an image of a given width, or None where the zoom reaches it.

    Parameters
    ----------
    projector : Projector
        For its range of throw ratios.
    distance : float
        Lens to wall; above 0. [m]
    width : float
        Width wanted along the projector's own columns; above 0. [m]
    """
    ratio = throw_ratio(distance, width)
    low, high = projector.throw_min, projector.throw_max
    if low - SLACK <= ratio <= high + SLACK:
        return None
    nearest, farthest = throw_distance(width, low), throw_distance(width, high)
    where = f"between {nearest:.2f} and {farthest:.2f} m" if high > low else f"at {nearest:.2f} m"
    return Finding(
        code="projection.no_throw",
        severity=Severity.STOP,
        subject=projector.name,
        message=(
            f"An image {width:.2f} m wide from {distance:.2f} m needs a throw ratio of "
            f"{ratio:.2f}; the projector has {low:g} to {high:g}."
        ),
        remedy=f"Stand {where} from the wall, measured from the lens, or hire another lens.",
    )


def set_up_count(length: float, width: float, overlap: float) -> int:
    """Fewest images of one width that cover a length with a least overlap. [-]

    Parameters
    ----------
    length : float
        Length to cover; above 0. [m]
    width : float
        Image width; above the overlap. [m]
    overlap : float
        Least overlap of neighbours; 0 or more. [m]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    ceil((length - width) / (width - overlap)) + 1, and 1 where one image is enough.

    Examples
    --------
    >>> set_up_count(61.2, 5.0, 0.5)
    14
    """
    _above_0(length, "length")
    if not 0 <= overlap < width:
        raise ValueError("the overlap is 0 or more and below the image width")
    return max(0, math.ceil((length - width) / (width - overlap) - SLACK)) + 1


def set_up_centres(length: float, width: float, count: int) -> Floats:
    """Centres of equally spaced images from end to end of a length, shape ``(count,)``. [m]

    Parameters
    ----------
    length : float
        Length to cover, from 0; above 0. [m]
    width : float
        Image width; above 0. [m]
    count : int
        Number of images; at least 1, and enough to cover the length. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    The first image starts and the last ends at the ends of the length; one image alone is
    centred. Neighbours overlap by width - (length - width) / (count - 1).

    Examples
    --------
    >>> [round(float(x), 3) for x in set_up_centres(61.2, 5.0, 14)[:2]]
    [2.5, 6.823]
    """
    _above_0(length, "length")
    _above_0(width, "image width")
    if count < 1 or count * width < length - SLACK:
        raise ValueError("the images do not cover the length")
    if count == 1:
        return readonly([length / 2])
    return readonly(width / 2 + np.arange(count) * (length - width) / (count - 1))


def _above_0(value: float, name: str) -> float:
    if not 0 < value < math.inf:
        raise ValueError(f"{name} is above 0 and finite")
    return value
