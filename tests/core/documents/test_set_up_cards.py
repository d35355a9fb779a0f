"""Set-up cards: where to stand, what to hit, six pairs to fill in; readable in the dark."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from giornata.core.documents import (
    Area,
    DrawnPaper,
    Line,
    PaperSize,
    Sheet,
    projector_frames,
    set_up_cards,
    table_names,
)
from giornata.core.documents.card_tables import PAIRS
from giornata.core.documents.card_words import before_dark
from giornata.core.documents.letters import label_box
from giornata.core.documents.ruled_table import FIGURES
from giornata.core.foundation import System
from giornata.core.projection import Orientation, Projector, Stand, cells
from giornata.core.site import StandingStretch
from giornata.core.survey import Bend, Lamp, Pier
from giornata.core.works import PowerSource, TransferStretch, TransferTerms, TransferWay

Make = Callable[..., Any]


def words(sheet: Sheet) -> list[str]:
    return [label.text for label in sheet.labels]


def card(paper: DrawnPaper, number: int) -> Sheet:
    return next(sheet for sheet in paper.sheets if sheet.name == f"Set-up {number}")


def fact(sheet: Sheet, name: str) -> str:
    """The value that stands on the line of a name."""
    label = next(one for one in sheet.labels if one.text == name and one.size == 10.0)
    return next(one.text for one in sheet.labels if one.y == label.y and one is not label)


def test_n49_fourteen_set_ups_thirty_marks_shared_by_neighbours(made: Make) -> None:
    """N45/N49: stand-off 7.0 m, throw 1.4, 61.2 m, 0.5 m overlap: 14 set-ups; marks in 15 columns
    of 2, all but the four at the ends for two neighbours."""
    results = made(61.2, 2.9, 12)
    assert len(results.set_ups.set_ups) == 14
    paper = set_up_cards(results, System.METRIC)
    lists = [sheet for sheet in paper.sheets if sheet.name == "Control marks"]
    listed = [text for sheet in lists for text in words(sheet) if text.startswith("M")]
    marks = [text for text in listed if text.endswith(("upper", "lower"))]
    assert len(marks) == 30
    shared = [text for sheet in lists for text in words(sheet) if ", " in text and text[0] != "E"]
    pairs = [f"{k}, {k + 1}" for k in range(1, 14)]
    assert sum(shared.count(pair) for pair in pairs) == 26
    assert "Each measured from the datum, never from the mark before it. Datum: left end." in [
        text for sheet in lists for text in words(sheet)
    ]


def test_n45_a_card_says_where_to_stand_and_what_is_lit(made: Make) -> None:
    """N45: image 5.00 x 3.125 m, centres from 2.50 m every 4.323 m: set-up 8 at 32.762 m.

    The first seams move off the block at 4 to 6 m; from the sixth on they lie evenly.
    """
    sheet = card(set_up_cards(made(61.2, 2.9, 12), System.METRIC), 8)
    assert fact(sheet, "Lens at") == "32.762 m"
    assert fact(sheet, "Lens to wall") == "7.00 m"
    assert fact(sheet, "Lens above ground") == "1.30 m"
    assert fact(sheet, "Projector") == "level, throw 1.40"
    assert fact(sheet, "Image") == "5.00 × 3.12 m"  # 3.125, half to even
    assert fact(sheet, "Image from") == "30.26 m"  # 32.762 - 2.5
    assert fact(sheet, "Image to") == "35.26 m"
    # 4,000 lm on 5.00 x 3.125 m are 256 lx; on 4 lx 64 to 1.
    assert "Light 256 lx on 4 lx, 64.0 : 1 (least 5 : 1): bright enough." in words(sheet)
    # Bays of 5.1 m: 32.762 - 30.6 = 2.162 m.
    assert any(text.startswith("In bay 7, 2.16 m right of its left end") for text in words(sheet))


def test_the_nearest_pier_is_named(made: Make) -> None:
    """Pier from 33.6 to 34.2 m; set-up 8 at 32.762 m stands 0.84 m left of its left edge."""
    pier = Pier(name="P1", at=33.9, width=0.6, proud=0.1, returns_painted=False)
    sheet = card(set_up_cards(made(61.2, 2.9, 12, piers=(pier,)), System.METRIC), 8)
    assert any("0.84 m left of the left edge of pier P1." in text for text in words(sheet))


def test_c2_n69_six_pairs_of_numbers_can_be_written_down(made: Make) -> None:
    """C2 and N69: an alignment is typed as six pairs; a card has a row for each and four boxes."""
    assert PAIRS == 6
    results = made(61.2, 2.9, 12)
    sheet = card(set_up_cards(results, System.METRIC), 3)
    text = words(sheet)
    for head in ("Seen x, m", "Seen y, m", "Miss x, mm", "Miss y, mm"):
        assert any(one.startswith(head) for one in text)
    own = [mark for mark in results.marks if 3 in mark.set_ups]
    assert len(own) == 4
    for mark in own:
        assert mark.name in text
        for figure in (mark.chainage, mark.above_ground, mark.level):
            assert f"{figure:.3f}" in text
    rules = [
        item.points[0, 1] for item in sheet.items
        if isinstance(item, Line) and abs(item.points[1, 0] - item.points[0, 0]) == 190.0
        and item.points[0, 1] > 100.0
    ]  # fmt: skip
    assert len(rules) == PAIRS
    assert "Every miss under 10 mm: trace. Else aim again and measure again." in text


def test_a_card_has_boxes_to_tick_help_and_cautions(made: Make) -> None:
    sheet = card(set_up_cards(made(61.2, 2.9, 12), System.METRIC), 3)
    for text in ("aimed", "marks measured", "traced", "measured again at the end"):
        assert text in words(sheet)
    boxes = [
        item for item in sheet.items
        if isinstance(item, Area) and item.pen is not None and item.fill is None
        and abs(item.rings[0][:, 0].max() - item.rings[0][:, 0].min() - 5.0) < 1e-9
    ]  # fmt: skip
    assert len(boxes) == 4
    written = " ".join(words(sheet))
    for caution in ("looks into the lens", "residual current device", "Weight the tripod",
                    "Ladder", "Traffic", "makers' manuals"):  # fmt: skip
        assert caution in written
    for help_words in ("pan, tilt", "zoom", "roll", "from the datum"):
        assert help_words in written


def test_what_is_read_in_the_dark_is_14_pt_or_larger(made: Make) -> None:
    results = made(61.2, 2.9, 12)
    sheet = card(set_up_cards(results, System.METRIC), 3)
    own = [mark for mark in results.marks if 3 in mark.set_ups]
    figures = {f"{value:.3f}" for mark in own for value in
               (mark.chainage, mark.above_ground, mark.level)}  # fmt: skip
    sizes = [label.size for label in sheet.labels if label.text in figures]
    sizes += [next(one.size for one in sheet.labels if one.text == fact(sheet, name))
              for name in ("Lens at", "Lens to wall", "Lens above ground", "Image")]  # fmt: skip
    assert min(sizes) >= 14.0


def test_neighbours_are_named_on_the_picture(made: Make) -> None:
    paper = set_up_cards(made(61.2, 2.9, 12), System.METRIC)
    assert {"← set-up 2", "set-up 4 →"} <= set(words(card(paper, 3)))
    assert not any("←" in text for text in words(card(paper, 1)))


def test_the_nights_are_listed_with_times_that_add_up(made: Make) -> None:
    """Each set-up 12 min and its edge at 90 m/h: 0.2 h where nothing is traced."""
    results = made(61.2, 2.9, 12)
    paper = set_up_cards(results, System.METRIC)
    first = paper.sheets[0]
    assert first.name == "Nights"
    nights = results.design.nights
    assert nights is not None
    for number, group in enumerate(nights.nights, start=1):
        spent = sum(float(nights.set_ups[k - 1]) for k in group) / 3600
        assert f"Night {number}" in words(first)
        assert f"{len(group)} set-ups, {spent:.1f} h" in words(first)
    assert "Before dark" in words(first)
    assert f"Night 1, 3 of {len(nights.nights[0])}" in words(card(paper, 3))


def test_pages_are_counted_through(made: Make) -> None:
    paper = set_up_cards(made(61.2, 2.9, 12), System.METRIC)
    count = len(paper.sheets)
    assert count == 14 + 2  # a list of nights and one of marks
    for number, sheet in enumerate(paper.sheets, start=1):
        assert f"Page {number} of {count}" in words(sheet)
        assert (sheet.width, sheet.height) == (210.0, 297.0)


def test_us_cards(made: Make) -> None:
    """32.762 m are 107 ft 5.82 in, to the sixteenth 5 13/16; 10 mm are 3/8 in to the sixteenth."""
    sheet = card(set_up_cards(made(61.2, 2.9, 12), System.US), 8)
    assert (sheet.width, sheet.height) == pytest.approx((215.9, 279.4))
    assert fact(sheet, "Lens at") == "107 ft 5 13/16 in"
    assert any("under 3/8 in" in text for text in words(sheet))
    assert any("fc on" in text for text in words(sheet))


@pytest.mark.parametrize("system", list(System))
def test_names_of_marks_keep_clear_of_the_rule_beside_them(made: Make, system: System) -> None:
    """A marks' name at 14 pt, "M04 upper" 24.9 mm wide, ran up to the rule: 1 mm stays free."""
    for sheet in set_up_cards(made(61.2, 2.9, 12), system).sheets:
        if not sheet.name.startswith("Set-up"):
            continue
        names = [one for one in sheet.labels if one.text[0] == "M" and one.size == FIGURES]
        assert len(names) == 4
        for name in names:
            left, upper, right, lower = label_box(name)
            rules = [
                float(item.points[0, 0])
                for item in sheet.items
                if isinstance(item, Line)
                and float(np.ptp(item.points[:, 0])) == 0.0
                and item.points[:, 1].min() < upper
                and item.points[:, 1].max() > lower
            ]
            assert min(rule for rule in rules if rule > left) - right >= 1.0, name.text


