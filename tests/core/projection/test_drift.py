"""Sections of the wrong size, and what becomes of them along the wall."""

import pytest

from giornata.core import projection
from giornata.core.foundation import Severity


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
