"""Readiness of the wall: tests held against limits, bays on hold, the first day of painting."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from giornata.core.foundation import Assumption, Figure, Finding, derived, shown_day
from giornata.core.survey import DevelopedWall
from giornata.core.works.days import WORKING_WEEK
from giornata.core.works.preparation_terms import HoldCause, PreparationTerms
from giornata.core.works.preparation_words import bay_held, paint_doubts, tests_short, wall_young
from giornata.core.works.sheet_tests import SHEET_TIME, SheetPlace, sheet_places, sheet_test_count
from giornata.core.works.terms import decided

__all__ = [
    "HeldBay", "LostDays", "Preparation", "TestVerdict", "Wait", "first_day", "lost_days",
    "preparation",
]  # fmt: skip

DAY = 86400.0

WAIT = Assumption(
    name="age of concrete or render at the first paint",
    value=30 * DAY,
    unit="s",
    source="paint makers' pages: new masonry waits 28 to 30 days; a class on murals: 3 to 4 months",
    usual=(28 * DAY, 120 * DAY),
)
WAIT_PRIMED = Assumption(
    name="age of concrete or render at the first paint, under alkali-resistant primer",
    value=7 * DAY,
    unit="s",
    source="paint makers' pages: after 7 days under alkali-resistant primer, with a pH under 13",
    usual=(7 * DAY, 30 * DAY),
)
DRYING = Assumption(
    name="drying after washing",
    value=3 * DAY,
    unit="s",
    source="unsigned article on preparation: 24 to 72 h; the longer end",
    usual=(1 * DAY, 3 * DAY),
)
MOISTURE_LIMIT = Assumption(
    name="highest reading of the moisture meter",
    value=0.055,
    unit="-",
    source="one coatings consultant, for an impedance meter; the paint's data sheet goes first",
    usual=(0.025, 0.12),
)
ALKALINITY_LIMIT = Assumption(
    name="highest pH under ordinary primer",
    value=10.0,
    unit="-",
    source="common practice, no source; makers' pages: 13 to 14 when fresh, about 9 after 30 days",
    usual=(9.0, 11.0),
)
ALKALINITY_LIMIT_PRIMED = Assumption(
    name="highest pH under alkali-resistant primer",
    value=13.0,
    unit="-",
    source="paint makers' pages: under 13 with alkali-resistant primer",
    usual=(12.0, 13.0),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class TestVerdict:
    """One test held against its limit.

    Parameters
    ----------
    bay : str
        Where it was made.
    what : str
        "moisture", "sheet" or "pH".
    reading, limit : str
        As they are printed.
    passes : bool or None
        None where the test does not count.
    """

    bay: str
    what: str
    reading: str
    limit: str
    passes: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldBay:
    """A bay that may not be painted yet.

    Parameters
    ----------
    bay : str
        Its name.
    reasons : tuple of str
        Why, each with its reading and limit.
    causes : tuple of HoldCause
        What was seen there.
    """

    bay: str
    reasons: tuple[str, ...]
    causes: tuple[HoldCause, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """A reason why painting cannot begin before a day.

    Parameters
    ----------
    until : date
        First day on which it does not hold any more.
    why : str
        In the painter's words.
    """

    until: date
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LostDays:
    """Days between the start that was planned and the first day of painting.

    Parameters
    ----------
    first, last : date
        Of the days lost.
    calendar, working : int
        How many. [days]
    """

    first: date
    last: date
    calendar: int
    working: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Preparation:
    """Whether and when the wall may be painted.

    Parameters
    ----------
    sheets_needed : Figure
        Sheet tests. [-]
    places : tuple of SheetPlace
        Where they go.
    verdicts : tuple of TestVerdict
        Every test that was made, in the order of the bays.
    held : tuple of HeldBay
        In the order of the bays.
    waits : tuple of Wait
        The latest last.
    earliest : date or None
        First day of painting, for bays that are not held; None where no date says anything.
    lost : LostDays or None
        Where that is later than planned.
    """

    sheets_needed: Figure
    places: tuple[SheetPlace, ...]
    verdicts: tuple[TestVerdict, ...]
    held: tuple[HeldBay, ...]
    waits: tuple[Wait, ...]
    earliest: date | None
    lost: LostDays | None


def first_day(since: date, wait: float) -> date:
    """First day after a wait has passed; begun days count in full.

    Parameters
    ----------
    since : date
        Day it began.
    wait : float
        0 or more. [s]

    Raises
    ------
    ValueError
        If the wait is negative or not finite.

    Examples
    --------
    >>> first_day(date(2027, 3, 3), 30 * 86400)
    datetime.date(2027, 4, 2)
    """
    if not (wait >= 0 and math.isfinite(wait)):
        raise ValueError("a wait is 0 s or more")
    return since + timedelta(days=math.ceil(wait / DAY - 1e-9))


def lost_days(
    planned: date, earliest: date, *, week: tuple[int, ...] = WORKING_WEEK
) -> LostDays | None:
    """Days lost where painting begins later than planned; None where it does not.

    Parameters
    ----------
    planned, earliest : date
        First day of painting as planned, and as the wall allows it.
    week : tuple of int
        Weekdays worked, Monday is 0. [-]
    """
    if earliest <= planned:
        return None
    days = [planned + timedelta(days=k) for k in range((earliest - planned).days)]
    working = sum(day.weekday() in week for day in days)
    return LostDays(first=days[0], last=days[-1], calendar=len(days), working=working)


def preparation(
    terms: PreparationTerms, wall: DevelopedWall
) -> tuple[Preparation, tuple[Finding, ...]]:
    """Tests against limits, bays on hold, and the first day of painting, with findings.

    Parameters
    ----------
    terms : PreparationTerms
        What was read and decided.
    wall : DevelopedWall
        For its bays, area and height.

    Notes
    -----
    A bay is held by its last reading of each kind, so that a wet bay is freed by reading it
    again. Limits come from the paint's data sheet first; the house defaults name their sources.
    """
    order = [bay.name for bay in wall.bays]
    verdicts = [*_moisture(terms), *_sheets(terms), *_alkalinity(terms)]
    named = (*(one.bay for one in verdicts), *(one.bay for one in terms.holds))
    unknown = [bay for bay in named if bay not in order]
    verdicts.sort(key=lambda one: order.index(one.bay) if one.bay in order else len(order))
    held = _held(order, verdicts, terms)
    waits = tuple(sorted(_waits(terms), key=lambda wait: wait.until))
    earliest = waits[-1].until if waits else None
    lost = None if terms.start is None or earliest is None else lost_days(terms.start, earliest)
    needed = _sheets_needed(wall)
    made = Preparation(
        sheets_needed=needed,
        places=sheet_places(wall),
        verdicts=tuple(verdicts),
        held=held,
        waits=waits,
        earliest=earliest,
        lost=lost,
    )
    counted = sum(one.what == "sheet" and one.passes is not None for one in verdicts)
    findings = [
        *tests_short(int(needed.value), counted, unknown, _too_short(terms)),
        *(bay_held(one.bay, one.reasons, one.causes) for one in held),
        *paint_doubts(terms.old_paint),
    ]
    if earliest is not None:
        why = "; ".join(wait.why for wait in waits if wait.until == earliest)
        lost_words = None
        if lost is not None:
            lost_words = (lost.first, lost.last, lost.calendar, lost.working)
        findings.append(wall_young(earliest, why, terms.start, lost_words))
    return made, tuple(findings)


def _sheets_needed(wall: DevelopedWall) -> Figure:
    return derived(
        "sheet tests",
        float(sheet_test_count(float(wall.net_area), wall.greatest_height)),
        "-",
        method="works.sheet_test_count v1",
        formula="one for each 500 sq ft, and one in each 10 ft of rise",
        parts=(wall.net_area,),
    )


def _percent(share: float) -> str:
    return f"{100 * share:.1f} %"


def _moisture(terms: PreparationTerms) -> list[TestVerdict]:
    limit = float(decided("preparation.moisture_limit", terms.moisture_limit, MOISTURE_LIMIT))
    return [
        TestVerdict(
            bay=one.bay, what="moisture", reading=_percent(one.share), limit=_percent(limit),
            passes=one.share <= limit + 1e-12,
        )
        for one in terms.moisture
    ]  # fmt: skip


def _sheets(terms: PreparationTerms) -> list[TestVerdict]:
    verdicts = []
    for one in terms.sheets:
        hours = f"{one.duration / 3600:g} h"
        counts = one.duration >= SHEET_TIME.value - 1e-6 or not one.dry
        verdicts.append(
            TestVerdict(
                bay=one.bay, what="sheet", reading=f"{'dry' if one.dry else 'wet'} after {hours}",
                limit=f"dry after {SHEET_TIME.value / 3600:g} h",
                passes=one.dry if counts else None,
            )
        )  # fmt: skip
    return verdicts


def _alkalinity(terms: PreparationTerms) -> list[TestVerdict]:
    limit = (ALKALINITY_LIMIT_PRIMED if terms.alkaline_primer else ALKALINITY_LIMIT).value
    return [
        TestVerdict(bay=one.bay, what="pH", reading=f"{one.ph:.1f}", limit=f"{limit:.1f}",
                    passes=one.ph < limit if terms.alkaline_primer else one.ph <= limit)
        for one in terms.alkalinity
    ]  # fmt: skip


def _too_short(terms: PreparationTerms) -> list[str]:
    return [one.bay for one in terms.sheets if one.dry and one.duration < SHEET_TIME.value - 1e-6]


def _held(
    order: Sequence[str], verdicts: Iterable[TestVerdict], terms: PreparationTerms
) -> tuple[HeldBay, ...]:
    last = {(one.bay, one.what): one for one in verdicts if one.passes is not None}
    held = []
    for bay in dict.fromkeys((*order, *(one.bay for one in terms.holds))):
        failed = [one for (name, _), one in last.items() if name == bay and not one.passes]
        causes = tuple(one.cause for one in terms.holds if one.bay == bay and one.cleared is None)
        reasons = (
            *(f"{one.what} {one.reading}, limit {one.limit}" for one in failed),
            *(str(cause) for cause in causes),
        )
        if reasons:
            held.append(HeldBay(bay=bay, reasons=reasons, causes=causes))
    return tuple(held)


def _waits(terms: PreparationTerms) -> list[Wait]:
    waits = []
    if terms.cast is not None:
        usual = WAIT_PRIMED if terms.alkaline_primer else WAIT
        wait = float(decided("preparation.wait", terms.wait, usual))
        why = f"the wall was made on {shown_day(terms.cast)} and waits {_days(wait)}"
        waits.append(Wait(until=first_day(terms.cast, wait), why=why))
    if terms.washed is not None:
        drying = float(decided("preparation.drying", terms.drying, DRYING))
        why = f"it was washed on {shown_day(terms.washed)} and dries {_days(drying)}"
        waits.append(Wait(until=first_day(terms.washed, drying), why=why))
    for hold in terms.holds:
        if hold.cleared is not None:
            why = f"{hold.cause} in bay {hold.bay} dealt with on {shown_day(hold.cleared)}"
            waits.append(Wait(until=hold.cleared, why=why))
    return waits


def _days(time: float) -> str:
    """A time in days, which need not be whole ("30 days", "1 day", "1.5 days")."""
    return f"{time / DAY:g} day{'s' * (time != DAY)}"
