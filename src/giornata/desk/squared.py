"""A set-up of an open job, squared on its marks as the log and the job have them now."""

from __future__ import annotations

import math
import statistics
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import shapely

from giornata.core.foundation import Finding, affine_applied, readonly
from giornata.core.job import JobResults
from giornata.core.projection import (
    LINE_PIXELS,
    SECTION_LIMIT,
    Alignment,
    CrossFell,
    DriftCheck,
    LinePoint,
    MarkSeen,
    PoseMap,
    ProjectiveMap,
    SetUp,
    Squared,
    WallMap,
    cells,
    drift_check,
    drift_crosses,
    frame_from_wall,
    marks_from_crosses,
    moved_by_hand,
    squared,
    wall_shape,
)
from giornata.core.setting_out import ControlMark
from giornata.desk.picture_moves import moves_by_hand
from giornata.desk.squaring import (
    MarkInPicture,
    MarksSeen,
    mark_sigma,
    marks_seen_events,
    on_the_wall,
)
from giornata.desk.steering import ticked_lines
from giornata.desk.verbs import events

__all__ = [
    "drift_since",
    "has_cross",
    "line_limit",
    "lines_traced",
    "marks_that_fell",
    "moved_since",
    "square_set_up",
    "squared_reading",
    "squared_set_ups",
]

_BESIDE = 0.1  # of the picture's width or height


def line_limit(results: JobResults) -> float:
    """How far off a line may be, 95 times of 100: as asked of the marks, else a section's. [m]"""
    asked = results.inputs.marks_asked.accuracy
    return SECTION_LIMIT.value if asked is None else asked


def square_set_up(
    results: JobResults,
    one: SetUp,
    marks: Sequence[MarkSeen],
    lines: Sequence[LinePoint] = (),
) -> tuple[Squared, tuple[Finding, ...]]:
    """A set-up of the chosen option squared on marks, and all there is to say of it."""
    shape, of_shape = wall_shape(results.wall, one)
    design = results.design
    cell = cells(results.set_ups.set_ups, design.seams)[one.number - 1]
    drawn = shapely.intersection(cell, results.wall.outline)
    made = squared(
        one,
        marks,
        shape,
        design.placed.coverage,
        cell if shapely.is_empty(drawn) else drawn,
        limit=line_limit(results),
        needed_pitch=results.inputs.tools.narrowest_brush / LINE_PIXELS.value,
        lines_seen=lines,
        shift_by_eye=results.inputs.marks_asked.shift_by_eye,
    )
    return made, (*made.findings, *of_shape)


def squared_set_ups(folder: Path, results: JobResults) -> dict[int, Squared]:
    """Every set-up of a folder's job that has marks seen in it, squared on the last reading.

    Their maps are those that they are drawn by: as moved by hand since.

    Raises
    ------
    JobFolderError
        If the log cannot be read.
    """
    by_number = {one.number: one for one in results.set_ups.set_ups}
    latest = {one.set_up: one for one in marks_seen_events(folder)}
    moves = moves_by_hand(events(folder))
    return {
        number: moved_since(squared_reading(results, by_number[number], read), moves)
        for number, read in sorted(latest.items())
        if number in by_number
    }


def squared_reading(results: JobResults, one: SetUp, read: MarksSeen) -> Squared:
    """A set-up squared on a reading of its marks, these where the job has them.

    Parameters
    ----------
    read : MarksSeen
        Of that set-up.
    """
    return square_set_up(results, one, on_the_wall(results, read.marks), read.lines)[0]


def moved_since(made: Squared, moves: Mapping[int, tuple[float, float]]) -> Squared:
    """A squared set-up with the map that it is drawn by, moved by hand since marks were read.

    Parameters
    ----------
    moves : mapping of int to (float, float)
        By set-up, right and up on the wall, as `moves_by_hand`. [m]
    """
    right, up = moves.get(made.set_up.number, (0.0, 0.0))
    if made.fit is None or (right, up) == (0.0, 0.0):
        return made
    match made.fit.on_wall:
        case ProjectiveMap() as flat:
            return replace(made, fit=replace(made.fit, on_wall=moved_by_hand(flat, right, up)))
        case PoseMap() as pose:
            return replace(made, fit=replace(made.fit, on_wall=moved_by_hand(pose, right, up)))
        case _:
            raise TypeError("a picture of an unknown kind is moved")


