"""The placed artwork at the fineness of paper: regions and edges cut to windows of the wall."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from giornata.core.artwork import Colourway, Paint
from giornata.core.documents.drawing import Area, Item, Line, Pen
from giornata.core.documents.wall_view import WallView
from giornata.core.foundation import Assumption, Floats
from giornata.core.geometry import OUTSIDE, Coverage, Geometries, Labels

__all__ = ["PaperRegions", "colour_table", "pale", "paper_regions", "region_items"]

FINENESS = Assumption(
    name="detail left out on paper",
    value=0.02,
    unit="mm",
    source="house default, no source: a sixth of the thinnest line",
    usual=(0.01, 0.05),
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PaperRegions:
    """Regions and edges of the artwork on the wall, simplified for a scale.

    Parameters
    ----------
    faces : ndarray of shapely.Polygon
        Wall frame. [m]
    paints : ndarray of int
        Paint number of each. [-]
    edges : ndarray of shapely.LineString
        Between unlike paints, each once; wall frame. [m]
    face_tree, edge_tree : shapely.STRtree
    """

    faces: Geometries
    paints: Labels
    edges: Geometries
    face_tree: Any
    edge_tree: Any

    def parts(self, view: WallView) -> tuple[Geometries, Labels]:
        """Connected parts of the regions inside a window, and their paint numbers. [m]"""
        window = view.window
        near = np.sort(self.face_tree.query(window, predicate="intersects"))
        faces = self.faces[near].copy()
        crossing = ~shapely.contains_properly(window, faces)
        faces[crossing] = shapely.intersection(faces[crossing], window)
        parts, of = shapely.get_parts(faces, return_index=True)
        solid = shapely.get_dimensions(parts) == 2
        solid[solid] = shapely.area(parts[solid]) > 0
        inside: Geometries = parts[solid]
        return inside, self.paints[near][of][solid]

    def lines(self, view: WallView) -> Geometries:
        """Edges between paints inside a window. [m]"""
        window = view.window
        near = np.sort(self.edge_tree.query(window, predicate="intersects"))
        cut = shapely.intersection(self.edges[near], window)
        parts = shapely.get_parts(cut)
        lines: Geometries = parts[shapely.get_type_id(parts) == shapely.GeometryType.LINESTRING]
        return lines


def paper_regions(coverage: Coverage, mm_per_metre: float) -> PaperRegions:
    """The artwork on the wall simplified to what paper shows at a scale.

    Parameters
    ----------
    mm_per_metre : float
        Millimetres of paper for one metre of wall; above 0. [mm/m]
    """
    fine = FINENESS.value / mm_per_metre
    faces = shapely.simplify(coverage.faces, fine)
    kept = (shapely.area(faces) > 0) & shapely.is_valid(faces)
    faces[~kept] = coverage.faces[~kept]
    between = (coverage.left != OUTSIDE) & (coverage.right != OUTSIDE)
    edges = shapely.simplify(coverage.edges[between], fine)
    return PaperRegions(
        faces=faces,
        paints=coverage.labels,
        edges=edges,
        face_tree=shapely.STRtree(faces),
        edge_tree=shapely.STRtree(edges),
    )


def region_items(
    regions: PaperRegions, view: WallView, fills: Mapping[int, str], pen: Pen
) -> tuple[Item, ...]:
    """Fills of the regions in a window, and over them each edge once.

    Parameters
    ----------
    fills : mapping of int to str
        Colour of each paint number, ``#rrggbb``; a paint left out is not filled.
    """
    parts, numbers = regions.parts(view)
    rings, part = shapely.get_rings(parts, return_index=True)
    rings_of: list[list[Floats]] = [[] for _ in parts]
    for at, ring in zip(part.tolist(), _on_sheet(rings, view), strict=True):
        rings_of[at].append(ring[:-1])
    filled: list[Item] = [
        Area(rings=tuple(own), fill=fills[number])
        for own, number in zip(rings_of, numbers.tolist(), strict=True)
        if number in fills
    ]
    drawn = [Line(points=line, pen=pen) for line in _on_sheet(regions.lines(view), view)]
    return (*filled, *drawn)


def _on_sheet(lines: Geometries, view: WallView) -> list[Floats]:
    """Points of each line on the sheet, all lines moved at once. [mm]"""
    xy, line = shapely.get_coordinates(lines, return_index=True)
    begins = np.searchsorted(line, np.arange(len(lines)))
    return np.split(view.on_sheet(xy), begins[1:]) if len(lines) else []


def pale(colour: str, share: float) -> str:
    """A colour thinned with white, as ``#rrggbb``.

    Parameters
    ----------
    colour : str
        ``#rrggbb``.
    share : float
        Of the colour; 0 to 1. [-]

    Examples
    --------
    >>> pale("#000000", 0.25)
    '#bfbfbf'
    """
    parts = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return "#" + "".join(f"{round(255 - share * (255 - part)):02x}" for part in parts)


def colour_table(paints: tuple[Paint, ...], colourway: Colourway, share: float) -> dict[int, str]:
    """Thinned colour of each paint number in a colourway.

    Parameters
    ----------
    share : float
        Of the colour; 0 to 1. [-]
    """
    return {paint.number: pale(colourway.colours[paint.key], share) for paint in paints}
