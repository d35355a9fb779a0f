"""Made worlds of a projector before a wall: poses by hand, marks with noise and slips, truth.

Shared by `alignment.py`, which runs them in full, and by `tests/worlds/test_alignment_worlds.py`.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

import numpy as np
import shapely

from giornata.core import projection
from giornata.core.foundation import Floats, affine_applied, readonly
from giornata.core.geometry import Coverage
from giornata.core.projection import (
    FACING,
    INSIDE_95,
    Alignment,
    MarkSeen,
    Orientation,
    PoseMap,
    SetUp,
    Squared,
    WallShape,
    brightness,
    turned,
)

MM = 0.001
BY_EYE = ("shift by eye", "shift by eye, curved")
"""Worlds whose lens shift is set by eye, as the squaring is told."""
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


def errors(pose: PoseMap, found: Alignment) -> tuple[np.ndarray, float]:
    """How far the light falls from where it should, over the picture [m]; share in 95 %."""
    places = wall_from_px(pose, GRID)
    missed = wall_from_px(pose, found.on_wall.px_from_wall(places)) - places
    spread = projection.error_covariance(found, places)
    square = np.einsum("ni,nij,nj->n", missed, np.linalg.inv(spread), missed)
    return np.hypot(*missed.T), float((square < INSIDE_95).mean())


# The plan of NOMINAL: the same projector as the planner would put it.
WIDTH = 9.0 / 1.4
PLANNED = SetUp(
    number=1, column=1, row=1, centre=30.0, distance=9.0, lens_level=1.4, lens_height=1.4,
    orientation=Orientation.LEVEL, start=30 - WIDTH / 2, end=30 + WIDTH / 2, foot=1.4,
    head=1.4 + WIDTH * ROWS / COLUMNS, wall_foot=1.4, wall_head=1.4 + WIDTH * ROWS / COLUMNS,
    pitch=WIDTH / COLUMNS, columns=COLUMNS, rows=ROWS, throw_ratio=1.4,
    light=brightness(130.0, 5.0, 5.0), shift=0.5, tilt=0.0, keystone=1.0, overlap_next=None,
    overlap_above=None,
)  # fmt: skip
CELL = shapely.box(PLANNED.start, PLANNED.foot, PLANNED.end, PLANNED.head)
COVERAGE = Coverage(
    faces=np.array([CELL]), labels=np.array([1]),
    edges=np.array([shapely.LineString([(27.0, 3.0), (33.0, 3.0)])]), left=np.array([1]),
    right=np.array([2]),
)  # fmt: skip


def squared(
    marks: Iterable[MarkSeen],
    shape: WallShape | None = None,
    *,
    known: bool = True,
    by_eye: bool = False,
) -> Squared:
    """As the verb squares it: every kind tried, a bad mark looked for."""
    return projection.squared(
        PLANNED, tuple(marks), shape or WallShape(), COVERAGE, CELL, limit=0.010,
        needed_pitch=0.008, projector_known=known, shift_by_eye=by_eye,
    )  # fmt: skip


def made_world(kind: str, rng: np.random.Generator) -> tuple[PoseMap, WallShape]:
    """A pose before a wall of a kind, and what the survey says of the wall.

    The survey reads a bend to 1 degree and a radius to 2 %; "unmeasured" walls it calls flat, or
    knows where they bend but not by how much.
    """
    side = float(rng.choice([-1.0, 1.0]))
    match kind:
        case "folded" | "folded, unmeasured":
            fold = side * math.radians(float(rng.choice([2, 5, 10, 20, 30])))
            read = fold + rng.normal(0, math.radians(1.0))
            shape = WallShape(hinge=30.3, fold=0.0 if "un" in kind else float(read))
            return made_pose(rng, origin=30.3, fold=fold), shape
        case "curved" | "curved, unmeasured":
            bent = side / float(rng.choice([20, 50, 100]))
            shape = WallShape(curvature=float(bent * (1 + rng.normal(0, 0.02))))
            made = made_pose(rng, origin=30.0, curvature=bent)
            return made, WallShape() if "un" in kind else shape
        case "shift by eye" | "shift by eye, taken as planned":
            px = rng.normal(0, projection.SHIFT_DOUBT.value * ROWS, 2)
            pose = made_pose(rng)
            return replace(pose, centre=readonly(pose.centre + px)), WallShape()
        case "shift by eye, curved":
            bent = side / float(rng.choice([20, 50, 100]))
            pose = made_pose(rng, origin=30.0, curvature=bent)
            px = rng.normal(0, projection.SHIFT_DOUBT.value * ROWS, 2)
            read = float(bent * (1 + rng.normal(0, 0.02)))
            moved = replace(pose, centre=readonly(pose.centre + px))
            return moved, WallShape(curvature=read)
        case "bent lens":
            return made_pose(rng, bend=0.03), WallShape()
        case _:
            return made_pose(rng), WallShape()


@dataclass(kw_only=True)
class Outcome:
    """What many trials of one kind came to."""

    missed: list[np.ndarray] = field(default_factory=list)
    held: list[float] = field(default_factory=list)
    chances: list[float] = field(default_factory=list)
    kinds: Counter[str] = field(default_factory=Counter)
    named: Counter[str] = field(default_factory=Counter)

    @property
    def most(self) -> float:
        """95 % of all places of all pictures are off by no more. [m]"""
        return float(np.percentile(np.concatenate(self.missed), 95))

    @property
    def middle(self) -> float:
        """Half of them are off by no more. [m]"""
        return float(np.median(np.concatenate(self.missed)))

    @property
    def inside(self) -> float:
        """Share of misses within their 95 % ellipse. [-]"""
        return float(np.mean(self.held))

    def share(self, named: str) -> float:
        """Share of trials in which the mark was named so. [-]"""
        return self.named[named] / max(1, self.named.total())


def trials(
    kind: str, count: int, seed: int, noise: Noise, *, across: int = 4, down: int = 3,
    slip: float = 0.0, known: bool = True,
) -> Outcome:  # fmt: skip
    """Pictures squared on made marks, and how far they are off; of those refused, only that."""
    rng = np.random.default_rng(seed)
    out = Outcome()
    for _ in range(count):
        pose, shape = made_world(kind, rng)
        marks, slipped = made_marks(pose, noise, rng, across=across, down=down, slip=slip)
        eye = kind in BY_EYE
        made = squared(marks, shape, known=known, by_eye=eye)
        if made.fit is None:  # refused as a whole: about one in a thousand folds with a slip
            out.named["none"] += 1
            continue
        out.kinds[str(made.kind)] += 1
        out.chances.append(made.fit.chance)
        name = None if made.bad is None else made.bad.named
        out.named["right" if name == slipped else "wrong" if name else "none"] += 1
        miss, inside = errors(pose, made.fit)
        out.missed.append(miss)
        out.held.append(inside)
    return out


def taped_trials(count: int, seed: int, *, mark: float = 2 * MM) -> Outcome:
    """Pictures squared on how far the planned picture's crosses fell, read with a tape.

    Truth falls as the turned projector throws it; a cross's middle is seen to half a pixel and the
    tape read to a millimetre, as `projection.marks_from_crosses` believes.
    """
    rng = np.random.default_rng(seed)
    frame = projection.frame_from_wall(PLANNED)
    nominal = wall_from_px(NOMINAL, picture_grid(4, 3, inset=0.04))
    crosses = affine_applied(frame, nominal)
    out = Outcome()
    for _ in range(count):
        pose = made_pose(rng)
        real = nominal + rng.normal(0, mark, nominal.shape)
        reading = math.hypot(1 * MM, 0.5 * PLANNED.pitch)
        missed = wall_from_px(pose, crosses) - real + rng.normal(0, reading, nominal.shape)
        fell = [
            projection.CrossFell(
                name=f"M{number:02d}", chainage=x, level=y, x_px=u, y_px=v, right=right, up=up
            )
            for number, ((x, y), (u, v), (right, up)) in enumerate(
                zip(nominal.tolist(), crosses.tolist(), missed.tolist(), strict=True)
            )
        ]
        marks = projection.marks_from_crosses(fell, WallShape().pose(PLANNED), mark_sigma=mark)
        made = squared(marks)
        assert made.fit is not None
        out.kinds[str(made.kind)] += 1
        out.chances.append(made.fit.chance)
        named = made.bad is not None and made.bad.named is not None
        out.named["wrong" if named else "none"] += 1
        miss, inside = errors(pose, made.fit)
        out.missed.append(miss)
        out.held.append(inside)
    return out
