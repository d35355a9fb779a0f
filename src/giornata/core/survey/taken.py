"""Readings taken between named points of a wall, each with the instrument it was taken with."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

__all__ = ["DATUM", "Instrument", "Kind", "Taken"]

DATUM = "datum"
"""Name of the point that has chainage, level and offset 0."""


class Kind(StrEnum):
    """What a reading tells of its two points."""

    CHAINAGE = "chainage"  # of a point, on a running tape from the datum
    LENGTH = "length"  # along the wall, from a point to one further right
    DIAGONAL = "diagonal"  # straight across the face, from the left point to the right one
    LEVEL = "level"  # of a point above the level line
    HEIGHT = "height"  # from the lower point up to the higher one
    OFFSET = "offset"  # of a point from the base line, towards you
    PLUMB = "plumb"  # how far the upper point lies to the right of the lower one
    LEAN = "lean"  # how far the upper point lies nearer to you than the lower one
    COURSES = "courses"  # counted from the lower point up to the higher one


class Instrument(StrEnum):
    """What a reading was taken with."""

    TAPE_I = "tape I"
    TAPE_II = "tape II"
    TAPE_III = "tape III"
    LASER = "laser"  # a hand-held meter of lengths
    LEVEL = "level"  # optical or turning laser, with a staff
    STRING = "string"  # a string line or plumb line, and a rule


_FROM_DATUM = {Kind.CHAINAGE, Kind.LEVEL, Kind.OFFSET}
_SIGNED = {Kind.CHAINAGE, Kind.LEVEL, Kind.OFFSET, Kind.PLUMB, Kind.LEAN}


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """One reading between two named points.

    Parameters
    ----------
    kind : Kind
        What it tells.
    start, end : str
        Names of its points; a chainage, level or offset starts at the datum.
    value : float
        As read; courses are a count. [m]
    name : str
        As the painter calls it; without one it is called by its kind and points.
    instrument : Instrument or None
        None means the survey's own tape, for offsets and plumb a string, for courses the eye.
    sigma : float or None
        Stated precision, before that of the instrument; above 0. [m]
    course : str
        Which coursing was counted; all its courses are of one height.
    doubtful : bool
        Set aside: reported against the others, and not adjusted with them.
    """

    kind: Kind
    start: str = DATUM
    end: str
    value: float
    name: str = ""
    instrument: Instrument | None = None
    sigma: float | None = None
    course: str = "course"
    doubtful: bool = False

    def __post_init__(self) -> None:
        if not (self.start.strip() and self.end.strip()):
            raise ValueError("a reading names its points")
        if self.start == self.end:
            raise ValueError(f"a reading has two points, not {self.end!r} twice")
        if self.kind in _FROM_DATUM and self.start != DATUM:
            raise ValueError(f"a reading of kind {self.kind} starts at the {DATUM}")
        if not math.isfinite(self.value) or abs(self.value) > 10_000:
            raise ValueError("a reading is at most 10,000 m; check the unit")
        if self.kind not in _SIGNED and not self.value > 0:
            raise ValueError(f"a reading of kind {self.kind} is above 0")
        if self.sigma is not None and not 0 < self.sigma < math.inf:
            raise ValueError("a stated precision is above 0")
        if not self.name:
            between = f"{self.start} to {self.end}"
            points = self.end if self.kind in _FROM_DATUM else between
            object.__setattr__(self, "name", f"{self.kind} {points}")
