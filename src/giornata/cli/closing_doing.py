"""What the verbs of closing do: write down what was read or drawn, and say how the wall closes."""

from __future__ import annotations

import math
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import typer

from giornata.cli.measure_words import read_measures, typed_length
from giornata.cli.opened import Opened, job_form, opened
from giornata.cli.pages import close_page, measure_page
from giornata.cli.report import Report
from giornata.cli.speaking import Manner, speak
from giornata.core.foundation import Finding
from giornata.desk import (
    chalk_new_marks,
    check_measurements,
    close_wall,
    record_drawn,
    record_measure,
    replan,
    undo_measure,
    write_closing_report,
    write_moved_pictures,
)

__all__ = ["closed", "measured"]


def closed(
    folder: Path,
    drawn: tuple[int, ...],
    report: Path | None,
    manner: Manner,
    *,
    pictures: bool = False,
    new_marks: bool = False,
) -> int:
    """Say how the wall closes; the exit code."""
    found = opened(folder, manner)
    known = {one.number for one in found.results.set_ups.set_ups}
    for number in drawn:
        if number not in known:
            raise typer.BadParameter(
                f"the job has no set-up {number}; they run from 1 to {len(known)}"
                if known
                else "no plan can be made, so there are no set-ups; see: giornata set-ups",
                param_hint="--drawn",
            )
    if drawn:
        record_drawn(found.job.folder, drawn, at=datetime.now(UTC))
    made = close_wall(found.job.folder, found.results)
    if report is not None and made is not None:
        system = manner.system(found.job.inputs.title.units)
        write_closing_report(found.results, made, system, report)
    written: tuple[int, ...] | None = None
    if pictures and made is not None:
        at = datetime.now(UTC)
        written = write_moved_pictures(found.job.folder, found.results, made, at=at)
    findings = () if made is None else made.findings
    left = None if made is None else replan(found.results, made)
    named = chalk_new_marks(found.job.folder, left) if new_marks and left is not None else ()
    page = close_page(found.results, made, report, written, left, named)
    return _said(page, found, folder, manner, findings)


def measured(
    folder: Path, read: tuple[str, ...], known_to: str | None, undo: str | None, manner: Manner
) -> int:
    """Write down check measurements, or take one back, and list them; the exit code."""
    if undo is not None and read:
        raise typer.BadParameter("take back or write down, one at a time", param_hint="--undo")
    if known_to is not None and not read:
        raise typer.BadParameter("goes with --read", param_hint="--known-to")
    found = opened(folder, manner)
    at = datetime.now(UTC)
    if undo is not None:
        undo_measure(found.job.folder, undo, at=at)
    if read:
        sigma = None
        if known_to is not None:
            sigma = typed_length(known_to, "standard error", "--known-to")
            if not sigma > 0:
                raise typer.BadParameter("a standard error is above 0", param_hint="--known-to")
        names = [mark.name for mark in found.results.marks]
        taken = [one.name for one in check_measurements(found.job.folder)]
        wall = found.results.wall
        reads = read_measures(
            read,
            names,
            taken,
            sigma,
            diagonal=math.hypot(wall.length, np.ptp([*wall.top[:, 1], *wall.ground[:, 1]])),
            system=manner.system(found.job.inputs.title.units),
        )
        for one in reads:
            record_measure(found.job.folder, one, at=at)
    page = measure_page(found.results, check_measurements(found.job.folder))
    return _said(page, found, folder, manner, ())


def _said(
    page: Report, found: Opened, folder: Path, manner: Manner, findings: tuple[Finding, ...]
) -> int:
    title = found.job.inputs.title
    return speak(
        page,
        manner=manner,
        units=title.units,
        folder=folder,
        job=job_form(folder, title, found.job.content_digest),
        digest=found.job.digest,
        findings=findings,
    )
