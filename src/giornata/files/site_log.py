"""The site log: an append-only record of what happened, in one SQLite file.

An event is never changed or removed; undoing it is another event. Writes are forced to the disk
before they are acknowledged, and a retried write (same key) counts once.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from giornata.core.foundation import JobFolderError

__all__ = ["Event", "SiteLog", "standing_events"]

_SCHEMA = """
CREATE TABLE IF NOT EXISTS events (
    number  INTEGER PRIMARY KEY AUTOINCREMENT,
    at      TEXT NOT NULL,
    kind    TEXT NOT NULL,
    subject TEXT NOT NULL,
    data    TEXT NOT NULL,
    key     TEXT UNIQUE,
    undoes  INTEGER UNIQUE REFERENCES events(number)
) STRICT;
CREATE TRIGGER IF NOT EXISTS no_change BEFORE UPDATE ON events
BEGIN SELECT RAISE(ABORT, 'the site log is append-only'); END;
CREATE TRIGGER IF NOT EXISTS no_removal BEFORE DELETE ON events
BEGIN SELECT RAISE(ABORT, 'the site log is append-only'); END;
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One thing that happened.

    Parameters
    ----------
    number : int
        Running number. [-]
    at : datetime
        When, with its time zone.
    kind, subject : str
        What sort of thing, and about what ("issued", "pack").
    data : dict
        Further particulars, as JSON keeps them.
    undoes : int or None
        Number of the event that this one takes back. [-]
    """

    number: int
    at: datetime
    kind: str
    subject: str
    data: dict[str, Any]
    undoes: int | None = None


class SiteLog:
    """The log of one job folder.

    Parameters
    ----------
    path : Path
        ``site.sqlite``; made when absent.

    Raises
    ------
    JobFolderError
        If the file cannot be opened, or is no site log.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        with self._faults():
            self._base = sqlite3.connect(path, isolation_level=None, timeout=10.0)
            try:
                self._base.execute("PRAGMA journal_mode = WAL")
                self._base.execute("PRAGMA synchronous = FULL")
                self._base.executescript(_SCHEMA)
            except sqlite3.DatabaseError:
                self._base.close()
                raise

    def __enter__(self) -> SiteLog:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        self._base.close()

    @contextmanager
    def _faults(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.DatabaseError as fault:
            raise JobFolderError(
                f"{self._path}: the site log cannot be used ({fault}).",
                remedy="Check that the folder may be written to and the disk is not full; if the "
                "file is damaged, move it aside and keep it: a new log is then begun.",
            ) from fault

    def append(
        self, kind: str, subject: str, data: dict[str, Any], *, at: datetime, key: str | None = None
    ) -> Event:
        """Write down an event; a key already used returns the event it was used for.

        Parameters
        ----------
        at : datetime
            When it happened, with its time zone.
        key : str or None
            Name of the action, so that a retry counts once.

        Raises
        ------
        ValueError
            If ``at`` has no time zone.
        JobFolderError
            If the log cannot be written.
        """
        return self._write(kind, subject, data, at, key, None)

    def undo(self, event: Event, *, at: datetime, key: str | None = None) -> Event:
        """Take an event back, by another event.

        Parameters
        ----------
        key : str or None
            Name of the action, by which `written` knows it.

        Raises
        ------
        JobFolderError
            If it was taken back already.
        """
        return self._write("undone", event.subject, {"kind": event.kind}, at, key, event.number)

    def written(self, key: str) -> Event | None:
        """What an action of this name has written; None where it has written nothing."""
        with self._faults():
            row = self._base.execute("SELECT * FROM events WHERE key = ?", (key,)).fetchone()
        return None if row is None else _event(row)

    def _write(
        self, kind: str, subject: str, data: dict[str, Any], at: datetime, key: str | None,
        undoes: int | None,
    ) -> Event:  # fmt: skip
        if at.tzinfo is None:
            raise ValueError("an event needs a time with its zone")
        with self._faults():
            row = self._base.execute(
                "INSERT INTO events (at, kind, subject, data, key, undoes) VALUES (?,?,?,?,?,?)"
                " ON CONFLICT (key) DO NOTHING RETURNING *",
                (at.isoformat(), kind, subject, json.dumps(data, sort_keys=True), key, undoes),
            ).fetchone()
            if row is None:
                row = self._base.execute("SELECT * FROM events WHERE key = ?", (key,)).fetchone()
        return _event(row)

    def events(self, *, standing: bool = True) -> list[Event]:
        """Events in order; with ``standing``, without those taken back and their undoing."""
        with self._faults():
            rows = self._base.execute("SELECT * FROM events ORDER BY number").fetchall()
        events = [_event(row) for row in rows]
        return standing_events(events) if standing else events


def standing_events(events: Sequence[Event]) -> list[Event]:
    """Those of all events that were not taken back, without their undoing."""
    # An undoing may itself be undone: settle from the latest back.
    gone: set[int] = set()
    for event in reversed(events):
        if event.undoes is not None and event.number not in gone:
            gone.add(event.undoes)
    return [e for e in events if e.undoes is None and e.number not in gone]


def _event(row: tuple[Any, ...]) -> Event:
    number, at, kind, subject, data, _, undoes = row
    return Event(
        number=number,
        at=datetime.fromisoformat(at),
        kind=kind,
        subject=subject,
        data=json.loads(data),
        undoes=undoes,
    )
