"""The closing report, written as PDF."""

from __future__ import annotations

from pathlib import Path

from giornata.core import documents
from giornata.core.foundation import System
from giornata.core.job import JobResults
from giornata.desk.closing import WallClosure
from giornata.files import saving
from giornata.files.pdf.written import written_pdf

__all__ = ["write_closing_report"]


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
        limit=made.limit, chained=made.chained, taken=made.taken,
    )  # fmt: skip
    saving.replace_file(path, written_pdf(paper))