def test_n48_a_tilted_card_over_a_bend_keeps_its_letters_apart(
    made: Make, faults_of: Callable[[DrawnPaper], list[str]]
) -> None:
    """The longest list of settings: tilt, and what to draw in."""
    machine = Projector(
        name="Fixed", columns=1920, rows=1200, throw_min=1.4, throw_max=1.4, lumens=4000.0,
        mode="full", modes={"full": 1.0},
    )  # fmt: skip
    results = made(
        61.2, 2.9, 12,
        bends=(Bend(at=30.6, angle=0.2),),
        inputs={"projector": machine, "stand": Stand(distance=7.0, height=1.0, ambient=4.0)},
    )  # fmt: skip
    # Tilted least, its top edge would leave the face beyond the bend, which stands nearer.
    assert results.set_ups.unreachable == ()
    paper = set_up_cards(results, System.METRIC)
    over = next(one for one in results.set_ups.set_ups if one.lit_start < 30.6 < one.lit_end)
    sheet = card(paper, over.number)
    assert fact(sheet, "Tilt").startswith("up ")
    assert fact(sheet, "Draw from")
    assert fact(sheet, "Draw to")
    assert faults_of(paper) == []
    assert faults_of(set_up_cards(results, System.US)) == []


def test_n47_a_wall_too_light_to_project_on_has_no_card_but_a_list(made: Make) -> None:
    """256 lx on 100 lx is 2.6 to 1, under 5, everywhere: nothing is thrown, as the list says."""
    stand = Stand(distance=7.0, height=1.3, ambient=100.0)
    results = made(61.2, 2.9, 12, inputs={"stand": stand})
    paper = set_up_cards(results, System.METRIC)
    assert [sheet.name for sheet in paper.sheets if sheet.name.startswith("Set-up")] == []
    first = words(paper.sheets[0])
    for text in ("Not projected", "0.00", "61.20", "light", "to be decided: grid or pounce"):
        assert text in first
    assert projector_frames(results) == ()
    assert {"not-projected"} <= set(table_names(results))


