"""Every figure of a job with its reasons, and every finding, as plain values for pack.json."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from giornata.core.foundation import Figure, Finding, System, finding_in_units, shown_figure

__all__ = ["figure_list", "finding_list"]


def figure_list(named: Mapping[str, Figure], system: System) -> dict[str, dict[str, Any]]:
    """Figures by their names, and below them by "name/part" all that they were made from.

    Parameters
    ----------
    named : mapping of str to Figure
        From `job.named_figures`.
    system : System
        In whose units ``shown`` is written; values are SI.

    Notes
    -----
    ``parts`` names other entries. A part that is itself a named figure goes by its name; equal
    parts are listed once. Exact decimals, money above all, are text.
    """
    return _Listing(named, system).entries


def finding_list(findings: Iterable[Finding], system: System) -> list[dict[str, Any]]:
    """Findings in their order, each with its place where it has one."""
    return [
        {
            "severity": str(one.severity),
            "code": one.code,
            "subject": one.subject,
            "message": one.message,
            "remedy": one.remedy,
            "place": None
            if one.place is None
            else {"file": one.place.file, "line": one.place.line},
        }
        for one in (finding_in_units(finding, system) for finding in findings)
    ]


class _Listing:
    """Entries in the making; equal figures are told by their content, not by their identity."""

    def __init__(self, named: Mapping[str, Figure], system: System) -> None:
        self._system = system
        self._content_of: dict[int, int] = {}
        self._number_of: dict[Any, int] = {}
        self._names: dict[int, list[str]] = {}
        self.entries: dict[str, dict[str, Any]] = {}
        for name, figure in named.items():
            self._names.setdefault(self._content(figure), []).append(name)
        for name, figure in named.items():
            self._enter(name, figure)

    def _content(self, figure: Figure) -> int:
        """A number that equal figures share."""
        known = self._content_of.get(id(figure))
        if known is None:
            parts = tuple(self._content(part) for part in figure.parts)
            content = (
                figure.name, type(figure.value), figure.value, figure.unit, figure.basis,
                figure.sigma, figure.source, figure.usual, figure.method, figure.formula, parts,
                figure.findings,
            )  # fmt: skip
            known = self._number_of.setdefault(content, len(self._number_of))
            self._content_of[id(figure)] = known
        return known

    def _enter(self, name: str, figure: Figure) -> None:
        entry = _entry(figure, self._system)
        self.entries[name] = entry
        if figure.parts:
            entry["parts"] = [self._named(part, name) for part in figure.parts]

    def _named(self, part: Figure, parent: str) -> str:
        """The name a part goes by, entered where it is new."""
        content = self._content(part)
        names = self._names.get(content)
        if names is not None:
            return max(names, key=lambda name: _shared(name, parent))
        name = f"{parent}/{part.name}"
        number = 1
        while name in self.entries:
            number += 1
            name = f"{parent}/{part.name} ({number})"
        self._names[content] = [name]
        self._enter(name, part)
        return name


def _shared(name: str, other: str) -> int:
    """How many letters two names begin with alike. [-]"""
    return next(
        (at for at, (a, b) in enumerate(zip(name, other, strict=False)) if a != b),
        min(len(name), len(other)),
    )


def _entry(figure: Figure, system: System) -> dict[str, Any]:
    entry: dict[str, Any] = {
        "name": figure.name,
        "value": _number(figure.value),
        "unit": figure.unit,
        "shown": shown_figure(figure, system),
        "basis": str(figure.basis),
    }
    if figure.sigma is not None:
        entry["sigma"] = _number(figure.sigma)
    if figure.usual is not None:
        entry["usual"] = [_number(value) for value in figure.usual]
    for key in ("source", "method", "formula"):
        if getattr(figure, key):
            entry[key] = getattr(figure, key)
    if figure.findings:
        entry["findings"] = finding_list(figure.findings, system)
    return entry


def _number(value: float | Decimal) -> float | int | str | None:
    if isinstance(value, Decimal):
        return str(value)
    return value if math.isfinite(value) else None
