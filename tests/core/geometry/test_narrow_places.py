"""Narrow places: shapes whose width is known by construction, in metres; limit 25 mm."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from shapely import affinity

from giornata.core import geometry
from giornata.core.geometry import Narrow

LIMIT = 0.025
MM = 0.001
EXACT = 0.01 * MM


def places(shape: shapely.Polygon, limit: float = LIMIT) -> tuple[Narrow, ...]:
    return geometry.narrow_places(np.array([shape], dtype=object), limit)


def wedge(degrees: float, length: float = 1.0) -> shapely.Polygon:
    half = length * math.tan(math.radians(degrees) / 2)
    return shapely.Polygon([(0, -half), (length, 0), (0, half)])


def star(inner: float) -> shapely.Polygon:
    radius = [1.0, inner] * 5
    corners = [
        (r * math.cos(math.pi * i / 5), r * math.sin(math.pi * i / 5)) for i, r in enumerate(radius)
    ]
    return shapely.Polygon(corners)


DISC = shapely.Point(0, 0).buffer(0.5, quad_segs=512)  # facets of 1.5 mm


@pytest.mark.parametrize("turn", [0.0, 17.0, 45.0, 90.0])
def test_a_bar_has_its_width_whichever_way_it_lies(turn: float) -> None:
    bar = affinity.rotate(shapely.box(0, 0, 0.4, 0.018), turn, origin=(0.2, 0.009))
    (place,) = places(bar)
    assert place.whole
    assert place.width == pytest.approx(18 * MM, abs=EXACT)
    assert place.length == pytest.approx(0.4, abs=1 * MM)


def test_a_bar_as_wide_as_the_brush_is_not_narrow() -> None:
    assert places(shapely.box(0, 0, 0.4, 0.0251)) == ()


@pytest.mark.parametrize("turn", [0.0, 31.0])
def test_a_twig_on_a_branch(turn: float) -> None:
    branch = shapely.union_all([shapely.box(0, 0, 1, 1), shapely.box(1, 0.4, 1.4, 0.418)])
    (place,) = places(affinity.rotate(branch, turn, origin=(0, 0)))
    assert not place.whole
    assert place.width == pytest.approx(18 * MM, abs=EXACT)
    assert place.length == pytest.approx(0.4, abs=0.04)  # not sampled at end and root


def test_a_stub_longer_than_wide_is_found() -> None:
    stub = shapely.union_all([shapely.box(0, 0, 1, 1), shapely.box(1, 0.4, 1.03, 0.418)])
    (place,) = places(stub)
    assert place.width == pytest.approx(18 * MM, abs=EXACT)


def test_a_ring_has_its_wall_thickness() -> None:
    ring = DISC.difference(shapely.Point(0, 0).buffer(0.488, quad_segs=512))
    (place,) = places(ring)
    assert place.whole
    assert place.width == pytest.approx(12 * MM, abs=EXACT)


def test_an_eccentric_ring_is_narrowest_where_the_circles_come_nearest() -> None:
    # By hand: 0.5 - (0.095 + 0.4) = 5 mm, at (0.4975, 0).
    ring = DISC.difference(shapely.Point(0.095, 0).buffer(0.4, quad_segs=512))
    (place,) = places(ring)
    assert place.width == pytest.approx(5 * MM, abs=EXACT)
    assert (place.x, place.y) == pytest.approx((0.4975, 0.0), abs=2 * MM)


def test_a_dumbbell_has_the_width_of_its_bar() -> None:
    ends = [shapely.Point(x, 0).buffer(0.2) for x in (0, 1)]
    (place,) = places(shapely.union_all([*ends, shapely.box(0, -0.0075, 1, 0.0075)]))
    assert place.width == pytest.approx(15 * MM, abs=EXACT)
    assert place.x == pytest.approx(0.5, abs=5 * MM)


def test_an_hourglass_has_the_width_of_its_waist() -> None:
    glass = [
        (-0.3, -0.3045),
        (0, -0.0045),
        (0.3, -0.3045),
        (0.3, 0.3045),
        (0, 0.0045),
        (-0.3, 0.3045),
    ]
    (place,) = places(shapely.Polygon(glass))
    assert place.width == pytest.approx(9 * MM, abs=EXACT)
    assert (place.x, place.y) == pytest.approx((0, 0), abs=EXACT)


def test_a_slanted_notch_against_a_straight_edge() -> None:
    # By construction: the notch's point is 9 mm below the edge y = 0.
    block = [
        (-0.3, -0.3),
        (-0.05, -0.3),
        (0, -0.009),
        (0.2, -0.3),
        (0.3, -0.3),
        (0.3, 0),
        (-0.3, 0),
    ]
    (place,) = places(shapely.Polygon(block))
    assert place.width == pytest.approx(9 * MM, abs=EXACT)
    assert (place.x, place.y) == pytest.approx((0, -0.0045), abs=EXACT)


def test_a_wave_line_has_its_width_along_its_whole_length() -> None:
    x = np.linspace(0, 2, 400)
    line = shapely.LineString(np.stack([x, 0.1 * np.sin(6 * x)], axis=1))
    (place,) = places(line.buffer(0.0055, quad_segs=32))
    assert place.width == pytest.approx(11 * MM, abs=EXACT)
    assert place.length == pytest.approx(line.length, rel=0.01)


def test_each_tooth_of_a_comb_is_a_place() -> None:
    teeth = [shapely.box(0.1 * i, 0.1, 0.1 * i + 0.006, 0.3) for i in range(10)]
    found = places(shapely.union_all([shapely.box(0, 0, 1, 0.1), *teeth]))
    assert [place.width for place in found] == pytest.approx([6 * MM] * 10, abs=EXACT)


def test_a_hole_near_the_edge() -> None:
    # By hand: the hole's lowest point is at 0.11 - 0.10 = 10 mm above the edge.
    plate = shapely.box(0, 0, 1, 1).difference(shapely.Point(0.5, 0.11).buffer(0.1, quad_segs=64))
    (place,) = places(plate)
    assert place.width == pytest.approx(10 * MM, abs=EXACT)
    assert (place.x, place.y) == pytest.approx((0.5, 0.005), abs=1 * MM)


@pytest.mark.parametrize("diameter", [0.005, 0.02])
def test_a_dot_smaller_than_the_brush_is_narrow_all_over(diameter: float) -> None:
    (place,) = places(shapely.Point(3, 2).buffer(diameter / 2, quad_segs=64))
    assert place.whole
    assert place.width == pytest.approx(diameter, rel=1e-3)
    assert (place.x, place.y) == pytest.approx((3, 2), abs=0.1 * MM)


@pytest.mark.parametrize("degrees", [15.0, 20.0, 30.0, 39.0, 60.0, 90.0, 120.0])
def test_an_acute_point_is_no_thin_feature(degrees: float) -> None:
    assert places(wedge(degrees)) == ()


def test_a_star_is_all_points_and_no_thin_feature() -> None:
    # Its points' angle by trigonometry: 2 atan(0.4 sin 36° / (1 - 0.4 cos 36°)) = 38.3°.
    assert places(star(0.4)) == ()


def test_square_triangle_and_disc_have_no_narrow_place() -> None:
    triangle = shapely.Polygon([(0, 0), (1, 0), (0.5, 0.8)])
    for shape in (shapely.box(0, 0, 0.4, 0.4), triangle, DISC):
        assert places(shape) == ()


def test_a_hair_that_tapers_slowly_is_a_thin_feature() -> None:
    # By trigonometry, a point of 4° is under 25 mm wide over 0.025 / (2 tan 2°) = 0.358 m.
    (place,) = places(wedge(4.0))
    assert place.point
    assert place.length == pytest.approx(0.358, abs=0.03)
    assert place.width < 5 * MM


def test_a_beam_that_ends_in_a_blunt_stub_is_no_point() -> None:
    # 22 mm wide where it leaves the block, 8 mm at its end: narrow all along, not a point.
    twig = shapely.Polygon([(0.99, 0.489), (1.5, 0.496), (1.5, 0.504), (0.99, 0.511)])
    (place,) = places(shapely.union_all([shapely.box(0, 0, 1, 1), twig]))
    assert place.width < 9 * MM
    assert place.length == pytest.approx(0.5, abs=0.05)


def test_a_blade_that_runs_out_is_a_point_and_even_twigs_are_not() -> None:
    blade = affinity.translate(wedge(6.0), 1.0, 0.5)
    twig = shapely.box(-0.4, 0.5, 0, 0.518)
    found = places(shapely.union_all([shapely.box(0, 0, 1.01, 1), blade, twig]))
    assert [(place.point, place.x > 0.5) for place in found] == [(False, False), (True, True)]


def test_a_shape_that_touches_itself_at_one_point_has_no_narrow_place() -> None:
    # A blunt wedge inside a frame, whose point just reaches the other side.
    frame = shapely.box(0, 0, 1, 1).difference(shapely.box(0.1, 0.1, 0.9, 0.9))
    touching = frame.union(shapely.Polygon([(0.1, 0.3), (0.9, 0.5), (0.1, 0.7)]))
    (shape,) = shapely.get_parts(touching)
    assert len(shape.interiors) == 2
    assert places(shape) == ()


def test_a_ragged_bar_is_found_all_the_same() -> None:
    # Edges as traced from pixels: 1 mm of noise on a bar of 18 mm, a step every 5 mm.
    rng = np.random.default_rng(5)
    x = np.arange(0, 0.6, 0.005)
    low = np.stack([x, rng.uniform(-MM, MM, len(x))], axis=1)
    high = np.stack([x, 0.018 + rng.uniform(-MM, MM, len(x))], axis=1)
    bar = shapely.Polygon(np.concatenate([low, high[::-1]]))
    found = places(shapely.union_all([bar, shapely.box(-1, -0.5, 0.01, 0.5)]))
    assert len(found) == 1
    assert 15 * MM < found[0].width < 19 * MM
    assert found[0].length == pytest.approx(0.6, abs=0.05)


def test_faces_are_told_apart() -> None:
    shapes = np.array(
        [shapely.box(0, 0, 1, 1), shapely.box(2, 0, 3, 0.01), shapely.box(0, 1.01, 1, 2)],
        dtype=object,
    )  # 10 mm between the first and the third is a gap, not a feature
    assert [place.face for place in geometry.narrow_places(shapes, LIMIT)] == [1]


def test_no_faces_have_no_narrow_places() -> None:
    assert geometry.narrow_places(np.empty(0, dtype=object), LIMIT) == ()


def test_a_limit_of_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        places(DISC, 0.0)
