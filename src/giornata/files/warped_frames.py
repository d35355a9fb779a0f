"""Frames of a squared set-up: each vertex put through the fitted map, at the native pixels."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np
import skia

from giornata.core.documents import LETTER, MARK_ARM
from giornata.core.foundation import Floats, RenderError, readonly
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.projection import Orientation, SetUp, WallMap, wall_from_px
from giornata.files.frames import LINE_PX, RIM_PX, text_px, written_on
from giornata.files.region_pixels import (
    Pixels,
    Shape,
    canvas_on,
    fill_shapes,
    opaque,
    png,
    points,
    within,
)
from giornata.files.warped_lines import WithinPicture, bent

__all__ = ["WarpedFrame", "warped_pixels", "warped_png"]

_WHITE, _RIM, _BLACK = 0xFFFFFFFF, 0xFF707070, 0xFF000000
_LEAST_ARM = 12.0  # px
_MARGIN = 0.05  # of the picture, kept around it


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WarpedFrame:
    """One picture for a squared set-up.

    Parameters
    ----------
    set_up : SetUp
    on_wall : WallMap
        By which it is drawn.
    colours : mapping of int to str
        Colour of each paint that is filled, by its number, ``#rrggbb``; a paint that is left out
        stays black.
    line_px : float
        Width of the lines between paints; 0 for none. [px]
    crosses : tuple of (str, float, float)
        Marks to be thrown: name, chainage, level. [m]
    label : str
        The words in its corner; "" for none.
    label_at : tuple of float
        Chainage and level of their lower left. [m]
    """

    set_up: SetUp
    on_wall: WallMap
    colours: Mapping[int, str]
    line_px: float = 0.0
    crosses: tuple[tuple[str, float, float], ...] = ()
    label: str = ""
    label_at: tuple[float, float] = (0.0, 0.0)

    def __post_init__(self) -> None:
        object.__setattr__(self, "colours", MappingProxyType(dict(self.colours)))
        if not 0 <= self.line_px < math.inf:
            raise ValueError("a line has a width of 0 or more")


def warped_png(frame: WarpedFrame, coverage: Coverage, net: Any) -> bytes:
    """The picture as PNG; equal frames are equal bytes.

    Parameters
    ----------
    coverage : geometry.Coverage
        The artwork on the wall, by paint number; wall frame. [m]
    net : shapely.Polygon or shapely.MultiPolygon
        The wall less its openings; nothing is drawn beyond it. [m]

    Raises
    ------
    RenderError
        If no light of the picture meets the wall.
    """
    return png(_drawn(frame, coverage, net))


def warped_pixels(frame: WarpedFrame, coverage: Coverage, net: Any) -> Pixels:
    """The picture's pixels, shape (rows, columns, 3): red, green, blue.

    Parameters
    ----------
    coverage, net
        As for `warped_png`.

    Raises
    ------
    RenderError
        If no light of the picture meets the wall.
    """
    return opaque(_drawn(frame, coverage, net))


def _drawn(frame: WarpedFrame, coverage: Coverage, net: Any) -> Pixels:
    """The same as the pixels of a canvas."""
    one = frame.set_up
    turned = one.orientation is Orientation.ON_SIDE
    wide, high = (one.rows, one.columns) if turned else (one.columns, one.rows)
    pixels = np.zeros((high, wide, 4), dtype=np.uint8)
    canvas = canvas_on(pixels)
    window = _window(frame)
    inside = WithinPicture(frame.on_wall, window)
    if frame.colours:
        _fill(pixels, frame, coverage, inside, window)
    if frame.line_px:
        _outline(canvas, frame, coverage, net, inside, window)
    _crosses(canvas, frame)
    if frame.label:
        ((x, y),) = _upright(one, frame.on_wall.px_from_wall(np.array([frame.label_at]))).tolist()
        written_on(canvas, frame.label, x, y, _letter(one))
    return np.ascontiguousarray(np.rot90(pixels)) if turned else pixels


def _window(frame: WarpedFrame) -> tuple[float, float, float, float]:
    """What of the wall the picture shows, and a little more. [m]"""
    one = frame.set_up
    x, y = np.meshgrid(np.linspace(0, one.columns, 9), np.linspace(0, one.rows, 9))
    px = np.column_stack([x.ravel(), y.ravel()])
    near = np.tile([[one.centre, (one.foot + one.head) / 2]], (len(px), 1))
    places = wall_from_px(frame.on_wall, px, near)
    places = places[np.isfinite(places).all(axis=1)]
    if len(places) < len(px):
        raise RenderError(
            f"Set-up {one.number}: some of its squared picture does not meet the wall.",
            remedy="Read its marks again; the projector may be turned far off the wall.",
        )
    (start, foot), (end, head) = places.min(axis=0).tolist(), places.max(axis=0).tolist()
    more = _MARGIN * max(end - start, head - foot)
    return start - more, foot - more, end + more, head + more


def _upright(one: SetUp, px: Floats) -> Floats:
    """Places of the projector's own picture in the upright one. [px]"""
    if one.orientation is Orientation.ON_SIDE:
        return np.column_stack([one.rows - px[:, 1], px[:, 0]])
    return px


