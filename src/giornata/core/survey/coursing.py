"""Coursing as a ruler: block and brick courses counted and set against one tape reading."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["NOMINAL_COURSES", "Coursing", "coursing"]

# Nominal course heights with their joint [m]: pages on reckoning blockwork (8 in and 200 mm);
# the brick's from memory, common practice in the United Kingdom.
NOMINAL_COURSES = {"block 8 in": 0.2032, "block 200 mm": 0.200, "brick 75 mm": 0.075}


@dataclass(frozen=True, slots=True, kw_only=True)
class Coursing:
    """Courses as a ruler.

    Parameters
    ----------
    course : float
        Height of one course with its joint, as calibrated. [m]
    nominal : float
        Height it is sold as. [m]
    nominal_height : float
        What the counted courses would come to at the nominal. [m]
    error : float
        Of the nominal reading, below 0 where it reads short. [-]
    """

    course: float
    nominal: float
    nominal_height: float
    error: float


def coursing(courses: int, height: float, nominal: float) -> Coursing:
    """Course height from one taped height, and what the nominal would have read. [m]

    Parameters
    ----------
    courses : int
        Counted over the height, joints included; at least 1. [-]
    height : float
        Taped over those courses; above 0. [m]
    nominal : float
        Course height as sold; above 0. [m]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Examples
    --------
    >>> found = coursing(14, 2.90, NOMINAL_COURSES["block 8 in"])
    >>> round(1000 * found.course, 1), round(found.nominal_height, 3), round(100 * found.error)
    (207.1, 2.845, -2)
    """
    if courses < 1 or not height > 0 or not nominal > 0:
        raise ValueError("courses are at least 1, heights above 0")
    read = courses * nominal
    return Coursing(
        course=height / courses, nominal=nominal, nominal_height=read, error=read / height - 1
    )
