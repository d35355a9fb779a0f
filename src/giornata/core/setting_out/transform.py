"""From the artwork's frame to the wall's, and back."""

from __future__ import annotations

import math

import numpy as np

from giornata.core.foundation import Floats, placement_matrix, readonly
from giornata.core.setting_out.placement import ArtworkPlacement

__all__ = ["artwork_from_wall", "placed_scale", "wall_from_artwork"]


def placed_scale(placement: ArtworkPlacement, canvas: tuple[float, float]) -> float:
    """Metres of wall to one artwork unit. [m]

    Parameters
    ----------
    canvas : tuple of float
        Width and height in artwork units; above 0. [-]

    Raises
    ------
    ValueError
        If the canvas has no size.

    Examples
    --------
    >>> placed_scale(ArtworkPlacement(width=78.6), (78600.0, 3300.0))
    0.001
    """
    width, height = canvas
    if not (width > 0 and height > 0):
        raise ValueError("the canvas has a width and a height above 0")
    if placement.width is not None:
        return placement.width / width
    if placement.height is not None:
        return placement.height / height
    if placement.scale is None:
        raise ValueError("the size still has to be worked out from points, ties or a stretch")
    return placement.scale


def wall_from_artwork(placement: ArtworkPlacement, canvas: tuple[float, float]) -> Floats:
    """Matrix (3, 3) from artwork coordinates to chainage and level.

    Parameters
    ----------
    canvas : tuple of float
        Width and height in artwork units; above 0. [-]
    """
    upright = placement_matrix(
        placed_scale(placement, canvas),
        placement.at,
        placement.foot,
        canvas[1],
        mirrored_width=canvas[0] if placement.mirrored else 0,
    )
    if not placement.turn:
        return upright
    cosine, sine = math.cos(placement.turn), math.sin(placement.turn)
    about = np.array(
        [
            [cosine, -sine, placement.at - cosine * placement.at + sine * placement.foot],
            [sine, cosine, placement.foot - sine * placement.at - cosine * placement.foot],
            [0.0, 0.0, 1.0],
        ]
    )
    return readonly(about @ upright)


def artwork_from_wall(placement: ArtworkPlacement, canvas: tuple[float, float]) -> Floats:
    """Matrix (3, 3) from chainage and level to artwork coordinates.

    Parameters
    ----------
    canvas : tuple of float
        Width and height in artwork units; above 0. [-]
    """
    return readonly(np.linalg.inv(wall_from_artwork(placement, canvas)))
