"""Check measures between marks: lengths by hand, limits from the tape class and the drawing."""

from __future__ import annotations

import math

import pytest

from giornata.core import setting_out
from giornata.core.setting_out import ControlMark
from giornata.core.survey import Bay, Bend, DevelopedWall, Height, TapeClass, WallSurvey, develop

MM = 0.001


def survey(*bends: Bend, tape: TapeClass = TapeClass.II) -> WallSurvey:
    return WallSurvey(
        datum="left end",
        tape=tape,
        bays=(Bay(name="1", length=40.0),),
        heights=(Height(at=0.0, height=4.0), Height(at=40.0, height=4.0)),
        bends=bends,
    )


def wall_of(measured: WallSurvey) -> DevelopedWall:
    wall, _ = develop(measured)
    assert wall is not None
    return wall


def mark(name: str, chainage: float, level: float, *set_ups: int) -> ControlMark:
    return ControlMark(
        name=name, column=1, row="lower", chainage=chainage, level=level, above_ground=level,
        set_ups=set_ups, moved=0.0,
    )  # fmt: skip


MARKS = (
    mark("M01 lower", 10.0, 0.5, 1), mark("M01 upper", 10.0, 3.5, 1),
    mark("M02 lower", 14.0, 0.5, 1, 2), mark("M02 upper", 14.0, 3.5, 1, 2),
    mark("M03 lower", 20.0, 0.5, 2), mark("M03 upper", 20.0, 3.0, 2),
)  # fmt: skip


def measured(*bends: Bend, marks: tuple[ControlMark, ...] = MARKS) -> dict[str, tuple[float, bool]]:
    own = survey(*bends)
    found = setting_out.check_measures(marks, wall_of(own), own)
    return {f"{one.first} {one.second}": (one.length, one.upright) for one in found}


def test_uprights_and_both_diagonals() -> None:
    # By hand: 4 m along and 3 m up are 5 m; 6 along and 2.5 up are 6.5 m, 6 and 3 are 6.708 m.
    assert measured() == {
        "M01 lower M01 upper": (pytest.approx(3.0), True),
        "M02 lower M02 upper": (pytest.approx(3.0), True),
        "M03 lower M03 upper": (pytest.approx(2.5), True),
        "M01 lower M02 upper": (pytest.approx(5.0), False),
        "M01 upper M02 lower": (pytest.approx(5.0), False),
        "M02 lower M03 upper": (pytest.approx(6.5), False),
        "M02 upper M03 lower": (pytest.approx(math.sqrt(45)), False),
    }


def test_a_diagonal_over_a_hollow_bend_is_the_straight_line_in_space() -> None:
    # By hand: bent by 90 degrees towards the viewer at 12 m, 2 m to either side: 2.828 m in plan,
    # with 3 m up 4.123 m.
    found = measured(Bend(at=12.0, angle=math.pi / 2))
    assert found["M01 lower M02 upper"][0] == pytest.approx(math.sqrt(8 + 9))
    assert found["M02 lower M03 upper"][0] == pytest.approx(6.5)


def test_a_diagonal_over_a_corner_that_juts_out_is_left_out() -> None:
    found = measured(Bend(at=12.0, angle=-0.2))
    assert "M01 lower M02 upper" not in found
    assert "M02 lower M03 upper" in found
    assert "M01 lower M01 upper" in found


def test_a_mark_alone_in_its_column_is_checked_from_both_of_the_next() -> None:
    # By hand: 2 m along and 1.5 m up or down: 2.5 m each.
    alone = (*MARKS[:2], mark("M01a middle", 12.0, 2.0, 1), *MARKS[2:4])
    found = measured(marks=alone)
    pairs = [name for name, (_, upright) in found.items() if not upright]
    assert len(pairs) == 4
    assert all(found[name][0] == pytest.approx(2.5) for name in pairs)
    assert all("M01a middle" in name for name in pairs)


def test_columns_that_no_set_up_sees_together_are_not_measured() -> None:
    found = measured(marks=(*MARKS[:2], mark("M02 lower", 14.0, 0.5, 2)))
    assert list(found) == ["M01 lower M01 upper"]


def test_rows_of_set_ups_are_checked_each_in_itself() -> None:
    rows = tuple(
        mark(f"row {row} {name}", x, level + row, 2 * row)
        for x, name in ((10.0, "M01"), (14.0, "M02"))
        for row in (1, 2)
        for name, level in ((f"{name} lower", 0.0), (f"{name} upper", 0.8))
    )
    found = measured(marks=rows)
    diagonals = [name for name, (_, upright) in found.items() if not upright]
    assert len(diagonals) == 4
    assert all(name.count("row 1") in {0, 2} for name in diagonals)


def test_limits_come_from_the_tape_class_and_the_drawing_of_both_marks() -> None:
    # Directive 2014/32/EU, annex X, class II: 0.3 mm + 0.2 mm for each metre, rounded up: 1.3 mm
    # over 5 m. Each mark is drawn to 2 mm with 0.3 mm of the tape: 2.0224 mm; both, twice:
    # 2 x 1.41421 x 2.0224 = 5.720 mm; with the tape's 1.3 mm as a root-sum 5.866 mm.
    own = survey()
    found = setting_out.check_measures(MARKS, wall_of(own), own)
    (five,) = (m for m in found if (m.first, m.second) == ("M01 lower", "M02 upper"))
    assert five.tolerance == pytest.approx(5.866 * MM, abs=0.001 * MM)
    exact = setting_out.check_measures(MARKS, wall_of(own), own, drawn=0.0)
    assert exact[3].tolerance == pytest.approx(math.hypot(1.3, 2 * math.sqrt(2) * 0.3) * MM)


@pytest.mark.parametrize(
    ("tape", "at", "mm"),
    [
        (TapeClass.I, 30.0, 3.1),
        (TapeClass.II, 30.0, 6.3),
        (TapeClass.II, 10.0, 2.3),
        (TapeClass.III, 10.0, 4.6),
    ],
)
def test_running_errors_are_the_classes_with_twice_the_drawing(
    tape: TapeClass, at: float, mm: float
) -> None:
    # Directive 2014/32/EU, annex X, table 1; with 2 mm of drawing, twice, as a root-sum.
    own = survey(tape=tape)
    assert setting_out.running_error(own, at, drawn=0.0) == pytest.approx(mm * MM)
    assert setting_out.running_error(own, at) == pytest.approx(math.hypot(mm, 4.0) * MM)
