"""Laws of placing and take-off that hold for any drawing on any wall."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
import shapely.affinity
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from giornata.core import artwork, foundation, setting_out, takeoff
from giornata.core.artwork import Drawing, Paint, Role, Shape
from giornata.core.geometry import OUTSIDE
from giornata.core.setting_out import ArtworkPlacement, PlacedArtwork
from giornata.core.takeoff import BrushAndRoller, TakeOff

COLOURS = ("#c9d6d5", "#5f9aa3", "#101418", "#d2553a")
PAINTS = tuple(
    Paint(
        number=i + 1,
        key=f"p{i + 1}",
        name=f"Paint {i + 1}",
        role=Role.FIGURE if i else Role.GROUND,
        artwork=(colour,),
    )
    for i, colour in enumerate(COLOURS)
)
CANVAS = (400.0, 60.0)
WALL = shapely.Polygon([(0, 0), (40, 0.9), (40, 4.0), (25, 4.0), (25, 5.2), (0, 5.2)])
FEW = settings(max_examples=40)

Part = tuple[shapely.Polygon, str]


@st.composite
def shapes(draw: st.DrawFn, least: int = 0, most: int = 8) -> list[Part]:
    """Convex shapes, some with a hole, in the canvas's units, bottom first."""
    found: list[Part] = []
    for _ in range(draw(st.integers(least, most))):
        x = draw(st.integers(-40, 440))
        y = draw(st.integers(-10, 70))
        corners = draw(
            st.lists(st.tuples(st.integers(-60, 60), st.integers(-30, 30)), min_size=3, max_size=7)
        )
        hull = shapely.convex_hull(shapely.MultiPoint([(x + a, y + b) for a, b in corners]))
        if not isinstance(hull, shapely.Polygon) or hull.area < 4:
            continue
        if draw(st.booleans()) and hull.buffer(-3).area > 4:
            hull = hull.difference(hull.buffer(-3, join_style="mitre"))
        found.append((hull, draw(st.sampled_from(COLOURS))))
    return found


@st.composite
def openings(draw: st.DrawFn) -> shapely.Polygon:
    """A gate or window somewhere on the wall, on a grid of quarter metres."""
    x, y = draw(st.integers(0, 140)) / 4, draw(st.integers(-4, 12)) / 4
    return shapely.box(x, y, x + draw(st.integers(1, 20)) / 4, y + draw(st.integers(1, 20)) / 4)


def drawing(parts: list[Part]) -> Drawing:
    return Drawing(
        name="law.svg",
        width=CANVAS[0],
        height=CANVAS[1],
        shapes=tuple(Shape(area=area, colour=colour) for area, colour in parts),
    )


def placed(
    parts: list[Part],
    net: shapely.Geometry = WALL,
    placement: ArtworkPlacement | None = None,
) -> PlacedArtwork:
    coverage, _ = artwork.painted(artwork.flattened(drawing(parts)), PAINTS)
    return setting_out.place(
        coverage,
        canvas=CANVAS,
        placement=placement or ArtworkPlacement(at=0.3, foot=-0.2, scale=0.1),
        net=net,
        paints=PAINTS,
    )


def taken(placed_artwork: PlacedArtwork) -> TakeOff:
    net = foundation.given("net area", placed_artwork.net_area, "m²", source="made for the test")
    return takeoff.take_off(placed_artwork, net_area=net, paints=PAINTS, tools=BrushAndRoller())


def by_paint(placed_artwork: PlacedArtwork) -> np.ndarray:
    coverage = placed_artwork.coverage
    return np.bincount(coverage.labels, weights=shapely.area(coverage.faces), minlength=5)


def by_pair(placed_artwork: PlacedArtwork) -> dict[tuple[int, int], float]:
    coverage = placed_artwork.coverage
    found: dict[tuple[int, int], float] = {}
    lengths = shapely.length(coverage.edges)
    for a, b, length in zip(coverage.left, coverage.right, lengths, strict=True):
        if a != OUTSIDE:
            found[int(a), int(b)] = found.get((int(a), int(b)), 0.0) + float(length)
    return found


@FEW
@given(shapes(), openings())
def test_areas_sum_to_the_net_wall(parts: list[Part], opening: shapely.Polygon) -> None:
    net = WALL.difference(opening)
    assume(net.area > 1)
    result = placed(parts, net)
    assert by_paint(result).sum() == pytest.approx(net.area, rel=1e-9)
    assert shapely.coverage_is_valid(result.coverage.faces)


@FEW
@given(shapes(), openings())
def test_quantities_agree_with_one_another(parts: list[Part], opening: shapely.Polygon) -> None:
    net = WALL.difference(opening)
    assume(net.area > 1)
    quantities = taken(placed(parts, net))
    total = float(quantities.edge)
    assert float(quantities.ground) + float(quantities.figure) == pytest.approx(
        float(quantities.net_area), rel=1e-9
    )
    assert sum(float(p.edge) for p in quantities.paints) == pytest.approx(2 * total, abs=1e-9)
    assert sum(float(p.cut) for p in quantities.paints) == pytest.approx(total, abs=1e-9)
    for paint in quantities.paints:
        assert 0 <= float(paint.rolled) <= float(paint.area)
        assert float(paint.rolled) + float(paint.brushed) == pytest.approx(float(paint.area))
    # A paint's whole boundary is its edges and its border.
    coverage = placed(parts, net).coverage
    for paint in quantities.paints:
        around = shapely.length(coverage.faces[coverage.labels == paint.number]).sum()
        assert float(paint.edge) + float(paint.border) == pytest.approx(around, abs=1e-6)


