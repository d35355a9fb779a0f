"""Drawings on paper: lines, areas, letters and sheets, in the sheet frame (mm, y down)."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.foundation import Finding, Floats, readonly

__all__ = [
    "DARK", "FAINT", "FINE", "HEAVY", "INK", "LIGHT", "MEDIUM", "MID", "PAPER", "Area", "Disc",
    "DrawnPaper", "Item", "Label", "Line", "Pen", "Sheet", "box", "segment",
]  # fmt: skip

INK = "#141414"
DARK = "#4a4a4a"
MID = "#8c8c8c"
LIGHT = "#d4d4d4"
PAPER = "#ffffff"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """How a line is drawn.

    Parameters
    ----------
    width : float
        Above 0. [mm]
    dash : tuple of float
        Lengths of stroke and gap in turn; empty for an unbroken line. [mm]
    colour : str
        ``#rrggbb``.
    """

    width: float
    dash: tuple[float, ...] = ()
    colour: str = INK

    def __post_init__(self) -> None:
        if not self.width > 0:
            raise ValueError("a line has a width above 0")


# Line widths after ISO 128-2:2022, 4.2: the series 0.13, 0.18, 0.25, 0.35, 0.5, 0.7 mm.
FAINT = Pen(width=0.13, colour=MID)
FINE = Pen(width=0.18)
MEDIUM = Pen(width=0.25)
HEAVY = Pen(width=0.5)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Line:
    """A line through points, not filled.

    Parameters
    ----------
    points : array, shape (n, 2)
        Two or more. [mm]
    pen : Pen
    """

    points: Floats
    pen: Pen

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", readonly(self.points, columns=2))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Area:
    """An area inside rings (even-odd), filled or outlined or both.

    Parameters
    ----------
    rings : tuple of array, shape (n, 2)
        The last point need not repeat the first. [mm]
    fill : str or None
        ``#rrggbb``.
    pen : Pen or None
        Of the outline.
    """

    rings: tuple[Floats, ...]
    fill: str | None = None
    pen: Pen | None = None

    def __post_init__(self) -> None:
        rings = tuple(readonly(ring, columns=2) for ring in self.rings)
        object.__setattr__(self, "rings", rings)


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc:
    """A filled or outlined circle.

    Parameters
    ----------
    x, y, radius : float
        Centre and radius; the radius above 0. [mm]
    fill : str or None
        ``#rrggbb``.
    pen : Pen or None
        Of the outline.
    """

    x: float
    y: float
    radius: float
    fill: str | None = None
    pen: Pen | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One line of letters.

    Parameters
    ----------
    x, y : float
        Where its base line starts, is centred or ends, as ``anchor`` says. [mm]
    text : str
        Not empty.
    size : float
        Type size; above 0. [pt]
    anchor : {"start", "middle", "end"}
        Which part of the base line lies at the place.
    bold : bool
    turned : bool
        Reads upwards, a quarter turn anticlockwise.
    colour : str
        ``#rrggbb``.
    """

    x: float
    y: float
    text: str
    size: float
    anchor: Literal["start", "middle", "end"] = "start"
    bold: bool = False
    turned: bool = False
    colour: str = INK

    def __post_init__(self) -> None:
        if not self.text.strip():
            raise ValueError("a label has a text")
        if not self.size > 0:
            raise ValueError("a type size is above 0")


Item = Line | Area | Disc | Label


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sheet:
    """One side of paper.

    Parameters
    ----------
    name : str
        What it is called on the paper.
    width, height : float
        Of the paper; above 0. [mm]
    items : tuple of Item
        In the order they are drawn.
    """

    name: str
    width: float
    height: float
    items: tuple[Item, ...]

    @property
    def labels(self) -> tuple[Label, ...]:
        """The letters on it."""
        return tuple(item for item in self.items if isinstance(item, Label))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnPaper:
    """Sheets that belong together, and what could not be shown on them.

    Parameters
    ----------
    title : str
        Of the document.
    date : date
        Of the job.
    sheets : tuple of Sheet
        In order of page.
    findings : tuple of Finding
    """

    title: str
    date: date
    sheets: tuple[Sheet, ...]
    findings: tuple[Finding, ...] = ()


def box(
    left: float,
    upper: float,
    right: float,
    lower: float,
    *,
    fill: str | None = None,
    pen: Pen | None = None,
) -> Area:
    """A rectangle.

    Parameters
    ----------
    left, upper, right, lower : float
        Its sides. [mm]
    """
    ring = readonly([(left, upper), (right, upper), (right, lower), (left, lower)])
    return Area(rings=(ring,), fill=fill, pen=pen)


def segment(start: ArrayLike, end: ArrayLike, pen: Pen) -> Line:
    """A straight line.

    Parameters
    ----------
    start, end : array, shape (2,)
        [mm]
    """
    return Line(points=readonly(np.array([start, end])), pen=pen)
