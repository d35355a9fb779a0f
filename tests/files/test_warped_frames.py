"""Squared pictures: against OpenCV's own warp, to a twentieth of a pixel, folds and lenses too."""

from __future__ import annotations

import io
import math
from dataclasses import replace

import cv2
import numpy as np
import pytest
import shapely
from PIL import Image

from giornata.core import projection
from giornata.core.documents import FrameKind, ProjectorFrame
from giornata.core.foundation import RenderError, readonly
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.projection import (
    Orientation,
    PoseMap,
    ProjectiveMap,
    SetUp,
    WallMap,
    WallShape,
    brightness,
    frame_from_wall,
    turned,
)
from giornata.files.frames import frame_pixels
from giornata.files.region_pixels import RegionPaths
from giornata.files.warped_frames import WarpedFrame, warped_pixels, warped_png
from giornata.files.warped_lines import bent

PIXEL = 1.0
NET = shapely.box(-1.0, -1.0, 4.0, 4.0)
DISCS = [
    shapely.Point(x, y).buffer(0.07, quad_segs=32)
    for x in (0.35, 1.2, 2.05)
    for y in (0.35, 0.9, 1.4)
]
GROUND = NET.difference(shapely.union_all(DISCS))
COVERAGE = Coverage(
    faces=np.array([GROUND, *DISCS]),
    labels=np.array([1] + [2] * len(DISCS)),
    edges=np.array([*(shapely.LineString(d.exterior.coords) for d in DISCS),
                    shapely.LineString(NET.exterior.coords)]),
    left=np.array([1] * len(DISCS) + [OUTSIDE]),
    right=np.array([2] * len(DISCS) + [1]),
)  # fmt: skip
BLACK_WHITE = {1: "#000000", 2: "#ffffff"}


def set_up(orientation: Orientation = Orientation.LEVEL) -> SetUp:
    """2.4 m by 1.8 m of 480 by 360 pixels, 5 mm each: a small picture tests as much as a large."""
    wide, high = (2.4, 1.8) if orientation is Orientation.LEVEL else (1.8, 2.4)
    return SetUp(
        number=3, column=3, row=1, centre=wide / 2, distance=3.36, lens_level=0.9, lens_height=0.9,
        orientation=orientation, start=0.0, end=wide, foot=0.0, head=high, wall_foot=0.0,
        wall_head=high, pitch=0.005, columns=480, rows=360, throw_ratio=1.4,
        light=brightness(179.0, 10.0, 5.0), shift=(high / 2 - 0.9) / high, tilt=0.0, keystone=1.0,
        overlap_next=None, overlap_above=None,
    )  # fmt: skip


def pose(**wall: object) -> PoseMap:
    made = WallShape().pose(set_up())
    axes = turned(0.03, -0.02, 0.03).T @ made.axes
    return replace(made, axes=readonly(axes), **wall)  # type: ignore[arg-type]


def projective(of: PoseMap) -> ProjectiveMap:
    """The same map as a free projective one."""
    matrix = projection.px_from_wall_matrix(of)
    assert matrix is not None
    return ProjectiveMap(
        matrix=matrix, hinge=None, middle=readonly([0.0, 0.0]), spread=1.0,
        centre=readonly([0.0, 0.0]), half=1.0,
    )  # fmt: skip


def warped(on_wall: WallMap, one: SetUp | None = None, **more: object) -> WarpedFrame:
    given = {"set_up": one or set_up(), "on_wall": on_wall, "colours": BLACK_WHITE, **more}
    return WarpedFrame(**given)  # type: ignore[arg-type]


def centres(pixels: np.ndarray, near: np.ndarray, half: int = 22) -> np.ndarray:
    """Centroid of the light around some places, pixel centres at 0.5. [px]"""
    grey = pixels[:, :, 0].astype(float)
    found = []
    for x, y in near:
        left, top = int(x) - half, int(y) - half
        part = grey[top : top + 2 * half + 1, left : left + 2 * half + 1]
        v, u = np.mgrid[0 : part.shape[0], 0 : part.shape[1]]
        found.append(
            (left + 0.5 + (u * part).sum() / part.sum(), top + 0.5 + (v * part).sum() / part.sum())
        )
    return np.array(found)


def mapped_centres(on_wall: WallMap) -> np.ndarray:
    """Centroids of the discs' outlines in the picture, by shapely on a thousand places each."""
    found = []
    for disc in DISCS:
        outline = shapely.get_coordinates(shapely.segmentize(disc.exterior, 0.0005))
        middle = shapely.centroid(shapely.Polygon(on_wall.px_from_wall(outline)))
        found.append((middle.x, middle.y))
    return np.array(found)


