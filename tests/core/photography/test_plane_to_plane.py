"""Points to a plane-to-plane mapping: OpenCV's findHomography as the reference."""

from __future__ import annotations

import math

import cv2
import numpy as np
import pytest

from giornata.core.geometry import mapped, plane_to_plane
from giornata.core.photography import (
    KnownPoint,
    error_ellipse,
    fitted,
    thinness,
)

PIXEL = 1.0
CORNERS_WALL = np.array([[2.0, 0.0], [10.0, 0.0], [10.0, 3.0], [2.0, 3.0]])
CORNERS_PHOTO = np.array([[400.0, 2400.0], [3500.0, 2000.0], [3450.0, 900.0], [450.0, 500.0]])


def scaled(matrix):
    return matrix / matrix[2, 2]


def test_four_points_give_what_opencv_gives(truth):
    ours = plane_to_plane(CORNERS_WALL, CORNERS_PHOTO)
    assert scaled(ours) == pytest.approx(scaled(truth), rel=1e-9)
    assert mapped(ours, CORNERS_WALL) == pytest.approx(CORNERS_PHOTO, abs=1e-6 * PIXEL)


def test_refined_many_points_give_what_opencv_gives():
    """Without tape error, least squares on pixels alone: OpenCV's findHomography, method 0."""
    rng = np.random.default_rng(3)
    wall = np.column_stack([rng.uniform(2, 10, 20), rng.uniform(0, 3, 20)])
    reference, _ = cv2.findHomography(CORNERS_WALL, CORNERS_PHOTO)
    px = cv2.perspectiveTransform(wall.reshape(-1, 1, 2), reference).reshape(-1, 2)
    px = px + rng.normal(0, 1.0, px.shape)
    theirs, _ = cv2.findHomography(wall, px, 0)
    points = [
        KnownPoint(name=str(n), chainage=w[0], level=w[1], x=p[0], y=p[1], chainage_sigma=0.0,
                   level_sigma=0.0)
        for n, (w, p) in enumerate(zip(wall, px, strict=True))
    ]  # fmt: skip
    view = fitted(points, 4000, 3000, bent=False).view
    grid = np.array([[2.0, 0.0], [6.0, 1.5], [10.0, 3.0], [9.0, 0.3]])
    expected = cv2.perspectiveTransform(grid.reshape(-1, 1, 2), theirs).reshape(-1, 2)
    # OpenCV stops its refinement earlier than we do.
    assert view.photo_from_wall(grid) == pytest.approx(expected, abs=0.02 * PIXEL)


def test_there_and_back_is_the_same_place(points_at):
    view = fitted(points_at(CORNERS_WALL), 4000, 3000, bent=False).view
    places = np.array([[3.0, 0.5], [7.7, 2.2]])
    back, there = view.wall_from_photo(view.photo_from_wall(places))
    assert there.all()
    assert back == pytest.approx(places, abs=1e-9)


def test_slopes_are_those_of_small_steps(points_at):
    places = [*CORNERS_WALL, [5.0, 1.0], [7.0, 2.5], [3.0, 2.0]]
    view = fitted(points_at(places), 4000, 3000, bent=True).view
    at = np.array([[4.0, 1.2]])
    by_wall, _ = view.slopes(at)
    step = 1e-5
    for axis in range(2):
        moved = at + step * np.eye(2)[axis]
        slope = (view.photo_from_wall(moved) - view.photo_from_wall(at)) / step
        assert by_wall[0, :, axis] == pytest.approx(slope[0], rel=1e-3)


def test_thinness_by_hand():
    # 3-4-5 triangles: the height over the longest side is 3 × 4 / 5.
    assert thinness(np.array([[0, 0], [3, 0], [3, 4], [0, 4.0]])) == pytest.approx(2.4)
    assert thinness(np.array([[0, 0], [1, 0], [2, 0], [1, 5.0], [3, 0]])) == 0.0
    assert thinness(np.array([[0, 0], [1, 0], [0, 1.0]])) == 0.0
    many = np.column_stack([np.linspace(0, 9, 60), np.zeros(60)])
    assert thinness(many) == 0.0


def test_an_ellipse_by_hand():
    # Deviations of 4 mm along and 3 mm up: half axes are sqrt(-2 ln 0.05) = 2.4477 times those.
    long, short, along = error_ellipse(np.diag([16e-6, 9e-6]))
    assert (long, short) == pytest.approx((0.0040 * 2.4477, 0.0030 * 2.4477), rel=1e-4)
    assert math.cos(along) == pytest.approx(1.0) or math.cos(along) == pytest.approx(-1.0)


def test_three_points_are_a_callers_mistake(points_at):
    with pytest.raises(ValueError, match="four points"):
        fitted(points_at(CORNERS_WALL[:3]), 4000, 3000, bent=False)
    with pytest.raises(ValueError, match="four points or more"):
        plane_to_plane(CORNERS_WALL[:3], CORNERS_PHOTO[:3])
