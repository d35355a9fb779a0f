"""One open job: its folder read, its artwork read, its results derived."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from giornata.core.artwork import Drawing, Way, undecided, wording_findings
from giornata.core.foundation import (
    ArtworkError,
    Finding,
    JobFolderError,
    System,
    digest,
)
from giornata.core.job import JobInputs, JobResults, Memo, Progress, Site, derive
from giornata.core.site import misplaced
from giornata.desk.photographs import photo_findings
from giornata.desk.sharing import shared_out
from giornata.files import job_file, saving
from giornata.files.artwork import read_artwork
from giornata.files.job_tables import JobTables
from giornata.files.zone_places import zone_place

__all__ = ["Job", "job_inputs", "open_job"]

JOB_FILE = "job.toml"


@dataclass(slots=True, kw_only=True)
class Job:
    """A job folder that is open.

    Parameters
    ----------
    folder : Path
        The job folder.
    digest : str
        Digest of the job file; a verb that changes the job names it.
    inputs : JobInputs
        What the job file and the artwork say.
    artwork_findings : tuple of Finding
        What reading the artwork brought up.
    photo_findings : tuple of Finding
        What bringing the photos of the wall to scale brought up.
    memo : mutable mapping
        Results kept between runs.
    """

    folder: Path
    digest: str
    inputs: JobInputs
    artwork_findings: tuple[Finding, ...]
    photo_findings: tuple[Finding, ...] = ()
    memo: Memo = field(default_factory=dict)

    @property
    def system(self) -> System:
        """The units the job is printed in."""
        return System(self.inputs.title.units)

    @property
    def content_digest(self) -> str:
        """Digest of everything that results follow from, printed on every paper."""
        content = (self.inputs, self.photo_findings) if self.photo_findings else self.inputs
        return digest(content)[:12]

    def results(
        self, *, progress: Progress | None = None, stop: Callable[[], bool] = lambda: False
    ) -> JobResults:
        """All results; a second call takes from the memo what has not changed.

        Raises
        ------
        Stopped
            If ``stop`` said so.
        """
        return derive(self.inputs, memo=self.memo, progress=progress, stop=stop, mapped=shared_out)

    def findings(self, results: JobResults) -> tuple[Finding, ...]:
        """Findings of the artwork file, of the photos and of all steps, each once."""
        placed = _place_findings(self.inputs.site)
        all_of_them = (*self.artwork_findings, *self.photo_findings, *placed, *results.findings)
        return tuple(dict.fromkeys(all_of_them))


def open_job(folder: Path, *, memo: Memo | None = None) -> Job:
    """Open a job folder, or the folder of a job file.

    Parameters
    ----------
    memo : mutable mapping, optional
        Results of an earlier opening of the same job, the reading of its artwork among them: a
        file whose bytes are the same is not read again.

    Raises
    ------
    JobFolderError
        If there is no such folder, or no job file in it.
    JobFileError
        If the job file has faults; all of them are listed.
    ArtworkError
        If the artwork is missing, refused or cannot be read.
    """
    if folder.is_file() and folder.name == JOB_FILE:
        folder = folder.parent
    if not folder.is_dir():
        raise JobFolderError(
            f"{folder}: there is no such folder.",
            remedy="Name the job's folder, or begin a job with: giornata new FOLDER",
        )
    saving.sweep(folder)
    read = job_file.read(folder / JOB_FILE)
    kept: Memo = {} if memo is None else memo
    drawing, findings = _drawing(folder, read.tables, kept)
    inputs = job_inputs(read.tables, drawing)
    return Job(
        folder=folder,
        digest=read.digest,
        inputs=inputs,
        artwork_findings=_with_decisions(inputs, findings),
        photo_findings=photo_findings(folder, read.tables),
        memo=kept,
    )


def _place_findings(site: Site) -> tuple[Finding, ...]:
    """Whether latitude and longitude were exchanged, by where their zone is."""
    zone = getattr(site.zone, "key", "")
    named_after = zone_place(zone)
    if site.latitude is None or site.longitude is None or named_after is None:
        return ()
    found = misplaced(site.latitude, site.longitude, zone, named_after)
    return () if found is None else (found,)


def _nearest(tables: JobTables) -> tuple[str, ...]:
    """Colours of the paints among which each pixel of the artwork goes to the nearest; or none."""
    words = ("pictures", Path(tables.artwork.file).name)
    decisions = [one for one in tables.artwork.decisions if one.becomes is Way.NEAREST]
    for one in decisions:
        if one.thing in words:
            keys = one.paints or [paint.key for paint in tables.paints if paint.artwork]
            return tuple(paint.artwork[0] for paint in tables.paints if paint.key in keys)
    return ()


def _drawing(folder: Path, tables: JobTables, memo: Memo) -> tuple[Drawing, tuple[Finding, ...]]:
    name = tables.artwork.file
    path = folder / name
    if Path(name).is_absolute() or not path.resolve().is_relative_to(folder.resolve()):
        raise ArtworkError(
            f"{name}: the artwork lies outside the job folder.",
            remedy="Copy the file into the folder's artwork/ and name it from there.",
        )
    if not path.is_file():
        raise ArtworkError(
            f"{name}: there is no such artwork in {folder}.",
            remedy="Copy the file there, or correct [artwork] file in job.toml.",
        )
    locked, nearest = tables.locked(), _nearest(tables)
    key = digest(("artwork file", name, _content(path), locked, nearest))
    if key not in memo:
        memo[key] = (read_artwork(path, locked=locked, nearest=nearest), key)
    (drawing, findings), _ = memo[key]
    if drawing is None:
        first = findings[0] if findings else None
        raise ArtworkError(
            f"{name}: {first.message if first else 'the artwork cannot be read.'}",
            remedy=first.remedy if first else "Export the artwork again as SVG or PNG.",
            findings=findings,
        )
    return drawing, findings


def _with_decisions(inputs: JobInputs, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """What the reader said, of things that are not flat as the decisions leave them."""
    drawing = inputs.drawing
    of_things = {thing.finding for thing in drawing.things}
    left = (finding for finding in findings if finding not in of_things)
    still_open = undecided(drawing.things, inputs.mappings, file=drawing.name)
    return (*left, *still_open, *wording_findings(drawing, inputs.wording))


def _content(path: Path) -> str:
    """SHA-256 of a file's bytes; empty where they cannot be read, which the reader then says."""
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return ""


def job_inputs(tables: JobTables, drawing: Drawing) -> JobInputs:
    """The core's inputs from what the job file and the artwork say."""
    return JobInputs(
        title=tables.job.record(),
        site=tables.site.record(),
        survey=tables.wall.record(),
        drawing=drawing,
        placement=tables.artwork.record(),
        tools=tables.artwork.tools(),
        paints=tables.palette(),
        options=tuple(option.record() for option in tables.options),
        colourways=tuple(colourway.record() for colourway in tables.colourways),
        option=tables.choice.option,
        colourway=tables.choice.colourway,
        paint=tables.paint.record(),
        labour=tables.labour.record(),
        access=None if tables.access is None else tables.access.record(),
        projector=tables.projector.record(),
        other_projectors=tuple(one.record() for one in tables.other_projectors),
        stand=tables.stand.record(tables.site.ambient),
        nights=tables.nights.record(),
        transfer=tables.transfer.record(),
        power=None if tables.power is None else tables.power.record(),
        price=tables.price.record(),
        marks_asked=tables.marks.record(),
        standing=tables.site.stretches(),
        preparation=None if tables.preparation is None else tables.preparation.record(),
        wording=tables.artwork.wording(),
        mappings=tuple(one.record() for one in tables.artwork.decisions),
    )
