"""Set-ups that are not projected, and those in part: what tables and sheets say of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from giornata.core import documents
from giornata.core.documents import DrawnPaper, Table
from giornata.core.foundation import System
from giornata.core.job import JobResults
from giornata.core.projection import cells
from giornata.core.works import TransferStretch, TransferTerms, TransferWay

Make = Callable[..., JobResults]


@pytest.fixture
def with_stretches(made: Make) -> Callable[..., JobResults]:
    def make(*stretches: tuple[float, float, TransferWay]) -> JobResults:
        chosen = tuple(TransferStretch(start=a, end=b, way=way) for a, b, way in stretches)
        return made(61.2, 2.9, 12, inputs={"transfer": TransferTerms(stretches=chosen)})

    return make


def column(table: Table, head: str) -> list[object]:
    at = [one.head for one in table.columns].index(head)
    return [row[at] for row in table.rows]


def test_set_ups_are_listed_by_how_their_part_is_put_on(with_stretches) -> None:
    # The only shape lies from 4 to 6 m: its first 0.4 m by pounce, its last 0.5 m by grid.
    results = with_stretches((3.5, 4.4, TransferWay.POUNCE), (5.5, 9.0, TransferWay.GRID))
    first, second, third, *_ = results.set_ups.set_ups
    seam = cells(results.set_ups.set_ups, results.design.seams)[0].bounds[2]
    ways = documents.put_on(results)
    assert ways[first.number].words == "by projector, in part by pounce"
    assert ways[first.number].out == ((3.5, 4.4, "pounce"),)
    assert ways[second.number].words == "by projector, in part by grid"
    assert ways[third.number].words in ("by grid", "nothing to draw")
    assert not ways[third.number].projected
    assert seam > 4.4
    table = documents.set_up_table(results)
    assert column(table, "Put on")[:2] == [ways[1].words, ways[2].words]
    assert column(table, "Not drawn along the wall")[0] == pytest.approx(0.9)
    for night, words in zip(column(table, "Night"), column(table, "Put on"), strict=True):
        assert (night is None) == (not str(words).startswith("by projector"))


def test_a_wall_left_to_the_projector_says_nothing_of_other_ways(with_stretches) -> None:
    results = with_stretches()
    assert {way.words for way in documents.put_on(results).values()} == {"by projector"}
    assert {way.other_ways for way in documents.put_on(results).values()} == {""}
    assert documents.marks_of_use(results) == results.marks
    marks = column(documents.mark_table(results), "Set-ups")
    assert marks == [", ".join(map(str, mark.set_ups)) for mark in results.marks]


def test_marks_of_set_ups_that_are_not_projected_are_named_and_not_set_out(
    with_stretches, faults_of: Callable[[DrawnPaper], list[str]]
) -> None:
    results = with_stretches((5.5, 61.2, TransferWay.GRID))
    away = results.unprojected
    assert away >= {3, 4}
    assert 1 not in away
    said = dict(
        zip(
            [mark.name for mark in results.marks],
            column(documents.mark_table(results), "Set-ups"),
            strict=True,
        )
    )
    shared = next(m for m in results.marks if m.set_ups == (2, 3))
    alone = next(m for m in results.marks if m.set_ups == (4, 5))
    assert said[shared.name] == "2, 3 (by grid)"
    assert said[alone.name] == "4 (by grid), 5 (by grid)"
    of_use = documents.marks_of_use(results)
    assert shared in of_use
    assert alone not in of_use
    assert all(set(mark.set_ups) - away for mark in of_use)
    for system in System:
        paper = documents.setting_out_sheet(results, system)
        assert faults_of(paper) == []
        words = {getattr(item, "text", "") for sheet in paper.sheets for item in sheet.items}
        assert shared.name in words
        assert alone.name not in words


def test_where_all_is_put_on_by_grid_no_mark_is_set_out(with_stretches) -> None:
    results = with_stretches((0.0, 61.2, TransferWay.GRID))
    assert documents.marks_of_use(results) == ()
    paper = documents.setting_out_sheet(results, System.METRIC)
    words = {getattr(item, "text", "") for sheet in paper.sheets for item in sheet.items}
    assert words
    assert not words & {mark.name for mark in results.marks}


def test_the_part_of_a_set_up_has_its_place_even_without_a_width(with_stretches) -> None:
    # A part is a box from seam to seam, and no image without an extent is let in: never empty, so
    # that its bounds are numbers, with two seams at one place too.
    results = with_stretches((3.5, 4.4, TransferWay.POUNCE))
    first, *more = results.set_ups.set_ups
    at_one = [replace(seam, chainage=7.0) for seam in results.design.seams]
    assert cells((first, *more), at_one)[1].bounds[0::2] == (7.0, 7.0)
    with pytest.raises(ValueError, match="a width, a height"):
        replace(first, end=float("nan"))
