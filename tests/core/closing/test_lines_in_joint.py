"""Level and plumb lines in the joint adjustment: as squared on, and set aside where wrong."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from giornata.core import closing, projection
from giornata.core.closing import PictureSeen, PlacedMark, SourceKind
from giornata.core.foundation import readonly
from giornata.core.projection import FACING, LineKind, LinePoint, MarkSeen, PoseMap

MM = 0.001
POSE = PoseMap(axes=FACING, lens=readonly([3.0, 1.4, 9.0]), focal=2700.0,
               centre=readonly([960.0, 600.0]))  # fmt: skip
LOW = {f"M{k}": (x, y) for k, (x, y) in enumerate([(0.2, 0.2), (2, 0.3), (4, 0.2), (5.8, 0.3)])}
LINES = (
    (LineKind.LEVEL, 2.8, [(0.3, 2.8), (3.0, 2.8), (5.7, 2.8)]),
    (LineKind.PLUMB, 0.5, [(0.5, 1.0), (0.5, 2.6)]),
)


def picture(seed: int = 4, *, level_off: float = 0.0) -> PictureSeen:
    """Four low marks, a level line above them, perhaps elsewhere than said, and a plumb line."""
    rng = np.random.default_rng(seed)

    def seen_at(at):
        return (POSE.px_from_wall(np.array(at)) + rng.normal(0, 0.7, (len(at), 2))).tolist()

    marks = tuple(
        MarkSeen(name=n, chainage=LOW[n][0], level=LOW[n][1], x_px=x, y_px=y, mark_sigma=3 * MM,
                 px_sigma=0.7)
        for n, (x, y) in zip(LOW, seen_at(list(LOW.values())), strict=True)
    )  # fmt: skip
    points = []
    for kind, at, places in LINES:
        off = level_off if kind is LineKind.LEVEL else 0.0
        for k, (x, y) in enumerate(seen_at([(a, b + off) for a, b in places])):
            points.append(
                LinePoint(line=f"{kind}", name=f"{kind}, point {k + 1}", kind=kind, at=at, x_px=x,
                          y_px=y, line_sigma=2 * MM, px_sigma=0.7)
            )  # fmt: skip
    return PictureSeen(set_up=1, start=POSE, seen=marks, lines=tuple(points))


def as_set() -> list[PlacedMark]:
    return [
        PlacedMark(name=n, chainage=x, level=y, chainage_sigma=3 * MM, level_sigma=3 * MM)
        for n, (x, y) in LOW.items()
    ]


def joined(seen: PictureSeen, without=()) -> closing.Joint:
    made = closing.joined(as_set(), (seen,), (), scale_sigma=1e-9, without=without)
    assert made is not None
    return made


def test_n69_one_set_up_with_lines_is_adjusted_as_it_is_squared():
    # Places of marks and of lines as unknowns of their own, with what is believed of them, is
    # least squares with both eliminated (Teunissen 2000, Adjustment Theory, chapter 6).
    one = picture()
    found = projection.aligned(POSE, one.seen, one.lines)
    joint = joined(one)
    grid = np.array([(x, y) for x in (0.5, 3.0, 5.5) for y in (0.2, 1.5, 2.8)])
    apart = found.on_wall.px_from_wall(grid) - joint.maps[1].px_from_wall(grid)
    assert np.abs(apart).max() < 0.02  # px; eliminated to first order
    moves = joint.light_moves(1, grid)
    assert projection.error_covariance(found, grid) == pytest.approx(
        moves @ joint.covariance @ moves.transpose(0, 2, 1), rel=0.03, abs=(0.1 * MM) ** 2
    )
    assert (joint.freedom, joint.misfit) == (found.freedom, pytest.approx(found.misfit, rel=0.01))
    # They do work: low marks alone leave the top of the picture less sure.
    alone = joined(replace(one, lines=()))
    top = alone.light_moves(1, grid[2:3])
    lone = (top @ alone.covariance @ top.transpose(0, 2, 1))[0, 1, 1]
    held = (moves @ joint.covariance @ moves.transpose(0, 2, 1))[2, 1, 1]
    assert held < 0.5 * lone


def test_a_line_that_is_elsewhere_is_set_aside_and_no_mark_of_it():
    # Believed to 2 mm, it lies 60 mm too high; its points say so all together.
    found = closing.sifted(lambda aside: joined(picture(level_off=60 * MM), aside))
    assert found is not None
    (wrong,) = found.named
    assert (wrong.source.kind, wrong.source.name) == (SourceKind.LINE, "level")
    assert wrong.size == pytest.approx(60 * MM, abs=15 * MM)
    assert closing.doubt_named(wrong) == "level as set for set-up 1"
    # It still stands near, so nothing is left open, and it comes out where its points are.
    column = found.joint.equations.line_column[1, "level"]
    off = float(found.joint.standing.lines[column - found.joint.equations.unknowns])
    assert off == pytest.approx(60 * MM, abs=15 * MM)
