"""Marks as other readings adjust them: by hand, against the joint adjustment, and as deviations."""

from __future__ import annotations

import math

import numpy as np
import pytest

from giornata.core import closing, projection
from giornata.core.closing import Measure, MeasureKind, PictureSeen, PlacedMark
from giornata.core.foundation import readonly
from giornata.core.projection import FACING, MarkSeen, PoseMap

MM = 0.001
NAMES = [f"M{k}{row}" for k in range(4) for row in "lu"]
PLACES = {
    f"M{k}{row}": (3.0 * k, level) for k in range(4) for row, level in (("l", 0.2), ("u", 2.8))
}


def placed(sigma: float = 3 * MM, **off: float) -> list[PlacedMark]:
    """Marks 3 m apart in two rows, as set; some of them set too far to the right."""
    return [
        PlacedMark(name=n, chainage=x, level=y, chainage_sigma=sigma, level_sigma=sigma)
        for n, (x, y) in PLACES.items()
    ]


def test_marks_of_which_nothing_else_is_known_stand_as_set_and_alone():
    known = closing.known_marks(NAMES, placed(), (), (), scale_sigma=0.3e-3)
    assert known is not None
    assert known.moved == pytest.approx(np.zeros((8, 2)), abs=1e-9)
    assert known.covariance == pytest.approx((3 * MM) ** 2 * np.eye(16), abs=1e-10)
    own, shared = known.deviations()
    assert own == pytest.approx(3 * MM, rel=1e-4)
    assert all(one == () for one in shared)
    assert closing.known_marks_findings(known, "set-up 1") == ()


def test_a_mark_measured_again_stands_between_what_was_set_and_what_was_read():
    # By hand: set to 3 mm at 9.000 m, read to 1 mm 6 mm farther (chainage by other means): the
    # mean weighed by 1/9 and 1 lies 5.4 mm farther, known to 1/sqrt(1/9 + 1) = 0.949 mm.
    read = Measure(
        name="gate", kind=MeasureKind.CHAINAGE, marks=("M3l",), value=9.006, sigma=1 * MM
    )
    known = closing.known_marks(NAMES, placed(), (), (read,), scale_sigma=1e-9)
    assert known is not None
    at = known.names.index("M3l")
    assert known.moved[at] == pytest.approx((5.4 * MM, 0.0), abs=0.02 * MM)
    assert math.sqrt(known.covariance[2 * at, 2 * at]) == pytest.approx(0.949 * MM, rel=0.01)
    (said,) = closing.known_marks_findings(known, "set-up 1")
    assert said.code == "closing.marks_adjusted"
    # It is not moved up or down, and no word is made of that.
    assert "M3l, stands 5 mm right of where the job has it." in said.message


def test_what_marks_share_comes_back_from_their_deviations():
    # A level of one pair and pictures of a neighbour make marks go together: own and shared
    # deviations put together are the covariance again.
    pose = PoseMap(axes=FACING, lens=readonly([4.5, 1.4, 12.0]), focal=2700.0,
                   centre=readonly([960.0, 600.0]))  # fmt: skip
    px = pose.px_from_wall(np.array([PLACES[n] for n in NAMES]))
    seen = tuple(
        MarkSeen(name=n, chainage=PLACES[n][0], level=PLACES[n][1], x_px=x, y_px=y, mark_sigma=0.0,
                 px_sigma=0.3)
        for n, (x, y) in zip(NAMES, px.tolist(), strict=True)
    )  # fmt: skip
    picture = PictureSeen(set_up=2, start=pose, seen=seen)
    level = Measure(name="level", kind=MeasureKind.LEVEL, marks=("M0l", "M1l"), value=0.0, sigma=MM)
    known = closing.known_marks(NAMES, placed(), (picture,), (level,), scale_sigma=0.3e-3)
    assert known is not None
    assert (known.pictures, known.measures) == (1, 1)
    own, shared = known.deviations()
    causes = sorted({cause for of_mark in shared for cause, _, _ in of_mark})
    moves = np.zeros((16, len(causes)))
    for number, of_mark in enumerate(shared):
        for cause, along, up in of_mark:
            moves[2 * number : 2 * number + 2, causes.index(cause)] = along, up
    back = own**2 * np.eye(16) + moves @ moves.T
    assert back == pytest.approx(known.covariance, abs=(0.05 * MM) ** 2)
    # A picture of ten marks makes each surer than the 3 mm that it was set to.
    assert np.sqrt(np.diag(known.covariance)).max() < 3 * MM


