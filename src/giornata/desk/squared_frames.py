"""Pictures of a squared set-up: as bytes for whoever shows them, and as files of the job."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from enum import StrEnum
from pathlib import Path
from typing import Any

import numpy as np

from giornata.core import documents
from giornata.core.documents import FrameKind, ProjectorFrame
from giornata.core.foundation import JobFolderError, RenderError, affine_applied, readonly
from giornata.core.job import JobResults
from giornata.core.projection import (
    MESH_ERROR,
    SetUp,
    Squared,
    WallMap,
    frame_from_wall,
    px_from_wall_matrix,
    warp_mesh,
)
from giornata.files import saving
from giornata.files.frames import LINE_PX
from giornata.files.warped_frames import WarpedFrame, warped_png

__all__ = ["FOLDER", "Shows", "squared_picture", "warp_form", "write_squared"]

FOLDER = "frames-squared"
"""Of the job, where squared pictures are kept; made again at any time."""


class Shows(StrEnum):
    """What a squared picture shows; its value ends the file's name."""

    FILL = "fill"
    OUTLINE = "outline"
    HIGH_CONTRAST = "high-contrast"
    MARKS = "marks"


def squared_picture(
    results: JobResults,
    one: SetUp,
    on_wall: WallMap,
    shows: Shows,
    *,
    line_px: float = LINE_PX,
    only: Collection[int] | None = None,
    marks: Collection[str] | None = None,
) -> bytes:
    """A squared picture as PNG at the projector's own pixels.

    Parameters
    ----------
    on_wall : WallMap
        From the wall to the picture, as `Squared.on_wall`.
    line_px : float
        Width of the lines of an outline. [px]
    only : collection of int or None
        Numbers of the paints that are filled; None for all.
    marks : collection of str or None
        Names of the marks whose crosses are thrown; None for those that the set-up aims at.

    Raises
    ------
    RenderError
        If the picture does not meet the wall.
    """
    frames = {frame.kind: frame for frame in documents.frames_of(results, [one])}
    return _picture(results, frames, on_wall, shows, line_px=line_px, only=only, marks=marks)


def _picture(
    results: JobResults,
    frames: dict[FrameKind, ProjectorFrame],
    on_wall: WallMap,
    shows: Shows,
    *,
    line_px: float = LINE_PX,
    only: Collection[int] | None = None,
    marks: Collection[str] | None = None,
    places: Mapping[str, tuple[float, float]] | None = None,
) -> bytes:
    frame = frames[FrameKind.OUTLINE if shows is Shows.MARKS else FrameKind(shows)]
    one = frame.set_up
    aimed = [mark.name for mark in frame.marks]
    back = readonly(np.linalg.inv(documents.upright_from_wall(one)))
    ((at, level),) = affine_applied(back, [frame.label_at]).tolist()
    made = WarpedFrame(
        set_up=one,
        on_wall=on_wall,
        colours={n: c for n, c in frame.colours.items() if only is None or n in only},
        line_px=line_px if shows is Shows.OUTLINE else 0.0,
        crosses=tuple(
            (mark.name, *(places or {}).get(mark.name, (mark.chainage, mark.level)))
            for mark in results.marks
            if mark.name in (aimed if marks is None else marks)
        ),
        label=frame.label,
        label_at=(at, level),
    )
    return warped_png(made, results.design.placed.coverage, results.wall.net)


def warp_form(one: SetUp, on_wall: WallMap) -> dict[str, Any]:
    """The warp as a browser takes it: a matrix where one is exact, and a mesh.

    Pixels count from the outer corner of the first one: its centre lies at 0.5.

    Raises
    ------
    RenderError
        If the map is too bent for a picture.
    """
    matrix = px_from_wall_matrix(on_wall)
    try:
        mesh = warp_mesh(one, on_wall)
    except ValueError as fault:
        raise RenderError(
            f"Set-up {one.number}: its squared picture has no warp ({fault}).",
            remedy="Read its marks again; the projector may be turned far off the wall.",
        ) from fault
    from_planned = None
    if matrix is not None:
        from_planned = matrix @ np.linalg.inv(frame_from_wall(one))
        from_planned = (from_planned / from_planned[2, 2]).tolist()
    return {
        "set_up": one.number,
        "columns": one.columns,
        "rows": one.rows,
        "pixel_centre": 0.5,
        "px_from_wall": None if matrix is None else matrix.tolist(),
        "px_from_planned_px": from_planned,
        "mesh": {
            "planned_px": mesh.planned.round(4).tolist(),
            "squared_px": mesh.squared.round(4).tolist(),
            "error_px": round(mesh.error, 4),
            "limit_px": MESH_ERROR,
        },
    }


def write_squared(folder: Path, results: JobResults, made: Squared) -> tuple[Path, ...]:
    """Write a squared set-up's pictures and its warp into the job's folder; the files.

    Their crosses stand where the marks were squared on, be that as the job has them or adjusted.

    Raises
    ------
    ValueError
        If it could not be squared.
    JobFolderError
        If the folder cannot be written to.
    RenderError
        If the picture does not meet the wall.
    """
    on_wall, one = made.on_wall, made.set_up
    if on_wall is None:
        raise ValueError("only a picture that was squared has frames")
    target = folder / FOLDER
    try:
        target.mkdir(exist_ok=True)
    except OSError as fault:
        raise JobFolderError(
            f"{target}: cannot be made ({fault.strerror}).",
            remedy="Move aside what stands there under that name, or make room on the disk.",
        ) from fault
    frames = {frame.kind: frame for frame in documents.frames_of(results, [one])}
    name = f"set-up-{one.number:02d}"
    written = []
    places = {mark.name: (mark.chainage, mark.level) for mark in made.marks}
    for shows in Shows:
        path = target / f"{name}-{shows}.png"
        saving.replace_file(path, _picture(results, frames, on_wall, shows, places=places))
        written.append(path)
    path = target / f"{name}.json"
    saving.replace_file(path, (json.dumps(warp_form(one, on_wall)) + "\n").encode())
    return (*written, path)
