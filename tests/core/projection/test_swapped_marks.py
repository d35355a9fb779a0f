"""Marks typed under one another's names: refused, and which were exchanged is said."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from giornata.core import projection
from giornata.core.foundation import readonly
from giornata.core.geometry import Coverage
from giornata.core.projection import MarkSeen, Orientation, SetUp, WallShape, brightness, turned
from giornata.core.projection.swapped_marks import mixed_up, put_right

MM = 0.001
CELL = shapely.box(30.1, 0.0, 34.9, 2.9)
LINE = shapely.LineString([(30.0, 1.2), (35.0, 1.2)])
COVERAGE = Coverage(
    faces=np.array([shapely.box(20, 0, 50, 3)]), labels=np.array([1]), edges=np.array([LINE]),
    left=np.array([1]), right=np.array([2]),
)  # fmt: skip
# 5.00 m by 3.125 m from 7.0 m at a throw ratio of 1.4 (need N45).
SET_UP = SetUp(
    number=4, column=4, row=1, centre=32.5, distance=7.0, lens_level=1.4, lens_height=1.4,
    orientation=Orientation.LEVEL, start=30.0, end=35.0, foot=0.0, head=3.125, wall_foot=0.0,
    wall_head=2.9, pitch=5.0 / 1920, columns=1920, rows=1200, throw_ratio=1.4,
    light=brightness(179.0, 10.0, 5.0), shift=0.052, tilt=0.0, keystone=1.0, overlap_next=0.5,
    overlap_above=None,
)  # fmt: skip


def seen(rng, across, *, turn=3.0, away=0.05):
    """Two marks in each of some columns, by a projector turned by up to so many degrees."""
    places = [(x, y) for x in np.linspace(30.2, 34.8, across) for y in (0.2, 2.7)]
    pose = WallShape().pose(SET_UP)
    angles = np.radians(rng.uniform(-turn, turn, 3)).tolist()
    truth = replace(
        pose, axes=readonly(turned(*angles).T @ pose.axes),
        lens=readonly(pose.lens + rng.normal(0, away, 3)),
    )  # fmt: skip
    px = truth.px_from_wall(np.array(places)) + rng.normal(0, 1, (len(places), 2))
    return [
        MarkSeen(name=f"M{1 + k // 2:02d} {('lower', 'upper')[k % 2]}", chainage=x, level=y,
                 x_px=u, y_px=v, mark_sigma=2 * MM, px_sigma=1.0)
        for k, ((x, y), (u, v)) in enumerate(zip(places, px.tolist(), strict=True))
    ]  # fmt: skip


def typed(marks, *pairs):
    """The marks with numbers exchanged."""
    swaps = [(marks[a].name, marks[b].name) for a, b in pairs]
    return list(put_right(marks, [*swaps, *((b, a) for a, b in swaps)]))


def squared(marks, **more):
    return projection.squared(
        SET_UP, marks, WallShape(), COVERAGE, CELL, limit=10 * MM, needed_pitch=8 * MM, **more
    )


MIXED = {
    "upper and lower": ([(0, 1), (2, 3)], "the picture would be mirrored"),
    "left and right": ([(0, 2), (1, 3)], "the picture would be mirrored"),
    "one column": ([(2, 3)], ""),
    "on its head": ([(0, 3), (1, 2)], "would stand on its head"),
}


@pytest.mark.parametrize("known", [True, False])
@pytest.mark.parametrize("case", MIXED)
def test_c2_four_marks_under_one_anothers_names_stop_and_are_named(case, known):
    pairs, words = MIXED[case]
    right = seen(np.random.default_rng(2), 2)
    made = squared(typed(right, *pairs), projector_known=known)
    (said,) = made.findings
    assert (said.code, str(said.severity)) == ("projection.square_swapped", "stop")
    assert made.fit is None
    for a, b in pairs:
        assert f"{right[a].name} and {right[b].name} are exchanged" in said.message
    assert words in said.message
    assert squared(right, projector_known=known).fit is not None


@pytest.mark.parametrize("known", [True, False])
def test_c2_two_of_more_marks_under_one_anothers_names_are_named(known):
    right = seen(np.random.default_rng(3), 4)
    (said,) = squared(typed(right, (6, 7)), projector_known=known).findings
    assert said.code == "projection.square_swapped"
    assert "M04 lower and M04 upper are exchanged" in said.message
    assert "no map from wall to picture fits" in said.message


def test_c2_three_that_went_round_are_named_each_with_whose_numbers_it_has():
    right = seen(np.random.default_rng(4), 3)
    names = [right[k].name for k in (0, 1, 2)]
    round_ = list(put_right(right, list(zip(names, [*names[1:], names[0]], strict=True))))
    (said,) = squared(round_).findings
    assert said.code == "projection.square_swapped"
    assert said.message.count("has the numbers of") == 3


def test_c2_right_names_are_never_called_mixed_up():
    # A projector set up roughly: turned by up to 10 degrees each way, moved by 0.3 m; and a slip
    # of one mark by a third of the picture is no exchange either.
    rng = np.random.default_rng(5)
    planned = WallShape().pose(SET_UP)
    for k in range(200):
        marks = seen(rng, 2 + k % 5, turn=10.0, away=0.3)
        assert mixed_up(SET_UP, marks, planned) == ()
        slip = replace(marks[0], x_px=marks[0].x_px + 600 * math.cos(k))
        assert mixed_up(SET_UP, [slip, *marks[1:]], planned) == ()
