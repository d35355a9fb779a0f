"""The setting-out sheet: marks, checks and fixed points with their lengths and limits."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Any

import pytest

from giornata.core.documents import DrawnPaper, PaperSize, setting_out_sheet
from giornata.core.foundation import System
from giornata.core.survey import Bend, Opening, Pier
from giornata.core.works import TransferStretch, TransferTerms, TransferWay

Make = Callable[..., Any]


def texts(paper: DrawnPaper) -> list[str]:
    return [label.text for sheet in paper.sheets for label in sheet.labels]


def row(paper: DrawnPaper, *starts: str) -> list[str]:
    """The cells of the table row whose first cells are these, from left to right."""
    for sheet in paper.sheets:
        for first in sheet.labels:
            cells = [one for one in sheet.labels if abs(one.y - first.y) < 1e-6]
            line = [one.text for one in sorted(cells, key=lambda one: one.x)]
            if first.size >= 11.0 and line[: len(starts)] == list(starts):
                return line
    raise AssertionError(f"no row begins with {starts}")


def test_n49_thirty_marks_with_their_running_measures_and_tape_errors(made: Make) -> None:
    # N49: 14 set-ups, 15 columns x 2 rows. Of the last column 61.1 m from the datum the tape of
    # class II may be out by 0.3 + 0.2 x 62 = 12.7 mm, drawn twice 2 mm: 13.3, so 14 mm.
    results = made(61.2, 2.9, 12)
    paper = setting_out_sheet(results, System.METRIC)
    assert len({mark.name for mark in results.marks}) == 30
    for mark in results.marks:
        line = row(paper, mark.name, f"{mark.chainage:.3f}")
        assert line[3] == f"{mark.level:.3f}"
    assert row(paper, "M15 upper", "61.100")[2] == "14 mm"
    assert row(paper, "M01 lower", "0.100")[2] == "5 mm"  # 0.3 + 0.2 = 0.5 and 4: 4.03, up to 5


def test_diagonals_are_worked_from_the_marks(made: Make) -> None:
    results = made(61.2, 2.9, 12)
    paper = setting_out_sheet(results, System.METRIC)
    at = {mark.name: (mark.chainage, mark.level) for mark in results.marks}
    straight = math.dist(at["M07 lower"], at["M08 upper"])
    assert row(paper, "M07 lower", "M08 upper")[2:5] == ["diagonal", f"{straight:.3f}", "6 mm"]
    assert sum(text == "diagonal" for text in texts(paper)) == 2 * 14
    assert sum(text == "upright" for text in texts(paper)) == 15


def test_fixed_points_stand_in_order_with_their_limits(made: Make) -> None:
    results = made(
        30.0, 2.9, 6,
        openings=(Opening(name="Gate", start=10.0, end=13.5),),
        piers=(Pier(name="P1", at=20.0, width=0.6, proud=0.1),),
        bends=(Bend(at=25.0, angle=0.1),),
    )  # fmt: skip
    paper = setting_out_sheet(results, System.METRIC)
    assert row(paper, "Opening Gate, left")[1:3] == ["10.000", "5 mm"]  # 2.3 and 4 mm: 4.6
    assert row(paper, "Pier P1, right")[1] == "20.300"
    assert row(paper, "Bend 1")[1] == "25.000"
    assert row(paper, "End")[1:3] == ["30.000", "8 mm"]  # 6.3 and 4 mm: 7.5
    names = ("Opening Gate, left", "Opening Gate, right", "Pier P1, left", "Bend 1", "End")
    order = [text for text in texts(paper) if text in names]
    assert order == list(names)


def test_the_first_page_says_how_and_what_pictures_are_good_for(made: Make) -> None:
    results = made(30.0, 2.9, 6)
    said = " ".join(texts(setting_out_sheet(results, System.METRIC)))
    worst = max(results.mark_errors)
    assert f"expected within {math.ceil(1000 * worst)} mm at its worst place" in said
    assert "never from the mark before it" in said
    assert "local code and the makers' manuals first" in said
    assert "Datum: left end" in said
    assert "Tape of class II: ±7 mm" in said  # 0.3 + 0.2 x 30 = 6.3 mm


def test_n47_only_projected_pictures_are_expected_within_something(made: Make) -> None:
    """The picture that is worst off lies where the painter chose grid: it is squared on nothing."""
    plain = made(61.2, 2.9, 12)
    worst = max(plain.set_ups.set_ups, key=lambda one: plain.mark_errors[one.number - 1])
    by_grid = TransferStretch(
        start=max(worst.start, 0.0), end=min(worst.end, 61.2), way=TransferWay.GRID
    )
    results = made(61.2, 2.9, 12, inputs={"transfer": TransferTerms(stretches=(by_grid,))})
    thrown = {one.number: results.mark_errors[one.number - 1] for one in results.projected}
    assert worst.number not in thrown
    said = " ".join(texts(setting_out_sheet(results, System.METRIC)))
    (within, number) = re.findall(r"within (\d+) mm at its worst place \(set-up (\d+)\)", said)[0]
    assert thrown[int(number)] == max(thrown.values())
    assert int(within) == math.ceil(1000 * max(thrown.values()))


@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize(("length", "height"), [(61.2, 2.9), (78.6, 3.0), (300.0, 2.9)])
def test_no_page_of_words_alone(made: Make, length: float, height: float, system: System) -> None:
    """Letter has no room for four stretches of 3 m at full width and the words: a page more.

    The drawing is made smaller, or the tables go on under the words.
    """
    pages = setting_out_sheet(made(length, height, 12), system).sheets
    (how,) = [page for page in pages if "How" in {label.text for label in page.labels}]
    assert any(re.match(r"M\d\d (lower|upper)$", label.text) for label in how.labels)


@pytest.mark.parametrize("paper", [PaperSize.A4, PaperSize.LETTER])
@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize("length", [5.0, 61.2, 300.0])
def test_no_letters_leave_the_paper_or_stand_on_others(
    made: Make,
    faults_of: Callable[[DrawnPaper], list[str]],
    length: float,
    system: System,
    paper: PaperSize,
) -> None:
    assert faults_of(setting_out_sheet(made(length, 2.9, 4), system, paper=paper)) == []


def test_us_units_read_in_feet_and_sixteenths(made: Make) -> None:
    results = made(30.48, 2.9, 6)  # 100 ft
    paper = setting_out_sheet(results, System.US)
    assert row(paper, "End")[1] == "100 ft"
    assert row(paper, "End")[2] == "5/16 in"  # 7.5 mm is 4.7 sixteenths: up to 5
    assert paper.sheets[0].width == PaperSize.LETTER.short


def test_a_wall_without_marks_says_so(made: Make) -> None:
    results = made(30.0, 2.9, 6, openings=(Opening(name="Gate", start=3.0, end=29.5),))
    paper = setting_out_sheet(results, System.METRIC)
    said = " ".join(texts(paper))
    assert "fewer than four marks" in said
    assert row(paper, "Opening Gate, left")[1] == "3.000"
