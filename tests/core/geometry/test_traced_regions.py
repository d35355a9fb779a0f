"""Regions traced from the edges around them: by hand, and against GEOS's unions."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from giornata.core import geometry
from giornata.core.geometry import OUTSIDE, adjacency
from giornata.core.geometry.tracing import traced


def dissolved(tiles: list[shapely.Polygon], labels: list[int]) -> geometry.Coverage:
    laid = geometry.overlay(np.array(tiles, dtype=object))
    of_face = np.array([labels[stack[0]] if stack else OUTSIDE for stack in laid.stacks()])
    return geometry.dissolved(laid.faces, of_face, laid.edges, laid.left, laid.right)


def same_regions(coverage: geometry.Coverage, tiles: list[shapely.Polygon], labels: list[int]):
    """The regions are the parts of each label's union, as GEOS makes it."""
    for label in set(labels):
        union = shapely.union_all([t for t, own in zip(tiles, labels, strict=True) if own == label])
        expected = shapely.get_parts(union)
        found = coverage.faces[coverage.labels == label]
        assert shapely.is_valid(found).all()
        assert len(found) == len(expected)
        tree = shapely.STRtree(expected)
        at, to = tree.query(shapely.point_on_surface(found), predicate="within")
        assert sorted(at.tolist()) == list(range(len(found)))
        assert shapely.equals(found[at], expected[to]).all()


@pytest.mark.parametrize("seed", range(6))
def test_squares_that_touch_at_corners_make_the_unions_parts(seed: int) -> None:
    # A chequered field is full of points at which a region touches itself or its neighbours.
    rng = np.random.default_rng(seed)
    tiles = [shapely.box(i, j, i + 1, j + 1) for i in range(14) for j in range(9)]
    labels = rng.integers(0, 2 + seed % 2, len(tiles)).tolist()
    same_regions(dissolved(tiles, labels), tiles, labels)


@pytest.mark.parametrize("seed", range(4))
def test_triangles_around_common_points_make_the_unions_parts(seed: int) -> None:
    rng = np.random.default_rng(seed)
    points = shapely.MultiPoint(rng.uniform(0, 9, (120, 2)))
    tiles = list(shapely.get_parts(shapely.delaunay_triangles(points)))
    labels = rng.integers(0, 2, len(tiles)).tolist()
    same_regions(dissolved(tiles, labels), tiles, labels)


def edge_rows(lines: list[list[tuple[float, float]]]) -> tuple[np.ndarray, np.ndarray]:
    return np.concatenate(lines).astype(float), np.array([len(line) for line in lines])


def test_a_ring_pinched_at_a_point_keeps_its_hole() -> None:
    # By hand: a square of 4 with a triangle cut out that touches the lower side at (2, 0).
    shell = [(2.0, 0.0), (4, 0), (4, 4), (0, 4), (0, 0), (2, 0)]
    gap = [(2.0, 0.0), (1, 2), (3, 2), (2, 0)]
    xy, size = edge_rows([shell, gap])
    (face,) = traced(xy, size, np.array([0, 0]), np.array([OUTSIDE, OUTSIDE]), 1)
    assert face.is_valid
    assert face.area == pytest.approx(16 - 2)
    assert len(face.interiors) == 1


def test_rings_that_touch_at_a_needle_are_told_apart() -> None:
    # By hand: two gaps end at (0, 0) in needles side by side, whose sides differ in direction by
    # 1.1e-16, so that their arctangents are equal.
    far = 2.0**52
    over, under = (-1.0, 1.0), (1 - far, far)
    assert np.arctan2(*over[::-1]) == np.arctan2(*under[::-1])
    shell = [(-2 * far, -far), (far, -far), (far, 2 * far), (-2 * far, 2 * far), (-2 * far, -far)]
    first = [(0.0, 0.0), over, (-2.0, 0.5), (0.0, 0.0)]
    second = [(0.0, 0.0), (-5.0, far), under, (0.0, 0.0)]
    xy, size = edge_rows([shell, first[::-1], second[::-1]])
    none = np.full(3, OUTSIDE)
    (face,) = traced(xy, size, np.zeros(3, dtype=int), none, 1)
    assert face.is_valid
    assert len(face.interiors) == 2


def test_edges_that_do_not_close_are_refused() -> None:
    xy, size = edge_rows([[(0.0, 0.0), (1, 0), (1, 1)]])
    with pytest.raises(ValueError, match="do not close"):
        traced(xy, size, np.array([0]), np.array([OUTSIDE]), 1)


def test_a_region_without_edges_is_refused() -> None:
    xy, size = edge_rows([[(0.0, 0.0), (1, 0), (1, 1), (0, 0)]])
    with pytest.raises(ValueError, match="do not close"):
        traced(xy, size, np.array([0]), np.array([OUTSIDE]), 2)


def test_points_of_one_key_are_told_apart(monkeypatch: pytest.MonkeyPatch) -> None:
    # All points get one key, as two might by chance.
    points = np.array([[0.0, 0.0], [1, 0], [-0.0, 0], [1, 0], [0, 1]])
    plain = adjacency.nodes_of(points)
    monkeypatch.setattr(
        adjacency, "_point_keys", lambda points: np.zeros(len(points), dtype=np.uint64)
    )
    for number in (plain, adjacency.nodes_of(points)):
        assert number[0] == number[2]
        assert number[1] == number[3]
        assert len(set(number.tolist())) == 3


def test_faces_that_are_all_outside_leave_nothing() -> None:
    nothing = dissolved([shapely.box(0, 0, 1, 1), shapely.box(1, 0, 2, 1)], [OUTSIDE, OUTSIDE])
    assert (len(nothing.faces), len(nothing.edges)) == (0, 0)
    assert len(geometry.relabelled(nothing, np.array([3])).faces) == 0
