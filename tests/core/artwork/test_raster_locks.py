"""Colours that the painter holds fast, and colours that are merged, in made art of known truth."""

from __future__ import annotations

import io

import numpy as np
import pytest
import resvg_py
from numpy.typing import NDArray
from PIL import Image

from giornata.core import artwork

PALE, INK, GREY = (240, 235, 225), (20, 24, 40), (130, 130, 132)


def rendered(body: str, *, quality: int | None = None) -> NDArray[np.uint8]:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="600" height="400">'
        f'<rect width="600" height="400" fill="rgb{PALE}"/>{body}</svg>'
    )
    picture = Image.open(io.BytesIO(bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96))))
    picture = picture.convert("RGB")
    if quality:
        file = io.BytesIO()
        picture.save(file, "JPEG", quality=quality)
        picture = Image.open(file)
    return np.asarray(picture)


def locked(picture: NDArray[np.uint8], *colours: tuple[int, ...]) -> artwork.FlatPalette:
    found, _ = artwork.flat_palette(picture, name="test")
    assert found is not None
    held, places = artwork.with_locked(found, np.array(colours, np.uint8))
    assert len(set(places.tolist())) == len(colours)
    for place, colour in zip(places, colours, strict=True):
        assert np.abs(held.levels[place].astype(int) - colour).max() <= (3 if found.soft else 1)
    return held


SQUARE = f'<rect x="40" y="40" width="200" height="200" fill="rgb{INK}"/>'
RINGS = "".join(
    f'<circle cx="420.3" cy="200.6" r="{r}" fill="none" stroke="rgb{GREY}" stroke-width="2.4"/>'
    for r in range(30, 150, 30)
)
RING_AREA = sum(2 * np.pi * r * 2.4 for r in range(30, 150, 30))


@pytest.mark.parametrize(("quality", "within"), [(None, 0.02), (85, 0.06)])
def test_lines_in_a_locked_colour_between_two_others_are_found(
    quality: int | None, within: float
) -> None:
    # Grey lies between ink and pale, and no line is three pixels wide: unseen unless it is told.
    picture = rendered(SQUARE + RINGS, quality=quality)
    blind, _ = artwork.flat_palette(picture, name="test")
    assert blind is not None
    assert len(blind.levels) == 2
    palette = locked(picture, GREY)
    assert len(palette.levels) == 3
    total = artwork.traced(picture, palette).total
    assert total.areas[2] == pytest.approx(RING_AREA, rel=within)
    if quality is None:  # told nothing, the blackness of the lines counts as ink
        assert artwork.traced(picture, blind).total.areas.min() > 40_000 + 0.3 * RING_AREA
    assert total.areas[1] == pytest.approx(40_000, rel=0.002)


def test_a_locked_colour_is_not_taken_for_the_drift_of_another() -> None:
    picture = np.full((200, 300, 1), 120, np.uint8)
    picture[:, 200:] = 30
    picture[:, 200] = 75  # antialiased, so that not every colour is a paint
    picture[50:60, 50:60] = 122  # 64 flat pixels near to 38,000
    free, _ = artwork.flat_palette(picture, name="test")
    assert free is not None
    assert sorted(free.levels.ravel().tolist()) == [30, 120]
    assert free.merged.ravel().tolist() == [122]
    (finding,) = artwork.merged_colours(free, ["#787878", "#1e1e1e"], ["#7a7a7a"], name="wall.png")
    assert finding.code == "artwork.merged_colours"
    assert "#7a7a7a as #787878" in finding.message
    held = locked(picture, (122,))
    assert sorted(held.levels.ravel().tolist()) == [30, 120, 122]
    assert artwork.merged_colours(held, ["#787878", "#1e1e1e", "#7a7a7a"], [], name="a") == ()
    areas = artwork.traced(picture, held).total.areas
    assert areas[held.levels.ravel() == 122] == pytest.approx([100], abs=0.5)


def test_two_locked_colours_a_level_apart_stay_two() -> None:
    picture = np.full((60, 60, 1), 120, np.uint8)
    picture[:, 30:] = 121
    held = locked(picture, (120,), (121,))
    assert sorted(held.levels.ravel().tolist()) == [120, 121]
    assert artwork.traced(picture, held).total.areas.tolist() == [1_800, 1_800]


def test_a_locked_colour_that_does_not_occur_takes_no_area() -> None:
    picture = rendered(SQUARE)
    held = locked(picture, (200, 0, 0))
    assert artwork.traced(picture, held).total.areas[2] == 0


def test_locking_what_was_found_changes_nothing() -> None:
    picture = rendered(SQUARE)
    free, _ = artwork.flat_palette(picture, name="test")
    assert free is not None
    held = locked(picture, INK, PALE)
    assert np.array_equal(held.levels, free.levels)
    with pytest.raises(ValueError, match="channels of the picture"):
        artwork.with_locked(free, np.zeros((1, 1), np.uint8))


@pytest.mark.parametrize("light", [False, True])
@pytest.mark.parametrize("quality", [None, 90])
def test_no_fringe_of_any_blending_becomes_a_paint(light: bool, quality: int | None) -> None:
    # Discs blended by exact shares, in coded levels or in light (IEC 61966-2-1, 5.2 and 5.3).
    fine, side = 8, 240
    y, x = (np.mgrid[0 : side * fine, 0 : side * fine] + 0.5) / fine
    picture = np.broadcast_to(np.array(PALE, float) / 255, (side, side, 3)).copy()
    truth = {}
    for colour, cx, cy, r in ((INK, 70.3, 80.1, 50), (GREY, 170.7, 150.2, 60), (INK, 60, 190, 33)):
        inside = (x - cx) ** 2 + (y - cy) ** 2 < r * r
        share = inside.reshape(side, fine, side, fine).mean(axis=(1, 3))[..., None]
        under, over = picture, np.array(colour) / 255
        if light:
            under, over = (
                np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)
                for v in (under, over)
            )
        mixed = share * over + (1 - share) * under
        if light:
            coded = 1.055 * np.maximum(mixed, 0.0031308) ** (1 / 2.4) - 0.055
            mixed = np.where(mixed <= 0.0031308, 12.92 * mixed, coded)
        picture = mixed
        truth[colour] = truth.get(colour, 0) + np.pi * r * r
    pixels = np.rint(255 * picture).astype(np.uint8)
    if quality:
        file = io.BytesIO()
        Image.fromarray(pixels).save(file, "JPEG", quality=quality)
        pixels = np.asarray(Image.open(file))
    palette, findings = artwork.flat_palette(pixels, name="test")
    assert findings == ()
    assert palette is not None
    assert len(palette.levels) == 3
    areas = artwork.traced(pixels, palette).total.areas
    for colour, area in truth.items():
        at = np.abs(palette.levels.astype(int) - colour).max(axis=1).argmin()
        # A JPEG of art blended in light is read as coded: 0.1 px of these small discs' edges.
        within = (0.01 if light else 0.004) if quality else 0.0015
        assert areas[at] == pytest.approx(area, rel=within)
