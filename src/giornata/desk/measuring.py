"""Check measurements between marks: written to the site log, read back, taken back."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from giornata.core.closing import Measure, MeasureKind
from giornata.core.foundation import JobFolderError
from giornata.desk.verbs import events, job_path
from giornata.files.site_log import Event, SiteLog

__all__ = ["check_measurements", "measurement_name", "record_measure", "undo_measure"]

KIND = "check measurement"
"""Of the events that hold them."""


def measurement_name(kind: MeasureKind, marks: tuple[str, ...], taken: tuple[str, ...]) -> str:
    """A name that none of those taken has.

    Parameters
    ----------
    marks : tuple of str
        One or two names.
    taken : tuple of str
        Names that measurements have already.
    """
    plain = f"{kind} {' to '.join(marks)}"
    number, name = 1, plain
    while name in taken:
        number += 1
        name = f"{plain}, {number}"
    return name


def record_measure(folder: Path, measure: Measure, *, at: datetime) -> Event:
    """Write down a check measurement.

    Parameters
    ----------
    at : datetime
        When, with its time zone.

    Raises
    ------
    JobFolderError
        If the log cannot be written.
    """
    data = {
        "kind": str(measure.kind),
        "marks": list(measure.marks),
        "value": measure.value,
        "sigma": measure.sigma,
    }
    with SiteLog(job_path(folder).parent / "site.sqlite") as log:
        return log.append(KIND, measure.name, data, at=at)


def undo_measure(folder: Path, name: str, *, at: datetime) -> Event:
    """Take back the check measurement of a name.

    Returns
    -------
    Event
        The one that was taken back.

    Raises
    ------
    JobFolderError
        If none of that name stands.
    """
    standing = [e for e in events(folder) if e.kind == KIND and e.subject == name]
    if not standing:
        raise JobFolderError(
            f"No check measurement {name!r} is in the log.",
            remedy="See their names with: giornata measure",
        )
    with SiteLog(job_path(folder).parent / "site.sqlite") as log:
        log.undo(standing[-1], at=at)
    return standing[-1]


def check_measurements(folder: Path) -> tuple[Measure, ...]:
    """All check measurements that stand, in the order they were written.

    Raises
    ------
    JobFolderError
        If the log cannot be read, or a measurement in it makes no sense.
    """
    return tuple(_read(event) for event in events(folder) if event.kind == KIND)


def _read(event: Event) -> Measure:
    data = event.data
    try:
        return Measure(
            name=event.subject,
            kind=MeasureKind(data["kind"]),
            marks=tuple(data["marks"]),
            value=float(data["value"]),
            sigma=float(data["sigma"]),
        )
    except (KeyError, TypeError, ValueError):
        raise JobFolderError(
            f"site.sqlite: event {event.number} does not say what was measured.",
            remedy=f"Take it back (giornata measure --undo '{event.subject}') and type it again.",
        ) from None
