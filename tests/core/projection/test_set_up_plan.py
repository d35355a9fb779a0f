"""Plans of set-ups for whole walls."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from giornata.core import projection
from giornata.core.foundation import Basis, Severity

MM = 1e-3
LEVEL, SIDE = projection.Orientation.LEVEL, projection.Orientation.ON_SIDE

FIXED = projection.Projector(
    name="Hire projector",
    columns=1920,
    rows=1200,
    throw_min=1.4,
    throw_max=1.4,
    lumens=3500.0,
    mode="eco",
    modes={"full": 1.0, "eco": 0.8},
    shift_up=0.5,
    shift_side=0.1,
)
ZOOM = replace(FIXED, throw_max=2.2, lumens=5000.0, modes={"full": 1.0, "eco": 0.75}, zoom_loss=0.2)
STAND = projection.Stand(distance=7.0, height=1.45, overlap=0.5, contrast=5.0, ambient=10.0)


def _flat(length, height, projector=FIXED, stand=STAND, lamps=(), line=None, **more):
    return projection.plan_setups(
        length, [(0, height)], [(0, 0.0)], lamps, projector, stand, line, **more
    )


def _codes(findings):
    return [one.code for one in findings]


def test_n45_fourteen_set_ups_evenly_spaced():
    # N45: 61.2 m × 2.9 m from 7.0 m at 1.4: 14 set-ups, centres from 2.50 every 4.323 m,
    # overlap 0.677 m; image 5.00 × 3.125 m, 2.6 mm a pixel. N47: 179 lx, 18:1 on 10 lx.
    plan, findings = _flat(61.2, 2.9)
    centres = [one.centre for one in plan.set_ups]
    assert len(plan.set_ups) == 14
    assert centres[0] == pytest.approx(2.50, abs=1 * MM)
    np.testing.assert_allclose(np.diff(centres), 4.323, atol=0.5 * MM)
    for one in plan.set_ups[:-1]:
        assert one.overlap_next == pytest.approx(0.677, abs=0.5 * MM)
    assert plan.set_ups[-1].overlap_next is None
    assert plan.rows == 1
    assert all(one.passes for one in plan.set_ups)
    assert findings == ()
    first = plan.set_ups[0]
    assert (first.width, first.height) == pytest.approx((5.0, 3.125))
    assert first.pitch == pytest.approx(2.604 * MM, abs=0.001 * MM)
    assert first.light.illuminance == pytest.approx(179.2, abs=0.05)
    assert round(first.light.ratio) == 18


def test_n45_figures_explain_themselves():
    plan, _ = _flat(61.2, 2.9)
    named = {figure.name: figure for figure in plan.figures}
    assert float(named["set-ups"]) == 14
    assert float(named["image width"]) == pytest.approx(5.0)
    assert float(named["image height"]) == pytest.approx(3.125)
    assert float(named["pixel pitch"]) == pytest.approx(2.604 * MM, abs=0.001 * MM)
    assert float(named["smallest overlap"]) == pytest.approx(0.677, abs=0.5 * MM)
    assert float(plan.illuminance) == pytest.approx(179.2, abs=0.05)
    assert float(plan.ratio) == pytest.approx(17.92, abs=0.005)
    for figure in plan.figures:
        assert figure.basis is Basis.DERIVED
        assert all(part.source or part.parts for part in figure.walk())
    # The illuminance can be worked again from its parts: output × mode × zoom ÷ area.
    output, mode, zoom, area = (float(part) for part in plan.illuminance.parts)
    assert output * mode * zoom / area == pytest.approx(float(plan.illuminance))


def test_n46_two_rows_or_on_its_side_from_near():
    # N46: from 4.2 m 3.00 × 1.875 m; 2.9 m of wall needs two rows, 46 set-ups with 0.3 m overlap;
    # on its side one row of 39. Says so, or offers a grid.
    near = replace(STAND, distance=4.2, overlap=0.3)
    plan, findings = _flat(61.2, 2.9, stand=near)
    assert len(plan.set_ups) == 46
    assert plan.rows == 2
    finding = next(one for one in findings if one.code == "projection.stand_near")
    assert finding.severity is Severity.WARN
    assert "2 rows, 46 set-ups" in finding.message
    assert "the projector on its side: one row, 39 set-ups" in finding.remedy
    assert "a grid on the wall" in finding.remedy
    # From farther back: 2.9 m tall is 4.64 m wide, × 1.4 = 6.496, up to the centimetre 6.50 m.
    assert "stand 6.50 m off: one row" in finding.remedy
    assert {(a.orientation, a.rows) for a in plan.alternatives} == {(LEVEL, 1), (SIDE, 1)}


def test_n46_on_its_side():
    side = replace(STAND, distance=4.2, overlap=0.3, orientation=SIDE)
    plan, findings = _flat(61.2, 2.9, stand=side)
    assert len(plan.set_ups) == 39
    assert plan.rows == 1
    assert (plan.set_ups[0].width, plan.set_ups[0].height) == pytest.approx((1.875, 3.0))
    assert "projection.on_its_side" in _codes(findings)
    turned = next(one for one in findings if one.code == "projection.on_its_side")
    assert turned.severity is Severity.NOTE
    assert "manual" in turned.remedy


def test_two_rows_cover_from_foot_to_top_with_overlap():
    near = replace(STAND, distance=4.2, overlap=0.3)
    plan, _ = _flat(61.2, 2.9, stand=near)
    for low, high in zip(plan.set_ups[::2], plan.set_ups[1::2], strict=True):
        assert (low.column, low.row, high.column, high.row) == (low.column, 1, low.column, 2)
        assert low.foot == pytest.approx(0.0, abs=1e-9)
        assert high.head == pytest.approx(2.9)
        # Two images of 1.875 m on 2.9 m overlap by 0.85 m.
        assert low.overlap_above == pytest.approx(0.85)
        assert low.head - high.foot == pytest.approx(0.85)
        assert high.overlap_above is None


def test_c3_under_the_lamp_the_zoom_is_set_in():
    # C3 on a wall: 4000 lm at 70 % from 8.96 m; at 1.4 the image is 6.4 × 4.0 m, 109 lx: 9.1:1 on
    # 12 lx, 3.1:1 on 35 lx. Under the lamp the largest image is 5.06 m wide: 8.96/5.06 = 1.771.
    projector = replace(ZOOM, lumens=4000.0, modes={"full": 1.0, "eco": 0.7}, zoom_loss=0.0)
    stand = replace(STAND, distance=8.96, ambient=12.0)
    plan, findings = _flat(48.0, 2.9, projector, stand, lamps=[(36.0, 48.0, 35.0)])
    assert all(one.light.passes for one in plan.set_ups)
    wide = [one for one in plan.set_ups if one.light.ambient == 12.0]
    small = [one for one in plan.set_ups if one.light.ambient == 35.0]
    assert {round(one.light.ratio, 1) for one in wide} == {9.1}
    assert {round(one.width, 2) for one in wide} == {6.4}
    for one in small:
        assert (one.width, one.height) == pytest.approx((5.06, 3.16), rel=2e-3)
        assert one.throw_ratio == pytest.approx(1.771, abs=0.002)
        assert one.end > 36.0
    note = next(one for one in findings if one.code == "projection.zoomed_in")
    assert note.severity is Severity.NOTE
    assert "5.06 × 3.16 m" in note.message
    assert "at most 21.8 lx" in note.remedy
    assert "projection.dim" not in _codes(findings)


def test_c3_where_the_zoom_cannot_go_in_the_ways_out_are_named():
    # C3 with a lens that does not zoom: 3.1:1 fails; ways out 16.0 m² (5.06 × 3.16 m), the lamp
    # to 21.8 lx, full power with at most 22.8 m²; full power alone is 4.5:1.
    projector = replace(FIXED, lumens=4000.0, modes={"full": 1.0, "eco": 0.7})
    stand = replace(STAND, distance=8.96, ambient=12.0)
    plan, findings = _flat(48.0, 2.9, projector, stand, lamps=[(36.0, 48.0, 35.0)])
    dim = [one for one in plan.set_ups if not one.light.passes]
    assert dim
    assert all(one.end > 36.0 for one in dim)
    finding = next(one for one in findings if one.code == "projection.dim")
    assert finding.severity is Severity.WARN
    assert "109 lx on 35 lx of ambient light is 3.1:1; the limit is 5:1" in finding.message
    # The smaller image comes from nearer: 8.96 × 5.06 / 6.4 = 7.08 m.
    assert "16.0 m² (5.06 × 3.16 m), from 7.08 m" in finding.remedy
    assert "at most 21.8 lx" in finding.remedy
    assert "at most 22.8 m²" in finding.remedy
    assert "156 lx, 4.5:1, which is not enough alone" in finding.remedy


def test_images_stop_short_of_a_lamp_that_cannot_be_beaten():
    # Known by construction: without zoom the lamp's stretch fails, and what lies left and right
    # of it is lit by images that do not touch it.
    plan, _ = _flat(60.0, 2.9, lamps=[(26.0, 34.0, 100.0)])
    for one in plan.set_ups:
        assert one.light.passes is not (one.start < 34.0 and one.end > 26.0)


def test_n48_a_lens_that_cannot_reach_is_tilted_or_raised():
    # Known by construction: lens 1.0 m up, no shift, wall 0 to 2.9 m, image 3.125 m tall. Square
    # on it must stand so that 3.125/2 above it reaches 2.9: at least 1.3375 m, 1.34 rounded up.
    # Least tilt: atan(1.9/7) - atan(1.5625/7) = 15.186° - 12.583° = 2.60°.
    plan, findings = _flat(61.2, 2.9, replace(FIXED, shift_up=0.0), replace(STAND, height=1.0))
    one = plan.set_ups[0]
    assert np.degrees(one.tilt) == pytest.approx(2.60, abs=0.005)
    # Width goes as cos(ray)/cos(ray + tilt): top 12.583° + 2.60°, bottom -12.583° + 2.60°.
    top = np.cos(np.radians(12.583)) / np.cos(np.radians(15.186))
    bottom = np.cos(np.radians(12.583)) / np.cos(np.radians(9.980))
    assert one.keystone == pytest.approx(top / bottom, abs=1e-4)
    assert not one.passes
    finding = next(one for one in findings if one.code == "projection.lens_reach")
    assert finding.severity is Severity.WARN
    assert finding.subject == "set-ups 1–14"
    assert "Raise the lens to 1.34 m" in finding.remedy
    assert "up by 2.6°" in finding.remedy
    raised, _ = _flat(61.2, 2.9, replace(FIXED, shift_up=0.0), replace(STAND, height=1.34))
    assert all(each.tilt == 0.0 for each in raised.set_ups)


def test_a_lens_too_high_is_tilted_down_or_lowered():
    # Worked by hand: at 4.0 m with half an image of shift: 4.0 - 0.5 × 3.125 = 2.4375 m is the
    # lowest centre, and the foot wants at most 0 + 3.125/2 = 1.5625: lower to 3.125 m.
    plan, findings = _flat(61.2, 2.9, stand=replace(STAND, height=4.0))
    assert plan.set_ups[0].tilt < 0
    finding = next(one for one in findings if one.code == "projection.lens_reach")
    assert "Lower the lens to 3.12 m" in finding.remedy
    assert "tilt it down" in finding.remedy


def test_lens_shift_reaches_where_it_is_enough():
    # Worked by hand: lens 0.5 m up; the lowest image that reaches 2.9 m has its centre at
    # 2.9 - 1.5625 = 1.3375 m; (1.3375 - 0.5)/3.125 = 26.8 % of 50 %.
    plan, findings = _flat(61.2, 2.9, stand=replace(STAND, height=0.5))
    one = plan.set_ups[0]
    assert one.shift == pytest.approx(0.268, abs=0.0005)
    assert (one.foot, one.head) == pytest.approx((-0.225, 2.9))
    assert one.tilt == 0.0
    assert findings == ()


def test_the_wall_steps_and_the_ground_falls():
    # Known by construction: 3.0 m wall whose top drops by 1.2 m at 20 m, ground rising 0.6 m.
    plan, _ = projection.plan_setups(
        40.0,
        [(0, 3.0), (20, 3.0), (20, 1.8), (40, 1.8)],
        [(0, 0.0), (40, 0.6)],
        [],
        FIXED,
        STAND,
    )
    for one in plan.set_ups:
        head = 3.0 if one.start < 20 else 1.8
        assert one.wall_head == pytest.approx(head)
        assert one.wall_foot == pytest.approx(0.6 * max(one.start, 0) / 40, abs=1e-6)
        assert one.foot <= one.wall_foot + 1e-9
        assert one.head >= one.wall_head - 1e-9
        # The tripod stands on ground that has risen.
        assert one.lens_height == pytest.approx(1.45 - 0.6 * one.centre / 40, abs=1e-6)


def test_a_second_row_only_where_the_wall_is_taller_than_the_image():
    # Known by construction: 3.4 m of wall up to 20 m, 2.4 m beyond; the image is 3.125 m tall.
    plan, _ = projection.plan_setups(
        60.0, [(0, 3.4), (20, 3.4), (20, 2.4), (60, 2.4)], [(0, 0.0)], [], FIXED, STAND
    )
    for one in plan.set_ups:
        two = one.row == 2 or one.overlap_above is not None
        assert two is (one.start < 20.0)


def test_c4_a_thin_line_sets_the_zoom_in():
    # C4's rule: 5.5 mm over 3 pixels is 1.833 mm a pixel; 1920 × 1.833 = 3.52 m wide; from 7.0 m
    # that is a throw ratio of 1.989.
    plan, findings = _flat(61.2, 1.9, ZOOM, line=5.5 * MM)
    one = plan.set_ups[0]
    assert one.pitch == pytest.approx(1.833 * MM, rel=1e-3)
    assert one.throw_ratio == pytest.approx(1.989, abs=0.001)
    assert "projection.coarse" not in _codes(findings)


def test_finding_a_line_too_thin_for_the_zoom():
    # Worked by hand: 3 mm over 3 pixels is 1 mm, 1.92 m wide; at the long end 2.2 that is from
    # 4.22 m (4.224). From 7.0 m the pixel is 7.0/2.2/1920 = 1.657 mm and the line 1.8 pixels.
    plan, findings = _flat(61.2, 1.9, ZOOM, line=3 * MM)
    assert plan.set_ups[0].throw_ratio == pytest.approx(2.2)
    finding = next(one for one in findings if one.code == "projection.coarse")
    assert finding.severity is Severity.WARN
    assert "1.8 pixels" in finding.message
    assert "4.22 m" in finding.remedy


def test_finding_overlap_too_small_for_shared_marks():
    _, findings = _flat(61.2, 2.9, stand=replace(STAND, overlap=0.1))
    finding = next(one for one in findings if one.code == "projection.overlap_small")
    assert finding.severity is Severity.WARN
    assert "0.10 m" in finding.message
    assert "0.30 m" in finding.remedy


@pytest.mark.parametrize(("length", "height"), [(100_000.0, 2.5), (20.0, 100_000.0)])
def test_finding_a_wall_of_more_than_1000_set_ups_leaves_no_plan(length, height):
    # 100 km / 5 m images, or a tower as high: 20,000 set-ups and more; a unit is wrong.
    plan, findings = _flat(length, height, FIXED)
    (finding,) = findings
    assert plan.set_ups == ()
    assert (finding.code, finding.severity) == ("projection.no_plan", Severity.STOP)
    assert "more than 1,000 set-ups" in finding.message


def test_finding_overlap_as_wide_as_the_image_leaves_no_plan():
    plan, findings = _flat(61.2, 2.9, stand=replace(STAND, overlap=5.0))
    assert plan.set_ups == ()
    assert plan.figures == ()
    assert plan.rows == 0
    (finding,) = findings
    assert (finding.code, finding.severity) == ("projection.no_plan", Severity.STOP)
    assert "5.00 × 3.12 m" in finding.message


def test_finding_image_much_taller_than_the_wall():
    # Worked by hand: 3.125 m of image on 1.0 m of wall: 68 % of the light is lost.
    _, findings = _flat(61.2, 1.0)
    finding = next(one for one in findings if one.code == "projection.image_tall")
    assert finding.severity is Severity.NOTE
    assert finding.message.startswith("68 %")


def test_finding_lens_too_near_the_ground():
    # Known by construction: lens 1.0 m above the level line, ground up to 0.95 m at the end.
    plan, findings = projection.plan_setups(
        60.0, [(0, 3.0)], [(0, 0.0), (60, 0.95)], [], FIXED, replace(STAND, height=1.0)
    )
    finding = next(one for one in findings if one.code == "projection.lens_low")
    assert finding.severity is Severity.WARN
    lowest = min(one.lens_height for one in plan.set_ups)
    assert f"{lowest:.2f} m above the ground" in finding.message
    assert f"{1.0 + 0.15 - lowest:.2f} m or more" in finding.remedy


def test_finding_an_image_across_a_bend():
    plan, findings = _flat(61.2, 2.9, bends=[30.6, 2.0])
    bent = [one for one in findings if one.code == "projection.bend"]
    assert [one.severity for one in bent] == [Severity.WARN, Severity.WARN]
    across = [one.number for one in plan.set_ups if one.start < 30.6 < one.end]
    assert bent[0].subject.endswith(str(across[-1]))
    assert bent[1].subject == "set-up 1"


def test_finding_an_image_on_a_curve():
    # By hand: over a whole image of 5 m on a radius of 20 m the face stands 20 × (1 - cos(2.5 ÷
    # 20)) = 156 mm out of flat; on a radius of 200 m it is 16 mm, under the 25 mm set.
    plan, findings = _flat(61.2, 2.9, arcs=[(0.0, 40.0, 20.0), (40.0, 61.2, 200.0)])
    (found,) = [one for one in findings if one.code == "projection.curve"]
    assert found.severity is Severity.WARN
    width = plan.set_ups[1].width
    assert f"{1000 * 20 * (1 - math.cos(width / 40)):.0f} mm out of flat" in found.message
    assert found.subject.startswith("set-ups 1–")


def test_without_light_on_the_wall_there_is_no_ratio():
    plan, findings = _flat(61.2, 2.9, stand=replace(STAND, ambient=0.0))
    assert plan.ratio is None
    assert all(one.passes for one in plan.set_ups)
    assert findings == ()


def test_one_image_is_enough_for_a_short_wall():
    plan, _ = _flat(3.0, 2.9)
    (one,) = plan.set_ups
    assert one.centre == 1.5
    assert one.overlap_next is None
    assert plan.overlap is None


def test_spans_for_the_control_marks():
    plan, _ = _flat(61.2, 2.9)
    assert len(plan.image_spans) == 14
    first = plan.set_ups[0]
    assert plan.image_spans[0] == (first.start, first.end, first.foot, first.head)


@settings(max_examples=60, deadline=None)
@given(
    length=st.floats(2, 120),
    tall=st.floats(0.8, 6.0),
    step=st.floats(-0.5, 0.5),
    at=st.floats(0.1, 0.9),
    lamp=st.floats(5, 400),
    distance=st.floats(4, 12),
    side=st.booleans(),
)
def test_law_every_plan_covers_the_wall(length, tall, step, at, lamp, distance, side):
    # Known by construction: no metre of wall is left unlit, neighbours overlap as asked, and
    # numbers run without a gap.
    stand = replace(STAND, distance=distance, orientation=SIDE if side else LEVEL)
    where = at * length
    plan, findings = projection.plan_setups(
        length,
        [(0, tall), (where, tall), (where, tall + step * tall / 2)],
        [(0, 0.0), (length, 0.2)],
        [(0.3 * length, 0.6 * length, lamp)],
        ZOOM,
        stand,
    )
    assert [one.number for one in plan.set_ups] == list(range(1, len(plan.set_ups) + 1))
    columns = {}
    for one in plan.set_ups:
        columns.setdefault(one.column, []).append(one)
    lit = 0.0
    for column in columns.values():
        low = column[0]
        assert low.start <= lit + 1e-6
        if low.column > 1:
            assert lit - low.start >= min(stand.overlap, lit) - 1e-6
        lit = low.end
        left, right = max(low.start, 0.0), min(low.end, length)
        tops = [tall] * (left < where - 1e-6) + [tall + step * tall / 2] * (right > where + 1e-6)
        assert low.foot <= 0.2 * left / length + 1e-6
        assert column[-1].head >= max(tops) - 1e-6
        for below, above in pairwise(column):
            assert below.head - above.foot >= stand.overlap - 1e-6
    assert lit >= length - 1e-6
    # Each image that is too dim is named, and nothing else is called dim.
    named = any(one.code == "projection.dim" for one in findings)
    assert named is any(not one.light.passes for one in plan.set_ups)


@settings(max_examples=40, deadline=None)
@given(lamp=st.floats(5, 60), start=st.floats(0, 50), width=st.floats(1, 30))
def test_law_a_brighter_lamp_never_saves_a_set_up(lamp, start, width):
    dark, _ = _flat(78.6, 2.9, ZOOM)
    lit, _ = _flat(78.6, 2.9, ZOOM, lamps=[(start, start + width, lamp)])
    if all(one.light.passes for one in lit.set_ups):
        assert len(lit.set_ups) >= len(dark.set_ups)


def test_a_wall_whose_ground_is_nowhere_below_its_top_is_refused():
    with pytest.raises(ValueError, match="ground reaches the top"):
        projection.plan_setups(10.0, [(0, 2.0)], [(0, 2.0), (10, 3.0)], [], FIXED, STAND)


@pytest.mark.parametrize(
    "top",
    [
        [(0, 0.0), (30, 3.0)],  # a ramp that tapers to nothing
        [(0, 2.5), (10, 2.5), (10, 0.0), (20, 0.0), (20, 2.5), (30, 2.5)],  # a gap in the wall
        [(0, 2.5), (10, 2.5), (10, -4.0), (20, -4.0), (20, 2.5), (30, 2.5)],  # a level mistyped
    ],
)
def test_a_wall_that_has_no_height_somewhere_is_lit_where_it_has_some(top):
    plan, _ = projection.plan_setups(30.0, top, [(0, 0.0), (30, 0.0)], [], FIXED, STAND)
    # 7 m at throw 1.4 is 5 m wide; (30 - overlap) / (5 - overlap) with 0.5 m: 6.6, so 7 images
    assert len(plan.set_ups) == 7
    assert plan.rows == 1
    for one in plan.set_ups:
        inside = [level for x, level in top if one.start < x < one.end]
        assert one.head >= max([*inside, 0.0]) - 1e-9


def test_a_top_line_that_goes_back_is_refused():
    with pytest.raises(ValueError, match="chainages ascend"):
        projection.plan_setups(10.0, [(5, 2.0), (4, 2.0)], [(0, 0.0)], [], FIXED, STAND)


def test_a_wall_without_a_top_is_refused():
    with pytest.raises(ValueError, match="no point"):
        projection.plan_setups(10.0, [], [(0, 0.0)], [], FIXED, STAND)


def test_a_wall_of_no_length_is_refused():
    with pytest.raises(ValueError, match="length above 0"):
        projection.plan_setups(0.0, [(0, 2.0)], [(0, 0.0)], [], FIXED, STAND)


def test_a_line_of_no_width_is_refused():
    with pytest.raises(ValueError, match="thinnest line"):
        _flat(10.0, 2.0, line=0.0)


def test_a_height_measured_from_the_ground_rises_with_it():
    # Known by construction: ground rises 1 in 100, lens 1.2 m above it at each set-up.
    stand = replace(STAND, height=1.2, measured_from=projection.MeasuredFrom.GROUND)
    plan, findings = projection.plan_setups(
        60.0, [(0, 3.0), (60, 3.0)], [(0, 0.0), (60, 0.6)], [], FIXED, stand
    )
    assert len(plan.set_ups) > 2
    for one in plan.set_ups:
        assert one.lens_height == pytest.approx(1.2, abs=1e-9)
        assert one.lens_level == pytest.approx(1.2 + 0.01 * min(max(one.centre, 0), 60), abs=1e-6)
    assert "projection.lens_low" not in _codes(findings)
