"""What carries the projector, slopes, turns to a side, and its own black: what the plan says."""

import math
from dataclasses import replace

import numpy as np
import pytest

from giornata.core import projection, site
from giornata.core.foundation import Severity
from giornata.core.projection.band import WallBand
from giornata.core.projection.carrier_findings import carrier_findings
from giornata.core.projection.faces import straight
from giornata.core.projection.limits import Limit
from giornata.core.projection.spans import Wall
from giornata.core.site import Barred, Carrier, StandingStretch

# N45's machine and stand: images of 5.00 × 3.125 m from 7.0 m.
MACHINE = projection.Projector(
    name="Hire projector", columns=1920, rows=1200, throw_min=1.4, throw_max=1.4, lumens=3500.0,
    mode="eco", modes={"full": 1.0, "eco": 0.8}, shift_up=0.5,
)  # fmt: skip
STAND = projection.Stand(distance=7.0, height=1.45, overlap=0.5, contrast=5.0, ambient=10.0)


def planned(length=20.0, machine=MACHINE, stand=STAND, rise=2.9, **more):
    return projection.plan_setups(
        length, [(0, rise)], [(0, 0.0)], [], machine, stand, space=straight, **more
    )


def finding(findings, code):
    (found,) = [one for one in findings if one.code == code]
    return found


def rooms_for(carrier, *stretches, length=20.0):
    return site.standing_rooms(
        length, stretches, level_enough=lambda one: site.level_enough(one, carrier)
    )


def test_n46_a_bank_too_steep_for_a_tripod_is_out_of_reach_by_its_first_metre() -> None:
    bank = StandingStretch(name="bank", start=6.0, end=16.0, across=math.radians(15))
    plan, findings = planned(rooms=rooms_for(Carrier.TRIPOD, bank))
    # From 6 m an image of 5 m reaches to 8.5 m; from 16 m it begins at 13.5 m.
    (dark,) = plan.unreachable
    assert (dark.start, dark.end) == pytest.approx((8.5, 13.5), abs=1e-3)
    assert dark.limit is Limit.STANDING
    assert plan.unlit == ((dark.start, dark.end),)
    gentle = replace(bank, across=math.radians(8))
    plan, findings = planned(rooms=rooms_for(Carrier.TRIPOD, gentle))
    assert plan.unreachable == ()
    slope = finding(findings, "projection.on_a_slope")
    assert "tilted up by 8.0 degrees" in slope.message
    assert "rolled" not in slope.message


def test_n46_roll_on_a_slope_is_said_as_what_to_turn() -> None:
    lane = StandingStretch(name="lane", start=0, end=20, along=math.radians(4))
    _, findings = planned(rooms=rooms_for(Carrier.TRIPOD, lane))
    slope = finding(findings, "projection.on_a_slope")
    # By hand: 5.00 m × tan 4° = 0.35 m.
    assert "rolled 4.0 degrees, its right side high" in slope.message
    assert "5.00 m wide by 0.35 m" in slope.message
    assert "Level it" in slope.remedy


def test_n46_a_slope_that_another_interrupts_is_told_once() -> None:
    """A ramp lies across the lane: pictures stand on the lane, the ramp, and the lane again."""
    lane = StandingStretch(name="lane", start=0, end=20, along=math.radians(4))
    ramp = StandingStretch(name="ramp", start=6, end=8, along=math.radians(2))
    plan, findings = planned(rooms=rooms_for(Carrier.TRIPOD, lane, ramp))
    # By hand: five images of 5.00 m, evenly on 20 m: the second at 2.5 + 15 ÷ 4 = 6.25 m.
    on_ramp = [one.number for one in plan.set_ups if 6 < one.centre < 8]
    assert on_ramp == [2]
    notes = [one.subject for one in findings if one.code == "projection.on_a_slope"]
    assert notes == ["set-ups 1, 3–5", "set-up 2"]


