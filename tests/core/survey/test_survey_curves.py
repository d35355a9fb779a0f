"""Curved and round walls: unrolled to their length, placed in space and back, seen from afar."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from giornata.core import survey
from giornata.core.foundation import Severity
from giornata.core.survey import Arc, Bend, Curve

MM = 0.001


def developed(made: survey.WallSurvey, **more: float) -> survey.DevelopedWall:
    wall, _ = survey.develop(made, **more)
    assert wall is not None
    return wall


def silo(turn: float = math.tau, height: float = 21.0, sigma: float = 0.01) -> survey.DevelopedWall:
    """N7's silo, 9.2 m across, its middle facing south."""
    length, of_length = survey.round_face(9.2, turn=turn, sigma=sigma)
    return developed(
        survey.WallSurvey(
            datum="ladder",
            bays=(survey.Bay(name="round", length=length, sigma=of_length),),
            heights=(survey.Height(at=0.0, height=height),),
            arcs=(Arc(start=0.0, end=length, radius=4.6, curve=Curve.CONVEX),),
        ),
        facing=math.pi + turn / 2,
    )


def test_n7_half_a_silo_of_9_2_m_and_21_m() -> None:
    # By hand: π × 4.6 × 21 = 303.48; its length half the girth of 28.903 m.
    wall = silo(turn=math.pi)
    assert float(wall.gross_area) == pytest.approx(math.pi * 4.6 * 21, rel=1e-9)
    assert round(float(wall.net_area), 1) == 303.5
    assert wall.length == pytest.approx(14.451, abs=0.5 * MM)


def test_n7_the_silos_length_is_as_sure_as_its_diameter() -> None:
    # By hand: the half girth is 1.5708 times the diameter, so 10 mm across are 15.7 mm along.
    wall = silo(turn=math.pi, sigma=0.010)
    assert wall.wall_length.sigma == pytest.approx(0.010 * math.pi / 2, rel=1e-9)
    heights = survey.WallSurvey(datum="x", bays=(survey.Bay(name="1", length=1.0),))
    of_height = math.hypot(survey.tape_error(heights.tape, 21.0), 0.005)
    by_hand = math.hypot(21 * 0.010 * math.pi / 2, wall.length * of_height)
    assert wall.gross_area.sigma == pytest.approx(by_hand, rel=1e-9)


def test_n7_a_motif_60_degrees_round_looks_0_46_as_wide() -> None:
    wall = silo()
    gate = survey.space_from_wall(wall, wall.length / 2, 0.0, 120.0 - 4.6)[:2]
    facing_it = wall.length / 2
    for side in (-1, 1):
        round_it = facing_it + side * 4.6 * math.pi / 3
        widths = survey.width_seen(wall, [round_it, facing_it], tuple(gate))
        assert round(float(widths[0] / widths[1]), 2) == 0.46
    # From very far off the cosine alone remains: 0.50.
    far = survey.width_seen(wall, [facing_it + 4.6 * math.pi / 3, facing_it], (4.6, -1e7))
    assert far[0] / far[1] == pytest.approx(0.5, abs=1e-5)


def test_n7_a_motif_of_one_metre_subtends_what_its_ends_do() -> None:
    # Independent route: the angle between the lines of sight to the two ends of 1 m of wall.
    wall = silo()
    eye = survey.space_from_wall(wall, wall.length / 2, 0.0, 115.4)[:2]
    at = wall.length / 2 + 4.6 * math.pi / 3
    ends = survey.space_from_wall(wall, [at - 0.5, at + 0.5], 0.0)[:, :2] - eye
    angles = np.arctan2(ends[:, 0], ends[:, 1])
    subtended = abs(math.remainder(angles[1] - angles[0], math.tau))
    width = float(survey.width_seen(wall, at, tuple(eye)))
    assert width == pytest.approx(subtended, rel=3e-3)


