"""Printed targets found in made photos beside chalk crosses; truth by construction, seed fixed."""

from __future__ import annotations

from types import ModuleType
from typing import Any

import cv2
import numpy as np
import pytest

from giornata.core.boards import (
    Pattern,
    PlannedMark,
    Shots,
    Sighting,
    TargetShape,
    pattern_pixels,
    sighting,
)
from giornata.core.foundation import Severity

MM = 0.001
PATTERN = Pattern(columns=1920, rows=1080, set_up=3)
HUNG = (0, 3, 5)


def seen(module: ModuleType, seed: int, hung: tuple[int, ...]) -> tuple[Any, Sighting]:
    """8 marks, photo and white shot from a tripod; a pixel is 6.7 mm of wall."""
    rng = np.random.default_rng(seed)
    scene = module.scene(rng, down=2, width=1100, shapes=8, fine=0.004, parts=2, hung=hung)
    positive, _, white = scene.shots(pattern_pixels(PATTERN), None, rng)
    marks = [
        PlannedMark(name=f"M{number:02d}", x_px=float(x), y_px=float(y))
        for number, (x, y) in enumerate(scene.planned)
    ]
    return scene, sighting(Shots(positive=positive, white=white), PATTERN, marks, scene.pitch)


@pytest.mark.parametrize("hung", [HUNG, tuple(range(8))], ids=["mixed with crosses", "alone"])
def test_n50_targets_are_found_by_themselves_to_a_few_millimetres(made_night, hung):
    scene, made = seen(made_night, 5, hung)
    assert made.refused is None
    targets = [int(one.name[1:]) for one in made.found if one.target]
    assert targets == list(hung)
    at = [int(one.name[1:]) for one in made.found]
    missed = scene.missed(
        [one.cross.x_px for one in made.found], [one.cross.y_px for one in made.found], at
    )
    # As for crosses: a quarter of a photo's pixel is asked of the median.
    assert np.median(missed) < 1.7 * MM
    assert missed.max() < 6 * MM
    (note,) = [one for one in made.findings if one.code == "boards.by_targets"]
    assert note.severity is Severity.NOTE
    assert note.message == f"Read at printed targets: {', '.join(f'M{n:02d}' for n in hung)}."


def test_without_targets_nothing_is_said_of_them(made_night):
    _, made = seen(made_night, 6, ())
    assert made.refused is None
    assert not any(one.target for one in made.found)
    assert "boards.by_targets" not in [one.code for one in made.findings]


def test_no_cross_and_no_corner_of_paint_is_taken_for_a_target():
    shape = TargetShape()
    drawn = shape.drawn(0.004, 0.004, 0.0)
    half = drawn.shape[0] // 2
    axis = np.arange(-half, half + 1)
    x, y = np.meshgrid(axis, axis)
    cross = ((np.abs(x) < 2) | (np.abs(y) < 2)).astype(np.float32)
    corner = ((x > 0) & (y > 0)).astype(np.float32)
    edge = (x > 0).astype(np.float32)

    def alike(picture: Any) -> float:
        return float(cv2.matchTemplate(picture, drawn, cv2.TM_CCOEFF_NORMED)[0, 0])

    assert abs(alike(cross)) < 0.05  # even against odd: nothing, by symmetry
    assert abs(alike(edge)) < 0.05
    # A quarter at 1: covariance 1/4, deviations 1 and sqrt(3)/4, so 1/sqrt(3) = 0.58.
    assert abs(alike(corner)) == pytest.approx(0.577, abs=0.06)
    assert abs(alike(corner)) < shape.alike
    with pytest.raises(ValueError, match="larger than 0"):
        TargetShape(arm=0.0)
