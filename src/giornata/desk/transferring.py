"""Sheets for the stretches that are transferred by grid or pounce instead of projected."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from giornata.core import documents
from giornata.core.documents import DrawnPaper, PaperSize
from giornata.core.foundation import System
from giornata.core.job import JobResults
from giornata.core.works import TransferStretch, TransferWay
from giornata.files.pdf.sheets import drawn_pdf
from giornata.files.saving import outside_faults, replace_file

__all__ = ["chosen_transfer_sheets", "transfer_sheets", "write_transfer_sheets"]


def transfer_sheets(
    results: JobResults,
    system: System,
    stretch: TransferStretch,
    *,
    paper: PaperSize | None = None,
) -> DrawnPaper:
    """Grid sheets, or the tiles of a pounce pattern, of a stretch.

    Raises
    ------
    ValueError
        If nothing of the wall lies there.
    """
    if stretch.way is TransferWay.GRID:
        pitch = results.inputs.transfer.pitch
        return documents.grid_sheets(
            results, system, stretch.start, stretch.end, pitch=pitch, paper=paper
        )
    return documents.pounce_sheets(results, system, stretch.start, stretch.end, paper=paper)


def chosen_transfer_sheets(
    results: JobResults,
) -> Iterator[tuple[str, Callable[[JobResults, System], DrawnPaper]]]:
    """File name and sheets of each stretch the job names, those off the wall left out."""
    stretches = results.inputs.transfer.stretches
    for number, stretch in enumerate(stretches, start=1):
        if stretch.start < results.wall.length:
            yield (
                f"{stretch.way}-sheets-{number}.pdf",
                partial(transfer_sheets, stretch=stretch),
            )


def write_transfer_sheets(paper: DrawnPaper, target: Path) -> None:
    """Write sheets into a file.

    Raises
    ------
    JobFolderError
        If it cannot be written.
    RenderError
        If a sheet cannot be made.
    """
    content = drawn_pdf(paper)
    with outside_faults(target.parent, "Making"):
        target.parent.mkdir(parents=True, exist_ok=True)
    replace_file(target, content)
