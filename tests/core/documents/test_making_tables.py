"""Tables of narrow places and of what a design costs to make, on a wall worked by hand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import pytest

from giornata.core import documents
from giornata.core.documents import Table
from giornata.core.job import Design, JobResults

Make = Callable[..., JobResults]


@pytest.fixture
def designs(made: Make) -> Sequence[Design]:
    """A wall of 12 × 3 m in three bays: red block 4-6 m by 0.5-1.5 m, a blue metre square in it."""
    return made(12.0, 3.0, 3).designs


def column(table: Table, head: str) -> list[Any]:
    at = [one.head for one in table.columns].index(head)
    return [row[at] for row in table.rows]


def total(table: Table, head: str) -> float:
    at = [one.head for one in table.columns].index(head)
    ((_, *rest),) = table.totals
    return float(rest[at - 1])


def test_edges_by_bend_have_the_take_offs_total(designs: Sequence[Design]) -> None:
    table = documents.bend_table(designs)
    whole = float(designs[0].take_off.edge)
    assert sum(column(table, "Edge")) == pytest.approx(whole, rel=1e-9)
    assert total(table, "Edge") == pytest.approx(whole, rel=1e-9)
    # By hand: the blue square fills the block's height in its middle, so that red's upper and
    # lower sides are four pieces of 0.5 m, too short to snap; the other 6 m are straights of a
    # metre. All lies below 1.8 m, in bay 2.
    assert total(table, "Long straights") == pytest.approx(6.0)
    assert total(table, "Gentle curves and short straights") + total(
        table, "Tight curves"
    ) == pytest.approx(2.0)
    assert set(column(table, "Height")) == {"hand"}
    assert set(column(table, "Bay")) == {2}


def test_areas_by_bay_have_the_net_wall_as_total(designs: Sequence[Design]) -> None:
    table = documents.area_place_table(designs)
    # By hand: 12 × 1.8 m standing, 12 × 1.2 m from steps.
    assert total(table, "Area") == pytest.approx(36.0, rel=1e-9)
    assert total(table, "Standing") == pytest.approx(21.6)
    assert total(table, "From steps") == pytest.approx(14.4)
    assert total(table, "From a lift") == 0.0


def test_rollers_share_out_each_paints_area(designs: Sequence[Design]) -> None:
    table = documents.roller_table(designs)
    for paint in designs[0].take_off.paints:
        rows = [row for row in table.rows if row[1] == paint.number]
        assert [row[3] for row in rows] == [0.1, 0.18, 0.25]
        for row in rows:
            assert row[4] + row[5] == pytest.approx(float(paint.area), rel=1e-9)
        own = next(row for row in rows if row[3] == 0.18)
        assert own[4] == pytest.approx(float(paint.rolled), rel=1e-9)


def test_only_the_ground_reaches_the_ground_line(designs: Sequence[Design]) -> None:
    # By hand: the block ends 0.5 m up; the strip is 0.10 m high, 4 m long in each bay.
    table = documents.ground_table(designs)
    assert column(table, "Bay") == [1, 2, 3]
    assert column(table, "Area") == pytest.approx([0.4, 0.4, 0.4])
    assert documents.foot_table(designs).rows == ()


def test_nothing_is_narrow_on_this_wall(designs: Sequence[Design]) -> None:
    table = documents.smallest_table(designs, 0.010)
    assert column(table, "Narrowest line") == [None] * len(table.rows)
    assert column(table, "Gaps that lines may close") == [0] * len(table.rows)
    assert documents.narrow_table(designs).rows == ()