def has_cross(one: SetUp, mark: ControlMark) -> bool:
    """Whether a mark's cross stands in a set-up's planned picture, or at most a tenth beside it.

    Parameters
    ----------
    one : SetUp
    mark : ControlMark
    """
    ((x, y),) = affine_applied(frame_from_wall(one), [(mark.chainage, mark.level)]).tolist()
    return all(
        -_BESIDE * pixels <= at <= (1 + _BESIDE) * pixels
        for at, pixels in ((x, one.columns), (y, one.rows))
    )


def marks_that_fell(
    results: JobResults,
    one: SetUp,
    misses: Sequence[tuple[ControlMark, float, float]],
    *,
    shown: WallMap | None = None,
    crosses: Mapping[str, tuple[float, float]] | None = None,
) -> tuple[MarkSeen, ...]:
    """Where marks lie in a set-up's picture, from how far the crosses of it fell from them.

    Parameters
    ----------
    misses : sequence of (ControlMark, float, float)
        Each mark, and how far right and up of it its cross fell. [m]
    shown : WallMap or None
        The map that the picture was drawn by; None for the planned picture.
    crosses : mapping or None
        Where it was drawn with crosses, by the marks' names; the map says it of others. [px]
    """
    frame, pose = frame_from_wall(one), wall_shape(results.wall, one)[0].pose(one)
    places = [(mark.chainage, mark.level) for mark, _, _ in misses]
    px = affine_applied(frame, places) if shown is None else shown.px_from_wall(readonly(places))
    drawn = crosses or {}
    fell = [
        CrossFell(
            name=mark.name, chainage=mark.chainage, level=mark.level,
            x_px=drawn.get(mark.name, (x, y))[0], y_px=drawn.get(mark.name, (x, y))[1],
            right=right, up=up,
        )
        for (mark, right, up), (x, y) in zip(misses, px.tolist(), strict=True)
    ]  # fmt: skip
    return marks_from_crosses(fell, pose, mark_sigma=mark_sigma(results))


def drift_since(
    results: JobResults,
    now: MarksSeen,
    before: MarksSeen,
    found: Alignment,
    *,
    place: Callable[[Sequence[MarkInPicture]], tuple[MarkSeen, ...]] | None = None,
) -> DriftCheck:
    """Whether a set-up's projector moved between two readings of its marks.

    Parameters
    ----------
    now, before : MarksSeen
        Of one set-up.
    found : Alignment
        The fit of the later one.
    place : callable or None
        Puts marks seen where the later one was fitted to them; None where the job has them.
    """
    one = next(s for s in results.set_ups.set_ups if s.number == now.set_up)
    shape, _ = wall_shape(results.wall, one)
    then, marks = (
        on_the_wall(results, one.marks) if place is None else place(one.marks)
        for one in (before, now)
    )
    former = square_set_up(results, one, then, before.lines)[0].on_wall
    lay = shape.pose(one) if former is None else former
    sigma = statistics.median(mark.px_sigma for mark in (*then, *marks))
    cell = cells(results.set_ups.set_ups, results.design.seams)[one.number - 1]
    return drift_check(
        one,
        lay,
        found,
        drift_crosses(lay, then, found, marks),
        results.design.placed.coverage,
        cell,
        flat=shape.hinge is None and not shape.curvature,
        precision=math.sqrt(2) * sigma * one.pitch,
        since=before.at.isoformat(sep=" ", timespec="minutes"),
    )


def lines_traced(folder: Path, set_up: int, *, after: int, before: int) -> tuple[str, ...]:
    """Lines that were ticked as traced in a set-up between two events of the log, by their keys.

    Parameters
    ----------
    set_up : int
        Its number. [-]
    after, before : int
        Numbers of the events. [-]

    Raises
    ------
    JobFolderError
        If the log cannot be read.
    """
    ticked: dict[str, bool] = {}
    for event in events(folder):
        between = after < event.number < before and event.subject == str(set_up)
        if between and event.kind == "line traced":
            is_so = bool(event.data.get("traced"))
            ticked.update(dict.fromkeys(ticked_lines(event.data), is_so))
    return tuple(line for line, is_so in ticked.items() if is_so)
