"""Dissolving, renaming, moving and clipping coverages; expected values worked by hand."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely

from giornata.core import geometry
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.geometry.joining import joined


def chequered(columns: int, rows: int, labels: list[int], sliver: float = 0.0) -> Coverage:
    """Unit squares row by row from the bottom left, with a label each."""
    squares = np.array(
        [shapely.box(i, j, i + 1, j + 1) for j in range(rows) for i in range(columns)],
        dtype=object,
    )
    laid = geometry.overlay(squares)
    of_face = np.array([labels[stack[0]] for stack in laid.stacks()])
    return geometry.dissolved(laid.faces, of_face, laid.edges, laid.left, laid.right, sliver=sliver)


def lengths(coverage: Coverage) -> dict[tuple[int, int], float]:
    found: dict[tuple[int, int], float] = {}
    for edge, left, right in zip(coverage.edges, coverage.left, coverage.right, strict=True):
        key = (int(left), int(right))
        found[key] = found.get(key, 0.0) + edge.length
    return found


def test_neighbours_of_one_label_become_one_face() -> None:
    coverage = chequered(3, 1, [5, 5, 2])
    assert sorted(zip(coverage.labels.tolist(), shapely.area(coverage.faces), strict=True)) == [
        (2, 1.0),
        (5, 2.0),
    ]
    assert lengths(coverage) == {(OUTSIDE, 2): 3.0, (OUTSIDE, 5): 5.0, (2, 5): 1.0}


def test_squares_that_meet_at_a_corner_stay_two_shapes() -> None:
    coverage = chequered(2, 2, [1, 0, 0, 1])
    assert coverage.labels.tolist().count(1) == 2
    assert lengths(coverage)[(0, 1)] == pytest.approx(4.0)


def test_a_ring_keeps_its_hole() -> None:
    coverage = chequered(3, 3, [1, 1, 1, 1, 0, 1, 1, 1, 1])
    ring = coverage.faces[coverage.labels == 1]
    assert [len(f.interiors) for f in ring] == [1]
    assert shapely.area(ring).tolist() == [8.0]
    assert lengths(coverage) == {(0, 1): 4.0, (OUTSIDE, 1): 12.0}


def test_faces_labelled_outside_are_left_out() -> None:
    coverage = chequered(3, 1, [1, OUTSIDE, 1])
    assert len(coverage.faces) == 2
    assert lengths(coverage) == {(OUTSIDE, 1): 8.0}


def test_each_edge_runs_with_its_lower_label_on_its_left() -> None:
    coverage = chequered(2, 2, [3, 1, 0, 2])
    for edge, left in zip(coverage.edges, coverage.left, strict=True):
        (x0, y0), (x1, y1) = edge.coords[:2]
        point = ((x0 + x1) / 2 - 0.1 * (y1 - y0), (y0 + y1) / 2 + 0.1 * (x1 - x0))
        over = coverage.labels[shapely.contains_xy(coverage.faces, *point)].tolist()
        assert over == ([] if left == OUTSIDE else [left])


def test_a_sliver_goes_to_the_neighbour_with_the_longest_common_edge() -> None:
    # Two squares 1e-9 apart: the gap is a face of its own and then belongs to either of them.
    shapes = [shapely.box(0, 0, 1 + 1e-9, 1), shapely.box(0, 0, 1, 1), shapely.box(1, 0, 2, 1)]
    laid = geometry.overlay(np.array(shapes, dtype=object))
    labels = np.array([{(0, 1): 1, (0, 2): 9, (2,): 2}[stack] for stack in laid.stacks()])
    parts = (laid.faces, labels, laid.edges, laid.left, laid.right)
    assert lengths(geometry.dissolved(*parts))[(1, 9)] == pytest.approx(1.0)
    clean = geometry.dissolved(*parts, sliver=1e-6)
    assert lengths(clean) == pytest.approx({(OUTSIDE, 1): 3.0, (OUTSIDE, 2): 3.0, (1, 2): 1.0})
    assert shapely.area(clean.faces).sum() == pytest.approx(2.0, rel=1e-12)


def test_slivers_side_by_side_all_find_a_neighbour() -> None:
    # Three faces of 1e-9 between two squares: the middle one has only slivers beside it.
    cuts = [0.0, 1.0, 1 + 1e-9, 1 + 2e-9, 1 + 3e-9, 2.0]
    strips = [shapely.box(a, 0, b, 1) for a, b in pairwise(cuts)]
    laid = geometry.overlay(np.array(strips, dtype=object))
    labels = np.array([stack[0] for stack in laid.stacks()])
    clean = geometry.dissolved(laid.faces, labels, laid.edges, laid.left, laid.right, sliver=1e-6)
    assert sorted(clean.labels.tolist()) == [0, 4]
    assert lengths(clean)[(0, 4)] == pytest.approx(1.0)


def test_renaming_merges_new_neighbours_and_keeps_the_area() -> None:
    coverage = geometry.relabelled(chequered(3, 1, [0, 1, 2]), np.array([7, 7, 4]))
    assert sorted(zip(coverage.labels.tolist(), shapely.area(coverage.faces), strict=True)) == [
        (4, 1.0),
        (7, 2.0),
    ]
    assert lengths(coverage)[(4, 7)] == 1.0


def test_renaming_one_to_one_keeps_the_faces() -> None:
    before = chequered(3, 1, [0, 1, 2])
    after = geometry.relabelled(before, np.array([9, 8, 7]))
    assert all(a is b for a, b in zip(before.faces, after.faces, strict=True))
    assert lengths(after)[(8, 9)] == 1.0


def test_a_reflection_keeps_the_lower_label_on_the_left() -> None:
    flip = np.array([[2.0, 0, 3], [0, -2.0, 4], [0, 0, 1]])
    coverage = geometry.transformed(chequered(2, 1, [0, 1]), flip)
    edge = coverage.edges[(coverage.left == 0) & (coverage.right == 1)][0]
    # The edge x = 1 becomes x = 5; label 0 lies at smaller x, so the edge runs upwards.
    assert edge.coords[0] == (5.0, 2.0)
    assert edge.coords[-1] == (5.0, 4.0)


def test_a_transform_that_shears_is_refused() -> None:
    shear = np.array([[1.0, 0.5, 0], [0, 1, 0], [0, 0, 1]])
    with pytest.raises(ValueError, match="the transform shears"):
        geometry.transformed(chequered(1, 1, [0]), shear)


def test_a_quarter_turn_keeps_areas_and_sides() -> None:
    # By hand: (x, y) goes to (-y, x), so the edge x = 1 becomes y = 1, run from right to left.
    turn = np.array([[0.0, -1, 0], [1, 0, 0], [0, 0, 1]])
    coverage = geometry.transformed(chequered(2, 1, [0, 1]), turn)
    edge = coverage.edges[(coverage.left == 0) & (coverage.right == 1)][0]
    assert (edge.coords[0], edge.coords[-1]) == ((0.0, 1.0), (-1.0, 1.0))
    assert shapely.area(coverage.faces).tolist() == [1.0, 1.0]


def test_edges_a_rounding_off_the_window_are_put_on_it() -> None:
    # Squares on x 0..2 moved by 3e-9: the window's sides at 0 and 2 take them back.
    near = np.array([[1.0, 0, 3e-9], [0, 1.0, -2e-9], [0, 0, 1.0]])
    moved = geometry.transformed(chequered(2, 1, [0, 1]), near)
    window = shapely.box(0, 0, 2, 1)
    assert geometry.aligned(moved, window, reach=1e-9).faces[0].bounds != (0.0, 0.0, 1.0, 1.0)
    back = geometry.aligned(moved, window, reach=1e-8)
    assert shapely.total_bounds(back.faces).tolist() == [0.0, 0.0, 2.0, 1.0]
    clipped = geometry.clipped(back, window, beyond=7)
    assert set(clipped.labels.tolist()) == {0, 1}
    assert lengths(clipped) == pytest.approx({(OUTSIDE, 0): 3.0, (OUTSIDE, 1): 3.0, (0, 1): 1.0})


def test_a_window_cuts_faces_and_the_rest_is_beyond() -> None:
    # Squares 0 and 1 on x 0..2; the window runs from 0.5 to 3 and has a hole 1.25..1.5.
    window = shapely.box(0.5, 0, 3, 1).difference(shapely.box(1.25, 0.25, 1.5, 0.75))
    clipped = geometry.clipped(chequered(2, 1, [0, 1]), window, beyond=6)
    totals = {
        label: shapely.area(clipped.faces[clipped.labels == label]).sum() for label in (0, 1, 6)
    }
    assert totals == pytest.approx({0: 0.5, 1: 1.0 - 0.125, 6: 1.0})
    # Hole: perimeter 1.5, all beside label 1. Outline: 0 has 0.5 + 1 + 0.5, 1 has 2, 6 has 3.
    assert lengths(clipped) == pytest.approx(
        {(OUTSIDE, 0): 2.0, (OUTSIDE, 1): 3.5, (OUTSIDE, 6): 3.0, (0, 1): 1.0, (1, 6): 1.0}
    )


def test_beyond_merges_with_faces_of_its_own_label() -> None:
    clipped = geometry.clipped(chequered(2, 1, [0, 1]), shapely.box(-1, -1, 3, 2), beyond=1)
    assert sorted(clipped.labels.tolist()) == [0, 1]
    assert lengths(clipped) == pytest.approx({(OUTSIDE, 1): 14.0, (0, 1): 4.0})


def test_a_window_that_misses_the_coverage_is_all_beyond() -> None:
    clipped = geometry.clipped(chequered(2, 1, [0, 1]), shapely.box(5, 5, 6, 6), beyond=3)
    assert clipped.labels.tolist() == [3]
    assert clipped.faces[0].area == 1.0


def test_a_window_inside_one_face_takes_its_label() -> None:
    clipped = geometry.clipped(chequered(2, 1, [4, 1]), shapely.box(0.25, 0.25, 0.5, 0.5), beyond=3)
    assert clipped.labels.tolist() == [4]
    assert lengths(clipped) == {(OUTSIDE, 4): 1.0}


@pytest.mark.parametrize("seed", range(6))
def test_a_clipped_crowd_still_sums_to_the_window(seed: int) -> None:
    rng = np.random.default_rng(seed)
    shapes = [
        shapely.Point(*rng.uniform(0, [40, 3])).buffer(rng.uniform(0.05, 1.5)) for _ in range(250)
    ]
    laid = geometry.overlay(np.array([shapely.box(0, 0, 40, 3), *shapes], dtype=object))
    labels = np.array([s[-1] % 5 if s[:1] == (0,) else OUTSIDE for s in laid.stacks()])
    whole = geometry.dissolved(laid.faces, labels, laid.edges, laid.left, laid.right)
    window = shapely.Polygon([(-1, 0.1), (41, -0.4), (41, 2.5), (20, 2.5), (20, 2.9), (-1, 2.9)])
    window = window.difference(
        shapely.union_all([shapely.box(5, 0, 9, 4), shapely.box(20, 1, 22, 2)])
    )
    clipped = geometry.clipped(whole, window, beyond=0)
    assert shapely.area(clipped.faces).sum() == pytest.approx(window.area, rel=1e-9)
    assert shapely.coverage_is_valid(clipped.faces)
    # Independent road: GEOS clips the union of each label's faces.
    for label in range(1, 5):
        expected = shapely.intersection(
            shapely.union_all(whole.faces[whole.labels == label]), window
        )
        found = shapely.area(clipped.faces[clipped.labels == label]).sum()
        assert found == pytest.approx(expected.area, rel=1e-9)


def test_edges_meet_at_their_ends_only_though_each_pair_of_labels_runs_on() -> None:
    # Four faces meet at (1, 1); labels 0 and 1 lie so that each pair's edge could run through.
    # Renaming then merges two of them, which needs the node.
    coverage = chequered(2, 2, [0, 1, 2, 0])
    ends = {point for edge in coverage.edges for point in (edge.coords[0], edge.coords[-1])}
    assert (1.0, 1.0) in ends
    merged = geometry.relabelled(coverage, np.array([0, 5, 0]))
    assert sorted(zip(merged.labels.tolist(), shapely.area(merged.faces), strict=True)) == [
        (0, 3.0),
        (5, 1.0),
    ]


def test_edges_that_touch_along_the_way_are_cut_there() -> None:
    # A triangle whose point lies on another one's side: the point is a node on both outlines.
    shapes = [
        shapely.Polygon([(10, 5), (-4, 35), (20, 15)]),
        shapely.Polygon([(11, 6), (-2, 35), (-2, 36)]),
    ]
    laid = geometry.overlay(np.array([shapely.box(0, 0, 400, 60), *shapes], dtype=object))
    labels = np.array([s[-1] if s[:1] == (0,) else OUTSIDE for s in laid.stacks()])
    whole = geometry.dissolved(laid.faces, labels, laid.edges, laid.left, laid.right)
    merged = geometry.relabelled(whole, np.array([2, 1, 2]))
    clipped = geometry.clipped(merged, shapely.box(-3, 2, 14, 54), beyond=2)
    assert shapely.area(merged.faces).sum() == pytest.approx(24000.0)
    assert shapely.area(clipped.faces).sum() == pytest.approx(17 * 52)


def test_closed_edges_and_forks_are_joined_as_far_as_they_run_on() -> None:
    # A triangle of three edges that closes on itself, and two edges that run on before a fork.
    triangle = [[(0, 0), (1, 0)], [(1, 0), (0, 1)], [(0, 1), (0, 0)]]
    fork = [[(5, 0), (6, 0)], [(6, 0), (7, 0)], [(7, 0), (8, 1)], [(7, 0), (8, -1)]]
    lines, first = joined(shapely.linestrings([*triangle, *fork]))
    assert shapely.length(lines).sum() == pytest.approx(2 + 2**0.5 + 2 + 2 * 2**0.5)
    assert sorted(first.tolist()) == [0, 3, 5, 6]
    closed = [line for line in lines if line.is_ring]
    assert [len(line.coords) for line in closed] == [4]


def test_edges_that_run_against_one_another_are_not_joined() -> None:
    lines, first = joined(shapely.linestrings([[(0, 0), (1, 0)], [(2, 0), (1, 0)]]))
    assert first.tolist() == [0, 1]
    assert len(lines) == 2
