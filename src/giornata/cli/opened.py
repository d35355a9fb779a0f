"""A verb's job: opened, derived with a bar, and what JSON says of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import typer

from giornata.cli.report import Report
from giornata.cli.speaking import Manner, progress_bar, speak
from giornata.core.artwork import Colourway
from giornata.core.foundation import Finding
from giornata.core.job import Design, JobResults, JobTitle, Scheme
from giornata.desk import Job, open_job

__all__ = ["Opened", "answer", "job_form", "opened"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A job with its results, and the scheme that was asked for."""

    job: Job
    results: JobResults
    design: Design
    scheme: Scheme
    colourways: tuple[Colourway, ...]
    findings: tuple[Finding, ...]


def opened(
    folder: Path, manner: Manner, *, option: str | None = None, colourway: str | None = None
) -> Opened:
    """A job opened and derived; without an option or a colourway, the chosen one.

    Raises
    ------
    typer.BadParameter
        If the job has no such option or colourway.
    """
    job = open_job(folder)
    inputs = job.inputs
    for asked, known, what in (
        (option, inputs.options, "option"),
        (colourway, inputs.colourways, "colourway"),
    ):
        keys = [one.key for one in known]
        if asked is not None and asked not in keys:
            raise typer.BadParameter(
                f"the job has no {what} {asked!r}; write one of {', '.join(keys)}"
            )
    with progress_bar(manner) as progress:
        results = job.results(progress=progress)
    chosen = option or inputs.option
    return Opened(
        job=job,
        results=results,
        design=next(d for d in results.designs if d.option.key == chosen),
        scheme=results.scheme_of(chosen, colourway or inputs.colourway),
        colourways=tuple(c for c in inputs.colourways if colourway in (None, c.key)),
        findings=job.findings(results),
    )


def job_form(folder: Path, title: JobTitle, content_digest: str | None = None) -> dict[str, Any]:
    """What JSON says of the job."""
    return {
        "folder": str(folder),
        "name": title.name,
        "place": title.place,
        "client": title.client,
        "date": title.date.isoformat(),
        "units": title.units,
        "currency": title.currency,
        "content_digest": content_digest,
    }


def answer(
    folder: Path,
    manner: Manner,
    page: Callable[[Opened], Report],
    *,
    option: str | None = None,
    colourway: str | None = None,
    only: str | None = None,
) -> int:
    """Open and derive the job, and say a page of it; the exit code.

    Parameters
    ----------
    only : str or None
        Severity of the findings that are said.
    """
    found = opened(folder, manner, option=option, colourway=colourway)
    title = found.job.inputs.title
    return speak(
        page(found),
        manner=manner,
        units=title.units,
        folder=folder,
        job=job_form(folder, title, found.job.content_digest),
        digest=found.job.digest,
        findings=found.findings,
        only=only,
    )
