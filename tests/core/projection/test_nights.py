"""Hours, nights, power and drift."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from giornata.core import projection
from giornata.core.foundation import Basis, Severity

HOUR = 3600.0
KWH = 3.6e6


def test_n52_set_ups_shared_out_over_nights():
    # N52: 12 min + 30 m / 90 m/h = 0.2 + 0.333 = 0.53 h each, 14 × 0.533 = 7.5 h; a night of
    # 5.5 h holds 10 (5.33 h), then 4.
    plan, findings = projection.night_plan([30.0] * 14, 12 * 60, 90 / HOUR, 5.5 * HOUR)
    assert plan.durations[0] / HOUR == pytest.approx(0.53, abs=0.005)
    assert float(plan.total) / HOUR == pytest.approx(7.5, abs=0.05)
    assert [len(night.set_ups) for night in plan.nights] == [10, 4]
    assert plan.nights[1].set_ups == (11, 12, 13, 14)
    assert plan.total.basis is Basis.DERIVED
    (finding,) = findings
    assert (finding.code, finding.severity) == ("projection.nights", Severity.NOTE)
    assert "2 nights, 10, then 4 set-ups" in finding.message


def test_n52_a_night_filled_to_the_minute_is_full():
    # Known by construction: three set-ups of exactly an hour in a night of three hours.
    plan, findings = projection.night_plan([0.0] * 3, HOUR, 0.025, 3 * HOUR)
    assert len(plan.nights) == 1
    assert findings == ()


def test_finding_one_set_up_is_longer_than_a_night():
    # Worked by hand: 12 min + 600 m / 90 m/h = 6.87 h against 5.5 h.
    plan, findings = projection.night_plan([30.0, 600.0, 30.0], 12 * 60, 90 / HOUR, 5.5 * HOUR)
    assert [night.set_ups for night in plan.nights] == [(1,), (2,), (3,)]
    short = next(one for one in findings if one.code == "projection.night_short")
    assert short.subject == "set-up 2"
    assert "6.9 h" in short.message


@given(st.lists(st.floats(0, 300), min_size=1, max_size=40), st.floats(1, 10))
def test_law_every_set_up_has_one_night(edges, hours):
    plan, _ = projection.night_plan(edges, 720, 0.025, hours * HOUR)
    numbers = [one for night in plan.nights for one in night.set_ups]
    assert numbers == list(range(1, len(edges) + 1))
    assert sum(night.duration for night in plan.nights) == pytest.approx(float(plan.total))
    for night in plan.nights:
        assert len(night.set_ups) == 1 or night.duration <= hours * HOUR * (1 + 1e-6)


def test_a_night_of_no_hours_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        projection.night_plan([30.0], 720, 0.025, 0.0)


def test_no_set_ups_fill_no_night():
    with pytest.raises(ValueError, match="at least one set-up"):
        projection.night_plan([], 720, 0.025, HOUR)


def test_n53_power_of_a_night():
    # N53: (320 + 65) W × 5.5 h = 2.1 kWh; 1 kWh / 385 W = 2.6 h.
    power, findings = projection.night_power(320, 65, 5.5 * HOUR, 1 * KWH)
    assert float(power.energy) / KWH == pytest.approx(2.1, abs=0.05)
    assert float(power.battery) / HOUR == pytest.approx(2.6, abs=0.05)
    codes = [one.code for one in findings]
    assert codes == ["projection.power_outside", "projection.battery"]
    battery = findings[1]
    assert "lasts 2.6 h" in battery.message
    # 2.12 kWh of 1 kWh batteries are 3.
    assert "Bring 3 such batteries" in battery.remedy
    assert projection.battery_duration(1 * KWH, 385) == float(power.battery)


def test_n53_a_battery_that_lasts_has_only_the_caution():
    _, findings = projection.night_power(320, 65, 5.5 * HOUR, 2.2 * KWH)
    assert [one.code for one in findings] == ["projection.power_outside"]
    _, findings = projection.night_power(320, 65, 5.5 * HOUR)
    assert [one.code for one in findings] == ["projection.power_outside"]
    assert "local code" in findings[0].remedy


def test_a_load_of_nothing_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        projection.night_power(0, 0, HOUR)


def test_an_empty_battery_is_refused():
    with pytest.raises(ValueError, match="more than 0 J"):
        projection.battery_duration(0.0, 385)


def test_n51_c1_sections_too_large():
    # N51, C1: 8 sections of 3.90 m shown 4.02 m wide: 3.08 % too large, 8 × 0.12 = 0.96 m past
    # the end, ±0.48 m from the middle, 60 mm on marks, 120 mm double at a join; move in by 3.0 %
    # of 6.70 m = 0.20 m, to 6.50 m.
    drift, findings = projection.section_drift(8, 3.90, 4.02, 6.70)
    assert 100 * drift.scale == pytest.approx(3.08, abs=0.005)
    assert drift.chained == pytest.approx(0.96, abs=0.005)
    assert drift.from_middle == pytest.approx(0.48, abs=0.005)
    assert drift.on_marks == pytest.approx(0.060, abs=0.005)
    assert drift.apart == pytest.approx(0.120, abs=0.005)
    assert drift.move_in == pytest.approx(0.20, abs=0.005)
    (finding,) = findings
    assert (finding.code, finding.severity) == ("projection.section_size", Severity.STOP)
    assert "3.1 % too large" in finding.message
    assert "far off or is zoomed out" in finding.message
    assert "0.96 m past" in finding.message
    assert "±0.48 m" in finding.message
    assert "60 mm" in finding.message
    assert finding.remedy.startswith("Do not carry on. Move the projector in by 3.0 %")
    assert "0.20 m, to 6.50 m" in finding.remedy


def test_c1_sections_too_small_are_moved_out():
    # Worked by hand: 3.78 of 3.90 m: 0.12 m short each, 0.96 m in all; 6.5 × (1 - 3.9/3.78) =
    # -0.206 m, out to 6.71 m.
    drift, (finding,) = projection.section_drift(8, 3.90, 3.78, 6.50)
    assert drift.chained == pytest.approx(-0.96)
    assert drift.move_in == pytest.approx(-0.206, abs=0.001)
    assert "0.96 m short of" in finding.message
    assert "out by 3.2 %" in finding.remedy
    assert "to 6.71 m" in finding.remedy


def test_c1_without_a_distance_the_share_is_still_named():
    drift, (finding,) = projection.section_drift(8, 3.90, 4.02)
    assert drift.move_in is None
    assert "3.0 % of its distance, or set the zoom" in finding.remedy


def test_sections_within_the_limit_have_no_finding():
    # 3.92 of 3.90 m: 10 mm at each side, the limit itself.
    _, findings = projection.section_drift(8, 3.90, 3.92)
    assert findings == ()


def test_a_section_of_no_width_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        projection.section_drift(8, 3.9, 0.0)


def test_a_drift_from_no_distance_is_refused():
    with pytest.raises(ValueError, match="distance"):
        projection.section_drift(8, 3.9, 4.02, 0.0)
