"""From the wall to the projector's pixels."""

from dataclasses import replace

import numpy as np
import pytest

from giornata.core import projection
from giornata.core.foundation import affine_applied

SHEET = projection.Projector(
    name="Hire projector",
    columns=1920,
    rows=1200,
    throw_min=1.4,
    throw_max=1.4,
    lumens=3500.0,
    mode="full",
    modes={"full": 1.0},
    shift_up=0.5,
    shift_side=0.5,
)
STAND = projection.Stand(distance=7.0, height=1.45, ambient=1.0)


def _first(orientation):
    plan, _ = projection.plan_setups(
        20.0, [(0, 2.9)], [(0, 0.0)], [], SHEET, replace(STAND, orientation=orientation)
    )
    return plan.set_ups[1]


def _corners(one):
    return [(one.start, one.head), (one.end, one.head), (one.end, one.foot), (one.start, one.foot)]


def test_level_the_first_pixel_is_the_upper_left_corner():
    # Known by construction: corners from upper left, clockwise.
    one = _first(projection.Orientation.LEVEL)
    matrix = projection.frame_from_wall(one)
    np.testing.assert_allclose(
        affine_applied(matrix, _corners(one)),
        [(0, 0), (1920, 0), (1920, 1200), (0, 1200)],
        atol=1e-6,
    )


def test_on_its_side_a_quarter_turn_clockwise_from_behind():
    # Known by construction: turned clockwise, what was the upper left corner is the upper right;
    # the wall's upper left corner is then the frame's lower left one.
    one = _first(projection.Orientation.ON_SIDE)
    matrix = projection.frame_from_wall(one)
    np.testing.assert_allclose(
        affine_applied(matrix, _corners(one)),
        [(0, 1200), (0, 0), (1920, 0), (1920, 1200)],
        atol=1e-6,
    )


@pytest.mark.parametrize("orientation", list(projection.Orientation))
def test_law_a_frame_never_mirrors_and_keeps_its_scale(orientation):
    # Known by construction: y turns over between wall and frame, so the determinant is below 0,
    # and its size is pixels per square metre.
    one = _first(orientation)
    matrix = projection.frame_from_wall(one)
    assert np.linalg.det(matrix[:2, :2]) == pytest.approx(-1 / one.pitch**2, rel=1e-12)
    assert np.allclose(matrix[:2, :2] @ matrix[:2, :2].T, np.eye(2) / one.pitch**2)


def test_neighbours_agree_on_the_wall():
    # Known by construction: a point in the overlap seen by two set-ups is one point of the wall.
    plan, _ = projection.plan_setups(20.0, [(0, 2.9)], [(0, 0.0)], [], SHEET, STAND)
    one, other = plan.set_ups[:2]
    point = [((one.end + other.start) / 2, 1.2)]
    in_one = affine_applied(projection.frame_from_wall(one), point)
    in_other = affine_applied(projection.frame_from_wall(other), point)
    back = np.linalg.inv(projection.frame_from_wall(other))
    np.testing.assert_allclose(affine_applied(back, in_other), point, atol=1e-9)
    # The point lies half an overlap, 0.5 × one.overlap_next, inside either image.
    assert 1920 - in_one[0, 0] == pytest.approx(in_other[0, 0], abs=1e-6)
    assert in_other[0, 0] * one.pitch == pytest.approx(one.overlap_next / 2)


def test_an_image_without_size_is_refused():
    one = _first(projection.Orientation.LEVEL)
    with pytest.raises(ValueError, match="width, a height and a pixel pitch"):
        replace(one, end=one.start)
