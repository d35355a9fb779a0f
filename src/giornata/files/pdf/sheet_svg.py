"""Sheets as SVG pages in millimetres, for the typesetter."""

from __future__ import annotations

from html import escape

import numpy as np

from giornata.core.documents import Area, Disc, Item, Label, Line, Pen, Sheet
from giornata.core.foundation import Floats
from giornata.files.pdf.typesetting import SANS

__all__ = ["sheet_svg"]

MM_PER_PT = 25.4 / 72.0


def sheet_svg(sheet: Sheet) -> bytes:
    """One sheet as an SVG page; one user unit is one millimetre."""
    width, height = _number(sheet.width), _number(sheet.height)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}" font-family="{SANS}">'
    )
    return "\n".join([head, *map(_element, sheet.items), "</svg>"]).encode()


def _element(item: Item) -> str:
    match item:
        case Line():
            return f'<path d="{_path(item.points)}" fill="none"{_stroke(item.pen)}/>'
        case Area():
            data = "".join(_path(ring) + "Z" for ring in item.rings)
            return f'<path d="{data}" fill-rule="evenodd"{_paint(item.fill, item.pen)}/>'
        case Disc():
            x, y, radius = map(_number, (item.x, item.y, item.radius))
            return f'<circle cx="{x}" cy="{y}" r="{radius}"{_paint(item.fill, item.pen)}/>'
        case Label():
            return _text(item)


def _text(label: Label) -> str:
    x, y = _number(label.x), _number(label.y)
    turned = f' transform="rotate(-90 {x} {y})"' if label.turned else ""
    weight = ' font-weight="700"' if label.bold else ""
    anchor = f' text-anchor="{label.anchor}"' if label.anchor != "start" else ""
    words = escape("".join(c if c.isprintable() else " " for c in label.text))
    return (
        f'<text x="{x}" y="{y}" font-size="{_number(label.size * MM_PER_PT)}" '
        f'fill="{label.colour}" xml:space="preserve"{weight}{anchor}{turned}>{words}</text>'
    )


def _paint(fill: str | None, pen: Pen | None) -> str:
    return f' fill="{fill or "none"}"' + (_stroke(pen) if pen else "")


def _stroke(pen: Pen) -> str:
    dash = f' stroke-dasharray="{" ".join(map(_number, pen.dash))}"' if pen.dash else ""
    return (
        f' stroke="{pen.colour}" stroke-width="{_number(pen.width)}" '
        f'stroke-linecap="butt" stroke-linejoin="round"{dash}'
    )


def _path(points: Floats) -> str:
    """Move and lines through the points, to a thousandth of a millimetre."""
    whole = np.rint(points * 1000).astype(np.int64).tolist()
    return "M" + "L".join(f"{x / 1000:g} {y / 1000:g}" for x, y in whole)


def _number(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".") or "0"