def test_n46_what_a_slope_does_not_bear_is_not_chosen() -> None:
    """A tower is not raised on 5 degrees; a tripod is."""
    lane = StandingStretch(name="lane", start=0, end=20, along=math.radians(5))
    tower = projection.Mount(carrier=Carrier.TOWER, lowest=1.5, highest=1.5)
    stand, machine = replace(STAND, height=0.2, mounts=(tower,)), replace(MACHINE, shift_up=0.0)
    steep, _ = planned(
        machine=machine, stand=stand, rooms=rooms_for(Carrier.TRIPOD, lane),
        other_rooms=((Carrier.TOWER, rooms_for(Carrier.TOWER, lane)),),
    )  # fmt: skip
    assert {one.carrier for one in steep.set_ups} == {Carrier.TRIPOD}
    level = replace(lane, along=0.0)
    flat, findings = planned(
        machine=machine, stand=stand, rooms=rooms_for(Carrier.TRIPOD, level),
        other_rooms=((Carrier.TOWER, rooms_for(Carrier.TOWER, level)),),
    )  # fmt: skip
    assert {one.carrier for one in flat.set_ups} == {Carrier.TOWER}
    assert all(one.lens_height == 1.5 and one.tilt == 0.0 for one in flat.set_ups)
    high = finding(findings, "projection.work_at_height")
    assert high.severity is Severity.WARN
    assert "Local rules" in high.remedy


def test_n48_of_a_range_of_heights_the_least_shift_is_taken() -> None:
    """Between -0.225 and 2.9 m the image's middle lies at 1.34 to 1.56 m: least shift is none."""
    mount = projection.Mount(carrier=Carrier.TRIPOD, lowest=0.5, highest=2.0)
    plan, _ = planned(stand=replace(STAND, height=0.5, mounts=(mount,)))
    assert {one.lens_height for one in plan.set_ups} == {1.5}  # every 0.25 m is tried
    assert all(abs(one.shift) < 1e-9 and one.tilt == 0.0 for one in plan.set_ups)
    alone, _ = planned(stand=replace(STAND, height=0.5))
    assert len(plan.set_ups) == len(alone.set_ups)


def test_n46_a_pond_is_passed_by_turning_the_projector() -> None:
    """Nothing stands from 6 to 13 m: square, images end at 8.5 and begin at 10.5 m."""
    pond = Barred(name="pond", start=6.0, end=13.0, near=0.0, far=30.0)
    rooms = site.standing_rooms(20.0, (), [pond])
    plan, _ = planned(rooms=rooms)
    assert [(one.start, one.end) for one in plan.unreachable] == [pytest.approx((8.5, 10.5))]
    turned, findings = planned(stand=replace(STAND, pan=math.radians(25)), rooms=rooms)
    assert turned.unreachable == ()
    # Only what no square picture reaches, 8.5 to 10.5 m, is thrown from the side.
    from_aside = [one for one in turned.set_ups if one.pan]
    assert from_aside
    assert all(one.lit_start < 10.5 and one.lit_end > 8.5 for one in from_aside)
    panned = from_aside[0]
    assert not 6.0 < panned.centre < 13.0
    assert abs(panned.pan) <= math.radians(25) + 1e-9
    notes = [one for one in findings if one.code == "projection.panned"]
    (note,) = [one for one in notes if str(panned.number) in one.subject]
    assert ("left" if panned.pan < 0 else "right") in note.message
    # Its pose throws the picture's corners where the plan says that it lights the wall.
    pose = projection.planned_pose(panned)
    ends = np.array([(s, z) for s in (panned.lit_start, panned.lit_end) for z in (0.0, 2.9)])
    px = pose.px_from_wall(ends)
    assert (px >= -0.5).all()
    assert (px <= [1920.5, 1200.5]).all()
    # Along the wall a pixel there, by differences of the pose, is no more than the plan says.
    step = 1e-4
    for s, z in ends:
        two = pose.px_from_wall(np.array([(s + step, z), (s - step, z)]))
        assert 2 * step / float(two[0][0] - two[1][0]) <= panned.coarsest * 1.001


