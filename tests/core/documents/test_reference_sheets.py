"""Reference sheets: true scale, numbers, neighbours, marks, key; nothing covered or cut off."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely

from giornata.core.artwork import Colourway, Paint, Role
from giornata.core.documents import (
    Area,
    Blocks,
    DrawnPaper,
    Line,
    PaperSize,
    Scale,
    Sheet,
    reference_sheets,
)
from giornata.core.foundation import System
from giornata.core.survey import Obstacle, Opening, Pier

Make = Callable[..., Any]
TICK = 1.5  # mm, of the ticks along the edges of the window


def words(sheet: Sheet) -> list[str]:
    return [label.text for label in sheet.labels]


def upright_ticks(sheet: Sheet) -> list[float]:
    """Places across the sheet of the ticks along the upper edge of the window. [mm]"""
    found = [
        item.points
        for item in sheet.items
        if isinstance(item, Line) and len(item.points) == 2
        and item.points[0, 0] == item.points[1, 0]
        and item.points[1, 1] - item.points[0, 1] == pytest.approx(TICK)
    ]  # fmt: skip
    upper = min(points[0, 1] for points in found)
    return sorted(float(points[0, 0]) for points in found if points[0, 1] == upper)


def test_n63_eight_sheets_with_datum_chainages_and_neighbours(made: Make) -> None:
    """N63: 61.2 m on A3 at 1:20, 400 mm usable, 20 mm shared: 8 sheets, each 7.6 m further on."""
    sheets = reference_sheets(made(61.2, 2.9, 12), System.METRIC).sheets
    assert len(sheets) == 8
    assert all((sheet.width, sheet.height) == (420.0, 297.0) for sheet in sheets)
    third = words(sheets[2])
    assert "← 2   from 15.20 m" in third
    assert "to 23.20 m   4 →" in third
    assert "Sheet 3" in third
    assert any("20 mm shared" in text for text in third)
    assert "Page 3 of 8" in third
    assert "1:20" in third
    assert "from 0.00 m (the datum)" in words(sheets[0])
    assert "to 61.20 m (the end)" in words(sheets[7])


def test_n63_block_ticks_stand_at_the_blocks(made: Make) -> None:
    """Blocks of 400 x 200 mm with joint are 20 mm by 10 mm of paper; sheet 2 begins at 7.6 m."""
    results = made(61.2, 2.9, 12)
    blocks = Blocks(length=0.4, height=0.2)
    sheets = reference_sheets(results, System.METRIC, blocks=blocks).sheets
    ticks = upright_ticks(sheets[1])
    assert np.diff(ticks) == pytest.approx(20.0)
    assert len(ticks) == 21  # 7.6 to 15.6 m, both multiples of 0.4 m
    assert ticks[0] == pytest.approx(10.0)  # the left margin


def test_grid_ticks_stand_at_half_metres(made: Make) -> None:
    ticks = upright_ticks(reference_sheets(made(61.2, 2.9, 12), System.METRIC).sheets[1])
    # Sheet 2 begins at 7.6 m: 8.0 m is 20 mm on, then every 25 mm.
    assert ticks[0] == pytest.approx(30.0)
    assert np.diff(ticks) == pytest.approx(25.0)


def test_n63_the_artwork_is_true_to_scale_and_numbered(made: Make) -> None:
    """Red from 4.0 to 6.0 m: at 1:20 from 200 to 300 mm right of the datum, the blue in it from
    225 to 275 mm; 0.5 to 1.5 m up. #0000cc thinned to 30 %: 255 - 0.3 x 255 = 178, and
    255 - 0.3 x 51 = 240."""
    sheet = reference_sheets(made(61.2, 2.9, 12), System.METRIC).sheets[0]
    blue = [item for item in sheet.items if isinstance(item, Area) and item.fill == "#b2b2f0"]
    (part,) = blue
    assert part.rings[0][:, 0].min() == pytest.approx(10 + 225.0)
    assert part.rings[0][:, 0].max() == pytest.approx(10 + 275.0)
    assert np.ptp(part.rings[0][:, 1]) == pytest.approx(50.0)
    inside = [
        label.text
        for label in sheet.labels
        if 236 < label.x < 284 and part.rings[0][:, 1].min() < label.y < part.rings[0][:, 1].max()
    ]
    assert "3" in inside
    assert {"1", "2", "3"} <= set(words(sheet))


def test_control_marks_stand_at_their_places(made: Make) -> None:
    results = made(61.2, 2.9, 12)
    sheet = reference_sheets(results, System.METRIC).sheets[0]
    mark = results.marks[0]
    assert mark.name in words(sheet)
    arms = [
        item.points for item in sheet.items
        if isinstance(item, Line) and item.pen.width == 0.35 and len(item.points) == 2
        and np.ptp(item.points[:, 0]) == pytest.approx(5.6)
    ]  # fmt: skip
    middles = [float(points[:, 0].mean()) for points in arms]
    assert middles[0] == pytest.approx(10 + 50 * mark.chainage)


def test_the_key_shows_every_paint_in_every_colourway(made: Make) -> None:
    sheet = reference_sheets(made(61.2, 2.9, 12), System.METRIC).sheets[4]
    text = words(sheet)
    for word in ("White", "Red", "Blue", "Day", "Dusk", "#cc0000", "#ff8800", "#003300"):
        assert word in text
    swatches = {item.fill for item in sheet.items if isinstance(item, Area)}
    assert {"#cc0000", "#ff8800"} <= swatches


def test_us_sheets_begin_at_whole_feet(made: Make) -> None:
    """1/2 in to the foot on 11 x 17 in: 32 ft a sheet, 2 ft (1 in) shared, so 30 ft a step.
    61.2 m are 200.8 ft, 100.4 in, planned in half inches: (201 - 32)/30 = 5.6, so 7 sheets."""
    sheets = reference_sheets(made(61.2, 2.9, 12), System.US).sheets
    assert len(sheets) == 7
    second = words(sheets[1])
    assert "← 1   from 30 ft" in second
    assert "to 62 ft   3 →" in second
    assert any("1 in shared" in text for text in second)
    assert any("4 in long" in text for text in second)


def test_a_wall_that_fits_one_sheet_is_drawn_larger(made: Make) -> None:
    """0.6 x 0.4 m: at 1:5 120 x 80 mm, the largest scale there is."""
    (sheet,) = reference_sheets(made(0.6, 0.4, 1), System.METRIC).sheets
    assert "1:5" in words(sheet)
    assert not any("shared" in text for text in words(sheet))


def test_a_high_wall_names_sheets_above_and_below(made: Make) -> None:
    paper = reference_sheets(made(60.0, 9.0, 10), System.METRIC)
    middle = next(s for s in paper.sheets if any("above it" in t for t in words(s))
                  and any("below it" in t for t in words(s)))  # fmt: skip
    assert any(text.startswith("of ") for text in words(middle))
    assert len(paper.sheets) % 8 == 0  # as many rows in each of the 8 columns


def test_paper_and_scale_may_be_chosen(made: Make) -> None:
    results = made(20.0, 2.5, 1)
    paper = reference_sheets(
        results, System.METRIC, paper=PaperSize.A1, scale=Scale(ratio=10, name="1:10")
    )
    # 2,000 mm on 821 usable, 20 shared: (2000 - 821)/801 = 1.5, so 3 sheets.
    assert [(s.width, s.height) for s in paper.sheets] == [(841.0, 594.0)] * 3


def test_paper_without_room_for_the_wall_is_refused(made: Make) -> None:
    results = made(20.0, 2.5, 1)
    paints = tuple(
        Paint(number=k, key=f"p{k}", name=f"Paint {k}",
              role=Role.GROUND if k == 1 else Role.FIGURE)
        for k in range(1, 60)
    )  # fmt: skip
    colourway = Colourway(key="day", name="Day", coats={},
                          colours={paint.key: "#808080" for paint in paints})  # fmt: skip
    inputs = replace(results.inputs, paints=paints, colourways=(colourway,) * 4)
    crowded = replace(results, inputs=inputs)
    with pytest.raises(ValueError, match="leaves no room"):
        reference_sheets(crowded, System.METRIC, paper=PaperSize.A4)


WALLS: dict[str, tuple[float, float, int, dict[str, Any]]] = {
    "long": (61.2, 2.9, 12, {}),
    "tiny": (0.6, 0.4, 1, {}),
    "high": (60.0, 9.0, 10, {}),
    "rich": (30.0, 2.2, 5, {
        "openings": (Opening(name="gate", start=12.0, end=14.5, head=2.0),),
        "piers": tuple(Pier(name=f"P{k}", at=3.0 * k, width=0.6, proud=0.05,
                            returns_painted=False) for k in range(1, 10)),
        "joints": (6.0, 16.3),
        "obstacles": (Obstacle(name="Hedge", kind="hedge", start=15.0, end=19.0, height=0.7),),
    }),
}  # fmt: skip


@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize("wall", WALLS)
def test_no_letters_are_covered_or_cut_off(
    made: Make, faults_of: Callable[[DrawnPaper], list[str]], wall: str, system: System
) -> None:
    length, height, bays, survey = WALLS[wall]
    paper = reference_sheets(made(length, height, bays, **survey), system)
    assert faults_of(paper) == []
    assert min(label.size for sheet in paper.sheets for label in sheet.labels) >= 9.0


def test_numbers_without_room_are_a_finding(made: Make) -> None:
    """Patches 2.5 mm apart on paper, closer than their rings of 3.6 mm, leave some without."""
    results = made(20.0, 2.5, 1)
    coverage = results.design.placed.coverage
    patches = [
        shapely.box(x, y, x + 0.022, y + 0.022)
        for x in np.arange(10.0, 11.5, 0.05)
        for y in np.arange(0.2, 2.3, 0.05)
    ]
    crowded = replace(
        coverage,
        faces=np.array([*coverage.faces, *patches], dtype=object),
        labels=np.array([*coverage.labels, *[3] * len(patches)], dtype=np.intp),
    )
    design = replace(results.design, placed=replace(results.design.placed, coverage=crowded))
    paper = reference_sheets(replace(results, designs=(design,)), System.METRIC)
    (found,) = [f for f in paper.findings if f.code == "documents.number_left_out"]
    assert "found no room for a colour number: 3 at 1" in found.message
    assert "and" in found.message
