"""Findings: problems in the job, reported as results beside the values."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Finding", "Place", "Severity", "worst"]


class Severity(StrEnum):
    """How far a finding holds up the work."""

    STOP = "stop"
    WARN = "warn"
    NOTE = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where in a file a finding stands.

    Parameters
    ----------
    file : str
        File name as the painter knows it, relative to the job folder.
    line : int
        Line, counted from 1; 0 where the whole file is meant. [-]
    """

    file: str
    line: int = 0

    def __str__(self) -> str:
        return f"{self.file}:{self.line}" if self.line else self.file


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One problem in the job: what, where, how much against what limit, what to do.

    Parameters
    ----------
    code : str
        Dotted name, ``room.subject``; each has a section in ``docs/findings.md``.
    severity : Severity
        STOP holds the job up, WARN may cost money, NOTE is worth knowing.
    subject : str
        The thing spoken of, in the painter's words ("bays A-D").
    message : str
        What is so, with the number and its limit.
    remedy : str
        What to do about it.
    place : Place or None
        File and line, where the finding comes from a file.
    """

    code: str
    severity: Severity
    subject: str
    message: str
    remedy: str
    place: Place | None = None

    def __post_init__(self) -> None:
        for field in ("code", "subject", "message", "remedy"):
            if not getattr(self, field).strip():
                raise ValueError(f"a finding needs its {field}")


def worst(findings: Iterable[Finding]) -> Severity | None:
    """Gravest severity present, or None where there is no finding."""
    order = list(Severity)
    return min((f.severity for f in findings), key=order.index, default=None)
