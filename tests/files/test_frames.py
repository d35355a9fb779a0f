"""Projector frames measured: marks to a fraction of a pixel, areas, lines, black, seams."""

from __future__ import annotations

import io
import math

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from PIL import Image

from giornata.core.documents import FrameKind, FrameMark, ProjectorFrame
from giornata.core.foundation import affine_applied
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.projection import Orientation, SetUp, brightness, frame_from_wall
from giornata.files.frames import contrast_check_png, frame_pixels, frame_png
from giornata.files.region_pixels import RegionPaths, png

PITCH = 0.0025  # m: an image 4.8 m wide of 1,920 pixels
WALL = shapely.box(0.3, 0.1, 4.5, 2.7)
DOOR = shapely.box(2.0, 0.1, 2.9, 2.2)
DISC = shapely.Point(1.2, 1.4).buffer(0.61, quad_segs=64)
KITE = shapely.Polygon([(3.1, 1.0), (3.77, 0.31), (4.3, 1.13), (3.6, 2.51)])
NET = WALL.difference(DOOR)
# Ground, disc and kite, in order of number.
GROUND = NET.difference(DISC).difference(KITE)


def set_up(orientation: Orientation = Orientation.LEVEL) -> SetUp:
    level = orientation is Orientation.LEVEL
    wide, high = (4.8, 3.0) if level else (3.0, 4.8)
    return SetUp(
        number=7, column=7, row=1, centre=wide / 2, distance=7.0, lens_level=1.3, lens_height=1.3,
        orientation=orientation, start=0.0, end=wide, foot=0.0, head=high, wall_foot=0.1,
        wall_head=2.7, pitch=PITCH, columns=1920, rows=1200, throw_ratio=1.4,
        light=brightness(240.0, 4.0, 5.0), shift=0.0, tilt=0.0, keystone=1.0, overlap_next=None,
        overlap_above=None,
    )  # fmt: skip


def coverage() -> Coverage:
    edges = [
        shapely.LineString(DISC.exterior.coords),
        shapely.LineString(KITE.exterior.coords),
        shapely.LineString(NET.exterior.coords),
    ]
    return Coverage(
        faces=np.array([GROUND, DISC, KITE]),
        labels=np.array([1, 2, 3]),
        edges=np.array(edges),
        left=np.array([1, 1, OUTSIDE]),
        right=np.array([2, 3, 1]),
    )


def frame(
    colours: dict[int, str],
    *,
    kind: FrameKind = FrameKind.FILL,
    marks: tuple[FrameMark, ...] = (),
    one: SetUp | None = None,
) -> ProjectorFrame:
    """A frame whose label stands outside the picture, so that only the artwork is measured."""
    return ProjectorFrame(
        set_up=one or set_up(), kind=kind, colours=colours, marks=marks, label="set-up 7",
        label_at=(-5000.0, -5000.0),
    )  # fmt: skip


def light(colours: dict[int, str], **more: object) -> NDArray[np.float64]:
    """Share of light of each pixel, 0 to 1, of a frame in greys."""
    return frame_pixels(frame(colours, **more), RegionPaths(coverage()), NET)[:, :, 0] / 255.0  # type: ignore[arg-type]


BLACK = {1: "#000000", 2: "#000000", 3: "#000000"}


@pytest.mark.parametrize(
    ("number", "area"),
    # Known by construction, by shapely's own areas of the shapes.
    [(1, GROUND.area), (2, DISC.area), (3, KITE.area)],
)
def test_pixels_of_a_paint_make_its_area(number: int, area: float) -> None:
    lit = light(BLACK | {number: "#ffffff"})
    assert lit.sum() * PITCH**2 == pytest.approx(area, rel=0.003)


