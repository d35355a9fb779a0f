"""Opening: the part of an area that a disc of given radius reaches without crossing its rim."""

from __future__ import annotations

import numpy as np
import shapely

from giornata.core.geometry.coverage import Geometries

__all__ = ["opened"]

_QUARTER_SEGMENTS = 32  # 0.012 % of a 200 mm square's area lost at r = 60 mm


def opened(faces: Geometries, radius: float) -> Geometries:
    """Part of each face that a disc reaches while it lies wholly inside the face.

    Parameters
    ----------
    faces : ndarray of shapely.Polygon, shape (n,)
        Valid.
    radius : float
        Of the disc; above 0. [unit of the coordinates]

    Raises
    ------
    ValueError
        If the radius is not above 0.

    References
    ----------
    J. Serra, Image Analysis and Mathematical Morphology, 1982, chapter II: opening is erosion
    followed by dilation with one structuring element.

    Examples
    --------
    >>> import numpy as np, shapely
    >>> square = np.array([shapely.box(0, 0, 2, 2)])
    >>> round(float(shapely.area(opened(square, 0.5))[0]), 3)   # 4 - (4 - π) × 0.5²
    3.785
    """
    if not radius > 0:
        raise ValueError("the disc's radius is above 0")
    result = np.full(len(faces), shapely.Polygon(), dtype=object)
    if not len(faces):
        return result
    eroded = shapely.buffer(faces, -radius, quad_segs=_QUARTER_SEGMENTS)
    left = ~shapely.is_empty(eroded)
    result[left] = shapely.buffer(eroded[left], radius, quad_segs=_QUARTER_SEGMENTS)
    return result
