"""The pack: papers, frames and tables written into the job's folder."""

from __future__ import annotations

import shlex
import sys
from datetime import UTC, datetime
from pathlib import Path

from giornata.cli.opened import job_form
from giornata.cli.report import Column, Fact, Facts, Report, Table
from giornata.cli.speaking import Manner, progress_bar, speak
from giornata.desk import open_job
from giornata.desk.packing import pack

__all__ = ["make_pack"]


def make_pack(folder: Path, manner: Manner, *, pages: bool = False) -> int:
    """Write a job's pack, and say where it lies; the exit code.

    Parameters
    ----------
    pages : bool
        Say how to open the pages.
    """
    job = open_job(folder)
    with progress_bar(manner) as progress:
        job.results(progress=progress)
        made = pack(
            job,
            at=datetime.now(UTC),
            system=manner.system(job.inputs.title.units),
            progress=progress,
        )
    title = job.inputs.title
    facts = [Fact(key="pack", name="papers in", value=str(made.folder), whole=True)]
    if pages:
        serve = f"{_own_command()} serve {shlex.quote(str(folder))}"
        remark = "shows the wall in the browser"
        facts.append(Fact(key="serve", name="pages", value=serve, remark=remark, whole=True))
    names = [file.name for file in made.files]
    files = Table(
        key="files",
        title="Files",
        columns=(Column(key="file", head="file"),),
        rows=tuple((name,) for name in sorted(names, key=lambda n: (n.count("/"), n))),
        most=20,
    )
    return speak(
        Report(title=f"{title.name}: the pack", sections=(Facts(facts=tuple(facts)), files),
               rooms=None),
        manner=manner,
        units=title.units,
        folder=folder,
        job=job_form(folder, title, job.content_digest),
        digest=job.digest,
        findings=made.findings,
    )  # fmt: skip


def _own_command() -> str:
    """The command as it can be typed here: its path where it lies under this folder."""
    script = Path(sys.argv[0])
    here = Path.cwd()
    if script.stem == "giornata" and script.is_absolute() and script.is_relative_to(here):
        return str(script.relative_to(here))
    return "giornata"