def test_no_seam_shows_between_paints() -> None:
    """Known by construction: with every paint white the net wall is one white area."""
    lit = light(dict.fromkeys(BLACK, "#ffffff"))
    inside = shapely.buffer(NET, -1.5 * PITCH)
    x, y = np.meshgrid((np.arange(1920) + 0.5) * PITCH, 3.0 - (np.arange(1200) + 0.5) * PITCH)
    within = shapely.contains_xy(inside, x, y)
    assert within.sum() > 1_000_000
    # A share of a pixel is known to about 1/25; a seam of two smoothed areas would show 63 of 255.
    assert lit[within].min() > 0.95
    assert lit.sum() * PITCH**2 == pytest.approx(NET.area, rel=0.0005)


@pytest.mark.parametrize("kind", list(FrameKind))
def test_nothing_beyond_the_wall_and_in_openings_is_lit(kind: FrameKind) -> None:
    lit = light(dict.fromkeys(BLACK, "#ffffff"), kind=kind)
    x, y = np.meshgrid((np.arange(1920) + 0.5) * PITCH, 3.0 - (np.arange(1200) + 0.5) * PITCH)
    beyond = ~shapely.contains_xy(shapely.buffer(NET, 1.0 * PITCH, join_style="mitre"), x, y)
    assert beyond.sum() > 500_000
    assert lit[beyond].max() == 0


def test_a_region_has_its_colour_exactly() -> None:
    pixels = frame_pixels(
        frame({1: "#cfdad6", 2: "#86b3b4", 3: "#d8512a"}), RegionPaths(coverage()), NET
    )
    ((x, y),) = affine_applied(frame_from_wall(set_up()), [(1.2, 1.4)])
    assert pixels[int(y), int(x)].tolist() == [0x86, 0xB3, 0xB4]


def test_lines_are_two_pixels_wide_and_drawn_once() -> None:
    """The light of a line is its length × 2 px; a line drawn twice would not be smooth."""
    lit = light({}, kind=FrameKind.OUTLINE)
    ((x0, y0), (x1, y1)) = affine_applied(frame_from_wall(set_up()), [(3.0, 0.25), (4.4, 2.6)])
    kite = lit[int(y1) : int(y0), int(x0) : int(x1)]
    length = KITE.exterior.length / PITCH
    assert kite.sum() == pytest.approx(2.0 * length, rel=0.01)
    row = lit[int((3.0 - 1.4) / PITCH), : int(1.2 / PITCH)]  # through the disc's left side
    at = int((1.2 - 0.61) / PITCH)
    assert row[at - 5 : at + 6].sum() == pytest.approx(2.0, abs=0.05)


@pytest.mark.parametrize("orientation", list(Orientation))
def test_the_centre_of_a_mark_is_where_the_wall_says(orientation: Orientation) -> None:
    """The light of each arm, weighed across it, has its centre on the mark to 0.02 px.

    Worked by hand: level, x = chainage ÷ pitch and y = (3.0 - level) ÷ pitch; on its side the
    columns run down the wall from its head and the rows to the left from its end.
    """
    one = set_up(orientation)
    chainage, level = 1.3333, 1.7171
    if orientation is Orientation.LEVEL:
        x, y = chainage / PITCH, (3.0 - level) / PITCH
    else:
        x, y = (4.8 - level) / PITCH, (3.0 - chainage) / PITCH
    mark = FrameMark(name="M07 upper", x_px=x, y_px=y)
    ((by_matrix),) = affine_applied(frame_from_wall(one), [(chainage, level)]).tolist()
    assert by_matrix == pytest.approx([x, y], abs=1e-9)
    lit = light({}, kind=FrameKind.OUTLINE, marks=(mark,), one=one)
    blank = light({}, kind=FrameKind.OUTLINE, one=one)
    assert (blank - lit).max() < 0.01  # the mark stands on black, so nothing was covered
    cross = np.clip(lit - blank, 0, 1)
    # The arms that point away from the name: down and left of it as one looks at the wall.
    turned = orientation is Orientation.ON_SIDE
    down = cross[int(y) - 3 : int(y) + 4, int(x) + 10 : int(x) + 18] if turned else (
        cross[int(y) + 10 : int(y) + 18, int(x) - 3 : int(x) + 4].T
    )  # fmt: skip
    left = cross[int(y) + 10 : int(y) + 18, int(x) - 3 : int(x) + 4].T if turned else (
        cross[int(y) - 3 : int(y) + 4, int(x) - 18 : int(x) - 10]
    )  # fmt: skip
    rows = np.arange(7) + 0.5
    across_down = (down.sum(axis=1) @ rows) / down.sum()
    across_left = (left.sum(axis=1) @ rows) / left.sum()
    along_x = int(y) - 3 + across_down if turned else int(x) - 3 + across_down
    along_y = int(x) - 3 + across_left if turned else int(y) - 3 + across_left
    assert along_x == pytest.approx(y if turned else x, abs=0.02)
    assert along_y == pytest.approx(x if turned else y, abs=0.02)


