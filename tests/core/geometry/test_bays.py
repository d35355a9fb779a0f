"""Bays: cutting areas by upright lines, worked by hand, and putting the pieces together again."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely

from giornata.core import geometry
from giornata.core.geometry.hiding import seen_outlines

EXACT = 1e-12  # relative agreement of areas in double precision

FRAME = shapely.box(0, 0, 10, 4).difference(shapely.box(1, 1, 9, 3))
HORSESHOE = shapely.Polygon([(0, 0), (6, 0), (6, 1), (1, 1), (1, 3), (6, 3), (6, 4), (0, 4)])
ISLANDS = shapely.MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(4, 0, 7, 1)])


def areas(*shapes: shapely.Geometry) -> np.ndarray:
    return np.array(shapes, dtype=object)


def parts(area: shapely.Geometry, low: float, high: float) -> np.ndarray:
    ((found, _, _),) = geometry.in_bays(areas(area), [(low, high)])
    return found


@pytest.mark.parametrize(
    ("area", "low", "high", "expected"),
    [
        # By hand. The frame between 2 and 5: two bars of 3 × 1. From 8 on: 2 × 4 less 1 × 2.
        (FRAME, 2.0, 5.0, 6.0),
        (FRAME, 8.0, np.inf, 6.0),
        # The horseshoe's two prongs between 2 and 5; its back, 0 to 0.5.
        (HORSESHOE, 2.0, 5.0, 6.0),
        (HORSESHOE, -np.inf, 0.5, 2.0),
        # Of the islands only the second reaches into 5 to 6.
        (ISLANDS, 5.0, 6.0, 1.0),
        (ISLANDS, 0.5, 4.5, 1.0),
    ],
)
def test_the_part_between_two_lines(
    area: shapely.Geometry, low: float, high: float, expected: float
) -> None:
    (part,) = parts(area, low, high)
    assert part.area == pytest.approx(expected, rel=EXACT)
    start, _, end, _ = part.bounds
    assert start >= low
    assert end <= high
    assert part.bounds[1::2] == area.bounds[1::2]


def test_a_part_holds_the_points_that_the_area_holds() -> None:
    # Known by construction, also between the prongs, along whose ends the outline runs twice.
    part = parts(HORSESHOE, 2.0, 5.0)
    shapely.prepare(part)
    x, y = np.meshgrid(np.linspace(2.05, 4.95, 30), np.linspace(0.05, 3.95, 40))
    assert np.array_equal(shapely.contains_xy(part[0], x, y), shapely.contains_xy(HORSESHOE, x, y))


def test_areas_elsewhere_are_left_out_and_whole_ones_kept() -> None:
    boxes = areas(shapely.box(0, 0, 1, 1), shapely.box(2, 0, 3, 1), shapely.box(2.5, 0, 9, 1))
    ((found, of, _),) = geometry.in_bays(boxes, [(1.5, 3.5)])
    assert of.tolist() == [1, 2]
    assert found[0] is boxes[1]
    assert found[1].area == pytest.approx(1.0, rel=EXACT)


def test_without_lines_the_one_bay_holds_the_areas_as_they_are() -> None:
    ((found, of, cut),) = geometry.in_bays(areas(FRAME, ISLANDS), [(-np.inf, np.inf)])
    assert of.tolist() == [0, 1]
    assert found.tolist() == [FRAME, ISLANDS]
    assert len(cut.parts) == len(cut.hidden) == 0


def test_neighbours_cross_a_line_at_one_point() -> None:
    # Two triangles on the two sides of a slanting segment, which they run through in turn.
    a, b = (0.1, 0.7), (7.3, 2.9)
    above = shapely.Polygon([a, b, (0.3, 5.0)])
    below = shapely.Polygon([b, a, (0.2, -5.0)])
    crossings = []
    for span in ((-np.inf, 3.3), (3.3, np.inf)):
        for found, _, _ in geometry.in_bays(areas(above, below), [span]):
            for part in found:
                xy = shapely.get_coordinates(part)
                crossings.append(set(xy[xy[:, 0] == 3.3, 1].tolist()))
    assert len(set.intersection(*crossings)) == 1


def test_lines_keep_clear_of_every_vertex() -> None:
    rng = np.random.default_rng(4)
    discs = areas(*(shapely.Point(*rng.uniform(0, 20, 2)).buffer(1) for _ in range(40)))
    lines = geometry.bay_lines(discs, 200)
    x = shapely.get_coordinates(discs)[:, 0]
    assert len(lines) == -(-len(x) // 200) - 1
    assert not np.isin(lines, x).any()
    assert np.diff(np.searchsorted(np.sort(x), lines)).max() < 300


@pytest.mark.parametrize("count", [0, 1, 7])
def test_few_vertices_stay_in_one_bay(count: int) -> None:
    assert len(geometry.bay_lines(areas(*[shapely.box(0, 0, 1, 1)] * count), 35)) == 0


def test_upright_stripes_have_a_line_between_two_of_them() -> None:
    # All vertices lie on three abscissae, so there are two places for lines only.
    stripes = areas(*[shapely.box(0, 0, 1, 1), shapely.box(1, 0, 2, 1)] * 30)
    assert geometry.bay_lines(stripes, 40).tolist() == [0.5, 1.5]


def test_lines_stay_clear_of_vertices_by_as_much_as_is_asked() -> None:
    # By hand: gaps between abscissae of 1, 1e-9 and 1; the middle one has no place for a line.
    boxes = areas(*[shapely.box(0, 0, 1, 1), shapely.box(1 + 1e-9, 0, 2 + 1e-9, 1)] * 30)
    assert geometry.bay_lines(boxes, 20).tolist() == [0.5, 1 + 0.5e-9, 1.5 + 1e-9]
    assert geometry.bay_lines(boxes, 20, clear=1e-8).tolist() == [0.5, 1.5 + 1e-9]
    assert geometry.bay_lines(boxes, 20, clear=0.6).tolist() == []


def test_a_bay_without_vertices_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one vertex"):
        geometry.bay_lines(areas(shapely.box(0, 0, 1, 1)), 0)


def test_lines_whose_sides_differ_are_named() -> None:
    # By hand: the right-hand bay's piece ends at another height.
    def bay(box: shapely.Polygon, line: float) -> geometry.Bay:
        laid = geometry.overlaid(areas(box))
        return geometry.bay_of(laid, np.zeros(1, dtype=np.intp), np.array([line]))

    left, right = bay(shapely.box(0, 0, 2, 1), 2.0), bay(shapely.box(2, 0, 4, 1), 2.0)
    shifted = bay(shapely.box(2, 0, 4, 1.5), 2.0)
    assert geometry.unmatched_lines([left, right], np.array([2.0])).tolist() == []
    assert geometry.unmatched_lines([left, shifted], np.array([2.0])).tolist() == [2.0]
    whole = geometry.joined_bays([left, right])
    assert [face.area for face in whole.faces] == [4.0]
    assert shapely.length(whole.edges).sum() == pytest.approx(10.0)  # the rim of 4 × 1


def test_an_edge_that_turns_at_a_line_is_a_node_for_the_other_side() -> None:
    # By hand: right of x = 2 a wedge of label 1 has its point on the line, at (2, 1); left of it a
    # wedge of label 2 has its own there. All four sides meet in that point.
    canvas = shapely.box(0, 0, 4, 2)
    wedges = {1: [(2, 1), (4, 0.5), (4, 1.5)], 2: [(2, 1), (0, 1.5), (0, 0.5)]}

    def bay(label: int, box: shapely.Polygon) -> geometry.Bay:
        laid = geometry.overlaid(areas(box, shapely.Polygon(wedges[label])))
        labels = np.array([label if len(stack) == 2 else 0 for stack in laid.stacks()])
        return geometry.bay_of(laid, labels, np.array([2.0]))

    left = shapely.Polygon([(0, 0), (2, 0), (2, 1), (2, 2), (0, 2)])
    whole = geometry.joined_bays([bay(2, left), bay(1, canvas.difference(left))])
    found = sorted(zip(whole.labels.tolist(), shapely.area(whole.faces).tolist(), strict=True))
    # Each wedge is 2 × 1 / 2; what is above and below them is cut in two.
    assert found == [(0, pytest.approx(3.0)), (0, pytest.approx(3.0)), (1, 1.0), (2, 1.0)]
    assert shapely.is_valid(whole.faces).all()


def test_the_same_stretches_are_hidden_with_and_without_bays() -> None:
    # What is left of the outlines of wavy shapes, some of them under many others, without the
    # stretches along the bay lines: as long in bays as in one piece.
    rng = np.random.default_rng(4)
    turn = np.linspace(0, 2 * np.pi, 90, endpoint=False)
    shapes = [shapely.box(0, 0, 40, 10)]
    for _ in range(60):
        ray = rng.uniform(0.5, 4) * (1 + 0.4 * np.cos(rng.integers(2, 9) * turn))
        middle = rng.uniform([0, 0], [40, 10])
        xy = middle + ray[:, None] * np.stack([np.cos(turn), np.sin(turn)], axis=1)
        shapes.append(shapely.make_valid(shapely.Polygon(xy), method="structure"))
    drawn = areas(*shapes)
    opaque = rng.uniform(size=len(drawn)) < 0.7
    opaque[0] = True
    whole = shapely.length(seen_outlines(drawn, opaque)).sum()
    assert whole < 0.9 * shapely.length(drawn).sum()
    lines = geometry.bay_lines(drawn, 700)
    assert len(lines) >= 6
    every = np.arange(len(drawn))
    hidden = dict(enumerate(geometry.hidden_segments(drawn, opaque, every)))
    spans = list(pairwise((-np.inf, *lines.tolist(), np.inf)))
    length = 0.0
    for parts, of, cut in geometry.in_bays(drawn, spans, hidden):
        seen = seen_outlines(parts, opaque[of], cut)
        xy, line = shapely.get_coordinates(seen, return_index=True)
        along = np.isin(xy[:-1, 0], lines) & (xy[:-1, 0] == xy[1:, 0])
        step = np.hypot(*np.diff(xy, axis=0).T)
        length += step[(line[1:] == line[:-1]) & ~along].sum()
    assert length == pytest.approx(whole, rel=1e-12)
