"""Steering the night: what is done goes to the site log, and where it stands follows from that.

Nothing of a night is kept elsewhere: a laptop that is closed and opened again stands where it was.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import Any

from giornata.core.foundation import StaleJobError
from giornata.desk.picture_moves import MOVED_BY_HAND, moves_by_hand
from giornata.desk.squaring import KIND as MARKS_SEEN
from giornata.desk.squaring import MarkInPicture
from giornata.desk.verbs import job_path
from giornata.files.site_log import Event, SiteLog

__all__ = [
    "BEGUN",
    "PHOTO",
    "Flash",
    "Night",
    "Shown",
    "View",
    "begin_set_up",
    "finish_set_up",
    "flash_mark",
    "move_picture",
    "night_of",
    "show_picture",
    "take_back",
    "tick_lines",
    "ticked_lines",
    "write_note",
]

BEGUN, DONE, SHOWN = "set-up begun", "set-up done", "picture shown"
FLASHED, TRACED, NOTE, PHOTO = "mark flashed", "line traced", "note", "photo taken"

_WORDS = {
    BEGUN: "move to set-up {}",
    DONE: "set-up {} done",
    SHOWN: "what is shown",
    MARKS_SEEN: "marks of set-up {}",
    MOVED_BY_HAND: "moving the picture of set-up {}",
    TRACED: "tick in set-up {}",
    NOTE: "note",
    PHOTO: "photo of set-up {}",
}


class View(StrEnum):
    """What the projector shows."""

    BLANK = "blank"
    OUTLINE = "outline"
    FILL = "fill"
    CONTRAST = "contrast"
    ONE = "one"
    WHITE = "white"
    PATTERN = "pattern"
    NEGATIVE = "negative"
    CHECK = "check"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """The picture on the wall.

    Parameters
    ----------
    view : View
    paint : str
        Key of the only paint shown in view ONE; "" in all others.
    thick : bool
        Whether lines are thicker.
    crosses : bool
        Whether the marks' crosses are shown.
    """

    view: View = View.OUTLINE
    paint: str = ""
    thick: bool = False
    crosses: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Flash:
    """A mark that is to be seen for a moment.

    Parameters
    ----------
    mark : str
    number : int
        Of the event. [-]
    at : datetime
        When, with its time zone.
    """

    mark: str
    number: int
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Night:
    """Where the night stands.

    Parameters
    ----------
    number : int
        Of the last event; 0 for an empty log. [-]
    set_up : int
        Number of the set-up; 0 before the first. [-]
    begun : datetime or None
        When it was begun; None before the first.
    done : frozenset of int
        Set-ups that are done. [-]
    shown : Shown
        On the wall.
    means : str
        How the marks of the set-up were read last; "" for not yet.
    placed : tuple of MarkInPicture
        Where they lie in its picture.
    by_hand : tuple of float
        How far its picture was moved by hand since, right and up on the wall. [m]
    traced : frozenset of str
        Keys of the lines of this set-up that are traced.
    flash : Flash or None
        The last one in this set-up.
    note : str
        The last one in this set-up; "" for none.
    last : Event or None
        What undo takes back.
    """

    number: int = 0
    set_up: int = 0
    begun: datetime | None = None
    done: frozenset[int] = frozenset()
    shown: Shown = Shown()
    means: str = ""
    placed: tuple[MarkInPicture, ...] = ()
    by_hand: tuple[float, float] = (0.0, 0.0)
    traced: frozenset[str] = frozenset()
    flash: Flash | None = None
    note: str = ""
    last: Event | None = None

    @property
    def undo_words(self) -> str:
        """What undo takes back, in words; "" for nothing."""
        return "" if self.last is None else _WORDS[self.last.kind].format(self.last.subject)


def night_of(standing: Iterable[Event], *, number: int) -> Night:
    """Where the night stands, from the events that were not taken back.

    Parameters
    ----------
    number : int
        Of the last event of all. [-]
    """
    night, standing = Night(number=number), tuple(standing)
    marks: dict[str, Mapping[str, Any]] = {}
    traced: dict[str, dict[str, bool]] = {}
    flashes: dict[str, Flash] = {}
    notes: dict[str, str] = {}
    for event in standing:
        data, of = event.data, event.subject
        if event.kind in _WORDS:
            night = replace(night, last=event)
        match event.kind:
            case "set-up begun":
                moved = night.set_up != _number(of)
                night = replace(night, set_up=_number(of), begun=event.at if moved else night.begun)
            case "set-up done":
                night = replace(night, done=night.done | {_number(of)})
            case "picture shown":
                night = replace(night, shown=_shown(data))
            case "marks seen":
                marks[of] = data
            case "line traced":
                is_so = bool(data.get("traced"))
                traced.setdefault(of, {}).update(dict.fromkeys(ticked_lines(data), is_so))
            case "mark flashed":
                flashes[of] = Flash(mark=str(data.get("mark")), number=event.number, at=event.at)
            case "note":
                notes[of] = str(data.get("text", ""))
    here = str(night.set_up)
    return replace(
        night,
        means=str(marks.get(here, {}).get("means", "")),
        placed=tuple(MarkInPicture(**one) for one in marks.get(here, {}).get("marks", ())),
        by_hand=moves_by_hand(standing).get(night.set_up, (0.0, 0.0)),
        traced=frozenset(line for line, is_so in traced.get(here, {}).items() if is_so),
        flash=flashes.get(here),
        note=notes.get(here, ""),
    )


def _number(subject: str) -> int:
    return int(subject) if subject.isdecimal() else 0


def _shown(data: Mapping[str, Any]) -> Shown:
    return Shown(
        view=View(data.get("view", View.OUTLINE)),
        paint=str(data.get("paint", "")),
        thick=bool(data.get("thick")),
        crosses=bool(data.get("crosses", True)),
    )


def _write(
    folder: Path, kind: str, subject: str, data: dict[str, Any], at: datetime, key: str | None
) -> Event:
    with SiteLog(job_path(folder).parent / "site.sqlite") as log:
        return log.append(kind, subject, data, at=at, key=key)


def begin_set_up(folder: Path, number: int, *, at: datetime, key: str | None = None) -> Event:
    """The projector stands for this set-up, and shows it from now on.

    Parameters
    ----------
    key : str or None
        Name of the press, so that a retry counts once; here and below.

    Raises
    ------
    JobFolderError
        If the log cannot be written; here and below.
    """
    return _write(folder, BEGUN, str(number), {}, at, key)


def finish_set_up(folder: Path, number: int, *, at: datetime, key: str | None = None) -> Event:
    """All that this set-up draws is traced."""
    return _write(folder, DONE, str(number), {}, at, key)


def show_picture(
    folder: Path, set_up: int, shown: Shown, *, at: datetime, key: str | None = None
) -> Event:
    """Show another picture of the set-up."""
    data = {
        "view": str(shown.view),
        "paint": shown.paint,
        "thick": shown.thick,
        "crosses": shown.crosses,
    }
    return _write(folder, SHOWN, str(set_up), data, at, key)


def flash_mark(
    folder: Path, set_up: int, mark: str, *, at: datetime, key: str | None = None
) -> Event:
    """Let a mark's cross be seen for a moment."""
    return _write(folder, FLASHED, str(set_up), {"mark": mark}, at, key)


