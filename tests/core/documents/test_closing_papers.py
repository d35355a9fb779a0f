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
    assert "nothing checks it" in said
