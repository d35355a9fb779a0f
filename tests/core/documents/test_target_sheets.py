"""Targets printed for control marks: what stands on the paper, and that photos look for it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import cv2
import numpy as np
import pytest

from giornata.core import documents
from giornata.core.boards import TargetShape
from giornata.core.documents import Area, DrawnPaper, PaperSize
from giornata.core.foundation import System


@pytest.fixture(scope="module")
def results(made: Callable[..., Any]) -> Any:
    return made(10.0, 2.5, 2)


@pytest.mark.parametrize("system", [System.METRIC, System.US])
def test_n50_each_mark_has_its_sheet_and_letters_keep_apart(
    results: Any, system: System, faults_of: Callable[[DrawnPaper], list[str]]
) -> None:
    marks = results.marks
    paper = documents.target_sheets(results, system, marks)
    assert [sheet.name for sheet in paper.sheets] == [mark.name for mark in marks]
    assert faults_of(paper) == []
    for sheet, mark in zip(paper.sheets, marks, strict=True):
        words = [label.text for label in sheet.labels]
        assert mark.name in words
        assert any(word.startswith("Weak tape") or "Weak tape" in word for word in words)
        assert any("pin through the middle" in word for word in words)
    if system is System.METRIC:
        mark = marks[0]
        assert f"chainage {mark.chainage:.3f} m" in [label.text for label in paper.sheets[0].labels]


@pytest.mark.parametrize("size", [PaperSize.A4, PaperSize.LETTER])
def test_what_is_printed_is_what_photos_look_for(results: Any, size: PaperSize) -> None:
    sheet = documents.target_sheets(results, System.METRIC, results.marks[:1], paper=size).sheets[0]
    # Drawn by OpenCV, 2 mm to a pixel, and compared by its correlation (Lewis 1995).
    picture = np.full((int(size.long / 2), int(size.short / 2)), 255, np.float32)
    for item in sheet.items:
        if isinstance(item, Area) and item.fill is not None and item.pen is None:
            ring = np.round(item.rings[0] / 2 * 16 - 8).astype(np.int32)
            cv2.fillPoly(picture, [ring], 20.0, cv2.LINE_AA, 4)
    drawn = TargetShape().drawn(0.002, 0.002, 0.0)
    alike = cv2.matchTemplate(picture, drawn, cv2.TM_CCOEFF_NORMED)
    row, column = np.unravel_index(int(alike.argmax()), alike.shape)
    assert alike.max() > 0.95
    # Its middle stands in the middle of the sheet, 10 + 22 + 85 mm below the upper edge.
    half = drawn.shape[0] // 2
    assert 2 * (column + half + 0.5) == pytest.approx(size.short / 2, abs=1.5)
    assert 2 * (row + half + 0.5) == pytest.approx(117.0, abs=1.5)


def test_no_mark_or_too_small_a_paper_is_refused(results: Any) -> None:
    with pytest.raises(ValueError, match="there is none"):
        documents.target_sheets(results, System.METRIC, ())
    with pytest.raises(ValueError, match="A5 is too small"):
        documents.target_sheets(results, System.METRIC, results.marks, paper=PaperSize.A5)
