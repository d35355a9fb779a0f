"""Overlay: faces, what covers them, and edges; against shapes worked by hand and against GEOS."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from giornata.core import geometry
from giornata.core.geometry import OUTSIDE

LENGTH = 1e-9  # relative agreement of lengths and areas in double precision


def areas(*shapes: shapely.Geometry) -> np.ndarray:
    return np.array(shapes, dtype=object)


def test_two_squares_that_overlap_by_a_quarter() -> None:
    # By hand: unit squares at (0, 0) and (0.5, 0.5) share 0.25; each keeps 0.75. The four edges
    # between shared and single faces and the outline are 0.5 or 1 + 0.5 long.
    laid = geometry.overlay(areas(shapely.box(0, 0, 1, 1), shapely.box(0.5, 0.5, 1.5, 1.5)))
    by_stack = dict(zip(laid.stacks(), shapely.area(laid.faces), strict=True))
    assert by_stack == pytest.approx({(0,): 0.75, (0, 1): 0.25, (1,): 0.75})
    assert shapely.length(laid.edges).sum() == pytest.approx(8.0)  # two perimeters of 4
    inner = (laid.left != OUTSIDE) & (laid.right != OUTSIDE)
    assert shapely.length(laid.edges[inner]).sum() == pytest.approx(2.0)  # four halves


def test_every_edge_knows_both_its_faces() -> None:
    # Known by construction: the left face lies to the left of the first segment.
    rng = np.random.default_rng(7)
    discs = [shapely.Point(*rng.uniform(0, 10, 2)).buffer(rng.uniform(0.5, 2)) for _ in range(60)]
    laid = geometry.overlay(areas(*discs))
    for edge, left, right in zip(laid.edges, laid.left, laid.right, strict=True):
        (x0, y0), (x1, y1) = edge.coords[:2]
        middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
        aside = 1e-7 * np.array([y0 - y1, x1 - x0]) / np.hypot(x1 - x0, y1 - y0)
        for index, point in ((left, middle + aside), (right, middle - aside)):
            inside = shapely.contains_xy(laid.faces, *point)
            assert (index == OUTSIDE and not inside.any()) or inside[index]


def test_a_gap_enclosed_by_areas_is_a_face_that_nothing_covers() -> None:
    # By hand: a 3 × 3 ring of eight unit squares leaves the middle one free.
    squares = [shapely.box(i, j, i + 1, j + 1) for i in range(3) for j in range(3)]
    del squares[4]
    laid = geometry.overlay(areas(*squares))
    bare = [f for f, stack in zip(laid.faces, laid.stacks(), strict=True) if not stack]
    assert [f.area for f in bare] == [1.0]
    assert len(laid.faces) == 9


def test_repeated_and_touching_areas_add_no_edges() -> None:
    # By hand: two equal squares and one that abuts them: 4 + 4 - 1 edge length.
    square = shapely.box(0, 0, 1, 1)
    laid = geometry.overlay(areas(square, square, shapely.box(1, 0, 2, 1)))
    assert sorted(laid.stacks()) == [(0, 1), (2,)]
    assert shapely.length(laid.edges).sum() == pytest.approx(7.0)


def test_areas_agree_with_top_down_difference() -> None:
    # Independent road to the same areas: GEOS differences, top shape first (2,000 crossings).
    rng = np.random.default_rng(3)
    shapes = [
        shapely.convex_hull(shapely.MultiPoint(rng.uniform(0, 3, (7, 2)) + rng.uniform(0, 9, 2)))
        for _ in range(120)
    ]
    laid = geometry.overlay(areas(*shapes))
    top = np.zeros(len(shapes))
    for area, stack in zip(shapely.area(laid.faces), laid.stacks(), strict=True):
        if stack:
            top[stack[-1]] += area
    above = shapely.Polygon()
    for index in range(len(shapes) - 1, -1, -1):
        assert top[index] == pytest.approx(shapes[index].difference(above).area, abs=1e-9)
        above = above.union(shapes[index])


def test_large_coordinates_keep_their_area() -> None:
    # A canvas of 78,600 × 3,300 units with ten thousandths in the coordinates.
    canvas = shapely.box(0, 0, 78600, 3300)
    rng = np.random.default_rng(11)
    blobs = [
        shapely.Point(rng.uniform(0, 78600), rng.uniform(0, 3300)).buffer(rng.uniform(20, 900))
        for _ in range(150)
    ]
    laid = geometry.overlay(areas(canvas, *blobs))
    on_canvas = [stack[:1] == (0,) for stack in laid.stacks()]
    assert shapely.area(laid.faces[on_canvas]).sum() == pytest.approx(78600 * 3300, rel=LENGTH)


def test_an_area_that_crosses_itself_is_refused() -> None:
    with pytest.raises(ValueError, match="crosses itself"):
        geometry.overlay(areas(shapely.Polygon([(0, 0), (1, 1), (1, 0), (0, 1)])))


def test_a_line_is_refused() -> None:
    with pytest.raises(ValueError, match="polygon or a multipolygon"):
        geometry.overlay(areas(shapely.LineString([(0, 0), (1, 1)])))


def test_nothing_laid_over_nothing_is_nothing() -> None:
    laid = geometry.overlay(areas())
    assert (len(laid.faces), len(laid.edges), laid.start.tolist()) == (0, 0, [0])
