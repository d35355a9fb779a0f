"""All in one go, or in parts."""

import pytest

from giornata.core import projection
from giornata.core.foundation import Severity

MM = 1e-3
LEVEL, SIDE = projection.Orientation.LEVEL, projection.Orientation.ON_SIDE


def _projector(columns=1920, rows=1080):
    return projection.Projector(
        name="Hire projector",
        columns=columns,
        rows=rows,
        throw_min=1.4,
        throw_max=2.2,
        lumens=4000.0,
        mode="full",
        modes={"full": 1.0},
    )


def _layout(across, up, orientation):
    return projection.section_layout(
        _projector(), 3.4, 5.8, across, up, orientation, overlap=0.2, thinnest_line=5.5 * MM
    )


def test_c4_whole_and_level_wastes_most_of_the_image():
    # C4: 5800 / 1080 = 5.37 mm a pixel, 1920 × 5.37 = 10.3 m wide: fails.
    whole = _layout(1, 1, LEVEL)
    assert whole.pitch == pytest.approx(5.37 * MM, rel=0.01)
    assert whole.width == pytest.approx(10.3, rel=0.01)
    assert whole.spare_width == pytest.approx(10.3 - 3.4, rel=0.01)
    assert not whole.passes


def test_c4_whole_on_its_side_has_to_be_made_wider():
    # C4: 5800/1920 = 3.02 mm a pixel is only 3.26 m wide, 0.14 m too narrow; 3400/1080 = 3.15 mm
    # gives 6.04 m of height and 5.5/3.15 = 1.7 pixels: fails.
    narrow = projection.section_layout(
        _projector(), 3.2, 5.8, 1, 1, SIDE, overlap=0.2, thinnest_line=5.5 * MM
    )
    assert narrow.pitch == pytest.approx(3.02 * MM, rel=0.01)
    assert narrow.width == pytest.approx(3.4 - 0.14, abs=0.005)
    whole = _layout(1, 1, SIDE)
    assert whole.pitch == pytest.approx(3.15 * MM, rel=0.01)
    assert whole.height == pytest.approx(6.04, rel=0.01)
    assert whole.line_pixels == pytest.approx(1.7, abs=0.05)
    assert not whole.passes


def test_c4_three_sections_are_just_too_coarse():
    # C4: (5.8 + 2 × 0.2) / 3 = 2.07 m tall, 3.67 m wide, 1.91 mm a pixel, 2.9 pixels: fails.
    three = _layout(1, 3, LEVEL)
    assert (three.width, three.height) == pytest.approx((3.67, 2.07), rel=0.01)
    assert three.pitch == pytest.approx(1.91 * MM, rel=0.01)
    assert three.line_pixels == pytest.approx(2.9, abs=0.05)
    assert not three.passes


def test_c4_four_sections_pass():
    # C4: 3.4 × 1.91 m, 1.77 mm a pixel, 3.1 pixels; rows ceil((5.8 - 1.9125)/1.7125) + 1 = 4.
    four = _layout(1, 4, LEVEL)
    assert (four.width, four.height) == pytest.approx((3.4, 1.9125), rel=0.01)
    assert four.pitch == pytest.approx(1.77 * MM, rel=0.01)
    assert four.line_pixels == pytest.approx(3.1, abs=0.05)
    assert four.passes
    assert projection.set_up_count(5.8, 1.9125, 0.2) == 4
    # 4 × 1.9125 - 5.8 = 1.85 m over three joins.
    assert four.overlap_up == pytest.approx(1.85 / 3, rel=1e-9)


def test_c4_two_by_two_on_its_side_passes_too():
    # C4: (3.4 + 0.2)/2/1080 = 1.67 mm a pixel, 3.3 pixels.
    four = _layout(2, 2, SIDE)
    assert four.count == 4
    assert four.pitch == pytest.approx(1.67 * MM, rel=0.01)
    assert four.line_pixels == pytest.approx(3.3, abs=0.05)
    assert four.passes


def test_c4_picks_four_sections():
    layouts, findings = projection.section_layouts(
        _projector(), 3.4, 5.8, overlap=0.2, thinnest_line=5.5 * MM
    )
    assert findings == ()
    chosen = next(one for one in layouts if one.passes)
    assert (chosen.count, chosen.across, chosen.up, chosen.orientation) == (4, 1, 4, LEVEL)
    # Nothing with fewer sections passes, and the other lay-out of four is on the list.
    assert all(one.passes is False for one in layouts if one.count < 4)
    assert any(one.passes and (one.across, one.up) == (2, 2) for one in layouts)


def test_finding_no_number_of_sections_is_fine_enough():
    # Known by construction: a pixel is at least overlap / columns = 400 mm / 40 = 10 mm, so a
    # line of 5 mm never has a whole pixel.
    layouts, findings = projection.section_layouts(
        _projector(40, 30), 3.4, 5.8, overlap=0.4, thinnest_line=5 * MM, most=30
    )
    assert max(one.count for one in layouts) == 30
    (finding,) = findings
    assert (finding.code, finding.severity) == ("projection.sections", Severity.STOP)
    assert "5.0 mm" in finding.message


def test_a_design_of_no_width_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        projection.section_layout(
            _projector(), 0.0, 5.8, 1, 1, LEVEL, overlap=0.2, thinnest_line=0.005
        )


def test_no_sections_are_refused():
    with pytest.raises(ValueError, match="at least one section"):
        _layout(0, 1, LEVEL)