KINDS = {
    "flat": pose(),
    "flat, projector unknown": projective(pose()),
    "folded": pose(origin=1.18, fold=0.3),
    "curved": pose(origin=1.2, curvature=0.2),
    "bent lens": pose(bend=-0.06),
}


@pytest.mark.parametrize("kind", KINDS)
def test_discs_fall_to_a_twentieth_of_a_pixel(kind):
    on_wall = KINDS[kind]
    truth = mapped_centres(on_wall)
    found = centres(warped_pixels(warped(on_wall), COVERAGE, NET), truth)
    assert np.abs(found - truth).max() <= 0.05 * PIXEL


@pytest.mark.parametrize("kind", KINDS)
def test_lines_are_bent_to_a_twentieth_of_a_pixel(kind):
    # A long line across the whole picture, sampled every millimetre, lies on what is drawn.
    on_wall = KINDS[kind]
    line = np.array([(0.02, 0.1), (2.3, 1.7)])
    drawn = shapely.LineString(bent(on_wall, line))
    dense = on_wall.px_from_wall(np.linspace(line[0], line[1], 2001))
    assert shapely.distance(shapely.points(dense), drawn).max() <= 0.05 * PIXEL
    other_way = bent(on_wall, line[::-1])
    assert np.array_equal(other_way[::-1], np.array(drawn.coords))


def alike(one: np.ndarray, other: np.ndarray) -> None:
    """The rims of shapes differ by what two ways of summing the same area round to."""
    apart = np.abs(one.astype(int) - other.astype(int))
    assert apart.max() <= 10
    assert apart.mean() <= 0.05


def planned_pixels() -> np.ndarray:
    frame = ProjectorFrame(
        set_up=set_up(), kind=FrameKind.FILL, colours=BLACK_WHITE, marks=(), label="",
        label_at=(0.0, 0.0),
    )  # fmt: skip
    return frame_pixels(frame, RegionPaths(COVERAGE), NET)


def test_the_planned_map_gives_the_planned_picture():
    squared = warped_pixels(warped(WallShape().pose(set_up())), COVERAGE, NET)
    alike(squared, planned_pixels())


def test_opencv_warps_the_planned_picture_to_the_same():
    # Independent: cv2.warpPerspective of the planned picture. Its pixel centres lie at whole
    # numbers and ours at a half: the matrix is moved by half a pixel on both sides. Discs agree
    # within 0.05 px; without the half pixel they would not.
    on_wall = pose()
    matrix = projection.px_from_wall_matrix(on_wall)
    assert matrix is not None
    from_planned = matrix @ np.linalg.inv(frame_from_wall(set_up()))
    half = np.array([[1.0, 0.0, -0.5], [0.0, 1.0, -0.5], [0.0, 0.0, 1.0]])
    grey = planned_pixels()
    by_opencv = cv2.warpPerspective(
        grey, half @ from_planned @ np.linalg.inv(half), (480, 360), flags=cv2.INTER_LINEAR
    )
    ours = warped_pixels(warped(on_wall), COVERAGE, NET)
    near = mapped_centres(on_wall)
    apart = centres(ours, near) - centres(by_opencv, near)
    assert np.abs(apart).max() <= 0.05 * PIXEL
    assert np.abs(ours.astype(int) - by_opencv.astype(int)).mean() <= 0.5  # grey levels of 255
    # Doubling the picture, half a pixel forgotten is half a pixel seen.
    twice = np.diag([2.0, 2.0, 1.0])
    right = cv2.warpPerspective(grey, half @ twice @ np.linalg.inv(half), (960, 720))
    wrong = cv2.warpPerspective(grey, twice, (960, 720))
    at = 2 * mapped_centres(WallShape().pose(set_up()))[:1]
    assert centres(right, at, 40) == pytest.approx(at, abs=0.1)
    assert np.abs(centres(wrong, at, 40) - at).min() > 0.35


@pytest.mark.parametrize("kind", ["flat", "flat, projector unknown"])
def test_one_matrix_is_the_map(kind):
    matrix = projection.px_from_wall_matrix(KINDS[kind])
    assert matrix is not None
    places = np.array([(0.1, 0.2), (2.2, 1.6), (1.0, 0.9)])
    seen = np.column_stack([places, np.ones(3)]) @ matrix.T
    assert seen[:, :2] / seen[:, 2:] == pytest.approx(KINDS[kind].px_from_wall(places), abs=1e-9)


