"""What the squaring verb does: writes down what was typed, and says how the set-up stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import typer

from giornata.cli.opened import job_form, opened
from giornata.cli.pages import square_page
from giornata.cli.speaking import Manner, speak
from giornata.cli.square_words import Typed, read_marks
from giornata.core.foundation import affine_applied
from giornata.core.job import JobResults
from giornata.core.projection import (
    CrossFell,
    MarkSeen,
    SetUp,
    frame_from_wall,
    marks_from_crosses,
    planned_pose,
)
from giornata.desk import (
    MarkInPicture,
    Means,
    mark_sigma,
    marks_seen_events,
    record_marks_seen,
    undo_marks_seen,
)
from giornata.files.typed_pairs import typed_pairs

__all__ = ["Request", "done"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What was asked of the verb."""

    folder: Path
    set_up: int
    seen: tuple[str, ...]
    fell: tuple[str, ...]
    file: Path | None
    undo: bool
    history: bool


def done(request: Request, manner: Manner) -> int:
    """Do what was asked, then say how the set-up stands; the exit code."""
    lines = () if request.file is None else typed_pairs(request.file)
    typing = bool(request.seen or request.fell or lines)
    if request.undo and typing:
        raise typer.BadParameter("take back or type, one at a time", param_hint="--undo")
    found = opened(request.folder, manner)
    results, folder = found.results, found.job.folder
    one = _set_up(results, request.set_up)
    if request.undo:
        undo_marks_seen(folder, one.number, at=datetime.now(UTC))
    elif typing:
        names = [mark.name for mark in results.marks]
        typed = read_marks(request.seen, request.fell, lines, names)
        record_marks_seen(
            folder,
            one.number,
            _in_picture(typed, one, results),
            means=Means.TYPED,
            at=datetime.now(UTC),
        )
    readings = marks_seen_events(folder, one.number)
    title = found.job.inputs.title
    return speak(
        square_page(results, one, readings, history=request.history),
        manner=manner,
        units=title.units,
        folder=request.folder,
        job=job_form(request.folder, title, found.job.content_digest),
        digest=found.job.digest,
    )


def _set_up(results: JobResults, number: int) -> SetUp:
    known = results.set_ups.set_ups
    for one in known:
        if one.number == number:
            return one
    raise typer.BadParameter(
        f"the job has no set-up {number}; they run from 1 to {len(known)}"
        if known
        else "no plan can be made, so there are no set-ups; see: giornata set-ups"
    )


def _in_picture(
    typed: tuple[Typed, ...],
    one: SetUp,
    results: JobResults,
) -> tuple[MarkInPicture, ...] | tuple[MarkSeen, ...]:
    """Where in the picture each mark lies that was typed."""
    aiming = results.inputs.marks_asked.aiming
    pixels = [mark for mark in typed if mark.px is not None]
    if pixels:
        return tuple(
            MarkInPicture(name=mark.name, x_px=mark.px[0], y_px=mark.px[1], px_sigma=aiming)
            for mark in pixels
            if mark.px is not None
        )
    places = {mark.name: mark for mark in results.marks}
    frame = frame_from_wall(one)
    crosses = []
    for mark in typed:
        if mark.missed is None:
            continue
        at = places[mark.name]
        ((x, y),) = affine_applied(frame, [(at.chainage, at.level)]).tolist()
        crosses.append(
            CrossFell(
                name=mark.name, chainage=at.chainage, level=at.level, x_px=x, y_px=y,
                right=mark.missed[0], up=mark.missed[1],
            )
        )  # fmt: skip
    return marks_from_crosses(
        crosses, planned_pose(one), mark_sigma=mark_sigma(results), px_sigma=aiming
    )
