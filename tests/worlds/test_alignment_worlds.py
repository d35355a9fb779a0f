"""Alignment in made worlds: accuracy, honest ellipses, bad marks named, folds and curves.

Truth is known by construction; the numbers to reach come from the study that chose the methods
(simulated, no published source). Seeds are fixed, trials are stated.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace

import numpy as np
import pytest

from giornata.core import projection
from giornata.core.foundation import Floats, readonly
from giornata.core.projection import (
    FACING,
    INSIDE_95,
    NAMED_FROM,
    Alignment,
    Extra,
    MapKind,
    MarkSeen,
    PoseMap,
    turned,
)

MM = 0.001
COLUMNS, ROWS = 1920, 1200
NOMINAL = PoseMap(
    axes=FACING, lens=readonly([30.0, 1.4, 9.0]), focal=1.4 * COLUMNS,
    centre=readonly([COLUMNS / 2, ROWS]),
)  # fmt: skip
"""Square to the wall, 9 m off, throw ratio 1.4, shifted up by half the picture."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Noise:
    """Standard deviations, each way: of marks on the wall [m], and in the picture [px]."""

    mark: float
    px: float


def made_pose(rng: np.random.Generator, **wall: float) -> PoseMap:
    """A projector set up by hand: turned up to 8, 6 and 3.2 degrees, up to a tenth too near."""
    yaw, pitch, roll = np.radians(rng.uniform([-8, -6, -3.2], [8, 6, 3.2])).tolist()
    lens = [30.0 + rng.normal(), 1.4, 9.0 * rng.uniform(0.9, 1.1)]
    return replace(NOMINAL, axes=turned(yaw, pitch, roll).T @ FACING, lens=readonly(lens), **wall)


def wall_from_px(pose: PoseMap, px: Floats) -> Floats:
    """Where light of picture places falls on the wall, by Newton's method. [m]"""
    places = np.tile([[float(pose.lens[0]), 2.5]], (len(px), 1))
    for _ in range(60):
        by_wall, _ = pose.slopes(places)
        step = np.linalg.solve(by_wall, (px - pose.px_from_wall(places))[:, :, None])[:, :, 0]
        places = places + step
        if np.abs(step).max() < 1e-12:
            break
    return places


def picture_grid(across: int, down: int, *, inset: float = 0.0) -> Floats:
    """Places of a picture, evenly over it from rim to rim. [px]"""
    x = np.linspace(inset, 1 - inset, across) * COLUMNS
    y = np.linspace(inset, 1 - inset, down) * ROWS
    return np.array([(a, b) for b in y for a in x])


def made_marks(
    pose: PoseMap,
    noise: Noise,
    rng: np.random.Generator,
    *,
    across: int = 4,
    down: int = 3,
    slip: float = 0.0,
) -> tuple[tuple[MarkSeen, ...], str]:
    """Marks spread over the picture, measured and seen with noise, and the one that slipped."""
    px = picture_grid(across, down, inset=0.04)
    wall = wall_from_px(pose, px) + rng.normal(0, noise.mark, px.shape)
    slipped = int(rng.integers(len(wall)))
    angle = rng.uniform(0, 2 * math.pi)
    wall[slipped] += slip * np.array([math.cos(angle), math.sin(angle)])
    seen = px + rng.normal(0, noise.px, px.shape)
    marks = tuple(
        MarkSeen(
            name=f"M{number:02d}", chainage=w[0], level=w[1], x_px=p[0], y_px=p[1],
            mark_sigma=noise.mark, px_sigma=noise.px,
        )
        for number, (w, p) in enumerate(zip(wall.tolist(), seen.tolist(), strict=True))
    )  # fmt: skip
    return marks, f"M{slipped:02d}"


BY_HAND = Noise(mark=2 * MM, px=1.0)
BY_PHOTO = Noise(mark=2 * MM, px=0.3)
USUAL = Noise(mark=3 * MM, px=1.5)
GRID = picture_grid(9, 6)
BELIEVED = {Extra.FOCAL: (math.log(NOMINAL.focal), 0.05), Extra.LENS: (0.0, 0.03)}


def errors(pose: PoseMap, found: Alignment) -> tuple[np.ndarray, float]:
    """How far the light falls from where it should, over the picture [m]; share in 95 %."""
    places = wall_from_px(pose, GRID)
    missed = wall_from_px(pose, found.on_wall.px_from_wall(places)) - places
    spread = projection.error_covariance(found, places)
    square = np.einsum("ni,nij,nj->n", missed, np.linalg.inv(spread), missed)
    return np.hypot(*missed.T), float((square < INSIDE_95).mean())


def by_pose(marks: tuple[MarkSeen, ...] | list[MarkSeen]) -> Alignment:
    """Flat wall, pose known but for throw ratio and lens, as `fitted_kinds` fits it."""
    return projection.aligned(replace(NOMINAL, extras=BELIEVED), marks)


def free(marks: tuple[MarkSeen, ...] | list[MarkSeen]) -> Alignment:
    start = projection.projective_start(marks, COLUMNS, ROWS)
    assert start is not None
    return projection.aligned(start, marks)