def move_picture(
    folder: Path, set_up: int, right: float, up: float, *, at: datetime, key: str | None = None
) -> Event:
    """Move the whole picture on the wall by so much, besides what it was moved before.

    Parameters
    ----------
    right, up : float
        As you face the wall. [m]

    Raises
    ------
    ValueError
        If they are not finite.
    """
    if not (math.isfinite(right) and math.isfinite(up)):
        raise ValueError("a picture is moved by finite lengths")
    data = {"right": round(right, 6), "up": round(up, 6)}
    return _write(folder, MOVED_BY_HAND, str(set_up), data, at, key)


def tick_lines(
    folder: Path,
    set_up: int,
    lines: Sequence[str],
    traced: bool,
    *,
    at: datetime,
    key: str | None = None,
) -> Event:
    """Lines are traced on the wall, or are not after all; one event, taken back as one."""
    return _write(folder, TRACED, str(set_up), {"lines": list(lines), "traced": traced}, at, key)


def ticked_lines(data: Mapping[str, Any]) -> tuple[str, ...]:
    """Keys of the lines that an event ticked; older logs have one in each event."""
    return tuple(map(str, data.get("lines", (data.get("line"),))))


def write_note(
    folder: Path, set_up: int, text: str, *, at: datetime, key: str | None = None
) -> Event:
    """Keep a note on a set-up."""
    return _write(folder, NOTE, str(set_up), {"text": text}, at, key)


def take_back(folder: Path, number: int, *, at: datetime, key: str | None = None) -> Event:
    """Take back the last thing done, if it still is the last.

    Parameters
    ----------
    number : int
        Of its event, as it was seen. [-]

    Raises
    ------
    StaleJobError
        If something else was done meanwhile.
    """
    with SiteLog(job_path(folder).parent / "site.sqlite") as log:
        done = None if key is None else log.written(key)
        if done is not None:  # the press came twice: the answer to the first one was lost
            return next(one for one in log.events(standing=False) if one.number == done.undoes)
        standing: Sequence[Event] = [one for one in log.events() if one.kind in _WORDS]
        if not standing or standing[-1].number != number:
            raise StaleJobError(
                "Something else was done meanwhile, so nothing was taken back.",
                remedy="Look at what Undo says now.",
            )
        log.undo(standing[-1], at=at, key=key)
        return standing[-1]
