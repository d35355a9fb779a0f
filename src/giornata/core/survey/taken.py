"""Readings taken between named points of a wall, each with the instrument it was taken with."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from giornata.core.foundation import Assumption
from giornata.core.survey.observations import TapeClass, WallSurvey
from giornata.core.survey.tape import LEVEL_READING, height_error, length_error, tape_error

__all__ = ["DATUM", "Instrument", "Kind", "Taken", "deviation"]

DATUM = "datum"
"""Name of the point that has chainage, level and offset 0."""

LASER_METER = Assumption(
    name="one length by a hand-held laser meter",
    value=0.002,
    unit="m",
    source="from memory: makers' sheets state 1.5 to 3 mm on a bright wall in daylight",
    usual=(0.0015, 0.004),
)
LASER_METER_PER_METRE = Assumption(
    name="what a hand-held laser meter's error grows with its length",
    value=0.0001,
    unit="m/m",
    source="from memory: makers' sheets add 0.05 to 0.15 mm/m beyond 10 m",
    usual=(0.00005, 0.00015),
)
LEVEL_INSTRUMENT = Assumption(
    name="one level by an optical or turning-laser level and a staff",
    value=0.003,
    unit="m",
    source="a maker's manual of a turning laser, 0.05 mm/m: 1.5 mm at 30 m; the staff from memory",
    usual=(0.002, 0.005),
)
STRING_LINE = Assumption(
    name="one offset, plumb or lean, read with a rule from a string or a plumb line",
    value=0.003,
    unit="m",
    source="common practice, no source",
    usual=(0.002, 0.005),
)
COURSE_JOINT = Assumption(
    name="where a count of courses begins and ends",
    value=0.010,
    unit="m",
    source="common practice, no source: a bed joint is about 10 mm thick",
    usual=(0.005, 0.015),
)


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


_TAPES = {
    Instrument.TAPE_I: TapeClass.I,
    Instrument.TAPE_II: TapeClass.II,
    Instrument.TAPE_III: TapeClass.III,
}
_FROM_DATUM = {Kind.CHAINAGE, Kind.LEVEL, Kind.OFFSET}
_SIGNED = {Kind.CHAINAGE, Kind.LEVEL, Kind.OFFSET, Kind.PLUMB, Kind.LEAN}
_UPRIGHT = {Kind.LEVEL, Kind.HEIGHT}
_BY_RULE = {Kind.OFFSET, Kind.PLUMB, Kind.LEAN}


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


def deviation(survey: WallSurvey, reading: Taken) -> float:
    """Standard deviation of a reading: as stated, else its instrument's, else the survey's. [m]

    Parameters
    ----------
    survey : WallSurvey
        For its tape and its stated precisions.
    reading : Taken
        The reading.

    Notes
    -----
    A tape's greatest permissible error is used as if it were a standard deviation, which is the
    careful side. On a level or a height a tape or a laser has the error of reading with it.
    """
    if reading.sigma is not None:
        return reading.sigma
    if reading.kind is Kind.COURSES:
        return COURSE_JOINT.value
    size = abs(reading.value)
    if reading.instrument is None:
        if reading.kind in _BY_RULE:
            return STRING_LINE.value
        of = height_error if reading.kind in _UPRIGHT else length_error
        return of(survey, size)
    if reading.instrument is Instrument.LEVEL:
        return LEVEL_INSTRUMENT.value
    if reading.instrument is Instrument.STRING:
        return STRING_LINE.value
    if reading.instrument is Instrument.LASER:
        error = LASER_METER.value + LASER_METER_PER_METRE.value * size
    else:
        error = tape_error(_TAPES[reading.instrument], size)
    return math.hypot(error, LEVEL_READING.value) if reading.kind in _UPRIGHT else error
