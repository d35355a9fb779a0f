"""The set-ups of a job that are still to be drawn, planned anew from its closure."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from giornata.core import closing, setting_out
from giornata.core.closing import Closure, PictureSeen, Replan, SeamsAsked, ToCome
from giornata.core.job import (
    JobResults,
    mark_candidates,
    mark_pictures,
    picture_seams,
    seam_candidates,
)
from giornata.core.setting_out import ChalkedMark, Picture
from giornata.desk.closing import WallClosure, foreseen
from giornata.desk.verbs import job_path
from giornata.files import job_file, mark_changes

__all__ = ["chalk_new_marks", "replan"]


def replan(results: JobResults, made: WallClosure) -> Replan | None:
    """What is left to do so that both ends meet; None where all set-ups are drawn.

    Parameters
    ----------
    results : JobResults
        Of the job.
    made : WallClosure
        How it closes.

    Notes
    -----
    Marks that are in the job as chalked count as planned, be they set yet or not: a set-up that
    was squared before is to be squared again on them.
    """
    closure, inputs = made.closure, results.inputs
    set_ups = results.set_ups.set_ups
    pictures = mark_pictures(set_ups, results.wall, inputs.survey, inputs.marks_asked)
    seen = {one.set_up: one for one in closure.readings.pictures}
    aside = {(one.source.set_up, one.source.name) for one in closure.sifted.named}
    chalked = {mark.name for mark in inputs.marks_asked.chalked}
    to_come = []
    for one, picture in zip(set_ups, pictures, strict=True):
        if one.number not in closure.remaining:
            continue
        planned = [mark.name for mark in results.marks if one.number in mark.set_ups]
        waiting: list[str] = []
        if one.number in seen:
            in_it = [mark.name for mark in seen[one.number].seen]
            waiting = [name for name in planned if name in chalked and name not in in_it]
            planned = [n for n in in_it if (one.number, n) not in aside] + waiting
        to_come.append(
            ToCome(set_up=one.number, start=one.start, end=one.end, picture=picture,
                   planned=tuple(planned), squared=one.number in seen, waiting=tuple(waiting),
                   row=one.row)
        )  # fmt: skip
    to_come.sort(key=lambda one: (one.start, one.set_up))
    by_number = {one.number: one for one in set_ups}

    def foresee(number: int, spots: Sequence[closing.MarkSpot]) -> PictureSeen | None:
        return foreseen(results, by_number[number], spots)

    return closing.replanned(
        closure,
        to_come,
        mark_candidates(set_ups, results.wall, results.marks),
        foresee,
        accuracy=made.limit,
        drawn=inputs.marks_asked.drawn,
        lost=inputs.marks_asked.lost,
        seams=_seams_asked(results, pictures, closure),
        taken=made.taken,
        pullable=lambda start, end: not setting_out.juts_out(results.wall, start, end),
    )


def _seams_asked(
    results: JobResults, pictures: Sequence[Picture], closure: Closure
) -> SeamsAsked | None:
    """What the job asks of seams; None where it asks nothing."""
    limit = results.inputs.marks_asked.seam
    if limit is None:
        return None
    set_ups = results.set_ups.set_ups
    return SeamsAsked(
        limit=limit,
        seams=picture_seams(set_ups, pictures),
        candidates=seam_candidates(set_ups, results.wall, pictures),
        drawn={
            one.set_up: [mark.name for mark in one.seen]
            for one in closure.readings.pictures
            if one.set_up in closure.readings.drawn
        },
    )


def chalk_new_marks(folder: Path, left: Replan, *, seen: str | None = None) -> tuple[str, ...]:
    """Write the new marks into the job file, and those they replace as lost; names of the new.

    Parameters
    ----------
    left : Replan
        What is left to do.
    seen : str or None
        Digest of the job file that was looked at; None for the one that is there.

    Raises
    ------
    JobFolderError, JobFileError, StaleJobError
        If the job cannot be read or changed.
    """
    if not left.new_marks:
        return ()
    path = job_path(folder)
    digest, document = job_file.read(path).digest, job_file.document(path)
    mark_changes.put_marks(
        document,
        [one.instead_of for one in left.new_marks if one.instead_of is not None],
        [
            ChalkedMark(name=one.name, chainage=one.chainage, level=one.level)
            for one in left.new_marks
        ],
    )
    job_file.write(path, document, expected=seen or digest)
    return tuple(one.name for one in left.new_marks)
