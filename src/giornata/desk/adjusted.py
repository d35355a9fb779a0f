"""A set-up squared on its marks as check measurements and other set-ups adjust them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from giornata.core import closing
from giornata.core.closing import KnownMarks, PictureSeen
from giornata.core.foundation import Finding
from giornata.core.job import JobResults
from giornata.core.projection import MarkSeen, SetUp, Squared
from giornata.core.survey import space_from_wall
from giornata.desk.closing import map_to_begin_with, placed_marks, scale_sigma
from giornata.desk.measuring import KIND as MEASURED
from giornata.desk.measuring import check_measurements
from giornata.desk.squared import square_set_up, squared_reading
from giornata.desk.squaring import KIND as SEEN
from giornata.desk.squaring import MarkInPicture, MarksSeen, marks_seen_events, on_the_wall
from giornata.files.site_log import Event

__all__ = [
    "AdjustedMarks",
    "adjusted_marks",
    "adjusting_events",
    "marks_known",
    "square_as_adjusted",
]

_NEIGHBOURS = 3  # columns to either side whose pictures count: farther ones say no more


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AdjustedMarks:
    """Marks of a reading where everything else says that they are.

    Parameters
    ----------
    marks : tuple of MarkSeen
    known : KnownMarks or None
        Where they are by other readings; None where these say nothing: then the marks are where
        the job has them.
    """

    marks: tuple[MarkSeen, ...]
    known: KnownMarks | None


def adjusted_marks(
    folder: Path, results: JobResults, one: SetUp, seen: Sequence[MarkInPicture | MarkSeen]
) -> AdjustedMarks:
    """Marks seen in a set-up, where check measurements and other set-ups' pictures put them.

    Parameters
    ----------
    results : JobResults
        Of the job in that folder.

    Raises
    ------
    JobFolderError
        If the log cannot be read.
    """
    marks = on_the_wall(results, seen)
    pictures = tuple(_pictures(folder, results, one))
    measures = check_measurements(folder)
    if not marks or not (pictures or measures):
        return AdjustedMarks(marks=marks, known=None)
    wall = results.wall
    bent = bool(wall.bends or wall.arcs)
    known = closing.known_marks(
        [mark.name for mark in marks],
        placed_marks(results),
        pictures,
        measures,
        scale_sigma=scale_sigma(results),
        in_space=(lambda at: space_from_wall(wall, at[:, 0], at[:, 1])) if bent else None,
    )
    return AdjustedMarks(marks=marks_known(results, seen, known), known=known)


def marks_known(
    results: JobResults, seen: Sequence[MarkInPicture | MarkSeen], known: KnownMarks | None
) -> tuple[MarkSeen, ...]:
    """Marks seen, where other readings put them; of the rest, where the job has them."""
    marks = on_the_wall(results, seen)
    if known is None:
        return marks
    own, shared = known.deviations()
    where = dict(zip(known.names, zip(known.places.tolist(), shared, strict=True), strict=True))
    return tuple(
        replace(
            mark,
            chainage=where[mark.name][0][0],
            level=where[mark.name][0][1],
            mark_sigma=own,
            shared=where[mark.name][1],
        )
        if mark.name in where
        else mark
        for mark in marks
    )


def square_as_adjusted(
    folder: Path, results: JobResults, one: SetUp, read: MarksSeen
) -> tuple[Squared, tuple[Finding, ...], KnownMarks | None]:
    """A reading of a set-up squared on adjusted marks, all there is to say, and the marks.

    Raises
    ------
    JobFolderError
        If the log cannot be read.
    """
    adjusted = adjusted_marks(folder, results, one, read.marks)
    made, findings = square_set_up(results, one, adjusted.marks, read.lines)
    if adjusted.known is not None:
        said = closing.known_marks_findings(adjusted.known, f"set-up {one.number}")
        findings = (*findings, *said)
    return made, findings, adjusted.known


def adjusting_events(standing: Iterable[Event]) -> tuple[tuple[int, datetime], ...]:
    """Events that squared set-ups follow from, number and time: while they stay, so do these.

    Parameters
    ----------
    standing : iterable of Event
        Of the site log, less those taken back.
    """
    seen: dict[str, tuple[int, datetime]] = {}
    measured: list[tuple[int, datetime]] = []
    for event in standing:
        if event.kind == SEEN:
            seen[event.subject] = (event.number, event.at)
        elif event.kind == MEASURED:
            measured.append((event.number, event.at))
    return (*sorted(seen.values()), *measured)


def _pictures(folder: Path, results: JobResults, one: SetUp) -> list[PictureSeen]:
    """Pictures of set-ups beside one, each where its own last reading has it."""
    latest = {read.set_up: read for read in marks_seen_events(folder)}
    made = []
    for other in results.set_ups.set_ups:
        near = abs(other.column - one.column) <= _NEIGHBOURS
        if other.number == one.number or other.number not in latest or not near:
            continue
        squared = squared_reading(results, other, latest[other.number])
        start = map_to_begin_with(squared, results)
        if start is not None:
            made.append(PictureSeen(set_up=other.number, start=start, seen=squared.marks,
                                    lines=squared.lines_seen))  # fmt: skip
    return made
