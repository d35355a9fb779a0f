"""The display list of a page: what is painted, in order, before any geometry is worked out.

Coordinates of an outline are in the user space in which it was written; its matrix takes them to
the artwork frame (y down).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntEnum
from typing import Any

import numpy as np

from giornata.core.foundation import Floats

__all__ = [
    "IDENTITY",
    "Clip",
    "Flat",
    "Ink",
    "Layer",
    "Leaf",
    "Mask",
    "Matrix",
    "Outline",
    "Picture",
    "Run",
    "Stroke",
    "Thing",
    "Tile",
    "Verb",
    "multiplied",
]

Matrix = tuple[float, float, float, float, float, float]
IDENTITY: Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


def multiplied(first: Matrix, then: Matrix) -> Matrix:
    """The transform that applies ``first`` and after it ``then`` (PDF's order of factors)."""
    a, b, c, d, e, f = first
    g, h, i, j, k, m = then
    return (
        a * g + b * i,
        a * h + b * j,
        c * g + d * i,
        c * h + d * j,
        e * g + f * i + k,
        e * h + f * j + m,
    )


class Verb(IntEnum):
    """A step of an outline; its value is not the number of its points."""

    MOVE = 0
    LINE = 1
    CUBIC = 2
    CLOSE = 3


@dataclass(slots=True)
class Outline:
    """A path as written: steps and their points.

    Parameters
    ----------
    verbs : list of Verb values
        Every part begins with MOVE; CLOSE is followed by MOVE or by nothing.
    numbers : list of float
        x, y of each point in turn: one point for MOVE and LINE, three for CUBIC.
    """

    verbs: list[int] = field(default_factory=list)
    numbers: list[float] = field(default_factory=list)

    def points(self, matrix: Matrix) -> Floats:
        """Points ``(n, 2)`` taken through the matrix."""
        xy = np.array(self.numbers, dtype=np.float64).reshape(-1, 2)
        a, b, c, d, e, f = matrix
        return np.column_stack((a * xy[:, 0] + c * xy[:, 1] + e, b * xy[:, 0] + d * xy[:, 1] + f))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """How an outline is drawn as a line, in its own user space."""

    width: float = 1.0
    cap: int = 0
    join: int = 0
    mitre_limit: float = 10.0
    dashes: tuple[float, ...] = ()
    phase: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A gradient: stops (place, red, green, blue of 0 to 255, opacity), ends (x, y, radius)."""

    stops: tuple[tuple[float, float, float, float, float], ...]
    start: tuple[float, float, float]
    end: tuple[float, float, float]
    matrix: Matrix
    spread: str = "pad"
    extend: tuple[bool, bool] = (True, True)


@dataclass(eq=False)
class Tile:
    """One cell of a pattern, and its steps across and down in its own space."""

    content: Layer
    box: tuple[float, float, float, float]
    steps: tuple[float, float]
    matrix: Matrix


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """What an outline is painted with; ``exact`` is False for a stand-in colour.

    ``kind`` says what it stands in for ("gradient", "pattern"), ``source`` what the file calls
    that, ``doubt`` why neither its run nor its cell can be had.
    """

    colour: str
    exact: bool = True
    kind: str = ""
    source: str = ""
    doubt: str = ""
    run: Run | None = field(default=None, compare=False)
    tile: Tile | None = field(default=None, compare=False)


@dataclass(eq=False)
class Clip:
    """One clip inside the clips around it; ``frame`` marks the box of a form."""

    outline: Outline
    matrix: Matrix
    even_odd: bool
    around: Clip | None
    frame: bool = False
    region: Any = None  # worked out once, while painting


@dataclass(eq=False)
class Mask:
    """A soft mask: the brightness or the opacity of a picture of its own.

    ``backdrop`` is the brightness outside the picture; ``flat`` is False where the picture holds
    a gradient, a pattern, an image or text; ``fade`` is True where it is nothing but the opacity
    of a gradient's stops.
    """

    content: Layer
    luminosity: bool
    backdrop: float
    flat: bool = True
    fade: bool = False


@dataclass(eq=False)
class Leaf:
    """One painted outline."""

    outline: Outline
    matrix: Matrix
    ink: Ink
    opacity: float
    even_odd: bool
    stroke: Stroke | None
    clip: Clip | None
    mask: Mask | None
    names: tuple[str, ...] = ()
    content: bytes | None = None  # of an embedded picture, whose frame this is


@dataclass(eq=False)
class Layer:
    """Things painted together, laid over what lies below at one opacity through one mask."""

    content: list[Leaf | Layer] = field(default_factory=list)
    opacity: float = 1.0
    mask: Mask | None = None
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Flat:
    """One flat shape worked out, as a drawing's shape will have it.

    ``veils`` are (number, opacity) of the translucent groups around it, ``names`` the named
    groups, both outermost first.
    """

    area: Any
    colour: str
    opacity: float
    names: tuple[str, ...]
    veils: tuple[tuple[int, float], ...] = ()
    thing: int = 0


@dataclass(slots=True, kw_only=True)
class Thing:
    """Something that is not flat colour, by its number; shapes that stand in for it carry that.

    ``kind`` is "gradient", "pattern", "picture", "effect" or "lettering"; ``box`` least and
    greatest x and y; ``before`` the index of the shape before which it lies; ``matrix`` takes the
    unit square (y down) of a picture to the artwork, into which its pixels are fitted as
    ``preserveAspectRatio`` has it, and ``room`` the sides of that square as written, where they
    are known; ``finding`` is the index of what is said.
    """

    kind: str
    source: str = ""
    doubt: str = ""
    run: Run | None = None
    drawn: tuple[Flat, ...] | None = None
    box: tuple[float, float, float, float] | None = None
    frame: Any = None
    matrix: Matrix | None = None
    content: bytes | None = None
    fit: str = "none"
    room: tuple[float, float] | None = None
    words: str = ""
    before: int = 0
    names: tuple[str, ...] = ()
    veils: tuple[tuple[int, float], ...] = ()
    line: int = 0
    finding: int = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """All flat shapes of a page, bottom first, its groups, and what is not flat."""

    width: float
    height: float
    shapes: tuple[Flat, ...]
    groups: tuple[str, ...] = ()
    hidden: tuple[str, ...] = ()
    things: tuple[Thing, ...] = ()