def test_on_its_side_the_frame_is_the_upright_picture_turned() -> None:
    """Known by construction: a quarter turn anticlockwise brings the upright picture back."""
    colours = {1: "#303030", 2: "#ffffff", 3: "#909090"}
    side = set_up(Orientation.ON_SIDE)
    turned = np.rot90(light(colours, one=side), k=-1)
    assert turned.shape == (1920, 1200)
    level = light(colours)  # 3.0 m high, its foot at level 0, as the lower end of the other
    assert (turned[-1200:, :] == level[:, :1200]).mean() > 0.99999


def test_equal_frames_are_equal_bytes_and_read_back() -> None:
    made = [frame({1: "#cfdad6", 2: "#86b3b4", 3: "#d8512a"}), frame({}, kind=FrameKind.OUTLINE)]
    first = {one.name: frame_png(one, RegionPaths(coverage()), NET) for one in made}
    again = {one.name: frame_png(one, RegionPaths(coverage()), NET) for one in made}
    assert first == again
    assert list(first) == ["set-up-07-fill", "set-up-07-outline"]
    fill = Image.open(io.BytesIO(first["set-up-07-fill"]))
    assert (fill.size, fill.mode) == ((1920, 1200), "RGB")
    pixels = frame_pixels(made[0], RegionPaths(coverage()), NET)
    assert (np.asarray(fill) == pixels).all()
    assert Image.open(io.BytesIO(first["set-up-07-outline"])).mode == "L"


def test_greys_are_kept_in_one_channel() -> None:
    grey = np.full((4, 6, 3), 90, dtype=np.uint8)
    read = Image.open(io.BytesIO(png(grey)))
    assert (read.mode, read.size) == ("L", (6, 4))
    assert np.asarray(read).tolist() == [[90] * 6] * 4


def test_the_disc_is_as_round_as_it_was() -> None:
    """The area of the polygon that stands for the disc is within 0.01 % of π r²."""
    assert DISC.area == pytest.approx(math.pi * 0.61**2, rel=2e-4)


@pytest.mark.parametrize(("columns", "rows"), [(1920, 1200), (1023, 769)])
def test_g4_the_contrast_check_has_sixteen_zones_half_of_them_white(columns, rows):
    # ANSI/INFOCOMM 3M-2011 as described: a black and white checkerboard of sixteen zones.
    picture = Image.open(io.BytesIO(contrast_check_png(columns, rows)))
    assert picture.size == (columns, rows)
    pixels = np.array(picture)
    assert set(np.unique(pixels)) == {0, 255}
    middles = pixels[np.ix_(*((2 * np.arange(4) + 1) * n // 8 for n in (rows, columns)))] > 0
    assert middles[0, 0]
    assert np.array_equal(middles, np.indices((4, 4)).sum(axis=0) % 2 == 0)
    assert (pixels > 0).mean() == pytest.approx(0.5, abs=2 / columns)
