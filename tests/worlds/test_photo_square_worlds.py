"""Whole pictures squared by made photos: how far the light falls from where it should.

Truth is known by construction; the numbers to reach come from the study that chose the methods
(simulated, no published source). Seeds are fixed. GIORNATA_WORLDS=20 makes so many scenes of each.
"""

from __future__ import annotations

import math
import os
from dataclasses import dataclass, replace
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from giornata.core import projection
from giornata.core.boards import Pattern, PlannedMark, Shots, Sighting, pattern_pixels, sighting
from giornata.core.foundation import readonly
from giornata.core.projection import FACING, MarkSeen, PoseMap

MM = 0.001
PATTERN = Pattern(columns=1920, rows=1080, set_up=3)
MARK = 2 * MM
DRAWS = 25  # of the marks' own errors, for each scene
SCENES = int(os.environ.get("GIORNATA_WORLDS", "1"))
NEAR = {"away": 9.0, "width": 2000}
FAR = {
    "away": 17.0, "width": 2600, "lumens": 2000.0, "ambient": 5.0, "ground": 0.08, "fine": 0.004,
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Squaring:
    """One scene squared: errors over the picture, of the pattern alone, and of the crosses [m]."""

    picture: Any
    pattern: Any
    crosses: Any
    seen: Sighting


def squaring(
    module: ModuleType, seed: int, *, pair: bool = True, held: float = 0.0, **more: Any
) -> Squaring:
    """Photos of a scene taken and read, from the hand so many px apart, and the picture fitted."""
    rng = np.random.default_rng(seed)
    scene = module.scene(rng, **more)
    other = pattern_pixels(PATTERN, negative=True) if pair else None
    shots = scene.shots(pattern_pixels(PATTERN), other, rng, held=held)
    planned = scene.aimed_at(PlannedMark)
    positive, negative, white = shots
    made = sighting(
        Shots(positive=positive, negative=negative, white=white), PATTERN, planned, scene.pitch
    )
    return judged(scene, made, rng, more["away"])


def judged(scene: Any, made: Sighting, rng: np.random.Generator, away: float) -> Squaring:
    """How good what was seen is: the picture fitted to it, marks 2 mm off each way."""
    lamp = scene.night.lamp
    grid = np.array([(x, y) for y in np.linspace(0, 1080, 9) for x in np.linspace(0, 1920, 15)])
    wall = lamp.places(grid)
    inner = (np.abs(grid / (1920, 1080) - 0.5) < 0.44).all(axis=1)
    pattern = np.full(1, np.nan)
    if made.board is not None:
        seen, _ = made.board.onto_picture.carried(scene.night.phone.photo_from_wall(wall[inner]))
        pattern = np.hypot(*(lamp.places(seen) - wall[inner]).T)
    pose = PoseMap(
        axes=FACING, lens=readonly([0.0, 1.4, away]), focal=1.4 * 1920,
        centre=readonly([960.0, 1080.0]),
    )  # fmt: skip
    hinge = None
    if lamp.profile is not None:
        pose = replace(pose, origin=lamp.profile.at)
        hinge = lamp.profile.at if lamp.profile.fold else None
    errors = []
    numbers = [int(one.name[1:]) for one in made.found]
    for _ in range(DRAWS if len(numbers) >= 4 else 0):
        taped = scene.marks[numbers] + rng.normal(0, MARK, (len(numbers), 2))
        marks = [
            MarkSeen(
                name=one.name, chainage=float(at), level=float(level), x_px=one.cross.x_px,
                y_px=one.cross.y_px, mark_sigma=MARK, px_sigma=one.cross.px_sigma,
            )
            for one, (at, level) in zip(made.found, taped, strict=True)
        ]  # fmt: skip
        best = projection.best_kind(
            projection.fitted_kinds(marks, 1920, 1080, pose=pose, hinge=hinge)
        )
        light = lamp.places(best.fit.on_wall.px_from_wall(wall))
        errors.append(np.hypot(*(light - wall).T))
    crosses = np.zeros(0)
    if numbers:
        crosses = scene.missed(
            [one.cross.x_px for one in made.found], [one.cross.y_px for one in made.found], numbers
        )
    return Squaring(picture=np.array(errors), pattern=pattern, crosses=crosses, seen=made)


@pytest.mark.parametrize(
    ("world", "limit"),
    [(NEAR, 3.2 * MM), ({**NEAR, "hidden": 0.08}, 5.5 * MM), (FAR, 5.0 * MM)],
    ids=["near", "near, posts and leaves", "far"],
)
def test_n50_a_photo_pair_squares_the_picture_within(made_night, world, limit):
    # Near 6.4 m wide, 12 marks: 95 % of the picture within 3.2 mm, 5.5 mm behind posts and leaves;
    # far 12 m wide, 24 lx, 5 lx beside, a dark wall: within 5 mm. No cross is found wrongly.
    every = [squaring(made_night, 100 + seed, **world) for seed in range(SCENES)]
    made = [one for one in every if one.seen.refused is None]
    # One in twenty may be stopped for crosses that could be named otherwise.
    assert len(every) - len(made) <= SCENES // 20
    assert max(float(one.crosses.max()) for one in made) < 15 * MM
    # One scene's crosses go together: a third more is allowed where there are few scenes.
    allowed = limit * (1.33 if SCENES < 10 else 1.0)
    assert np.percentile(np.concatenate([one.picture.ravel() for one in made]), 95) <= allowed


@pytest.mark.parametrize(
    (
        "shape",
        "first",
    ),  # of the seeds; with 106 the picture stands 2.5 m, a column, beside its plan
    [({"fold": math.radians(-30.0), "bent_at": 0.8}, 106), ({"radius": 20.0}, 100)],
    ids=["folded away by 30 degrees", "curved, 20 m"],
)
def test_n50_a_folded_or_a_curved_wall_is_squared_nearly_as_well(made_night, shape, first):
    # No worse than 1.2 times what is asked of a flat wall.
    made = [squaring(made_night, first + seed, **NEAR, **shape) for seed in range(SCENES)]
    assert all(one.seen.refused is None for one in made)
    for one in made:
        board = one.seen.board
        assert (board.onto_picture.fold is not None) is ("fold" in shape)
    # The pattern is carried within a tenth of a millimetre and a few tenths at the most of places.
    pattern = np.concatenate([one.pattern for one in made])
    assert np.median(pattern) < 0.3 * MM
    assert np.percentile(pattern, 95) < 1.0 * MM
    allowed = 1.2 * 3.2 * MM * (1.33 if SCENES < 10 else 1.0)
    assert np.percentile(np.concatenate([one.picture.ravel() for one in made]), 95) <= allowed
