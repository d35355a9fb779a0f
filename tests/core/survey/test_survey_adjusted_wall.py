"""A wall drawn from all its readings adjusted together, and left as taped where they clash."""

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from giornata.core import survey
from giornata.core.foundation import Severity
from giornata.core.survey import Kind, Level, Opening, Taken

MM = 0.001


def taken(kind: Kind, end: str, value: float, start: str = survey.DATUM, **more: Any) -> Taken:
    return Taken(kind=kind, start=start, end=end, value=value, **more)


def wall(*readings: Taken, **changes: Any) -> survey.WallSurvey:
    """Two bays of 10 m, 3 m high, with a gate through the top and a window."""
    plain: dict[str, Any] = {
        "datum": "left end, foot",
        "bays": (survey.Bay(name="1", length=10.0), survey.Bay(name="2", length=10.0)),
        "length_sigma": 4 * MM,
        "height_sigma": 5 * MM,
        "top": (Level(at=0.0, level=3.0), Level(at=20.0, level=3.0)),
        "ground": (Level(at=0.0, level=0.0), Level(at=20.0, level=0.0)),
        "openings": (
            Opening(name="gate", start=4.0, end=8.0),
            Opening(name="window", start=12.0, end=14.0, foot=1.0, head=2.0),
        ),
        "readings": readings,
    }
    return survey.WallSurvey(**(plain | changes))


def drawn(made: survey.WallSurvey) -> survey.DevelopedWall:
    found, _ = survey.develop(made)
    assert found is not None
    return found


def codes(made: survey.WallSurvey) -> dict[str, Any]:
    return {finding.code: finding for finding in survey.develop(made)[1]}


FREE = taken(Kind.CHAINAGE, "mark A", 3.0)


def test_nothing_redundant_leaves_every_length_and_area_as_it_was() -> None:
    plain, adjusted = drawn(wall()), drawn(wall(FREE))
    assert plain.adjustment is None
    assert adjusted.adjustment is not None
    assert adjusted.adjustment.freedom == 0
    for one, other in zip(plain.bays, adjusted.bays, strict=True):
        assert (other.start, other.end) == pytest.approx((one.start, one.end), abs=1e-9)
    for name in ("wall_length", "gross_area", "openings_area", "net_area"):
        assert float(getattr(adjusted, name)) == pytest.approx(
            float(getattr(plain, name)), abs=1e-9
        )
    # By hand: √2 × 4 mm; 3 × √2 × 0.004 and 20 × √4 ÷ 2 × 0.005 m² (four levels, half each).
    assert adjusted.wall_length.sigma == pytest.approx(2**0.5 * 4 * MM, rel=1e-6)
    assert adjusted.gross_area.sigma == pytest.approx(math.hypot(3 * 2**0.5 * 0.004, 0.1), rel=1e-6)
    assert adjusted.gross_area.sigma == pytest.approx(plain.gross_area.sigma, rel=1e-6)


def test_the_net_area_counts_a_level_shared_with_an_opening_once() -> None:
    # By hand, per unit of each reading: the gate cuts the wall from ground to top over 4 to 8 m,
    # where the top's left level weighs (1 - 0.3) and its right one 0.3 over 4 m of width.
    adjusted = drawn(wall(FREE))
    left, right = 10 - 4 * 0.7, 10 - 4 * 0.3
    levels = 2 * (left**2 + right**2)
    lengths = (3**2 + 3**2) * 0.004**2 + 3**2 * 0.004**2  # two bays, the gate's width
    # The window: width 2 × 1 high; foot as read, and a height that carries the head: 2 m wide.
    window = (1.0 * 0.004) ** 2 + (2.0 * 0.005) ** 2
    expected = math.sqrt(levels * 0.005**2 + lengths + window)
    assert adjusted.net_area.sigma == pytest.approx(expected, rel=1e-5)
    # One by one the gate's height would be an error of its own, and its level count twice.
    assert adjusted.net_area.sigma < (drawn(wall()).net_area.sigma or 0)


