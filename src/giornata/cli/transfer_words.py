"""What the transfer verb does: compares the ways, and writes the sheets of one."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import typer

from giornata.cli.opened import job_form, opened
from giornata.cli.pages.transfer import transfer_page
from giornata.cli.speaking import Manner, speak
from giornata.core.documents import PaperSize
from giornata.core.foundation import Dimension, Finding, parse
from giornata.core.works import TransferStretch, TransferWay
from giornata.desk.transferring import transfer_sheets, write_transfer_sheets

__all__ = ["Request", "done", "paper_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """What was asked for, as it was written."""

    folder: Path
    way: str | None
    start: str | None
    end: str | None
    paper: str | None
    out: Path | None


def done(request: Request, manner: Manner) -> int:
    """Say the hours, or write the sheets; the exit code.

    Raises
    ------
    typer.BadParameter
        If the stretch or the paper cannot be read, or is given without a way.
    """
    unused = {"--from": request.start, "--to": request.end, "--paper": request.paper,
              "--out": request.out}  # fmt: skip
    for option, value in unused.items():
        if request.way is None and value is not None:
            raise typer.BadParameter("goes with --way", param_hint=option)
    found = opened(request.folder, manner)
    title, results = found.job.inputs.title, found.results
    findings: tuple[Finding, ...] = found.findings
    written = None
    if request.way is not None:
        stretch = _stretch(request, results.wall.length)
        paper = transfer_sheets(
            results, manner.system(title.units), stretch, paper=paper_of(request.paper)
        )
        name = f"{stretch.way}-{stretch.start:.2f}-{stretch.end:.2f}.pdf"
        target = request.out or found.job.folder / "transfer" / name
        write_transfer_sheets(paper, target)
        written = (str(target), len(paper.sheets))
        findings = tuple(dict.fromkeys((*findings, *paper.findings)))
    return speak(
        transfer_page(results, written),
        manner=manner,
        units=title.units,
        folder=request.folder,
        job=job_form(request.folder, title, found.job.content_digest),
        digest=found.job.digest,
        findings=findings,
    )


def _stretch(request: Request, length: float) -> TransferStretch:
    ends = (_length(request.start, 0.0, "--from"), _length(request.end, length, "--to"))
    if not 0 <= ends[0] < min(ends[1], length):
        raise typer.BadParameter(f"write chainages between 0 and {length:.2f} m, --from below --to")
    return TransferStretch(
        start=ends[0], end=min(ends[1], length), way=TransferWay(str(request.way))
    )


def _length(text: str | None, left_out: float, option: str) -> float:
    if text is None:
        return left_out
    read = parse(text, Dimension.LENGTH, subject=option)
    if isinstance(read, Finding):
        raise typer.BadParameter(f"{option}: {read.message} {read.remedy}")
    return read


def paper_of(name: str | None) -> PaperSize | None:
    """A paper by its name; None where it is left out.

    Raises
    ------
    typer.BadParameter
        If no paper is called so.
    """
    if name is None:
        return None
    key = name.strip().upper().replace(" ", "_")
    if key not in PaperSize.__members__:
        known = ", ".join(size.title for size in PaperSize)
        raise typer.BadParameter(f"no paper is called {name!r}; write one of {known}")
    return PaperSize[key]