def test_n47_only_what_is_projected_has_cards_and_frames(
    made: Make, faults_of: Callable[[DrawnPaper], list[str]]
) -> None:
    """A lamp from 26 to 36 m reads 100 lx: no image is made for that, the rest is two walls.

    From a fixed distance and zoom, an image reaches up to the lamp's edge and no farther. Each side
    has marks at both its ends, the columns counted on along the wall.
    """
    lamp = Lamp(name="street lamp", start=26.0, end=36.0, ambient=100.0)
    results = made(61.2, 2.9, 12, lamps=(lamp,))
    (dark,) = results.set_ups.unlit
    assert dark == pytest.approx((26.0, 36.0), abs=1e-3)
    parts = [cell.bounds for cell in cells(results.set_ups.set_ups, results.design.seams)]
    assert not any(a < 36.0 - 1e-3 and b > 26.0 + 1e-3 for a, _, b, _ in parts)
    thrown = {one.number for one in results.projected}
    assert thrown == set(range(1, len(parts) + 1))
    assert not {f.code for f in results.findings} & {"setting_out.no_overlap", "projection.no_plan"}
    left, right = (
        [m for m in results.marks if (m.chainage < 31.0) is before] for before in (True, False)
    )
    assert 24.0 < max(m.chainage for m in left) < 26.0
    assert 36.0 < min(m.chainage for m in right) < 38.0
    columns = sorted({mark.column for mark in results.marks})
    assert columns == list(range(1, len(parts) + 3))
    assert max(m.column for m in left) + 1 == min(m.column for m in right)
    assert len({mark.name for mark in results.marks}) == len(results.marks)
    assert all(m.name.startswith(f"M{m.column:02d} ") for m in results.marks)
    paper = set_up_cards(results, System.METRIC)
    carded = {sheet.name for sheet in paper.sheets if sheet.name.startswith("Set-up")}
    assert carded == {f"Set-up {number}" for number in thrown}
    assert {frame.set_up.number for frame in projector_frames(results)} == thrown
    assert "26.00" in words(paper.sheets[0])
    assert faults_of(paper) == []


