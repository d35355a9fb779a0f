"""Photos that are taken in the night: kept in the job folder, and noted in the site log."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from datetime import datetime
from enum import StrEnum
from pathlib import Path

from giornata.core.foundation import JobFolderError, PhotoError
from giornata.desk.steering import PHOTO
from giornata.desk.verbs import job_path
from giornata.files.artwork.kinds import kind_of
from giornata.files.photos import photo_facts
from giornata.files.saving import outside_faults, replace_file
from giornata.files.site_log import Event, SiteLog

__all__ = ["PhotoOf", "keep_night_photo", "latest_photos"]

_FOLDER = "photos"
_HEAD = 4096  # bytes by which a file's kind is known


class PhotoOf(StrEnum):
    """What is thrown on the wall while a photo is taken."""

    PATTERN = "pattern"
    NEGATIVE = "negative"
    WHITE = "white"
    OTHER = "other"


def keep_night_photo(
    folder: Path,
    set_up: int,
    of: PhotoOf,
    taken: Path,
    *,
    at: datetime,
    key: str | None = None,
) -> Event:
    """Copy a photo into the job's photos/ under a name of its own, and write it into the log.

    A photo that is sent again, byte for byte the last one of its sort, is not kept twice: its event
    is returned.

    Parameters
    ----------
    taken : Path
        The file as it came.
    key : str or None
        Name of the press, so that a retry counts once.

    Raises
    ------
    PhotoError
        If it cannot be read as a photo; it says which one stays the last.
    JobFolderError
        If the folder or the log cannot be written.
    """
    root = job_path(folder).parent
    again = _last_of(root, set_up, of)
    try:
        photo_facts(taken)
    except PhotoError as fault:
        kept = "there is none yet" if again is None else f"{again.data['file']} stays the last one"
        raise PhotoError(
            f"{fault.message} It is not kept; of its sort {kept}.", remedy=fault.remedy
        ) from fault
    content = taken.read_bytes()
    kind = kind_of(content[:_HEAD])
    if kind is None:
        raise ValueError("what was read as a photo is of a known kind")
    if again is not None and _same(root / str(again.data["file"]), content):
        return again
    target = _claimed(root / _FOLDER, f"night-{set_up:02d}-{of}", kind.value[0])
    try:
        replace_file(target, content)
    except JobFolderError:
        target.unlink(missing_ok=True)
        raise
    data = {"of": str(of), "file": f"{_FOLDER}/{target.name}"}
    with SiteLog(root / "site.sqlite") as log:
        event = log.append(PHOTO, str(set_up), data, at=at, key=key)
    if event.data["file"] != data["file"]:
        target.unlink()  # the press came twice; the first photo is kept
    return event


def _claimed(folder: Path, stem: str, ending: str) -> Path:
    """A new empty file with the next free number: of two phones at once each has its own."""
    with outside_faults(folder / stem, "Writing"):
        folder.mkdir(exist_ok=True)
        for number in range(1, 100_000):
            with suppress(FileExistsError):
                (target := folder / f"{stem}-{number}{ending}").touch(exist_ok=False)
                return target
    raise JobFolderError(
        f"{folder}: there are too many photos called {stem}.", remedy="Move old ones elsewhere."
    )


def _last_of(root: Path, set_up: int, of: PhotoOf) -> Event | None:
    with SiteLog(root / "site.sqlite") as log:
        standing = log.events()
    asked = (PHOTO, str(set_up), str(of))
    every = [one for one in standing if (one.kind, one.subject, one.data.get("of")) == asked]
    return every[-1] if every else None


def _same(path: Path, content: bytes) -> bool:
    return path.is_file() and path.read_bytes() == content


def latest_photos(standing: Iterable[Event], set_up: int) -> dict[PhotoOf, str]:
    """Files of the last photo of each sort that was taken of a set-up."""
    found = {}
    for event in standing:
        if event.kind == PHOTO and event.subject == str(set_up):
            found[PhotoOf(event.data["of"])] = str(event.data["file"])
    return found
