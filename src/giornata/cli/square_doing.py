"""What the squaring verb does: writes down what was typed, and says how the set-up stands."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import typer

from giornata.cli.opened import Opened, job_form, opened
from giornata.cli.pages import square_page, with_moved_design
from giornata.cli.report import Fact, Facts, Report
from giornata.cli.speaking import Manner, speak
from giornata.cli.square_words import Typed, is_line, read_lines, read_marks, read_taps
from giornata.core.closing import KnownMarks
from giornata.core.foundation import Finding, Severity, worst
from giornata.core.job import JobResults
from giornata.core.projection import DriftCheck, MarkSeen, SetUp, Squared
from giornata.desk import (
    MarkInPicture,
    Means,
    cross_places,
    designs_moved,
    drift_since,
    events,
    has_cross,
    how_it_stays,
    lines_traced,
    marks_known,
    marks_seen_events,
    marks_that_fell,
    moved_since,
    moves_by_hand,
    photographed,
    picture_of_seen,
    pictures_made,
    record_marks_seen,
    record_photographed,
    square_as_adjusted,
    undo_marks_seen,
    write_seen,
    write_squared_again,
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
    lines: tuple[str, ...]
    file: Path | None
    photo: Path | None
    negative: Path | None
    white: Path | None
    taps: tuple[str, ...]
    shown: str | None
    frames: bool
    undo: bool
    history: bool


def done(request: Request, manner: Manner) -> int:
    """Do what was asked, then say how the set-up stands; the exit code."""
    lines = () if request.file is None else typed_pairs(request.file)
    typing = bool(request.seen or request.fell or lines)
    if request.lines and not typing:
        raise typer.BadParameter("type the marks too: lines alone fix nothing", param_hint="--line")
    if request.undo and (typing or request.photo is not None):
        raise typer.BadParameter("take back or type, one at a time", param_hint="--undo")
    if request.photo is None and (request.negative or request.white or request.taps):
        raise typer.BadParameter("which photo shows the pattern?", param_hint="--photo")
    if request.photo is not None and typing:
        raise typer.BadParameter("photos or typed marks, one at a time", param_hint="--photo")
    found = opened(request.folder, manner)
    results, folder = found.results, found.job.folder
    one = _set_up(results, request.set_up)
    if request.undo:
        undo_marks_seen(folder, one.number, at=datetime.now(UTC))
    elif typing:
        names = [mark.name for mark in results.marks]
        of_lines = [text for text in lines if is_line(text, names)]
        of_marks = [text for text in lines if text not in of_lines]
        typed = read_marks(request.seen, request.fell, of_marks, names)
        if not typed:
            raise typer.BadParameter("lines without marks fix nothing", param_hint="--file")
        aiming = results.inputs.marks_asked.aiming
        record_marks_seen(
            folder,
            one.number,
            _in_picture(typed, one, results, request),
            means=Means.TYPED,
            at=datetime.now(UTC),
            lines=read_lines((*request.lines, *of_lines), aiming),
        )
    of_photos: tuple[Finding, ...] = ()
    pictures: tuple[Path, ...] = ()
    if request.photo is not None:
        of_photos, pictures = _by_photos(request, request.photo, results, one, folder)
        if worst(of_photos) is Severity.STOP:
            return _refused(request, found, one, of_photos, pictures, manner)
    readings = marks_seen_events(folder, one.number)
    moves = moves_by_hand(events(folder))
    title = found.job.inputs.title
    made: Squared | None = None
    drift: DriftCheck | None = None
    known: KnownMarks | None = None
    traced: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()
    if readings:
        made, findings, known = square_as_adjusted(folder, results, one, readings[-1])
        if len(readings) > 1 and made.fit is not None:
            drift = drift_since(
                results,
                readings[-1],
                readings[-2],
                made.fit,
                place=lambda seen: marks_known(results, seen, known),
            )
            findings = (*drift.findings, *findings)
            traced = lines_traced(
                folder, one.number, after=readings[-2].event, before=readings[-1].event
            )
    findings = (*of_photos, *findings)
    written, moved = pictures, False
    if request.frames and made is not None and made.on_wall is not None:
        drawn = moved_since(made, moves)
        files, moved = write_squared_again(folder, results, drawn, at=datetime.now(UTC))
        written = (*pictures, *files)
    elif request.frames and not readings:
        raise typer.BadParameter("no marks have been seen in it yet", param_hint="--frames")
    report = square_page(
        results,
        one,
        readings,
        made,
        drift,
        history=request.history,
        written=written,
        traced=traced,
        known=known,
        moved=moved,
        by_hand=moves.get(one.number),
    )
    shifted = designs_moved(events(folder)).get(one.number)
    return speak(
        with_moved_design(report, one, shifted, manner.system(title.units)),
        manner=manner,
        units=title.units,
        folder=request.folder,
        job=job_form(request.folder, title, found.job.content_digest),
        digest=found.job.digest,
        findings=findings,
    )


def _refused(
    request: Request,
    found: Opened,
    one: SetUp,
    findings: tuple[Finding, ...],
    pictures: tuple[Path, ...],
    manner: Manner,
) -> int:
    """Say what is wrong with the photos and what holds still, and nothing else."""
    title, folder = found.job.inputs.title, found.job.folder
    readings = marks_seen_events(folder, one.number)
    last = readings[-1] if readings else None
    before = picture_of_seen(folder, one.number)
    facts = [
        Fact(key="written_down", name="written down", value="nothing"),
        Fact(key="stays", name="it stays", value=how_it_stays(last)),
    ]
    facts += [Fact(key="shown", name="what is seen in it", value=str(path)) for path in pictures]
    if not pictures and before.is_file():
        facts.append(Fact(key="shown", name="still of the photo before", value=str(before)))
    if request.frames:
        facts.append(Fact(key="frames", name="frames", value="none written"))
    return speak(
        Report(
            title=f"{title.name}: set-up {one.number}, photos refused",
            sections=(Facts(facts=tuple(facts)),),
        ),
        manner=manner,
        units=title.units,
        folder=request.folder,
        job=job_form(request.folder, title, found.job.content_digest),
        digest=found.job.digest,
        findings=findings,
    )


def _by_photos(
    request: Request, positive: Path, results: JobResults, one: SetUp, folder: Path
) -> tuple[tuple[Finding, ...], tuple[Path, ...]]:
    """Find the marks in photos and write them down, unless they are refused."""
    names = [mark.name for mark in results.marks if one.number in mark.set_ups]
    taps = read_taps(request.taps, names)
    seen = photographed(results, one, positive, request.negative, request.white, taps)
    if seen.refused is None:
        record_photographed(folder, seen, at=datetime.now(UTC))
    return seen.findings, write_seen(folder, seen)


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
    request: Request,
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
    misses = [(places[mark.name], *mark.missed) for mark in typed if mark.missed is not None]
    without = [mark.name for mark, _, _ in misses if not has_cross(one, mark)]
    if without:
        own = ", ".join(mark.name for mark in results.marks if has_cross(one, mark))
        raise typer.BadParameter(
            f"the picture of set-up {one.number} has no cross for {', '.join(without)}; it has them"
            f" for {own}",
            param_hint="--fell",
        )
    readings = marks_seen_events(request.folder, one.number)
    before = readings[-1] if readings else None
    if before is None and request.shown == "squared":
        raise typer.BadParameter("it has not been squared yet", param_hint="--shown")
    if before is not None and request.shown is None:
        raise typer.BadParameter(
            "set-up has been squared before: say whose crosses fell there, planned or squared",
            param_hint="--shown",
        )
    if before is None or request.shown != "squared":
        return marks_that_fell(results, one, misses)
    picture = pictures_made(request.folder).get(one.number)
    if picture is not None and not (picture.live and before.event > picture.event):
        return marks_that_fell(results, one, misses, shown=picture.on_wall, crosses=picture.crosses)
    made, _, _ = square_as_adjusted(request.folder, results, one, before)
    drawn = moved_since(made, moves_by_hand(events(request.folder)))
    if drawn.on_wall is None:
        return marks_that_fell(results, one, misses)
    return marks_that_fell(results, one, misses, shown=drawn.on_wall, crosses=cross_places(drawn))