@pytest.mark.parametrize("kind", KINDS)
def test_a_mesh_is_the_map_to_a_twentieth_of_a_pixel(kind):
    on_wall, one = KINDS[kind], set_up()
    mesh = projection.warp_mesh(one, on_wall)
    assert mesh.error <= projection.MESH_ERROR
    if kind in ("folded", "curved", "bent lens"):
        assert projection.px_from_wall_matrix(on_wall) is None
    rng = np.random.default_rng(8)
    x, y = mesh.planned[0, :, 0], mesh.planned[:, 0, 1]
    back = np.linalg.inv(frame_from_wall(one))
    for px in rng.uniform([0, 0], [480, 360], (200, 2)):
        i = min(int(np.searchsorted(x, px[0], side="right")) - 1, len(x) - 2)
        j = min(int(np.searchsorted(y, px[1], side="right")) - 1, len(y) - 2)
        a, b = (px[0] - x[i]) / (x[i + 1] - x[i]), (px[1] - y[j]) / (y[j + 1] - y[j])
        corner = mesh.squared[j : j + 2, i : i + 2]
        between = (1 - b) * ((1 - a) * corner[0, 0] + a * corner[0, 1]) + b * (
            (1 - a) * corner[1, 0] + a * corner[1, 1]
        )
        place = back @ [*px, 1.0]
        exact = on_wall.px_from_wall(place[None, :2] / place[2])[0]
        assert np.abs(between - exact).max() <= 0.05 * PIXEL + 0.01


def test_on_its_side_the_picture_is_turned():
    one = set_up(Orientation.ON_SIDE)
    on_wall = WallShape().pose(one)
    frame = ProjectorFrame(
        set_up=one, kind=FrameKind.FILL, colours=BLACK_WHITE, marks=(), label="",
        label_at=(0.0, 0.0),
    )  # fmt: skip
    ours = warped_pixels(warped(on_wall, one), COVERAGE, NET)
    planned = frame_pixels(frame, RegionPaths(COVERAGE), NET)
    assert ours.shape == planned.shape == (360, 480, 3)
    alike(ours, planned)


def test_lines_are_as_wide_as_asked_whatever_the_warp():
    # A straight edge and its neighbour: light summed across it is its width in pixels.
    halves = Coverage(
        faces=np.array([shapely.box(-1, -1, 1.2, 4), shapely.box(1.2, -1, 4, 4)]),
        labels=np.array([1, 2]),
        edges=np.array([shapely.LineString([(1.2, -1), (1.2, 4)])]),
        left=np.array([1]),
        right=np.array([2]),
    )
    on_wall = pose()
    for width in (2.0, 5.0):
        pixels = warped_pixels(
            warped(on_wall, colours={}, line_px=width), halves, shapely.box(-1, -1, 4, 4)
        )
        row = pixels[180, :, 0].astype(float).sum() / 255
        # The line leans: along a row it is wider by one over the cosine of its lean.
        (a, b) = on_wall.px_from_wall(np.array([(1.2, 0.85), (1.2, 0.95)]))
        lean = math.hypot(*(a - b)) / abs(a[1] - b[1])
        assert row == pytest.approx(width * lean, abs=0.1 * PIXEL)


def test_crosses_lie_on_their_marks_and_along_the_wall():
    on_wall = pose()
    pixels = warped_pixels(warped(on_wall, colours={}, crosses=(("", 1.3, 0.8),)), COVERAGE, NET)
    ((x, y),) = on_wall.px_from_wall(np.array([(1.3, 0.8)]))
    assert centres(pixels, np.array([(x, y)])) == pytest.approx(np.array([(x, y)]), abs=0.05)


def test_equal_frames_are_equal_bytes_and_one_paint_may_stand_alone():
    frame = warped(KINDS["folded"], label="set-up 3", label_at=(0.2, 0.5),
                   crosses=(("M03 upper", 2.3, 1.6),))  # fmt: skip
    first = warped_png(frame, COVERAGE, NET)
    assert first == warped_png(frame, COVERAGE, NET)
    assert Image.open(io.BytesIO(first)).size == (480, 360)
    alone = warped_pixels(warped(KINDS["flat"], colours={2: "#cc0000"}), COVERAGE, NET)
    assert set(np.unique(alone[:, :, 1:])) == {0}
    assert alone[:, :, 0].max() == 0xCC


def test_a_picture_that_misses_the_wall_is_refused():
    away = replace(pose(), axes=readonly(turned(1.4, 0, 0).T @ pose().axes))
    with pytest.raises(RenderError, match="does not meet the wall"):
        warped_pixels(warped(away), COVERAGE, NET)


def test_a_map_too_bent_for_a_picture_has_no_mesh():
    with pytest.raises(ValueError, match="too bent for a picture"):
        projection.warp_mesh(set_up(), pose(bend=-400.0))


def test_a_line_has_a_width():
    with pytest.raises(ValueError, match="width of 0 or more"):
        warped(KINDS["flat"], line_px=-1.0)
