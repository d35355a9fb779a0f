"""A made wall of 180 m with fifteen set-ups, its marks, tape, levels and pictures; truth known.

Marks stand in three rows, in two columns in each overlap and one in the middle of each picture;
those of the middle row are seen by pictures only.
A tape of 2 mm and 0.15 mm/m in each pull, with a scale that is 0.2 mm/m out and not known, runs
between neighbours of the lower and of the upper row; levels to 2 mm; plumb lines to 2 mm. Pictures
are 13 m wide, 6.8 mm to the pixel, by projectors set up by hand whose throw ratio and lens are
believed but for a little.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from giornata.core import closing, projection
from giornata.core.closing import (
    Joint,
    Measure,
    MeasureKind,
    PictureSeen,
    PlacedMark,
    Source,
    SourceKind,
)
from giornata.core.foundation import Floats, readonly
from giornata.core.projection import FACING, Extra, MarkSeen, PoseMap, WallMap, turned

MM = 0.001
COLUMNS, ROWS = 1920, 1200
EACH, OVERLAP, BESIDE = 12.0, 1.0, 0.4
LEVELS = (0.2, 1.5, 2.8)
SCALE = 0.2e-3
PULL, PER_METRE, LEVEL, END, LATE = 2 * MM, 0.15 * MM, 2 * MM, 3 * MM, 2 * MM


@dataclass(frozen=True, kw_only=True)
class World:
    """A wall as it is, and how it was read."""

    places: dict[str, tuple[float, float]]
    poses: dict[int, PoseMap]
    pictures: tuple[PictureSeen, ...]
    measures: tuple[Measure, ...]
    marks: tuple[PlacedMark, ...]
    overlap: float = OVERLAP

    @property
    def pitch(self) -> float:
        """Side of a pixel. [m]"""
        return (EACH + self.overlap) / COLUMNS

    def adjusted(self, measures: tuple[Measure, ...] | None = None, **more: object) -> Joint:
        found = closing.joined(
            self.marks, self.pictures, self.measures if measures is None else measures,
            scale_sigma=0.3e-3, **more,  # type: ignore[arg-type]
        )  # fmt: skip
        assert found is not None
        return found


def focal(overlap: float = OVERLAP) -> float:
    """With which a picture is as wide as a set-up's share and an overlap, from 18 m. [px]"""
    return 18.0 / (EACH + overlap) * COLUMNS


def planned_pose(middle: float, overlap: float = OVERLAP) -> PoseMap:
    """Square to the wall, 18 m off."""
    return PoseMap(
        axes=FACING, lens=readonly([middle, 1.5, 18.0]), focal=focal(overlap),
        centre=readonly([COLUMNS / 2, ROWS / 2]),
    )  # fmt: skip


def made_pose(rng: np.random.Generator, middle: float, overlap: float = OVERLAP) -> PoseMap:
    """A projector 18 m off, set up by hand: turned up to 4, 3 and 2 degrees, moved by 0.3 m.

    Its throw ratio and its lens are as far off as they are believed to be.
    """
    yaw, pitch, roll = np.radians(rng.uniform([-4, -3, -2], [4, 3, 2])).tolist()
    return replace(
        planned_pose(middle, overlap),
        axes=turned(yaw, pitch, roll).T @ FACING,
        lens=readonly([middle + rng.normal(0, 0.3), 1.5, 18.0 * rng.uniform(0.97, 1.03)]),
        focal=focal(overlap) * math.exp(rng.normal(0, 0.05)),
        bend=rng.normal(0, 0.03),
    )


def made_world(
    rng: np.random.Generator,
    *,
    set_ups: int = 15,
    px: float = 0.3,
    late: bool = True,
    far_end: bool = True,
    pictures: bool = True,
    as_set: bool = False,
    overlap: float = OVERLAP,
    beside: tuple[float, ...] = (-BESIDE, BESIDE),
    levels: tuple[float, ...] = LEVELS,
) -> World:
    """One wall with its readings; the lowest and the highest row of marks are taped."""
    length = EACH * set_ups
    inner = [EACH * k + side for k in range(1, set_ups) for side in beside]
    middles = [EACH * (k + 0.5) for k in range(set_ups)]
    columns = sorted([0.0, *inner, *middles, length])
    places = {
        f"M{k:02d} {row}": (x, level)
        for k, x in enumerate(columns)
        for row, level in zip(("l", *"mno"[: len(levels) - 2], "u"), levels, strict=True)
    }
    poses = {k + 1: made_pose(rng, EACH * (k + 0.5), overlap) for k in range(set_ups)}
    seen = []
    for number, pose in poses.items():
        over = max(1.0, overlap / 2)
        inside = [n for n, (x, _) in places.items()
                  if EACH * (number - 1) - over <= x <= EACH * number + over]  # fmt: skip
        at = pose.px_from_wall(np.array([places[n] for n in inside]))
        at = at + rng.normal(0, px, at.shape)
        marks = tuple(
            MarkSeen(name=n, chainage=places[n][0], level=places[n][1], x_px=u, y_px=v,
                     mark_sigma=0.0, px_sigma=px)
            for n, (u, v) in zip(inside, at.tolist(), strict=True)
        )  # fmt: skip
        planned = planned_pose(EACH * (number - 0.5), overlap)
        believed = {Extra.FOCAL: (math.log(focal(overlap)), 0.05), Extra.LENS: (0.0, 0.03)}
        start = projection.aligned(replace(planned, extras=believed), marks).on_wall
        seen.append(PictureSeen(set_up=number, start=start, seen=marks))
    measures = _measured(rng, places, columns, late=late, far_end=far_end)
    # A mark is set to 2 mm and that counts; or to a centimetre or so and it is only read.
    drawn = 2 * MM if as_set else 10 * MM
    rough = {n: np.array(at) + rng.normal(0, drawn, 2) for n, at in places.items()}
    counts = drawn if as_set else None
    return World(
        places=places,
        poses=poses,
        pictures=tuple(seen) if pictures else (),
        measures=measures,
        marks=tuple(
            PlacedMark(name=n, chainage=float(at[0]), level=float(at[1]), chainage_sigma=counts,
                       level_sigma=counts)
            for n, at in rough.items()
        ),
        overlap=overlap,
    )  # fmt: skip


