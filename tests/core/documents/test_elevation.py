"""The elevation: true to scale, dimensioned, nothing covered or cut off."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from giornata.core.documents import Area, DrawnPaper, Line, Sheet, elevation
from giornata.core.documents.letters import label_box, overlap
from giornata.core.documents.overview import overviews
from giornata.core.documents.scales import scales
from giornata.core.foundation import System
from giornata.core.job import JobTitle
from giornata.core.survey import Bend, Lamp, Level, Obstacle, Opening, Pier

Make = Callable[..., Any]

# A wall of 30 m whose top steps down by half a metre and whose ground rises by one.
RICH: dict[str, Any] = {
    "heights": (),
    "top": (Level(at=0.0, level=3.0), Level(at=20.0, level=3.0), Level(at=20.0, level=2.5),
            Level(at=30.0, level=2.5)),
    "ground": (Level(at=0.0, level=0.0), Level(at=30.0, level=1.0)),
    "openings": (Opening(name="gate", start=12.0, end=14.5, head=2.2),
                 Opening(name="hatch", start=25.0, end=25.3, foot=1.4, head=1.7)),
    "piers": (Pier(name="P1", at=6.0, width=0.6, proud=0.1, returns_painted=False),),
    "joints": (6.0, 18.0),
    "bends": (Bend(at=22.0, angle=math.radians(-9.0)),),
    "obstacles": (Obstacle(name="Box hedge", kind="hedge", start=15.0, end=19.0, height=0.7),),
    "lamps": (Lamp(name="Lamp 1", start=8.0, end=16.0, ambient=21.0),),
}  # fmt: skip


def texts(paper: DrawnPaper) -> list[str]:
    return [label.text for sheet in paper.sheets for label in sheet.labels]


def outline_spans(sheet: Sheet, width: float) -> list[tuple[float, float]]:
    """Left and right end of each long line of the wall's outline pen. [mm]"""
    return [
        (float(item.points[:, 0].min()), float(item.points[:, 0].max()))
        for item in sheet.items
        if isinstance(item, Line)
        and item.pen.width == width
        and not item.pen.dash
        and np.ptp(item.points[:, 0]) > 20.0
    ]


def test_n33_the_whole_of_a_61_m_wall_is_306_mm_at_1_to_200(made: Make) -> None:
    """N33: 1:200 fits A3 (306 mm), 1:100 needs A1; the sheet says both."""
    paper = elevation(made(61.2, 2.9, 12), System.METRIC)
    first = paper.sheets[0]
    assert (first.width, first.height) == (420.0, 297.0)
    spans = outline_spans(first, 0.35)  # the overview's outline
    left, right = min(a for a, _ in spans), max(b for _, b in spans)
    assert right - left == pytest.approx(306.0, abs=1e-6)
    written = " ".join(texts(paper))
    assert "The whole wall  1:200" in written
    assert "In one piece at 1:100 it takes A1." in written


def blank_below(sheet: Sheet) -> float:
    """Room between the lowest letters of the drawing and the bars over the title block. [mm]"""
    bars = sheet.height - 10.0 - 15.0 - 9.0
    return bars - max(box[3] for box in map(label_box, sheet.labels) if box[3] < bars)


@pytest.mark.parametrize("system", list(System))
def test_the_first_sheet_is_drawn_down_to_its_bars(made: Make, system: System) -> None:
    """79.6 m lie 398 mm wide at 1:200, one strip of three sheets under it: a third was left blank.

    In two rows at 1:100, or 3/32 in to the foot, the whole wall takes that third; what is left is
    less than a strip or a larger scale would need.
    """
    paper = elevation(made(79.6, 3.5 if system is System.METRIC else 3.2, 12), system)
    assert blank_below(paper.sheets[0]) < 0.15 * paper.sheets[0].height
    written = texts(paper)
    shown = "1:100" if system is System.METRIC else "3/32 in = 1 ft (1:128)"
    assert f"The whole wall  {shown}" in written
    # Its rows go on where they were cut, and end at the wall's end.
    spans = outline_spans(paper.sheets[0], 0.35)
    per_metre = 10.0 if system is System.METRIC else 1000 / 128
    rows = sorted({round((b - a) / per_metre, 3) for a, b in spans})
    assert any(a + b == pytest.approx(79.6, abs=2e-3) for a in rows for b in rows)


