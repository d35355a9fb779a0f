"""A picture of the artwork with what is not flat colour outlined and numbered."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from pathlib import Path

import numpy as np
import skia

from giornata.core.artwork import FlatArtwork, Nonflat
from giornata.files.region_pixels import region_path

__all__ = ["artwork_png", "artwork_svg"]

_WIDEST = 2_400  # px of the longer side
_NARROWEST = 240  # px of the shorter side, where the longer one stays within bounds
_LARGEST = 12_000
_OPEN, _DECIDED = 0xFFD40078, 0xFF202020
_PAPER = 0xFFFFFFFF
_FONT = Path(__file__).resolve().parent / "fonts" / "IBMPlexSans-Bold.ttf"
_LETTER = 0.016  # of the longer side; the least height of a number


def _scale(flat: FlatArtwork) -> float:
    """Pixels to one artwork unit."""
    long, short = max(flat.width, flat.height), min(flat.width, flat.height)
    return min(max(_WIDEST / long, _NARROWEST / short), _LARGEST / long)


def _drawn(
    canvas: skia.Canvas, flat: FlatArtwork, things: Sequence[Nonflat], decided: Collection[int]
) -> None:
    scale = _scale(flat)
    matrix = np.diag([scale, scale, 1.0])
    long, short = max(flat.width, flat.height), min(flat.width, flat.height)
    size = max(14.0, scale * min(_LETTER * long, 6 * _LETTER * short))
    canvas.clear(_PAPER)
    for face, label in zip(flat.coverage.faces, flat.coverage.labels.tolist(), strict=True):
        colour = flat.colours[label]
        if colour:
            ink = skia.Paint(
                AntiAlias=True, Color=0xFF000000 | int(colour[1:], 16), StrokeWidth=0.7,
                Style=skia.Paint.kStrokeAndFill_Style,  # no seam shows between two regions
            )  # fmt: skip
            canvas.drawPath(region_path(face, matrix), ink)
    font = skia.Font(skia.Typeface.MakeFromFile(str(_FONT)), size)
    for thing in things:
        if thing.box is None:
            continue
        x0, y0, x1, y1 = (scale * value for value in thing.box)
        colour_of = _DECIDED if thing.number in decided else _OPEN
        line = skia.Paint(
            AntiAlias=True, Color=colour_of, Style=skia.Paint.kStroke_Style, StrokeWidth=size / 8
        )
        under = skia.Paint(
            AntiAlias=True, Color=_PAPER, Style=skia.Paint.kStroke_Style, StrokeWidth=size / 4
        )
        if thing.number not in decided:
            line.setPathEffect(skia.DashPathEffect.Make([size / 2, size / 3], 0.0))
        canvas.drawRect(skia.Rect.MakeLTRB(x0, y0, x1, y1), under)
        canvas.drawRect(skia.Rect.MakeLTRB(x0, y0, x1, y1), line)
        text = str(thing.number)
        wide = font.measureText(text) + 0.5 * size
        left = min(max(x0, 0.0), scale * flat.width - wide)
        top = min(max(y0, 0.0), scale * flat.height - 1.2 * size)
        flag = skia.Paint(AntiAlias=True, Color=colour_of)
        canvas.drawRect(skia.Rect.MakeXYWH(left, top, wide, 1.2 * size), flag)
        at = left + 0.25 * size
        glyphs = font.textToGlyphs(text)
        for glyph, width in zip(glyphs, font.getWidths(glyphs), strict=True):
            outline = font.getPath(glyph)
            if outline is not None:
                outline.offset(at, top + 0.95 * size)
                canvas.drawPath(outline, skia.Paint(AntiAlias=True, Color=_PAPER))
            at += width


def _size(flat: FlatArtwork) -> tuple[int, int]:
    scale = _scale(flat)
    return max(1, round(scale * flat.width)), max(1, round(scale * flat.height))


def artwork_png(flat: FlatArtwork, things: Sequence[Nonflat], decided: Collection[int]) -> bytes:
    """The artwork as PNG; what is not flat is boxed, dashed while it is undecided.

    Parameters
    ----------
    flat : FlatArtwork
        The visible regions.
    things : sequence of Nonflat
        What is not flat colour.
    decided : collection of int
        Numbers of things on which there is a decision.
    """
    surface = skia.Surface(*_size(flat))
    _drawn(surface.getCanvas(), flat, things, decided)
    return bytes(surface.makeImageSnapshot().encodeToData(skia.kPNG, 100))


def artwork_svg(flat: FlatArtwork, things: Sequence[Nonflat], decided: Collection[int]) -> bytes:
    """The artwork as SVG; what is not flat is boxed, dashed while it is undecided.

    Parameters
    ----------
    flat : FlatArtwork
        The visible regions.
    things : sequence of Nonflat
        What is not flat colour.
    decided : collection of int
        Numbers of things on which there is a decision.
    """
    width, height = _size(flat)
    stream = skia.DynamicMemoryWStream()
    canvas = skia.SVGCanvas.Make(skia.Rect.MakeWH(width, height), stream)
    _drawn(canvas, flat, things, decided)
    del canvas  # the drawing is written out when it ends
    return bytes(stream.detachAsData())
