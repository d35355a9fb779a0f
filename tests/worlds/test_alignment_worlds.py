"""Alignment in made worlds: accuracy, honest ellipses, bad marks named, folds and curves.

Truth is known by construction; the numbers to reach come from the study that chose the methods
(simulated, no published source). A few trials of each world decide here, with two and a half
standard errors of so many; `bench/alignment.py` runs 200 of each and prints what is reached.
"""

from __future__ import annotations

import math
import os
from dataclasses import replace

import numpy as np
import pytest

from giornata.core import projection
from giornata.core.projection import MapKind

MM = 0.001
TRIALS = int(os.environ.get("GIORNATA_TRIALS", "16"))
FLAT = 7.8 * MM
"""What 95 % of a flat wall's picture keeps with marks of 3 mm and 1.5 px; `bench/alignment.py`."""


def allowed(share: float, count: int) -> float:
    """A share that is kept, and two and a half of its standard errors. [-]"""
    return share + 2.5 * math.sqrt(share * (1 - share) / count)


@pytest.mark.parametrize(("noise", "limit"), [("BY_HAND", 5.5 * MM), ("BY_PHOTO", 3.2 * MM)])
def test_twelve_marks_of_2_mm_put_the_picture_within(worlds, noise, limit):
    # 6.4 m wide: 95 % of the picture within 5.5 mm by hand, 3.2 mm by photo.
    assert worlds.trials("flat", TRIALS, 7, getattr(worlds, noise)).most <= limit


def test_n69_misses_typed_from_a_tape_square_as_well_as_a_dragged_cross(worlds):
    # Crosses of the planned picture fall up to metres beside their marks, and are read to 1 mm.
    made = worlds.taped_trials(TRIALS, 7)
    assert made.most <= 5.5 * MM
    assert 0.94 - 2.5 * 0.11 / math.sqrt(TRIALS) <= made.inside


@pytest.mark.parametrize("kind", ["flat", "folded", "curved", "bent lens"])
def test_95_of_100_misses_lie_in_their_95_per_cent_ellipse(worlds, kind):
    # 94 to 97 % is the aim. One trial's misses go together: of a single one the share has a
    # standard deviation of about 0.11 (measured), of so many trials that over their root.
    made = worlds.trials(kind, TRIALS, 11, worlds.USUAL)
    apart = 2.5 * 0.11 / math.sqrt(TRIALS)
    assert 0.94 - apart <= made.inside <= min(1.0, 0.97 + apart)
    # The chi-square verdict beside it: right marks are doubted (5 %) about as often as said.
    assert np.mean(np.array(made.chances) < 0.05) <= allowed(0.06, TRIALS)
    # Folds and curves at most 1.2 times a flat wall's error with the same marks, and by so few
    # trials a tenth more.
    assert made.most <= 1.1 * 1.2 * FLAT
    # Right marks are seldom blamed.
    assert made.named["right"] + made.named["wrong"] <= TRIALS * allowed(0.015, TRIALS)


@pytest.mark.parametrize(
    ("kind", "expected"), [("folded", MapKind.POSE_FOLD), ("curved", MapKind.POSE_CURVE)]
)
def test_a_wrong_kind_of_wall_is_caught_by_comparing(worlds, kind, expected):
    # A clear fold or curve that nobody told of: the comparison finds it, whatever chi-square says.
    rng = np.random.default_rng(3)
    found = 0
    for _ in range(TRIALS):
        wall = {"fold": math.radians(15)} if kind == "folded" else {"curvature": 1 / 30}
        pose = worlds.made_pose(rng, origin=30.0, **wall)
        marks, _ = worlds.made_marks(pose, worlds.USUAL, rng)
        kinds = projection.fitted_kinds(
            marks,
            worlds.COLUMNS,
            worlds.ROWS,
            pose=worlds.NOMINAL,
            hinge=None if kind == "curved" else 30.0,
        )  # fmt: skip
        best = projection.best_kind(kinds)
        found += best.kind is expected or best.kind is MapKind.HINGE
    assert found >= TRIALS - 1


@pytest.mark.parametrize(
    ("kind", "noise", "across", "down", "known"),
    # Eight marks of 3 mm and 1.5 px in two rows before an unknown projector are beyond what any
    # rule can do (`bench/naming_bound.py`); `bench/alignment.py` prints what is reached.
    [
        ("flat", "BY_HAND", 4, 2, False),
        ("flat", "USUAL", 4, 2, True),
        ("flat", "USUAL", 3, 3, False),
        ("folded, unmeasured", "BY_HAND", 4, 2, True),
    ],
)
def test_a_slip_of_50_mm_among_eight_or_more_marks_is_named(
    worlds, kind, noise, across, down, known
):
    # Right at least 94 %, wrong at most 3 %.
    made = worlds.trials(
        kind, TRIALS, 5, getattr(worlds, noise), across=across, down=down, slip=50 * MM,
        known=known,
    )  # fmt: skip
    missed = 1 - made.share("right")
    assert missed <= allowed(0.06, TRIALS)
    assert made.share("wrong") <= allowed(0.03, TRIALS)


def test_five_marks_of_an_unknown_projector_name_nobody(worlds):
    # With 2 equations to spare a free mapping points at the wrong mark as often as not.
    rng = np.random.default_rng(13)
    doubted = 0
    for _ in range(TRIALS):
        marks, _ = worlds.made_marks(
            worlds.made_pose(rng), worlds.USUAL, rng, across=3, down=2, slip=100 * MM
        )
        made = worlds.squared(marks[:5], known=False)
        assert made.bad is None or made.bad.named is None
        six = worlds.squared(marks, known=False).bad
        assert six is None or six.named is None
        doubted += six is not None and bool(six.doubted)
    assert doubted >= TRIALS / 2


def test_a_bad_mark_is_not_taken_for_a_curve_nor_a_curve_for_a_bad_mark(worlds):
    rng = np.random.default_rng(21)
    pose = worlds.made_pose(rng)
    marks, slipped = worlds.made_marks(pose, worlds.USUAL, rng, slip=80 * MM)
    flat = worlds.squared(marks)
    assert (flat.kind, flat.bad is not None and flat.bad.named) == (MapKind.POSE, slipped)
    bulging = replace(pose, origin=30.0, curvature=1 / 25)
    marks, _ = worlds.made_marks(bulging, worlds.USUAL, rng)
    curved = worlds.squared(marks)
    assert (curved.kind, curved.bad) == (MapKind.POSE_CURVE, None)
