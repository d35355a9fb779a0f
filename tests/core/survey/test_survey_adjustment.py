"""Readings between named points, adjusted together: coordinates, tests, what is left open."""

import itertools
import math

import numpy as np
import pytest

from giornata.core import survey
from giornata.core.survey import Instrument, Kind, Taken

MM = 0.001


def length(start: str, end: str, value: float, **more: object) -> Taken:
    return Taken(kind=Kind.LENGTH, start=start, end=end, value=value, **more)  # type: ignore[arg-type]


def height(start: str, end: str, value: float, **more: object) -> Taken:
    return Taken(kind=Kind.HEIGHT, start=start, end=end, value=value, **more)  # type: ignore[arg-type]


def chainage(end: str, value: float) -> Taken:
    return Taken(kind=Kind.CHAINAGE, end=end, value=value)


def adjusted(readings: list[Taken], *sigma: float) -> survey.Adjustment:
    each = list(sigma) * len(readings) if len(sigma) == 1 else list(sigma)
    found = survey.adjust(readings, each)
    assert found is not None
    return found


def point(found: survey.Adjustment, name: str) -> survey.AdjustedPoint:
    return next(one for one in found.points if one.name == name)


def test_the_published_level_net_as_readings() -> None:
    # GNU Gama's 1-D sample (tests/reference/survey_level_net.csv); falls are written as rises.
    read = [("1a", "4", -1.225), ("4", "3", -0.848), ("3", "2", 1.342), ("2", "1a", 0.720),
            ("1a", "2", -0.724), ("2", "3", -1.335), ("3", "4", 0.842),
            ("4", "1a", 1.231)]  # fmt: skip
    named = {"1a": survey.DATUM, "2": "2", "3": "3", "4": "4"}
    found = adjusted(
        [height(named[a], named[b], v) if v > 0 else height(named[b], named[a], -v)
         for a, b, v in read], 5 * MM
    )  # fmt: skip
    assert [point(found, name).level for name in "432"] == pytest.approx(
        [-1.22487, -2.06675, -0.72513], abs=0.6e-5
    )
    sigmas = [1000 * (point(found, name).level_sigma or 0) for name in "432"]
    assert sigmas == pytest.approx([3.06, 3.54, 3.06], abs=5e-3)
    assert found.freedom == 5
    assert 5 * (found.posterior or 0) == pytest.approx(5.415, abs=1e-3)
    # Chi-square tables: 11.07 is exceeded by 5 % at 5 degrees of freedom; 146.625 ÷ 25 = 5.865.
    assert found.critical == pytest.approx(11.07, abs=5e-3)
    assert found.passed


def test_a_chain_without_overall_is_summed_as_it_stands() -> None:
    found = adjusted([length("datum", "A", 4.1), length("A", "B", 4.6)], 1 * MM, 2 * MM)
    assert point(found, "B").chainage == pytest.approx(8.7, abs=1e-12)
    assert point(found, "B").chainage_sigma == pytest.approx(math.hypot(1, 2) * MM)
    assert (found.freedom, found.worst, found.posterior, found.passed) == (0, None, None, True)
    assert [one.test for one in found.readings] == [None, None]


def test_levels_and_chainages_do_not_mix_without_a_diagonal() -> None:
    level = Taken(kind=Kind.LEVEL, end="A", value=0.31)
    found = adjusted([length("datum", "A", 4.1), level], 1 * MM)
    assert point(found, "A").level == pytest.approx(0.31)
    assert found.covariance()[0, 1] == 0


def panel(*diagonals: float) -> list[Taken]:
    return [
        length("datum", "B", 20.0),
        length("D", "C", 20.0),
        height("datum", "D", 6.0),
        height("B", "C", 6.0),
        Taken(kind=Kind.LEVEL, end="B", value=0.0),
        Taken(kind=Kind.DIAGONAL, start="datum", end="C", value=diagonals[0]),
        Taken(kind=Kind.DIAGONAL, start="D", end="B", value=diagonals[1]),
    ]


def test_n4_diagonals_in_an_adjustment_give_the_lean_of_the_panel() -> None:
    found = adjusted(panel(20.93, 20.83), 4 * MM)
    # By hand as in N4: (20.93² - 20.83²) ÷ (4 × 20) = 0.0522 m to the right.
    assert point(found, "D").chainage == pytest.approx(0.0522, abs=0.1 * MM)
    assert point(found, "C").chainage == pytest.approx(20.0522, abs=0.5 * MM)
    lean, _ = survey.skew(20.0, 6.0, 20.93, 20.83)
    assert point(found, "D").chainage == pytest.approx(lean.shift, abs=0.1 * MM)
    assert found.settled
    assert found.passed
    other = adjusted(panel(20.83, 20.93), 4 * MM)
    assert point(other, "D").chainage == pytest.approx(-0.0522, abs=0.1 * MM)


