"""What a closure is written to: the report, and the pictures of a design that is moved."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

from giornata.core import documents
from giornata.core.foundation import System
from giornata.core.job import JobResults
from giornata.desk.adjusted import square_as_adjusted
from giornata.desk.closing import WallClosure
from giornata.desk.pictures import MOVED, record_picture
from giornata.desk.replanning import replan
from giornata.desk.squared_frames import write_squared
from giornata.desk.squaring import marks_seen_events
from giornata.desk.verbs import job_path
from giornata.files import saving
from giornata.files.pdf.written import written_pdf
from giornata.files.site_log import SiteLog

__all__ = ["write_closing_report", "write_moved_pictures"]


def write_closing_report(
    results: JobResults, made: WallClosure, system: System, path: Path
) -> None:
    """Write the report of a closure.

    Parameters
    ----------
    results : JobResults
        Of the job.
    made : WallClosure
        How it closes.
    system : System
        The reader's units.
    path : Path
        The file; one that is there is replaced.

    Raises
    ------
    RenderError
        If the typesetter refuses it.
    JobFolderError
        If the file cannot be written.
    """
    paper = documents.closing_report(
        results, made.closure, made.findings, system,
        limit=made.limit, chained=made.chained, taken=made.taken, replan=replan(results, made),
    )  # fmt: skip
    saving.replace_file(path, written_pdf(paper))


def write_moved_pictures(
    folder: Path, results: JobResults, made: WallClosure, *, at: datetime
) -> tuple[int, ...]:
    """Write the pictures of set-ups still to draw by the moved design; their numbers.

    Only of those that are squared and between the fronts. The log then knows how far the design
    is moved in them, and by which map they were made.

    Parameters
    ----------
    results : JobResults
        Of the job in that folder.
    made : WallClosure
        How it closes.
    at : datetime
        When, with its time zone.

    Raises
    ------
    JobFolderError
        If the folder or the log cannot be written.
    RenderError
        If a picture does not meet the wall.
    """
    taken = made.taken
    if taken is None or not taken.possible:
        return ()
    design = results.design
    placed = replace(design.placed, coverage=taken.coverage)
    moved = replace(
        results,
        designs=tuple(
            replace(one, placed=placed) if one is design else one for one in results.designs
        ),
    )
    written = []
    latest = {read.set_up: read for read in marks_seen_events(folder)}
    for one in results.set_ups.set_ups:
        number = one.number
        between = any(
            row.join.row == one.row
            and row.join.left.chainage < one.end
            and one.start < row.join.right.chainage
            for row in taken.rows
        )
        if number not in latest or number not in made.closure.remaining or not between:
            continue
        squared, _, _ = square_as_adjusted(folder, results, one, latest[number])
        if squared.on_wall is not None:
            write_squared(folder, moved, squared)
            record_picture(folder, squared, at=at)
            knots = [list(knot) for knot in taken.shifts(one.start, one.end, one.row)]
            with SiteLog(job_path(folder).parent / "site.sqlite") as log:
                log.append(MOVED, str(number), {"moved": knots}, at=at)
            written.append(number)
    return tuple(written)