def test_worst_cases_add_up_and_are_never_below_the_root_sums() -> None:
    adjusted = drawn(wall(FREE))
    # By hand: 3 × (4 + 4) mm of two bays and 10 × 5 mm of four levels.
    assert adjusted.gross_precision.worst == pytest.approx(0.024 + 0.2, rel=1e-5)
    assert adjusted.net_precision.worst >= adjusted.net_precision.root_sum


def test_a_second_measure_of_a_bay_is_averaged_and_the_length_is_better_known() -> None:
    adjusted = drawn(wall(taken(Kind.LENGTH, "end of bay 2", 10.006, "end of bay 1")))
    # By hand: two like readings, 10.000 and 10.006 m; the mean, and 4 mm ÷ √2 beside 4 mm.
    assert adjusted.bays[1].length == pytest.approx(10.003, abs=1e-9)
    assert adjusted.length == pytest.approx(20.003, abs=1e-9)
    assert adjusted.wall_length.sigma == pytest.approx(math.hypot(4, 4 / 2**0.5) * MM, rel=1e-6)
    assert float(adjusted.wall_length) == pytest.approx(20.003, abs=1e-9)
    names = [figure.name for figure in adjusted.wall_length.walk()]
    assert names[:3] == ["wall length", "bay 1", "bay 1 as taped"]


def test_rows_at_the_ends_and_at_steps_stay_together() -> None:
    top = (Level(at=0.0, level=3.0), Level(at=10.0, level=3.0), Level(at=10.0, level=2.5),
           Level(at=20.0, level=2.5))  # fmt: skip
    adjusted = drawn(
        wall(
            taken(Kind.LENGTH, "end of bay 2", 10.006, "end of bay 1"),
            taken(Kind.HEIGHT, "top at 10 m before", 0.506, "top at 10 m"),
            top=top,
        )
    )
    assert adjusted.top[:, 0] == pytest.approx([0, 10, 10, 20.003], abs=1e-9)
    # By hand: the step misses 6 mm over three like readings, 2 mm each.
    assert adjusted.top[:, 1] == pytest.approx([3.0, 3.002, 2.498, 2.5], abs=1e-4)


def test_points_by_their_chainage_in_any_unit_and_by_their_own_name() -> None:
    high = [
        wall(taken(Kind.LEVEL, point, 3.01))
        for point in ("top at 20 m", "top at 20.00 m", "top at 65 ft 7 13/32 in")
    ]
    named = replace(high[0], top=(Level(at=0, level=3.0), Level(at=20, level=3.0, name="T2")),
                    readings=(taken(Kind.LEVEL, "T2", 3.01),))  # fmt: skip
    for made in (*high, named):
        assert drawn(made).top[-1, 1] == pytest.approx(3.005, abs=1e-6)


def test_a_height_between_two_lines_is_adjusted_with_them() -> None:
    found = drawn(wall(FREE, heights=(survey.Height(at=20.0, height=3.012),)))
    # By hand: top less ground is 3.000, the height 3.012; three like readings, 4 mm each.
    assert found.top[-1, 1] == pytest.approx(3.004)
    assert found.ground[-1, 1] == pytest.approx(-0.004)


def test_heights_alone_are_adjusted_without_any_level() -> None:
    heights = (survey.Height(at=0.0, height=3.0), survey.Height(at=20.0, height=2.0))
    made = wall(
        taken(Kind.HEIGHT, "top at 0 m", 3.004, "ground at 0 m"),
        top=(), ground=(), heights=heights, openings=(),
    )  # fmt: skip
    found, findings = survey.develop(made)
    assert found is not None
    assert float(found.gross_area) == pytest.approx(20 * (3.002 + 2.0) / 2)
    assert "survey.undetermined" not in {finding.code for finding in findings}
    # By hand: ends of 20 m in two bays; 10 × 5 mm ÷ √2 and 10 × 5 mm.
    expected = math.sqrt(2 * (2.501 * 0.004) ** 2 + (10 * 0.005) ** 2 * 1.5)
    assert found.gross_area.sigma == pytest.approx(expected, rel=0.02)


