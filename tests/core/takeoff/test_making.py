"""What a design costs to make: rollers, bends, heights and the ground line, worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from giornata.core import geometry, takeoff
from giornata.core.artwork import Paint, Role
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.takeoff import Bend, BrushAndRoller, Making, edge_segments

SUMS = 1e-9  # relative: parts and totals
PAINTS = (
    Paint(number=1, key="haze", name="Haze", role=Role.GROUND, artwork=("#c9d6d5",)),
    Paint(number=2, key="tide", name="Tide", artwork=("#5f9aa3",)),
    Paint(number=3, key="ink", name="Ink", artwork=("#101418",)),
)
LENGTH, HEIGHT = 30.0, 6.0
BAYS = (10.0, 20.0)
LEVEL = ((0.0, 0.0), (LENGTH, 0.0))


def laid(*shapes: tuple[shapely.Geometry, int], wall: shapely.Geometry | None = None) -> Coverage:
    """Shapes by paint number on a wall of ground."""
    outline = shapely.box(0, 0, LENGTH, HEIGHT) if wall is None else wall
    whole = geometry.overlay(np.array([outline, *(area for area, _ in shapes)], dtype=object))
    numbers = (1, *(number for _, number in shapes))
    labels = [numbers[stack[-1]] if stack[:1] == (0,) else OUTSIDE for stack in whole.stacks()]
    return geometry.dissolved(
        whole.faces, np.array(labels, dtype=np.intp), whole.edges, whole.left, whole.right
    )


def made(
    coverage: Coverage,
    ground: tuple[tuple[float, float], ...] = LEVEL,
    tools: BrushAndRoller | None = None,
) -> Making:
    return takeoff.making(
        coverage, paints=PAINTS, tools=tools or BrushAndRoller(), bays=BAYS, ground=ground
    )


def bends_of(line: shapely.LineString) -> dict[Bend, float]:
    """Length of each bend of one edge."""
    segments = edge_segments(np.array([line], dtype=object))
    total = np.bincount(segments.bend, weights=segments.lengths(), minlength=3)
    return {bend: float(length) for bend, length in zip(Bend, total, strict=True)}


def circle(radius: float, step: float) -> shapely.LineString:
    """A circle with vertices about a step apart."""
    turn = np.linspace(0, math.tau, max(round(math.tau * radius / step), 12) + 1)
    turn[-1] = 0.0
    return shapely.LineString(np.column_stack([radius * np.cos(turn), radius * np.sin(turn)]))


@pytest.mark.parametrize("step", [0.002, 0.008])
@pytest.mark.parametrize("radius", [0.01, 0.03, 0.08, 0.13])
def test_circles_below_the_tight_radius_are_tight(radius: float, step: float) -> None:
    found = bends_of(circle(radius, step))
    assert found[Bend.TIGHT] == pytest.approx(circle(radius, step).length)


@pytest.mark.parametrize("step", [0.002, 0.008])
@pytest.mark.parametrize("radius", [0.18, 0.5, 4.0, 50.0])
def test_circles_above_the_tight_radius_are_gentle(radius: float, step: float) -> None:
    # By hand: a metre of a circle of 50 m has a rise of 1²/(8 × 50) = 2.5 mm, more than a line.
    found = bends_of(circle(radius, step))
    assert found[Bend.GENTLE] == pytest.approx(circle(radius, step).length)


def test_a_circle_is_straight_where_a_snapped_line_covers_its_rise() -> None:
    # By hand: 1²/(8 × 250) = 0.5 mm over a metre, well within a line of 2 mm.
    arc = np.linspace(0, 0.04, 400)  # 10 m of it
    line = shapely.LineString(250 * np.column_stack([np.cos(arc), np.sin(arc)]))
    assert bends_of(line)[Bend.STRAIGHT] > 0.9 * line.length


def test_raster_outlines_keep_their_class() -> None:
    # Vertices 3 mm apart and up to 0.3 mm off the true curve, as outlines of 3 mm pixels are.
    rng = np.random.default_rng(8)
    for radius, bend in ((0.05, Bend.TIGHT), (0.5, Bend.GENTLE)):
        true = shapely.get_coordinates(circle(radius, 0.003))
        noisy = true * (1 + rng.uniform(-0.0003, 0.0003, len(true)) / radius)[:, None]
        noisy[-1] = noisy[0]
        line = shapely.LineString(noisy)
        assert bends_of(line)[bend] > 0.97 * line.length
    x = np.arange(0, 3, 0.003)
    straight = shapely.LineString(np.column_stack([x, rng.uniform(-0.0003, 0.0003, len(x))]))
    assert bends_of(straight)[Bend.STRAIGHT] == pytest.approx(straight.length)


def test_straights_from_a_metre_on_are_snapped() -> None:
    # By hand: of an L of 1.2 m and 0.8 m the long leg is snapped, the short one is not; the turn
    # of a corner counts over the 30 mm in which it is measured, not more.
    bend = shapely.LineString([(0, 0), (1.2, 0), (1.2, 0.8)])
    found = bends_of(shapely.segmentize(bend, 0.005))
    assert found[Bend.STRAIGHT] == pytest.approx(1.2)
    assert found[Bend.TIGHT] <= 0.035
    assert sum(found.values()) == pytest.approx(2.0, rel=SUMS)


def test_edges_by_bend_bay_and_band_sum_to_the_edges() -> None:
    # By hand: a tide block 8-12 m by 1-5 m. Edge 16 m: per bay 8 m; its sides run 0.8 m by hand
    # (to 1.8), 1.7 m from steps (to 3.5), 1.5 m from the lift, on each side.
    coverage = laid((shapely.box(8, 1, 12, 5), 2))
    parts = made(coverage).edges
    assert {part.bend for part in parts} == {Bend.STRAIGHT}
    assert sum(part.length for part in parts) == pytest.approx(16.0, rel=SUMS)
    found = {(part.bay, part.band): part.length for part in parts}
    assert found == pytest.approx(
        {
            (1, "hand"): 2 + 0.8, (1, "step"): 1.7, (1, "lift"): 2 + 1.5,
            (2, "hand"): 2 + 0.8, (2, "step"): 1.7, (2, "lift"): 2 + 1.5,
        }
    )  # fmt: skip


def test_areas_by_bay_and_band_follow_a_ground_that_falls_and_steps() -> None:
    # By hand: the ground falls from 0 to -1 at 10 m, then steps up to -0.5 and stays level.
    ground = ((0.0, 0.0), (10.0, -1.0), (10.0, -0.5), (LENGTH, -0.5))
    wall = shapely.Polygon([*ground, (LENGTH, 4.0), (0.0, 4.0)])
    areas = made(laid(wall=wall), ground).areas
    found = {(bay, band): area for _, bay, band, area in areas}
    assert sum(found.values()) == pytest.approx(wall.area, rel=SUMS)
    # Bay 1: 10 m by 1.8 m, by 1.7 m, and the rest: 4 + 0.5 on the mean less 3.5.
    assert found[1, "hand"] == pytest.approx(18.0)
    assert found[1, "step"] == pytest.approx(17.0)
    assert found[1, "lift"] == pytest.approx(10.0)
    assert found[3, "lift"] == pytest.approx(10 * (4.5 - 3.5))


def test_sums_agree_on_a_busy_wall() -> None:
    # Law: whatever the shapes, parts sum to areas and edges of the coverage.
    rng = np.random.default_rng(5)
    shapes = [
        (shapely.Point(*rng.uniform([0, 0], [LENGTH, HEIGHT])).buffer(rng.uniform(0.02, 1)), k)
        for k in rng.integers(1, 4, 120).tolist()
    ]
    ground = ((0.0, 0.3), (9.0, 0.1), (9.0, -0.6), (21.0, 0.0), (LENGTH, 0.4))
    coverage = laid(*shapes)
    found = made(coverage, ground)
    inner = coverage.left != OUTSIDE
    total = shapely.length(coverage.edges[inner]).sum()
    assert sum(part.length for part in found.edges) == pytest.approx(total, rel=SUMS)
    assert sum(area for *_, area in found.areas) == pytest.approx(LENGTH * HEIGHT, rel=SUMS)
    pairs: dict[tuple[int, int], float] = {}
    for part in found.edges:
        key = part.first, part.second
        pairs[key] = pairs.get(key, 0.0) + part.length
    for (first, second), length in pairs.items():
        both = inner & (coverage.left == first) & (coverage.right == second)
        assert length == pytest.approx(shapely.length(coverage.edges[both]).sum(), rel=SUMS)
    for paint in (1, 2, 3):
        area = shapely.area(coverage.faces[coverage.labels == paint]).sum()
        assert sum(a for p, *_, a in found.areas if p == paint) == pytest.approx(area, rel=SUMS)
        for share in (one for one in found.rollers if one.paint == paint):
            assert share.rolled + share.brushed == pytest.approx(area, rel=SUMS)


def test_what_rollers_of_several_widths_reach() -> None:
    # By hand: a square of 0.2 m loses (4 - π) r² in its corners; a bar of 0.12 m takes the 100 mm
    # roller all but its corners, and none wider.
    coverage = laid((shapely.box(2, 2, 2.2, 2.2), 2), (shapely.box(5, 2, 8, 2.12), 3))
    found = {(one.paint, one.width): one.rolled for one in made(coverage).rollers}
    assert sorted({width for _, width in found}) == [0.1, 0.18, 0.25]
    for width in (0.1, 0.18):
        corner = (4 - math.pi) * (width / 2) ** 2
        assert found[2, width] == pytest.approx(0.04 - corner, rel=1e-3)
    assert found[3, 0.1] == pytest.approx(0.36 - (4 - math.pi) * 0.05**2, rel=1e-3)
    assert (found[2, 0.25], found[3, 0.18], found[3, 0.25]) == (0.0, 0.0, 0.0)


def test_what_the_ground_line_hides_or_shows() -> None:
    # By hand: the strip is 0.10 m high. A reed 2-3 m stands on the ground: 0.1 m² of it; a boat
    # hull 14-16 m comes down to 0.06 m: 2 × 0.04 m²; a bird at 2 m is out of it.
    reed, hull, bird = (
        shapely.box(2, 0, 3, 2),
        shapely.box(14, 0.06, 16, 1),
        shapely.box(5, 2, 6, 3),
    )
    found = made(laid((reed, 2), (hull, 3), (bird, 3)))
    feet = [(f.paint, f.start, f.end, f.height, f.area) for f in found.feet]
    assert feet == [
        (2, 2.0, 3.0, 0.0, pytest.approx(0.10)),
        (3, 14.0, 16.0, pytest.approx(0.06), pytest.approx(0.08)),
    ]
    at_ground = {(one.paint, one.bay): one.area for one in found.at_ground}
    assert at_ground == pytest.approx(
        {(1, 1): 0.9, (2, 1): 0.1, (1, 2): 1.0 - 0.08, (3, 2): 0.08, (1, 3): 1.0}
    )


def test_feet_on_a_ground_that_steps_are_measured_from_the_lower_side() -> None:
    # By hand: the ground steps down by 0.5 m at 10 m; the block from 9 to 11 m stands on it.
    ground = ((0.0, 0.0), (10.0, 0.0), (10.0, -0.5), (LENGTH, -0.5))
    wall = shapely.Polygon([*ground, (LENGTH, 4.0), (0.0, 4.0)])
    (foot,) = made(laid((shapely.box(9, -1, 11, 1), 2), wall=wall), ground).feet
    assert foot.height == 0.0
    assert foot.x == pytest.approx(9.0)  # it stands on the ground all along: the first point
    assert foot.area == pytest.approx(0.2)
