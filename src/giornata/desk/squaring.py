"""Marks seen in a set-up's picture: written to the site log, read back, taken back."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import Any

from giornata.core.foundation import JobFolderError, number_of
from giornata.core.job import JobResults
from giornata.core.projection import LineKind, LinePoint, MarkSeen
from giornata.core.survey import length_error
from giornata.desk.opening import open_job
from giornata.desk.verbs import events, job_path
from giornata.files.site_log import Event, SiteLog

__all__ = [
    "MarkInPicture",
    "MarksSeen",
    "Means",
    "how_it_stays",
    "mark_sigma",
    "marks_seen",
    "marks_seen_events",
    "on_the_wall",
    "record_marks_seen",
    "undo_marks_seen",
]

KIND = "marks seen"
"""Of the events that hold them."""


class Means(StrEnum):
    """How marks were read."""

    TYPED = "typed"
    DRAGGED = "dragged"
    PHOTO = "photo"
    PHOTO_PAIR = "photo pair"


_HOW = {
    Means.TYPED: "typed",
    Means.DRAGGED: "dragged",
    Means.PHOTO: "found in a photo of the pattern",
    Means.PHOTO_PAIR: "found in a pair of photos",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkInPicture:
    """A mark's name and where in the projector's picture it lies.

    Parameters
    ----------
    name : str
        Of a control mark of the job.
    x_px, y_px : float
        Place in the projector's own pixels. [px]
    px_sigma : float
        Standard deviation of that place, each way; above 0. [px]
    """

    name: str
    x_px: float
    y_px: float
    px_sigma: float

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (self.x_px, self.y_px, self.px_sigma))):
            raise ValueError("a mark's numbers are finite")
        if not self.px_sigma > 0:
            raise ValueError("a picture's deviation is above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class MarksSeen:
    """Marks of one reading of a set-up's picture.

    Parameters
    ----------
    event : int
        Its number in the site log. [-]
    at : datetime
        When, with its time zone.
    set_up : int
        Number of the set-up. [-]
    means : Means
    marks : tuple of MarkInPicture
    lines : tuple of LinePoint
        Points of level and plumb lines that were seen with them.
    photo : str or None
        File in the job folder that they were read from.
    board_sigma_px : float or None
        How well the pattern of a photo was found. [px]
    """

    event: int
    at: datetime
    set_up: int
    means: Means
    marks: tuple[MarkInPicture, ...]
    lines: tuple[LinePoint, ...] = ()
    photo: str | None = None
    board_sigma_px: float | None = None


def record_marks_seen(
    folder: Path,
    set_up: int,
    seen: Sequence[MarkInPicture | MarkSeen],
    *,
    means: Means | str,
    at: datetime,
    photo: str | None = None,
    board_sigma_px: float | None = None,
    photo_digest: str | None = None,
    key: str | None = None,
    lines: Sequence[LinePoint] = (),
) -> Event:
    """Write down where the marks lie in a set-up's picture; what was seen before stays in the log.

    Photos that say the same again as the set-up's last reading that stands are not written twice:
    that reading's event is returned.

    Parameters
    ----------
    set_up : int
        Its number; 1 or more. [-]
    seen : sequence
        Names and places in the picture, `MarkInPicture` or `projection.MarkSeen`; at least one,
        each name once.
    means : Means or str
        "typed", "dragged", "photo" or "photo pair".
    at : datetime
        When, with its time zone.
    photo_digest : str or None
        Of the photos they were read from.
    key : str or None
        Name of the action, so that a retry counts once.
    lines : sequence of LinePoint
        Points of level and plumb lines that were seen with the marks.

    Raises
    ------
    ValueError
        If there is no mark, a name comes twice, or the means has another name.
    JobFolderError
        If the log cannot be written.
    """
    names = [one.name for one in seen]
    if set_up < 1 or not names or len(set(names)) < len(names):
        raise ValueError("a set-up has a number, and each mark seen in it is named once")
    data: dict[str, Any] = {
        "means": str(Means(means)),
        "marks": [
            {
                "name": one.name,
                "x_px": round(one.x_px, 3),
                "y_px": round(one.y_px, 3),
                "px_sigma": round(one.px_sigma, 4),
            }
            for one in seen
        ],
    }
    if lines:
        data["lines"] = [
            {
                "line": one.line,
                "name": one.name,
                "kind": str(one.kind),
                "at": one.at,
                "x_px": round(one.x_px, 3),
                "y_px": round(one.y_px, 3),
                "line_sigma": one.line_sigma,
                "px_sigma": round(one.px_sigma, 4),
            }
            for one in lines
        ]
    if photo is not None:
        data["photo"] = photo
    if board_sigma_px is not None:
        data["board_sigma_px"] = board_sigma_px
    if photo_digest is not None:
        data["photo_digest"] = photo_digest
    with SiteLog(job_path(folder).parent / "site.sqlite") as log:
        if photo_digest is not None:
            readings = [e for e in log.events() if e.kind == KIND and e.subject == str(set_up)]
            if readings and readings[-1].data == data:
                return readings[-1]
        return log.append(KIND, str(set_up), data, at=at, key=key)


def undo_marks_seen(folder: Path, set_up: int, *, at: datetime) -> Event:
    """Take back the last reading of a set-up; the one before it counts again.

    Returns
    -------
    Event
        The one that was taken back.

    Raises
    ------
    JobFolderError
        If no reading of it stands.
    """
    standing = [e for e in events(folder) if e.kind == KIND and e.subject == str(set_up)]
    if not standing:
        raise JobFolderError(
            f"Set-up {set_up}: no marks seen in it are in the log.",
            remedy="See what happened with: giornata log",
        )
    with SiteLog(job_path(folder).parent / "site.sqlite") as log:
        log.undo(standing[-1], at=at)
    return standing[-1]


def marks_seen_events(folder: Path, set_up: int | None = None) -> tuple[MarksSeen, ...]:
    """All readings that stand, in the order they were written; of one set-up or of all.

    Raises
    ------
    JobFolderError
        If the log cannot be read.
    """
    return tuple(
        _read(event)
        for event in events(folder)
        if event.kind == KIND and set_up in (None, _number(event))
    )


def how_it_stays(reading: MarksSeen | None) -> str:
    """What a set-up's picture stands on where nothing new was written down, in words.

    Parameters
    ----------
    reading : MarksSeen or None
        The last that stands; None where there is none.
    """
    if reading is None:
        return "not squared yet"
    when = reading.at.isoformat(sep=" ", timespec="minutes")
    return f"squared on {number_of(len(reading.marks), 'mark')}, {_HOW[reading.means]}, {when}"


def _number(event: Event) -> int:
    try:
        return int(event.subject)
    except ValueError:
        raise _unreadable(event) from None


def _read(event: Event) -> MarksSeen:
    data = event.data
    try:
        return MarksSeen(
            event=event.number,
            at=event.at,
            set_up=_number(event),
            means=Means(data["means"]),
            marks=tuple(MarkInPicture(**mark) for mark in data["marks"]),
            lines=tuple(
                LinePoint(**{**one, "kind": LineKind(one["kind"])}) for one in data.get("lines", ())
            ),
            photo=data.get("photo"),
            board_sigma_px=data.get("board_sigma_px"),
        )
    except (KeyError, TypeError, ValueError):
        raise _unreadable(event) from None


def _unreadable(event: Event) -> JobFolderError:
    return JobFolderError(
        f"site.sqlite: event {event.number} does not say which marks were seen where.",
        remedy=f"Take it back (giornata square {event.subject} --undo) and type the marks again.",
    )


def mark_sigma(results: JobResults) -> float:
    """Standard deviation of a control mark's place, each way, within one picture. [m]

    What a tape is out by for each metre moves neighbouring marks together, so only its error at no
    length counts.
    """
    inputs = results.inputs
    return math.hypot(inputs.marks_asked.drawn, length_error(inputs.survey, 0.0))


def on_the_wall(
    results: JobResults, seen: Sequence[MarkInPicture | MarkSeen]
) -> tuple[MarkSeen, ...]:
    """Marks seen, with the places on the wall that the job gives them now.

    A mark that the job does not have any more is left out.
    """
    places = {mark.name: mark for mark in results.marks}
    sigma = mark_sigma(results)
    return tuple(
        MarkSeen(
            name=one.name,
            chainage=places[one.name].chainage,
            level=places[one.name].level,
            x_px=one.x_px,
            y_px=one.y_px,
            mark_sigma=sigma,
            px_sigma=one.px_sigma,
        )
        for one in seen
        if one.name in places
    )


def marks_seen(
    folder: Path, results: JobResults | None = None
) -> Mapping[int, tuple[MarkSeen, ...]]:
    """The last reading of each set-up that stands, its marks where the job has them now.

    Parameters
    ----------
    results : JobResults or None
        Of the job in that folder; None opens and derives it.

    Raises
    ------
    JobFolderError
        If the log cannot be read; and as for `open_job`.
    """
    latest = {one.set_up: one for one in marks_seen_events(folder)}
    if not latest:
        return {}
    made = open_job(folder).results() if results is None else results
    return {number: on_the_wall(made, one.marks) for number, one in sorted(latest.items())}
