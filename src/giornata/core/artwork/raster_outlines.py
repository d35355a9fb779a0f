"""Outlines of the flat regions of a picture: polygons that tile it and share their edges."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.artwork.raster_corners import corners
from giornata.core.artwork.raster_rings import rings
from giornata.core.artwork.raster_sides import Edges
from giornata.core.artwork.raster_straight import kept_vertices, stretches
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


def outlines(
    edges: Edges,
    areas: NDArray[np.float64],
    *,
    tolerance: float = 0.25,
    apart: NDArray[np.float64] | None = None,
) -> Outlines:
    """Outlines of all regions of a picture.

    Parameters
    ----------
    edges : Edges
        Where paints meet in it.
    areas : ndarray of float, shape (k,)
        Area of each paint by its shares. [px²]
    tolerance : float
        Greatest distance of a dropped vertex from the outline; 0 keeps every vertex. Areas between
        old and new outline stay under half its square for each line. [px]
    apart : ndarray of float, shape (k, k), or None
        Difference in brightness of each two paints of a lossy picture, whose edges shiver. [-]

    Raises
    ------
    ValueError
        If the tolerance is negative.
    """
    if not tolerance >= 0:
        raise ValueError(f"tolerance {tolerance} is negative")
    found, *ends = corners(edges, areas)
    on_sides = (ends[0], ends[1])
    points, tips = vertices(found, edges, on_sides, apart=apart)
    loops = rings(found, edges, on_sides)
    vertex, start = loops.vertex, loops.start
    region_start, paint = loops.region_start, loops.paint
    if tolerance > 0:
        lines = stretches(loops, found, edges, on_sides, tips)
        del loops, found, ends, on_sides  # much of the memory, in a picture with much edge
        kept = kept_vertices(lines, points, tips, tolerance=tolerance)[vertex]
        start = np.concatenate([[0], np.cumsum(np.add.reduceat(kept.astype(np.int64), start[:-1]))])
        vertex = vertex[kept]
    closed = np.insert(vertex, start[1:], vertex[start[:-1]])
    regions = shapely.from_ragged_array(
        shapely.GeometryType.POLYGON,
        points[closed],
        (start + np.arange(len(start)), region_start),
    )
    return Outlines(regions=regions, paint=paint)
