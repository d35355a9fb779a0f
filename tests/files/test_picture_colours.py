"""Pictures made of photos and of paints: red stays red and blue stays blue.

Known by construction: all that is drawn is red on the left and blue on the right, two colours that
a swap of channels turns into one another.
"""

from __future__ import annotations

import io

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from PIL import Image

from giornata.core.artwork import FlatArtwork
from giornata.core.boards import Sighting
from giornata.core.documents import FrameKind, ProjectorFrame
from giornata.core.foundation import readonly
from giornata.core.geometry import Coverage
from giornata.core.photography import Stretch
from giornata.core.projection import Orientation, SetUp, WallShape, brightness
from giornata.files.artwork_picture import artwork_png
from giornata.files.frames import frame_png
from giornata.files.rectified_picture import rectified_png
from giornata.files.region_pixels import RegionPaths
from giornata.files.seen_picture import seen_jpeg
from giornata.files.warped_frames import WarpedFrame, warped_png

RED, BLUE = (200, 30, 20), (20, 30, 200)
COLOURS = {1: "#c81e14", 2: "#141ec8"}
COLUMNS, ROWS, PITCH = 240, 160, 0.01


def halves(*, upright: bool = True) -> Coverage:
    """2.4 m by 1.6 m, its left half of paint 1, its right half of paint 2."""
    wide, high = (COLUMNS, ROWS) if upright else (ROWS, COLUMNS)
    middle, end, head = PITCH * wide / 2, PITCH * wide, PITCH * high
    none = np.array([], dtype=np.intp)
    return Coverage(
        faces=np.array([shapely.box(0, 0, middle, head), shapely.box(middle, 0, end, head)]),
        labels=np.array([1, 2]),
        edges=np.array([], dtype=object),
        left=none,
        right=none,
    )


def set_up(orientation: Orientation) -> SetUp:
    wide, high = COLUMNS * PITCH, ROWS * PITCH
    if orientation is Orientation.ON_SIDE:
        wide, high = high, wide
    return SetUp(
        number=1, column=1, row=1, centre=wide / 2, distance=3.36, lens_level=high / 2,
        lens_height=high / 2, orientation=orientation, start=0.0, end=wide, foot=0.0, head=high,
        wall_foot=0.0, wall_head=high, pitch=PITCH, columns=COLUMNS, rows=ROWS, throw_ratio=1.4,
        light=brightness(179.0, 10.0, 5.0), shift=0.0, tilt=0.0, keystone=1.0, overlap_next=None,
        overlap_above=None,
    )  # fmt: skip


def photo() -> NDArray[np.uint8]:
    made = np.zeros((ROWS, COLUMNS, 3), np.uint8)
    made[:, : COLUMNS // 2], made[:, COLUMNS // 2 :] = RED, BLUE
    return made


def sides(picture: bytes, *, top: float = 0.0, foot: float = 1.0) -> list[NDArray[np.float64]]:
    """Median colour of the left and of the right half, of a part of a picture's height."""
    with Image.open(io.BytesIO(picture)) as opened:
        pixels = np.asarray(opened.convert("RGB"), float)
    high, wide = pixels.shape[:2]
    pixels = pixels[round(top * high) : round(foot * high)]
    return [np.median(part.reshape(-1, 3), axis=0)
            for part in (pixels[:, : wide // 2], pixels[:, wide // 2 :])]  # fmt: skip


def assert_red_and_blue(found: list[NDArray[np.float64]], within: float = 0.0) -> None:
    assert found[0] == pytest.approx(np.array(RED, float), abs=within)
    assert found[1] == pytest.approx(np.array(BLUE, float), abs=within)


def test_a_rectified_photo_keeps_its_colours() -> None:
    hull = readonly([(0.1, 0.1), (2.3, 0.1), (2.3, 1.5)], columns=2)
    stretch = Stretch(start=0.0, end=COLUMNS * PITCH, foot=0.0, head=ROWS * PITCH)
    every = np.ones((ROWS, COLUMNS), bool)
    made = rectified_png(photo(), every, stretch, 1 / PITCH, hull, ["Harbour wall"])
    assert_red_and_blue(sides(made, foot=0.5))


def test_a_photo_with_what_was_seen_in_it_keeps_its_colours() -> None:
    """JPEG keeps flat colour to a few levels."""
    nothing = Sighting(board=None, found=(), missed=(), findings=())
    assert_red_and_blue(sides(seen_jpeg(photo(), nothing, []), foot=0.5), within=6.0)


def test_the_picture_of_an_artwork_keeps_its_colours() -> None:
    flat = FlatArtwork(
        name="halves.svg", width=COLUMNS * PITCH, height=ROWS * PITCH, coverage=halves(),
        colours=("", *COLOURS.values()),
    )  # fmt: skip
    assert_red_and_blue(sides(artwork_png(flat, (), ())))


@pytest.mark.parametrize("orientation", Orientation)
def test_planned_and_squared_pictures_keep_their_colours(orientation: Orientation) -> None:
    """On its side the projector's own picture lies: its left is the wall's foot."""
    one = set_up(orientation)
    level = orientation is Orientation.LEVEL
    coverage, net = halves(upright=level), shapely.box(0, 0, one.end, one.head)
    frame = ProjectorFrame(
        kind=FrameKind.FILL, set_up=one, colours=COLOURS, marks=(), label="", label_at=(0.0, 0.0),
    )  # fmt: skip
    warped = WarpedFrame(set_up=one, on_wall=WallShape().pose(one), colours=COLOURS)
    for made in (frame_png(frame, RegionPaths(coverage), net), warped_png(warped, coverage, net)):
        with Image.open(io.BytesIO(made)) as opened:
            own = opened.convert("RGB")
        assert own.size == (COLUMNS, ROWS)
        upright = own if level else own.transpose(Image.Transpose.ROTATE_270)
        sink = io.BytesIO()
        upright.save(sink, "PNG")
        assert_red_and_blue(sides(sink.getvalue()))
