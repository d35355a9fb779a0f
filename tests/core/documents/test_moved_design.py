"""By how much a closure moved the design in a set-up's picture, in words."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from giornata.core.documents import DrawnPaper, moved_words, set_up_cards
from giornata.core.documents.drawing import Line
from giornata.core.documents.letters import label_box
from giornata.core.foundation import System
from giornata.core.job import JobResults


def test_c4_a_moved_design_is_said_in_words(made: Callable[..., JobResults]) -> None:
    # The first picture runs from 0 to 5 m. From 10 mm at 0 m to 20 mm at 10 m is 15 mm at 5 m.
    one = made(61.2, 2.9, 12).set_ups.set_ups[0]
    assert (one.start, round(one.end, 6)) == (0.0, 5.0)

    def said(*knots: tuple[float, float, float], system: System = System.METRIC) -> str:
        return moved_words(knots, one, system)

    assert said() == said((0.0, 0.0, 0.0), (9.0, 0.0004, 0.0)) == ""
    even = said((0.0, 0.012, -0.005), (9.0, 0.012, -0.005))
    assert [word for word in even.split() if not word[0].isdigit()] == [
        "mm",
        "right,",
        "mm",
        "down",
    ]
    bent = said((0.0, 0.010, 0.0), (10.0, 0.020, 0.0))
    first, last = bent.split(" and ")
    assert first.startswith("10")
    assert first.endswith("mm right at the left edge")
    assert last.startswith("15")
    assert last.endswith("mm right at the right")
    turned = said((0.0, 0.0, 0.0), (5.0, -0.0254, 0.0), system=System.US)
    assert turned.startswith("not moved at the left edge and 1")
    assert "in left at the right" in turned


@pytest.mark.parametrize(
    ("system", "said"),
    # 12 mm and 7 mm; 0.472 in and 0.276 in, to the sixteenth 1/2 (8/16: 7.56) and 1/4 (4.4).
    [(System.METRIC, "12 mm right, 7.0 mm down"), (System.US, "1/2 in right, 1/4 in down")],
)
def test_c4_the_card_of_a_moved_set_up_says_so(
    made: Callable[..., JobResults],
    faults_of: Callable[[DrawnPaper], list[str]],
    system: System,
    said: str,
) -> None:
    results = made(61.2, 2.9, 12)
    moved = {3: ((0.0, 0.012, -0.007), (61.2, 0.012, -0.007)), 4: ((0.0, 0.0, 0.0),)}
    paper = set_up_cards(results, system, moved=moved)
    told = {
        sheet.name: label.text
        for sheet in paper.sheets
        for label in sheet.labels
        if label.text.startswith("Design moved")
    }
    assert list(told) == ["Set-up 3"]
    assert told["Set-up 3"].startswith(f"Design moved, so that both ends meet: {said}.")
    assert faults_of(paper) == []
    # And where both edges move, each its own way, in two lines.
    bent = {3: ((0.0, 0.012, -0.007), (61.2, 0.3, 0.2))}
    assert faults_of(set_up_cards(results, system, moved=bent)) == []


def test_c4_a_note_in_two_lines_leaves_room_about_the_levels(
    made: Callable[..., JobResults],
) -> None:
    # Common practice, no source: half a millimetre of white, a thick pen's line, keeps a rule from
    # being read as part of a figure. Brackets reach below and above the line as letters.py has it.
    bent = {3: ((0.0, 0.012, -0.007), (61.2, 0.3, 0.2))}
    paper = set_up_cards(made(61.2, 2.9, 12), System.US, moved=bent)
    (card,) = [sheet for sheet in paper.sheets if sheet.name == "Set-up 3"]
    levels = [label_box(one) for one in card.labels if re.fullmatch(r"\(.* in\)", one.text)]
    assert len(levels) == 4
    rules = [item.points for item in card.items if isinstance(item, Line)]
    for left, _, right, lower in levels:
        under = [
            y - lower
            for (a, y), (b, z) in (points.tolist() for points in rules if len(points) == 2)
            if y == z > lower - 1.0 and a <= left and b >= right
        ]
        assert min(under) >= 0.5