@pytest.mark.parametrize(
    ("noise", "limit"), [(BY_HAND, 5.5 * MM), (BY_PHOTO, 3.2 * MM)], ids=["by hand", "by photo"]
)
def test_twelve_marks_of_2_mm_put_the_picture_within(noise, limit):
    # 120 trials, 6.4 m wide: 95 % of the picture within 5.5 mm by hand, 3.2 mm by photo.
    rng = np.random.default_rng(7)
    missed = []
    for _ in range(120):
        pose = made_pose(rng)
        marks, _ = made_marks(pose, noise, rng)
        missed.append(errors(pose, by_pose(marks))[0])
    assert np.percentile(missed, 95) <= limit


def worlds(kind: str, rng: np.random.Generator) -> tuple[PoseMap, float | None]:
    """A pose before a wall of a kind, and the hinge that the survey knows of."""
    side = rng.choice([-1.0, 1.0])
    match kind:
        case "flat":
            return made_pose(rng), None
        case "folded":
            fold = math.radians(rng.choice([2, 5, 10, 20, 30]))
            return made_pose(rng, origin=30.3, fold=side * fold), 30.3
        case "curved":
            return made_pose(rng, origin=30.0, curvature=side / rng.choice([20, 50, 100])), None
        case _:
            return made_pose(rng, bend=0.03), None


@pytest.mark.parametrize("kind", ["flat", "folded", "curved", "bent lens"])
def test_95_of_100_misses_lie_in_their_95_per_cent_ellipse(kind):
    # 200 trials; 94 to 97 % is the aim. One trial's misses go together, so the share of 200
    # trials has a standard error of about 0.8 %: two of them are allowed on either side.
    rng = np.random.default_rng(11)
    held, missed, chances, kinds = [], [], [], Counter()
    for _ in range(200):
        pose, hinge = worlds(kind, rng)
        marks, _ = made_marks(pose, USUAL, rng)
        best = projection.best_kind(
            projection.fitted_kinds(marks, COLUMNS, ROWS, pose=NOMINAL, hinge=hinge)
        )
        kinds[best.kind] += 1
        chances.append(best.fit.chance)
        miss, inside = errors(pose, best.fit)
        held.append(inside)
        missed.append(miss)
    assert 0.924 <= np.mean(held) <= 0.986
    # The chi-square verdict beside it: right marks are doubted (5 %) about as often as said.
    assert np.mean(np.array(chances) < 0.05) <= 0.12
    # At most 1.2 times a flat wall's error with the same marks (7.7 mm, by this test).
    assert np.percentile(missed, 95) <= 1.2 * 7.7 * MM


@pytest.mark.parametrize(
    ("kind", "expected"), [("folded", MapKind.POSE_FOLD), ("curved", MapKind.POSE_CURVE)]
)
def test_a_wrong_kind_of_wall_is_caught_by_comparing(kind, expected):
    # 40 trials of a clear fold or curve that nobody told of: the comparison finds it.
    rng = np.random.default_rng(3)
    found = 0
    for _ in range(40):
        wall = {"fold": math.radians(15)} if kind == "folded" else {"curvature": 1 / 30}
        pose = made_pose(rng, origin=30.0, **wall)
        marks, _ = made_marks(pose, USUAL, rng)
        kinds = projection.fitted_kinds(
            marks, COLUMNS, ROWS, pose=NOMINAL, hinge=None if kind == "curved" else 30.0
        )
        best = projection.best_kind(kinds)
        found += best.kind is expected or best.kind is MapKind.HINGE
    assert found >= 38


@pytest.mark.parametrize("across", [4, 5])
def test_a_slip_of_50_mm_among_eight_or_more_marks_is_named(across):
    # 100 trials with 8 or 10 marks in two rows: right at least 94 %, wrong at most 3 %, each with
    # the two standard errors of a share of 100 trials (300 trials outside this test: 96 % and 1 %).
    rng = np.random.default_rng(5)
    said = Counter()
    for _ in range(100):
        pose = made_pose(rng)
        marks, slipped = made_marks(pose, USUAL, rng, across=across, down=2, slip=50 * MM)
        named = projection.bad_mark(by_pose(marks), by_pose, named_from=6).named
        said["right" if named == slipped else "wrong" if named else "none"] += 1
    assert said["right"] >= 94 - 2 * math.sqrt(100 * 0.94 * 0.06)
    assert said["wrong"] <= 3 + 2 * math.sqrt(100 * 0.03 * 0.97)


def test_right_marks_are_seldom_blamed():
    # 120 trials: a false alarm at most 1.5 times in a hundred, and two standard errors.
    rng = np.random.default_rng(9)
    blamed = 0
    for _ in range(120):
        marks, _ = made_marks(made_pose(rng), USUAL, rng, across=4, down=2)
        blamed += projection.bad_mark(by_pose(marks), by_pose, named_from=6).named is not None
    assert blamed <= 120 * 0.015 + 2 * math.sqrt(120 * 0.015)


def test_five_marks_of_an_unknown_projector_name_nobody():
    # With 2 equations to spare a free mapping points at the wrong mark as often as not.
    rng = np.random.default_rng(13)
    doubted = 0
    for _ in range(40):
        pose = made_pose(rng)
        marks, _ = made_marks(pose, USUAL, rng, across=3, down=2, slip=100 * MM)
        five = marks[:5]
        found = projection.bad_mark(free(five), free, named_from=NAMED_FROM)
        assert found.named is None
        six = projection.bad_mark(free(marks), free, named_from=NAMED_FROM)
        assert six.named is None
        doubted += bool(six.doubted)
    assert doubted >= 20
