"""Edge length read from pictures of shapes whose length is known, within 0.15 %.

The shapes are drawn by Skia as polygons, antialiased; their length is that of the polygon (of
curves it is theirs to better than 0.01 %). Each is drawn three times, a part of a pixel apart.
"""

from __future__ import annotations

import io

import numpy as np
import pytest
import shapely
import skia
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from PIL import Image

from giornata.core import artwork
from giornata.core.foundation import Finding, Severity

ASKED = 0.0015
GROUND, PAINT = (244, 239, 227), (30, 61, 89)
Points = NDArray[np.float64]


def drawn(shapes: list[Points], size: tuple[int, int], paint: tuple[int, int, int]) -> Points:
    surface = np.zeros((size[1], size[0], 4), np.uint8)
    canvas = skia.Surface(surface).getCanvas()
    canvas.clear(skia.Color(*GROUND))
    for points in shapes:
        path = skia.Path()
        path.addPoly([skia.Point(*point) for point in points.tolist()], True)
        canvas.drawPath(path, skia.Paint(AntiAlias=True, Color=skia.Color(*paint)))
    return surface[:, :, :3].copy()


def saved(picture: Points, quality: int) -> Points:
    file = io.BytesIO()
    Image.fromarray(picture).save(file, "JPEG", quality=quality)
    return np.asarray(Image.open(file))


def traced(picture: Points, quality: int | None = None) -> tuple[artwork.Traced, Points]:
    if quality is not None:
        picture = saved(picture, quality)
    palette, _ = artwork.flat_palette(picture, name="test")
    assert palette is not None
    return artwork.traced(picture, palette), palette.levels.astype(int)


def length_of(found: artwork.Traced, levels: Points, paint: tuple[int, int, int]) -> float:
    number = int(np.abs(levels - paint).sum(axis=1).argmin())
    outlines = found.outlines()
    return float(shapely.length(outlines.regions[outlines.paint == number]).sum())


def ring(radius: NDArray[np.float64]) -> Points:
    turn = np.linspace(0, 2 * np.pi, len(radius), endpoint=False)
    return np.stack([radius * np.cos(turn), radius * np.sin(turn)], axis=1)


def bar(size: float, degrees: float) -> Points:
    turn = np.radians(degrees)
    way = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return np.array([[-1, -0.3], [1, -0.3], [1, 0.3], [-1, 0.3]]) * size @ way


def star(size: float, points: int, inner: float) -> Points:
    turn = np.arange(2 * points) * np.pi / points + 0.1
    radius = size * np.where(np.arange(2 * points) % 2, inner, 1.0)
    return np.stack([radius * np.cos(turn), radius * np.sin(turn)], axis=1)


def wave(size: float, waves: int, height: float) -> Points:
    turn = np.linspace(0, 2 * np.pi, 3_000, endpoint=False)
    return ring(size * (1 + height * np.sin(waves * turn)))


LETTERS = {
    "E": "0 0 70 0 70 18 20 18 20 41 60 41 60 59 20 59 20 82 70 82 70 100 0 100",
    "K": "0 0 20 0 20 42 55 0 80 0 40 48 82 100 58 100 27 61 20 69 20 100 0 100",
    "M": "0 0 22 0 50 50 78 0 100 0 100 100 80 100 80 35 50 87 20 35 20 100 0 100",
    "A": "40 0 60 0 100 100 79 100 70 77 30 77 21 100 0 100",
}


def letter(name: str, size: float, degrees: float) -> Points:
    turn = np.radians(degrees)
    way = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    return (np.array(LETTERS[name].split(), float).reshape(-1, 2) / 100 - 0.5) * size @ way


def leaf(size: float, degrees: float) -> Points:
    """Two arcs that meet at both ends at an angle."""
    half = 0.5 * np.radians(degrees)
    radius = size / np.sin(half)
    turn = np.linspace(-half, half, 400)
    arc = np.stack([np.sin(turn), np.cos(turn) - np.cos(half)], axis=1) * radius
    return np.concatenate([arc[:-1], -arc[:-1]])


def thrice(
    shape: Points, size: float, quality: int | None = None
) -> tuple[list[Points], artwork.Traced, Points]:
    """A shape drawn three times, and the picture read."""
    cell = round(2.5 * size)
    shapes = [
        shape + np.array([(at + 0.5) * cell + part, 0.5 * cell - 0.7 * part])
        for at, part in enumerate((0.0, 0.31, 0.57))
    ]
    return shapes, *traced(drawn(shapes, (3 * cell, cell), PAINT), quality)


