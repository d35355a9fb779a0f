"""Nights with the projector."""

from __future__ import annotations

import pytest

from giornata.core import works
from giornata.core.foundation import Basis, given

HOUR = 3600.0
KWH = 3.6e6


def _edges(*lengths: float):
    return [given(f"edge {k}", each, "m", source="N52") for k, each in enumerate(lengths, 1)]


N52 = works.NightTerms(set_up=12 * 60, tracing=90 / HOUR, hours=5.5 * HOUR, laptop=65)


def test_n52_fourteen_set_ups_in_two_nights() -> None:
    # 12 min + 30 m ÷ 90 m/h = 0.533 h each, 7.47 h; 10 set-ups take 5.33 of 5.5 h, then 4.
    plan, findings = works.night_plan(_edges(*[30.0] * 14), N52)
    assert float(plan.set_ups[0]) / HOUR == pytest.approx(0.53, abs=0.005)
    assert float(plan.duration) / HOUR == pytest.approx(7.5, abs=0.05)
    assert [len(night) for night in plan.nights] == [10, 4]
    assert plan.nights[1] == (11, 12, 13, 14)
    assert float(plan.person_time) == pytest.approx(2 * float(plan.duration))
    assert findings == ()


def test_n53_energy_and_battery() -> None:
    # (320 + 65) W × 5.5 h = 2.1 kWh; 1 kWh ÷ 385 W = 2.6 h.
    power = [given("projector", 320.0, "W", source="N53"), given("laptop", 65.0, "W", source="N53")]
    night = given("night", 5.5 * HOUR, "s", source="N53")
    drawn = works.energy(power, night)
    assert float(drawn) / KWH == pytest.approx(2.1, abs=0.05)
    assert works.running_time(KWH, 385.0) / HOUR == pytest.approx(2.6, abs=0.005)


def test_a_set_up_longer_than_a_night() -> None:
    # 600 m ÷ 90 m/h = 6.67 h + 0.2 h; the short ones share a night.
    plan, (finding,) = works.night_plan(_edges(10.0, 600.0, 10.0, 10.0), N52)
    assert plan.nights == ((1,), (2,), (3, 4))
    assert finding.code == "works.long_set_up"
    assert finding.subject == "set-up 2"
    assert "6.9 h" in finding.message


def test_a_night_filled_to_the_minute() -> None:
    # By construction: 48 min of tracing + 12 min make 1 h; five fill a night of 5 h.
    terms = works.NightTerms(set_up=12 * 60, tracing=90 / HOUR, hours=5 * HOUR)
    plan, _ = works.night_plan(_edges(*[72.0] * 6), terms)
    assert [len(night) for night in plan.nights] == [5, 1]


def test_defaults_are_assumed() -> None:
    plan, _ = works.night_plan(_edges(30.0), works.NightTerms())
    assert float(plan.duration) / HOUR == pytest.approx(0.533, abs=0.001)
    assert {f.name for f in plan.duration.walk() if f.basis is Basis.ASSUMED} == {
        "moving and aiming the projector",
        "tracing",
    }


def test_no_set_ups_no_nights() -> None:
    assert works.night_plan([], N52) == (None, ())


def test_somebody_traces() -> None:
    with pytest.raises(ValueError, match="people are 1 or more"):
        works.night_plan(_edges(30.0), N52, people=0)


def test_a_tracer_moves() -> None:
    with pytest.raises(ValueError, match="tracing speed above 0"):
        works.set_up_time(30.0, 720.0, 0.0)


def test_night_terms_are_in_range() -> None:
    with pytest.raises(ValueError, match="tracing speed and the night's hours"):
        works.NightTerms(hours=0.0)


def test_a_machine_draws_power() -> None:
    with pytest.raises(ValueError, match="at least one machine"):
        works.energy([], given("night", 1.0, "s", source="here"))


def test_a_battery_feeds_something() -> None:
    with pytest.raises(ValueError, match="power is above 0"):
        works.running_time(KWH, 0.0)
