"""The pack: all papers, frames and tables of a job, written into its folder in one step."""

from __future__ import annotations

import importlib.metadata
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Any

import giornata
from giornata.core import documents
from giornata.core.boards import PatternKind
from giornata.core.foundation import Finding, System
from giornata.core.job import JobResults, Progress, Stopped, named_figures, not_flat
from giornata.desk.opening import Job
from giornata.desk.pictures import designs_moved
from giornata.desk.transferring import chosen_transfer_sheets
from giornata.desk.verbs import events
from giornata.files.artwork_picture import artwork_png
from giornata.files.frames import contrast_check_png, frame_png
from giornata.files.pack import PACK, RECORD, PackedFile, new_pack
from giornata.files.pattern_frames import WHITE, pattern_names, pattern_png, white_png
from giornata.files.pdf.sheets import drawn_pdf
from giornata.files.pdf.written import written_pdf
from giornata.files.region_pixels import paths_of
from giornata.files.site_log import SiteLog
from giornata.files.tables import csv_bytes, workbook_bytes

__all__ = ["PackReport", "pack"]

_RECORD_FORM = 1
_AT_ONCE = 2  # documents made at the same time: those who write PNG and PDF let go of Python
_DRAWN = (
    ("elevation.pdf", documents.elevation),
    ("setting-out.pdf", documents.setting_out_sheet),
    ("reference-sheets.pdf", documents.reference_sheets),
    ("closing-forms.pdf", documents.closing_forms),
)
_CARDS = "set-up-cards.pdf"
_MAKERS = ("typst", "skia-python", "pillow", "xlsxwriter", "shapely", "numpy")


@dataclass(frozen=True, slots=True, kw_only=True)
class PackReport:
    """A pack that stands.

    Parameters
    ----------
    folder : Path
        The pack folder.
    files : tuple of PackedFile
        By name.
    digest : str
        Of everything the pack was made from, as printed on its papers.
    findings : tuple of Finding
        Of the artwork, of all steps, and of the papers.
    """

    folder: Path
    files: tuple[PackedFile, ...]
    digest: str
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Document:
    """A file to be made, and the function that makes its bytes."""

    name: str
    make: Callable[[], bytes]


