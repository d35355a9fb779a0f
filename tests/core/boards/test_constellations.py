"""Marks told apart by how they stand to each other: made places, no pictures, truth known.

Each rival is made on purpose: crosses in an even grid, named one column aside.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from giornata.core.boards.constellation import constellation
from giornata.core.boards.standing import Standing, by_taps
from giornata.core.projection import FACING, PoseMap, turned

SIZE = (1920.0, 1080.0)
COLUMNS = np.arange(6) * 300.0 + 150
ROWS = (200.0, 540.0, 880.0)
THROW = 1.4 * 1920


def grid(columns, rows=ROWS):
    return np.array([(x, y) for y in rows for x in columns])


def told(planned, seen, relief=0.0, alike=0.8, others=()):
    """Which mark each cross is taken for, by their numbers, and whether that is ambiguous."""
    deep = np.column_stack([planned, np.broadcast_to(relief, len(planned))])
    beside = np.column_stack([np.reshape(others, (-1, 2)), np.zeros(len(others))])
    made = constellation(deep, seen, np.broadcast_to(alike, len(seen)), SIZE, beside)
    assert made is not None
    return dict(made.matched), made.ambiguous


def over_a_fold(shift, origin=0.8):
    """A 4 by 3 grid as planned and as it stands so far aside [px], and relief as planned [-].

    The wall folds away beyond its third and fourth column; the projector stands 9 m before it,
    turned by 8 degrees, 2.3 m aside of its plan.
    """
    where = {
        "focal": THROW,
        "centre": np.array([960.0, 1080.0]),
        "fold": math.radians(-30),
        "origin": origin,
    }
    plan = PoseMap(axes=FACING, lens=np.array([0.0, 1.4, 9.0]), **where)
    turn = turned(math.radians(8), 0.0, math.radians(-2))
    stands = PoseMap(axes=turn.T @ FACING, lens=np.array([shift, 1.4, 9.3]), **where)
    wall = np.array([(x, y) for y in (1.6, 3.1, 4.6) for x in (-2.4, -0.5, 1.4, 3.3)])
    return plan.px_from_wall(wall), stands.px_from_wall(wall), plan.relief(wall)


def test_n50_crosses_that_stand_alike_twice_are_not_guessed():
    # Four of six even columns are planned: named one column aside as many fit.
    _, ambiguous = told(grid(COLUMNS[:4] + 150), grid(COLUMNS))
    assert ambiguous


def test_n50_a_column_outside_the_photo_leaves_it_open():
    # Four columns planned, three seen: the first three or the last three.
    _, ambiguous = told(grid(COLUMNS[:4] + 150), grid(COLUMNS[:3]))
    assert ambiguous


@pytest.mark.parametrize("shift", [0.0, 130.0], ids=["as planned", "moved"])
def test_n50_where_all_but_two_are_seen_nothing_is_open(shift):
    # A column aside only 9 of the 12 fit, and 10 do as they are.
    seen = grid(COLUMNS[:4])[2:] + shift
    matched, ambiguous = told(grid(COLUMNS[:4]), seen)
    assert not ambiguous
    assert matched == {number + 2: number for number in range(10)}


def test_n50_a_cross_more_decides_unless_it_tells_little_or_is_another_set_ups():
    # Two of the first column of three are hidden: ten crosses fit, of which nine also do a column
    # aside; and that is nearer to where the plan has the picture.
    seen = np.concatenate([grid(COLUMNS[1:4]), [(COLUMNS[0], ROWS[0])]])
    beside = grid(COLUMNS[:4] + 250)
    matched, ambiguous = told(beside, seen)
    assert not ambiguous
    assert matched[0] == 9
    # What is as like as much else may be no cross, unless it lies where the clear ones say.
    alike = np.append(np.full(9, 0.9), 0.62)
    _, ambiguous = told(grid(COLUMNS[:4]), seen, alike=alike)
    assert not ambiguous
    _, ambiguous = told(grid(COLUMNS[:4]), seen + np.outer(alike < 0.7, (6, -5)), alike=alike)
    assert ambiguous
    # Where other set-ups' marks go on as evenly, it may be one of them.
    _, ambiguous = told(beside, seen, others=grid(COLUMNS[:1] - 50))
    assert ambiguous


def test_n50_marks_that_go_on_evenly_are_named_by_the_plan_and_that_is_said():
    # Eight even columns on the wall, the middle four this set-up's and in the picture, which stands
    # a little beside its plan: a column aside nine would do as well, with three of its neighbour's.
    on_wall = np.arange(8) * 500.0 - 790
    for aside, ambiguous in ((60, False), (250, True)):
        own, others = grid(on_wall[2:6] - aside), grid(on_wall[[0, 1, 6, 7]] - aside)
        made = constellation(
            np.column_stack([own, np.zeros(12)]), grid(on_wall[2:6]), np.full(12, 0.9), SIZE,
            np.column_stack([others, np.zeros(12)]),
        )  # fmt: skip
        assert made.by_plan
        assert made.ambiguous is ambiguous
    alone, _ = told(own, grid(on_wall[2:6]))
    assert alone == {number: number for number in range(12)}


def test_n50_of_four_marks_one_may_be_poor_and_of_twelve_six_are_clear():
    corners = grid(COLUMNS[[0, 3]], ROWS[::2])
    matched, ambiguous = told(corners, corners + 7, alike=np.array([0.9, 0.9, 0.9, 0.55]))
    assert matched == {number: number for number in range(4)}
    assert not ambiguous
    # Five clear crosses and one poor one 10 px off: it may be none, and so may be what all are.
    planned = grid(COLUMNS[:4])
    seen = planned[[0, 1, 4, 6, 9, 11]] + np.outer([0, 0, 0, 0, 0, 1], (8, 6))
    args = (np.column_stack([planned, np.zeros(12)]), seen, np.array([0.9] * 5 + [0.55]), SIZE)
    assert constellation(*args) is None


def test_n50_a_few_false_crosses_make_no_constellation():
    # All marks but four in a row are hidden, and six false ones happen to stand as six marks do a
    # little aside.
    planned = grid(COLUMNS[:4])
    seen = np.concatenate([planned[[4, 5, 6, 7]], planned[[0, 1, 2, 8, 9, 10]] + (40, 30)])
    made = constellation(
        np.column_stack([planned, np.zeros(12)]), seen, np.repeat([0.9, 0.55], [4, 6]), SIZE
    )
    assert made is None or made.ambiguous


@pytest.mark.parametrize("hidden", [{0, 4, 8}, {0, 4}], ids=["all", "all but one"])
@pytest.mark.parametrize("origin", [-3.0, -1.5, -0.9])
def test_n50_marks_beyond_the_fold_alone_say_nothing_of_depth(origin, hidden):
    # Of a plane and one place off it a matrix of 3 by 4 has one number left open (8 + 2 of 11): as
    # it came, the right names were lost and nine of the next column's given for sure.
    planned, seen, relief = over_a_fold(0.0, origin)
    kept = [number for number in range(12) if number not in hidden]
    noise = np.random.default_rng(1).normal(0, 1.0, (len(kept), 2))
    matched, ambiguous = told(planned, seen[kept] + noise, relief)
    assert ambiguous or matched == {mark: number for number, mark in enumerate(kept)}


@pytest.mark.parametrize("shift", [0.3, -2.3], ids=["near its plan", "a column beside it"])
def test_n50_over_a_fold_no_mark_is_taken_for_the_next_columns(shift):
    planned, seen, relief = over_a_fold(shift)
    matched, ambiguous = told(planned, seen, relief)
    assert matched == {number: number for number in range(12)}
    assert not ambiguous


def test_n50_where_the_wall_is_not_as_it_was_read_a_better_rival_stops_it():
    # A made scene folded by 30 degrees whose picture stands 2.5 m beside its plan, taken for flat:
    # the right names of all twelve agree to a fiftieth of the picture only, wrong ones of nine
    # to a hundredth.
    x = [810, 1358, 1939, 2485, 815, 1373, 1961, 2518, 819, 1387, 1984, 2552]
    y = [282, 240, 194, 170, 722, 691, 660, 647, 1177, 1159, 1142, 1142]
    seen = grid((69.0, 663.0, 1257.0, 1851.0), (60.0, 540.0, 1020.0))
    matched, ambiguous = told(np.column_stack([x, y]).astype(float), seen)
    assert ambiguous
    assert len(matched) == 9


def test_a_place_on_the_horizon_is_no_place_in_the_picture():
    # By hand: x and y over x; a start that leads astray may put a mark there.
    matrix = np.array([[1.0, 0, 0, 0], [0, 1, 0, 0], [1, 0, 0, 0]])
    standing = Standing(matrix=matrix, middle=np.zeros(2), spread=1.0)
    places = np.array([(0.0, 0.0, 0.0), (2.0, 6.0, 0.0)])
    assert standing.mapped(places)[1].tolist() == [1.0, 3.0]
    assert np.isnan(standing.mapped(places)[0]).all()
    assert not np.isfinite(standing.slopes(places)[0]).any()
    # d/dx (1, y / x) = (0, -6 / 4), d/dy = (0, 1 / 2).
    assert standing.slopes(places)[1, :, :2].tolist() == [[0.0, 0.0], [-1.5, 0.5]]


@pytest.mark.parametrize("off", [0, 1], ids=["five of a row", "four of a row and one beside it"])
def test_taps_along_one_row_leave_no_pose_open(off):
    # A picture 2 % larger and moved by (30, -20) px, as it falls, whichever marks are tapped.
    planned = grid(np.array([100.0, 500.0, 900.0, 1300.0, 1800.0]), (1000.0, 100.0))
    fallen = 1.02 * planned + (30.0, -20.0)
    tapped = [0, 1, 2, 3, 4] if not off else [0, 1, 2, 3, 7]
    noise = np.random.default_rng(1).normal(0, 0.3, (5, 2))
    flat = np.column_stack([planned, np.zeros(len(planned))])
    standing = by_taps(flat[tapped], fallen[tapped] + noise)
    # 0.3 px over a row of 1,700 px and 900 px away from it: a pixel or so.
    assert np.abs(standing.mapped(flat) - fallen).max() < 3.0


def test_marks_planned_in_one_place_give_no_map():
    with pytest.raises(ValueError, match="in one place"):
        by_taps(np.array([(5.0, 5.0, 0.0)] * 2), np.array([(5.0, 5.0), (9.0, 5.0)]))
