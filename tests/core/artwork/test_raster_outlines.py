"""Outlines of flat regions: they tile the picture, and areas and lengths are those of the shapes.

Truth is known by construction (pixels counted, circles and polygons by formula) or by an
independent library: scipy's connected regions, GEOS's test of a coverage, resvg's rendering.
"""

from __future__ import annotations

import io

import numpy as np
import pytest
import resvg_py
import shapely
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from scipy import ndimage, special
from shapely import affinity

from giornata.core import artwork
from giornata.core.artwork.raster_mixture import Mixture, MixtureSum
from giornata.core.artwork.raster_rows import Tile
from giornata.core.artwork.raster_sides import edges

Pixels = NDArray[np.uint8]
PITCH = 0.01  # m on the wall to a pixel
PALE, INK = (240, 235, 225), (20, 24, 40)


def outlined(
    picture: Pixels, tolerance: float = 0.25
) -> tuple[artwork.FlatPalette, artwork.Traced, artwork.Outlines]:
    palette, findings = artwork.flat_palette(picture, name="test")
    assert findings == ()
    assert palette is not None
    mix = artwork.traced(picture, palette)
    return palette, mix, mix.outlines(tolerance=tolerance)


def regions(picture: Pixels, colour: tuple[int, ...], tolerance: float = 0.25) -> shapely.Geometry:
    """All of one paint."""
    palette, _, found = outlined(picture, tolerance)
    (at,) = np.flatnonzero((palette.levels == colour).all(axis=1))
    return shapely.union_all(found.regions[found.paint == at])


def rendered(svg: str) -> Pixels:
    data = bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96))
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB"))


def hard(shape: shapely.Geometry, width: int, height: int) -> Pixels:
    """Pixels whose centres lie in a shape, in ink on pale."""
    y, x = np.mgrid[0:height, 0:width] + 0.5
    inside = shapely.contains_xy(shape, x, y)
    return np.where(inside[..., None], np.array(INK), np.array(PALE)).astype(np.uint8)


def sampled(shape: shapely.Geometry, width: int, height: int, fine: int = 16) -> Pixels:
    """The same with antialiased edges: the share of 16 × 16 points of a pixel in the shape."""
    y, x = (np.mgrid[0 : height * fine, 0 : width * fine] + 0.5) / fine
    inside = shapely.contains_xy(shape, x, y).reshape(height, fine, width, fine)
    share = inside.mean(axis=(1, 3))[..., None]
    return np.rint(share * INK + (1 - share) * np.array(PALE)).astype(np.uint8)


def test_n13_black_of_a_flat_picture_in_square_metres() -> None:
    # 6120 × 290 px at 10 mm to a pixel, 412,300 of them black: 41.23 m² of 177.48 m².
    picture = Image.new("L", (6_120, 290), 255)
    draw = ImageDraw.Draw(picture)
    for n in range(9):
        draw.ellipse((60 + 500 * n, 20, 60 + 500 * n + 150 + 6 * n, 250 - 5 * n), fill=0)
        draw.polygon([(260 + 500 * n, 270), (300 + 500 * n, 30 + 4 * n), (400 + 500 * n, 200)], 0)
    left = 412_300 - int((np.asarray(picture) == 0).sum())
    rows, rest = divmod(left, 1_100)  # the remainder as a block of whole rows and one part row
    assert 0 < rows < 200
    draw.rectangle((4_900, 40, 4_900 + 1_100 - 1, 40 + rows - 1), fill=0)
    draw.rectangle((4_900, 40 + rows, 4_900 + rest - 1, 40 + rows), fill=0)
    levels = np.asarray(picture)[..., None]
    assert int((levels == 0).sum()) == 412_300
    black = regions(levels, (0,)).area * PITCH**2
    one_row = 6_120 * PITCH**2
    assert black == pytest.approx(41.23, abs=one_row)
    assert black == pytest.approx(41.23, rel=0.001)  # and far nearer than a row
    _, _, found = outlined(levels)
    wall = 6_120 * 290 * PITCH**2
    assert shapely.area(found.regions).sum() * PITCH**2 == pytest.approx(wall, rel=1e-9)
    assert black / wall == pytest.approx(0.232, abs=0.0005)


def test_n14_edge_length_of_a_circle_of_hard_pixels() -> None:
    # Radius 1 m at 10 mm to a pixel: 2π = 6.283 m. Counting pixel sides gives 8.0 m.
    circle = hard(shapely.Point(120, 120).buffer(100, quad_segs=256), 240, 240)
    ink = (circle == INK).all(axis=2)
    sides = int((ink[1:] != ink[:-1]).sum() + (ink[:, 1:] != ink[:, :-1]).sum())
    assert sides * PITCH == pytest.approx(8.0, abs=0.05)
    outline = regions(circle, INK)
    assert outline.length * PITCH == pytest.approx(2 * np.pi, rel=0.005)  # needed: 2 %
    assert outline.area * PITCH**2 == pytest.approx(np.pi, rel=0.001)