def off(shape: Points, size: float, quality: int | None = None) -> float:
    """How much too long the edge of a shape comes out, as a share."""
    _, found, levels = thrice(shape, size, quality)
    return length_of(found, levels, PAINT) / (3 * shapely.Polygon(shape).length) - 1


@pytest.mark.parametrize("size", [15.0, 40.0, 100.0, 250.0])
def test_n14_a_circle_has_the_length_of_its_curve(size: float) -> None:
    assert off(ring(np.full(720, size)), size) == pytest.approx(0.0, abs=ASKED)


@pytest.mark.parametrize("degrees", [0.0, 1.0, 7.0, 14.0, 22.5, 30.0, 45.0, 63.0])
@pytest.mark.parametrize("size", [100.0, 250.0])
def test_straight_edges_have_their_length_at_any_angle(size: float, degrees: float) -> None:
    assert off(bar(size, degrees), size) == pytest.approx(0.0, abs=ASKED)


@pytest.mark.parametrize(
    ("size", "waves", "height"), [(100, 9, 0.12), (250, 9, 0.12), (250, 20, 0.08)]
)
def test_a_waving_edge_has_its_length(size: float, waves: int, height: float) -> None:
    # In polar coordinates a trough at r = size (1 - height) bends with the radius
    # r² / (size × height × waves² - r): 9, 22 and 7 px.
    assert off(wave(size, waves, height), size) == pytest.approx(0.0, abs=ASKED)


@pytest.mark.parametrize(("points", "inner"), [(5, 0.382), (5, 0.5), (8, 0.7)])
@pytest.mark.parametrize("size", [40.0, 100.0, 250.0])
def test_a_star_keeps_its_tips(size: float, points: int, inner: float) -> None:
    # 0.9 % short at size 100 with tips of 36° that ended where they are thinner than a pixel.
    assert off(star(size, points, inner), size) == pytest.approx(0.0, abs=ASKED)


@pytest.mark.parametrize("name", list(LETTERS))
@pytest.mark.parametrize(("size", "degrees"), [(200.0, 0.0), (100.0, 6.0)])
def test_a_letter_of_straight_strokes_keeps_its_corners(
    name: str, size: float, degrees: float
) -> None:
    assert off(letter(name, size, degrees), 0.55 * size) == pytest.approx(0.0, abs=ASKED)


@pytest.mark.parametrize("quality", [60, 75, 85])
def test_corners_and_tips_come_back_from_jpeg(quality: int) -> None:
    # 0.3 to 2 % short where corners were left as the filters blunt them.
    assert off(bar(150.0, 7.0), 150, quality) == pytest.approx(0.0, abs=ASKED)
    assert off(star(150.0, 5, 0.382), 150, quality) == pytest.approx(0.0, abs=ASKED)
    assert off(letter("K", 300.0, 6.0), 160, quality) == pytest.approx(0.0, abs=ASKED)
    assert off(letter("M", 300.0, 0.0), 160, quality) == pytest.approx(0.0, abs=ASKED)


@pytest.mark.parametrize("quality", [None, 60, 85])
def test_tips_between_curves_come_back(quality: int | None) -> None:
    # 0.8 % short in JPEG before; legs drawn on straight would make it 0.8 % too long.
    assert off(leaf(150.0, 50.0), 150, quality) == pytest.approx(0.0, abs=ASKED)


@pytest.mark.parametrize("quality", [None, 60, 85])
@pytest.mark.parametrize("degrees", [0.0, 17.0])
def test_round_corners_stay_round(degrees: float, quality: int | None) -> None:
    # Where its sides would meet, a square corner rounded with 5 px is 5 (√2 - 1) = 2.1 px away.
    turn = np.radians(degrees)
    way = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    box = shapely.Polygon(bar(100.0, 0.0)).buffer(-5).buffer(5, quad_segs=64)
    shapes, found, levels = thrice(np.array(box.exterior.coords[:-1]) @ way, 100.0, quality)
    number = int(np.abs(levels - PAINT).sum(axis=1).argmin())
    outlines = found.outlines()
    points = shapely.points(shapely.get_coordinates(outlines.regions[outlines.paint == number]))
    drawn_edges = shapely.union_all([shapely.Polygon(shape).boundary for shape in shapes])
    assert shapely.distance(points, drawn_edges).max() < 0.6


