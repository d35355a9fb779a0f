"""The survey's needs by number: areas, closure, skew, coursing, heights, overlaps, joints."""

import math

import pytest

from giornata.core import survey
from giornata.core.foundation import Severity, parse, shown
from giornata.core.foundation.display import System
from giornata.core.foundation.units import Dimension

MM = 0.001
# International foot, exactly 0.3048 m (NIST SP 811:2008, appendix B).
SQUARE_FOOT = 0.3048**2


def two_gates() -> survey.WallSurvey:
    return survey.WallSurvey(
        datum="left end, foot",
        bays=(survey.Bay(name="1", length=61.2),),
        length_sigma=15 * MM,
        height_sigma=5 * MM,
        heights=(survey.Height(at=0.0, height=2.9),),
        openings=(
            survey.Opening(name="gate", start=18.4, end=22.0, foot=0.0, head=2.1),
            survey.Opening(name="door", start=40.0, end=41.2, foot=0.0, head=2.0),
        ),
    )


def test_n1_gross_openings_net_and_precision() -> None:
    wall, _ = survey.develop(two_gates())
    assert wall is not None
    # By hand: 61.2 × 2.9 = 177.48; 3.6 × 2.1 + 1.2 × 2.0 = 9.96; 177.48 - 9.96 = 167.52.
    assert float(wall.gross_area) == pytest.approx(177.48, abs=1e-9)
    assert float(wall.openings_area) == pytest.approx(9.96, abs=1e-9)
    assert float(wall.net_area) == pytest.approx(167.52, abs=1e-9)
    # 167.52 ÷ 0.09290304 = 1803.17
    assert round(float(wall.net_area) / SQUARE_FOOT, 1) == 1803.2
    # By hand: 2.9 × 0.015 = 0.0435 and 61.2 × 0.005 = 0.306; root-sum 0.3091, sum 0.3495.
    assert wall.gross_precision.root_sum == pytest.approx(math.hypot(0.0435, 0.306), abs=1e-9)
    assert wall.gross_precision.worst == pytest.approx(0.3495, abs=1e-9)
    assert wall.gross_area.sigma == wall.gross_precision.root_sum
    assert round(wall.gross_precision.root_sum, 2) == 0.31
    assert round(wall.gross_precision.worst, 2) == 0.35


def test_n1_openings_widen_the_net_precision_by_their_own_errors() -> None:
    wall, _ = survey.develop(two_gates())
    assert wall is not None
    # By hand, same ±15 mm and ±5 mm on the gates: 2.1 × 0.015, 3.6 × 0.005, 2.0 × 0.015,
    # 1.2 × 0.005 m².
    gates = [0.0315, 0.018, 0.030, 0.006]
    assert wall.openings_area.sigma == pytest.approx(math.hypot(*gates), abs=1e-9)
    assert wall.net_area.sigma == pytest.approx(math.hypot(0.0435, 0.306, *gates), abs=1e-9)
    assert wall.net_precision.worst == pytest.approx(0.3495 + sum(gates), abs=1e-9)


def test_n1_net_area_explains_itself_down_to_the_tape() -> None:
    wall, _ = survey.develop(two_gates())
    assert wall is not None
    names = [figure.name for figure in wall.net_area.walk()]
    assert names[:2] == ["net area", "gross area"]
    for part in ("wall length", "bay 1", "mean height", "height at 0.00 m", "opening gate"):
        assert part in names


@pytest.mark.parametrize("need", ["n2", "s1"])
def test_n2_s1_sloping_wall_and_the_warning_of_the_greatest_height(need: str) -> None:
    readings = {
        "n2": {
            "top": (survey.Level(at=0, level=1.8), survey.Level(at=48, level=3.4)),
            "ground": (survey.Level(at=0, level=0), survey.Level(at=48, level=0)),
        },
        "s1": {
            "heights": (survey.Height(at=0, height=1.8), survey.Height(at=48, height=3.4)),
        },
    }
    wall, findings = survey.develop(
        survey.WallSurvey(
            datum="left end",
            bays=(survey.Bay(name="1", length=48.0),),
            overall=48.0,
            **readings[need],  # type: ignore[arg-type]
        )
    )
    assert wall is not None
    # By hand: 48 × (1.8 + 3.4) ÷ 2 = 124.8; 48 × 3.4 = 163.2; 163.2 ÷ 124.8 = 1.3077.
    assert float(wall.net_area) == pytest.approx(124.8, abs=1e-9)
    assert wall.greatest_height == pytest.approx(3.4)
    (warning,) = [f for f in findings if f.code == "survey.greatest_height"]
    assert warning.severity is Severity.WARN
    assert "163.20 m²" in warning.message
    assert "31 %" in warning.message


