"""Dots drawn as lines of no length, which the converter would drop.

A line of no length with round or square caps shows as a dot (SVG 2, section 13.5.4). The
converter drops an element whose box is a point, so such a line is given the least length that
single precision tells apart safely.
"""

from __future__ import annotations

import re
from dataclasses import replace

from giornata.files.artwork.svg_source import Element

__all__ = ["widened_dot"]

_LEAST = 1.0e-5  # of the coordinate, or of 1 where that is larger
_TOKEN = re.compile(r"[A-Za-z]|[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?")
_MOST_TOKENS = 12  # a dot has few


def _dot_of_path(data: str) -> tuple[float, float] | None:
    """Where a path of one part stands still, or None if it moves or is not so simple."""
    if len(data) > 200:
        return None
    tokens = _TOKEN.findall(data)
    if not 4 <= len(tokens) <= _MOST_TOKENS or tokens[0] not in "Mm":
        return None
    try:
        x, y = float(tokens[1]), float(tokens[2])
        at, drawn = 3, False
        while at < len(tokens):
            step = tokens[at]
            count = {"L": 2, "l": 2, "H": 1, "h": 1, "V": 1, "v": 1, "Z": 0, "z": 0}[step]
            values = [float(token) for token in tokens[at + 1 : at + 1 + count]]
            if len(values) != count:
                return None
            here = {"L": [x, y], "H": [x], "V": [y]}.get(step, [0.0] * count)
            if values != here:
                return None
            drawn = True
            at += 1 + count
    except (KeyError, ValueError):
        return None
    return (x, y) if drawn else None


def _dot_of(element: Element) -> tuple[float, float] | None:
    given = element.attributes
    if element.name == "path":
        return _dot_of_path(given.get("d", ""))
    try:
        if element.name == "line":
            x1, y1, x2, y2 = (float(given.get(key, "0")) for key in ("x1", "y1", "x2", "y2"))
            return (x1, y1) if (x1, y1) == (x2, y2) else None
        if element.name in ("polyline", "polygon"):
            points = given.get("points", "")
            values = [float(v) for v in points.replace(",", " ").split()] if points else []
            pairs = set(zip(values[::2], values[1::2], strict=False))
            return pairs.pop() if len(values) >= 4 and len(pairs) == 1 else None
    except ValueError:
        return None
    return None


def widened_dot(element: Element) -> Element:
    """The element, or in place of a dot a path of the least length at the same place."""
    dot = _dot_of(element)
    if dot is None:
        return element
    x, y = dot
    step = _LEAST * max(1.0, abs(x))
    rest = {
        key: value
        for key, value in element.attributes.items()
        if key not in ("d", "points", "x1", "y1", "x2", "y2")
    }
    data = f"M{x - step:.9g} {y:.9g}L{x + step:.9g} {y:.9g}"
    return replace(element, name="path", attributes={**rest, "d": data})