def test_feet_and_inches_put_two_strips_on_a_sheet(made: Make) -> None:
    """Their turned chainages are long: at 1/4 in to the foot one strip would fill each sheet.

    3/16 in is a quarter smaller and takes three sheets for five; metric keeps 1:50.
    """
    us = elevation(made(79.6, 3.2, 12), System.US)
    assert any(text.endswith("3/16 in = 1 ft (1:64)") for text in texts(us))
    assert len(us.sheets) == 3
    assert len(elevation(made(79.6, 3.2, 12), System.METRIC).sheets) == 3


def test_strips_are_drawn_at_their_scale(made: Make) -> None:
    """Strip 1 of the 61.2 m wall runs to the end of bay 3, 15.3 m: 306 mm at 1:50."""
    first = elevation(made(61.2, 2.9, 12), System.METRIC).sheets[0]
    assert "Strip 1  0.00 to 15.30 m  1:50" in [label.text for label in first.labels]
    spans = outline_spans(first, 0.5)
    assert max(b for _, b in spans) - min(a for a, _ in spans) == pytest.approx(306.0, abs=1e-6)


def test_a_wall_that_fits_is_drawn_once(made: Make) -> None:
    paper = elevation(made(30.0, 2.5, 5, **RICH), System.METRIC)
    assert len(paper.sheets) == 1
    assert "1:100" in texts(paper)  # 300 mm of the 400 there are
    assert not any("Strip" in text or "match" in text for text in texts(paper))


def test_everything_on_the_wall_is_named_with_its_measures(made: Make) -> None:
    written = texts(elevation(made(30.0, 2.5, 5, **RICH), System.METRIC))
    # By hand: at 13.25 m the ground is 13.25/30 = 0.442 m; the gate 2.2 - 0.442 = 1.76 m high.
    assert "gate" in written
    assert "2.50 × 1.76 m" in written
    assert "head 2.20" in written
    assert "sill at ground" in written
    assert "pier P1 on joint, 0.60 wide, 0.10 proud" in written
    assert "joint" in written
    assert "bend 9° away from you" in written
    assert "Box hedge, 0.70 high" in written
    assert "lit by night: Lamp 1, 21 lx" in written
    assert "datum" in written


def test_the_small_hatch_has_a_finding_or_its_name(made: Make) -> None:
    """0.3 m at 1:100 is 3 mm: no word fits into it."""
    paper = elevation(made(30.0, 2.5, 5, **RICH), System.METRIC)
    assert [f.code for f in paper.findings] == ["documents.note_left_out"]
    message = paper.findings[0].message
    assert "hatch" in message
    ours = "its" if message.startswith("1 note ") else "their"
    assert f" found no room beside {ours} neighbours: " in message


def test_heights_and_levels_stand_where_they_were_read(made: Make) -> None:
    written = texts(elevation(made(30.0, 2.5, 5, **RICH), System.METRIC))
    # By hand: 3.0 - 0 at the datum; 3.0 and 2.5 less 20/30 before and after the step; 2.5 - 1.
    for height in ("3.00", "2.33", "1.83", "1.50"):
        assert height in written
    assert written.count("2.50") >= 2  # levels of the top after the step and at the end


def test_running_chainages_are_those_measured(made: Make) -> None:
    written = texts(elevation(made(30.0, 2.5, 5, **RICH), System.METRIC))
    for chainage in ("0.00", "5.70", "6.30", "12.00", "14.50", "18.00", "20.00", "22.00", "30.00"):
        assert chainage in written


def test_bays_are_dimensioned(made: Make) -> None:
    written = texts(elevation(made(30.0, 2.5, 5, **RICH), System.METRIC))
    assert [text for text in written if text.startswith("bay ")] == [
        f"bay {k}  6.00" for k in range(1, 6)
    ]


