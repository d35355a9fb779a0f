"""Clips given as a shape function, turned into clip paths (CSS Shapes Level 1; CSS Masking 1, 5.1).

Read are ``circle()``, ``ellipse()``, ``inset()`` without rounding and ``polygon()``, in px and
percent, on shapes whose box can be told from their own attributes. All others stay as they are
and are said to be unread.
"""

from __future__ import annotations

import math
import re

from giornata.files.artwork.svg_reach import STORES, Reach
from giornata.files.artwork.svg_source import SVG, Element
from giornata.files.artwork.svg_style import declarations
from giornata.files.artwork.svg_units import NUMBER, Yardstick

__all__ = ["clip_given", "clip_shape"]

Box = tuple[float, float, float, float]  # left, top, width, height

_CALL = re.compile(r"(circle|ellipse|inset|polygon)\(([^()]*)\)", re.IGNORECASE)
_VALUE = re.compile(rf"({NUMBER})(px|%)?", re.IGNORECASE)
_SIDES = {"left": 0.0, "top": 0.0, "center": 0.5, "right": 1.0, "bottom": 1.0}
# CSS Masking Level 1, section 5.1: boxes of CSS and what they are in SVG.
_BOXES = {
    "border-box": "stroke-box",
    "content-box": "fill-box",
    "fill-box": "fill-box",
    "margin-box": "stroke-box",
    "padding-box": "fill-box",
    "stroke-box": "stroke-box",
    "view-box": "view-box",
}
_ATTRIBUTES = {
    "rect": ("x", "y", "width", "height"),
    "circle": ("cx", "cy", "r"),
    "ellipse": ("cx", "cy", "rx", "ry"),
}


class _Unread(Exception):
    """The shape or the box is of a kind that is not read."""


def clip_given(element: Element) -> str:
    """The clip an element gives itself, or ""."""
    styles = dict(declarations(element.attributes.get("style", "")))
    return styles.get("clip-path", element.attributes.get("clip-path", ""))


def _length(text: str, whole: float) -> float:
    found = _VALUE.fullmatch(text)
    if found is None or (found[2] is None and float(found[1]) != 0.0):
        raise _Unread
    value = float(found[1])
    return value * whole / 100.0 if found[2] == "%" else value


def _plain(text: str) -> float:
    """A length without a unit, or in px."""
    found = _VALUE.fullmatch(text.strip())
    if found is None or found[2] == "%":
        raise _Unread
    return float(found[1])


def _inherited(element: Element, reach: Reach, name: str, initial: str) -> str:
    for each in (element, *reach.ancestors(element)):
        if each.name in STORES:
            raise _Unread
        styles = dict(declarations(each.attributes.get("style", "")))
        value = styles.get(name, each.attributes.get(name))
        if value is not None and value.strip() != "inherit":
            return value.strip()
    return initial


def _fill_box(element: Element) -> Box:
    names = _ATTRIBUTES.get(element.name)
    if names is None:
        points = element.attributes.get("points", "")
        if element.name not in ("polygon", "polyline") or not points:
            raise _Unread
        values = [_plain(v) for v in points.replace(",", " ").split()]
        xs, ys = values[::2], values[1::2]
        if len(xs) != len(ys):
            raise _Unread
        return min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)
    values = [_plain(element.attributes.get(name, "0")) for name in names]
    if element.name == "rect":
        x, y, width, height = values
        return x, y, width, height
    cx, cy, rx, ry = (*values, values[-1])[:4]
    return cx - rx, cy - ry, 2.0 * rx, 2.0 * ry


def _reference_box(element: Element, reach: Reach, yardstick: Yardstick, kind: str) -> Box:
    if kind == "view-box":
        if yardstick.view_box is None or any(e.name == "svg" for e in _inner(element, reach)):
            raise _Unread
        return 0.0, 0.0, *yardstick.view_box[2:]
    left, top, width, height = _fill_box(element)
    if kind == "fill-box" or _inherited(element, reach, "stroke", "none") == "none":
        return left, top, width, height
    if element.name not in _ATTRIBUTES:
        raise _Unread
    half = _plain(_inherited(element, reach, "stroke-width", "1")) / 2.0
    return left - half, top - half, width + 2.0 * half, height + 2.0 * half


