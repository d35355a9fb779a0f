"""How well a length is known: tape classes, stated precisions, root-sum and worst case.

References
----------
Directive 2014/32/EU of the European Parliament and of the Council, annex X (MI-008), chapter I,
point 2, table 1; the same text in the UK's SI 2016/1153, schedule 1I.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from giornata.core.foundation import Assumption
from giornata.core.survey.observations import Bay, TapeClass, WallSurvey

__all__ = [
    "LEVEL_READING", "Precision", "bay_error", "height_error", "length_error", "precision",
    "tape_error",
]  # fmt: skip

# a [mm] and b [mm of error to one m of length]: greatest permissible error is a + b L.
_CLASS_MM = {TapeClass.I: (0.1, 0.1), TapeClass.II: (0.3, 0.2), TapeClass.III: (0.6, 0.4)}

LEVEL_READING = Assumption(
    name="reading of a level or a height on a rough wall or ground",
    value=0.005,
    unit="m",
    source="common practice, no source: heights of a wall are known to 5 to 10 mm",
    usual=(0.003, 0.010),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Precision:
    """How far a value may be out: by root-sum of its parts' errors, and at the worst.

    Parameters
    ----------
    root_sum : float
        Square root of the summed squares; the parts' errors are taken as independent. [unit]
    worst : float
        All errors at their full size in the same direction. [unit]
    """

    root_sum: float
    worst: float

    def __post_init__(self) -> None:
        if not 0 <= self.root_sum <= self.worst * (1 + 1e-9) + 1e-12:
            raise ValueError("a root-sum is 0 or more and never above the worst case")


def precision(errors: Iterable[float]) -> Precision:
    """Root-sum and worst case of errors of any one unit.

    Parameters
    ----------
    errors : iterable of float
        Of either sign. [unit]

    Examples
    --------
    >>> found = precision([0.306, 0.0435])
    >>> round(found.root_sum, 2), round(found.worst, 2)
    (0.31, 0.35)
    """
    sizes = [abs(error) for error in errors]
    return Precision(root_sum=math.hypot(*sizes), worst=math.fsum(sizes))


def tape_error(tape: TapeClass, length: float) -> float:
    """Greatest error a tape of this class may have over a length. [m]

    Parameters
    ----------
    tape : TapeClass
        I, II or III.
    length : float
        Length taped; 0 or more. [m]

    Raises
    ------
    ValueError
        If the length is below 0 or not finite.

    Notes
    -----
    a + b L with L in metres rounded up to the next whole metre. Holds at 20 °C and at the pull
    marked on the tape; sag, slope and heat are not in it. It is a limit; this room uses it as if
    it were a standard deviation, which is the careful side.

    Examples
    --------
    >>> round(1000 * tape_error(TapeClass.II, 61.05), 1)   # mm
    12.7
    """
    if not (math.isfinite(length) and length >= 0):
        raise ValueError("a taped length is 0 or more")
    a, b = _CLASS_MM[tape]
    return (a + b * math.ceil(length - 1e-9)) / 1000


def length_error(survey: WallSurvey, length: float) -> float:
    """Error of one length along the wall: as stated in the survey, else the tape's. [m]

    Parameters
    ----------
    survey : WallSurvey
        Whose ``length_sigma`` and ``tape`` are used.
    length : float
        Length taped; 0 or more. [m]
    """
    if survey.length_sigma is not None:
        return survey.length_sigma
    return tape_error(survey.tape, length)


def bay_error(survey: WallSurvey, bay: Bay) -> float:
    """Error of one bay: its own precision, where it has one, else that of any length. [m]

    Parameters
    ----------
    survey : WallSurvey
        Whose ``length_sigma`` and ``tape`` are used.
    bay : Bay
        One of its bays.
    """
    return length_error(survey, bay.length) if bay.sigma is None else bay.sigma


def height_error(survey: WallSurvey, height: float) -> float:
    """Error of one level or height: as stated, else the tape's with that of the reading. [m]

    Parameters
    ----------
    survey : WallSurvey
        Whose ``height_sigma`` and ``tape`` are used.
    height : float
        Height taped; 0 or more. [m]
    """
    if survey.height_sigma is not None:
        return survey.height_sigma
    return math.hypot(tape_error(survey.tape, height), LEVEL_READING.value)
