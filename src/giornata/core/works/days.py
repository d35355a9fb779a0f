"""Working days: from hours to days of work, days on the calendar, and the latest start."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from giornata.core.foundation import Assumption, Figure, derived, given
from giornata.core.works.terms import LabourTerms, decided

__all__ = [
    "PRODUCTIVE", "USABLE", "WORKING_WEEK", "WorkingDays", "booked_days", "latest_start",
    "working_days",
]  # fmt: skip

PRODUCTIVE = Assumption(
    name="productive time in a day",
    value=6.5 * 3600,
    unit="s",
    source="painters' forum: 6.5 productive hours in 8",
    usual=(5.0 * 3600, 7.5 * 3600),
)
USABLE = Assumption(
    name="usable days",
    value=0.7,
    unit="-",
    source="common practice, no source; depends on place and season",
    usual=(0.4, 0.95),
)
WORKING_WEEK = (0, 1, 2, 3, 4)
"""Monday to Friday, as weekdays of `datetime.date`; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkingDays:
    """How long a piece of work takes.

    Parameters
    ----------
    work : Figure
        Dry days on the wall with all people. [days]
    calendar : Figure
        Working days that pass until then, unusable ones included. [days]
    booked : Figure
        Whole working days to book. [days]
    """

    work: Figure
    calendar: Figure
    booked: Figure


def booked_days(calendar: float) -> int:
    """Whole working days that hold a length of work. [-]

    Parameters
    ----------
    calendar : float
        0 or more, finite. [days]

    Raises
    ------
    ValueError
        If it is negative or not finite.
    """
    if not (calendar >= 0 and math.isfinite(calendar)):
        raise ValueError("days are 0 or more")
    return math.ceil(calendar - 1e-9)


def working_days(duration: Figure, terms: LabourTerms) -> WorkingDays:
    """Days of work, working days on the calendar, and whole days to book. [days]

    Parameters
    ----------
    duration : Figure
        Person-time. [s]
    terms : LabourTerms
        People, productive time, share of usable days.
    """
    people = given("people", float(terms.people), "-", source="job file, labour.people")
    productive = decided("labour.productive", terms.productive, PRODUCTIVE)
    usable = decided("labour.usable_days", terms.usable_days, USABLE)
    method = "works.working_days v1"
    work = derived(
        "days of work", float(duration) / (terms.people * float(productive)), "days",
        method=method, formula="hours ÷ people ÷ productive time in a day",
        parts=(duration, people, productive),
    )  # fmt: skip
    calendar = derived(
        "working days on the calendar", float(work) / float(usable), "days", method=method,
        formula="days of work ÷ share of usable days", parts=(work, usable),
    )  # fmt: skip
    booked = derived(
        "days to book", float(booked_days(float(calendar))), "days", method=method,
        formula="working days on the calendar, rounded up", parts=(calendar,),
    )  # fmt: skip
    return WorkingDays(work=work, calendar=calendar, booked=booked)


def latest_start(
    finish: date,
    days: int,
    *,
    holidays: Iterable[date] = (),
    week: tuple[int, ...] = WORKING_WEEK,
) -> date:
    """The last day on which work may start to be finished on a date, both days worked.

    Parameters
    ----------
    finish : date
        Last working day allowed; where it is no working day, the one before it counts.
    days : int
        Working days booked, at least 1. [-]
    holidays : iterable of date
        Days nobody works.
    week : tuple of int
        Weekdays worked, Monday is 0; at least one. [-]

    Raises
    ------
    ValueError
        If no day is booked, or no weekday is worked.

    Examples
    --------
    >>> latest_start(date(2027, 6, 11), 10)   # a Friday; two weeks from a Monday
    datetime.date(2027, 5, 31)
    """
    if days < 1 or not set(week) & set(range(7)):
        raise ValueError("at least one day is booked and one weekday is worked")
    closed = set(holidays)
    day, left = finish, days
    while True:
        if day.weekday() in week and day not in closed:
            left -= 1
            if left == 0:
                return day
        day -= timedelta(days=1)
