"""Level seams of a high wall: how far what two rows draw misses, with shared marks and without.

Truth is known by construction: projectors set up by hand, marks chalked a little off, sightings a
little off, all of it adjusted together by the closure. Seeds are fixed.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from giornata.core import closing, setting_out
from giornata.core.closing import Readings, SeamPlace
from giornata.core.foundation import readonly


def test_n46_level_seams_meet_better_on_marks_that_both_rows_see(made_rows):
    # 12 walls of two columns. The docs' figures, of more of them, are bench/closing.py's.
    found = {}
    made = made_rows.planned(2, 0.3)
    for shared in (False, True):
        marks = made_rows.row_marks(made, shared=shared)
        rng = np.random.default_rng(46)
        off = np.concatenate([made_rows.missed(rng, made, marks, 0.3) for _ in range(12)])
        found[shared] = np.percentile(np.hypot(off[..., 0], off[..., 1]), 95)
    assert found[True] < 0.75 * found[False]


@pytest.mark.parametrize("shared", [False, True])
def test_n46_a_level_seam_scatters_as_the_plan_expects(made_rows, shared):
    # 60 trials of one column. The middle of the seam, farthest from the marks at its ends, is the
    # worst; its root is known to 9 % by 60 trials with two numbers each.
    made = made_rows.planned(1, 0.3)
    marks = made_rows.row_marks(made, shared=shared)
    (seam,) = made.level_seams
    along = replace(seam.overlap, foot=seam.level, head=seam.level + 1e-6)  # the seam by itself
    (expected,) = setting_out.level_misses([replace(seam, overlap=along)], marks)
    rng = np.random.default_rng(47)
    off = np.array([made_rows.missed(rng, made, marks, 0.3)[0] for _ in range(60)])
    middle = np.linalg.eigvalsh(off[:, 2].T @ off[:, 2] / 60)[1]
    assert np.sqrt(5.9915 * middle) == pytest.approx(expected.expected, rel=0.2)
    assert expected.level == seam.level


def test_c4_a_row_drawn_off_is_found_at_its_level_seam(made_rows):
    # By construction: the upper set-up was drawn by a map 30 mm up, so its lines lie 30 mm above
    # those of the lower one; and what was drawn right meets within what is expected.
    made = made_rows.planned(1, 0.3)
    marks = made_rows.row_marks(made, shared=True)
    poses, pictures, placed = made_rows.read(np.random.default_rng(48), made, marks, 0.3)
    (seam,) = made.level_seams
    readings = Readings(
        marks=tuple(placed), pictures=tuple(pictures), foreseen=(), measures=(), drawn=poses,
        seams=(), scale_sigma=1e-4,
        level_seams=(SeamPlace(left=1, right=2, places=made_rows.along(seam)),),
    )  # fmt: skip
    (right,) = closing.closed(readings).meetings
    assert right.level == pytest.approx(seam.level)
    assert right.worst < right.known_to
    high = replace(poses[2], lens=readonly(poses[2].lens - np.array([0.0, 0.03, 0.0])))
    closure = closing.closed(replace(readings, drawn={**poses, 2: high}))
    (off,) = closure.meetings
    assert off.up == pytest.approx(0.03, abs=off.known_to)
    assert closure.remaining == ()
    (said,) = closing.closing_findings(closure, limit=0.01)
    assert said.code == "closing.seam"
    assert said.subject == f"level seam of set-ups 1 and 2, at level {seam.level:.2f} m"
    to_draw = closing.closed(replace(readings, drawn={1: poses[1]}))
    assert to_draw.remaining == (2,)
    assert to_draw.meetings[0].worst is None
