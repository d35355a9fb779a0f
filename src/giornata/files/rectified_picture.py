"""The rectified picture as PNG: a stretch of wall to scale, with its bar and what it is worth."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import skia

from giornata.core.foundation import Floats, RenderError
from giornata.core.photography import Stretch
from giornata.files.region_pixels import Pixels, canvas_on, png

__all__ = ["bar_length", "rectified_png"]

_FONT = Path(__file__).resolve().parent / "fonts" / "IBMPlexSans-Regular.ttf"
_PAPER, _INK, _NOT_SEEN = 0xFFFFFFFF, 0xFF161616, 0xFFB4B4B4
_BAR_SHARE = 0.3  # of the picture's width, at most


def bar_length(width: float) -> float:
    """Length of a scale bar for a stretch: 1, 2 or 5 times a power of ten. [m]

    Examples
    --------
    >>> bar_length(8.0), bar_length(2.5)
    (2.0, 0.5)
    """
    most = width * _BAR_SHARE
    power = 10.0 ** math.floor(math.log10(most))
    return max(step * power for step in (1.0, 2.0, 5.0) if step * power <= most * (1 + 1e-9))


def rectified_png(
    picture: Pixels, shown: Any, stretch: Stretch, scale: float, hull: Floats, lines: Sequence[str]
) -> bytes:
    """A rectified picture with a foot that says its scale and its errors.

    Parameters
    ----------
    picture : ndarray of uint8, shape (rows, columns, 3)
        As rectified; the upper left pixels of the file are these, unscaled.
    shown : ndarray of bool, shape (rows, columns)
        Where the photo reaches; the rest is left grey.
    stretch : Stretch
        Of the wall.
    scale : float
        [px/m]
    hull : ndarray, shape (m, 2)
        Corners of the known points' hull, drawn as a thin line. [m]
    lines : sequence of str
        Said beside the bar.
    """
    rows, columns = picture.shape[:2]
    size = min(max(columns / 90, 11.0), 40.0)
    font = skia.Font(_typeface(), size)
    said = [part for line in lines for part in _broken(line, font, columns - 2 * size)]
    foot = math.ceil(size * (3.4 + 1.4 * len(said)))
    pixels = np.full((rows + foot, columns, 4), 255, np.uint8)
    pixels[:rows, :, :3] = np.where(shown[:, :, None], picture[:, :, ::-1], _NOT_SEEN & 0xFF)
    canvas = canvas_on(pixels)
    _draw_hull(canvas, stretch, scale, hull, rows)
    _draw_bar(canvas, stretch, scale, rows, size, font)
    ink = skia.Paint(AntiAlias=True, Color=_INK)
    for number, line in enumerate(said):
        canvas.drawString(line, size, rows + size * (3.6 + 1.4 * number), font, ink)
    return png(pixels)


def _draw_hull(canvas: Any, stretch: Stretch, scale: float, hull: Floats, rows: int) -> None:
    """A dashed line round the known points, dark under light so that it shows on any wall."""
    path = skia.Path()
    corners = [
        skia.Point(float((at - stretch.start) * scale), float((stretch.head - level) * scale))
        for at, level in hull
    ]
    path.addPoly(corners, True)
    canvas.save()
    canvas.clipRect(skia.Rect.MakeLTRB(0, 0, 1e6, rows))
    for colour, phase in ((_INK, 0.0), (_PAPER, 8.0)):
        paint = skia.Paint(
            AntiAlias=True, Color=colour, Style=skia.Paint.kStroke_Style, StrokeWidth=1.5
        )
        paint.setPathEffect(skia.DashPathEffect.Make([8.0, 8.0], phase))
        canvas.drawPath(path, paint)
    canvas.restore()


def _draw_bar(
    canvas: Any, stretch: Stretch, scale: float, rows: int, size: float, font: Any
) -> None:  # fmt: skip
    length = bar_length(stretch.end - stretch.start)
    top, high, half = rows + 0.6 * size, 0.5 * size, length * scale / 2
    ink = skia.Paint(Color=_INK)
    canvas.drawRect(skia.Rect.MakeXYWH(size, top, 2 * half, high), ink)
    inner = skia.Rect.MakeXYWH(size + half, top + 0.2 * high, half - 0.2 * high, 0.6 * high)
    canvas.drawRect(inner, skia.Paint(Color=_PAPER))
    text = f"{length:g} m" if length >= 1 else f"{1000 * length:.0f} mm"
    canvas.drawString(text, size, top + high + 1.1 * size, font, skia.Paint(AntiAlias=True))


def _broken(line: str, font: Any, width: float) -> list[str]:
    """A line broken between words to fit a width."""
    made: list[str] = []
    for word in line.split():
        longer = f"{made[-1]} {word}" if made else word
        if made and font.measureText(longer) <= width:
            made[-1] = longer
        else:
            made.append(word)
    return made


@cache
def _typeface() -> Any:
    # An empty manager: asking the default one would read the machine's own fonts.
    typeface = skia.FontMgr.New_Custom_Empty().makeFromFile(str(_FONT), 0)
    if typeface is None:
        raise RenderError(f"{_FONT.name}: the font is missing.", remedy="Install giornata again.")
    return typeface