def test_the_overall_is_a_reading_among_others() -> None:
    found = drawn(wall(FREE, overall=20.009))
    # By hand: three like readings share 9 mm, 3 mm each; the overall then gives up 3 mm.
    assert found.length == pytest.approx(20.006)
    assert found.closure is not None
    assert round(found.closure.misclosure / MM) == 9


def test_bays_checked_by_a_running_tape_need_no_overall() -> None:
    ends = [taken(Kind.CHAINAGE, f"end of bay {n}", 10.0 * n) for n in (1, 2)]
    assert "survey.no_overall" in codes(wall(FREE))
    assert "survey.no_overall" not in codes(wall(*ends))


def test_n3_a_refused_chain_is_not_spread_whatever_else_is_read() -> None:
    bays = tuple(survey.Bay(name=str(n), length=4.35) for n in range(1, 15))
    heights = tuple(survey.Height(at=at, height=2.9) for at in (0.0, 61.05))
    made = survey.WallSurvey(
        datum="left end", bays=bays, overall=61.05, heights=heights, readings=(FREE,)
    )
    found, findings = survey.develop(made)
    assert found is not None
    assert found.adjustment is not None
    assert not found.adjustment.used
    assert found.length == 61.05
    assert found.bays[-1].end == pytest.approx(60.90)
    stops = [finding.code for finding in findings if finding.severity is Severity.STOP]
    assert stops == ["survey.misclosure"]


def test_n3_a_running_tape_names_the_bay_with_the_missed_pier() -> None:
    bays = tuple(survey.Bay(name=str(n), length=4.35) for n in range(1, 15))
    running = tuple(
        taken(Kind.CHAINAGE, f"end of bay {n}", 4.35 * n + 0.15 * (n >= 9), sigma=8 * MM)
        for n in range(2, 14)
    )
    heights = tuple(survey.Height(at=at, height=2.9) for at in (0.0, 61.05))
    made = survey.WallSurvey(
        datum="left end", bays=bays, overall=61.05, heights=heights, readings=running
    )
    found, findings = survey.develop(made)
    assert found is not None
    assert found.bays[-1].end == pytest.approx(60.90)
    (doubt,) = [finding for finding in findings if finding.code == "survey.reading_doubtful"]
    assert doubt.subject == "bay 9"
    assert "150 mm too small" in doubt.message
    assert "Without it the rest agrees" in doubt.message


def test_readings_that_contradict_one_another_are_not_spread() -> None:
    made = wall(taken(Kind.LENGTH, "end of bay 2", 10.2, "end of bay 1"))
    found = codes(made)
    clash = found["survey.contradictory"]
    assert clash.severity is Severity.STOP
    assert "200 mm, limit 20 mm" in clash.message
    assert '"bay 2"' in clash.remedy
    assert '"length end of bay 1 to end of bay 2"' in clash.remedy
    assert "cannot be told apart" in found["survey.reading_doubtful"].message
    assert drawn(made).bays[1].length == 10.0
    assert drawn(made).net_area.sigma == drawn(wall()).net_area.sigma


def test_a_slip_within_the_limit_is_named_and_the_wall_still_adjusted() -> None:
    ends = [taken(Kind.CHAINAGE, f"end of bay {n}", 10.0 * n) for n in (1, 2)]
    made = wall(*ends, taken(Kind.LENGTH, "end of bay 1", 10.0),
                taken(Kind.LENGTH, "end of bay 1", 10.019))  # fmt: skip
    found = codes(made)
    assert "survey.contradictory" not in found
    doubt = found["survey.reading_doubtful"]
    assert "19 mm too large" in doubt.message
    assert "doubtful = true" in doubt.remedy
    assert drawn(made).bays[0].length > 10.003


