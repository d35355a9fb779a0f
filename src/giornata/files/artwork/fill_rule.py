"""Rings to the polygon they fill, by the nonzero or the even-odd rule.

A single simple ring is the polygon. Else the rings are noded against one another, the faces of
that arrangement are found, each face gets its winding number from one point inside it, and the
faces that the rule fills are joined. Groups of rings that do not touch are worked out apart.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.foundation import Floats

__all__ = ["filled", "polygonal"]

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


def _faces(lines: list[shapely.Geometry]) -> NDArray[Any]:
    noded = shapely.union_all(lines)
    faces, cuts, dangles, invalid = shapely.polygonize_full([noded])
    if not (cuts.is_empty and dangles.is_empty and invalid.is_empty):
        # Rings have no loose ends: a loose end means two crossings were told apart that are one.
        bounds = np.asarray(shapely.bounds(noded))
        grid = float(np.abs(bounds).max()) * 1e-12
        noded = shapely.union_all(lines, grid_size=grid)
        faces = shapely.polygonize([noded])
    return np.asarray(shapely.get_parts(faces))


def _arranged(rings: list[Floats], even_odd: bool) -> shapely.Geometry:
    faces = _faces([shapely.LineString(ring) for ring in rings])
    if len(faces) == 0:
        return shapely.Polygon()
    inside = shapely.get_coordinates(shapely.point_on_surface(faces))
    winding = _winding(inside, rings)
    kept = faces[(winding % 2 != 0) if even_odd else (winding != 0)]
    return shapely.coverage_union_all(kept) if len(kept) else shapely.Polygon()


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
