"""Operators of a content stream other than path construction, and what each does to its reading."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from giornata.files.artwork.pdf_colour import CMYK, GREY, RGB, Space
from giornata.files.artwork.pdf_path import number

__all__ = ["ACTIONS"]

# The first argument is the reading of one stream, as `pdf_content` has it.


def _paint(
    fill: bool = False, even_odd: bool = False, stroke: bool = False, close: bool = False
) -> Callable[[Any, Any], None]:
    return lambda run, _: run.paint(fill=fill, even_odd=even_odd, stroke=stroke, close=close)


def _clip(even_odd: bool) -> Callable[[Any, Any], None]:
    return lambda run, _: setattr(run, "clip_rule", even_odd)


def _colour(space: Space | None, line: bool) -> Callable[[Any, Any], None]:
    return lambda run, operands: run.colour(operands, line=line, space=space)


ACTIONS: dict[str, Callable[[Any, Any], None]] = {
    "f": _paint(fill=True),
    "F": _paint(fill=True),
    "f*": _paint(fill=True, even_odd=True),
    "S": _paint(stroke=True),
    "s": _paint(stroke=True, close=True),
    "B": _paint(fill=True, stroke=True),
    "B*": _paint(fill=True, even_odd=True, stroke=True),
    "b": _paint(fill=True, stroke=True, close=True),
    "b*": _paint(fill=True, even_odd=True, stroke=True, close=True),
    "n": lambda run, _: run.end_path(),
    "W": _clip(False),
    "W*": _clip(True),
    "sh": lambda run, v: run.shading(v[0]),
    "q": lambda run, _: run.save(),
    "Q": lambda run, _: run.restore(),
    "cm": lambda run, v: run.concatenate(v),
    "w": lambda run, v: run.stroking(width=number(v[0])),
    "J": lambda run, v: run.stroking(cap=int(v[0])),
    "j": lambda run, v: run.stroking(join=int(v[0])),
    "M": lambda run, v: run.stroking(mitre_limit=number(v[0])),
    "d": lambda run, v: run.dash(v),
    "gs": lambda run, v: run.extended(v[0]),
    "cs": lambda run, v: run.choose_space(v[0], line=False),
    "CS": lambda run, v: run.choose_space(v[0], line=True),
    "sc": _colour(None, False),
    "scn": _colour(None, False),
    "SC": _colour(None, True),
    "SCN": _colour(None, True),
    "g": _colour(GREY, False),
    "G": _colour(GREY, True),
    "rg": _colour(RGB, False),
    "RG": _colour(RGB, True),
    "k": _colour(CMYK, False),
    "K": _colour(CMYK, True),
    "Do": lambda run, v: run.do(v[0]),
    "Tr": lambda run, v: run.write_as(int(v[0])),
    "INLINE IMAGE": lambda run, v: run.picture(v[0]),
    "Tj": lambda run, _: run.text(),
    "TJ": lambda run, _: run.text(),
    "'": lambda run, _: run.text(),
    '"': lambda run, _: run.text(),
    "BMC": lambda run, v: run.begin_marked(v),
    "BDC": lambda run, v: run.begin_marked(v),
    "EMC": lambda run, _: run.end_marked(),
}
