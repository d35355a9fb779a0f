"""Access: whether a lift is needed, how high its platform must go, and what its hire costs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from giornata.core.foundation import (
    Assumption,
    Figure,
    Finding,
    Money,
    Severity,
    derived,
    given,
    number_of,
)
from giornata.core.works.days import WorkingDays, booked_days
from giornata.core.works.hire import HirePeriods, cheapest_hire
from giornata.core.works.terms import AccessTerms

__all__ = [
    "REACH", "WITHOUT_LIFT", "Lift", "LiftHire", "fitting_lifts", "lift_hire", "lift_stations",
    "platform_height",
]  # fmt: skip

REACH = Assumption(
    name="reach above a platform",
    value=1.8,
    unit="m",
    source="US lift-hire FAQ: working height is platform height + 6 ft",
    usual=(1.8, 2.0),
)
WITHOUT_LIFT = Assumption(
    name="wall height worked from a podium",
    value=3.5,
    unit="m",
    source="no published source: podium of 1.0 m, 1.8 m reach and 0.7 m of pole",
    usual=(3.0, 3.5),
)
_SAFETY = (
    "Local rules for work at height, the machine's manual and its wind plate come before this."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """A machine that lifts people, from the hire list.

    Parameters
    ----------
    name : str
        On the list.
    platform : float
        Highest platform, above 0. [m]
    wind_plate : float
        Wind it may work in, from its plate; 0 is indoors only. [m/s]
    """

    name: str
    platform: float
    wind_plate: float

    def __post_init__(self) -> None:
        if not (self.platform > 0 and self.wind_plate >= 0):
            raise ValueError("a platform is above 0 and a wind plate 0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftHire:
    """A lift on hire for the job.

    Parameters
    ----------
    days : Figure
        Working days on hire. [days]
    platform : Figure
        Least platform height. [m]
    periods : HirePeriods
        Cheapest periods that cover the days.
    hire, delivery, cost : Figure
        Money: the periods, both ways of delivery, and their sum.
    """

    days: Figure
    platform: Figure
    periods: HirePeriods
    hire: Figure
    delivery: Figure
    cost: Figure

    @property
    def money(self) -> Money:
        """The cost as an amount."""
        return Money(amount=Decimal(self.cost.value), currency=self.cost.unit)


def platform_height(top: Figure) -> Figure:
    """Least platform height to work up to the top of a wall; 0 where the ground will do. [m]"""
    reach = REACH.figure()
    return derived(
        "platform height", max(float(top) - float(reach), 0.0), "m",
        method="works.platform_height v1", formula="top of the wall less reach",
        parts=(top, reach),
    )  # fmt: skip


def fitting_lifts(
    platform: Figure, lifts: Sequence[Lift]
) -> tuple[tuple[Lift, ...], tuple[Finding, ...]]:
    """Lifts high enough and plated for wind, lowest first, with a finding for each other one.

    Parameters
    ----------
    platform : Figure
        Least platform height. [m]
    lifts : sequence of Lift
        From the hire list.
    """
    fitting, findings = [], []
    for lift in sorted(lifts, key=lambda each: (each.platform, each.name)):
        low = lift.platform < float(platform) - 1e-9
        if not low and lift.wind_plate > 0:
            fitting.append(lift)
            continue
        findings.append(
            Finding(
                code="works.lift_low" if low else "works.lift_indoors",
                severity=Severity.WARN,
                subject=lift.name,
                message=f"Its platform goes to {lift.platform:.1f} m; "
                f"{float(platform):.1f} m is needed."
                if low
                else "Its plate allows no wind: it may not be used outdoors.",
                remedy=f"Hire a {'higher' if low else 'wind-plated'} machine. {_SAFETY}",
            )
        )
    return tuple(fitting), tuple(findings)


def lift_stations(length: float, deck: float, reach: float) -> int:
    """Standing places of a lift along a wall, for one band of height. [-]

    Parameters
    ----------
    length : float
        Of wall, above 0. [m]
    deck : float
        Length of the platform with its extension, above 0. [m]
    reach : float
        Beyond each end of the platform, 0 or more. [m]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Examples
    --------
    >>> lift_stations(30.0, 2.3 + 0.9, 0.4)
    8
    """
    if not (length > 0 and deck > 0 and reach >= 0):
        raise ValueError("length and deck are above 0 and reach 0 or more")
    return math.ceil(length / (deck + 2 * reach) - 1e-9)


def lift_hire(
    *,
    wall_height: Figure,
    days: WorkingDays,
    terms: AccessTerms | None,
    tall_share: Figure | None = None,
) -> tuple[LiftHire | None, tuple[Finding, ...]]:
    """The lift a job needs and its hire; None where it needs none or the tariff is not known.

    Parameters
    ----------
    wall_height : Figure
        Greatest height of the painted wall above the ground. [m]
    days : WorkingDays
        Of the painting.
    terms : AccessTerms or None
        Height limit and tariff.
    tall_share : Figure or None
        Share of the net wall in parts above the limit, above 0 to 1: the lift is on hire for
        that share of the booked days. None: all of them. [-]

    Raises
    ------
    ValueError
        If the share is outside its range.
    """
    if tall_share is not None and not 0 < float(tall_share) <= 1:
        raise ValueError("the share of tall wall is above 0 and at most 1")
    limit = WITHOUT_LIFT.value if terms is None else terms.lift_above
    height = float(wall_height)
    needed = height > limit + 1e-9
    if terms is None:
        return None, ((_no_tariff(height, limit),) if needed else ())
    if not needed:
        return None, _without(height, limit, terms, int(days.booked.value))
    return _hired(wall_height, days, terms, tall_share), ()


def _hired(
    wall_height: Figure, days: WorkingDays, terms: AccessTerms, tall_share: Figure | None
) -> LiftHire:
    share = 1.0 if tall_share is None else float(tall_share)
    number = booked_days(float(days.booked) * share)
    on_hire = derived(
        "lift days", float(number), "days", method="works.lift_hire v1",
        formula="days to book"
        if tall_share is None
        else "days to book × share of tall wall, rounded up",
        parts=(days.booked,) if tall_share is None else (days.booked, tall_share),
    )  # fmt: skip
    periods = cheapest_hire(
        number, day=terms.day, week=terms.week, four_weeks=terms.four_weeks
    )  # fmt: skip
    currency = terms.day.currency
    tariff = tuple(
        given(f"hire, {word}", price.amount, currency, source=f"job file, access.{key}")
        for word, key, price in (
            ("a day", "day", terms.day),
            ("a week", "week", terms.week),
            ("four weeks", "four_weeks", terms.four_weeks),
        )
    )
    hire = derived(
        "lift hire", periods.cost.rounded().amount, currency, method="works.cheapest_hire v1",
        formula=f"cheapest periods that cover the lift days: {periods}", parts=(on_hire, *tariff),
    )  # fmt: skip
    one_way = given(
        "delivery, one way", terms.delivery.amount, currency, source="job file, access.delivery"
    )
    both = (terms.delivery * 2).rounded()
    delivery = derived(
        "delivery and collection", both.amount, currency, method="works.lift_hire v1",
        formula="2 × delivery, one way", parts=(one_way,),
    )  # fmt: skip
    cost = derived(
        "lift", (periods.cost.rounded() + both).amount, currency, method="works.lift_hire v1",
        formula="hire + delivery and collection", parts=(hire, delivery),
    )  # fmt: skip
    return LiftHire(
        days=on_hire, platform=platform_height(wall_height), periods=periods, hire=hire,
        delivery=delivery, cost=cost,
    )  # fmt: skip


def _no_tariff(height: float, limit: float) -> Finding:
    return Finding(
        code="works.no_hire_tariff",
        severity=Severity.WARN,
        subject="access",
        message=f"The wall is {height:.2f} m high, above the {limit:.2f} m that a podium serves, "
        "and no hire tariff is entered: the price has no lift in it.",
        remedy=f"Enter the hire desk's prices under [access]. {_SAFETY}",
    )


def _without(height: float, limit: float, terms: AccessTerms, booked: int) -> tuple[Finding, ...]:
    """No lift: what that saves, or that the painter's own limit is too high to be safe."""
    if height > WITHOUT_LIFT.value + 1e-9:
        return (
            Finding(
                code="works.reach",
                severity=Severity.WARN,
                subject="access",
                message=f"The wall is {height:.2f} m high and [access] wants a lift only above "
                f"{limit:.2f} m; a podium and a pole serve {WITHOUT_LIFT.value:.2f} m.",
                remedy=f"Lower lift_above, or plan a tower. {_SAFETY}",
            ),
        )
    saved = cheapest_hire(booked, day=terms.day, week=terms.week, four_weeks=terms.four_weeks)
    return (
        Finding(
            code="works.no_lift",
            severity=Severity.NOTE,
            subject="access",
            message=f"The wall is {height:.2f} m high: no lift below {limit:.2f} m, a podium of "
            f"0.6 to 1.0 m. A lift for {number_of(booked, 'working day')} ({saved}) with delivery "
            "and "
            f"collection would cost {saved.cost + terms.delivery * 2} before contingency.",
            remedy=f"Allow for the podium. {_SAFETY}",
        ),
    )
