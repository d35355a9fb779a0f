"""What the verb for targets does: which marks are meant, and their sheets written."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import typer

from giornata.cli.opened import job_form, opened
from giornata.cli.report import Fact, Facts, Report
from giornata.cli.speaking import Manner, speak
from giornata.cli.square_words import one_mark
from giornata.cli.transfer_words import paper_of
from giornata.core import documents
from giornata.core.job import JobResults
from giornata.core.setting_out import ControlMark
from giornata.desk.transferring import write_transfer_sheets

__all__ = ["Request", "done"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What was asked for, as it was written."""

    folder: Path
    marks: tuple[str, ...]
    set_ups: tuple[int, ...]
    paper: str | None
    out: Path | None


def done(request: Request, manner: Manner) -> int:
    """Write the sheets; the exit code.

    Raises
    ------
    typer.BadParameter
        If a mark, a set-up or the paper is not known, or no mark is meant.
    """
    found = opened(request.folder, manner)
    title, results = found.job.inputs.title, found.results
    marks = _meant(request, results)
    system = manner.system(title.units)
    size = paper_of(request.paper)
    try:
        paper = documents.target_sheets(results, system, marks, paper=size)
    except ValueError as fault:
        raise typer.BadParameter(str(fault), param_hint="--paper") from fault
    target = request.out or found.job.folder / "target-sheets.pdf"
    write_transfer_sheets(paper, target)
    facts = (
        Fact(key="file", name="targets in", value=str(target), whole=True),
        Fact(key="sheets", name="sheets", value=len(paper.sheets)),
        Fact(key="marks", name="marks", value=", ".join(one.name for one in marks)),
    )
    return speak(
        Report(title=f"{title.name}: targets for control marks", sections=(Facts(facts=facts),)),
        manner=manner,
        units=title.units,
        folder=request.folder,
        job=job_form(request.folder, title, found.job.content_digest),
        digest=found.job.digest,
        findings=tuple(dict.fromkeys((*found.findings, *paper.findings))),
    )


def _meant(request: Request, results: JobResults) -> tuple[ControlMark, ...]:
    names = [one.name for one in results.marks]
    asked = {one_mark(text, names, "--mark")[0] for text in request.marks}
    known = {one.number for one in results.set_ups.set_ups}
    for number in request.set_ups:
        if number not in known:
            raise typer.BadParameter(f"the job has no set-up {number}", param_hint="--set-up")
    every = not asked and not request.set_ups
    of_use = documents.marks_of_use(results)
    marks = tuple(
        one
        for one in results.marks
        if (every and one in of_use) or one.name in asked or set(one.set_ups) & set(request.set_ups)
    )
    if not marks:
        raise typer.BadParameter("the job has no control marks yet; see: giornata set-ups")
    return marks
