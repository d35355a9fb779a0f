"""Verbs that mark photos: add one, set its points and outlines, keep an outline in the job."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import tomlkit

from giornata.core.foundation import GiornataError, JobFolderError, PhotoError
from giornata.core.photography import OutlineKind, OutlineOnWall
from giornata.core.survey import level_at
from giornata.desk.photographs import PhotosView, photo_named, view_photos
from giornata.desk.verbs import job_path
from giornata.files import job_file, photo_changes
from giornata.files.job_photos import PHOTOS
from giornata.files.photos import photo_facts
from giornata.files.saving import outside_faults, replace_file

__all__ = ["KeptOutline", "add_photo", "draw_outlines", "keep_outline", "mark_points"]

_ROUNDED = 2  # digits of a pixel place


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptOutline:
    """An outline that was written into the job.

    Parameters
    ----------
    name : str
    kind : OutlineKind
    error : float
        At its worst corner, 95 %. [m]
    replaced : bool
        Whether an opening or obstacle of that name gave way to it.
    left_out : int
        Readings that gave way to taped ones. [-]
    digest : str
        Of the new job file.
    """

    name: str
    kind: OutlineKind
    error: float
    replaced: bool
    left_out: int
    digest: str


def add_photo(folder: Path, source: Path, *, name: str = "", seen: str | None = None) -> str:
    """Copy a photo into the job's photos/ and list it in the job file; digest of the new file.

    Parameters
    ----------
    name : str
        What it is to be called; without one, as its file.
    seen : str or None
        Digest of the job file the change is made from; None takes the file as it is.

    Raises
    ------
    PhotoError
        If it cannot be read as a photo, or its name is taken.
    JobFolderError, JobFileError, StaleJobError
        If the job cannot be read or changed.
    """
    path = job_path(folder)
    view = view_photos(folder)
    photo_facts(source)
    called = re.sub(r"[^\w.-]+", "-", source.name).strip("-.") or "photo.jpg"
    label = name or Path(called).stem
    if any(photo.name == label for photo in view.photos):
        raise PhotoError(
            f"The job has a photo {label!r} already.", remedy="Give this one another --name."
        )
    target = path.parent / PHOTOS / called
    if target.exists() and source.resolve() != target.resolve():
        raise PhotoError(
            f"{PHOTOS}/{called} is there already.", remedy="Rename the new file and add it again."
        )
    copied = source.resolve() != target.resolve()
    with outside_faults(target, "Copying"):
        target.parent.mkdir(exist_ok=True)
        if copied:
            replace_file(target, source.read_bytes())
    document = job_file.document(path)
    photo_changes.add_photo(document, f"{PHOTOS}/{called}", label)
    try:
        return job_file.write(path, document, expected=seen or view.digest)
    except GiornataError:
        if copied:  # so that it can be added once more, as the remedy says
            target.unlink()
        raise


def mark_points(
    folder: Path, photo: str, points: Iterable[Mapping[str, Any]], *, seen: str | None = None
) -> str:
    """Set the known points of a photo; digest of the new file.

    Parameters
    ----------
    points : iterable of mapping
        As the job file has them: place, or at and level; x and y; name and precision.

    Raises
    ------
    PhotoError
        If the job has no such photo.
    JobFolderError, JobFileError, StaleJobError
        If the job cannot be read or changed, or a value is refused.
    """
    return _set(photo_changes.set_points, folder, photo, points, seen)


def draw_outlines(
    folder: Path, photo: str, outlines: Iterable[Mapping[str, Any]], *, seen: str | None = None
) -> str:
    """Set the outlines drawn on a photo; digest of the new file.

    Parameters
    ----------
    outlines : iterable of mapping
        As the job file has them: name, kind, corners.

    Raises
    ------
    PhotoError
        If the job has no such photo.
    JobFolderError, JobFileError, StaleJobError
        If the job cannot be read or changed, or a value is refused.
    """
    return _set(photo_changes.set_outlines, folder, photo, outlines, seen)


def keep_outline(
    folder: Path, photo: str, outline: str, *, seen: str | None = None
) -> KeptOutline:  # fmt: skip
    """Write an outline that was drawn on a photo into the job, as what it is on the wall.

    An opening and an obstacle take the place of one of the same name; readings of the top and the
    ground are put among those that are there, and give way to one within 50 mm.

    Raises
    ------
    PhotoError
        If there is no such photo or outline, or it has no place on the wall.
    JobFolderError, JobFileError, StaleJobError
        If the job cannot be read or changed, or the outline is refused.
    """
    path = job_path(folder)
    view = view_photos(folder)
    found = _on_wall(view, photo, outline)
    document = job_file.document(path)
    replaced, left_out = False, 0
    corners = [(float(at), float(level)) for at, level in found.corners]
    if found.kind is OutlineKind.OPENING:
        replaced = photo_changes.put_opening(document, found.name, corners)
    elif found.kind is OutlineKind.OBSTACLE:
        start, end, height = _extent(view, found)
        replaced = photo_changes.put_obstacle(document, found.name, start, end, height)
    else:
        line = str(found.kind)
        levels = view.survey.top if found.kind is OutlineKind.TOP else view.survey.ground
        left_out = photo_changes.put_levels(document, line, corners, [one.at for one in levels])
    digest = job_file.write(path, document, expected=seen or view.digest)
    return KeptOutline(
        name=found.name, kind=found.kind, error=found.error, replaced=replaced, left_out=left_out,
        digest=digest,
    )  # fmt: skip


def _set(
    change: Callable[[tomlkit.TOMLDocument, str, Iterable[Mapping[str, Any]]], None],
    folder: Path,
    photo: str,
    written: Iterable[Mapping[str, Any]],
    seen: str | None,
) -> str:
    """Digest of the job file with something of a photo set."""
    path = job_path(folder)
    digest = job_file.read(path).digest
    document = job_file.document(path)
    change(document, photo, [_rounded(one) for one in written])
    return job_file.write(path, document, expected=seen or digest)


def _rounded(entry: Mapping[str, Any]) -> dict[str, Any]:
    """An entry with its pixels to a hundredth."""

    def short(value: Any) -> Any:
        if isinstance(value, float):
            return round(value, _ROUNDED)
        if isinstance(value, list | tuple):
            return [short(one) for one in value]
        return value

    return {key: short(value) for key, value in entry.items()}


def _on_wall(view: PhotosView, photo: str, outline: str) -> OutlineOnWall:
    seen = photo_named(view, photo)
    made = seen.rectification
    if made is None:
        said = seen.findings[0].message if seen.findings else "It has no known points."
        raise PhotoError(f"The photo {photo} is not to scale: {said}", remedy="Mend that first.")
    for one in made.outlines:
        if one.name == outline:
            return one
    known = ", ".join(one.name for one in made.outlines)
    raise PhotoError(
        f"Nothing called {outline!r} is drawn on the photo {photo}, or it has no place on the "
        "wall.",
        remedy=f"Name one of {known}." if known else "Draw it first.",
    )


def _extent(view: PhotosView, found: OutlineOnWall) -> tuple[float, float, float]:
    """Ends of an obstacle, and its height above the ground."""
    if view.wall is None:
        raise JobFolderError(
            "The survey's readings give no wall.", remedy="See: giornata survey FOLDER"
        )
    ground = view.wall.ground
    height = max(float(level) - level_at(ground, float(at)) for at, level in found.corners)
    return float(found.corners[:, 0].min()), float(found.corners[:, 0].max()), max(height, 0.0)