def fourteen_bays(**changes: object) -> survey.WallSurvey:
    return survey.WallSurvey(
        datum="left end",
        bays=tuple(survey.Bay(name=str(n), length=4.35) for n in range(1, 15)),
        overall=61.05,
        tape=survey.TapeClass.II,
        heights=(survey.Height(at=0, height=2.9), survey.Height(at=61.05, height=2.9)),
        **changes,  # type: ignore[arg-type]
    )


def test_n3_closure_refused_with_its_likely_cause() -> None:
    found, findings = survey.closure(fourteen_bays())
    assert found is not None
    assert found.chain == pytest.approx(60.90, abs=1e-9)
    assert round(found.misclosure / MM) == 150
    # By hand, class II: 0.3 + 0.2 × 5 = 1.3 mm a bay; √14 × 1.3 = 4.86; 14 × 1.3 = 18.2;
    # the overall's own 0.3 + 0.2 × 62 = 12.7; √(4.86² + 12.7²) = 13.6; 18.2 + 12.7 = 30.9.
    assert round(found.of_chain.root_sum / MM) == 5
    assert round(found.of_chain.worst / MM) == 18
    assert round(found.expected.root_sum / MM) == 14
    assert round(found.expected.worst / MM) == 31
    assert found.verdict is survey.Verdict.REMEASURE
    (refusal,) = findings
    assert refusal.code == "survey.misclosure"
    assert refusal.severity is Severity.STOP
    assert "150 mm" in refusal.message
    assert "5 mm (root-sum) to 18 mm (worst)" in refusal.message
    assert "14 to 31 mm" in refusal.message
    assert "pier or recess 150 mm wide was left out" in refusal.remedy


def test_n3_a_refused_chain_is_not_spread_and_does_not_drag_other_findings_along() -> None:
    wall, findings = survey.develop(fourteen_bays())
    assert wall is not None
    assert wall.length == 61.05
    assert wall.bays[-1].end == pytest.approx(60.90)
    assert "survey.reading_outside" not in [f.code for f in findings]
    assert "survey.misclosure" in [f.code for f in wall.wall_length.findings]


def test_n4_skew_from_diagonals() -> None:
    # By hand: asin((20.93² - 20.83²) ÷ (4 × 20 × 6)) = asin(0.0087) = 0.4985°; 6 × 0.0087 = 52 mm.
    lean, findings = survey.skew(20.00, 6.00, 20.93, 20.83)
    assert round(math.degrees(lean.angle), 2) == 0.50
    assert round(lean.shift / MM) == 52
    assert lean.direction == "right"
    assert findings == ()
    other, _ = survey.skew(20.00, 6.00, 20.83, 20.93)
    assert other.direction == "left"
    assert other.shift == pytest.approx(-lean.shift)


def test_n5_coursing_as_a_ruler() -> None:
    found = survey.coursing(14, 2.90, survey.NOMINAL_COURSES["block 8 in"])
    # By hand: 2900 ÷ 14 = 207.14; 14 × 203.2 = 2844.8; 2844.8 ÷ 2900 - 1 = -1.9 %.
    assert round(found.course / MM, 1) == 207.1
    assert round(found.nominal_height, 3) == 2.845
    assert round(100 * found.error) == -2


def test_n6_level_top_falling_ground_and_where_a_heron_fits() -> None:
    wall, _ = survey.develop(
        survey.WallSurvey(
            datum="left end, foot",
            bays=(survey.Bay(name="1", length=60.0),),
            top=(survey.Level(at=0, level=1.9), survey.Level(at=60, level=1.9)),
            ground=(survey.Level(at=0, level=0), survey.Level(at=60, level=-60 / 40)),
        )
    )
    assert wall is not None
    # By hand: 1.9 + 60 ÷ 40 = 3.4; (2.2 - 1.9) × 40 = 12.
    assert survey.height_at(wall, 60.0) == pytest.approx(3.4)
    (span,) = survey.fitting_spans(wall, 2.2)
    assert span == pytest.approx((12.0, 60.0))
    assert survey.fitting_spans(wall, 2.2, width=48.5) == ()
    assert survey.fitting_spans(wall, 3.5) == ()


def test_n8_overlap_with_a_gate_and_the_shift_that_clears_it() -> None:
    # By hand: 22.00 - 21.70 = 0.30; 22.00 + 0.15 - 21.70 = 0.45 to the right.
    found = survey.overlap_and_shift(21.70, 22.90, 18.40, 22.00, clearance=0.15)
    assert found.overlap == pytest.approx(0.30)
    assert found.shift == pytest.approx(0.45)


