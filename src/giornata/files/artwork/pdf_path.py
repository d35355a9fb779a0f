"""Path construction of a content stream (ISO 32000-1, section 8.5.2)."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from giornata.files.artwork.display import Outline, Verb

__all__ = ["PATH_STEPS", "Pen", "number"]


def number(value: Any) -> float:
    """An operand as a float; NaN where it is no number (a producer may write "inf")."""
    return math.nan if value is None else float(value)


class Pen:
    """Builds one outline after another."""

    def __init__(self) -> None:
        self.outline = Outline()
        self.start = (0.0, 0.0)

    def take(self) -> Outline:
        """The outline built so far; the next begins empty."""
        outline, self.outline = self.outline, Outline()
        return outline

    def move(self, v: list[float]) -> None:
        """Begin a part; a part of one point that nothing follows is dropped."""
        if self.outline.verbs and self.outline.verbs[-1] == Verb.MOVE:
            self.outline.verbs.pop()
            del self.outline.numbers[-2:]
        self.start = (v[0], v[1])
        self._add(Verb.MOVE, v[:2])

    def _add(self, verb: Verb, numbers: list[float]) -> None:
        verbs = self.outline.verbs
        if verb != Verb.MOVE and (not verbs or verbs[-1] == Verb.CLOSE):
            verbs.append(Verb.MOVE)
            self.outline.numbers.extend(self.start)
        verbs.append(verb)
        self.outline.numbers.extend(numbers)

    def line_to(self, v: list[float]) -> None:
        """A straight step."""
        self._add(Verb.LINE, v[:2])

    def curve(self, v: list[float]) -> None:
        """A cubic step."""
        self._add(Verb.CUBIC, v[:6])

    def curve_from_here(self, v: list[float]) -> None:
        """A cubic step whose first handle is where the pen stands."""
        here = self.outline.numbers[-2:] if self.outline.verbs else list(self.start)
        if self.outline.verbs and self.outline.verbs[-1] == Verb.CLOSE:
            here = list(self.start)
        self._add(Verb.CUBIC, [*here, *v[:4]])

    def curve_to_there(self, v: list[float]) -> None:
        """A cubic step whose second handle is its end."""
        self._add(Verb.CUBIC, [*v[:4], *v[2:4]])

    def close(self, v: list[float]) -> None:
        """Close the part; a step after it starts again where the part began."""
        if self.outline.verbs and self.outline.verbs[-1] != Verb.CLOSE:
            self.outline.verbs.append(Verb.CLOSE)

    def rectangle(self, v: list[float]) -> None:
        """A closed rectangle."""
        x, y, w, h = v[:4]
        self.move([x, y])
        for corner in ((x + w, y), (x + w, y + h), (x, y + h)):
            self.line_to(list(corner))
        self.close([])


PATH_STEPS: dict[str, Callable[[Pen, list[float]], None]] = {
    "m": Pen.move,
    "l": Pen.line_to,
    "c": Pen.curve,
    "v": Pen.curve_from_here,
    "y": Pen.curve_to_there,
    "h": Pen.close,
    "re": Pen.rectangle,
}
