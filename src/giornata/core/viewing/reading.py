"""Legibility: how large a shape looks from where people stand or pass."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from giornata.core.foundation import Assumption, Finding, Severity, number_of

__all__ = [
    "BEST_RATIO", "LIMIT_RATIO", "MOST_WORDS", "Legibility", "Reading", "height_needed",
    "legibility", "message_finding", "passing_time", "size_finding", "subtended_angle",
]  # fmt: skip

BEST_RATIO = Assumption(
    name="viewing distance over height at which a shape reads best",
    value=120.0,
    unit="-",
    source="sign suppliers' charts, about 1 inch to 10 feet (one after a 1998 university study)",
    usual=(100.0, 150.0),
)
LIMIT_RATIO = Assumption(
    name="viewing distance over height beyond which a shape is not read",
    value=300.0,
    unit="-",
    source="sign suppliers' charts, about 1 inch to 25 to 29 feet, black on white",
    usual=(300.0, 350.0),
)
MOST_WORDS = Assumption(
    name="most words of a message read in passing",
    value=7.0,
    unit="-",
    source="no published source: a choice of this house",
    usual=(5.0, 9.0),
)


class Reading(StrEnum):
    """How well a shape is read."""

    BEST = "best"
    READABLE = "readable"
    FAILS = "fails"


@dataclass(frozen=True, slots=True, kw_only=True)
class Legibility:
    """A shape seen from a distance.

    Parameters
    ----------
    ratio : float
        Distance over height. [-]
    reading : Reading
        Best, readable or fails.
    height_at_limit, height_at_best : float
        Heights that would be readable and read best from there, to the next millimetre. [m]
    """

    ratio: float
    reading: Reading
    height_at_limit: float
    height_at_best: float


def legibility(height: float, distance: float) -> Legibility:
    """How well a shape is read from a distance, square on.

    Parameters
    ----------
    height : float
        Of the shape or letter; above 0. [m]
    distance : float
        From the eye; above 0. [m]

    Raises
    ------
    ValueError
        If an argument is not above 0.

    Examples
    --------
    >>> legibility(0.45, 70.0).reading.value
    'readable'
    """
    if not (height > 0 and distance > 0):
        raise ValueError("height and distance are above 0")
    ratio = distance / height
    if ratio <= BEST_RATIO.value:
        reading = Reading.BEST
    else:
        reading = Reading.READABLE if ratio <= LIMIT_RATIO.value else Reading.FAILS
    return Legibility(
        ratio=ratio,
        reading=reading,
        height_at_limit=height_needed(distance, LIMIT_RATIO.value),
        height_at_best=height_needed(distance, BEST_RATIO.value),
    )


def height_needed(distance: float, ratio: float) -> float:
    """Height that is read from a distance at a ratio, up to the next millimetre. [m]

    Parameters
    ----------
    distance : float
        From the eye; above 0. [m]
    ratio : float
        Distance over height; above 0. [-]

    Raises
    ------
    ValueError
        If an argument is not above 0.

    Examples
    --------
    >>> height_needed(40.0, 300.0), height_needed(40.0, 120.0)
    (0.134, 0.334)
    """
    if not (distance > 0 and ratio > 0):
        raise ValueError("distance and ratio are above 0")
    return math.ceil(1000 * distance / ratio - 1e-9) / 1000


def size_finding(name: str, height: float, distance: float) -> Finding | None:
    """Finding where a shape is too small to be read from a distance, else None.

    Parameters
    ----------
    name : str
        The shape, in the painter's words.
    height : float
        Of the shape; above 0. [m]
    distance : float
        From the eye; above 0. [m]
    """
    seen = legibility(height, distance)
    if seen.reading is not Reading.FAILS:
        return None
    return Finding(
        code="viewing.too_small",
        severity=Severity.WARN,
        subject=name,
        message=(
            f"{height:.3f} m seen from {distance:g} m is 1:{seen.ratio:.0f}; "
            f"beyond 1:{LIMIT_RATIO.value:.0f} it is not read."
        ),
        remedy=(
            f"Make it {seen.height_at_limit:.3f} m high at least, {seen.height_at_best:.3f} m to "
            "be read well."
        ),
    )


def passing_time(length: float, speed: float) -> float:
    """Time for which somebody passing has a length of wall beside them. [s]

    Parameters
    ----------
    length : float
        Of wall; above 0. [m]
    speed : float
        Above 0. [m/s]

    Raises
    ------
    ValueError
        If an argument is not above 0.

    Examples
    --------
    >>> round(passing_time(60.0, 50 / 3.6), 1)
    4.3
    """
    if not (length > 0 and speed > 0):
        raise ValueError("length and speed are above 0")
    return length / speed


def message_finding(words: int, length: float, speed: float) -> Finding | None:
    """Finding where a message is too long for those who pass, else None.

    Parameters
    ----------
    words : int
        Words of the message; at least 1. [-]
    length : float
        Of wall it is seen on; above 0. [m]
    speed : float
        Of those who pass; above 0. [m/s]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if words < 1:
        raise ValueError("a message has at least one word")
    time = passing_time(length, speed)
    if words <= MOST_WORDS.value:
        return None
    return Finding(
        code="viewing.message_long",
        severity=Severity.WARN,
        subject=f"message of {number_of(words, 'word')}",
        message=(
            f"Passing {length:g} m of wall takes {time:.1f} s; at most {MOST_WORDS.value:.0f} "
            "words are read in passing."
        ),
        remedy=f"Cut it to one message of {MOST_WORDS.value:.0f} words or fewer.",
    )


def subtended_angle(offset: float, start: float, end: float) -> float:
    """Angle that a stretch of wall fills, seen from a point beside it. [rad]

    Parameters
    ----------
    offset : float
        Eye to wall, square on; above 0. [m]
    start, end : float
        Ends of the stretch along the wall, from the foot of the square; start below end. [m]

    Raises
    ------
    ValueError
        If the offset is not above 0 or the stretch does not ascend.

    Examples
    --------
    >>> round(math.degrees(subtended_angle(8.0, 39.0, 41.0)), 2)
    0.55
    """
    if not offset > 0:
        raise ValueError("the eye is in front of the wall")
    if not start < end:
        raise ValueError("a stretch of wall ends after it starts")
    return math.atan2(end, offset) - math.atan2(start, offset)
