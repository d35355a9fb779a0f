"""Faults of the job file, as findings with their lines."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import Any

from giornata.core import artwork
from giornata.core.foundation import Finding, Money, Place, Severity
from giornata.files.job_measures import Entry
from giornata.files.job_tables import JobTables
from giornata.files.toml_lines import KeyPath, line_of

__all__ = ["cross_checked", "fault_at", "translated"]


def fault_at(file: str, code: str, subject: str, message: str, remedy: str, line: int) -> Finding:
    """A finding that stops the job, at a line of the job file."""
    return Finding(
        code=code,
        severity=Severity.STOP,
        subject=subject,
        message=message,
        remedy=remedy,
        place=Place(file=file, line=line),
    )


_REMEDIES = {
    "missing": ("job.missing", "is missing", "Add it; the example job shows how."),
    "extra_forbidden": (
        "job.unknown_key", "is no word known here", "Check the spelling, or take it out.",
    ),
}  # fmt: skip


def translated(name: str, error: Any, where: dict[KeyPath, int]) -> Finding:
    """A validation error in the painter's words, at its line."""
    path = tuple(error["loc"])
    spelled = ".".join(str(p + 1) if isinstance(p, int) else str(p) for p in path) or name
    line = line_of(path, where)
    kind, context = error["type"], error.get("ctx", {})
    if kind in _REMEDIES:
        code, said, remedy = _REMEDIES[kind]
        return fault_at(name, code, spelled, f'"{path[-1]}" {said}.', remedy, line)
    if "remedy" in context:
        return fault_at(name, kind, spelled, context["said"], context["remedy"], line)
    if kind in {"literal_error", "enum"}:
        return fault_at(
            name, "job.not_a_choice", spelled, f"{error['input']!r} is not one of the choices.",
            f"Write {context['expected']}.", line,
        )  # fmt: skip
    message = str(error["msg"]).replace("Input should", "It should").rstrip(".")
    return fault_at(
        name, "job.wrong_kind", spelled, f"{message} (it is {error['input']!r:.60}).",
        "Correct the value here.", line,
    )  # fmt: skip


def _repeated(names: Iterable[str]) -> list[str]:
    return [name for name, count in Counter(names).items() if count > 1]


def cross_checked(name: str, tables: JobTables, where: dict[KeyPath, int]) -> list[Finding]:
    """Faults between tables: names used twice, names that name nothing, mixed currencies."""
    findings: list[Finding] = []

    def fault(code: str, path: KeyPath, message: str, remedy: str) -> None:
        spelled = ".".join(str(p + 1) if isinstance(p, int) else p for p in path)
        findings.append(fault_at(name, code, spelled, message, remedy, line_of(path, where)))

    named: dict[KeyPath, list[str]] = {
        ("wall", "bays"): [bay.name for bay in tables.wall.bays],
        ("wall", "openings"): [opening.name for opening in tables.wall.openings],
        ("wall", "piers"): [pier.name for pier in tables.wall.piers],
        ("paints",): [paint.key for paint in tables.paints],
        ("options",): [option.key for option in tables.options],
        ("colourways",): [colourway.key for colourway in tables.colourways],
    }
    for path, names in named.items():
        for twice in _repeated(names):
            last = len(names) - 1 - names[::-1].index(twice)
            fault("job.name_twice", (*path, last), f'"{twice}" is used twice.', "Rename one.")
        if not names and path not in {("wall", "openings"), ("wall", "piers")}:
            fault("job.none", path, f"There are no {path[-1]}.", "Add at least one.")

    grounds = [paint.key for paint in tables.paints if paint.role is artwork.Role.GROUND]
    if len(grounds) != 1:
        fault(
            "job.one_ground", ("paints",), f"{len(grounds)} paints have the role ground.",
            'Give role = "ground" to exactly one paint, the first.',
        )  # fmt: skip
    for twice in _repeated(c for paint in tables.paints for c in paint.artwork):
        fault("job.colour_twice", ("paints",), f"{twice} belongs to two paints.", "Take one out.")
    keys = {paint.key for paint in tables.paints}
    for index, colourway in enumerate(tables.colourways):
        path = ("colourways", index, "colours")
        for missing in sorted(keys - colourway.colours.keys()):
            fault("job.colour_missing", path, f'{colourway.name} has no colour for "{missing}".',
                  f'Add {missing} = "#rrggbb".')  # fmt: skip
        for unknown in sorted((colourway.colours.keys() | colourway.coats.keys()) - keys):
            fault("job.unknown_paint", (*path, unknown), f'"{unknown}" is no paint of this job.',
                  "Write one of " + ", ".join(sorted(keys)) + ".")  # fmt: skip
    for field, known in (("option", named[("options",)]), ("colourway", named[("colourways",)])):
        if getattr(tables.choice, field) not in known:
            fault("job.unknown_choice", ("choice", field),
                  f'"{getattr(tables.choice, field)}" is no {field} of this job.',
                  "Write one of " + ", ".join(known) + ".")  # fmt: skip
    for path, money in _sums(tables, ()):
        if money.currency != tables.job.currency:
            fault("job.two_currencies", path,
                  f"{money.currency} in a job that is reckoned in {tables.job.currency}.",
                  f"Write the sum in {tables.job.currency}.")  # fmt: skip
    return findings


def _sums(value: Any, path: KeyPath) -> list[tuple[KeyPath, Money]]:
    """Every sum of money in the tables, with its key path as written in the file."""
    if isinstance(value, Money):
        return [(path, value)]
    if isinstance(value, Entry):
        fields = type(value).model_fields
        parts = [(field.alias or key, getattr(value, key)) for key, field in fields.items()]
    elif isinstance(value, tuple):
        parts = list(enumerate(value))  # type: ignore[arg-type]
    else:
        return []
    return [found for key, part in parts for found in _sums(part, (*path, key))]
