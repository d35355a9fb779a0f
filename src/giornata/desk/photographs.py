"""Photos of the wall: brought to scale, marked, drawn on, and what was drawn kept in the job."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path

from giornata.core import photography
from giornata.core.foundation import Finding, PhotoError, Severity
from giornata.core.job import JobTitle
from giornata.core.photography import KnownPoint, Rectification, WallPhoto
from giornata.core.survey import DevelopedWall, WallSurvey, develop, height_error, length_error
from giornata.desk.verbs import job_path
from giornata.files import job_file
from giornata.files.job_photos import PhotoPointTable, PhotoTable
from giornata.files.job_tables import JobTables
from giornata.files.photos import PhotoFacts, photo_facts

__all__ = ["PhotoView", "PhotosView", "photo_findings", "photo_named", "view_photos"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PhotoView:
    """A photo of the job.

    Parameters
    ----------
    name : str
        As the painter calls it.
    path : Path
        Its file.
    table : PhotoTable
        What the job file says of it.
    facts : PhotoFacts or None
        What its file says; None where it cannot be read.
    rectification : Rectification or None
        None where it cannot be brought to scale; the findings say why.
    findings : tuple of Finding
    """

    name: str
    path: Path
    table: PhotoTable
    facts: PhotoFacts | None
    rectification: Rectification | None
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PhotosView:
    """All photos of a job.

    Parameters
    ----------
    digest : str
        Of the job file.
    title : JobTitle
    survey : WallSurvey
        What was measured at the wall.
    wall : DevelopedWall or None
        None where the readings give none; places by name then lead nowhere.
    photos : tuple of PhotoView
        In the order of the job file.
    """

    digest: str
    title: JobTitle
    survey: WallSurvey
    wall: DevelopedWall | None
    photos: tuple[PhotoView, ...]

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Of all photos."""
        return tuple(finding for photo in self.photos for finding in photo.findings)


def view_photos(folder: Path) -> PhotosView:
    """The photos of a job brought to scale; the artwork is not looked at.

    Raises
    ------
    JobFolderError, JobFileError
        If the job file is missing or has faults.
    """
    path = job_path(folder)
    read = job_file.read(path)
    taken: WallSurvey = read.tables.wall.record()
    facing = read.tables.site.record().facing
    wall, _ = develop(taken, facing=math.pi if facing is None else facing)
    return PhotosView(
        digest=read.digest,
        title=read.tables.job.record(),
        survey=taken,
        wall=wall,
        photos=tuple(_viewed(path.parent, one, taken, wall) for one in read.tables.photos),
    )


def photo_findings(folder: Path, tables: JobTables) -> tuple[Finding, ...]:
    """Findings of all photos of a job; none where it has no photo."""
    if not tables.photos:
        return ()
    taken: WallSurvey = tables.wall.record()
    facing = tables.site.record().facing
    wall, _ = develop(taken, facing=math.pi if facing is None else facing)
    views = (_viewed(folder, one, taken, wall) for one in tables.photos)
    return tuple(finding for view in views for finding in view.findings)


def photo_named(view: PhotosView, name: str) -> PhotoView:
    """The photo of that name.

    Raises
    ------
    PhotoError
        If the job has no such photo.
    """
    for photo in view.photos:
        if photo.name == name:
            return photo
    known = ", ".join(photo.name for photo in view.photos)
    raise PhotoError(
        f"The job has no photo {name!r}.",
        remedy=f"Name one of {known}." if known else "Add one: giornata photo --add FILE",
    )


def _viewed(
    folder: Path, table: PhotoTable, taken: WallSurvey, wall: DevelopedWall | None
) -> PhotoView:
    path = folder / table.file
    name = table.label
    try:
        facts = photo_facts(path)
    except PhotoError as fault:
        unreadable = Finding(
            code="photography.unreadable",
            severity=Severity.STOP,
            subject=f"photo {name}",
            message=fault.message,
            remedy=fault.remedy,
        )
        return PhotoView(
            name=name, path=path, table=table, facts=None, rectification=None,
            findings=(unreadable,),
        )  # fmt: skip
    points, lost = _known_points(table, taken, wall)
    made, findings = photography.rectification(
        WallPhoto(
            name=name,
            width=facts.width,
            height=facts.height,
            points=points,
            outlines=tuple(outline.record() for outline in table.outlines),
            pixel_sigma=table.pixel_precision,
            focal_35=facts.focal_35,
        ),
        wall,
    )
    return PhotoView(
        name=name, path=path, table=table, facts=facts, rectification=made,
        findings=(*lost, *findings),
    )  # fmt: skip


def _known_points(
    table: PhotoTable, taken: WallSurvey, wall: DevelopedWall | None
) -> tuple[tuple[KnownPoint, ...], tuple[Finding, ...]]:
    """Points with their place on the wall, and findings on names that lead nowhere."""
    named = {
        place.name: (place.chainage, place.level)
        for place in (() if wall is None else photography.named_places(wall))
    }
    found: list[KnownPoint] = []
    lost: list[Finding] = []
    for point in table.points:
        place = _place(point, named)
        if place is None:
            lost.append(
                Finding(
                    code="photography.unknown_place",
                    severity=Severity.STOP,
                    subject=f"photo {table.label}, {point.label}",
                    message=f'"{point.place}" is no place that the survey knows; the point was '
                    "left out.",
                    remedy="Write a corner of an opening or an end of a bay, as in "
                    '"bay 1, lower left", or give at and level.',
                )
            )
            continue
        chainage, level = place
        along = length_error(taken, abs(chainage))
        up = height_error(taken, abs(level))
        own = point.precision
        found.append(
            KnownPoint(
                name=point.label,
                chainage=chainage,
                level=level,
                x=point.x,
                y=point.y,
                chainage_sigma=along if own is None else own,
                level_sigma=up if own is None else own,
                pixel_sigma=table.pixel_precision,
            )
        )
    return tuple(found), tuple(lost)


def _place(
    point: PhotoPointTable, named: dict[str, tuple[float, float]]
) -> tuple[float, float] | None:
    if point.at is None or point.level is None:
        return named.get(point.place or "")
    return point.at, point.level
