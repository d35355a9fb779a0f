"""Outlines of the flat regions of a picture: polygons that tile it and share their edges."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.artwork.raster_corners import corners
from giornata.core.artwork.raster_mixture import Mixture
from giornata.core.artwork.raster_rings import rings
from giornata.core.artwork.raster_sides import framed, sides
from giornata.core.artwork.raster_vertices import vertices

__all__ = ["Outlines", "outlines"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outlines:
    """Connected regions of one paint each, tiling the picture.

    Parameters
    ----------
    regions : ndarray of shapely.Polygon, shape (n,)
        Valid; neighbours share their vertices; pixels, y down. [px]
    paint : ndarray of uint8, shape (n,)
        Paint of each region. [-]
    """

    regions: NDArray[Any]
    paint: NDArray[np.uint8]


def outlines(mix: Mixture, *, tolerance: float = 0.25) -> Outlines:
    """Outlines of all regions of a mixture.

    Parameters
    ----------
    mix : Mixture
        Paints and shares of every pixel.
    tolerance : float
        Square root of the smallest triangle of an outline that is kept; 0 keeps every vertex.
        0 or more. [px]

    Raises
    ------
    ValueError
        If the tolerance is negative.
    """
    if not tolerance >= 0:
        raise ValueError(f"tolerance {tolerance} is negative")
    picture = framed(mix)
    across, down = sides(picture, across=True), sides(picture, across=False)
    found, *ends = corners(picture, across, down, mix.areas)
    on_sides = (ends[0], ends[1])
    points = vertices(found, across, down, on_sides, picture)
    loops = rings(found, across, down, on_sides, picture)
    count = len(loops.start) - 1
    closed = np.insert(loops.vertex, loops.start[1:], loops.vertex[loops.start[:-1]])
    regions = shapely.from_ragged_array(
        shapely.GeometryType.POLYGON,
        points[closed],
        (loops.start + np.arange(count + 1), loops.region_start),
    )
    if tolerance > 0:
        regions = shapely.coverage_simplify(regions, tolerance)
    return Outlines(regions=regions, paint=loops.paint)