def test_the_datum_has_a_triangle_with_its_point_on_level_0(made: Make) -> None:
    (sheet,) = elevation(made(30.0, 2.5, 5, **RICH), System.METRIC).sheets
    triangles = [
        item for item in sheet.items
        if isinstance(item, Area) and item.fill == "#141414" and len(item.rings[0]) == 3
    ]  # fmt: skip
    assert len(triangles) == 1
    foot = max(item.points[:, 1].max() for item in sheet.items
               if isinstance(item, Line) and item.pen.width == 0.5)  # fmt: skip
    assert triangles[0].rings[0][:, 1].max() == pytest.approx(foot, abs=0.01)


def test_title_block_names_job_date_digest_and_page(made: Make) -> None:
    results = made(61.2, 2.9, 12)
    paper = elevation(results, System.METRIC)
    written = [label.text for label in paper.sheets[1].labels]
    assert {"Block", "Quay", "Trust", "4 January 2027", "Datum: left end"} <= set(written)
    assert f"Page 2 of {len(paper.sheets)}" in written
    (digest,) = [text for text in written if text.startswith("Job ")]
    title = replace(results.inputs.title, client="Trust and sons")
    other = replace(results, inputs=replace(results.inputs, title=title))
    changed = [label.text for label in elevation(other, System.METRIC).sheets[1].labels]
    assert digest not in changed


def test_control_marks_are_shown_when_asked(made: Make) -> None:
    results = made(30.0, 2.5, 5, **RICH)
    assert not any("M01" in text for text in texts(elevation(results, System.METRIC)))
    shown = texts(elevation(results, System.METRIC, marks=True))
    assert {mark.name for mark in results.marks} <= set(shown)


def test_us_units_and_papers(made: Make) -> None:
    """30 m are 98 ft 5 1/8 in (30/0.3048 = 98.425); 0.6 m is 1 ft 11 5/8 in."""
    paper = elevation(made(30.0, 2.5, 5, **RICH), System.US)
    assert (paper.sheets[0].width, paper.sheets[0].height) == pytest.approx((431.8, 279.4))
    written = " ".join(texts(paper))
    assert "98 ft 5 1/8 in" in written
    assert "1 ft 11 5/8 in" in written
    assert "in = 1 ft (1:" in written
    assert " m " not in written


@pytest.mark.parametrize("system", list(System))
def test_no_measure_stands_on_a_slash(made: Make, system: System) -> None:
    """A pier of 0.6 m is narrower on paper than "1 ft 11 5/8 in", which stood across its slashes.

    Letters may touch by the room kept for descenders, 0.55 mm at 9 pt.
    """
    for sheet in elevation(made(30.0, 2.5, 5, **RICH), system).sheets:
        slashes = [
            (*item.points.min(axis=0), *item.points.max(axis=0))
            for item in sheet.items
            if isinstance(item, Line) and np.allclose(np.ptp(item.points, axis=0), 1.8)
        ]
        assert len(slashes) > 10
        for label in sheet.labels:
            for slash in slashes:
                assert not overlap(label_box(label), slash, gap=-0.55), label.text


@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize("length", [61.2, 78.6, 183.0])
def test_every_row_of_the_whole_wall_begins_and_ends_with_a_chainage(
    made: Make, length: float, system: System
) -> None:
    """By construction: the wall's ends, and what a row ends with the next one begins with."""
    wall = made(length, 3.2, 12).wall
    detail = next(one for one in scales(system) if one.ratio >= 50)
    drawn = overviews(wall, 380.0, detail, system)
    assert max(len(one.rows) for one in drawn) > 1
    for one in drawn:
        assert [at[0] for at in one.named] == [row.start for row in one.rows]
        assert [at[-1] for at in one.named] == [row.end for row in one.rows]
        assert (one.rows[0].start, one.rows[-1].end) == (0.0, wall.length)
        for at, row in zip(one.named, one.rows, strict=True):
            assert list(at) == sorted(set(at))
            assert (row.end - row.start) * one.scale.mm_per_metre <= 380.0 + 1e-6


