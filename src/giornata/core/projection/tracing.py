"""Tracing: how much edge there is to draw in each set-up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import shapely

from giornata.core.foundation import Figure, derived, given
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.projection.seams import Seam
from giornata.core.projection.setups import SetUp, level_between

__all__ = ["cells", "edge_to_trace"]


def cells(set_ups: Sequence[SetUp], made: Sequence[Seam]) -> tuple[Any, ...]:
    """The part of the wall that each set-up draws: from seam to seam, row to row.

    Parameters
    ----------
    set_ups : sequence of SetUp
        In order of number.
    made : sequence of Seam
        One for each pair of neighbouring columns.

    Returns
    -------
    tuple of shapely.Polygon
        Wall frame, in order of number; together they cover all that is lit once. [m]
    """
    places = {seam.column: seam.chainage for seam in made}
    last = max((one.column for one in set_ups), default=0)
    return tuple(_cell(one, set_ups, places, last) for one in set_ups)


def _cell(one: SetUp, every: Sequence[SetUp], places: Mapping[int, float], last: int) -> Any:
    foot, head = one.foot, one.head
    # Without a seam to a neighbour nothing lights the wall between them.
    start = places.get(one.column - 1, one.start if one.column == 1 else one.lit_start)
    end = places.get(one.column, one.end if one.column == last else one.lit_end)
    for other in every:
        if other.column == one.column and other.row == one.row - 1:
            foot = level_between(other, one)
        elif other.column == one.column and other.row == one.row + 1:
            head = level_between(one, other)
    return shapely.box(start, foot, end, head)


def edge_to_trace(
    coverage: Coverage, set_ups: Sequence[SetUp], made: Sequence[Seam]
) -> tuple[Figure, ...]:
    """Length of edge between paints that each set-up draws. [m]

    Parameters
    ----------
    coverage : geometry.Coverage
        The artwork on the wall, by paint number; wall frame. [m]
    set_ups : sequence of SetUp
        In order of number.
    made : sequence of Seam
        As for `cells`.
    """
    between = (coverage.left != OUTSIDE) & (coverage.right != OUTSIDE)
    edges = coverage.edges[between]
    tree = shapely.STRtree(edges)
    figures = []
    for one, cell in zip(set_ups, cells(set_ups, made), strict=True):
        near = np.sort(tree.query(cell, predicate="intersects"))
        length = float(shapely.length(shapely.intersection(edges[near], cell)).sum())
        start, foot, end, head = cell.bounds
        figures.append(
            derived(
                f"edge to trace, set-up {one.number}",
                length,
                "m",
                method="projection.edge_to_trace v2",
                formula="edges between paints inside the part of the wall it draws",
                parts=(
                    given("drawn from", start, "m", source="set-up plan: seams"),
                    given("drawn to", end, "m", source="set-up plan: seams"),
                    given("from level", foot, "m", source="set-up plan: seams"),
                    given("to level", head, "m", source="set-up plan: seams"),
                ),
            )
        )
    return tuple(figures)