def _measured(
    rng: np.random.Generator,
    places: dict[str, tuple[float, float]],
    columns: list[float],
    *,
    late: bool,
    far_end: bool,
) -> tuple[Measure, ...]:
    found: list[Measure] = []

    def add(kind: MeasureKind, marks: tuple[str, ...], true: float, sigma: float) -> None:
        name = f"{kind} {' to '.join(marks)}"
        value = true + rng.normal(0, sigma)
        found.append(Measure(name=name, kind=kind, marks=marks, value=value, sigma=sigma))

    last = len(columns) - 1
    for k in range(last + 1):
        for row in "lu":
            name = f"M{k:02d} {row}"
            add(MeasureKind.LEVEL, (name,), places[name][1], LEVEL)
            if k < last:
                after = f"M{k + 1:02d} {row}"
                apart = float(np.hypot(*np.subtract(places[after], places[name])))
                sigma = float(np.hypot(PULL, PER_METRE * apart))
                add(MeasureKind.DISTANCE, (name, after), apart / (1 + SCALE), sigma)
        add(MeasureKind.PLUMB, (f"M{k:02d} l", f"M{k:02d} u"), 0.0, LEVEL)
    for k in (0, last) if far_end else (0,):
        add(MeasureKind.CHAINAGE, (f"M{k:02d} l",), places[f"M{k:02d} l"][0], END)
    if late:
        for at in np.arange(24.0, columns[-1] - 1, 24.0):
            name = f"M{np.abs(np.array(columns) - at).argmin():02d} l"
            add(MeasureKind.CHAINAGE, (name,), places[name][0], LATE)
    return tuple(found)


def mark_errors(world: World, found: Joint) -> tuple[Floats, Floats]:
    """How far each mark is from the truth, (n, 2) [m], and its square by its own ellipse, (n,)."""
    missed = np.array([found.place(n) - np.array(world.places[n]) for n in found.names])
    spread = np.array([found.mark_covariance(n) for n in found.names])
    return missed, np.einsum("ni,nij,nj->n", missed, np.linalg.inv(spread), missed)


def light_falls(truth: PoseMap, drawn: WallMap, places: Floats) -> Floats:
    """Where the light for places falls that a picture draws by a map, by Newton's method. [m]"""
    px, at = drawn.px_from_wall(places), places.copy()
    for _ in range(20):
        by_wall, _ = truth.slopes(at)
        step = np.linalg.solve(by_wall, (px - truth.px_from_wall(at))[:, :, None])[:, :, 0]
        at = at + step
    return at


def seam_errors(world: World, found: Joint, levels: int = 7) -> Floats:
    """How far lines of neighbouring pictures miss each other over their seams, (n,). [m]"""
    missed = []
    for number in range(1, len(world.poses)):
        at = np.column_stack([np.full(levels, EACH * number), np.linspace(0.2, 2.8, levels)])
        left, right = (light_falls(world.poses[k], found.maps[k], at) for k in (number, number + 1))
        missed.append(np.hypot(*(left - right).T))
    return np.concatenate(missed)


def chained_end(rng: np.random.Generator, set_ups: int = 15) -> tuple[float, float]:
    """Where the far end comes out when each set-up is hung on the last, along and up. [m]

    Common practice, no source: size set to 0.4 %, level to 0.1 degree, placing to 5 mm.
    """
    along, up = 0.0, 0.0
    for _ in range(set_ups):
        along += EACH * rng.normal(0, 0.004) + rng.normal(0, 5 * MM)
        up += EACH * np.radians(rng.normal(0, 0.1)) + rng.normal(0, 5 * MM)
    return along, up


def slipped(rng: np.random.Generator, world: World, what: str, size: float) -> tuple[World, Source]:
    """The world with one reading out by a size, any way, and that reading."""
    if what == "measured":
        at = int(rng.integers(len(world.measures)))
        one = world.measures[at]
        wrong = replace(one, value=one.value + size * rng.choice([-1.0, 1.0]))
        measures = (*world.measures[:at], wrong, *world.measures[at + 1 :])
        return replace(world, measures=measures), Source(SourceKind.MEASURED, 0, one.name)
    angle = rng.uniform(0, 2 * math.pi)
    shift = size * np.array([math.cos(angle), math.sin(angle)])
    if what == "set":
        number = int(rng.integers(len(world.marks)))
        mark = world.marks[number]
        moved = replace(mark, chainage=mark.chainage + shift[0], level=mark.level + shift[1])
        marks = (*world.marks[:number], moved, *world.marks[number + 1 :])
        return replace(world, marks=marks), Source(SourceKind.SET, 0, mark.name)
    at = int(rng.integers(len(world.pictures)))
    picture = world.pictures[at]
    which = int(rng.integers(len(picture.seen)))
    seen = picture.seen[which]
    px = world.poses[picture.set_up].px_from_wall(np.array([world.places[seen.name]]) + shift)[0]
    off = replace(seen, x_px=float(px[0]), y_px=float(px[1]))
    marks = (*picture.seen[:which], off, *picture.seen[which + 1 :])
    made = replace(picture, seen=marks)
    pictures = (*world.pictures[:at], made, *world.pictures[at + 1 :])
    return replace(world, pictures=pictures), Source(SourceKind.SEEN, made.set_up, seen.name)