def test_n4_the_lean_is_known_as_well_as_the_diagonals_say() -> None:
    # By hand: shift = (d1² - d2²) ÷ 4a; each diagonal of 20.88 m counts 20.88 ÷ (2 × 20) = 0.522;
    # the lengths of foot and top add less than a tenth of their own error.
    found = adjusted(panel(20.93, 20.83), 1e-9, 1e-9, 1e-9, 1e-9, 1e-9, 4 * MM, 4 * MM)
    assert point(found, "D").chainage_sigma == pytest.approx(2**0.5 * 0.522 * 4 * MM, rel=0.01)


def test_n5_courses_counted_over_a_taped_height_become_a_ruler() -> None:
    found = adjusted(
        [
            Taken(kind=Kind.LEVEL, end="foot", value=0.0),
            height("foot", "coping", 2.90),
            Taken(kind=Kind.COURSES, start="foot", end="coping", value=14),
            Taken(kind=Kind.COURSES, start="foot", end="sill", value=5),
        ],
        1e-6, 5 * MM, 10 * MM, 10 * MM,
    )  # fmt: skip
    (course,) = found.coursings
    # By hand: 2900 ÷ 14 = 207.14 mm; 5 × 207.14 = 1035.7 mm; √(5² + 10²) ÷ 14 = 0.80 mm.
    assert round(course.height / MM, 1) == 207.1
    assert course.sigma / MM == pytest.approx(0.80, abs=0.005)
    assert point(found, "sill").level == pytest.approx(1.0357, abs=0.1 * MM)
    # By hand: √((5 × 0.80)² + 10²) = 10.8 mm.
    assert (point(found, "sill").level_sigma or 0) / MM == pytest.approx(10.8, abs=0.05)


def test_n5_courses_without_any_height_are_left_open() -> None:
    found = adjusted([Taken(kind=Kind.COURSES, start="foot", end="coping", value=14)], 10 * MM)
    assert found.coursings == ()
    assert (survey.Axis.COURSE, "course") in found.open


def test_offsets_and_leans_place_points_before_the_base_line() -> None:
    found = adjusted(
        [
            Taken(kind=Kind.OFFSET, end="foot", value=0.120),
            Taken(kind=Kind.LEAN, start="foot", end="head", value=-0.035),
            Taken(kind=Kind.OFFSET, end="head", value=0.091),
            Taken(kind=Kind.CHAINAGE, end="foot", value=5.0),
            Taken(kind=Kind.PLUMB, start="foot", end="head", value=0.012),
        ],
        3 * MM,
    )
    # By hand: the loop misses 120 - 35 - 91 = -6 mm; a third to each of three like readings.
    assert point(found, "foot").offset == pytest.approx(0.122)
    assert point(found, "head").offset == pytest.approx(0.089)
    assert point(found, "head").chainage == pytest.approx(5.012)


def test_a_running_tape_beside_the_bays_names_the_bay_that_is_wrong() -> None:
    bays = [length("datum", "A", 4.35), length("A", "B", 4.40), length("B", "C", 4.35)]
    running = [chainage("A", 4.35), chainage("B", 8.70), chainage("C", 13.05)]
    found = adjusted(bays + running, 2 * MM)
    assert found.worst == 1
    assert found.alike == (1,)
    assert not found.passed
    assert found.agrees_without
    bay = found.readings[1]
    # Known by construction: it was written 50 mm too long.
    assert bay.error == pytest.approx(50 * MM, abs=1e-9)
    assert bay.adjusted == pytest.approx(bay.reading.value + (bay.residual or 0))
    # Baarda 1968: δ0 = 4.13 at 0.1 % and 80 %; the smallest error found is 4.13 σ ÷ √r.
    assert bay.detectable == pytest.approx(4.13 * 2 * MM / bay.redundancy**0.5, rel=1e-3)
    assert survey.critical_test() == pytest.approx(3.29, abs=5e-3)


def test_n3_one_overall_alone_cannot_name_a_bay() -> None:
    ends = ["datum", *(str(n) for n in range(1, 15))]
    bays = [length(a, b, 4.35) for a, b in itertools.pairwise(ends)]
    found = adjusted([*bays, length("datum", "14", 61.05)], *([1.3 * MM] * 14), 12.7 * MM)
    assert set(found.alike) == set(range(15))
    # By hand: √(14 × 1.3² + 12.7²) = 13.6 mm, 150 ÷ 13.6 = 11.0.
    assert {round(abs(one.test or 0), 1) for one in found.readings} == {11.0}
    assert [abs(one.error or 0) for one in found.readings] == pytest.approx([150 * MM] * 15)


def test_n3_a_pier_missed_in_one_bay_is_found_by_running_chainages() -> None:
    ends = ["datum", *(str(n) for n in range(1, 15))]
    bays = [length(a, b, 4.35) for a, b in itertools.pairwise(ends)]
    # Known by construction: a pier of 150 mm stands in bay 9, and the bays were taped clear of it.
    running = [chainage(str(n), 4.35 * n + 0.15 * (n >= 9)) for n in range(1, 15)]
    found = adjusted(bays + running, *([1.3 * MM] * 14), *([8 * MM] * 14))
    assert found.worst == 8
    assert found.readings[8].error == pytest.approx(-150 * MM, abs=1e-9)
    assert found.agrees_without