def test_n8_the_shorter_way_is_taken_and_the_clearance_counts_without_an_overlap() -> None:
    # By hand: 18.60 - (18.40 - 0.15) = 0.35 to the left.
    left = survey.overlap_and_shift(17.00, 18.60, 18.40, 22.00, clearance=0.15)
    assert left.overlap == pytest.approx(0.20)
    assert left.shift == pytest.approx(-0.35)
    # By hand: 22.05 stands 0.05 beyond the gate, 0.10 short of the clearance.
    near = survey.overlap_and_shift(22.05, 22.90, 18.40, 22.00, clearance=0.15)
    assert near.overlap == 0
    assert near.shift == pytest.approx(0.10)
    assert survey.overlap_and_shift(22.15, 22.9, 18.4, 22.0, clearance=0.15).shift == 0


def test_n9_area_hidden_by_a_hedge() -> None:
    wall, _ = survey.develop(
        survey.WallSurvey(
            datum="left end",
            bays=(survey.Bay(name="1", length=60.0),),
            heights=(survey.Height(at=0, height=2.5), survey.Height(at=60, height=3.2)),
            obstacles=(survey.Obstacle(name="Privet", kind="hedge", start=10, end=48, height=0.8),),
        )
    )
    assert wall is not None
    # By hand: 38 × 0.8 = 30.4, whatever the ground does.
    assert float(survey.hidden_area(wall)) == pytest.approx(30.4, abs=1e-9)


def test_n10_joints_of_a_wall_of_52_m() -> None:
    joints = survey.joint_chainages(52.0, 7.5)
    assert joints == (7.5, 15.0, 22.5, 30.0, 37.5, 45.0)
    assert survey.joint_chainages(45.0, 7.5) == (7.5, 15.0, 22.5, 30.0, 37.5)


def test_n11_three_heights_give_an_area_the_assumption_and_the_worth_of_one_more() -> None:
    wall, findings = survey.develop(
        survey.WallSurvey(
            datum="left end",
            bays=(survey.Bay(name="1", length=61.2),),
            heights=(
                survey.Height(at=0.0, height=2.9),
                survey.Height(at=20.0, height=2.7),
                survey.Height(at=61.2, height=2.4),
            ),
        )
    )
    assert wall is not None
    # By hand: 20 × (2.9 + 2.7) ÷ 2 + 41.2 × (2.7 + 2.4) ÷ 2 = 56 + 105.06 = 161.06.
    assert float(wall.gross_area) == pytest.approx(161.06, abs=1e-9)
    said = {finding.code: finding for finding in findings}
    assert "top is drawn level" in said["survey.top_assumed"].message
    gap = said["survey.trapezoids"]
    # By hand: widest gap 20.00 to 61.20, 41.2 ÷ 2 × 0.1 = 2.06 m², 2.06 ÷ 161.06 = 1.3 %.
    assert "20.00 to 61.20 m" in gap.message
    assert "trapezoids" in gap.message
    assert "100 mm changes the area by 2.06 m² (1.3 %)" in gap.message
    assert "40.60 m" in gap.remedy


def test_n11_the_worth_stated_is_what_one_more_reading_does() -> None:
    def area(*heights: tuple[float, float]) -> float:
        wall, _ = survey.develop(
            survey.WallSurvey(
                datum="left end",
                bays=(survey.Bay(name="1", length=61.2),),
                heights=tuple(survey.Height(at=at, height=height) for at, height in heights),
            )
        )
        assert wall is not None
        return float(wall.gross_area)

    three = [(0.0, 2.9), (20.0, 2.7), (61.2, 2.4)]
    # A fourth height in the middle of the gap, 100 mm above the line's 2.55 m there.
    changed = area(*three, (40.6, 2.65)) - area(*three)
    assert changed == pytest.approx(survey.leverage(41.2, 0.1), abs=1e-9)
    # An end left out, and found 100 mm lower than the line carried on level.
    short = area(*three[:2])
    assert area(*three[:2], (61.2, 2.6)) - short == pytest.approx(
        -survey.leverage(41.2, 0.1), abs=1e-9
    )


def test_n12_feet_and_metres_of_one_wall() -> None:
    length = parse("200 ft 9 in", Dimension.LENGTH, subject="wall")
    height = parse("2.9 m", Dimension.LENGTH, subject="wall")
    assert isinstance(length, float)
    assert isinstance(height, float)
    wall, _ = survey.develop(
        survey.WallSurvey(
            datum="left end",
            bays=(survey.Bay(name="1", length=length),),
            heights=(survey.Height(at=0, height=height),),
        )
    )
    assert wall is not None
    # By exact definition: 200.75 × 0.3048 = 61.1886; × 2.9 = 177.44694.
    assert float(wall.gross_area) == pytest.approx(177.44694, abs=1e-9)
    assert shown(wall.length, "m", System.METRIC) == "61.19 m"
    assert shown(wall.length, "m", System.US) == "200 ft 9 in"