def test_squaring_on_known_marks_is_the_joint_adjustment():
    # Least squares in two steps is least squares at once (Teunissen 2000, Adjustment Theory,
    # chapter 6): marks by all other readings first, then the picture on them with their
    # covariance; against all in one adjustment.
    rng = np.random.default_rng(5)
    poses = {
        n: PoseMap(axes=FACING, lens=readonly([x, 1.4, 9.0]), focal=2700.0,
                   centre=readonly([960.0, 600.0]))
        for n, x in ((1, 3.0), (2, 6.0))
    }  # fmt: skip
    pictures = {}
    for number, pose in poses.items():
        names = [n for n in NAMES if abs(PLACES[n][0] - pose.lens[0]) < 4]
        px = pose.px_from_wall(np.array([PLACES[n] for n in names]))
        px = px + rng.normal(0, 0.5, px.shape)
        seen = tuple(
            MarkSeen(name=n, chainage=PLACES[n][0], level=PLACES[n][1], x_px=x, y_px=y,
                     mark_sigma=3 * MM, px_sigma=0.5)
            for n, (x, y) in zip(names, px.tolist(), strict=True)
        )  # fmt: skip
        pictures[number] = PictureSeen(set_up=number, start=pose, seen=seen)
    read = Measure(name="tape", kind=MeasureKind.LEVEL, marks=("M1l", "M2u"), value=2.603, sigma=MM)
    tape = {"scale_sigma": 1e-9}
    whole = closing.joined(placed(), tuple(pictures.values()), (read,), **tape)
    assert whole is not None
    names = [mark.name for mark in pictures[1].seen]
    known = closing.known_marks(names, placed(), (pictures[2],), (read,), **tape)
    assert known is not None
    own, shared = known.deviations()
    marks = [
        MarkSeen(name=one.name, chainage=x, level=y, x_px=one.x_px, y_px=one.y_px, mark_sigma=own,
                 px_sigma=0.5, shared=moves)
        for one, (x, y), moves in zip(pictures[1].seen, known.places.tolist(), shared, strict=True)
    ]  # fmt: skip
    found = projection.aligned(poses[1], marks)
    grid = np.array([(x, y) for x in (0.5, 3.0, 5.5) for y in (0.2, 1.5, 2.8)])
    apart = found.on_wall.px_from_wall(grid) - whole.maps[1].px_from_wall(grid)
    assert np.abs(apart).max() < 0.02  # px; mark places are eliminated to first order
    moves = whole.light_moves(1, grid)
    at_once = moves @ whole.covariance @ moves.transpose(0, 2, 1)
    assert projection.error_covariance(found, grid) == pytest.approx(
        at_once, rel=0.03, abs=(0.1 * MM) ** 2
    )


def test_a_mark_set_wrong_is_put_where_others_have_it():
    off = [
        PlacedMark(name=m.name, chainage=m.chainage - (0.06 if m.name == "M2u" else 0.0),
                   level=m.level, chainage_sigma=3 * MM, level_sigma=3 * MM)
        for m in placed()
    ]  # fmt: skip
    reads = [
        Measure(name=f"{kind} {k}", kind=kind, marks=marks, value=value, sigma=2 * MM)
        for k in (1, 2)
        for kind, marks, value in (
            (MeasureKind.DISTANCE, ("M1u", "M2u"), 3.0),
            (MeasureKind.DISTANCE, ("M2u", "M3u"), 3.0),
            (MeasureKind.PLUMB, ("M2l", "M2u"), 0.0),
        )
    ]  # fmt: skip
    known = closing.known_marks(["M2u"], off, (), reads, scale_sigma=0.3e-3)
    assert known is not None
    assert known.aside == ("M2u",)
    assert known.moved[0, 0] == pytest.approx(0.06, abs=2 * MM)
    (said,) = closing.known_marks_findings(known, "set-up 1")
    assert "Set wrong by the other readings: M2u." in said.message
    assert closing.known_marks(["M77"], off, (), reads, scale_sigma=0.3e-3) is None
