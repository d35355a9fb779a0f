"""Verbs on a job folder that both faces share: look at the wall, change a value, undo, the log."""

from __future__ import annotations

import contextlib
import math
import tomllib
from dataclasses import dataclass
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from giornata.core.foundation import Finding, JobFolderError, NoWallError, Severity
from giornata.core.job import JobTitle, rooms_before
from giornata.core.site import StandingRoom
from giornata.core.survey import DevelopedWall, WallSurvey, develop
from giornata.files import history, job_file
from giornata.files.site_log import Event, SiteLog

__all__ = ["Change", "WallView", "events", "job_path", "set_value", "survey_wall", "undo"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WallView:
    """The wall of a job, without its artwork.

    Parameters
    ----------
    digest : str
        Of the job file.
    title : JobTitle
    survey : WallSurvey
        What was measured.
    wall : DevelopedWall
    rooms : tuple of StandingRoom
        Standing room before it; none where nothing was recorded of it.
    findings : tuple of Finding
        Of the survey and of the ground before the wall.
    """

    digest: str
    title: JobTitle
    survey: WallSurvey
    wall: DevelopedWall
    rooms: tuple[StandingRoom, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A value of the job file that was changed.

    Parameters
    ----------
    key : str
        Dotted, as the file spells it.
    before, after : str
        What stood there ("" where nothing did), and what stands there now.
    digest : str
        Of the new file.
    """

    key: str
    before: str
    after: str
    digest: str


def job_path(folder: Path) -> Path:
    """The job file of a folder; a job file itself may be named as well.

    Raises
    ------
    JobFolderError
        If there is no such folder.
    """
    if folder.is_file() and folder.name == "job.toml":
        return folder
    if not folder.is_dir():
        raise JobFolderError(
            f"{folder}: there is no such folder.",
            remedy="Name the job's folder, or begin a job with: giornata new FOLDER",
        )
    return folder / "job.toml"


def survey_wall(folder: Path) -> WallView:
    """The developed wall of a job; the artwork is not looked at, so it may be missing.

    Raises
    ------
    JobFolderError, JobFileError
        If the job file is missing or has faults.
    NoWallError
        If the readings give no wall; ``findings`` says why.
    """
    read = job_file.read(job_path(folder))
    survey: WallSurvey = read.tables.wall.record()
    facing = read.tables.site.record().facing
    wall, findings = develop(survey, facing=math.pi if facing is None else facing)
    if wall is None:
        stop = next(one for one in findings if one.severity is Severity.STOP)
        raise NoWallError(stop.message, remedy=stop.remedy, findings=findings)
    rooms, of_rooms = rooms_before(
        wall.length,
        survey,
        read.tables.site.stretches(),
        lift=read.tables.access is not None,
        carriers=read.tables.stand.record().carriers,
    )
    return WallView(
        digest=read.digest,
        title=read.tables.job.record(),
        survey=survey,
        wall=wall,
        rooms=rooms[0][1] if rooms else (),
        findings=(*findings, *of_rooms),
    )


def set_value(folder: Path, key: str, text: str, *, seen: str | None = None) -> Change:
    """Set one value of the job file by its dotted key.

    Parameters
    ----------
    text : str
        The value: text where text stands now ("2.9 m"), else as the file would spell it.
    seen : str or None
        Digest of the file the change is made from; None takes the file as it is.

    Raises
    ------
    JobFileError
        If the file has faults, the key leads nowhere, or the value is refused.
    StaleJobError
        If the file has changed since it was seen.
    """
    path = job_path(folder)
    read = job_file.read(path)
    before = _standing(tomllib.loads(path.read_text(encoding="utf-8-sig")), key)
    value = text if isinstance(before, str) else _literal(text)
    new = job_file.change(path, key, value, expected=read.digest if seen is None else seen)
    return Change(
        key=key, before="" if before is None else _spelled(before), after=text, digest=new
    )


def _standing(node: Any, key: str) -> Any:
    """The value a dotted key leads to now; None where it leads to none."""
    for part in key.split("."):
        if isinstance(node, list):
            node = node[int(part) - 1] if part.isdigit() and 0 < int(part) <= len(node) else None
        elif isinstance(node, dict):
            node = node.get(part)
        else:
            return None
    return node


def _literal(text: str) -> Any:
    """A value as the file would spell it; what is no such spelling is text."""
    with contextlib.suppress(tomllib.TOMLDecodeError):
        read = tomllib.loads(f"value = {text}\n")
        if set(read) == {"value"}:
            return read["value"]
    return text


def _spelled(value: Any) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case datetime() | date() | time():
            return value.isoformat()
        case list():
            return f"[ {', '.join(map(_spelled, value))} ]" if value else "[]"
        case dict():
            return "{ " + ", ".join(f"{k} = {_spelled(v)}" for k, v in value.items()) + " }"
        case _:
            return str(value)


def undo(folder: Path) -> tuple[Path, str]:
    """Bring back the former job file: which file of the history it was, and its digest.

    Raises
    ------
    JobFolderError
        If there is nothing to go back to.
    """
    path = job_path(folder)
    brought_back = history.undo(path)
    return brought_back, job_file.file_digest(path.read_bytes())


def events(folder: Path, *, standing: bool = True) -> list[Event]:
    """What happened, in order; with ``standing``, without what was taken back.

    A folder without a log is not given one.

    Raises
    ------
    JobFolderError
        If there is no such folder, or the log cannot be read.
    """
    path = job_path(folder).parent / "site.sqlite"
    if not path.is_file():
        return []
    with SiteLog(path) as log:
        return log.events(standing=standing)
