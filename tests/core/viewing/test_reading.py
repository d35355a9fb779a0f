"""Legibility from where people stand or pass."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from giornata.core import viewing
from giornata.core.foundation import Severity


def test_n16_a_wren_seen_from_seventy_metres():
    # N16: 70 / 0.45 = 156: readable, not best (1:120 best, 1:300 limit: sign suppliers' charts).
    seen = viewing.legibility(0.45, 70.0)
    assert round(seen.ratio) == 156
    assert seen.reading is viewing.Reading.READABLE
    assert viewing.size_finding("wren", 0.45, 70.0) is None


def test_n16_too_small_from_forty_metres():
    # N16: 40 / 0.12 = 333 fails; needs 40/300 = 0.134 m (limit) or 40/120 = 0.334 m (best),
    # rounded up.
    seen = viewing.legibility(0.12, 40.0)
    assert round(seen.ratio) == 333
    assert seen.reading is viewing.Reading.FAILS
    assert (seen.height_at_limit, seen.height_at_best) == (0.134, 0.334)
    finding = viewing.size_finding("wren", 0.12, 40.0)
    assert (finding.code, finding.severity) == ("viewing.too_small", Severity.WARN)
    assert "1:333" in finding.message
    assert "0.134 m" in finding.remedy
    assert "0.334 m" in finding.remedy


def test_n16_at_the_best_ratio():
    assert viewing.legibility(1.0, 120.0).reading is viewing.Reading.BEST


@given(st.floats(0.5, 500), st.sampled_from([120.0, 300.0]))
def test_law_the_height_needed_is_enough_and_not_a_millimetre_more(distance, ratio):
    height = viewing.height_needed(distance, ratio)
    assert distance / height <= ratio * (1 + 1e-9)
    assert distance / (height - 0.001) > ratio * (1 - 1e-9) or height <= 0.001


def test_n17_traffic_past_the_wall():
    # N17: 60 m at 50 km/h = 4.3 s; at most 7 words (own choice), 9 are refused.
    assert viewing.passing_time(60.0, 50 / 3.6) == pytest.approx(4.3, abs=0.05)
    finding = viewing.message_finding(9, 60.0, 50 / 3.6)
    assert (finding.code, finding.severity) == ("viewing.message_long", Severity.WARN)
    assert "4.3 s" in finding.message
    assert "7 words" in finding.remedy
    assert viewing.message_finding(7, 60.0, 50 / 3.6) is None


def test_n18_seen_along_the_wall():
    # N18: 8 m off, a 2 m motif centred 40 m along: 0.55° instead of 14.25° head-on.
    along = math.degrees(viewing.subtended_angle(8.0, 39.0, 41.0))
    head_on = math.degrees(viewing.subtended_angle(8.0, -1.0, 1.0))
    assert along == pytest.approx(0.55, abs=0.005)
    assert head_on == pytest.approx(14.25, abs=0.005)


@pytest.mark.parametrize(
    ("distance", "size"), [(10, 2.909), (20, 5.818), (50, 14.544), (100, 29.089)]
)
def test_v3_one_arcminute(distance, size):
    # D tan(1/60°): 2.909 mm at 10 m and so on, computed.
    angle = viewing.subtended_angle(distance, 0.0, size / 1000)
    assert math.degrees(angle) * 60 == pytest.approx(1.0, abs=2e-4)


def test_a_shape_of_no_height_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        viewing.legibility(0.0, 10.0)


def test_a_height_from_no_distance_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        viewing.height_needed(0.0, 300.0)


def test_a_pace_of_nothing_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        viewing.passing_time(60.0, 0.0)


def test_a_message_of_no_words_is_refused():
    with pytest.raises(ValueError, match="one word"):
        viewing.message_finding(0, 60.0, 10.0)


def test_an_eye_in_the_wall_is_refused():
    with pytest.raises(ValueError, match="in front"):
        viewing.subtended_angle(0.0, 0.0, 1.0)


def test_a_stretch_that_does_not_ascend_is_refused():
    with pytest.raises(ValueError, match="ends after"):
        viewing.subtended_angle(8.0, 1.0, 1.0)