def test_facing_is_told_where_it_is_known(made: Make) -> None:
    results = made(30.0, 2.5, 5, **RICH)
    assert "faces" not in " ".join(texts(elevation(results, System.METRIC)))
    site = replace(results.inputs.site, facing=math.radians(215.0))
    known = replace(results, inputs=replace(results.inputs, site=site))
    assert "It faces" in " ".join(texts(elevation(known, System.METRIC)))


WALLS: dict[str, tuple[float, float, int, dict[str, Any]]] = {
    "rich": (30.0, 2.5, 5, RICH),
    "long": (61.2, 2.9, 12, {}),
    "tiny": (0.6, 0.4, 1, {}),
    "silo": (14.4, 21.0, 1, {}),
    "crowded": (30.0, 2.2, 20, {
        "piers": tuple(Pier(name=f"P{k}", at=1.5 * k, width=0.3, proud=0.05,
                            returns_painted=False) for k in range(1, 20)),
        "joints": tuple(1.5 * k + 0.7 for k in range(20)),
    }),
}  # fmt: skip


@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize("wall", WALLS)
def test_no_letters_are_covered_or_cut_off(
    made: Make, faults_of: Callable[[DrawnPaper], list[str]], wall: str, system: System
) -> None:
    length, height, bays, survey = WALLS[wall]
    paper = elevation(made(length, height, bays, **survey), system, marks=True)
    assert faults_of(paper) == []
    assert min(label.size for sheet in paper.sheets for label in sheet.labels) >= 9.0


def test_a_tiny_wall_is_drawn_large(made: Make) -> None:
    """0.6 m at 1:5, the largest scale there is, are 120 mm."""
    (sheet,) = elevation(made(0.6, 0.4, 1), System.METRIC).sheets
    spans = outline_spans(sheet, 0.5)
    assert max(b for _, b in spans) - min(a for a, _ in spans) == pytest.approx(120.0, abs=1e-6)


def test_a_silo_is_scaled_by_its_height(made: Make) -> None:
    """14.4 m would fit A3 at 1:50 (288 mm), 21 m of height (420 mm) would not."""
    written = texts(elevation(made(14.4, 21.0, 1), System.METRIC))
    assert "1:100" in written


def test_two_kilometres_of_wall(made: Make, faults_of: Callable[[DrawnPaper], list[str]]) -> None:
    """At 1:50 a strip holds up to 18.9 m: 106 strips, two a page, and one page of the whole."""
    paper = elevation(made(2000.0, 3.0, 200), System.METRIC)
    titles = [text for text in texts(paper) if text.startswith("Strip ")]
    assert len(titles) == 106
    assert 53 <= len(paper.sheets) <= 54
    assert "The whole wall  1:5000" in " ".join(texts(paper))  # 2 km are 400 mm
    assert faults_of(paper) == []


def test_letters_that_cannot_be_printed_are_a_finding(made: Make) -> None:
    results = made(20.0, 2.5, 1)
    title: JobTitle = replace(results.inputs.title, name="潮汐")
    other = replace(results, inputs=replace(results.inputs, title=title))
    (found,) = elevation(other, System.METRIC).findings
    assert (found.code, found.subject) == ("documents.letters", "name of the job")
    assert "潮汐" in found.message


def test_artwork_is_drawn_where_it_was_placed(made: Make) -> None:
    """The red block begins at 4.0 m; on the sheet its left side is that far from the wall's."""
    (sheet,) = elevation(made(20.0, 2.5, 1), System.METRIC).sheets
    spans = outline_spans(sheet, 0.5)
    start, end = min(a for a, _ in spans), max(b for _, b in spans)
    per_metre = (end - start) / 20.0
    red = [item for item in sheet.items if isinstance(item, Area) and item.fill == "#f4c7c7"]
    corners = np.concatenate([ring for item in red for ring in item.rings])
    assert (corners[:, 0].min() - start) / per_metre == pytest.approx(4.0, abs=0.001)
    assert (corners[:, 0].max() - start) / per_metre == pytest.approx(6.0, abs=0.001)
