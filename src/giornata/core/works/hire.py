"""Hire by the day, the week or four weeks: the cheapest periods, and hire under weather."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from giornata.core.foundation import Money

__all__ = [
    "DAYS_IN_FOUR_WEEKS", "DAYS_IN_WEEK", "HirePeriods", "HireUnderWeather", "cheapest_hire",
    "hire_as_it_comes", "hire_under_weather",
]  # fmt: skip

DAYS_IN_WEEK = 5
"""Working days that a week's hire covers; common practice, no source."""
DAYS_IN_FOUR_WEEKS = 20
"""Working days that four weeks' hire covers: US hire desks bill a month as 28 days."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HirePeriods:
    """Periods to hire for, and their price without delivery.

    Parameters
    ----------
    days, weeks, four_weeks : int
        How many of each, 0 or more. [-]
    cost : Money
        Together.
    """

    days: int
    weeks: int
    four_weeks: int
    cost: Money

    def __str__(self) -> str:
        counted = (
            (self.four_weeks, "four-week period"), (self.weeks, "week"), (self.days, "day"),
        )  # fmt: skip
        words = [f"{n} {word}{'s' if n > 1 else ''}" for n, word in counted if n]
        return " + ".join(words) or "no hire"


@dataclass(frozen=True, slots=True, kw_only=True)
class HireUnderWeather:
    """Hire for work that waits for usable days.

    Parameters
    ----------
    planned : Money
        If every day were usable.
    expected_days : float
        Working days until the work is done, on average. [days]
    break_even : int or None
        Days from which four weeks booked at the start are cheaper; None where never. [days]
    chance_of_break_even : float
        Chance that the work takes that long or longer. [-]
    as_it_comes, booked : Money
        Expected cost by days and weeks, and with four weeks booked at the start.
    booked_price : Money
        Price of the four-week periods booked.
    client_share_as_it_comes, client_share_booked : Money
        What a weather clause bills on average, if the client pays what goes over ``planned``.
    """

    planned: Money
    expected_days: float
    break_even: int | None
    chance_of_break_even: float
    as_it_comes: Money
    booked: Money
    booked_price: Money
    client_share_as_it_comes: Money
    client_share_booked: Money


def cheapest_hire(days: int, *, day: Money, week: Money, four_weeks: Money) -> HirePeriods:
    """The cheapest periods that cover working days; of equal ones the longest periods.

    Parameters
    ----------
    days : int
        Working days wanted, 0 or more. [-]
    day, week, four_weeks : Money
        Price of 1, 5 and 20 working days; above 0.

    Raises
    ------
    ValueError
        If days are negative or a price is not above 0.

    Notes
    -----
    Every count of four-week periods and weeks up to covering alone is tried.

    Examples
    --------
    >>> usd = lambda amount: Money(amount=Decimal(amount), currency="USD")
    >>> best = cheapest_hire(7, day=usd(150), week=usd(400), four_weeks=usd(900))
    >>> str(best), str(best.cost)
    ('1 week + 2 days', '700.00 USD')
    """
    if days < 0 or min(day.amount, week.amount, four_weeks.amount) <= 0:
        raise ValueError("days are 0 or more and prices above 0")
    best: HirePeriods | None = None
    for months in range(math.ceil(days / DAYS_IN_FOUR_WEEKS), -1, -1):
        after_months = max(days - months * DAYS_IN_FOUR_WEEKS, 0)
        for weeks in range(math.ceil(after_months / DAYS_IN_WEEK), -1, -1):
            single = max(after_months - weeks * DAYS_IN_WEEK, 0)
            cost = four_weeks * months + week * weeks + day * single
            if best is None or cost < best.cost:
                best = HirePeriods(days=single, weeks=weeks, four_weeks=months, cost=cost)
    assert best is not None
    return best


def hire_as_it_comes(days: int, *, day: Money, week: Money) -> Money:
    """Price of working days billed as they come: whole weeks, then days, at most a week.

    Parameters
    ----------
    days : int
        0 or more. [-]
    day, week : Money
        Price of 1 and of 5 working days; above 0.

    Raises
    ------
    ValueError
        If days are negative or a price is not above 0.
    """
    if days < 0 or min(day.amount, week.amount) <= 0:
        raise ValueError("days are 0 or more and prices above 0")
    weeks, single = divmod(days, DAYS_IN_WEEK)
    rest = day * single
    return week * weeks + (week if week < rest else rest)


def hire_under_weather(
    usable_needed: int, chance: float, *, day: Money, week: Money, four_weeks: Money
) -> HireUnderWeather:
    """What hire is expected to cost when each day is usable with a chance.

    Parameters
    ----------
    usable_needed : int
        Usable days of work, at least 1. [-]
    chance : float
        That a working day is usable, each for itself; above 0 to 1. [-]
    day, week, four_weeks : Money
        Price of 1, 5 and 20 working days; above 0.

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    The number of working days until the last usable one is negative binomial. Real weather
    comes in spells, so long hires are likelier than here. Days past the booked four weeks are
    billed as they come.
    """
    if usable_needed < 1 or not 0 < chance <= 1:
        raise ValueError("at least one usable day, and a chance above 0 to 1")
    from scipy import stats  # takes longer to load than all else: only where it is used

    waiting = stats.nbinom(usable_needed, chance)
    longest = usable_needed + int(waiting.ppf(1 - 1e-12))
    booked_periods = math.ceil(usable_needed / DAYS_IN_FOUR_WEEKS)
    booked_days, booked_price = booked_periods * DAYS_IN_FOUR_WEEKS, four_weeks * booked_periods
    planned = hire_as_it_comes(usable_needed, day=day, week=week)
    coming = booked = Decimal(0)
    break_even: int | None = None
    over = 0.0
    for days in range(usable_needed, longest + 1):
        odds = float(waiting.pmf(days - usable_needed))
        price = hire_as_it_comes(days, day=day, week=week)
        with_book = booked_price + hire_as_it_comes(max(days - booked_days, 0), day=day, week=week)
        coming += Decimal(repr(odds)) * price.amount
        booked += Decimal(repr(odds)) * with_book.amount
        if break_even is None and with_book < price:
            break_even = days
        if break_even is not None:
            over += odds

    def money(amount: Decimal) -> Money:
        return Money(amount=amount, currency=day.currency).rounded()

    return HireUnderWeather(
        planned=planned,
        expected_days=usable_needed / chance,
        break_even=break_even,
        chance_of_break_even=over,
        as_it_comes=money(coming),
        booked=money(booked),
        booked_price=booked_price,
        client_share_as_it_comes=money(coming - planned.amount),
        client_share_booked=money(booked - planned.amount),
    )