def _path(one: SetUp, lines: Sequence[Floats], *, closed: bool) -> Any:
    path = skia.Path()
    path.setFillType(skia.PathFillType.kEvenOdd)
    for line in lines:
        path.addPoly(points(_upright(one, line)), closed)
    return path


def _fill(
    pixels: Pixels, frame: WarpedFrame, coverage: Coverage, inside: WithinPicture,
    window: tuple[float, float, float, float],
) -> None:  # fmt: skip
    shapes = []
    for index in within(coverage.faces, window).tolist():
        paint = int(coverage.labels[index])
        if paint in frame.colours:
            rings = list(inside.rings(coverage.faces[index]))
            shapes.append(Shape(paint, _path(frame.set_up, rings, closed=True)))
    fill_shapes(pixels, shapes, frame.colours)


def _outline(
    canvas: Any, frame: WarpedFrame, coverage: Coverage, net: Any, inside: WithinPicture,
    window: tuple[float, float, float, float],
) -> None:  # fmt: skip
    canvas.save()
    wall = _path(frame.set_up, list(inside.rings(net)), closed=True)
    canvas.clipPath(wall, skia.ClipOp.kIntersect, True)
    between = (coverage.left != OUTSIDE) & (coverage.right != OUTSIDE)
    rim = RIM_PX * frame.line_px / LINE_PX
    # Half of a line along the rim lies beyond the wall and is cut away.
    for chosen, colour, width in ((~between, _RIM, 2 * rim), (between, _WHITE, frame.line_px)):
        stroke = skia.Paint(
            AntiAlias=True, Color=colour, Style=skia.Paint.kStroke_Style, StrokeWidth=width,
            StrokeJoin=skia.Paint.kRound_Join, StrokeCap=skia.Paint.kRound_Cap,
        )  # fmt: skip
        edges = coverage.edges[chosen]
        for index in within(edges, window):
            for line in inside.lines(edges[index]):
                closed = bool((line[0] == line[-1]).all())
                path = _path(frame.set_up, [line[:-1] if closed else line], closed=closed)
                canvas.drawPath(path, stroke)
    canvas.restore()


def _letter(one: SetUp) -> float:
    return max(LETTER.value / one.pitch, 14.0)


def _crosses(canvas: Any, frame: WarpedFrame) -> None:
    """Crosses along the wall's own directions, with their names; light with a dark rim."""
    one = frame.set_up
    arm = max(MARK_ARM.value, _LEAST_ARM * one.pitch)
    room = one.rows if one.orientation is Orientation.ON_SIDE else one.columns
    for name, at, level in frame.crosses:
        arms = [
            bent(frame.on_wall, readonly([(at - x, level - y), (at + x, level + y)]))
            for x, y in ((arm, 0.0), (0.0, arm))
        ]
        ((x, y),) = _upright(one, frame.on_wall.px_from_wall(np.array([(at, level)]))).tolist()
        width, gap = text_px(name, _letter(one)), 0.4 * arm / one.pitch
        beside = x + gap if x + gap + width < room else x - gap - width
        written_on(canvas, name, beside, y - gap, _letter(one))
        for colour, half, more in ((_BLACK, 4.0, 3.0), (_WHITE, 1.0, 0.0)):
            fill = skia.Paint(AntiAlias=True, Color=colour)
            for line in arms:
                path = _path(one, [_bar(line[0], line[-1], half, more)], closed=True)
                canvas.drawPath(path, fill)


def _bar(start: Floats, end: Floats, half: float, more: float) -> Floats:
    """Corners of a bar of light: filled, it is covered to a fraction of a pixel as no line is."""
    along = (end - start) / max(float(np.hypot(*(end - start))), 1e-9)
    aside = np.array([-along[1], along[0]]) * half
    first, last = start - more * along, end + more * along
    return np.array([first + aside, last + aside, last - aside, first - aside])
