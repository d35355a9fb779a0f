"""What a content stream carries along while it is read: state, notices, budget."""

from __future__ import annotations

from dataclasses import dataclass, field

from giornata.files.artwork.display import Clip, Ink, Mask, Matrix, Stroke
from giornata.files.artwork.pdf_colour import BLACK, GREY, Space

__all__ = ["UNSEEN", "Budget", "Notices", "State", "TooMuchContent"]

UNSEEN = 3  # mode of text that neither fills nor strokes (ISO 32000-1, 9.3.6)

_MOST_OPERATORS = 8_000_000
_MOST_LEAVES = 300_000
_MOST_NUMBERS = 8_000_000


class TooMuchContent(Exception):
    """The page holds more than can be worked out."""

    def __init__(self, what: str, limit: int) -> None:
        super().__init__(f"more than {limit} {what}")
        self.what = what
        self.limit = limit


@dataclass(slots=True)
class Notices:
    """Kinds of things met that are not flat shapes, and details of each."""

    kinds: dict[str, set[str]] = field(default_factory=dict)

    def add(self, kind: str, detail: str = "") -> None:
        """Note that a kind of thing was met."""
        self.kinds.setdefault(kind, set()).add(detail)

    def __contains__(self, kind: str) -> bool:
        return kind in self.kinds


@dataclass(slots=True)
class Budget:
    """What a page has used of what it may hold, and patterns already looked into."""

    operators: int = 0
    pattern_inks: dict[tuple[float, ...], Ink] = field(default_factory=dict)
    leaves: int = 0
    numbers: int = 0

    def count_operator(self) -> None:
        """One more drawing step."""
        self.operators += 1
        if self.operators > _MOST_OPERATORS:
            raise TooMuchContent("drawing steps", _MOST_OPERATORS)

    def count_leaf(self, numbers: int) -> None:
        """One more shape with so many coordinates."""
        self.leaves += 1
        self.numbers += numbers
        if self.leaves > _MOST_LEAVES:
            raise TooMuchContent("shapes", _MOST_LEAVES)
        if self.numbers > _MOST_NUMBERS:
            raise TooMuchContent("coordinates", _MOST_NUMBERS)


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """The graphics state."""

    matrix: Matrix
    clip: Clip | None = None
    fill_space: Space = GREY
    fill: Ink = BLACK
    line_space: Space = GREY
    line: Ink = BLACK
    stroke: Stroke = field(default_factory=Stroke)
    fill_opacity: float = 1.0
    line_opacity: float = 1.0
    mask: Mask | None = None
    text_mode: int = 0
    overprints: tuple[bool, bool] = (False, False)  # of fillings, of lines
