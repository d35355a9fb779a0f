"""Edges that meet within the rounding: worked by hand, and against GEOS's distances."""

from __future__ import annotations

import tracemalloc

import numpy as np
import pytest
import shapely

from giornata.core import geometry
from giornata.core.geometry import touching

NEAR = 1e-9


def lines(*edges: list[tuple[float, float]]) -> np.ndarray:
    return np.array([shapely.LineString(edge) for edge in edges], dtype=object)


def met(edges: np.ndarray, ends: tuple[float, ...] = ()) -> list[list[tuple[float, ...]]]:
    together = touching.brought_together(edges, NEAR, ends)
    assert together is not None
    return [list(edge.coords) for edge in together]


def test_an_end_near_a_segment_becomes_a_vertex_of_it() -> None:
    assert met(lines([(0, 0), (4, 0)], [(1, 1e-12), (1, 2)])) == [
        [(0, 0), (1, 1e-12), (4, 0)],
        [(1, 1e-12), (1, 2)],
    ]


def test_vertices_near_one_another_become_one() -> None:
    # The one with the least abscissa stays; the short edge between them goes.
    close = [(2 + 1e-12, 1), (2, 1)]
    assert met(lines([(0, 0), (2, 1)], close, [(2 + 1e-12, 1), (4, 0)])) == [
        [(0, 0), (2, 1)],
        [(2, 1), (4, 0)],
    ]


def test_an_edge_too_short_to_be_squared_goes_like_any_other() -> None:
    # By hand: the square of 1e-200 is 0 in floating point, whose least number is 5e-324.
    edges = lines([(0, 0), (1e-200, 0)], [(0, 0), (0, 1)], [(1e-200, 0), (3, 1)])
    assert met(edges) == [[(0, 0), (0, 1)], [(0, 0), (3, 1)]]


def test_of_vertices_near_one_another_that_on_a_bay_line_stays() -> None:
    edges = lines([(0, 0), (2, 1)], [(2, 1), (2 + 1e-12, 1)], [(2 + 1e-12, 1), (4, 0)])
    assert met(edges, (2 + 1e-12,)) == [[(0, 0), (2 + 1e-12, 1)], [(2 + 1e-12, 1), (4, 0)]]


def test_several_points_come_in_in_their_order() -> None:
    # A segment drawn from right to left, passed by two others' ends above and below it.
    found = met(lines([(9, 0), (0, 0)], [(2, 1e-11), (2, 5)], [(6, -1e-11), (6, -5)]))
    assert found[0] == [(9, 0), (6, -1e-11), (2, 1e-11), (0, 0)]


@pytest.mark.parametrize("gap", [0.0, 1e-8])
def test_edges_that_meet_or_stay_clear_are_left_alone(gap: float) -> None:
    edges = lines([(0, 0), (1, 0)], [(1, 0), (4, 0)], [(1, gap), (1, 2)])
    assert touching.brought_together(edges, NEAR) is None
    assert touching.brought_together(lines(), NEAR) is None


def test_nothing_is_brought_together_without_a_reach() -> None:
    assert touching.brought_together(lines([(0, 0), (4, 0)], [(1, 0), (1, 2)]), 0.0) is None


def near_lines(seed: int) -> np.ndarray:
    """Wavy rings, copies with noise from below to above the reach, bars on a slanting line."""
    rng = np.random.default_rng(seed)
    turn = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    shapes = []
    for _ in range(12):
        ray = rng.uniform(0.4, 2) * (1 + 0.4 * np.cos(rng.integers(2, 7) * turn))
        xy = rng.uniform(0, 8, 2) + ray[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1)
        for noise in (0.0, 10.0 ** rng.uniform(-15, -7)):
            shapes.append(shapely.LinearRing(xy + rng.normal(0, 1, xy.shape) * noise))
    for share in rng.uniform(0, 1, 20):
        foot = (8 * share, 1 + 5 * share)  # on the line but for the rounding
        shapes.append(shapely.LineString([foot, (8 * share, 9)]))
    shapes.append(shapely.LineString([(0, 1), (8, 6)]))
    return np.array(shapes, dtype=object)


@pytest.mark.parametrize("seed", range(6))
def test_no_vertex_is_left_near_a_segment(seed: int) -> None:
    # Reference: GEOS's distance of every vertex from every segment.
    shapes = near_lines(seed)
    edges = touching.noded(shapes, NEAR)

    xy, edge = shapely.get_coordinates(edges, return_index=True)
    at = np.flatnonzero(edge[1:] == edge[:-1])
    segments = shapely.linestrings(np.stack([xy[at], xy[at + 1]], axis=1))
    points = shapely.points(np.unique(xy, axis=0))
    point, segment = shapely.STRtree(segments).query(points, predicate="dwithin", distance=NEAR)
    there = shapely.get_coordinates(points)[point]
    ends = (there == xy[at[segment]]).all(axis=1) | (there == xy[at[segment] + 1]).all(axis=1)
    assert ends.all()
    assert ends.sum() >= 2 * len(segments)
    # And nothing else has moved: the outlines as far as the reach allows.
    drawn = shapely.union_all(shapes)
    assert shapely.hausdorff_distance(shapely.union_all(edges), drawn) < 4 * NEAR


def test_in_small_lots_the_same_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    shapes = near_lines(6)
    whole = touching.noded(shapes, NEAR)
    monkeypatch.setattr(touching, "_SLICE", 5)
    monkeypatch.setattr(touching, "_FOUND", 30)
    monkeypatch.setattr(touching, "_PAIRS", 7)
    assert shapely.equals_exact(touching.noded(shapes, NEAR), whole).all()


def test_long_slanting_edges_whose_boxes_overlap_take_little_memory() -> None:
    # By hand: 2,000 hatching lines, each box over each other, are 4 million pairs: at two whole
    # numbers of 8 bytes 64 MB, were they looked up at once.
    hatching = shapely.linestrings([[(0, k), (9_000, 9_000 + k)] for k in range(2_000)])
    tracemalloc.start()
    try:
        assert touching.brought_together(hatching, NEAR) is None
        assert tracemalloc.get_traced_memory()[1] < 25e6
    finally:
        tracemalloc.stop()


def test_an_area_that_ends_on_another_by_rounding_leaves_no_hairline() -> None:
    # By hand: a triangle stands on a slanting side of another; its corners miss that side by
    # rounding. Bare, the two and what is outside them; a hairline would be a fourth stack.
    low = shapely.Polygon([(0, 0), (9, 0), (9, 3)])
    corners = [(3 * share, share) for share in (0.7, 1.9)]
    high = shapely.Polygon([*((x, y - 1e-13) for x, y in corners), (3, 3)])
    laid = geometry.overlaid(np.array([low, high], dtype=object), near=NEAR)
    assert sorted(laid.stacks()) == [(0,), (1,)]
    assert len(geometry.overlaid(np.array([low, high], dtype=object)).faces) == 3
