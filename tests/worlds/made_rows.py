"""A made wall of two rows of set-ups: marks as planned, projectors set up by hand; truth known.

Pictures are 6.5 by 4.06 m, 3.4 mm to the pixel, from 9 m; 0.5 m overlap on either side and up.
Marks are set to 2 mm, and every picture and mark goes into one adjustment.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from giornata.core import closing, projection, setting_out
from giornata.core.closing import PictureSeen, PlacedMark
from giornata.core.foundation import Floats, readonly
from giornata.core.projection import FACING, MarkSeen, PoseMap, turned
from giornata.core.setting_out import ControlMark, ImageOnWall, LevelSeam, Picture

MM = 0.001
COLUMNS, ROWS, FAR = 1920, 1200, 9.0
WIDE, OVERLAP, LENS = 6.5, 0.5, 1.5
PITCH = WIDE / COLUMNS
TALL = ROWS * PITCH
SET = 2 * MM


@dataclass(frozen=True, kw_only=True)
class Rows:
    """A wall's set-ups, numbered column by column, the lower row first."""

    images: tuple[ImageOnWall, ...]
    pictures: tuple[Picture, ...]
    level_seams: tuple[LevelSeam, ...]
    top: float

    @property
    def wall(self) -> dict[str, list[tuple[float, float]]]:
        end = max(one.end for one in self.images)
        return {"ground": [(0.0, 0.0), (end, 0.0)], "top": [(0.0, self.top), (end, self.top)]}


def planned(columns: int, px: float) -> Rows:
    """Two rows over so many columns, aimed at marks by so many pixels."""
    along, up = WIDE - OVERLAP, TALL - OVERLAP
    images = [
        ImageOnWall(number=2 * k + row, row=row, start=along * k, end=along * k + WIDE,
                    foot=up * (row - 1), head=up * (row - 1) + TALL)
        for k in range(columns) for row in (1, 2)
    ]  # fmt: skip
    half, end, top = OVERLAP / 2, along * columns + OVERLAP, up + TALL
    pictures = [
        Picture(
            start=one.start + half * (one.start > 0), end=one.end - half * (one.end < end - 0.01),
            foot=one.foot + half * (one.row == 2), head=one.head - half * (one.row == 1),
            sigma=math.hypot(SET, px * PITCH), mark_sigma=SET,
        )
        for one in images
    ]  # fmt: skip
    seams = [
        setting_out.level_seam(
            images[k], images[k + 1], (pictures[k], pictures[k + 1]), up + OVERLAP / 2
        )
        for k in range(0, 2 * columns, 2)
    ]
    return Rows(images=tuple(images), pictures=tuple(pictures), top=top,
                level_seams=tuple(one for one in seams if one is not None))  # fmt: skip


def row_marks(made: Rows, *, shared: bool) -> list[ControlMark]:
    """Two marks in every column of each row, shared with the other row or not."""
    marks = []
    for row in (1, 2):
        here = [one for one in made.images if one.row == row]
        layout = setting_out.control_marks(
            [(one.start, one.end) for one in here],
            levels=[(one.foot, one.head) for one in here], **made.wall,
        )  # fmt: skip
        for mark in layout.marks:
            own = tuple(here[k - 1].number for k in mark.set_ups)
            named = replace(mark, name=f"row {row} {mark.name}", set_ups=own)
            seen = setting_out.seen_over_rows(named, made.images, row=row) if shared else own
            marks.append(replace(named, set_ups=seen))
    return marks


def hand_set(rng: np.random.Generator, one: ImageOnWall) -> PoseMap:
    """A projector set up by hand before an image: turned up to 4, 3 and 2 degrees, moved 0.2 m."""
    yaw, pitch, roll = np.radians(rng.uniform([-4, -3, -2], [4, 3, 2])).tolist()
    shift = ((one.foot + one.head) / 2 - LENS) / PITCH
    middle = (one.start + one.end) / 2 + rng.normal(0, 0.2)
    return PoseMap(
        axes=turned(yaw, pitch, roll).T @ FACING,
        lens=readonly([middle, LENS, FAR * rng.uniform(0.97, 1.03)]),
        focal=FAR / PITCH,
        centre=readonly([COLUMNS / 2, ROWS / 2 + shift]),
    )


def read(
    rng: np.random.Generator, made: Rows, marks: list[ControlMark], px: float
) -> tuple[dict[int, PoseMap], list[PictureSeen], list[PlacedMark]]:
    """Projectors as they stand, what their pictures see of the marks, and the marks as set."""
    true = {m.name: np.array([m.chainage, m.level]) + rng.normal(0, SET, 2) for m in marks}
    poses = {one.number: hand_set(rng, one) for one in made.images}
    pictures = []
    for number, pose in poses.items():
        own = [m for m in marks if number in m.set_ups]
        at = pose.px_from_wall(np.array([true[m.name] for m in own]))
        at = at + rng.normal(0, px, at.shape)
        seen = tuple(
            MarkSeen(name=m.name, chainage=m.chainage, level=m.level, x_px=u, y_px=v,
                     mark_sigma=SET, px_sigma=px)
            for m, (u, v) in zip(own, at.tolist(), strict=True)
        )  # fmt: skip
        start = projection.projective_start(seen, COLUMNS, ROWS)
        pictures.append(PictureSeen(set_up=number, start=start, seen=seen))
    placed = [
        PlacedMark(name=m.name, chainage=m.chainage, level=m.level, chainage_sigma=SET,
                   level_sigma=SET)
        for m in marks
    ]  # fmt: skip
    return poses, pictures, placed


def along(seam: LevelSeam, places: int = 5) -> Floats:
    """Places along a level seam, from one end of it to the other: (places, 2). [m]"""
    strip = seam.overlap
    return np.column_stack(
        [np.linspace(strip.start, strip.end, places), np.full(places, seam.level)]
    )


def missed(
    rng: np.random.Generator, made: Rows, marks: list[ControlMark], px: float, places: int = 5
) -> Floats:
    """How far light of the two pictures of each level seam misses along it: (seams, places, 2)."""
    poses, pictures, placed = read(rng, made, marks, px)
    found = closing.joined(placed, pictures, (), scale_sigma=1e-4)
    assert found is not None
    off = []
    for seam in made.level_seams:
        at = along(seam, places)
        numbers = seam.lower.number, seam.upper.number
        falls = [_light(poses[n], found.maps[n], at) for n in numbers]
        off.append(falls[1] - falls[0])
    return np.array(off)


def _light(truth: PoseMap, drawn: projection.WallMap, places: Floats) -> Floats:
    """Where the light for places falls that a picture draws by a map, by Newton's method. [m]"""
    px, at = drawn.px_from_wall(places), places.copy()
    for _ in range(20):
        by_wall, _ = truth.slopes(at)
        at = at + np.linalg.solve(by_wall, (px - truth.px_from_wall(at))[:, :, None])[:, :, 0]
    return at