def test_readings_worse_than_stated_widen_the_uncertainty() -> None:
    again = [taken(Kind.LENGTH, "end of bay 2", 10.0 + error * MM, "end of bay 1")
             for error in (7.5, -7.5, 7.5, -7.5)]  # fmt: skip
    made = wall(*again)
    found = codes(made)
    # By hand: 4 × (7.5 ÷ 4)² = 14.06 at 4 degrees of freedom; the 5 % limit of the tables is 9.49.
    assert "chi-square 14.1, limit 9.5 for 4" in found["survey.global_test"].message
    assert "survey.reading_doubtful" not in found
    factor = math.sqrt(14.0625 / 4)
    sigma = math.hypot(4, 4 / 5**0.5) * MM
    assert drawn(made).wall_length.sigma == pytest.approx(factor * sigma, rel=1e-6)


def test_a_doubtful_reading_is_set_aside_and_said() -> None:
    made = wall(FREE, taken(Kind.LENGTH, "end of bay 2", 10.2, "end of bay 1", doubtful=True))
    found = codes(made)
    assert "200 mm too large" in found["survey.set_aside"].message
    assert "survey.contradictory" not in found
    assert drawn(made).length == pytest.approx(20.0)
    lone = codes(wall(FREE, taken(Kind.LENGTH, "Q", 1.0, "P", doubtful=True)))
    assert "nothing else tells" in lone["survey.set_aside"].message


def test_a_point_spelled_otherwise_is_left_open_with_a_guess() -> None:
    found = codes(wall(taken(Kind.LENGTH, "gate rigth", 4.0, "gate lefd")))
    doubt = found["survey.undetermined"]
    assert doubt.severity is Severity.WARN
    assert 'Is it "gate left"?' in doubt.remedy or 'Is it "gate right"?' in doubt.remedy
    assert "chainage" in doubt.message
    counted = codes(wall(taken(Kind.COURSES, "sill", 4, "top at 0 m")))
    assert "survey.undetermined" in counted


def test_diagonals_that_never_meet_stop_the_adjustment() -> None:
    # 3 m and 4 m from two points 10 m apart.
    made = wall(
        taken(Kind.DIAGONAL, "P", 3.0),
        taken(Kind.DIAGONAL, "end of bay 1", 4.0, "P"),
        taken(Kind.LEVEL, "end of bay 1", 0.0),
    )
    found = codes(made)
    assert found["survey.unsettled"].severity is Severity.STOP
    assert "diagonal datum to P" in found["survey.unsettled"].message
    assert drawn(made).length == 20.0


def test_two_diagonals_place_a_point_above_them() -> None:
    # By hand: 6, 8, 10 is a right-angled triangle; its corner lies at 3.6 along and 4.8 up.
    made = wall(
        taken(Kind.DIAGONAL, "P", 6.0),
        taken(Kind.DIAGONAL, "end of bay 1", 8.0, "P"),
        taken(Kind.LEVEL, "end of bay 1", 0.0),
    )
    found = drawn(made).adjustment
    assert found is not None
    (point,) = [one for one in found.points if one.name == "P"]
    assert (point.chainage, point.level) == pytest.approx((3.6, 4.8))


def test_a_bay_that_would_vanish_is_left_as_taped() -> None:
    bays = (survey.Bay(name="1", length=0.005), survey.Bay(name="2", length=19.995))
    made = wall(taken(Kind.CHAINAGE, "end of bay 1", -0.010, sigma=0.1 * MM), bays=bays)
    found = codes(made)
    assert "the bay to end of bay 1" in found["survey.adjusted_away"].message
    assert drawn(made).bays[0].length == pytest.approx(0.005)


def test_too_many_readings_are_not_adjusted() -> None:
    found = codes(wall(*[taken(Kind.CHAINAGE, "A", 3.0)] * 1500))
    assert found["survey.too_many_readings"].severity is Severity.STOP
    assert "at most 1,500" in found["survey.too_many_readings"].message


def test_names_used_twice_do_not_tie_two_openings_together() -> None:
    openings = tuple(Opening(name="W", start=at, end=at + 1, head=2.0) for at in (2.0, 12.0))
    bays = (survey.Bay(name="1", length=10.0), survey.Bay(name="1", length=10.0))
    found = drawn(wall(FREE, openings=openings, bays=bays))
    assert [opening.start for opening in found.openings] == pytest.approx([2.0, 12.0])
    assert found.length == pytest.approx(20.0)


