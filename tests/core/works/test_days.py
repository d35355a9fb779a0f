"""Days of work and the latest start, against numpy's business days."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given as for_any
from hypothesis import strategies as st

from giornata.core import works
from giornata.core.foundation import Basis, given

HOUR = 3600.0


def test_n32_days_of_85_3_hours(labour_terms) -> None:
    # 85.3 ÷ (2 × 6.5) = 6.56 days of work; ÷ 0.7 = 9.37 on the calendar; book 10.
    days = works.working_days(given("hours", 85.3 * HOUR, "s", source="N24"), labour_terms)
    assert float(days.work) == pytest.approx(6.6, abs=0.05)
    assert float(days.calendar) == pytest.approx(9.4, abs=0.05)
    assert days.booked.value == 10


def test_n32_latest_start_for_a_date() -> None:
    # Ten working days to Friday 11 June 2027 are two Monday-to-Friday weeks: Monday 31 May.
    assert works.latest_start(date(2027, 6, 11), 10) == date(2027, 5, 31)
    # A holiday on Monday 31 May pushes the start to the Friday before.
    assert works.latest_start(date(2027, 6, 11), 10, holidays=[date(2027, 5, 31)]) == date(
        2027, 5, 28
    )
    # A finish on Sunday counts as the Friday before.
    assert works.latest_start(date(2027, 6, 13), 1) == date(2027, 6, 11)


@for_any(
    finish=st.dates(date(2026, 1, 1), date(2030, 12, 31)),
    days=st.integers(1, 60),
    closed=st.lists(st.integers(0, 90), max_size=8),
)
def test_latest_start_equals_numpy(finish: date, days: int, closed: list[int]) -> None:
    holidays = [finish - timedelta(days=back) for back in closed]
    expected = np.busday_offset(
        finish, -(days - 1), roll="backward", holidays=np.array(holidays, dtype="datetime64[D]")
    )
    assert works.latest_start(finish, days, holidays=holidays) == expected.astype(date)


def test_days_that_come_out_whole_are_not_rounded_up() -> None:
    assert works.booked_days(10.0) == 10
    assert works.booked_days(9.999999999999 + 1e-11) == 10
    assert works.booked_days(10.01) == 11
    assert works.booked_days(0.0) == 0


def test_house_defaults_of_a_day(labour_terms) -> None:
    # 6.5 h and 70 % are the defaults, so the answer is N32's, and says what is assumed.
    terms = replace(labour_terms, productive=None, usable_days=None)
    days = works.working_days(given("hours", 85.3 * HOUR, "s", source="N24"), terms)
    assert float(days.calendar) == pytest.approx(9.4, abs=0.05)
    assumed = {f.name for f in days.booked.walk() if f.basis is Basis.ASSUMED}
    assert assumed == {"productive time in a day", "usable days"}


def test_a_start_needs_a_day() -> None:
    with pytest.raises(ValueError, match="at least one day"):
        works.latest_start(date(2027, 6, 11), 0)


def test_a_start_needs_a_weekday() -> None:
    with pytest.raises(ValueError, match="one weekday"):
        works.latest_start(date(2027, 6, 11), 1, week=())


def test_days_are_not_negative() -> None:
    with pytest.raises(ValueError, match="days are 0 or more"):
        works.booked_days(-1.0)