def test_a_card_says_what_of_its_image_is_put_on_by_grid(
    made: Make, faults_of: Callable[[DrawnPaper], list[str]]
) -> None:
    """The block lies from 4 to 6 m; by grid from 4.5 to 5.5 m, its sides are left to project."""
    grid = TransferStretch(start=4.5, end=5.5, way=TransferWay.GRID)
    terms = TransferTerms(stretches=(grid,))
    results = made(61.2, 2.9, 12, inputs={"transfer": terms})
    paper = set_up_cards(results, System.METRIC)
    told = [
        fact(card(paper, one.number), "Leave out (grid)")
        for one, cell in zip(
            results.set_ups.set_ups,
            cells(results.set_ups.set_ups, results.design.seams),
            strict=True,
        )
        if cell.bounds[0] < 4.5 and cell.bounds[2] > 5.5
    ]
    assert told == ["4.50 to 5.50 m"]
    for system in System:
        assert faults_of(set_up_cards(results, system)) == []


def test_without_set_ups_the_list_says_so(made: Make) -> None:
    """Throw 1.4 at 0.5 m gives an image 0.36 m wide, less than the overlap asked for: no plan."""
    stand = Stand(distance=0.5, height=1.3, ambient=4.0)
    results = made(61.2, 2.9, 12, inputs={"stand": stand})
    assert results.set_ups.set_ups == ()
    (sheet,) = set_up_cards(results, System.METRIC).sheets
    assert "No set-ups could be planned: see the findings." in words(sheet)


def test_a_projector_on_its_side_is_called_so(made: Make) -> None:
    stand = Stand(distance=7.0, height=1.3, ambient=4.0, orientation=Orientation.ON_SIDE)
    sheet = card(set_up_cards(made(61.2, 2.9, 12, inputs={"stand": stand}), System.METRIC), 3)
    assert fact(sheet, "Projector") == "on its side, throw 1.40"


def test_paper_too_small_for_a_card_is_refused(made: Make) -> None:
    results = made(20.0, 2.5, 1)
    with pytest.raises(ValueError, match="too small for a card"):
        set_up_cards(results, System.METRIC, paper=PaperSize.A5)


