"""Rings to the polygon they fill, by the nonzero or the even-odd rule.

A single simple ring is the polygon. Else the rings are noded against one another, the faces of
that arrangement are found, each face gets its winding number from one point inside it, and the
faces that the rule fills are joined. The sum of winding times area is checked. Groups of rings
that do not touch are worked out apart.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.foundation import Floats

__all__ = ["filled", "polygonal"]

_AMISS = 1.0e-7  # area that may go astray, over the bounds of the rings
_GRID = 1.0e-11  # step of the grid, over the largest coordinate
_MOST_PAIRS = 8_000_000  # rays times edges looked at in one go; bounds the memory


def polygonal(geometry: shapely.Geometry, least_area: float) -> shapely.Geometry | None:
    """The polygons of a geometry without crumbs, or None where nothing is left.

    Parameters
    ----------
    geometry : shapely.Geometry
        Any kind; points and lines in it are dropped.
    least_area : float
        Polygons up to this area are dropped; 0 or above. [square units]
    """
    if isinstance(geometry, shapely.Polygon):
        return geometry if geometry.area > least_area else None
    parts = shapely.get_parts(geometry, return_index=False)
    while any(isinstance(part, shapely.GeometryCollection) for part in parts):
        parts = shapely.get_parts(parts)
    kinds = shapely.get_type_id(parts)
    if (kinds == shapely.GeometryType.MULTIPOLYGON).any():
        parts = shapely.get_parts(parts)
        kinds = shapely.get_type_id(parts)
    kept = parts[(kinds == shapely.GeometryType.POLYGON) & (shapely.area(parts) > least_area)]
    if len(kept) == 0:
        return None
    return kept[0] if len(kept) == 1 else shapely.MultiPolygon(list(kept))


def _closed(ring: Floats) -> Floats | None:
    """The ring with repeated points dropped and its first point at its end, or None."""
    if not np.isfinite(ring).all():
        return None
    moved = np.ones(len(ring), dtype=bool)
    moved[1:] = (ring[1:] != ring[:-1]).any(axis=1)
    ring = ring[moved]
    if len(ring) and (ring[0] != ring[-1]).any():
        ring = np.vstack((ring, ring[:1]))
    return ring if len(ring) >= 4 else None


def _clusters(polygons: NDArray[Any]) -> list[NDArray[np.intp]]:
    """Indices of the rings, those whose bounds touch (directly or by way of others) together."""
    boxes = shapely.box(*shapely.bounds(polygons).T)
    left, right = shapely.STRtree(boxes).query(boxes)
    parent = np.arange(len(polygons))
    for i, j in zip(left, right, strict=True):
        if i < j:
            while parent[i] != i:
                parent[i] = parent[parent[i]]
                i = parent[i]
            while parent[j] != j:
                parent[j] = parent[parent[j]]
                j = parent[j]
            parent[max(i, j)] = min(i, j)
    roots = np.array([_root(parent, i) for i in range(len(parent))])
    order = np.argsort(roots, kind="stable")
    cuts = np.flatnonzero(np.diff(roots[order])) + 1
    return list(np.split(order, cuts))


def _root(parent: NDArray[np.intp], index: int) -> int:
    while parent[index] != index:
        index = int(parent[index])
    return index


def _winding(points: Floats, rings: list[Floats]) -> NDArray[np.intp]:
    """Winding number of the rings about each point."""
    starts = np.vstack([ring[:-1] for ring in rings])
    ends = np.vstack([ring[1:] for ring in rings])
    slanted = starts[:, 1] != ends[:, 1]
    starts, ends = starts[slanted], ends[slanted]
    low, high = np.minimum(starts, ends), np.maximum(starts, ends)
    tree = shapely.STRtree(shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))
    reach = high[:, 0].max()
    winding = np.zeros(len(points), dtype=np.intp)
    at_once = max(1, _MOST_PAIRS // len(starts))
    for first in range(0, len(points), at_once):
        x, y = points[first : first + at_once].T
        ray, edge = tree.query(shapely.box(x, y, np.maximum(x, reach), y))
        crossing = (y[ray] >= low[edge, 1]) & (y[ray] < high[edge, 1])
        ray, edge = ray[crossing], edge[crossing]
        rise = ends[edge, 1] - starts[edge, 1]
        share = (y[ray] - starts[edge, 1]) / rise
        beyond = starts[edge, 0] + share * (ends[edge, 0] - starts[edge, 0]) > x[ray]
        sign = np.where(rise > 0.0, 1.0, -1.0)
        sums = np.bincount(ray[beyond], weights=sign[beyond], minlength=len(x))
        winding[first : first + at_once] = sums.round().astype(np.intp)
    return winding


def _signed_area(ring: Floats) -> float:
    x, y = (ring - ring[0]).T
    return float((x[:-1] * y[1:] - x[1:] * y[:-1]).sum() / 2.0)


def _faces_and_winding(
    rings: list[Floats], grid: float | None
) -> tuple[NDArray[Any], NDArray[np.intp], float]:
    """Faces of the arrangement, their winding numbers, and the area by which these are amiss.

    Every point adds its winding number to the signed area of the rings, so the faces' areas
    times their winding numbers must sum to it.
    """
    noded = shapely.union_all([shapely.LineString(ring) for ring in rings], grid_size=grid)
    faces = np.asarray(shapely.get_parts(shapely.polygonize([noded])))
    if len(faces) == 0:
        return faces, np.empty(0, dtype=np.intp), abs(sum(map(_signed_area, rings)))
    winding = _winding(shapely.get_coordinates(shapely.point_on_surface(faces)), rings)
    summed = float((winding * shapely.area(faces)).sum())
    return faces, winding, abs(summed - sum(map(_signed_area, rings)))


def _arranged(rings: list[Floats], even_odd: bool) -> shapely.Geometry:
    x0, y0 = np.min([ring.min(axis=0) for ring in rings], axis=0)
    x1, y1 = np.max([ring.max(axis=0) for ring in rings], axis=0)
    allowed = _AMISS * (x1 - x0) * (y1 - y0)
    faces, winding, amiss = _faces_and_winding(rings, None)
    if amiss > allowed:
        # Two crossings were told apart that are one: node again on a grid.
        grid = _GRID * max(abs(x0), abs(x1), abs(y0), abs(y1))
        on_grid = _faces_and_winding(rings, grid)
        if on_grid[2] < amiss:
            faces, winding, _ = on_grid
    kept = faces[(winding % 2 != 0) if even_odd else (winding != 0)]
    return _joined(kept) if len(kept) else shapely.Polygon()


def _joined(faces: NDArray[Any]) -> shapely.Geometry:
    """Union of faces side by side; of those that overlap by a rounding, the slower union."""
    try:
        return shapely.coverage_union_all(faces)
    except shapely.GEOSException:
        return shapely.union_all(faces)


def filled(
    rings: list[Floats], *, even_odd: bool, least_area: float = 0.0
) -> shapely.Geometry | None:
    """Polygon that the rings fill, valid, or None where they fill nothing.

    Parameters
    ----------
    rings : list of ndarray, shape (n, 2)
        Corners of each ring; the last is joined to the first.
    even_odd : bool
        True for the even-odd rule, False for nonzero.
    least_area : float
        Pieces up to this area are dropped; 0 or above. [square units]
    """
    closed = [ring for ring in map(_closed, rings) if ring is not None]
    if not closed:
        return None
    polygons = np.array([shapely.Polygon(ring) for ring in closed], dtype=object)
    simple = shapely.is_valid(polygons)
    if len(closed) == 1 and simple[0]:
        return polygonal(polygons[0], least_area)
    pieces: list[shapely.Geometry] = []
    for cluster in _clusters(polygons):
        if len(cluster) == 1 and simple[cluster[0]]:
            pieces.append(polygons[cluster[0]])
        else:
            pieces.append(_arranged([closed[i] for i in cluster], even_odd))
    if len(pieces) == 1:
        return polygonal(pieces[0], least_area)
    # The clusters do not touch, so their pieces may stand side by side.
    parts = shapely.get_parts(pieces)
    return polygonal(shapely.MultiPolygon([p for p in parts if not p.is_empty]), least_area)
