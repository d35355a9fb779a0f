"""Projector frames as PNG, at the projector's own pixels."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import shapely
import skia

from giornata.core.documents import (
    LETTER,
    MARK_ARM,
    FrameKind,
    ProjectorFrame,
    upright_from_wall,
)
from giornata.core.foundation import Floats, RenderError, affine_applied, readonly
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.projection import Orientation, SetUp, frame_from_wall
from giornata.files.region_pixels import (
    Pixels,
    RegionPaths,
    canvas_on,
    draw_regions,
    opaque,
    png,
    points,
    region_path,
    within,
)

__all__ = [
    "LINE_PX", "RIM_PX", "ZONES", "contrast_check_png", "frame_pixels", "frame_png",
    "text_px", "written_on",
]  # fmt: skip

LINE_PX = 2.0
"""Width of a line between two paints. [px]"""

RIM_PX = 2.0
"""Width of the line along the wall's outline and openings, inside the wall. [px]"""

ZONES = 4
"""Zones of the contrast check along each side. [-]"""

_FONT = Path(__file__).resolve().parent / "fonts" / "IBMPlexSans-Bold.ttf"
_WHITE, _RIM, _BLACK = 0xFFFFFFFF, 0xFF707070, 0xFF000000


def frame_png(frame: ProjectorFrame, regions: RegionPaths, net: Any) -> bytes:
    """A frame as PNG; equal frames are equal bytes.

    Parameters
    ----------
    regions : RegionPaths
        The artwork on the wall by paint number; made once for all frames. [m]
    net : shapely.Polygon or shapely.MultiPolygon
        The wall less its openings; nothing is drawn beyond it. [m]
    """
    return png(_drawn(frame, regions, net))


def contrast_check_png(columns: int, rows: int) -> bytes:
    """A checkerboard of black and white zones for reading the contrast on the wall, as PNG.

    Parameters
    ----------
    columns, rows : int
        The projector's own pixels. [px]

    Notes
    -----
    Sixteen zones, the upper left one white, after ANSI/INFOCOMM 3M-2011 as described on public
    pages; what is read in them goes to `projection.contrast_of_zones`.
    """
    down, along = (np.arange(n) * ZONES // n for n in (rows, columns))
    white = (down[:, None] + along[None, :]) % 2 == 0
    grey = np.where(white, np.uint8(255), np.uint8(0))
    return png(np.repeat(grey[:, :, None], 3, axis=2))


def frame_pixels(frame: ProjectorFrame, regions: RegionPaths, net: Any) -> Pixels:
    """A frame's pixels, shape (rows, columns, 3): red, green, blue.

    Parameters
    ----------
    regions, net
        As for `frame_png`.
    """
    return opaque(_drawn(frame, regions, net))


def _drawn(frame: ProjectorFrame, regions: RegionPaths, net: Any) -> Pixels:
    """A frame's pixels as those of a canvas."""
    one = frame.set_up
    turned = one.orientation is Orientation.ON_SIDE
    wide, high = (one.rows, one.columns) if turned else (one.columns, one.rows)
    pixels = np.zeros((high, wide, 4), dtype=np.uint8)
    canvas = canvas_on(pixels)
    upright = upright_from_wall(one)
    if frame.kind is FrameKind.OUTLINE:
        canvas.clear(_BLACK)
        _draw_lines(canvas, frame, regions.coverage, net, upright)
    else:
        draw_regions(pixels, regions, frame.colours, upright, _window(one))
    _draw_marks(canvas, frame)
    return np.ascontiguousarray(np.rot90(pixels)) if turned else pixels


def _draw_lines(
    canvas: Any, frame: ProjectorFrame, coverage: Coverage, net: Any, upright: Floats
) -> None:
    canvas.save()
    canvas.clipPath(region_path(net, upright), skia.ClipOp.kIntersect, True)
    between = (coverage.left != OUTSIDE) & (coverage.right != OUTSIDE)
    # Half of a line along the rim lies beyond the wall and is cut away.
    for chosen, colour, width in ((~between, _RIM, 2 * RIM_PX), (between, _WHITE, LINE_PX)):
        edges = coverage.edges[chosen]
        path = skia.Path()
        for index in within(edges, _window(frame.set_up)):
            xy = affine_applied(upright, shapely.get_coordinates(edges[index]))
            closed = bool((xy[0] == xy[-1]).all())
            path.addPoly(points(xy[:-1] if closed else xy), closed)
        stroke = skia.Paint(
            AntiAlias=True, Color=colour, Style=skia.Paint.kStroke_Style, StrokeWidth=width,
            StrokeJoin=skia.Paint.kRound_Join, StrokeCap=skia.Paint.kRound_Cap,
        )  # fmt: skip
        canvas.drawPath(path, stroke)
    canvas.restore()


def _draw_marks(canvas: Any, frame: ProjectorFrame) -> None:
    """Crosses with their names, and the set-up's number; light with a dark rim on any ground."""
    arm = max(MARK_ARM.value / frame.set_up.pitch, 12.0)
    size = max(LETTER.value / frame.set_up.pitch, 14.0)
    one = frame.set_up
    upright = readonly(upright_from_wall(one) @ np.linalg.inv(frame_from_wall(one)))
    room = one.width / one.pitch
    for mark in frame.marks:
        ((x, y),) = affine_applied(upright, [(mark.x_px, mark.y_px)])
        width, gap = text_px(mark.name, size), 0.4 * arm
        beside = x + gap if x + gap + width < room else x - gap - width
        written_on(canvas, mark.name, beside, y - gap, size)
        for colour, half, more in ((_BLACK, 4.0, 3.0), (_WHITE, 1.0, 0.0)):
            fill = skia.Paint(AntiAlias=True, Color=colour)
            reach = arm + more
            # Rectangles are covered to 1/256 of a pixel, lines only to a quarter.
            canvas.drawRect(skia.Rect.MakeLTRB(x - reach, y - half, x + reach, y + half), fill)
            canvas.drawRect(skia.Rect.MakeLTRB(x - half, y - reach, x + half, y + reach), fill)
    written_on(canvas, frame.label, *frame.label_at, size)


def text_px(text: str, size: float) -> float:
    """Width of words written at a size. [px]"""
    return float(_font(size).measureText(text))


def written_on(canvas: Any, text: str, x: float, y: float, size: float) -> None:
    """Write light letters with a dark rim, from their lower left corner. [px]"""
    font = _font(size)
    rim = skia.Paint(
        AntiAlias=True, Color=_BLACK, Style=skia.Paint.kStroke_Style, StrokeWidth=size / 4,
        StrokeJoin=skia.Paint.kRound_Join,
    )  # fmt: skip
    canvas.drawString(text, x, y, font, rim)
    canvas.drawString(text, x, y, font, skia.Paint(AntiAlias=True, Color=_WHITE))


@cache
def _typeface() -> Any:
    # An empty manager: asking the default one would read the machine's own fonts.
    typeface = skia.FontMgr.New_Custom_Empty().makeFromFile(str(_FONT), 0)
    if typeface is None:
        raise RenderError(f"{_FONT.name}: the font is missing.", remedy="Install giornata again.")
    return typeface


def _font(size: float) -> Any:
    font = skia.Font(_typeface(), size)
    font.setEdging(skia.Font.Edging.kAntiAlias)
    font.setSubpixel(True)
    font.setHinting(skia.FontHinting.kNone)
    return font


def _window(set_up: SetUp) -> tuple[float, float, float, float]:
    return set_up.start, set_up.foot, set_up.end, set_up.head
