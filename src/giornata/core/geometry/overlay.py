"""Overlay: many areas laid over one another, cut into faces that each know what covers them."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.adjacency import faces_beside, parts_of, rings_of
from giornata.core.geometry.coverage import Geometries, Labels
from giornata.core.geometry.hiding import Cut, seen_outlines
from giornata.core.geometry.touching import noded

__all__ = ["Overlay", "check_areas", "overlaid", "overlay"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Overlay:
    """Faces cut out by the boundaries of all areas, and the edges between them.

    Parameters
    ----------
    faces : ndarray of shapely.Polygon, shape (n,)
        They tile the areas' union and the gaps it encloses.
    start : ndarray of int, shape (n + 1,)
        ``cover[start[i]:start[i + 1]]`` are the areas over face ``i``. [-]
    cover : ndarray of int
        Indices of areas, rising within a face. [-]
    edges : ndarray of shapely.LineString, shape (m,)
        Each stretch of boundary once, between two nodes.
    left, right : ndarray of int, shape (m,)
        Face on the left and on the right of each edge; OUTSIDE (-1) where there is none. [-]
    """

    faces: Geometries
    start: Labels
    cover: Labels
    edges: Geometries
    left: Labels
    right: Labels

    def __post_init__(self) -> None:
        if len(self.start) != len(self.faces) + 1:
            raise ValueError("each face has one stack of areas")
        if not len(self.edges) == len(self.left) == len(self.right):
            raise ValueError("each edge has two sides")
        for array in (self.faces, self.start, self.cover, self.edges, self.left, self.right):
            array.setflags(write=False)

    def stacks(self) -> list[tuple[int, ...]]:
        """The areas over each face, lowest index first."""
        cover = self.cover.tolist()
        cuts = self.start.tolist()
        return [tuple(cover[a:b]) for a, b in pairwise(cuts)]


def overlay(areas: Geometries) -> Overlay:
    """Faces of the plane cut by the boundaries of all areas, each with the areas over it.

    Parameters
    ----------
    areas : ndarray of shapely.Polygon or shapely.MultiPolygon, shape (n,)
        Valid; they may overlap, touch and repeat in any way.

    Raises
    ------
    ValueError
        If an area is not a valid polygon with finite coordinates.

    Notes
    -----
    All boundaries are noded at once, the noded lines are closed to faces, and one point inside
    each face is looked up among the areas. With n vertices and k crossings this takes time in
    the order of (n + k) log n, whatever the depth of the stacks.

    Examples
    --------
    >>> import numpy as np, shapely
    >>> both = overlay(np.array([shapely.box(0, 0, 2, 1), shapely.box(1, 0, 3, 1)]))
    >>> sorted(both.stacks())
    [(0,), (0, 1), (1,)]
    """
    areas = np.asarray(areas, dtype=object)
    check_areas(areas)
    return overlaid(areas)


def check_areas(areas: Geometries) -> None:
    """Refuse what is no valid polygon or multipolygon.

    Raises
    ------
    ValueError
        If an area is something else, crosses itself, or has a coordinate that is not finite.
    """
    if not np.isin(shapely.get_type_id(areas), (3, 6)).all():
        raise ValueError("an area is a polygon or a multipolygon")
    if not shapely.is_valid(areas).all():
        raise ValueError("an area crosses itself or has a coordinate that is not finite")


def overlaid(
    areas: Geometries,
    ends: tuple[float, ...] = (),
    *,
    opaque: NDArray[np.bool_] | None = None,
    cut: Cut | None = None,
    near: float = 0.0,
) -> Overlay:
    """As `overlay`, of areas already looked at; parts of areas in a bay may run along its line.

    Parameters
    ----------
    areas : ndarray of shapely.Polygon or shapely.MultiPolygon, shape (n,)
        Whether a point lies inside is told by counting crossings.
    ends : tuple of float
        Abscissae of bay lines: what reaches up to one covers the points on it. A face as thin as
        the rounding may have no other points. [unit of the coordinates]
    opaque : ndarray of bool, shape (n,), optional
        Areas that hide what lies below them; the first area's outline is never hidden. Outlines
        are then left out where they are hidden, as far as that is found out soon. Which opaque
        area is the highest, and what lies over it, holds throughout a face; what lies below it,
        at one point.
    cut : Cut, optional
        Where areas are parts of larger ones.
    near : float
        Outlines that come as near to one another as this, and do not meet, are made to; 0 for
        none. [unit of the coordinates]
    """
    lines = rings_of(areas) if opaque is None else seen_outlines(areas, opaque, cut)
    edges = noded(lines, near, ends)
    faces = parts_of(shapely.polygonize(edges))
    left, right = faces_beside(edges, faces)
    start, cover = _covers(areas, faces, ends)
    return Overlay(faces=faces, start=start, cover=cover, edges=edges, left=left, right=right)


def _covers(areas: Geometries, faces: Geometries, ends: tuple[float, ...]) -> tuple[Labels, Labels]:
    """Areas over each face, by one point inside it: row starts and indices of areas."""
    inside = shapely.point_on_surface(faces)
    face, area = shapely.STRtree(areas).query(inside)
    shapely.prepare(areas)
    x, y = shapely.get_x(inside)[face], shapely.get_y(inside)[face]
    hit = shapely.contains_xy(areas[area], x, y)
    on_line = np.flatnonzero(np.isin(x, ends))
    hit[on_line] = shapely.intersects_xy(areas[area[on_line]], x[on_line], y[on_line])
    face, area = face[hit], area[hit]
    order = np.lexsort((area, face))
    start: Labels = np.zeros(len(faces) + 1, dtype=np.intp)
    np.cumsum(np.bincount(face, minlength=len(faces)), out=start[1:])
    return start, area[order].astype(np.intp)
