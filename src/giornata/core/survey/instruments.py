"""How well a reading is known, by the instrument it was taken with."""

from __future__ import annotations

import math

from giornata.core.foundation import Assumption
from giornata.core.survey.observations import TapeClass, WallSurvey
from giornata.core.survey.taken import Instrument, Kind, Taken
from giornata.core.survey.tape import LEVEL_READING, height_error, length_error, tape_error

__all__ = ["deviation"]

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

_TAPES = {
    Instrument.TAPE_I: TapeClass.I,
    Instrument.TAPE_II: TapeClass.II,
    Instrument.TAPE_III: TapeClass.III,
}
_UPRIGHT = {Kind.LEVEL, Kind.HEIGHT}
_BY_RULE = {Kind.OFFSET, Kind.PLUMB, Kind.LEAN}


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
