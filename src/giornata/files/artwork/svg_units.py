"""Lengths in units that the converter does not know, turned into units that it does.

A quarter millimetre (Q) has a size of its own. Shares of the viewport (vw, vh and their kin) are
taken of the drawing's own viewport, as when the drawing stands in a page at its own size; ``rem``
goes by the root's size of type. Where no font is at hand ``ch`` is half an em and ``ic`` one em
(CSS Values and Units Level 4, sections 6.1.1 and 6.1.2). Units that hang on a font and have no
such rule are left as they are, and are said to be unread.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from giornata.files.artwork.svg_source import Element
from giornata.files.artwork.svg_style import declarations

__all__ = ["LENGTHS", "NUMBER", "ODD_UNIT", "Yardstick", "no_view", "yardstick_of"]

NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?"
LENGTHS = frozenset(
    "cx cy dx dy fr fx fy height markerHeight markerWidth r refX refY rx ry stroke-dashoffset"
    " stroke-width width x x1 x2 y y1 y2".split()
)
ODD_UNIT = re.compile(
    rf"({NUMBER})(r?ch|r?ic|r?lh|r?cap|rex|rem|q|[sld]?v(?:w|h|i|b|min|max))\b", re.IGNORECASE
)
_PLAIN = re.compile(rf"\s*({NUMBER})\s*(px|in|cm|mm|q|pt|pc)?\s*", re.IGNORECASE)
# CSS Values and Units Level 3, section 6.2: absolute lengths. [px]
_PX = {
    None: 1.0,
    "px": 1.0,
    "in": 96.0,
    "cm": 96.0 / 2.54,
    "mm": 96.0 / 25.4,
    "q": 96.0 / 101.6,
    "pt": 96.0 / 72.0,
    "pc": 16.0,
}
_EM = {"ch": 0.5, "ic": 1.0}  # where no font is at hand
_REM = {"rem": 1.0, "rch": 0.5, "ric": 1.0, "rex": 0.5}
_LEAST_SIDE = 1.0e-9  # user units
_MEDIUM = 16.0  # px; the initial size of type in every browser


def _absolute(text: str | None) -> float | None:
    found = _PLAIN.fullmatch(text or "")
    return float(found[1]) * _PX[found[2] and found[2].lower()] if found else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Yardstick:
    """What relative units of one drawing go by.

    Parameters
    ----------
    viewport : (float, float) or None
        Width and height of the drawing's own viewport, where it says them. [px]
    view_box : tuple of 4 float, or None
        Left, top, width and height of the view box, where it has one. [user units]
    root_type : float or None
        The root's size of type, where it can be told. [px]
    """

    viewport: tuple[float, float] | None
    view_box: tuple[float, float, float, float] | None
    root_type: float | None

    def _size(self, unit: str) -> tuple[float, str] | None:
        """One of a unit in a unit that the converter knows."""
        if unit == "q":
            return _PX["q"], "px"
        if unit in _EM:
            return _EM[unit], "em"
        if unit in _REM and self.root_type is not None:
            return _REM[unit] * self.root_type, "px"
        side = unit.lstrip("sld").removeprefix("v")
        if "v" not in unit or self.viewport is None:
            return None
        width, height = self.viewport
        sides = {"w": width, "i": width, "h": height, "b": height}
        least_most = {"min": min(width, height), "max": max(width, height)}
        return (sides | least_most)[side] / 100.0, "px"

    def told(self, text: str) -> str:
        """The text with every length that can be told in a unit that the converter knows."""

        def one(found: re.Match[str]) -> str:
            size = self._size(found[2].lower())
            return found[0] if size is None else f"{float(found[1]) * size[0]:.9g}{size[1]}"

        return ODD_UNIT.sub(one, text)


def no_view(root: Element) -> Element | None:
    """The first element whose view box has a side next to nothing; the converter would hang."""
    for element in root.walk():
        sides = element.attributes.get("viewBox", "").replace(",", " ").split()[2:4]
        for side in map(_absolute, sides):
            if side is not None and 0.0 < abs(side) < _LEAST_SIDE:
                return element
    return None


def yardstick_of(root: Element) -> Yardstick:
    """What relative units of a drawing go by.

    Parameters
    ----------
    root : Element
        The drawing.
    """
    given = root.attributes
    styles = dict(declarations(given.get("style", "")))
    sides = [_absolute(styles.get(side, given.get(side))) for side in ("width", "height")]
    numbers = [_absolute(part) for part in given.get("viewBox", "").replace(",", " ").split()]
    known = [number for number in numbers if number is not None]
    box = (known[0], known[1], known[2], known[3]) if len(known) == len(numbers) == 4 else None
    viewport: tuple[float, float] | None = None
    if sides[0] is not None and sides[1] is not None:
        viewport = (sides[0], sides[1])
    elif sides == [None, None] and box is not None:
        viewport = (box[2], box[3])
    size = styles.get("font-size", given.get("font-size"))
    root_type = _MEDIUM if size is None else _absolute(size)
    return Yardstick(viewport=viewport, view_box=box, root_type=root_type)
