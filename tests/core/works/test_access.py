"""Lift or podium, platform heights, stations, hire."""

from __future__ import annotations

from dataclasses import replace

import pytest

from giornata.core import works
from giornata.core.foundation import Severity, given

HOUR = 3600.0


def _height(value: float):
    return given("wall height", value, "m", source="worked case")


@pytest.fixture
def ten_days(labour_terms) -> works.WorkingDays:
    """N32's 85.3 h: 10 working days booked."""
    return works.working_days(given("hours", 85.3 * HOUR, "s", source="N24"), labour_terms)


def test_n23_lift_for_two_weeks(ten_days, access_terms) -> None:
    # 10 days are 2 weeks at 400; + 2 × 95 = 990.00.
    lift, findings = works.lift_hire(wall_height=_height(2.9), days=ten_days, terms=access_terms)
    assert lift.days.value == 10
    assert str(lift.periods) == "2 weeks"
    assert str(lift.money) == "990.00 USD"
    assert str(lift.hire.value) == "800.00"
    assert findings == ()


def test_n57_no_lift_for_a_wall_of_2_9_m(ten_days, access_terms) -> None:
    terms = replace(access_terms, lift_above=3.2)
    lift, (finding,) = works.lift_hire(wall_height=_height(2.9), days=ten_days, terms=terms)
    assert lift is None
    assert finding.code == "works.no_lift"
    assert finding.severity is Severity.NOTE
    assert "podium of 0.6 to 1.0 m" in finding.message
    assert "990.00 USD before contingency" in finding.message
    assert "machine's manual" in finding.remedy


def test_a_limit_no_podium_reaches(ten_days, access_terms) -> None:
    terms = replace(access_terms, lift_above=6.0)
    lift, (finding,) = works.lift_hire(wall_height=_height(5.0), days=ten_days, terms=terms)
    assert lift is None
    assert finding.code == "works.reach"
    assert finding.severity is Severity.WARN


def test_a_lift_without_a_tariff(ten_days) -> None:
    lift, (finding,) = works.lift_hire(wall_height=_height(5.0), days=ten_days, terms=None)
    assert lift is None
    assert finding.code == "works.no_hire_tariff"
    assert works.lift_hire(wall_height=_height(2.0), days=ten_days, terms=None) == (None, ())


def test_lift_only_while_the_tall_part_is_painted(ten_days, access_terms) -> None:
    # 0.42 of 10 days are 4.2, so 5 whole days: 1 week at 400 + 190.
    share = given("share of tall wall", 0.42, "-", source="worked case")
    lift, _ = works.lift_hire(
        wall_height=_height(5.0), days=ten_days, terms=access_terms, tall_share=share
    )
    assert lift.days.value == 5
    assert str(lift.money) == "590.00 USD"


def test_n58_platform_for_8_4_m() -> None:
    # 8.4 - 1.8 = 6.6 m; 19 ft = 5.79 m is too low, 26 ft = 7.92 m fits, if plated for wind.
    platform = works.platform_height(_height(8.4))
    assert float(platform) == pytest.approx(6.6)
    low = works.Lift(name="19 ft", platform=19 * 0.3048, wind_plate=12.5)
    fits = works.Lift(name="26 ft", platform=26 * 0.3048, wind_plate=12.5)
    indoors = works.Lift(name="26 ft, indoors", platform=26 * 0.3048, wind_plate=0.0)
    fitting, findings = works.fitting_lifts(platform, [indoors, fits, low])
    assert fitting == (fits,)
    assert [(f.code, f.subject) for f in findings] == [
        ("works.lift_low", "19 ft"),
        ("works.lift_indoors", "26 ft, indoors"),
    ]


def test_a_low_wall_needs_no_platform() -> None:
    assert float(works.platform_height(_height(1.5))) == 0.0


def test_n59_eight_stations() -> None:
    # 30 ÷ (2.3 + 0.9 + 2 × 0.4) = 7.5, so 8; 32 m are 8 exactly.
    assert works.lift_stations(30.0, 2.3 + 0.9, 0.4) == 8
    assert works.lift_stations(32.0, 3.2, 0.4) == 8
    assert works.lift_stations(32.1, 3.2, 0.4) == 9


def test_stations_stand_along_a_wall() -> None:
    with pytest.raises(ValueError, match="length and deck"):
        works.lift_stations(0.0, 3.2, 0.4)


def test_a_share_of_tall_wall(ten_days, access_terms) -> None:
    share = given("share of tall wall", 0.0, "-", source="worked case")
    with pytest.raises(ValueError, match="share of tall wall"):
        works.lift_hire(
            wall_height=_height(5.0), days=ten_days, terms=access_terms, tall_share=share
        )


def test_a_lift_rises() -> None:
    with pytest.raises(ValueError, match="platform is above 0"):
        works.Lift(name="trolley", platform=0.0, wind_plate=0.0)


def test_hire_costs_something(access_terms) -> None:
    with pytest.raises(ValueError, match="hire for a day"):
        replace(access_terms, day=access_terms.day * 0)
