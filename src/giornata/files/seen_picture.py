"""What was found in a photo of the pattern, drawn upon it: corners, crosses, misses."""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import skia
from PIL import Image

from giornata.core.boards import Sighting
from giornata.core.foundation import RenderError
from giornata.files.region_pixels import Pixels, canvas_on, opaque

__all__ = ["seen_jpeg"]

_FONT = Path(__file__).resolve().parent / "fonts" / "IBMPlexSans-Bold.ttf"
_LONGEST = 2000  # px
_QUALITY = 85
_PAPER, _INK = 0xFF141414, 0xFFFFFFFF
_SADDLE, _LOST, _FOUND, _MISSED = 0xFF3CC8FF, 0xFF7A7A7A, 0xFF63E06E, 0xFFFFA23C


def seen_jpeg(photo: Pixels, made: Sighting, lines: Sequence[str]) -> bytes:
    """The photo with the pattern's corners, the crosses and what was not found, as JPEG.

    Parameters
    ----------
    photo : ndarray of uint8, shape (rows, columns, 3)
        Upright, the one whose pixels the sighting counts.
    made : Sighting
    lines : sequence of str
        Said at its foot.
    """
    scale = min(_LONGEST / max(photo.shape[:2]), 1.0)
    size = (round(photo.shape[1] * scale), round(photo.shape[0] * scale))
    shown = np.asarray(cv2.resize(photo, size, interpolation=cv2.INTER_AREA), np.uint8)
    letter = max(size[0] / 70, 12.0)
    font = skia.Font(_typeface(), letter)
    foot = round(letter * (1.2 + 1.4 * (len(lines) + 1)))
    pixels = np.full((size[1] + foot, size[0], 4), 255, np.uint8)
    pixels[: size[1], :, :3] = shown[:, :, ::-1]
    pixels[size[1] :, :, :3] = _PAPER & 0xFF
    canvas = canvas_on(pixels)
    canvas.save()
    canvas.clipRect(skia.Rect.MakeWH(*map(float, size)))
    if made.board is not None:
        _corners(canvas, made, scale, max(size[0] / 900, 1.5))
    ring = max(size[0] / 90, 8.0)
    for one in made.found:
        at = (one.cross.photo_x * scale, one.cross.photo_y * scale)
        _ring(canvas, at, ring, one.name, _FOUND, font)
    for miss in made.missed:
        _ring(canvas, (miss.photo_x * scale, miss.photo_y * scale), ring, miss.name, _MISSED, font)
    canvas.restore()
    x, y = letter, size[1] + 1.5 * letter
    for colour, what in (
        (_SADDLE, "corner found"),
        (_LOST, "not found"),
        (_FOUND, "cross or target found"),
        (_MISSED, "neither"),
    ):
        canvas.drawCircle(x, y - 0.3 * letter, 0.3 * letter, _filled(colour))
        canvas.drawString(what, x + 0.6 * letter, y, font, _filled(_INK))
        x += font.measureText(what) + 2 * letter
    for number, line in enumerate(lines):
        canvas.drawString(line, letter, y + 1.4 * letter * (number + 1), font, _filled(_INK))
    sink = io.BytesIO()
    Image.fromarray(opaque(pixels)).save(sink, "JPEG", quality=_QUALITY)
    return sink.getvalue()


def _corners(canvas: Any, made: Sighting, scale: float, radius: float) -> None:
    assert made.board is not None
    seen = made.board.seen
    for x, y in seen.tolist():
        canvas.drawCircle(x * scale, y * scale, radius, _filled(_SADDLE))
    near = 0.3 * max(made.board.side, 1.0)
    for x, y in made.board.expected.tolist():
        if np.abs(seen - (x, y)).max(axis=1).min() > near:
            canvas.drawCircle(x * scale, y * scale, 1.3 * radius, _filled(_LOST))


def _ring(
    canvas: Any, at: tuple[float, float], radius: float, name: str, colour: int, font: Any
) -> None:
    for ink, width in ((_PAPER, 5.0), (colour, 2.5)):
        stroke = skia.Paint(
            AntiAlias=True, Color=ink, Style=skia.Paint.kStroke_Style, StrokeWidth=width
        )
        canvas.drawCircle(*at, radius, stroke)
    rim = skia.Paint(
        AntiAlias=True, Color=_PAPER, Style=skia.Paint.kStroke_Style, StrokeWidth=4.0,
        StrokeJoin=skia.Paint.kRound_Join,
    )  # fmt: skip
    x, y = at[0] + 1.2 * radius, at[1] - 0.8 * radius
    canvas.drawString(name, x, y, font, rim)
    canvas.drawString(name, x, y, font, _filled(colour))


def _filled(colour: int) -> Any:
    return skia.Paint(AntiAlias=True, Color=colour)


@cache
def _typeface() -> Any:
    # An empty manager: asking the default one would read the machine's own fonts.
    typeface = skia.FontMgr.New_Custom_Empty().makeFromFile(str(_FONT), 0)
    if typeface is None:
        raise RenderError(f"{_FONT.name}: the font is missing.", remedy="Install giornata again.")
    return typeface