def _inner(element: Element, reach: Reach) -> list[Element]:
    """Elements around one without the root."""
    return list(reach.ancestors(element))[:-1]


def _centre(text: str, box: Box) -> tuple[float, float]:
    words = text.split() or ["center"]
    if len(words) > 2:
        raise _Unread
    if len(words) == 1:
        words = ["center", *words] if words[0] in ("top", "bottom") else [*words, "center"]
    if words[0] in ("top", "bottom") or words[1] in ("left", "right"):
        words.reverse()
    left, top, width, height = box
    at = [
        _SIDES[word] * whole if word in _SIDES else _length(word, whole)
        for word, whole in zip(words, (width, height), strict=True)
    ]
    return left + at[0], top + at[1]


def _radius(text: str, at: float, low: float, size: float, whole: float) -> float:
    near, far = sorted((abs(at - low), abs(low + size - at)))
    if text in ("closest-side", "farthest-side"):
        return near if text == "closest-side" else far
    return _length(text, whole)


def _round(kind: str, text: str, box: Box) -> dict[str, str]:
    before, _, place = f" {text} ".partition(" at ")
    radii = before.split()
    left, top, width, height = box
    cx, cy = _centre(place, box)
    if kind == "ellipse":
        across, down = radii or ["closest-side"] * 2
        rx = _radius(across, cx, left, width, width)
        ry = _radius(down, cy, top, height, height)
    else:
        # CSS Shapes Level 1, section 3.1: percentages of a radius are of the box's normalised
        # diagonal; the closest side is the nearest of all four.
        whole = math.hypot(width, height) / math.sqrt(2.0)
        (given,) = radii or ["closest-side"]
        each = [
            _radius(given, cx, left, width, whole),
            _radius(given, cy, top, height, whole),
        ]
        rx = ry = max(each) if given == "farthest-side" else min(each)
    if min(rx, ry) < 0.0:
        raise _Unread
    return {"cx": f"{cx:.9g}", "cy": f"{cy:.9g}", "rx": f"{rx:.9g}", "ry": f"{ry:.9g}"}


def _inset(text: str, box: Box) -> dict[str, str]:
    given = text.split()
    if not 1 <= len(given) <= 4:
        raise _Unread
    upper = given[0]
    right = given[1] if len(given) > 1 else upper
    lower = given[2] if len(given) > 2 else upper
    left_ = given[3] if len(given) > 3 else right
    left, top, width, height = box
    x, y = left + _length(left_, width), top + _length(upper, height)
    across = max(0.0, left + width - _length(right, width) - x)
    down = max(0.0, top + height - _length(lower, height) - y)
    return {"x": f"{x:.9g}", "y": f"{y:.9g}", "width": f"{across:.9g}", "height": f"{down:.9g}"}


def _polygon(text: str, box: Box) -> dict[str, str]:
    parts = [part.strip() for part in text.split(",")]
    rule = parts.pop(0) if parts[0] in ("nonzero", "evenodd") else "nonzero"
    left, top, width, height = box
    corners: list[str] = []
    for part in parts:
        x, y = part.split()
        corners.append(f"{left + _length(x, width):.9g},{top + _length(y, height):.9g}")
    return {"points": " ".join(corners), "clip-rule": rule}


def clip_shape(element: Element, reach: Reach, yardstick: Yardstick) -> Element | None:
    """The drawn shape that clips an element as its shape function says, or None where unread.

    Parameters
    ----------
    element : Element
        One whose ``clip-path`` is a shape function, not given by a style sheet.
    reach : Reach
        For what stands around it.
    yardstick : Yardstick
        For the view box.
    """
    text = clip_given(element).lower().strip()
    found = _CALL.search(text)
    kind = "border-box" if found is None else text.replace(found[0], "").strip() or "border-box"
    if found is None or kind not in _BOXES:
        return None
    try:
        box = _reference_box(element, reach, yardstick, _BOXES[kind])
        name, inside = found[1], found[2].strip()
        if name in ("circle", "ellipse"):
            name, attributes = "ellipse", _round(name, inside, box)
        elif name == "inset":
            name, attributes = "rect", _inset(inside, box)
        else:
            attributes = _polygon(inside, box)
    except (_Unread, ValueError):
        return None
    return Element(space=SVG, name=name, attributes=attributes, line=element.line)