@FEW
@given(shapes(least=2), st.floats(0.2, 0.8), st.sampled_from(COLOURS))
def test_a_region_split_in_two_keeps_its_area_and_gains_its_cut_only_between_unlike_paints(
    parts: list[Part], share: float, other: str
) -> None:
    assume(parts)
    below, (area, colour) = parts[:-1], parts[-1]
    low, _, high, _ = area.bounds
    cut = low + share * (high - low)
    left = area.intersection(shapely.box(-500, -500, cut, 500))
    right = area.intersection(shapely.box(cut, -500, 900, 500))
    assume(left.area > 1 and right.area > 1 and 1 < cut < CANVAS[0] - 1)
    whole = placed([*below, (area, colour)])
    same = placed([*below, (left, colour), (right, colour)])
    assert by_paint(same) == pytest.approx(by_paint(whole), abs=1e-9)
    assert by_pair(same) == pytest.approx(by_pair(whole), abs=1e-7)
    split = placed([*below, (left, colour), (right, other)])
    assert by_paint(split).sum() == pytest.approx(by_paint(whole).sum(), rel=1e-9)
    if other != colour:
        # The cut's length on the wall, from the shape alone: nothing lies over the last shape.
        wall_cut = shapely.affinity.affine_transform(
            area.intersection(shapely.LineString([(cut, 0), (cut, 60)])),
            [0.1, 0, 0, -0.1, 0.3, -0.2 + 6.0],
        ).intersection(WALL)
        pair = tuple(sorted((COLOURS.index(colour) + 1, COLOURS.index(other) + 1)))
        assert by_pair(split).get(pair, 0.0) >= wall_cut.length - 1e-6


@FEW
@given(shapes(), st.integers(-80, 80))
def test_moving_the_datum_moves_nothing_else(parts: list[Part], quarters: int) -> None:
    by = quarters / 4
    here = placed(parts)
    there = placed(
        parts,
        shapely.affinity.translate(WALL, by, 0),
        ArtworkPlacement(at=0.3 + by, foot=-0.2, scale=0.1),
    )
    assert by_paint(there) == pytest.approx(by_paint(here), abs=1e-8)
    assert by_pair(there) == pytest.approx(by_pair(here), abs=1e-6)


@FEW
@given(shapes(), openings())
def test_adding_an_opening_never_adds_paint(parts: list[Part], opening: shapely.Polygon) -> None:
    net = WALL.difference(opening)
    assume(net.area > 1)
    before, after = placed(parts), placed(parts, net)
    assert (by_paint(after) <= by_paint(before) + 1e-9).all()
    lengths = by_pair(before)
    for pair, length in by_pair(after).items():
        assert length <= lengths.get(pair, 0.0) + 1e-7


@FEW
@given(
    st.floats(-100, 100),
    st.floats(-10, 10),
    st.floats(0.001, 1000),
    st.booleans(),
    st.tuples(st.floats(1, 1e5), st.floats(1, 1e5)),
    st.lists(st.tuples(st.floats(-1e5, 1e5), st.floats(-1e5, 1e5)), min_size=1, max_size=5),
)
def test_artwork_from_wall_undoes_wall_from_artwork(
    at: float,
    foot: float,
    width: float,
    mirrored: bool,
    canvas: tuple[float, float],
    points: list[tuple[float, float]],
) -> None:
    placement = ArtworkPlacement(at=at, foot=foot, width=width, mirrored=mirrored)
    there = foundation.affine_applied(setting_out.wall_from_artwork(placement, canvas), points)
    back = foundation.affine_applied(setting_out.artwork_from_wall(placement, canvas), there)
    # An offset of 100 m in doubles is good to 1e-14 m, seen through the scale.
    room = 1e-9 * max(1.0, canvas[0] / width)
    assert back == pytest.approx(np.array(points), rel=1e-9, abs=room)


@FEW
@given(
    st.lists(st.sampled_from(COLOURS), min_size=2, max_size=8), st.randoms(use_true_random=False)
)
def test_the_order_of_shapes_that_do_not_overlap_is_of_no_account(
    colours: list[str], order: object
) -> None:
    parts = [
        (shapely.Point(30 + 45 * i, 30).buffer(20, quad_segs=4), colour)
        for i, colour in enumerate(colours)
    ]
    shuffled = list(parts)
    order.shuffle(shuffled)  # type: ignore[attr-defined]
    first, second = placed(parts), placed(shuffled)
    assert by_paint(first) == pytest.approx(by_paint(second), rel=1e-12)
    assert by_pair(first) == pytest.approx(by_pair(second), rel=1e-12)


@FEW
@given(shapes(least=1))
def test_a_mirrored_artwork_on_a_level_wall_has_the_same_quantities(parts: list[Part]) -> None:
    level = shapely.box(0, 0, 40, 6)
    plain = placed(parts, level, ArtworkPlacement(scale=0.1))
    turned = placed(parts, level, ArtworkPlacement(scale=0.1, mirrored=True))
    assert by_paint(turned) == pytest.approx(by_paint(plain), abs=1e-9)
    assert by_pair(turned) == pytest.approx(by_pair(plain), abs=1e-7)
