"""Paints of a picture: as many as were drawn, in the colours they were drawn in, no fringes.

Pictures are drawn by resvg (an independent renderer) or made pixel by pixel; their colours are
known by construction.
"""

from __future__ import annotations

import io

import cv2
import numpy as np
import pytest
import resvg_py
from numpy.typing import NDArray
from PIL import Image

from giornata.core import artwork
from giornata.core.foundation import Severity

Pixels = NDArray[np.uint8]

# Six paints on a ground; the two blues are neighbours in colour.
GROUND, NAVY, BLUE, SEA, CORAL, SAND, INK = (
    "#f4efe3", "#1e3d59", "#2b4c6f", "#17a398", "#ff6e40", "#ffc13b", "#1b1b1e",
)  # fmt: skip
DRAWN = {GROUND, NAVY, BLUE, SEA, CORAL, SAND, INK}
SVG = f"""<svg xmlns="http://www.w3.org/2000/svg" width="900" height="500">
<rect width="900" height="500" fill="{GROUND}"/>
<circle cx="160.3" cy="170.6" r="120" fill="{NAVY}"/>
<circle cx="170.8" cy="180.2" r="70" fill="{BLUE}"/>
<rect x="330.4" y="60.7" width="180" height="120" fill="{CORAL}" transform="rotate(17 420 120)"/>
<path d="M620 60 L760 130 L640 260 Z" fill="{SEA}"/>
<path d="M60 460 C200 320 300 560 460 340 L520 480 Z" fill="{SAND}"/>
<ellipse cx="700" cy="370" rx="130" ry="70" fill="{INK}" transform="rotate(-9 700 370)"/>
</svg>"""


def drawn(svg: str) -> Pixels:
    """A picture drawn by resvg, without its opacity."""
    data = bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96))
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB"))


def saved(picture: Pixels, form: str, **settings: object) -> Pixels:
    """The picture after it was saved and opened again."""
    file = io.BytesIO()
    Image.fromarray(picture).save(file, form, **settings)
    return np.asarray(Image.open(file).convert("RGB"))


def rgb(colour: str) -> list[int]:
    return [int(colour[i : i + 2], 16) for i in (1, 3, 5)]


def clouds(height: int, width: int, seed: int) -> Pixels:
    """Soft random shading, as in a photograph."""
    noise = np.random.default_rng(seed).normal(0, 1, (height, width, 3))
    soft = cv2.GaussianBlur(noise, (0, 0), 6)
    return (soft / soft.std() * 50 + 128).clip(0, 255).astype(np.uint8)


def test_an_antialiased_picture_has_the_paints_it_was_drawn_with() -> None:
    palette, findings = artwork.flat_palette(drawn(SVG), name="quay.png")
    assert findings == ()
    assert palette is not None
    assert {tuple(p) for p in palette.levels.tolist()} == {tuple(rgb(c)) for c in DRAWN}
    assert not palette.soft
    assert not palette.hard


@pytest.mark.parametrize("quality", [95, 85, 70])
def test_a_jpeg_has_the_paints_it_was_drawn_with(quality: int) -> None:
    picture = saved(drawn(SVG), "JPEG", quality=quality)
    palette, findings = artwork.flat_palette(picture, name="quay.jpg")
    assert findings == ()
    assert palette is not None
    assert palette.soft
    assert len(palette.levels) == len(DRAWN)  # no false paint
    # JPEG codes YCbCr; rounding there and back moves a level by 1, quantising by 1 more.
    for colour in DRAWN:
        apart = np.abs(palette.levels.astype(int) - rgb(colour)).max(axis=1).min()
        assert apart <= (1 if quality >= 85 else 2)


def test_a_resampled_picture_has_the_paints_it_was_drawn_with() -> None:
    larger = Image.fromarray(drawn(SVG)).resize((1_530, 850), Image.Resampling.LANCZOS)
    palette, findings = artwork.flat_palette(np.asarray(larger), name="quay.png")
    assert findings == ()
    assert palette is not None
    assert {tuple(p) for p in palette.levels.tolist()} == {tuple(rgb(c)) for c in DRAWN}


def test_paints_five_levels_apart_are_two() -> None:
    picture = np.full((60, 60, 3), (120, 130, 140), np.uint8)
    picture[:, 30:] = (125, 130, 140)
    palette, _ = artwork.flat_palette(picture, name="wall.png")
    assert palette is not None
    assert sorted(palette.levels.tolist()) == [[120, 130, 140], [125, 130, 140]]