@pytest.mark.parametrize("radius", [20.0, 100.0, 200.0])
def test_n14_edge_length_of_an_antialiased_circle(radius: float) -> None:
    side = int(2 * radius + 20)
    centre = (side / 2 + 0.3, side / 2 - 0.4)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}" height="{side}">'
        f'<rect width="{side}" height="{side}" fill="rgb{PALE}"/>'
        f'<circle cx="{centre[0]}" cy="{centre[1]}" r="{radius}" fill="rgb{INK}"/></svg>'
    )
    outline = regions(rendered(svg), INK)
    assert outline.length == pytest.approx(2 * np.pi * radius, rel=0.001)
    # A vertex lies on the chord between two crossings: some 3 px² of any round shape are lost.
    assert outline.area == pytest.approx(np.pi * radius**2, rel=0.0005, abs=4.0)
    truth = shapely.Point(centre).buffer(radius, quad_segs=512).boundary
    assert shapely.hausdorff_distance(outline.boundary, truth, 0.01) < 0.25


def test_an_exactly_sampled_circle_comes_back_to_a_hundredth_of_a_pixel() -> None:
    circle = shapely.Point(70.3, 69.6).buffer(55, quad_segs=256)
    outline = regions(sampled(circle, 140, 140), INK)
    assert outline.length == pytest.approx(2 * np.pi * 55, rel=0.0005)
    off = shapely.distance(shapely.points(outline.exterior.coords), circle.boundary)
    assert np.sqrt((off**2).mean()) < 0.01


@pytest.mark.parametrize("turn", [3.0, 17.0, 30.0, 45.0])
def test_straight_edges_and_corners_of_a_turned_rectangle(turn: float) -> None:
    shape = affinity.rotate(shapely.box(30.3, 50.6, 190.1, 130.2), turn)
    outline = regions(sampled(shape, 220, 220), INK)
    assert outline.length == pytest.approx(shape.length, rel=0.001)
    assert outline.area == pytest.approx(shape.area, rel=0.0005)
    assert shapely.hausdorff_distance(outline, shape) < 0.3


@pytest.mark.parametrize(
    "box", [(30, 40, 150, 90), (30.25, 40.5, 150.75, 90.125), (9.9, 10.1, 22.2, 90)]
)
def test_a_rectangle_comes_back_with_its_corners(box: tuple[float, ...]) -> None:
    # Shares of an upright rectangle by multiplication of its overlaps with rows and columns.
    left, top, right, bottom = box
    x, y = np.arange(180.0), np.arange(120.0)
    wide = np.clip(np.minimum(x + 1, right) - np.maximum(x, left), 0, 1)
    high = np.clip(np.minimum(y + 1, bottom) - np.maximum(y, top), 0, 1)
    share = np.outer(high, wide)[..., None]
    picture = np.rint(share * INK + (1 - share) * np.array(PALE)).astype(np.uint8)
    outline = regions(picture, INK)
    assert outline.area == pytest.approx((right - left) * (bottom - top), abs=0.5)
    assert shapely.hausdorff_distance(outline, shapely.box(*box)) < 0.02
    assert len(outline.exterior.coords) <= 7


@pytest.mark.parametrize("width", [1.3, 1.8, 2.4, 3.0])
@pytest.mark.parametrize("left", [10.0, 10.3, 10.5, 10.9])
def test_an_upright_bar_keeps_its_width(left: float, width: float) -> None:
    x = np.arange(40.0)
    share = np.clip(np.minimum(x + 1, left + width) - np.maximum(x, left), 0, 1)[None, :, None]
    bar = np.rint(share * INK + (1 - share) * np.array(PALE)).astype(np.uint8)
    picture = np.concatenate([np.repeat(bar, 80, axis=0), np.full((9, 40, 3), INK, np.uint8)])
    outline = regions(picture, INK)  # the bar stands on a base, which vouches for the ink
    assert outline.area - 9 * 40 == pytest.approx(80 * width, rel=0.02)


def shown(found: artwork.Outlines, height: int, width: int) -> NDArray[np.intp]:
    """Paint of the region that holds each pixel's centre."""
    y, x = np.mgrid[0:height, 0:width] + 0.5
    tree = shapely.STRtree(found.regions)
    point, region = tree.query(shapely.points(x.ravel(), y.ravel()), predicate="within")
    assert len(point) == height * width  # each in one region, none on an edge
    paint = np.empty(height * width, np.intp)
    paint[point] = found.paint[region]
    return paint.reshape(height, width)


