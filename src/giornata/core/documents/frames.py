"""Projector frames: what each set-up's pictures show, and where their marks fall, in pixels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Any

import numpy as np
import shapely

from giornata.core.documents.light_levels import light_levels
from giornata.core.foundation import Assumption, Floats, affine_applied, readonly
from giornata.core.job import JobResults
from giornata.core.projection import SetUp, frame_from_wall
from giornata.core.setting_out import ControlMark

__all__ = [
    "LETTER",
    "MARK_ARM",
    "FrameKind",
    "FrameMark",
    "ProjectorFrame",
    "frames_of",
    "projector_frames",
    "upright_from_wall",
]

LETTER = Assumption(
    name="height of the letters that a frame throws on the wall",
    value=0.06,
    unit="m",
    source="house default, no published source: read at arm's length and from the projector",
    usual=(0.04, 0.1),
)
MARK_ARM = Assumption(
    name="arm of a projected control mark",
    value=0.05,
    unit="m",
    source="common practice, no source: half a cross of 100 mm",
    usual=(0.03, 0.1),
)

_LETTER_WIDTH = 0.62  # of a letter's height, bold, on average
_CLEAR_OF_MARKS = 0.35  # m
_CORNER_STEPS = 16


class FrameKind(StrEnum):
    """What a frame shows; its value ends the file's name."""

    FILL = "fill"
    OUTLINE = "outline"
    HIGH_CONTRAST = "high-contrast"


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameMark:
    """A control mark in a frame.

    Parameters
    ----------
    name : str
        Of the control mark.
    x_px, y_px : float
        Its centre in the projector's frame. [px]
    """

    name: str
    x_px: float
    y_px: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ProjectorFrame:
    """One picture for the projector, at its own pixels.

    Parameters
    ----------
    set_up : SetUp
        Where it is thrown from.
    kind : FrameKind
        What it shows.
    colours : mapping of int to str
        Colour of each paint by its number, ``#rrggbb``; empty for an outline.
    marks : tuple of FrameMark
        The control marks that the set-up aims at.
    label : str
        The words in its corner.
    label_at : tuple of float
        Lower left corner of the label in the upright picture. [px]
    """

    set_up: SetUp
    kind: FrameKind
    colours: Mapping[int, str]
    marks: tuple[FrameMark, ...]
    label: str
    label_at: tuple[float, float]

    def __post_init__(self) -> None:
        object.__setattr__(self, "colours", MappingProxyType(dict(self.colours)))

    @property
    def name(self) -> str:
        """Name of the file, without its ending ("set-up-07-fill")."""
        return f"set-up-{self.set_up.number:02d}-{self.kind}"


def upright_from_wall(set_up: SetUp) -> Floats:
    """Matrix ``(3, 3)`` from the wall to the upright picture: pixels, origin at its upper left.

    Level, the upright picture is the frame itself; on its side it is the frame turned upright.
    """
    per_metre = 1.0 / set_up.pitch
    return readonly(
        [
            [per_metre, 0.0, -set_up.start * per_metre],
            [0.0, -per_metre, set_up.head * per_metre],
            [0.0, 0.0, 1.0],
        ]
    )


def projector_frames(results: JobResults) -> tuple[ProjectorFrame, ...]:
    """The frames of the chosen option in the chosen colourway: three for each set-up."""
    return frames_of(results, results.projected)


def frames_of(results: JobResults, set_ups: Sequence[SetUp]) -> tuple[ProjectorFrame, ...]:
    """The frames of some set-ups, three for each.

    Parameters
    ----------
    set_ups : sequence of SetUp
        Of the plan.
    """
    design = results.design
    coverage = design.placed.coverage
    chosen = results.scheme.colourway.colours
    colours: dict[FrameKind, Mapping[int, str]] = {
        FrameKind.FILL: {paint.number: chosen[paint.key] for paint in results.inputs.paints},
        FrameKind.OUTLINE: {},
        FrameKind.HIGH_CONTRAST: light_levels(design.take_off, design.placed.ground),
    }
    edges = shapely.STRtree(coverage.edges)
    frames = []
    for one in set_ups:
        marks = _marks(one, results.marks)
        label = f"set-up {one.number}"
        place = _label_place(one, label, edges, results.wall.net, marks)
        frames += [
            ProjectorFrame(
                set_up=one,
                kind=kind,
                colours=colours[kind],
                marks=marks,
                label=label,
                label_at=place,
            )
            for kind in FrameKind
        ]
    return tuple(frames)


def _marks(set_up: SetUp, marks: Sequence[ControlMark]) -> tuple[FrameMark, ...]:
    matrix = frame_from_wall(set_up)
    aimed = [mark for mark in marks if set_up.number in mark.set_ups]
    places = affine_applied(matrix, np.array([(m.chainage, m.level) for m in aimed]).reshape(-1, 2))
    return tuple(
        FrameMark(name=mark.name, x_px=float(x), y_px=float(y))
        for mark, (x, y) in zip(aimed, places, strict=True)
    )


def _label_place(
    set_up: SetUp, label: str, edges: shapely.STRtree, net: Any, marks: Sequence[FrameMark]
) -> tuple[float, float]:
    """Lower left corner of the label in the upright picture, where it hides least. [px]

    A label stands in a corner of the picture, on the wall where it can, clear of the marks, and
    where the fewest edges run under it.
    """
    height = LETTER.value
    width = _LETTER_WIDTH * height * len(label)
    inset = height / 2
    low, high = max(set_up.foot, set_up.wall_foot), min(set_up.head, set_up.wall_head)
    back = readonly(np.linalg.inv(frame_from_wall(set_up)))
    crosses = affine_applied(back, np.array([(m.x_px, m.y_px) for m in marks]).reshape(-1, 2))
    apart = shapely.points(crosses)
    best: tuple[tuple[bool, bool, float], float, float] | None = None
    for step in range(_CORNER_STEPS):
        along = inset + step * height
        for left in (set_up.start + along, set_up.end - along - width):
            for foot in (high - inset - height, low + inset):
                box = shapely.box(left, foot, left + width, foot + height)
                near = bool((shapely.distance(apart, box) < _CLEAR_OF_MARKS).any())
                off_wall = not shapely.covers(net, box)
                lines = edges.geometries[np.sort(edges.query(box))]
                under = float(shapely.length(shapely.intersection(lines, box)).sum())
                score = (near, off_wall, under + 0.1 * height * step)
                if best is None or score < best[0]:
                    best = (score, left, foot)
    assert best is not None
    ((x, y),) = affine_applied(upright_from_wall(set_up), [(best[1], best[2])])
    return float(x), float(y)