def test_a_colour_of_thin_lines_only_is_found() -> None:
    svg = f"""<svg xmlns="http://www.w3.org/2000/svg" width="400" height="400">
    <rect width="400" height="400" fill="{GROUND}"/>
    <circle cx="200" cy="200" r="150.2" fill="none" stroke="{CORAL}" stroke-width="2"/></svg>"""
    palette, _ = artwork.flat_palette(drawn(svg), name="line.png")
    assert palette is not None
    assert [tuple(p) for p in palette.levels.tolist()] == [tuple(rgb(GROUND)), tuple(rgb(CORAL))]


def test_the_more_common_paint_comes_first_with_its_flat_pixels() -> None:
    picture = np.zeros((20, 40, 1), np.uint8)
    picture[:, 10:] = 200
    palette, _ = artwork.flat_palette(picture, name="bars.png")
    assert palette is not None
    assert palette.levels.ravel().tolist() == [200, 0]
    # Flat: all of 3 × 3 alike; the column beside the edge is not, on either side.
    assert palette.pixels.tolist() == [20 * 29, 20 * 9]
    assert palette.hard


@pytest.mark.parametrize("shape", [(1, 1), (1, 7), (7, 1), (2, 2), (3, 3)])
def test_a_tiny_picture_has_a_palette(shape: tuple[int, int]) -> None:
    picture = np.full((*shape, 3), 77, np.uint8)
    palette, findings = artwork.flat_palette(picture, name="dot.png")
    assert findings == ()
    assert palette is not None
    assert palette.levels.tolist() == [[77, 77, 77]]


def test_pixel_art_without_a_flat_place_has_its_own_colours() -> None:
    board = (np.indices((8, 8)).sum(axis=0) % 2 * 255).astype(np.uint8)[..., None]
    palette, findings = artwork.flat_palette(board, name="board.png")
    assert findings == ()
    assert palette is not None
    assert sorted(palette.levels.ravel().tolist()) == [0, 255]


@pytest.mark.parametrize("seed", [1, 2])
def test_a_photograph_is_not_flat(seed: int) -> None:
    palette, findings = artwork.flat_palette(clouds(300, 400, seed), name="photo.jpg")
    assert palette is None
    (finding,) = findings
    assert finding.code == "artwork.not_flat"
    assert finding.severity is Severity.STOP
    assert "posterise" in finding.remedy


@pytest.mark.parametrize("end", [12, 60, 255])
def test_a_gradient_is_not_flat(end: int) -> None:
    # From 0 to ``end`` over 2000 pixels: bands of one level, each of them flat.
    row = np.linspace(0, end, 2_000).astype(np.uint8)
    picture = np.broadcast_to(row[None, :, None], (50, 2_000, 3)).copy()
    palette, findings = artwork.flat_palette(picture, name="sky.png")
    assert palette is None
    assert findings[0].code == "artwork.not_flat"
    assert "gradient" in findings[0].message


def test_a_large_dithered_picture_is_not_flat() -> None:
    shade = np.linspace(0.2, 0.8, 900)[None, :]
    dots = np.random.default_rng(4).uniform(0, 1, (600, 900)) < shade
    palette, findings = artwork.flat_palette((dots * 255).astype(np.uint8)[..., None], name="dots")
    assert palette is None
    assert findings[0].code == "artwork.not_flat"


@pytest.mark.parametrize("quality", [50, 75, 90])
def test_lossy_webp_has_the_paints_it_was_drawn_with(quality: int) -> None:
    # WebP lets a flat colour drift by a level or two from block to block: no gradient, no paint.
    palette, findings = artwork.flat_palette(
        saved(drawn(SVG), "WEBP", quality=quality), name="quay.webp"
    )
    assert findings == ()
    assert palette is not None
    assert len(palette.levels) == len(DRAWN)


def test_too_many_paints_is_a_finding() -> None:
    # 64 colours, 4 × 4 × 4, far apart; the limit is 60.
    colour = np.stack(np.meshgrid(*[np.array([0, 80, 160, 240])] * 3), axis=-1).reshape(-1, 3)
    picture = np.repeat(np.repeat(colour[None].astype(np.uint8), 20, axis=0), 20, axis=1)
    palette, findings = artwork.flat_palette(picture, name="chart.png")
    assert palette is None
    (finding,) = findings
    assert finding.code == "artwork.too_many_paints"
    assert finding.severity is Severity.STOP
    assert "60" in finding.message


@pytest.mark.parametrize("shape", [(0, 5, 3), (5, 0, 3), (5, 5), (5, 5, 5)])
def test_what_is_no_picture_is_refused(shape: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="one to four channels"):
        artwork.flat_palette(np.zeros(shape, np.uint8), name="none")