def test_a_reading_from_a_place_to_itself_moves_nothing() -> None:
    made = wall(taken(Kind.HEIGHT, "top at 20.00 m", 0.1, "top at 20 m"))
    assert drawn(made).top[-1, 1] == pytest.approx(3.0)
    assert codes(made)["survey.one_point"].severity is Severity.WARN


def test_the_adjusted_wall_knows_its_covariance() -> None:
    found = drawn(wall(FREE)).adjustment
    assert found is not None
    covariance = found.covariance()
    assert covariance == pytest.approx(covariance.T)
    assert np.linalg.eigvalsh(covariance).min() > -1e-12
    ends = [found.unknowns.index((survey.Axis.CHAINAGE, f"end of bay {n}")) for n in (1, 2)]
    # By hand: the end of bay 2 carries bay 1's error with it.
    assert covariance[np.ix_(ends, ends)] == pytest.approx(16e-6 * np.array([[1, 1], [1, 2]]))


SHAPES = [
    Opening(name="W", start=3, end=5, foot=1.0, head=2.0),
    Opening(name="W", start=3, end=4, foot=1.0, shape=survey.OpeningShape.ROUND),
    Opening(name="W", start=3, end=5, foot=0.5, head=2.0, shape=survey.OpeningShape.ARCHED),
    Opening(name="W", start=3, end=5, head=2.0, spring=1.5, shape=survey.OpeningShape.ARCHED),
    survey.outlined_opening("W", [(3, 1), (5, 1), (5.5, 1.8), (4, 2.4), (3.2, 2)]),
]


@pytest.mark.parametrize("opening", SHAPES, ids=["square", "round", "arch", "low arch", "corners"])
def test_openings_of_any_outline_keep_it_and_have_an_uncertainty(opening: Opening) -> None:
    plain, adjusted = drawn(wall(openings=(opening,))), drawn(wall(FREE, openings=(opening,)))
    (one,), (other,) = plain.openings, adjusted.openings
    assert other.polygon.area == pytest.approx(one.polygon.area, abs=1e-9)
    assert other.polygon.symmetric_difference(one.polygon).area < 1e-9
    assert adjusted.openings_area.sigma is not None
    # The same readings, so much the same uncertainty as taken one by one: a corner's chainage errs
    # by 4 mm and a level by 5 mm over a metre or two.
    assert 0.3 < adjusted.openings_area.sigma / (plain.openings_area.sigma or 1) < 1.5
    assert float(adjusted.net_area) == pytest.approx(float(plain.net_area), abs=1e-9)


def test_an_arch_that_is_half_a_circle_stays_one_when_its_width_shrinks() -> None:
    arch = Opening(name="W", start=3, end=5, foot=1.0, head=2.0, spring=1.0,
                   shape=survey.OpeningShape.ARCHED)  # fmt: skip
    found = drawn(wall(taken(Kind.LENGTH, "W right", 1.99, "W left"), openings=(arch,)))
    # By hand: 2.000 and 1.990 m, the mean 1.995 m; half a circle on it, and 2.5 mm of upright
    # sides from the foot to where it rises.
    assert found.openings[0].length == pytest.approx(1.995)
    area = math.pi * (1.995 / 2) ** 2 / 2 + 1.995 * 0.0025
    assert found.openings[0].polygon.area == pytest.approx(area, rel=1e-3)


def test_an_opening_that_would_vanish_is_left_as_taped() -> None:
    slit = Opening(name="slit", start=3, end=3.01)
    sides = [
        taken(Kind.CHAINAGE, f"slit {side}", at, sigma=0.1 * MM)
        for side, at in (("left", 3.0), ("right", 2.995))
    ]
    made = wall(*sides, openings=(slit,))
    found = codes(made)
    assert "opening slit" in found["survey.adjusted_away"].message
    assert drawn(made).openings[0].length == pytest.approx(0.01)
