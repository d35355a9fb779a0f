"""Hire tariffs against brute force, and hire that waits for dry days."""

from __future__ import annotations

import itertools
from decimal import Decimal
from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from giornata.core import works
from giornata.core.foundation import Money


def _usd(amount: int | str) -> Money:
    return Money(amount=Decimal(str(amount)), currency="USD")


TARIFF = {"day": _usd(150), "week": _usd(400), "four_weeks": _usd(900)}
DAY_WEEK = {"day": _usd(150), "week": _usd(400)}


@pytest.mark.parametrize(
    ("days", "cost", "words"),
    # 3 days singly would be 450; 7 = 400 + 2 × 150; 8 = 2 × 400 against 850; 11 = 900 against 950.
    [
        (0, 0, "no hire"),
        (1, 150, "1 day"),
        (3, 400, "1 week"),
        (7, 700, "1 week + 2 days"),
        (8, 800, "2 weeks"),
        (11, 900, "1 four-week period"),
        (25, 1300, "1 four-week period + 1 week"),
    ],
)
def test_n60_hire_tariff(days: int, cost: int, words: str) -> None:
    found = works.cheapest_hire(days, **TARIFF)
    assert found.cost.amount == cost
    assert str(found) == words


@given(
    days=st.integers(0, 60),
    day=st.integers(1, 400),
    week=st.integers(1, 1500),
    month=st.integers(1, 4000),
)
def test_hire_equals_brute_force(days: int, day: int, week: int, month: int) -> None:
    best = min(
        a * day + b * week + c * month
        for a, b, c in itertools.product(range(61), range(13), range(4))
        if a + 5 * b + 20 * c >= days
    )
    found = works.cheapest_hire(days, day=_usd(day), week=_usd(week), four_weeks=_usd(month))
    assert found.cost.amount == best
    assert found.days + 5 * found.weeks + 20 * found.four_weeks >= days


def test_c11_cost_as_it_comes() -> None:
    # C11's list: 5: 400, 7: 700, 8-10: 800, 11: 950, 12: 1,100, 13-15: 1,200.
    expected = {5: 400, 7: 700, 8: 800, 9: 800, 10: 800, 11: 950, 12: 1100, 13: 1200, 15: 1200}
    found = {n: int(works.hire_as_it_comes(n, **DAY_WEEK).amount) for n in expected}
    assert found == expected


def test_c11_seven_usable_days_at_64_per_cent() -> None:
    # C11: planned 700; 7 ÷ 0.64 = 10.9 days; chance of 11 or more 51 %; expected 964 as it comes
    # and 901 with four weeks booked; clause 900 - 700 = 200, or 264 as it comes.
    hire = works.hire_under_weather(7, 0.64, **TARIFF)
    assert hire.planned.amount == 700
    assert hire.expected_days == pytest.approx(10.9, abs=0.05)
    assert hire.break_even == 11
    assert hire.chance_of_break_even == pytest.approx(0.51, abs=0.005)
    assert float(hire.as_it_comes.amount) == pytest.approx(964, rel=0.001)
    assert float(hire.booked.amount) == pytest.approx(901, rel=0.001)
    assert (hire.booked_price - hire.planned).amount == 200
    assert float(hire.client_share_as_it_comes.amount) == pytest.approx(264, abs=0.5)
    assert float(hire.client_share_booked.amount) == pytest.approx(200.5, abs=0.5)


def test_c11_chance_by_binomial_sums() -> None:
    # The 7th usable day comes on day 11 or later exactly when 10 days hold at most 6 usable ones.
    at_most_six = sum(comb(10, k) * 0.64**k * 0.36 ** (10 - k) for k in range(7))
    hire = works.hire_under_weather(7, 0.64, **TARIFF)
    assert hire.chance_of_break_even == pytest.approx(at_most_six, abs=1e-9)


def test_certain_weather_is_the_plan() -> None:
    hire = works.hire_under_weather(7, 1.0, **TARIFF)
    assert hire.as_it_comes == hire.planned
    assert (hire.expected_days, hire.break_even, hire.chance_of_break_even) == (7.0, None, 0.0)


@pytest.mark.parametrize(("days", "chance"), [(0, 0.5), (7, 0.0), (7, 1.1)])
def test_weather_needs_days_and_a_chance(days: int, chance: float) -> None:
    with pytest.raises(ValueError, match="at least one usable day"):
        works.hire_under_weather(days, chance, **TARIFF)


def test_hire_is_for_some_days() -> None:
    with pytest.raises(ValueError, match="days are 0 or more"):
        works.cheapest_hire(-1, **TARIFF)


def test_as_it_comes_is_for_some_days() -> None:
    with pytest.raises(ValueError, match="days are 0 or more"):
        works.hire_as_it_comes(-1, **DAY_WEEK)