NARROW = Projector(
    name="made", columns=1920, rows=1200, throw_min=1.4, throw_max=1.4, lumens=4000.0,
    mode="full", modes={"full": 1.0}, shift_up=0.5,
)  # fmt: skip
WALLS: dict[str, tuple[float, float, int, dict[str, Any]]] = {
    "long": (61.2, 2.9, 12, {}),
    "tiny": (0.6, 0.4, 1, {}),
    "rows": (14.4, 21.0, 1, {}),
    "on side": (20.0, 2.5, 1, {"inputs": {
        "stand": Stand(distance=7.0, height=1.3, ambient=4.0, orientation=Orientation.ON_SIDE),
        "projector": NARROW,
    }}),
}  # fmt: skip


@pytest.mark.parametrize("system", list(System))
@pytest.mark.parametrize("wall", WALLS)
def test_no_letters_are_covered_or_cut_off(
    made: Make, faults_of: Callable[[DrawnPaper], list[str]], wall: str, system: System
) -> None:
    length, height, bays, survey = WALLS[wall]
    paper = set_up_cards(made(length, height, bays, **survey), system)
    assert faults_of(paper) == []
    assert min(label.size for sheet in paper.sheets for label in sheet.labels) >= 9.0
    assert not any("…" in text for sheet in paper.sheets for text in words(sheet)
                   if text.startswith("M"))  # fmt: skip


def test_a_long_list_of_marks_goes_on_over_pages(made: Make) -> None:
    """28 set-ups or so in a row, 29 columns of two: more than a page holds; none is lost."""
    results = made(120.0, 2.9, 12)
    paper = set_up_cards(results, System.METRIC)
    lists = [sheet for sheet in paper.sheets if sheet.name == "Control marks"]
    assert len(lists) > 1
    listed = {text for sheet in lists for text in words(sheet)}
    assert {mark.name for mark in results.marks} <= listed


def test_n47_where_nothing_is_projected_no_mark_is_set(made: Make) -> None:
    """14.4 x 21 m from one stand: no set-up falls into a night, so none is aimed at a mark."""
    results = made(14.4, 21.0, 1)
    assert (results.projected, bool(results.marks)) == ((), True)
    names = {sheet.name for sheet in set_up_cards(results, System.METRIC).sheets}
    assert names == {"Nights"}


@pytest.mark.parametrize(
    ("source", "said"),
    [(None, "the supply"), (PowerSource.BATTERY, "battery"), (PowerSource.GENERATOR, "generator")],
)
def test_what_gives_the_power_is_tried_before_dark(source: PowerSource | None, said: str) -> None:
    """A job on batteries was told to try its generator."""
    (line,) = [one for one in before_dark(source) if "cables" in one]
    assert line == f"Frames are on the stick; projector, cables and {said} are tried."


def test_n46_a_panned_card_says_so_and_where_it_looks(
    made: Make, faults_of: Callable[[DrawnPaper], list[str]]
) -> None:
    """On a bank of 18 degrees from 14 to 21 m nothing stands: its middle is lit from beside it."""
    bank = StandingStretch(name="bank", start=14.0, end=21.0, across=math.radians(18))
    stand = Stand(distance=7.0, height=1.3, ambient=4.0, pan=math.radians(25))
    results = made(40.0, 2.9, 8, inputs={"standing": (bank,), "stand": stand})
    assert "site.steep" in {one.code for one in results.findings}
    assert results.set_ups.unreachable == ()
    paper = set_up_cards(results, System.METRIC)
    panned = [one for one in results.set_ups.set_ups if one.pan]
    assert panned
    for one in panned:
        sheet = card(paper, one.number)
        way = "right" if one.pan > 0 else "left"
        assert fact(sheet, "Pan") == f"{way} {math.degrees(abs(one.pan)):.1f}°"
        assert any(text.startswith("Square it by its marks first.") for text in words(sheet))
        written = " ".join(words(sheet))
        assert "turn it as planned" in written
        assert "square to the wall" not in written
        assert one.start < one.aimed_at < one.end
        assert not 14.0 < one.centre < 21.0
    for system in System:
        assert faults_of(set_up_cards(results, system)) == []