def test_n46_set_ups_turned_alike_are_told_once_in_whatever_order_they_stand() -> None:
    """Two ponds: pictures from their left and right alternate along the wall."""
    plan, _ = planned(length=18.0)
    pans = [math.radians(pan) for pan in (20, -20, 20, -20)]
    turned = [replace(one, pan=pan) for one, pan in zip(plan.set_ups, pans, strict=False)]
    assert len(turned) == 4
    band = WallBand(length=18.0, top=np.array([(0.0, 2.9)]), ground=np.array([(0.0, 0.0)]))
    findings = carrier_findings(replace(plan, set_ups=tuple(turned)), Wall(band=band))
    notes = [one for one in findings if one.code == "projection.panned"]
    assert [one.subject for one in notes] == ["set-ups 2, 4", "set-ups 1, 3"]


def test_n47_the_projectors_own_black_counts() -> None:
    # By hand: 179.2 lx of image (3500 lm × 0.8 ÷ 15.625 m²), native 100 : 1, so black 1.792 lx:
    # white over black on the wall (179.2 + 10 + 1.792) ÷ (10 + 1.792) = 16.197; less 1, 15.197.
    plan, findings = planned(machine=replace(MACHINE, contrast=100.0))
    light = plan.set_ups[0].light
    assert light.illuminance == pytest.approx(179.2)
    assert light.black == pytest.approx(1.792)
    assert light.ratio == pytest.approx(15.197, abs=5e-4)
    assert light.passes
    plain, _ = planned()
    assert plain.set_ups[0].light.ratio == pytest.approx(17.92)
    codes = {one.code for one in findings}
    assert not codes & {"projection.dynamic_contrast", "projection.black_light"}
    # Its figure can be worked again from its parts.
    image, ambient, _, contrast = (float(part) for part in plan.ratio.parts)
    assert image / (ambient + image / contrast) == pytest.approx(float(plan.ratio))


def test_n47_black_can_be_the_limit_that_bites() -> None:
    # 5 : 1 over 35 lx wants 175 lx: 179.2 lx pass, but over black of 1/100 they would have to
    # reach 5 × (35 + 1.79) = 184 lx.
    stand = replace(STAND, ambient=35.0)
    assert planned(stand=stand)[0].unreachable == ()
    (dark,) = planned(machine=replace(MACHINE, contrast=100.0), stand=stand)[0].unreachable
    assert dark.limit is Limit.LIGHT


def test_a_dynamic_contrast_says_nothing_of_black() -> None:
    plan, findings = planned(machine=replace(MACHINE, contrast=100_000.0, dynamic=True))
    assert plan.set_ups[0].light.ratio == pytest.approx(17.92)
    note = finding(findings, "projection.dynamic_contrast")
    assert note.severity is Severity.NOTE
    assert "100000 : 1" in note.message


def test_a_black_lighter_than_the_limit_is_named() -> None:
    plan, findings = planned(machine=replace(MACHINE, contrast=4.0))
    assert finding(findings, "projection.black_light").severity is Severity.WARN
    assert not plan.set_ups[0].light.passes
    assert "projection.dim" not in {one.code for one in findings}
    # Nor in the dark, where nothing but its own black falls on the wall.
    dark, findings = planned(
        machine=replace(MACHINE, contrast=4.0), stand=replace(STAND, ambient=0.0)
    )
    assert float(dark.ratio) == pytest.approx(4.0)
    assert "projection.black_light" in {one.code for one in findings}
    with pytest.raises(ValueError, match="black alone"):
        projection.largest_area(2800.0, 10.0, 5.0, 0.25)


@pytest.mark.parametrize(
    ("change", "said"),
    [({"pan": math.radians(60)}, "panned by 0 to below 60"), ({"pan": -0.1}, "panned by 0")],
)
def test_stands_that_cannot_be(change, said) -> None:
    with pytest.raises(ValueError, match=said):
        replace(STAND, **change)


def test_mounts_and_blacks_that_cannot_be() -> None:
    with pytest.raises(ValueError, match="heights are above 0 and ascend"):
        projection.Mount(carrier=Carrier.TRIPOD, lowest=2.0, highest=1.0)
    with pytest.raises(ValueError, match="brighter than its black"):
        replace(MACHINE, contrast=1.0)