def test_hard_stripes_have_straight_edges_and_four_corners() -> None:
    picture = np.zeros((60, 90, 1), np.uint8)
    picture[20:40, 10:70] = 200
    _, _, found = outlined(picture)
    inner = min(found.regions, key=shapely.area)
    assert inner.equals(shapely.box(10, 20, 70, 40))
    outer = max(found.regions, key=shapely.area)
    assert outer.equals(shapely.box(0, 0, 90, 60).difference(shapely.box(10, 20, 70, 40)))


def test_diagonal_lines_one_pixel_wide_stay_connected() -> None:
    picture = np.full((40, 40, 1), 255, np.uint8)
    picture[np.arange(5, 35), np.arange(5, 35)] = 0
    palette, _, found = outlined(picture)
    black = found.regions[palette.levels[found.paint, 0] == 0]
    assert len(black) == 1
    # Drawn as a stroke through 30 pixel centres; its pixels have 30 px².
    assert black[0].area == pytest.approx(30, abs=4)


@given(st.integers(1, 14), st.integers(1, 14), st.integers(1, 4), st.integers(0, 2**32 - 1))
def test_any_hard_picture_is_tiled(height: int, width: int, paints: int, seed: int) -> None:
    label = np.random.default_rng(seed).integers(0, paints, (height, width))
    picture = (label * 80).astype(np.uint8)[..., None]
    for tolerance in (0.0, 0.25):
        levels, pixels = np.unique(picture, return_counts=True)
        palette = artwork.FlatPalette(levels=levels[:, None], pixels=pixels, soft=False, hard=True)
        mix = artwork.traced(picture, palette)
        found = mix.outlines(tolerance=tolerance)
        assert shapely.is_valid(found.regions).all()
        assert shapely.coverage_is_valid(found.regions)
        assert shapely.area(found.regions).sum() == pytest.approx(height * width, rel=1e-9)
        assert shapely.union_all(found.regions).equals(shapely.box(0, 0, width, height))
        assert mix.total.areas.tolist() == pixels.tolist()
        assert (shown(found, height, width) == np.searchsorted(levels, picture[..., 0])).all()
        for at, level in enumerate(palette.levels[:, 0]):
            # Pixels that touch at a corner may count as joined or not; scipy knows both ways.
            most = ndimage.label(label * 80 == level)[1]
            fewest = ndimage.label(label * 80 == level, structure=np.ones((3, 3)))[1]
            assert fewest <= int((found.paint == at).sum()) <= most


@given(st.integers(0, 2**32 - 1), st.integers(2, 5))
def test_any_mixed_picture_is_tiled(seed: int, paints: int) -> None:
    # Random shares everywhere: nothing that was ever drawn, and still a valid tiling.
    rng = np.random.default_rng(seed)
    shape = (17, 23)
    paint = rng.integers(0, paints, shape).astype(np.uint8)
    other = rng.integers(0, paints, shape).astype(np.uint8)
    share = np.where(other == paint, 255, rng.integers(128, 256, shape)).astype(np.uint8)
    total = MixtureSum(
        height=17,
        width=23,
        light=False,
        mixed=int((share < 255).sum()),
        areas=np.bincount(paint.ravel(), minlength=paints).astype(float),
        unexplained=np.empty(0, np.int64),
        strange=np.empty((0, 1), np.uint8),
    )
    whole = Tile(levels=paint[..., None], row=0, column=0, top=0, end=17, left=0, right=23)
    met = edges(Mixture(paint=paint, other=other, share=share, total=total), whole)
    mix = artwork.Traced(total=total, edges=met, apart=None)
    for tolerance in (0.0, 0.25, 2.0):
        found = mix.outlines(tolerance=tolerance)
        assert shapely.is_valid(found.regions).all()
        assert shapely.coverage_is_valid(found.regions)
        assert shapely.area(found.regions).sum() == pytest.approx(17 * 23, rel=1e-9)
        assert (shown(found, *shape) == paint).all()