@pytest.mark.parametrize("quality", [None, 60, 85])
def test_a_corner_is_where_it_was_drawn(quality: int | None) -> None:
    shapes, found, levels = thrice(star(150.0, 5, 0.382), 150.0, quality)
    number = int(np.abs(levels - PAINT).sum(axis=1).argmin())
    outlines = found.outlines()
    edge = shapely.union_all(shapely.boundary(outlines.regions[outlines.paint == number]))
    away = shapely.distance(shapely.points(np.concatenate(shapes)), edge)
    # An edge is right to 0.03 px, in JPEG to 0.1; at a tip of 36° that is 1 / sin 18° = 3.2 times.
    assert np.sqrt((away**2).mean()) < (0.1 if quality is None else 0.3)


@pytest.mark.parametrize("quality", [None, 60])
@pytest.mark.parametrize("gap", [0.2, 0.7, 1.5, 3.0])
def test_tips_that_nearly_touch_leave_a_tiling(gap: float, quality: int | None) -> None:
    # Both tips end in cells between pixel centres where there is nothing else.
    tip = np.array([[0.0, 0.0], [60.0, 14.0], [60.0, -14.0]])
    middle = np.array([80.3, 40.6])
    shapes = [middle + tip + (gap / 2, 0.3), middle - tip - (gap / 2, 0.3)]
    found, _ = traced(drawn(shapes, (160, 80), PAINT), quality)
    for tolerance in (0.0, 0.25, 2.0):
        regions = found.outlines(tolerance=tolerance).regions
        assert shapely.is_valid(regions).all()
        assert shapely.coverage_is_valid(regions)
        assert shapely.area(regions).sum() == pytest.approx(160 * 80, rel=1e-9)


@given(st.integers(0, 2**32 - 1), st.sampled_from([None, 45, 60, 90]))
@settings(max_examples=25)
def test_any_picture_of_corners_is_tiled(seed: int, quality: int | None) -> None:
    rng = np.random.default_rng(seed)
    shapes = []
    for _ in range(int(rng.integers(1, 12))):
        place = rng.uniform(0, (120, 90))
        if rng.integers(2):
            shapes.append(star(rng.uniform(8, 50), int(rng.integers(3, 9)), 0.4) + place)
        else:
            shapes.append(letter("EKMA"[rng.integers(4)], rng.uniform(10, 60), 360 * rng.random()))
            shapes[-1] += place
    surface = drawn(shapes[::2], (120, 90), PAINT)
    over = drawn(shapes[1::2], (120, 90), (193, 84, 43))
    surface = np.where((over == GROUND).all(axis=2, keepdims=True), surface, over)
    if quality is not None:
        surface = saved(surface, quality)
    palette, _ = artwork.flat_palette(surface, name="test")
    assume(palette is not None)
    found = artwork.traced(surface, palette)
    for tolerance in (0.0, 0.25):
        regions = found.outlines(tolerance=tolerance).regions
        assert shapely.is_valid(regions).all()
        assert shapely.coverage_is_valid(regions)
        assert shapely.area(regions).sum() == pytest.approx(120 * 90, rel=1e-9)


def faint(levels: int, quality: int) -> tuple[float, tuple[Finding, ...]]:
    """Circles that are darker than the ground by so many levels: error of length, findings."""
    paint = tuple(level - levels for level in GROUND)
    rng = np.random.default_rng(1)
    radii, shifts = rng.uniform(35, 100, 24), rng.uniform(-9, 9, (24, 2))
    shapes = [
        ring(np.full(720, radius)) + 240 * np.array([at % 6 + 0.5, at // 6 + 0.5]) + shift
        for at, (radius, shift) in enumerate(zip(radii, shifts, strict=True))
    ]
    found, known = traced(drawn(shapes, (1_440, 960), paint), quality)
    findings = artwork.faint_edges(found, ["#one", "#two"], name="wall.jpg")
    return length_of(found, known, paint) / (2 * np.pi * radii.sum()) - 1, findings


@pytest.mark.parametrize(("levels", "allowed"), [(10, 0.006), (15, 0.002), (20, 0.0015)])
def test_edges_between_like_paints_of_a_lossy_picture(levels: int, allowed: float) -> None:
    # 0.0100, 0.0038 and 0.0028 with the filter that is right for plain edges.
    long, findings = faint(levels, 60)
    assert long == pytest.approx(0.0, abs=allowed)
    assert [f.code for f in findings] == ["artwork.faint_edges"] * (levels < 15)


def test_edges_between_like_paints_are_told_with_their_number() -> None:
    (finding,) = faint(10, 60)[1]
    assert finding.severity is Severity.NOTE
    assert "differ by 10 of 255 levels" in finding.message
    assert "0.5 % too long" in finding.message
    crisp, _ = traced(drawn([ring(np.full(720, 40.0)) + 50], (100, 100), PAINT))
    assert artwork.faint_edges(crisp, ["#one", "#two"], name="wall.png") == ()
