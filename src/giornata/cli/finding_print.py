"""Findings at the end of a report: gravest first, each with its remedy."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from giornata.cli.printing import console, plain, wrapped
from giornata.core.foundation import Finding, Severity

if TYPE_CHECKING:
    from rich.console import Console

__all__ = ["counted", "print_error", "print_findings", "print_own_findings"]

_NOTES = 3  # notes printed behind a report; `giornata findings` prints them all
_STYLES = {Severity.STOP: "bold red", Severity.WARN: "bold yellow", Severity.NOTE: "bold"}
_WORDS = {
    Severity.STOP: ("stop", "stops"),
    Severity.WARN: ("warning", "warnings"),
    Severity.NOTE: ("note", "notes"),
}
_INDENT = "      "


def counted(findings: Iterable[Finding]) -> str:
    """How many there are of each severity: "1 stop, 3 warnings"."""
    found = list(findings)
    parts = []
    for severity, (one, many) in _WORDS.items():
        count = sum(finding.severity is severity for finding in found)
        if count:
            parts.append(f"{count} {one if count == 1 else many}")
    return ", ".join(parts)


def print_findings(findings: Sequence[Finding], to: Console) -> None:
    """All findings, those that hold up the job first."""
    for severity in Severity:
        for finding in findings:
            if finding.severity is severity:
                _print_finding(finding, to)


def _print_finding(finding: Finding, to: Console) -> None:
    place = "" if finding.place is None else f"  {finding.place}"
    to.print()
    to.print(
        f"{finding.severity.upper():<5}", style=_STYLES[finding.severity], end=" ", soft_wrap=True
    )
    to.print(plain(f"{finding.subject}  [{finding.code}]{place}"), soft_wrap=True)
    for text, first in ((finding.message, _INDENT), (finding.remedy, f"{_INDENT}Do: ")):
        for row in wrapped(text, to.width, first=first, rest=_INDENT):
            to.print(row, soft_wrap=True)


def print_own_findings(
    findings: Sequence[Finding],
    rooms: Sequence[str] | None,
    folder: str,
    to: Console,
    *,
    every: bool,
) -> None:
    """What belongs to a report, and how much more there is.

    Stops are printed wherever they come from; of the notes only the first few.
    """
    own = [f for f in findings if f.severity is Severity.STOP or _is_of(f, rooms)]
    notes = [f for f in own if f.severity is Severity.NOTE]
    left_out = [] if every else notes[_NOTES:]
    print_findings([f for f in own if f not in left_out], to)
    others = [f for f in findings if f not in own and rooms is not None]
    rest = [
        text
        for text in (
            f"{len(left_out)} more note{'s' * (len(left_out) > 1)} here" if left_out else "",
            f"{counted(others)} elsewhere" if others else "",
        )
        if text
    ]
    if rest:
        to.print()
        to.print(f"{'; '.join(rest)}. All of them:")
        to.print(plain(f"  giornata findings {folder}"), soft_wrap=True)


def _is_of(finding: Finding, rooms: Sequence[str] | None) -> bool:
    return rooms is not None and (
        not rooms or finding.code in rooms or finding.code.partition(".")[0] in rooms
    )


def print_error(message: str, remedy: str, findings: Sequence[object]) -> None:
    """An error on stderr, with what is known about it and what to do."""
    to = console(errors=True)
    known = [one for one in findings if isinstance(one, Finding)]
    for row in wrapped(message, to.width):
        to.print(row, style="bold", soft_wrap=True)
    for row in wrapped(remedy, to.width):
        to.print(row, soft_wrap=True)
    print_findings([one for one in known if one.message not in message], to)
