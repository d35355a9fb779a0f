"""Photos laid upon each other; how they were moved is known by construction, seeds fixed."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from giornata.core.boards.laying import edges, laid_upon

HIGH, WIDE = 600, 800


def wall(seed: int = 1) -> np.ndarray:
    """Light of a textured wall, larger than the photos of it, 20 px of margin all round."""
    rng = np.random.default_rng(seed)
    fine = rng.standard_normal((HIGH + 40, WIDE + 40)).astype(np.float32)
    rough = cv2.GaussianBlur(fine, (0, 0), 1.5) * 3 + cv2.GaussianBlur(fine, (0, 0), 6) * 8
    return np.clip(0.3 + 0.05 * rough, 0.02, 1).astype(np.float32)


def taken(light: np.ndarray, matrix: np.ndarray, seed: int) -> np.ndarray:
    """A photo: places of it are taken from the wall by a plane's map, drawn by OpenCV."""
    inside = np.array([[1, 0, 20.0], [0, 1, 20.0], [0, 0, 1]]) @ matrix
    photo = cv2.warpPerspective(
        light, inside, (WIDE, HIGH), flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP
    )
    noise = np.random.default_rng(seed).normal(0, 0.01, photo.shape)
    return np.clip(photo + noise, 0, 1).astype(np.float32)


MOVED = np.array([[1.002, 0.004, 5.3], [-0.003, 0.999, -3.6], [2e-6, -1e-6, 1.0]])


def test_a_moved_photo_is_laid_to_a_few_hundredths_of_a_pixel():
    light = wall()
    still, moved = taken(light, np.eye(3), 1), taken(light, MOVED, 2)
    made = laid_upon(still, moved)
    assert made is not None
    # By hand: the middle, (400, 300), moves by (0.8 + 1.2 + 5.3, -1.2 - 0.3 - 3.6) = (7.3, -5.1),
    # divided by 1.0005: 7.1 and 5.3 px, 8.8 px together.
    assert made.far == pytest.approx(8.8, abs=0.5)
    assert 0 < made.sigma < 0.1
    # What is left between them: by phase correlation, as OpenCV has it, of what is inside.
    inner = np.s_[60:-60, 60:-60]
    (x, y), _ = cv2.phaseCorrelate(
        np.ascontiguousarray(still[inner]), np.ascontiguousarray(made.light[inner])
    )
    assert np.hypot(x, y) < 0.1


def test_a_photo_that_did_not_move_is_left_as_it_is():
    light = wall()
    still, again = taken(light, np.eye(3), 1), taken(light, np.eye(3), 2)
    made = laid_upon(still, again)
    assert made is not None
    assert made.light is again
    assert made.sigma == 0.0


def test_another_wall_is_not_laid_upon_this_one():
    still = taken(wall(), np.eye(3), 1)
    assert laid_upon(still, taken(wall(7), np.eye(3), 2)) is None


def test_what_is_laid_may_be_another_picture_than_what_tells():
    light = wall()
    still, moved = taken(light, np.eye(3), 1), taken(light, MOVED, 2)
    turned = (1.0 - moved).astype(np.float32)
    made = laid_upon(edges(still), edges(moved), moved=turned)
    assert made is not None
    inner = np.s_[60:-60, 60:-60]
    alike = np.corrcoef(still[inner].ravel(), made.light[inner].ravel())[0, 1]
    assert alike < -0.9


def test_only_what_both_show_is_compared():
    # A pattern covers two squares of three in the first photo alone, and stays where it is.
    light = wall()
    still, moved = taken(light, np.eye(3), 1), taken(light, MOVED, 2)
    row, column = np.mgrid[:HIGH, :WIDE] // 40
    shown = (row + column) % 3 == 0
    made = laid_upon(np.where(shown, still, 0.02).astype(np.float32), moved, shown=shown)
    assert made is not None
    assert made.far == pytest.approx(8.8, abs=0.5)  # as worked by hand above
    inner = np.s_[60:-60, 60:-60]
    (x, y), _ = cv2.phaseCorrelate(
        np.ascontiguousarray(still[inner]), np.ascontiguousarray(made.light[inner])
    )
    assert np.hypot(x, y) < 0.15


def test_posts_that_move_otherwise_than_the_wall_are_not_averaged_with_it():
    light = wall()
    still, moved = taken(light, np.eye(3), 1), taken(light, MOVED, 2)
    for photo in (still, moved):
        for left in range(30, WIDE, 75):
            photo[:, left : left + 25] = 0.02
    assert laid_upon(still, moved) is None