def pack(
    job: Job,
    *,
    at: datetime,
    system: System | None = None,
    progress: Progress | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> PackReport:
    """Write the pack of a job; the former pack stands until the new one does.

    Parameters
    ----------
    job : Job
        An open job.
    at : datetime
        When the pack is issued, with its time zone; only the site log keeps it.
    system : System or None
        Units of the papers; None takes the job's own.
    progress : callable, optional
        Told each file, how many are done and how many there are.
    stop : callable, optional
        Asked between files; a pack that is stopped leaves the former one.

    Raises
    ------
    ValueError
        If ``at`` has no time zone.
    Stopped
        If ``stop`` said so.
    JobFolderError
        If the folder is read-only or full, another pack is being made in it, or the former pack
        holds a file that was put there or changed by hand.
    NoWallError
        If the readings give no wall.
    RenderError
        If a paper or a picture cannot be made.
    """
    if at.tzinfo is None:
        raise ValueError("a pack is issued at a time with its zone")
    units = job.system if system is None else system
    results = job.results(stop=stop)
    digest = job.content_digest
    with new_pack(job.folder) as writer:
        with ThreadPoolExecutor(_AT_ONCE) as pool:
            making = _Making(pool, progress, stop, count=_count(results))
            try:
                making.begin(_frames(results))
                drawn = _drawn_papers(job.folder, results, units, making)
                doubts = (finding for _, paper in drawn for finding in paper.findings)
                findings = _each_once(job.findings(results), doubts)
                offer = documents.proposal(results, findings, units)
                findings = _each_once(findings, documents.unprinted_letters(offer))
                own = documents.option_sheet(results, findings, units)
                written = {"proposal.pdf": offer, "option-sheet.pdf": own}
                checks = documents.site_checks(results, units)
                if checks is not None:
                    written["site-checks.pdf"] = checks
                making.begin(_papers(written, drawn))
                making.begin(_not_flat_pictures(results))
                making.begin(_tables(results, findings, digest, units))
                for name, content in making.contents():
                    writer.write(name, content)
            finally:
                pool.shutdown(wait=True, cancel_futures=True)
        making.tell(RECORD)
        writer.write_record(_record(job, results, findings, digest, units))
        files = writer.files
    with SiteLog(job.folder / "site.sqlite") as log:
        sha256 = next(file.sha256 for file in files if file.name == RECORD)
        log.append(
            "issued", PACK, {"digest": digest, RECORD: sha256, "units": str(units)}, at=at,
            key=f"issued {PACK} {sha256}",
        )  # fmt: skip
    return PackReport(folder=job.folder / PACK, files=files, digest=digest, findings=findings)


class _Making:
    """Documents being made, two at a time, and how far they are."""

    def __init__(
        self,
        pool: ThreadPoolExecutor,
        progress: Progress | None,
        stop: Callable[[], bool],
        *,
        count: int,
    ) -> None:
        self._pool, self._progress, self._stop = pool, progress, stop
        self._done, self._count = 0, count
        self._begun: list[tuple[str, Future[bytes]]] = []

    def begin(self, made: Iterable[_Document]) -> None:
        self._begun += [(one.name, self._pool.submit(one.make)) for one in made]

    def tell(self, name: str) -> None:
        """Say what comes next, unless the pack is to be stopped."""
        if self._stop():
            raise Stopped("the pack was stopped")
        if self._progress is not None:
            self._progress(name, self._done, self._count)
        self._done += 1

    def contents(self) -> Iterator[tuple[str, bytes]]:
        """Name and bytes of each document, in the order they were begun."""
        while self._begun:
            name, future = self._begun.pop(0)
            self.tell(name)
            yield name, future.result()


def _count(results: JobResults) -> int:
    """How many times `_Making.tell` is called: drawings, then all files."""
    drawings, written = len(_drawings(results)) + 1, 2 + (results.preparation is not None)
    each = len(documents.FrameKind) + 2 * len(PatternKind)
    frames = each * len(results.projected) + 2
    pictures = sum(1 for _ in _not_flat_pictures(results))
    tables = 1 + len(documents.table_names(results))
    return drawings + frames + drawings + written + pictures + tables + 1


def _drawings(
    results: JobResults,
) -> tuple[tuple[str, Callable[[JobResults, System], documents.DrawnPaper]], ...]:
    transfers = tuple(chosen_transfer_sheets(results))
    if not results.design.take_off.narrow:
        return (*_DRAWN, *transfers)
    return (*_DRAWN, ("narrow-places.pdf", documents.narrow_sheets), *transfers)


def _drawn_papers(
    folder: Path, results: JobResults, system: System, making: _Making
) -> tuple[tuple[str, documents.DrawnPaper], ...]:
    drawn = []
    for name, paper_of in _drawings(results):
        making.tell(name)
        drawn.append((name, paper_of(results, system)))
    making.tell(_CARDS)
    moved = {number: one.knots for number, one in designs_moved(events(folder)).items()}
    drawn.append((_CARDS, documents.set_up_cards(results, system, moved=moved)))
    return tuple(drawn)


def _papers(
    written: Mapping[str, documents.WrittenPaper],
    drawn: Iterable[tuple[str, documents.DrawnPaper]],
) -> Iterator[_Document]:
    for name, paper in written.items():
        yield _Document(name=name, make=partial(written_pdf, paper))
    for name, sheets in drawn:
        yield _Document(name=name, make=partial(drawn_pdf, sheets))


def _each_once(*findings: Iterable[Finding]) -> tuple[Finding, ...]:
    return tuple(dict.fromkeys(one for group in findings for one in group))


def _frames(results: JobResults) -> Iterator[_Document]:
    regions, net = paths_of(results.design.placed.coverage), results.wall.net
    for frame in documents.projector_frames(results):
        name = f"frames/{frame.name}.png"
        yield _Document(name=name, make=partial(frame_png, frame, regions, net))
    lamp = results.inputs.projector
    check = partial(contrast_check_png, lamp.columns, lamp.rows)
    yield _Document(name="frames/contrast-check.png", make=check)
    for one in results.projected:
        for name, pattern, negative in pattern_names(one.columns, one.rows, one.number):
            make = partial(pattern_png, pattern, negative=negative)
            yield _Document(name=f"frames/patterns/{name}.png", make=make)
    white = partial(white_png, lamp.columns, lamp.rows)
    yield _Document(name=f"frames/patterns/{WHITE}.png", make=white)


def _not_flat_pictures(results: JobResults) -> Iterator[_Document]:
    """Each option's artwork with what is not flat colour boxed and numbered, where any is."""
    for design in results.designs:
        things = not_flat(results, design)
        if things:
            decided = {one.thing.number for one in things if one.decided}
            make = partial(artwork_png, design.flat, [one.thing for one in things], decided)
            yield _Document(name=f"not-flat-{design.option.key}.png", make=make)


def _tables(
    results: JobResults, findings: tuple[Finding, ...], digest: str, system: System
) -> Iterator[_Document]:
    tables = documents.pack_tables(results, findings, digest, system)
    title = results.inputs.title
    book = partial(workbook_bytes, tables, title=title.name, digest=digest, day=title.date)
    yield _Document(name="pack.xlsx", make=book)
    for table in tables:
        yield _Document(name=f"{table.name}.csv", make=partial(csv_bytes, table))


def _record(
    job: Job, results: JobResults, findings: tuple[Finding, ...], digest: str, system: System
) -> dict[str, Any]:
    """What pack.json says: nothing of the clock, of this machine's folders or of chance."""
    title = results.inputs.title
    return {
        "form": _RECORD_FORM,
        "job": {
            "name": title.name,
            "place": title.place,
            "client": title.client,
            "date": title.date.isoformat(),
            "units": str(system),
            "currency": title.currency,
            "option": results.inputs.option,
            "colourway": results.inputs.colourway,
            "digest": digest,
            "job_file": job.digest,
        },
        "made_with": {
            "giornata": giornata.__version__,
            **{name: importlib.metadata.version(name) for name in _MAKERS},
        },
        "figures": documents.figure_list(named_figures(results), system),
        "findings": documents.finding_list(findings, system),
    }
