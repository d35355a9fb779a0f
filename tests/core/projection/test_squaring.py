"""Squaring: what marks say of a picture, refusals, hands before warps, errors along lines."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest
import shapely

from giornata.core import projection
from giornata.core.foundation import affine_applied, readonly
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.projection import (
    MapKind,
    MarkSeen,
    Orientation,
    PoseMap,
    SetUp,
    Squared,
    WallShape,
    brightness,
    frame_from_wall,
    turned,
)

MM = 0.001
CELL = shapely.box(30.1, 0.0, 34.9, 2.9)
LINES = [
    shapely.LineString([(30.0, 1.2), (35.0, 1.2)]),
    shapely.LineString([(33.0, 0.0), (33.0, 3.0)]),
    shapely.Point(31.5, 2.0).buffer(0.4).exterior,
    shapely.LineString([(40.0, 0.0), (40.0, 3.0)]),
]
COVERAGE = Coverage(
    faces=np.array([shapely.box(20, 0, 50, 3)]),
    labels=np.array([1]),
    edges=np.array([*LINES, shapely.LineString([(20, 0), (50, 0)])]),
    left=np.array([1, 1, 1, 1, OUTSIDE]),
    right=np.array([2, 3, 2, 2, 1]),
)


def set_up(orientation: Orientation = Orientation.LEVEL, **more: object) -> SetUp:
    """5.00 m by 3.125 m from 7.0 m at a throw ratio of 1.4 (need N45), or on its side."""
    wide, high = (5.0, 3.125) if orientation is Orientation.LEVEL else (3.125, 5.0)
    made = SetUp(
        number=4, column=4, row=1, centre=32.5, distance=7.0, lens_level=1.4, lens_height=1.4,
        orientation=orientation, start=32.5 - wide / 2, end=32.5 + wide / 2, foot=0.0, head=high,
        wall_foot=0.0, wall_head=2.9, pitch=5.0 / 1920, columns=1920, rows=1200, throw_ratio=1.4,
        light=brightness(179.0, 10.0, 5.0), shift=(high / 2 - 1.4) / high, tilt=0.0, keystone=1.0,
        overlap_next=0.5, overlap_above=None,
    )  # fmt: skip
    return replace(made, **more)  # type: ignore[arg-type]


def grid(across: int = 4, down: int = 3) -> np.ndarray:
    return np.array(
        [(x, y) for x in np.linspace(30.2, 34.8, across) for y in np.linspace(0.2, 2.7, down)]
    )


def seen_by(truth: PoseMap, places: np.ndarray, noise: float = 0.0) -> list[MarkSeen]:
    rng = np.random.default_rng(4)
    px = truth.px_from_wall(places) + rng.normal(0, 1, places.shape) * noise
    return [
        MarkSeen(
            name=f"M{number:02d}", chainage=x, level=y, x_px=u, y_px=v, mark_sigma=2 * MM,
            px_sigma=1.0,
        )
        for number, ((x, y), (u, v)) in enumerate(
            zip(places.tolist(), px.tolist(), strict=True), start=1
        )
    ]  # fmt: skip


def moved(one: SetUp, shape: WallShape | None = None, **by: float) -> PoseMap:
    """The projector turned [degrees] and moved [m] off its plan, upright picture's axes."""
    pose = (shape or WallShape()).pose(one)
    turn = turned(*(math.radians(by.get(name, 0.0)) for name in ("pan", "tilt", "roll")))
    if one.orientation is Orientation.ON_SIDE:
        # The frame's right is the picture's down, its down the picture's left.
        quarter = np.array([[0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
        turn = quarter @ turn @ quarter.T
    lens = pose.lens + [by.get(name, 0.0) for name in ("along", "up", "away")]
    return replace(pose, axes=readonly(turn.T @ pose.axes), lens=readonly(lens))


def squared(marks: list[MarkSeen], shape: WallShape | None = None, **more: object) -> Squared:
    given = {"limit": 10 * MM, "needed_pitch": 8 * MM, **more}
    one = given.pop("one", None) or set_up()
    return projection.squared(
        one, marks, shape or WallShape(), COVERAGE, given.pop("cell", CELL), **given  # type: ignore[arg-type]
    )  # fmt: skip


def codes(made: Squared) -> set[str]:
    return {one.code for one in made.findings}


@pytest.mark.parametrize("orientation", list(Orientation))
def test_the_planned_pose_is_the_planned_frame(orientation):
    # Known by construction: square on, a projector's frame is scaled and moved, nothing else.
    one = set_up(orientation)
    places = grid()
    by_frame = affine_applied(frame_from_wall(one), places)
    assert WallShape().pose(one).px_from_wall(places) == pytest.approx(by_frame, abs=1e-6)


@pytest.mark.parametrize("hinge", [31.5, 33.5])
def test_before_a_folded_wall_the_picture_is_square_to_its_own_stretch(hinge):
    one = set_up()
    pose = WallShape(hinge=hinge, fold=0.2).pose(one)
    own = np.array([(x, y) for x, y in grid(6, 3) if (x > hinge) == (one.centre > hinge)])
    by_frame = affine_applied(frame_from_wall(one), own)
    assert pose.px_from_wall(own) == pytest.approx(by_frame, abs=1e-6)


def test_the_pose_goes_back_from_the_picture_to_the_wall():
    truth = moved(set_up(), pan=4, tilt=-3, roll=2)
    for shape in ({}, {"origin": 32.0, "curvature": 0.05}, {"origin": 32.0, "fold": 0.4}):
        pose = replace(truth, **shape)
        back = projection.wall_from_px(pose, pose.px_from_wall(grid()), grid() + 0.1)
        assert back == pytest.approx(grid(), abs=1e-6)
    behind = replace(truth, axes=readonly(turned(1.4, 0, 0).T @ projection.FACING))
    assert np.isnan(projection.wall_from_px(behind, np.array([[1900.0, 600.0]]), grid()[:1])).all()


@pytest.mark.parametrize("orientation", list(Orientation))
def test_what_to_turn_by_hand_is_how_it_was_turned(orientation):
    one = set_up(orientation)
    truth = moved(one, pan=1.5, tilt=-1.0, roll=0.8, away=0.0)
    x = np.linspace(one.start + 0.1, one.end - 0.1, 4)
    places = np.array([(a, b) for a in x for b in (0.2, 1.5, 2.8)])
    made = squared(seen_by(truth, places), one=one, cell=shapely.box(x[0], 0.1, x[-1], 2.9))
    hand = made.by_hand
    assert hand is not None
    angles = [math.degrees(a) for a in (hand.pan, hand.tilt, hand.roll)]
    assert angles == pytest.approx([1.5, -1.0, 0.8], abs=0.1)
    words = " ".join(projection.by_hand_words(hand))
    assert "anticlockwise" in words
    assert "degrees up" in words
    assert "to the left" in words


def test_a_picture_that_is_too_large_is_made_smaller():
    made = squared(seen_by(moved(set_up(), away=0.21), grid()))  # 3 % of 7 m
    assert made.by_hand is not None
    assert made.by_hand.size == pytest.approx(1.03, abs=0.004)
    assert any("smaller" in word for word in projection.by_hand_words(made.by_hand))


def test_right_marks_square_a_picture_and_nothing_is_amiss():
    truth = moved(set_up(), pan=0.5, tilt=-0.4, roll=0.3)
    made = squared(seen_by(truth, grid(), noise=1.0))
    assert codes(made) == set()
    assert (made.kind, made.bad, made.widened) == (MapKind.POSE, None, 1.0)
    assert made.fit is not None
    assert made.on_wall is made.fit.on_wall
    assert made.error is not None
    assert made.error.middle < made.error.most < made.error.worst.longer
    # The lines: three cross the cell, none of them outside it, and each is off by no more than
    # the picture at its worst place; the first is the worst.
    assert [line.edge for line in made.lines] == sorted(
        (0, 1, 2), key=lambda e: -next(x.worst for x in made.lines if x.edge == e)
    )
    assert {line.edge: round(line.length, 3) for line in made.lines} == pytest.approx(
        {0: 4.8, 1: 2.9, 2: 2 * math.pi * 0.4}, rel=0.01
    )
    for line in made.lines:
        assert line.most <= line.worst <= made.error.worst.longer
        here = np.array([(line.chainage, line.level)])
        radius = projection.error_radius(projection.error_covariance(made.fit, here))
        assert line.worst == pytest.approx(float(radius[0]))


def test_a_bad_mark_is_named_and_left_out():
    marks = seen_by(moved(set_up(), pan=0.5), grid(), noise=1.0)
    marks[5] = replace(marks[5], x_px=marks[5].x_px + 50 * MM / set_up().pitch)
    made = squared(marks)
    assert codes(made) == {"projection.square_bad_mark"}
    assert made.bad is not None
    assert made.bad.named == "M06"
    assert made.fit is not None
    assert len(made.fit.marks) == 11


@pytest.mark.parametrize("number", [1, 2, 5, 6])
def test_a_mark_written_ten_metres_off_blames_no_other(number):
    # A slip in the tens of its chainage: the fit with all marks turns to it, and then the others
    # seem to be those that are off.
    marks = seen_by(moved(set_up(), pan=-1.5, tilt=2.0), grid(4, 2), noise=1.0)
    marks[number] = replace(marks[number], chainage=marks[number].chainage + 10.0)
    made = squared(marks)
    assert made.bad is None or made.bad.named in (None, marks[number].name)
    assert made.findings


def test_one_of_few_marks_is_doubted_and_none_named():
    five = seen_by(moved(set_up()), np.array([*grid(2, 2), (32.5, 1.4)]), noise=0.5)
    five[2] = replace(five[2], y_px=five[2].y_px + 60)
    made = squared(five)
    assert {"projection.square_doubt", "projection.square_unchecked"} <= codes(made)
    assert made.bad is not None
    assert made.bad.named is None


@pytest.mark.parametrize(
    ("known", "truth", "kind"),
    [
        (WallShape(hinge=32.0, fold=0.15), {"origin": 32.0, "fold": 0.16}, MapKind.POSE_FOLD),
        (WallShape(curvature=-0.05), {"curvature": -0.051}, MapKind.POSE_CURVE),
    ],
)
def test_the_kind_of_wall_that_the_survey_knows_is_used(known, truth, kind):
    pose = replace(moved(set_up(), known, roll=0.2), **truth)
    made = squared(seen_by(pose, grid(), noise=0.7), known)
    assert made.kind is kind
    assert codes(made) == set()


def test_a_curve_that_nobody_measured_is_told_of():
    pose = replace(moved(set_up(), pan=1), origin=32.5, curvature=1 / 25)
    made = squared(seen_by(pose, grid(), noise=0.7))
    assert made.kind is MapKind.POSE_CURVE
    assert "projection.square_kind" in codes(made)


def test_marks_that_scatter_widen_the_errors():
    marks = seen_by(moved(set_up()), grid(), noise=6.0)
    made = squared(marks)
    assert "projection.square_misfit" in codes(made)
    assert made.widened > 1.5


REFUSED = {
    "projection.square_few": grid()[:3],
    "projection.square_line": np.column_stack([np.linspace(30.2, 34.8, 6), np.full(6, 1.0)]),
}


@pytest.mark.parametrize("code", REFUSED)
def test_marks_that_leave_a_picture_open_are_refused(code):
    made = squared(seen_by(moved(set_up()), REFUSED[code]))
    assert codes(made) == {code}
    assert (made.fit, made.on_wall, made.lines) == (None, None, ())
    assert "set-up 4" in made.findings[0].subject


def test_four_marks_of_which_three_lie_on_a_line_are_refused():
    places = np.array([(30.2, 1.0), (32.0, 1.0), (34.8, 1.0), (32.5, 2.5)])
    assert codes(squared(seen_by(moved(set_up()), places))) == {"projection.square_line"}


def test_a_picture_turned_inside_out_is_refused():
    marks = seen_by(moved(set_up()), grid())
    mirrored = [replace(one, x_px=1920 - one.x_px) for one in marks]
    assert codes(squared(mirrored, projector_known=False)) == {"projection.square_swapped"}
    # Mirrored and a fifth as large: no exchange of names brings it near the plan.
    small = [replace(one, x_px=960 - 0.2 * (one.x_px - 960), y_px=0.2 * one.y_px) for one in marks]
    assert codes(squared(small, projector_known=False)) == {"projection.square_open"}


def test_a_slip_of_typing_that_throws_a_mark_far_off_is_refused():
    marks = seen_by(moved(set_up()), grid())
    marks[3] = replace(marks[3], x_px=marks[3].x_px * 1000)
    made = squared(marks)
    assert codes(made) == {"projection.square_far"}
    assert "M04" in made.findings[0].message


def test_marks_mixed_up_at_random_are_refused_or_doubted_and_break_nothing():
    # Names and numbers thrown together: whatever comes of it is said, and nothing else happens.
    rng = np.random.default_rng(12)
    shapes = (WallShape(), WallShape(hinge=32.0, fold=0.2), WallShape(curvature=0.05))
    for number in range(24):
        count = int(rng.integers(4, 9))
        px = rng.uniform([-1900, -1900], [3800, 3100], (count, 2))
        marks = [
            replace(one, x_px=float(x), y_px=float(y))
            for one, (x, y) in zip(
                seen_by(moved(set_up()), grid()[rng.permutation(12)[:count]]), px, strict=True
            )
        ]
        made = squared(marks, shapes[number % 3], projector_known=bool(number % 2))
        assert made.findings


def test_equations_beyond_what_a_computer_counts_are_refused_by_a_finding():
    # Squares of weights overflow: no step can be taken, which is said and raises nothing.
    marks = seen_by(moved(set_up(), pan=1.0), grid(), noise=1.0)
    marks = [replace(one, px_sigma=1e-160, mark_sigma=0.0) for one in marks]
    assert codes(squared(marks)) == {"projection.square_open"}


def test_equations_that_break_down_are_a_finding(monkeypatch):
    # Of a thousand absurd inputs one ended so, three in sums that overflow (lines 100,000 px off).
    def broken(*_: object) -> None:
        raise np.linalg.LinAlgError("singular")

    monkeypatch.setattr("giornata.core.projection.squaring.suspicion", broken)
    assert codes(squared(seen_by(moved(set_up()), grid()))) == {"projection.square_open"}


def test_bunched_marks_and_lines_that_are_off():
    places = np.array([(32.0 + x, 1.0 + y) for x in (0.0, 0.6, 1.2) for y in (0.0, 0.9)])
    made = squared(seen_by(moved(set_up()), places, noise=0.5))
    assert {"projection.square_bunched", "projection.square_off"} <= codes(made)


def test_hands_come_before_a_warp_that_costs_light_pixels_or_lines():
    # Panned 14 degrees: by the cosine of the far side's ray the pixels there grow long, and the
    # near side's lines leave the picture.
    one = set_up(light=brightness(52.0, 10.0, 5.0))
    truth = moved(one, pan=14)
    made = squared(seen_by(truth, grid(), noise=0.5), one=one, needed_pitch=2.7 * MM)
    assert {
        "projection.square_outside", "projection.square_coarse", "projection.square_dim",
    } <= codes(made)  # fmt: skip
    remedies = [f.remedy for f in made.findings if f.code == "projection.square_outside"]
    assert re.search(r"pan it 1[34]\.\d degrees to the left", remedies[0])
    assert made.cost is not None
    # Known by construction: what a pixel covers is the inverse of the map's own slope.
    here = np.array([(made.cost.chainage, made.cost.level)])
    by_wall, _ = truth.slopes(here)
    assert made.cost.pitch == pytest.approx(1 / np.linalg.svd(by_wall[0])[1][1], rel=0.02)
    assert made.cost.ratio <= 5.2 * made.cost.pixels_left * 1.0001


def test_a_square_picture_costs_nothing():
    made = squared(seen_by(moved(set_up()), grid()))
    assert made.cost is not None
    assert made.cost.pixels_left == pytest.approx(1.0, abs=0.01)
    assert made.cost.ratio == pytest.approx(set_up().light.ratio, rel=0.01)
    assert made.cost.outside == 0.0


def test_crosses_that_fell_give_the_marks_back():
    # Known by construction: the planned picture's crosses fall where the true pose puts them, and
    # the marks lie in the picture where the true pose sees them.
    one = set_up()
    truth = moved(one, pan=0.8, tilt=0.5, roll=-0.7, away=0.15)
    places = grid()
    px = affine_applied(frame_from_wall(one), places)
    fell = projection.wall_from_px(truth, px, places)
    crosses = [
        projection.CrossFell(
            name=f"M{n}", chainage=x, level=y, x_px=u, y_px=v, right=a - x, up=b - y
        )
        for n, ((x, y), (u, v), (a, b)) in enumerate(
            zip(places.tolist(), px.tolist(), fell.tolist(), strict=True)
        )
    ]
    made = projection.marks_from_crosses(crosses, WallShape().pose(one), mark_sigma=2 * MM)
    seen = np.array([(m.x_px, m.y_px) for m in made])
    assert np.abs(fell - places).max() > 50 * MM
    assert seen == pytest.approx(truth.px_from_wall(places), abs=0.05)
    two = projection.marks_from_crosses(crosses[:2], WallShape().pose(one), mark_sigma=2 * MM)
    assert np.array([(m.x_px, m.y_px) for m in two]) == pytest.approx(
        truth.px_from_wall(places)[:2], abs=3.0
    )
    assert projection.marks_from_crosses([], WallShape().pose(one), mark_sigma=2 * MM) == ()


MISTAKES = {
    "only a pose": lambda: projection.by_hand(
        squared(seen_by(moved(set_up()), grid()), projector_known=False).fit,
        WallShape().pose(set_up()), set_up(),
    ),
    "numbers are finite": lambda: projection.CrossFell(
        name="M1", chainage=1, level=1, x_px=1, y_px=1, right=math.nan, up=0
    ),
}  # fmt: skip


@pytest.mark.parametrize("words", MISTAKES)
def test_callers_mistakes_are_refused_by_squaring(words):
    with pytest.raises(ValueError, match=words):
        MISTAKES[words]()
