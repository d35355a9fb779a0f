"""Transforms given as a style, as the attribute has them (CSS Transforms Level 1, 7 and 8)."""

from __future__ import annotations

import math
import re

from giornata.files.artwork.svg_units import NUMBER

__all__ = ["attribute_transform"]

_CALL = re.compile(r"\s*([a-zA-Z]+)\(([^()]*)\)\s*")
_PART = re.compile(rf"({NUMBER})([a-z%]*)", re.IGNORECASE)
_LENGTHS = {"px": 1.0, "in": 96.0, "cm": 96 / 2.54, "mm": 96 / 25.4, "pt": 4 / 3, "pc": 16.0}
_ANGLES = {"deg": 1.0, "grad": 0.9, "turn": 360.0, "rad": 180 / math.pi}
# What a function takes: its sort of number, how many at least and at most, and what it is as an
# attribute, with places for its numbers.
_FUNCTIONS = {
    "matrix": ("number", 6, 6, "matrix"),
    "rotate": ("angle", 1, 1, "rotate"),
    "scale": ("number", 1, 2, "scale"),
    "scalex": ("number", 1, 1, "scale({0} 1)"),
    "scaley": ("number", 1, 1, "scale(1 {0})"),
    "skewx": ("angle", 1, 1, "skewX"),
    "skewy": ("angle", 1, 1, "skewY"),
    "translate": ("length", 1, 2, "translate"),
    "translatex": ("length", 1, 1, "translate({0} 0)"),
    "translatey": ("length", 1, 1, "translate(0 {0})"),
}


def _number(text: str, sort: str) -> float | None:
    found = _PART.fullmatch(text.strip())
    if found is None:
        return None
    value, unit = float(found[1]), found[2].lower()
    if sort == "number":
        factor = {"": 1.0, "%": 0.01}.get(unit)
    else:
        factor = (_ANGLES if sort == "angle" else _LENGTHS).get(unit)
        factor = 0.0 if unit == "" and value == 0.0 else factor
    return None if factor is None else value * factor


def attribute_transform(style: str) -> str | None:
    """The list of transforms that an attribute would have, None where it cannot be told.

    A style needs units where the attribute has none.

    Examples
    --------
    >>> attribute_transform("translate(1in, 2px) rotate(0.5turn)"), attribute_transform("none")
    ('translate(96 2) rotate(180)', '')
    >>> attribute_transform("rotate(45)") is None
    True
    """
    if style.strip().lower() == "none":
        return ""
    out: list[str] = []
    at = 0
    while at < len(style):
        call = _CALL.match(style, at)
        if call is None or call[1].lower() not in _FUNCTIONS:
            return None
        sort, least, most, written = _FUNCTIONS[call[1].lower()]
        numbers = [_number(part, sort) for part in call[2].split(",")]
        if not least <= len(numbers) <= most or None in numbers:
            return None
        listed = [f"{number:.12g}" for number in numbers]
        out.append(written.format(*listed) if "{" in written else f"{written}({' '.join(listed)})")
        at = call.end()
    return " ".join(out) if out else None
