"""The pack: papers, frames and tables written into the job's folder."""

from __future__ import annotations

from importlib import import_module
from pathlib import Path

from giornata.cli.opened import job_form
from giornata.cli.report import Column, Fact, Facts, Report, Table
from giornata.cli.speaking import Manner, progress_bar, speak
from giornata.core.foundation import ToolMissingError
from giornata.desk import open_job

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
        results = job.results(progress=progress)
        try:
            packing = import_module("giornata.desk.packing")
        except ImportError as fault:
            raise ToolMissingError("The pack cannot be made.", remedy="-") from fault
        packing.pack(job, progress=progress)
    title = job.inputs.title
    facts = [
        Fact(key="pack", name="papers in", value=str(job.folder / "pack")),
    ]
    if pages:
        facts.append(
            Fact(key="serve", name="pages", value=f"giornata serve {folder}",
                 remark="opens the wall in the browser")
        )  # fmt: skip
    written = sorted(p for p in (job.folder / "pack").rglob("*") if p.is_file())
    files = Table(
        key="files",
        title="Files",
        columns=(Column(key="file", head="file"),),
        rows=tuple((str(path.relative_to(job.folder)),) for path in written),
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
        findings=job.findings(results),
    )  # fmt: skip