def test_n7_nothing_beyond_87_8_degrees_shows() -> None:
    wall = silo()
    eye = tuple(survey.space_from_wall(wall, wall.length / 2, 0.0, 115.4)[:2])
    ((start, end),) = survey.stretches_seen(wall, eye)
    degrees = [math.degrees((at - wall.length / 2) / 4.6) for at in (start, end)]
    # By hand: arccos(4.6 ÷ 120) = 87.80°.
    assert degrees == pytest.approx([-87.803, 87.803], abs=0.001)
    # Independent route: where a line from the eye first touches the circle, by its distance.
    centre = survey.space_from_wall(wall, wall.length / 2, 0.0, -4.6)[:2]

    def clearance(turn: float) -> float:
        at = survey.space_from_wall(wall, wall.length / 2 + 4.6 * turn, 0.0)[:2]
        sight = np.array(eye) - at
        return float(sight @ (at - centre))

    assert math.degrees(brentq(clearance, 1.0, 2.0)) == pytest.approx(87.803, abs=0.001)
    assert survey.width_seen(wall, end + 0.01, eye) == 0


def test_n7_a_full_silo_closes_on_itself() -> None:
    wall = silo()
    ends = survey.space_from_wall(wall, [0.0, wall.length], 0.0)
    assert ends[1] == pytest.approx(ends[0], abs=1e-9)
    assert wall.length == pytest.approx(2 * math.pi * 4.6)
    # From the north its back shows, in two stretches that meet at the datum.
    seen = survey.stretches_seen(wall, (0.0, 200.0))
    assert [round(at, 6) for at in (seen[0][0], seen[-1][1])] == [0.0, round(wall.length, 6)]
    assert len(seen) == 2


def test_a_concave_quarter_turns_towards_you(made_wall) -> None:
    # Known by construction: 4 m east, then a quarter circle of 6 m radius about a centre 6 m to
    # the south, where the viewer stands: it ends 6 m east and 6 m south of where it began.
    end = 4 + 3 * math.pi
    arc = Arc(start=4.0, end=end, radius=6.0, curve=Curve.CONCAVE)
    wall = developed(made_wall(arcs=(arc,)))
    assert survey.space_from_wall(wall, end, 0.0) == pytest.approx([10, -6, 0], abs=1e-9)
    assert math.degrees(survey.facing_at(wall, end)) == pytest.approx(270)
    # 45 degrees round: centre (4, -6) plus 6 m north-east of it.
    half = survey.space_from_wall(wall, 4 + 1.5 * math.pi, 2.0)
    assert half == pytest.approx([4 + 6 / 2**0.5, -6 + 6 / 2**0.5, 2.0], abs=1e-9)
    # Its centre is 6 m before every place of it.
    for at in (4.0, 7.0, 12.0):
        assert survey.space_from_wall(wall, at, 0.0, 6.0) == pytest.approx([4, -6, 0], abs=1e-9)
    # The rest runs on straight, south; no bend is reported where the curve begins or ends.
    assert survey.space_from_wall(wall, 20.0, 0.0) == pytest.approx([10, -6 - (20 - end), 0])
    assert wall.bends == ()
    # From the centre of the hollow all of it shows, and the straight stretches beside it.
    assert survey.stretches_seen(wall, (4.0, -6.0)) == (pytest.approx((0.0, 20.0)),)


def test_a_wall_beyond_its_ends_runs_on_straight() -> None:
    wall = silo(turn=math.pi / 2)
    for at, end in ((-2.0, 0.0), (wall.length + 2.0, wall.length)):
        beyond = survey.space_from_wall(wall, at, 0.0) - survey.space_from_wall(wall, end, 0.0)
        facing = survey.facing_at(wall, at)
        assert np.hypot(*beyond[:2]) == pytest.approx(2.0)
        square = beyond[0] * math.sin(facing) + beyond[1] * math.cos(facing)
        assert square == pytest.approx(0.0, abs=1e-9)


