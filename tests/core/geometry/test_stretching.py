"""A coverage stretched along one direction: what lies between knots of one shift stays rigid."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from giornata.core import geometry
from giornata.core.geometry import Coverage


def laid(*areas: tuple[shapely.Geometry, int], sheet: shapely.Geometry) -> Coverage:
    """Areas over one another on a sheet of label 1."""
    over = geometry.overlay(np.array([sheet, *(area for area, _ in areas)], dtype=object))
    names = [1, *(label for _, label in areas)]
    labels = np.array([names[stack[-1]] for stack in over.stacks()])
    return geometry.dissolved(over.faces, labels, over.edges, over.left, over.right)


SHEET = shapely.box(0, 0, 20, 3)
BIRD = shapely.Point(5, 2).buffer(0.7, quad_segs=40)
SLOPE = shapely.Polygon([(0, 0), (20, 0), (20, 1), (0, 0.4)])
KNOTS, SHIFTS = [0.0, 4.0, 6.0, 20.0], [0.0, 0.5, 0.5, -1.0]


def test_knots_move_by_their_shifts_and_what_is_between_in_proportion() -> None:
    # By hand: half way from 0 to 4 by 0.25; from 6 to 20 half way, at 13, by -0.25.
    moved = geometry.stretched_at([-1, 0, 2, 5, 13, 20, 21], KNOTS, SHIFTS)
    assert moved.tolist() == [-1, 0, 2.25, 5.5, 12.75, 19, 20]


def test_a_shape_between_knots_of_one_shift_keeps_its_form() -> None:
    before = laid((SLOPE, 2), (BIRD, 3), sheet=SHEET)
    after = geometry.stretched(before, KNOTS, SHIFTS)
    (first,), (second,) = (c.faces[c.labels == 3] for c in (before, after))
    assert second.area == pytest.approx(first.area, abs=1e-12)
    off = shapely.get_coordinates(second) - shapely.get_coordinates(first)
    assert np.abs(off - (0.5, 0.0)).max() < 1e-15 * 20


def test_the_coverage_stays_valid_and_its_areas_sum_to_the_stretched_sheet() -> None:
    after = geometry.stretched(laid((SLOPE, 2), (BIRD, 3), sheet=SHEET), KNOTS, SHIFTS)
    assert shapely.coverage_is_valid(after.faces)
    assert shapely.area(after.faces).sum() == pytest.approx(19 * 3, abs=1e-12)
    # Edges are still the faces' boundaries.
    assert 2 * shapely.length(after.edges[after.left >= 0]).sum() + shapely.length(
        after.edges[after.left < 0]
    ).sum() == pytest.approx(shapely.length(after.faces).sum())


def test_a_slanting_edge_gets_a_vertex_at_each_knot() -> None:
    # By hand: the band's top rises 0.03 to a metre; at 4 and 6 it stands at 0.52 and 0.58.
    after = geometry.stretched(laid((SLOPE, 2), sheet=SHEET), KNOTS, SHIFTS)
    (band,) = after.faces[after.labels == 2]
    corners = {(round(x, 9), round(y, 9)) for x, y in shapely.get_coordinates(band)}
    assert {(0.0, 0.4), (4.5, 0.52), (6.5, 0.58), (19.0, 1.0)} <= corners
    # Its area: trapezia on 0-4, 4-6 and 6-20, the first 4.5 and the last 12.5 long.
    assert band.area == pytest.approx(4.5 * 0.46 + 2 * 0.55 + 12.5 * 0.79)


def test_a_shift_of_nothing_changes_nothing() -> None:
    before = laid((SLOPE, 2), (BIRD, 3), sheet=SHEET)
    after = geometry.stretched(before, [0.0, 20.0], [0.0, 0.0])
    assert shapely.equals_exact(before.faces, after.faces).all()


@pytest.mark.parametrize(
    ("knots", "shifts", "says"),
    [
        ([], [], "each knot has its shift"),
        ([0, 1], [0], "each knot has its shift"),
        ([1, 1], [0, 0], "knots rise"),
        ([0, 1], [0, -1], "knots rise"),
    ],
)
def test_maps_that_fold_are_refused(knots: list[float], shifts: list[float], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        geometry.stretched_at([0.0], knots, shifts)


def test_rows_that_are_none_or_out_of_order_are_refused():
    row = geometry.RowShift(
        top=1.0, knots=np.array([0.0]), shifts=np.array([0.0]), lifts=np.array([0.0])
    )
    whole = laid(sheet=SHEET)
    with pytest.raises(ValueError, match="tops rise"):
        geometry.shifted_in_rows(whole, [row, row])
    with pytest.raises(ValueError, match="there is a row"):
        geometry.shifted_in_rows(whole, [])
