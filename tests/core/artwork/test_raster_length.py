"""Edge length read from pictures of shapes whose length is known, within 0.15 %.

The shapes are drawn by Skia as polygons, antialiased; their length is that of the polygon (of a
circle and of a wave it is the curve's to better than 0.01 %). Each is drawn three times, a part of
a pixel apart.
"""

from __future__ import annotations

import io

import numpy as np
import pytest
import shapely
import skia
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


def traced(picture: Points, quality: int | None = None) -> tuple[artwork.Traced, Points]:
    if quality is not None:
        file = io.BytesIO()
        Image.fromarray(picture).save(file, "JPEG", quality=quality)
        picture = np.asarray(Image.open(file))
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


def off(shape: Points, size: float) -> float:
    """How much too long the edge of a shape comes out, as a share."""
    cell = round(2.5 * size)
    shapes = [
        shape + np.array([(at + 0.5) * cell + part, 0.5 * cell - 0.7 * part])
        for at, part in enumerate((0.0, 0.31, 0.57))
    ]
    found, levels = traced(drawn(shapes, (3 * cell, cell), PAINT))
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
def test_a_star_loses_only_tips_thinner_than_a_pixel(
    size: float, points: int, inner: float
) -> None:
    # A tip of angle a is a pixel wide 1 / (2 sin(a / 2)) px along its sides from the tip: cut off
    # there, it loses both pieces and gains the pixel.
    shape = star(size, points, inner)
    sides = np.roll(shape, -1, axis=0) - shape
    tips = slice(0, None, 2)
    one, two = sides[tips], -np.roll(sides, 1, axis=0)[tips]
    cosine = (one * two).sum(axis=1) / np.hypot(*one.T) / np.hypot(*two.T)
    lost = float((1 / np.sin(0.5 * np.arccos(cosine)) - 1).sum())
    assert -lost / shapely.Polygon(shape).length - ASKED <= off(shape, size) <= ASKED


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