@st.composite
def shaped_walls(draw: st.DrawFn) -> survey.DevelopedWall:
    """Straight, bent and curved stretches of 2 to 9 m, one after another."""
    bays, bends, arcs, at = [], [], [], 0.0
    for number in range(draw(st.integers(1, 5))):
        length = draw(st.floats(2.0, 9.0))
        shape = draw(st.sampled_from(["straight", "convex", "concave", "bend"]))
        if shape in ("convex", "concave"):
            radius = length / draw(st.floats(0.01, 6.0))
            arcs.append(Arc(start=at, end=at + length, radius=radius, curve=Curve(shape)))
        if shape == "bend" and at > 0:
            bends.append(Bend(at=at, angle=draw(st.floats(-2.0, 2.0))))
        bays.append(survey.Bay(name=str(number), length=length))
        at += length
    made = survey.WallSurvey(
        datum="d",
        bays=tuple(bays),
        heights=(survey.Height(at=0.0, height=3.0),),
        bends=tuple(bends),
        arcs=tuple(arcs),
    )
    return developed(made, facing=draw(st.floats(-3.0, 6.0)))


@settings(max_examples=60, deadline=None)
@given(shaped_walls())
def test_the_way_along_the_face_is_the_chainage(wall: survey.DevelopedWall) -> None:
    # Independent route: chords of 1 mm or less, none across a bend, summed; each falls short of
    # its arc by less than (1 mm)³ ÷ (24 × radius²), radii here being 0.3 m or more.
    chainages = np.union1d(np.arange(0.0, wall.length, MM), wall.plan[:, 0])
    places = survey.space_from_wall(wall, chainages, 0.0)
    walked = np.hypot(*np.diff(places[:, :2], axis=0).T).sum()
    assert walked == pytest.approx(chainages[-1], rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(shaped_walls(), st.floats(0.001, 0.999))
def test_the_face_looks_square_to_the_way_along_it(wall, part: float) -> None:
    at = part * wall.length
    if np.abs(wall.plan[:, 0] - at).min() < 0.01:
        return
    behind, here, ahead = survey.space_from_wall(wall, [at - 1e-4, at, at + 1e-4], 0.0)
    facing = survey.facing_at(wall, at)
    looks = np.array([math.sin(facing), math.cos(facing)])
    assert (ahead - behind)[:2] @ looks == pytest.approx(0.0, abs=1e-10)
    # Right-handed: the way along is the facing turned a quarter against the clock as seen from
    # above, since facing the wall its right is to the right.
    along = (ahead - behind)[:2] / 2e-4
    assert along == pytest.approx([-looks[1], looks[0]], abs=1e-6)
    before = survey.space_from_wall(wall, at, 1.0, 0.7)
    assert before == pytest.approx([*(here[:2] + 0.7 * looks), 1.0], abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(shaped_walls(), st.floats(0.001, 0.999), st.floats(-0.01, 0.01), st.floats(-1, 4))
def test_back_from_space_to_the_wall(wall, part: float, offset: float, level: float) -> None:
    at = part * wall.length
    there = survey.space_from_wall(wall, at, level, offset)
    back = survey.wall_from_space(wall, there)
    # Where the wall winds round on itself the nearest stretch may be another: then it lies
    # nearer to the place than the one set out from.
    again = survey.space_from_wall(wall, *back) if np.isfinite(back[0]) else None
    if again is not None:
        assert again == pytest.approx(there, abs=1e-7)
        assert abs(back[2]) <= abs(offset) + 1e-7
    else:  # in the wedge of a bend that turns from the viewer or to him
        assert min(abs(bend.at - at) for bend in wall.bends) < 0.03


def test_back_from_space_where_there_is_no_way_back(made_wall) -> None:
    wall = developed(made_wall(bends=(Bend(at=10, angle=-math.pi / 2),)))
    # Off the left end, and in the wedge before an outer corner at (10, 0).
    back = survey.wall_from_space(wall, [[-1.0, -2.0, 0.5], [12.0, -1.0, 0.5], [3.0, -2.0, 0.5]])
    assert np.isnan(back[:2, [0, 2]]).all()
    assert back[2] == pytest.approx([3.0, 0.5, 2.0])


def test_the_plan_of_an_arc_is_the_integral_of_its_direction() -> None:
    # Independent route: the direction of the way along, integrated numerically.
    wall = silo(turn=4.0)
    for at in (0.3, 5.0, 17.0):
        east, _ = quad(lambda s: -math.cos(survey.facing_at(wall, s)), 0.0, at)
        north, _ = quad(lambda s: math.sin(survey.facing_at(wall, s)), 0.0, at)
        assert survey.space_from_wall(wall, at, 0.0)[:2] == pytest.approx([east, north], abs=1e-8)


def test_a_radius_from_chord_and_rise() -> None:
    # By hand: on a circle of 5 m a chord of 6 m lies 4 m from the centre (3-4-5), rise 1 m.
    assert survey.radius_from_rise(6.0, 1.0) == pytest.approx(5.0)
    # Half a circle: the rise is the radius.
    assert survey.radius_from_rise(9.2, 4.6) == pytest.approx(4.6)
    with pytest.raises(ValueError, match="at most half the chord"):
        survey.radius_from_rise(6.0, 3.1)


@pytest.mark.parametrize(("diameter", "turn"), [(0.0, 1.0), (2.0, 7.0), (2.0, 0.0)])
def test_a_round_face_that_cannot_be(diameter: float, turn: float) -> None:
    with pytest.raises(ValueError, match="diameter is above 0"):
        survey.round_face(diameter, turn=turn)


def test_curves_one_over_another(made_wall) -> None:
    arcs = (
        Arc(start=2, end=9, radius=8, curve=Curve.CONVEX),
        Arc(start=7, end=14, radius=8, curve=Curve.CONCAVE),
    )
    wall, findings = survey.develop(made_wall(arcs=arcs))
    assert wall is not None
    (finding,) = [one for one in findings if one.code == "survey.curves_overlap"]
    assert (finding.severity, finding.subject) == (Severity.WARN, "curve from 7.00 to 14.00 m")
    assert [(arc.start, arc.end) for arc in wall.arcs] == [(2, 9), (9, 14)]


def test_a_curve_more_than_once_round(made_wall) -> None:
    # By hand: 20 m at 3 m radius are 20 ÷ 3 rad = 382.0 degrees.
    arcs = (Arc(start=0, end=20, radius=3, curve=Curve.CONVEX),)
    wall, findings = survey.develop(made_wall(arcs=arcs))
    (finding,) = [one for one in findings if one.code == "survey.curve_beyond_circle"]
    assert "382.0 degrees" in finding.message
    assert wall is not None
    assert float(wall.net_area) == pytest.approx(60.0)


def test_an_opening_on_a_curve_is_taped_along_the_face(made_wall) -> None:
    # By hand: 2 m on a radius of 3 m turn 0.6667 rad; the chord is 6 sin(1/3) = 1.963 m.
    opening = survey.Opening(name="door", start=5, end=7, head=2)
    arcs = (Arc(start=0, end=18, radius=3, curve=Curve.CONVEX),)
    wall, findings = survey.develop(made_wall(arcs=arcs, openings=(opening,)))
    (finding,) = [one for one in findings if one.code == "survey.opening_on_curve"]
    assert "1.963 m" in finding.message
    assert wall is not None
    assert float(wall.openings_area) == pytest.approx(4.0)
    # On a radius of 30 m arc and chord differ by 0.4 mm: nothing is said.
    flat = (Arc(start=0, end=18, radius=30, curve=Curve.CONVEX),)
    _, findings = survey.develop(made_wall(arcs=flat, openings=(opening,)))
    assert all(one.code != "survey.opening_on_curve" for one in findings)


def test_the_unrolled_wall_does_not_change_with_the_curve(made_wall) -> None:
    plain = developed(made_wall())
    curved = developed(made_wall(arcs=(Arc(start=3, end=17, radius=9, curve=Curve.CONCAVE),)))
    assert shapely.equals_exact(plain.net, curved.net)
    assert curved.net_area.sigma == plain.net_area.sigma
