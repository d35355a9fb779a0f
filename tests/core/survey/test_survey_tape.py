"""Tape classes and precisions."""

import csv
import math
from pathlib import Path

import pytest

from giornata.core import survey
from giornata.core.survey import tape

MM = 0.001
TABLE = Path(__file__).parents[2] / "reference" / "tape_classes.csv"


def published() -> list[dict[str, str]]:
    with TABLE.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", published(), ids=lambda row: f"{row['class']}-{row['length_m']}")
def test_greatest_error_of_a_class(row: dict[str, str]) -> None:
    error = survey.tape_error(survey.TapeClass(row["class"]), float(row["length_m"]))
    assert error == pytest.approx(float(row["greatest_error_mm"]) * MM, abs=1e-9)


def test_a_length_a_hair_over_a_metre_by_rounding_is_not_rounded_up() -> None:
    # 3 × 0.1 × 10 is 3.0000000000000004 in binary; it is 3 m on the tape: 0.3 + 0.2 × 3 = 0.9 mm.
    assert survey.tape_error(survey.TapeClass.II, 3 * 0.1 * 10) == pytest.approx(0.9 * MM)


def test_a_negative_length_is_refused() -> None:
    with pytest.raises(ValueError, match="0 or more"):
        survey.tape_error(survey.TapeClass.I, -1.0)


def test_root_sum_and_worst() -> None:
    # 3-4-5 triangle.
    assert survey.precision([3.0, -4.0]) == survey.Precision(root_sum=5.0, worst=7.0)
    assert survey.precision([]) == survey.Precision(root_sum=0.0, worst=0.0)


def test_a_root_sum_above_the_worst_case_is_refused() -> None:
    with pytest.raises(ValueError, match="never above"):
        survey.Precision(root_sum=2.0, worst=1.0)


def test_stated_precision_goes_before_the_tape(made_wall) -> None:
    stated = made_wall(length_sigma=0.015, height_sigma=0.005)
    assert tape.length_error(stated, 61.2) == 0.015
    assert tape.height_error(stated, 2.9) == 0.005
    plain = made_wall()
    assert tape.length_error(plain, 20.0) == pytest.approx(4.3 * MM)  # 0.3 + 0.2 × 20
    # 0.3 + 0.2 × 3 = 0.9 mm of tape and 5 mm of reading (common practice).
    assert tape.height_error(plain, 2.9) == pytest.approx(math.hypot(0.9, 5.0) * MM)


@pytest.mark.parametrize("field", ["length_sigma", "height_sigma"])
def test_a_stated_precision_is_above_zero(made_wall, field: str) -> None:
    with pytest.raises(ValueError, match="precision is above 0"):
        made_wall(**{field: 0.0})


def test_a_tape_of_a_better_class_gives_a_better_area(made_wall) -> None:
    sigmas = []
    for tape_class in survey.TapeClass:
        wall, _ = survey.develop(made_wall(tape=tape_class))
        assert wall is not None
        sigmas.append(wall.gross_area.sigma)
    assert sigmas == sorted(sigmas)
    assert len(set(sigmas)) == 3


@pytest.mark.parametrize("value", [math.nan, math.inf, -1.0, 0.0])
def test_impossible_measures_are_refused_where_they_are_made(made_wall, value: float) -> None:
    with pytest.raises(ValueError, match=r"above 0|finite"):
        survey.Bay(name="1", length=value)
    with pytest.raises(ValueError, match="above 0"):
        made_wall(overall=value)
