"""The wall itself on a sheet: outline, openings, piers, joints, bends, curves, hedges."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely

from giornata.core.documents.drawing import (
    DARK,
    FAINT,
    FINE,
    MID,
    PAPER,
    Item,
    Line,
    Pen,
    segment,
)
from giornata.core.documents.wall_view import WallView, areas, polygons
from giornata.core.survey import DevelopedWall, level_at

__all__ = ["BEND", "JOINT", "OUTLINE", "feature_items", "hatch", "outline_items", "wall_boundary"]

OUTLINE = Pen(width=0.5)
JOINT = Pen(width=0.25, dash=(2.0, 1.2), colour=DARK)
BEND = Pen(width=0.35, dash=(6.0, 1.2, 0.8, 1.2))
_PIER = Pen(width=0.35, colour=DARK)
_HIDDEN = Pen(width=0.25, dash=(1.2, 0.8))
_INSIDE = 1e-6  # m from an end of the wall
_HATCH = Pen(width=0.13, colour=MID)


def outline_items(wall: DevelopedWall, view: WallView, pen: Pen = OUTLINE) -> tuple[Item, ...]:
    """Openings left white and crossed, and the outline of wall and openings over them."""
    items: list[Item] = []
    for opening in wall.openings:
        items += areas(view, opening.polygon, fill=PAPER)
        for part in polygons(view.cut(opening.polygon)):
            start, foot, end, head = part.bounds
            for first, second in (
                ((start, foot), (end, head)), ((start, head), (end, foot)),
            ):  # fmt: skip
                cross = shapely.intersection(shapely.LineString([first, second]), part)
                items += _lines(view, cross, FAINT)
        items += wall_boundary(opening.polygon, view, FINE)
    return (*items, *wall_boundary(wall.outline, view, pen))


def wall_boundary(geometry: Any, view: WallView, pen: Pen) -> tuple[Line, ...]:
    """The boundary of a geometry inside the window, without the window's own sides."""
    return tuple(_lines(view, view.cut(geometry.boundary), pen))


def feature_items(wall: DevelopedWall, view: WallView) -> tuple[Item, ...]:
    """Piers hatched, joints dashed, bends and ends of curves in chain line, hedges hatched."""
    items: list[Item] = []
    for pier in wall.piers:
        window = shapely.box(pier.start, view.base, pier.end, view.head)
        area = shapely.intersection(wall.net, window)
        items += hatch(area, view, 2.2, rising=False)
        for at in (pier.start, pier.end):
            items += _upright(wall, view, at, _PIER)
    for at in wall.joints:
        items += _upright(wall, view, at, JOINT)
    for at in sorted({*(b.at for b in wall.bends), *_arc_ends(wall)}):
        items += _upright(wall, view, at, BEND, beyond=0.0)
    for band in wall.hidden:
        items += hatch(band.polygon, view, 3.0, rising=True)
        items += wall_boundary(band.polygon, view, _HIDDEN)
    return tuple(items)


def _arc_ends(wall: DevelopedWall) -> Iterator[float]:
    """Where curves begin and end inside the wall. [m]"""
    for at in (at for arc in wall.arcs for at in (arc.start, arc.end)):
        if _INSIDE < at < wall.length - _INSIDE:
            yield at


def hatch(geometry: Any, view: WallView, pitch: float, *, rising: bool) -> tuple[Line, ...]:
    """Lines at 45° over a geometry of the wall.

    Parameters
    ----------
    pitch : float
        Between lines, across them; above 0. [mm]
    rising : bool
        To the right, else falling.
    """
    inside = view.cut(geometry)
    if shapely.is_empty(inside):
        return ()
    start, foot, end, head = shapely.bounds(inside)
    step = pitch * 2**0.5 / view.mm_per_metre
    rise = head - foot
    # On the same lines whatever the window, so that strips go on.
    first = np.floor((start - rise) / step) * step
    lines = []
    for at in np.arange(first, end + rise, step):
        ends = [(at, foot), (at + rise, head)] if rising else [(at, head), (at + rise, foot)]
        lines.append(shapely.LineString(ends))
    return tuple(_lines(view, shapely.intersection(shapely.MultiLineString(lines), inside), _HATCH))


def _upright(
    wall: DevelopedWall, view: WallView, at: float, pen: Pen, *, beyond: float = 0.0
) -> Iterator[Item]:
    """A line from ground to top at a chainage, where it lies in the window."""
    if not view.holds(at):
        return
    foot = max(level_at(wall.ground, at), view.base)
    head = min(max(level_at(wall.top, at), level_at(wall.top, at, before=True)), view.head)
    if head > foot:
        yield segment((view.x(at), view.y(foot) + beyond), (view.x(at), view.y(head) - beyond), pen)


def _lines(view: WallView, geometry: Any, pen: Pen) -> Iterator[Line]:
    merged = shapely.line_merge(geometry) if "Multi" in geometry.geom_type else geometry
    for part in shapely.get_parts(merged):
        if part.geom_type == "LineString" and not part.is_empty:
            yield Line(points=view.on_sheet(shapely.get_coordinates(part)), pen=pen)
        elif part.geom_type in {"MultiLineString", "GeometryCollection"}:
            yield from _lines(view, part, pen)