def analytic() -> tuple[str, dict[str, tuple[float, float]]]:
    """A picture of shapes that do not touch: area and length of the edge of each by formula."""
    width, height = 3_000, 1_400
    ellipse_length = 4 * 310 * special.ellipe(1 - (170 / 310) ** 2)  # a = 310, b = 170
    triangle = shapely.Polygon([(1_950.4, 120.7), (2_600.2, 260.1), (2_080.9, 640.3)])
    shapes = {
        "#1e3d59": (np.pi * 260.5**2, 2 * np.pi * 260.5),
        "#17a398": (np.pi * 310 * 170, ellipse_length),
        "#ff6e40": (640.5 * 330.25, 2 * (640.5 + 330.25)),
        "#8b2635": (triangle.area, triangle.length),
        "#ffc13b": (np.pi * (240**2 - 110.5**2), 2 * np.pi * (240 + 110.5)),
        "#1b1b1e": (
            700.2 * 300.4 - (4 - np.pi) * 80**2,  # corners rounded at 80
            2 * (700.2 + 300.4) - 8 * 80 + 2 * np.pi * 80,
        ),
    }
    rest = width * height - sum(a for a, _ in shapes.values())
    edges = sum(length for _, length in shapes.values()) + 2 * (width + height)
    svg = f"""<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}">
    <rect width="{width}" height="{height}" fill="#f4efe3"/>
    <circle cx="330.3" cy="330.8" r="260.5" fill="#1e3d59"/>
    <ellipse cx="1000.7" cy="300.2" rx="310" ry="170" fill="#17a398"
      transform="rotate(23 1000.7 300.2)"/>
    <rect x="1260.2" y="820.6" width="640.5" height="330.25" fill="#ff6e40"
      transform="rotate(-11 1580 985)"/>
    <polygon points="1950.4,120.7 2600.2,260.1 2080.9,640.3" fill="#8b2635"/>
    <circle cx="450.2" cy="1010.7" r="175.25" fill="none" stroke="#ffc13b" stroke-width="129.5"/>
    <rect x="2100.6" y="900.3" width="700.2" height="300.4" rx="80" fill="#1b1b1e"/></svg>"""
    return svg, {"#f4efe3": (rest, edges), **shapes}


@pytest.mark.parametrize(
    ("quality", "area_within", "length_within"),
    [(None, 0.0004, 0.001), (60, 0.001, 0.004), (85, 0.001, 0.004)],
)
def test_areas_and_lengths_of_a_rendered_picture(
    quality: int | None, area_within: float, length_within: float
) -> None:
    svg, truth = analytic()
    picture = rendered(svg)
    if quality:
        file = io.BytesIO()
        Image.fromarray(picture).save(file, "JPEG", quality=quality)
        picture = np.asarray(Image.open(file))
    palette, mix, found = outlined(picture)
    assert len(palette.levels) == len(truth)
    assert len(found.regions) == 8  # the ground in two parts: inside the ring and outside
    assert shapely.coverage_is_valid(found.regions)
    assert shapely.area(found.regions).sum() == pytest.approx(3_000 * 1_400, rel=1e-9)
    # JPEG blunts the triangle's tips, so that it alone is allowed more.
    edge = sum(length for _, length in truth.values())
    assert shapely.length(found.regions).sum() == pytest.approx(edge, rel=0.0015)
    for colour, (area, length) in truth.items():
        rgb = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
        apart = np.abs(palette.levels.astype(int) - rgb).max(axis=1)
        at = int(apart.argmin())
        assert apart[at] <= (2 if quality else 0)
        own = found.regions[found.paint == at]
        assert shapely.area(own).sum() == pytest.approx(area, rel=area_within)
        assert shapely.length(own).sum() == pytest.approx(length, rel=length_within)
        assert shapely.area(own).sum() == pytest.approx(mix.total.areas[at], rel=0.0005)


def test_simplifying_keeps_area_and_length_within_the_tolerance() -> None:
    svg, _ = analytic()
    palette, findings = artwork.flat_palette(rendered(svg), name="test")
    assert findings == ()
    assert palette is not None
    mix = artwork.traced(rendered(svg), palette)
    full, few = mix.outlines(tolerance=0), mix.outlines()
    assert shapely.get_num_coordinates(few.regions).sum() < 0.3 * (
        shapely.get_num_coordinates(full.regions).sum()
    )
    for paint in range(len(palette.levels)):
        before = shapely.area(full.regions[full.paint == paint]).sum()
        after = shapely.area(few.regions[few.paint == paint]).sum()
        assert after == pytest.approx(before, rel=0.0002)


def test_a_chessboard_of_single_pixels_takes_no_time() -> None:
    # 90,000 corners at which the paints cross; a general simplifier took minutes.
    board = (np.indices((300, 300)).sum(axis=0) % 2 * 255).astype(np.uint8)[..., None]
    _, _, found = outlined(board)
    assert shapely.is_valid(found.regions).all()
    assert shapely.area(found.regions).sum() == pytest.approx(90_000, rel=1e-9)
    # The paint that keeps its connections makes the diagonals of the board: 299 of one paint, or
    # 300 of the other (by construction, corners of one pixel among them).
    assert 299 <= len(found.regions) <= 600


def test_a_negative_tolerance_is_refused() -> None:
    _, mix, _ = outlined(np.zeros((3, 3, 1), np.uint8))
    with pytest.raises(ValueError, match="negative"):
        mix.outlines(tolerance=-0.1)