def test_what_hangs_in_the_air_is_left_open_and_the_rest_stands() -> None:
    found = adjusted(
        [length("datum", "A", 4.0), length("P", "Q", 1.2), length("P", "Q", 1.206)], 2 * MM
    )
    assert point(found, "A").chainage == pytest.approx(4.0)
    for name in ("P", "Q"):
        assert point(found, name).undetermined == (survey.Axis.CHAINAGE,)
        assert point(found, name).chainage is None
    # By hand: the two readings of one length still check each other, 3 mm each.
    assert found.freedom == 1
    assert [one.residual for one in found.readings[1:]] == pytest.approx([3 * MM, -3 * MM])


def test_a_reading_set_aside_moves_nothing_and_is_told_what_the_others_say() -> None:
    plain = adjusted([length("datum", "A", 4.0), chainage("A", 4.002)], 2 * MM)
    found = adjusted(
        [length("datum", "A", 4.0), chainage("A", 4.002), length("datum", "A", 4.5, doubtful=True),
         length("P", "Q", 1.0, doubtful=True)], 2 * MM
    )  # fmt: skip
    assert point(found, "A").chainage == point(plain, "A").chainage
    doubted, unknown = found.readings[2:]
    assert doubted.error == pytest.approx(0.499)
    assert doubted.test is None
    assert (unknown.adjusted, unknown.residual, unknown.redundancy) == (None, None, 0.0)
    assert survey.adjust([length("P", "Q", 1.0, doubtful=True)], [1 * MM]) is None


def test_diagonals_too_short_to_meet_do_not_come_to_rest_unsaid() -> None:
    # 3 m and 4 m from two points 10 m apart never meet.
    found = adjusted(
        [
            length("datum", "B", 10.0),
            Taken(kind=Kind.LEVEL, end="B", value=0.0),
            Taken(kind=Kind.DIAGONAL, start="datum", end="P", value=3.0),
            Taken(kind=Kind.DIAGONAL, start="P", end="B", value=4.0),
        ],
        4 * MM,
    )
    assert not found.settled or not found.passed


@pytest.mark.parametrize(
    ("reading", "expected"),
    [
        # By hand, class II: 0.3 + 0.2 × 7 = 1.7 mm; a height with 5 mm of reading: √(0.9² + 5²).
        (length("A", "B", 6.55), 1.7),
        (height("A", "B", 2.9), 5.08),
        (length("A", "B", 6.55, instrument=Instrument.TAPE_III), 3.4),
        (length("A", "B", 6.55, instrument=Instrument.TAPE_I), 0.8),
        # From memory, makers' sheets: 2 mm and 0.1 mm/m.
        (length("A", "B", 40.0, instrument=Instrument.LASER), 6.0),
        (height("A", "B", 2.9, instrument=Instrument.LEVEL), 3.0),
        (Taken(kind=Kind.OFFSET, end="A", value=0.1), 3.0),
        (Taken(kind=Kind.PLUMB, start="A", end="B", value=0.1, instrument=Instrument.STRING), 3.0),
        (Taken(kind=Kind.COURSES, start="A", end="B", value=14), 10.0),
        (length("A", "B", 6.55, sigma=2.5 * MM, instrument=Instrument.TAPE_I), 2.5),
    ],
)
def test_each_reading_has_the_precision_of_its_instrument(reading: Taken, expected: float) -> None:
    wall = survey.WallSurvey(datum="left end", bays=(survey.Bay(name="1", length=10.0),))
    assert survey.deviation(wall, reading) / MM == pytest.approx(expected, abs=0.005)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"start": " "}, "names its points"),
        ({"start": "B"}, "two points"),
        ({"kind": Kind.LEVEL, "start": "A"}, "starts at the datum"),
        ({"value": math.nan}, "at most 10,000 m"),
        ({"value": -1.0}, "is above 0"),
        ({"sigma": 0.0}, "precision is above 0"),
    ],
)
def test_impossible_readings_are_refused(changes: dict[str, object], said: str) -> None:
    plain: dict[str, object] = {"kind": Kind.LENGTH, "start": "A", "end": "B", "value": 1.0}
    with pytest.raises(ValueError, match=said):
        Taken(**(plain | changes))  # type: ignore[arg-type]


def test_points_at_one_chainage_share_it() -> None:
    readings = [chainage("foot", 5.0), length("datum", "head", 5.004)]
    found = survey.adjust(readings, [1 * MM, 1 * MM], same_chainage={"head": "foot"})
    assert found is not None
    assert point(found, "head").chainage == pytest.approx(5.002)
    assert point(found, "head").chainage == point(found, "foot").chainage
    assert np.sqrt(found.covariance()[0, 0]) == pytest.approx(1 * MM / 2**0.5)
