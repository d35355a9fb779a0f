"""Places carried over a fold: two planes seen by two pinholes, by hand; truth by construction."""

from __future__ import annotations

import math

import numpy as np
import pytest

from giornata.core.boards.carrying import carrier
from giornata.core.boards.fold_lines import FoldLine, fold_line


def two_views(degrees: float, at: float = 0.4):
    """A grid on a wall 6 by 3 m, folded at a chainage, as a projector and a phone see it. [px]"""
    s, up = (a.ravel() for a in np.meshgrid(np.linspace(-3, 3, 25), np.linspace(0.2, 3.2, 13)))
    past = np.maximum(s - at, 0.0)
    turn = math.radians(degrees)
    x = s - past * (1 - math.cos(turn))
    out = past * math.sin(turn)

    def seen(place, focal, middle):
        away = np.column_stack([x, up, out]) - place
        return np.column_stack(
            [
                middle[0] - focal * away[:, 0] / away[:, 2],
                middle[1] + focal * away[:, 1] / away[:, 2],
            ]
        )

    lamp = seen((0.2, 1.4, 9.0), 2688.0, (960.0, 1080.0))
    phone = seen((3.0, 1.6, 8.0), 2200.0, (600.0, 750.0))
    return s > at, phone, lamp


@pytest.mark.parametrize("degrees", [15.0, -15.0, 30.0, -30.0])
def test_a_fold_is_found_where_it_is_and_points_near_it_are_carried(degrees):
    past, phone, lamp = two_views(degrees)
    noise = np.random.default_rng(1).normal(0, 0.05, phone.shape)
    made, kept = carrier(phone + noise, lamp)
    assert made.fold is not None
    assert kept.mean() > 0.98
    beyond = made.fold.beyond(phone)
    assert (beyond == past).all() or (beyond != past).all()
    # Noise of 0.05 px of the phone is about 0.06 px of the projector.
    places, _ = made.carried(phone)
    assert np.hypot(*(places - lamp).T).max() < 0.5
    assert 0.03 < made.sigma < 0.12


def test_a_photo_turned_by_a_quarter_folds_along_the_other_axis():
    past, phone, lamp = two_views(20.0)
    made, _ = carrier(phone[:, ::-1] * (1, -1) + (0, 1200.0), lamp)
    beyond = made.fold.beyond(phone[:, ::-1] * (1, -1) + (0, 1200.0))
    assert (beyond == past).all() or (beyond != past).all()


def test_a_flat_wall_has_no_fold_and_wrong_points_make_none():
    _, phone, lamp = two_views(0.0)
    rng = np.random.default_rng(2)
    noisy = phone + rng.normal(0, 0.1, phone.shape)
    assert fold_line(noisy, lamp) is None
    noisy[rng.choice(len(noisy), 20, replace=False)] += rng.normal(0, 30, (20, 2))
    made, kept = carrier(noisy, lamp)
    assert made.fold is None
    assert 0.85 < kept.mean() < 0.97


def test_too_few_points_carry_nothing():
    _, phone, lamp = two_views(0.0)
    assert carrier(phone[:11], lamp[:11]) is None
    assert fold_line(phone[:30], lamp[:30]) is None


def test_a_line_parts_points_by_its_normal():
    line = FoldLine(along=1.0, up=0.0, offset=5.0)
    assert line.beyond(np.array([[4.0, 9.0], [6.0, -9.0]])).tolist() == [False, True]
