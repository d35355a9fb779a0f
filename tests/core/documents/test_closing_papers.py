"""Closing forms and the closing report: what they say of marks, seams and what is wrong."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from giornata.core import closing
from giornata.core.closing import Measure, MeasureKind, PlacedMark, Readings, SeamPlace
from giornata.core.documents import closing_forms, closing_report
from giornata.core.foundation import System

Make = Callable[..., Any]
MM = 0.001


@pytest.fixture
def results(made: Make) -> Any:
    return made(30.0, 2.9, 6)


def test_c4_each_mark_has_its_row_and_each_set_up_its_form(results: Any) -> None:
    for system in System:
        paper = closing_forms(results, system)
        texts = [label.text for sheet in paper.sheets for label in sheet.labels]
        for mark in results.marks:
            # Once in the mark table, and once in the form of each set-up that aims at it.
            assert texts.count(mark.name) == 1 + len(mark.set_ups)
        for one in results.set_ups.set_ups:
            assert f"Set-up {one.number}" in texts
        assert "Check measurements" in texts
        assert all(sheet.width < sheet.height for sheet in paper.sheets)


def readings(results: Any, *measures: Measure) -> Readings:
    """Marks as they were set, no picture yet; the seam of set-ups 1 and 2 closes."""
    return Readings(
        marks=tuple(
            PlacedMark(name=m.name, chainage=m.chainage, level=m.level, chainage_sigma=2 * MM,
                       level_sigma=2 * MM)
            for m in results.marks
        ),
        pictures=(), foreseen=(), measures=measures, drawn={},
        seams=(SeamPlace(left=1, right=2, places=np.array([[4.0, 1.0]]), closes=True),),
        scale_sigma=0.2e-3,
    )  # fmt: skip


def report(results: Any, closure: Any, system: System = System.METRIC) -> str:
    findings = closing.closing_findings(closure, limit=10 * MM)
    paper = closing_report(results, closure, findings, system, limit=10 * MM, chained=0.2)
    return "\n".join(paper.texts)


def test_c4_the_report_names_what_is_wrong_and_how_small_an_error_shows(results: Any) -> None:
    # A mark set 60 mm too far right, and three tapes that say so: by construction.
    names = [mark.name for mark in results.marks if mark.row == "lower"]
    at = {mark.name: mark.chainage for mark in results.marks}
    high = {mark.name: mark.level for mark in results.marks}
    pulls = [
        Measure(name=f"{a} to {b}", kind=MeasureKind.DISTANCE, marks=(a, b), sigma=2 * MM,
                value=float(np.hypot(at[b] - at[a], high[b] - high[a])))
        for k, a in enumerate(names) for b in names[k + 1 : k + 3]
    ]  # fmt: skip
    given = readings(results, *pulls)
    marks = tuple(
        replace(m, chainage=m.chainage + 0.06) if m.name == names[2] else m for m in given.marks
    )
    closure = closing.closed(replace(given, marks=marks))
    said = report(results, closure)
    assert f"{names[2]} as set on the wall" in said
    assert "60 mm" in said
    assert "Smallest error that would be found" in said
    assert "far end out by about 200.0 mm" in said
    mark = next(one for one in closure.marks if one.name == names[2])
    assert mark.along == pytest.approx(-0.06, abs=8 * MM)
    assert "far end out by about 7.87 in" in report(results, closure, System.US)


def test_c4_a_report_without_faults_says_so(results: Any) -> None:
    said = report(results, closing.closed(readings(results)))
    assert "Nothing that these readings can show." in said
    assert "nothing checks them" in said
    assert "none more than needed, so nothing checks them" in said
    assert "reads true, known to" in said


def test_c4_readings_that_nothing_checks_take_one_row(results: Any) -> None:
    """By construction: six marks set from the datum, none measured to: each is unchecked."""
    said = report(results, closing.closed(readings(results)))
    first = results.marks[0].name
    more = len(results.marks) - 1
    assert f"{first} as set on the wall, and {more} more" in said
    assert said.count("nothing checks") == 2  # in the head, and in that row


def test_c4_the_report_says_no_millimetre_to_a_reader_of_inches(results: Any) -> None:
    # A tape 0.5 mm/m short of two chainages, so that the tape and its finding are in the report:
    # 0.5 in a thousand is 0.60 in in 100 ft, by hand.
    given = readings(
        results,
        *(
            Measure(name=f"chainage {m.name}", kind=MeasureKind.CHAINAGE, marks=(m.name,),
                    value=m.chainage * 1.0005, sigma=0.1 * MM)
            for m in results.marks
        ),
    )  # fmt: skip
    closure = closing.closed(replace(given, scale_sigma=1e-3))
    said = report(results, closure, System.US)
    assert "reads short by 0.60 in per 100 ft, known to" in said
    assert "0.50 parts in a thousand" in said
    assert " mm" not in said
    assert ", m" not in said
    assert "reads short by 0.50 mm per metre, known to" in report(results, closure)


def test_c4_marks_to_chalk_and_drawings_that_move_are_in_the_report(results: Any) -> None:
    mark = closing.NewMark(
        name="N01 lower", instead_of="M02 lower", chainage=4.1, level=0.25, above_ground=0.2,
        set_ups=(1, 2), sigma_along=2 * MM, sigma_up=2 * MM, known_to=5 * MM,
        tapes=(
            closing.TapeFrom(mark="M01 lower", along=4.0, up=-0.03, reading=4.0001),
            closing.TapeFrom(mark="M03 lower", along=-3.95, up=0.05, reading=3.9503),
        ),
    )  # fmt: skip
    left = closing.SetUpLeft(
        set_up=2, start=3.8, end=8.4, marks=("M03 lower", "N01 lower"), struck=("M02 lower",),
        by_marks=float("inf"), then_by_marks=8 * MM, expected=None, then=9 * MM,
        shifts=((3.8, 6 * MM, -4 * MM), (8.4, 12 * MM, 2 * MM)),
    )  # fmt: skip
    helps = (closing.Worth(kind=MeasureKind.CHAINAGE, marks=("M06 lower",), before=5 * MM,
                           after=2 * MM),)  # fmt: skip
    replan = closing.Replan(accuracy=10 * MM, set_ups=(left,), new_marks=(mark,),
                            bad=("M02 lower",), helps=helps)  # fmt: skip
    closure = closing.closed(readings(results))
    for system, wanted in (
        (System.METRIC, ("4.100", "right of M01 lower", "down 0.030", "left of M03 lower", "3.950",
                         "- → 8.0", "12.0", "-4.0", "4.0 mm along the wall instead of 10.0 mm")),
        (System.US, ("13 ft 5 7/16 in", "- → 0.31", "0.47", "-0.16")),
    ):  # fmt: skip
        paper = closing_report(results, closure, (), system, limit=10 * MM, chained=0.2,
                               replan=replan)  # fmt: skip
        said = "\n".join(paper.texts)
        for text in (*wanted, "N01 lower", "Do not square on: M02 lower."):
            assert text in said, text
        assert "not on M02\N{NO-BREAK SPACE}lower" in said
