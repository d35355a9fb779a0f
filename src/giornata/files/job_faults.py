"""Faults of the job file, as findings with their lines."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from difflib import get_close_matches
from typing import Any, get_args

from giornata.core import artwork
from giornata.core.foundation import Finding, Money, Place, Severity
from giornata.files.job_decisions import check_decisions
from giornata.files.job_measures import Entry
from giornata.files.job_photos import names_twice
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


_Tables = list[type[Entry]]


def _tables_in(kind: object) -> _Tables:
    """The tables that a key may hold."""
    if isinstance(kind, type) and issubclass(kind, Entry):
        return [kind]
    return [table for one in get_args(kind) for table in _tables_in(one)]


def _meant(path: KeyPath) -> str:
    """What to do about a key that is not known: the one it stands for, where that is plain."""
    tables: _Tables = [JobTables]
    for part in path[:-1]:
        if isinstance(part, str):
            fields = [pair for table in tables for pair in table.model_fields.items()]
            inside = [_tables_in(f.annotation) for k, f in fields if part in (k, f.alias)]
            tables = [table for found in inside for table in found]
    fields = [pair for table in tables for pair in table.model_fields.items()]
    written = str(path[-1])
    called = [field.alias for key, field in fields if key == written and field.alias]
    known = [field.alias or key for key, field in fields]
    alike = called or get_close_matches(written, known, n=1, cutoff=0.7)
    return f'Write "{alike[0]}", or take it out.' if alike else _CHECK_SPELLING


_CHECK_SPELLING = "Check the spelling, or take it out."


def translated(name: str, error: Any, where: dict[KeyPath, int]) -> Finding:
    """A validation error in the painter's words, at its line."""
    path = tuple(error["loc"])
    spelled = ".".join(str(p + 1) if isinstance(p, int) else str(p) for p in path) or name
    line = line_of(path, where)
    kind, context = error["type"], error.get("ctx", {})
    if kind == "missing":
        said, remedy = f'"{path[-1]}" is missing.', "Add it; the example job shows how."
        return fault_at(name, "job.missing", spelled, said, remedy, line)
    if kind == "extra_forbidden":
        said = f'"{path[-1]}" is no word known here.'
        return fault_at(name, "job.unknown_key", spelled, said, _meant(path), line)
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


_Fault = Callable[[str, KeyPath, str, str], None]

_NAMED: dict[KeyPath, str] = {
    ("wall", "bays"): "name",
    ("wall", "openings"): "name",
    ("wall", "piers"): "name",
    ("paints",): "key",
    ("options",): "key",
    ("colourways",): "key",
    ("artwork", "decisions"): "for",
}
_MAY_BE_NONE = {("wall", "openings"), ("wall", "piers"), ("artwork", "decisions")}


def cross_checked(
    name: str, raw: dict[str, Any], tables: JobTables | None, where: dict[KeyPath, int]
) -> list[Finding]:
    """Faults between tables: names used twice, names that name nothing, mixed currencies.

    Names are looked at as they are written, so that they are said beside the faults of values;
    ``tables`` is None where there are such faults.
    """
    findings: list[Finding] = []

    def fault(code: str, path: KeyPath, message: str, remedy: str) -> None:
        spelled = ".".join(str(p + 1) if isinstance(p, int) else p for p in path)
        findings.append(fault_at(name, code, spelled, message, remedy, line_of(path, where)))

    _check_names(raw, fault)
    _check_paints(raw, fault)
    _check_choice(raw, fault)
    check_decisions(raw, fault)
    if tables is not None:
        for twice in _repeated(c for paint in tables.paints for c in paint.artwork):
            message = f"{twice} belongs to two paints."
            fault("job.colour_twice", ("paints",), message, "Take one out.")
        _check_artwork(tables, fault)
        for at, label in names_twice(tables.photos):
            fault("job.name_twice", ("photos", at), f'"{label}" is used twice.', "Rename one.")
        for path, money in _sums(tables, ()):
            if money.currency != tables.job.currency:
                fault("job.two_currencies", path,
                      f"{money.currency} in a job that is reckoned in {tables.job.currency}.",
                      f"Write the sum in {tables.job.currency}.")  # fmt: skip
    return findings


def _rows(raw: dict[str, Any], path: KeyPath) -> list[dict[str, Any]] | None:
    """The rows of a list of tables as written; None where there is no such list."""
    at: Any = raw
    for part in path:
        at = at.get(part) if isinstance(at, dict) else None
    if not isinstance(at, list):
        return None
    return [row if isinstance(row, dict) else {} for row in at]


def _texts(rows: list[dict[str, Any]], key: str) -> list[str | None]:
    return [text if isinstance(text := row.get(key), str) else None for row in rows]


def _check_names(raw: dict[str, Any], fault: _Fault) -> None:
    for path, key in _NAMED.items():
        rows = _rows(raw, path)
        if rows is None:
            continue  # a list that is missing is a fault of its own, or may be missing
        names = _texts(rows, key)
        for twice in _repeated(text for text in names if text is not None):
            last = len(names) - 1 - names[::-1].index(twice)
            fault("job.name_twice", (*path, last), f'"{twice}" is used twice.', "Rename one.")
        if not rows and path not in _MAY_BE_NONE:
            fault("job.none", path, f"There are no {path[-1]}.", "Add at least one.")


def _check_paints(raw: dict[str, Any], fault: _Fault) -> None:
    paints = _rows(raw, ("paints",))
    if paints is None:
        return
    grounds = sum(paint.get("role") == str(artwork.Role.GROUND) for paint in paints)
    if grounds != 1:
        fault(
            "job.one_ground", ("paints",), f"{grounds} paints have the role ground.",
            'Give role = "ground" to exactly one paint, the first.',
        )  # fmt: skip
    keys = {text for text in _texts(paints, "key") if text is not None}
    for index, colourway in enumerate(_rows(raw, ("colourways",)) or ()):
        path = ("colourways", index, "colours")
        said = [colourway.get(table) for table in ("colours", "coats")]
        colours, coats = (set(table) if isinstance(table, dict) else set() for table in said)
        called = colourway.get("name", colourway.get("key", f"colourway {index + 1}"))
        for missing in sorted(keys - colours) if isinstance(said[0], dict) else ():
            fault("job.colour_missing", path, f'{called} has no colour for "{missing}".',
                  f'Add {missing} = "#rrggbb".')  # fmt: skip
        for unknown in sorted((colours | coats) - keys):
            fault("job.unknown_paint", (*path, unknown), f'"{unknown}" is no paint of this job.',
                  "Write one of " + ", ".join(sorted(keys)) + ".")  # fmt: skip


def _check_choice(raw: dict[str, Any], fault: _Fault) -> None:
    choice = raw.get("choice")
    if not isinstance(choice, dict):
        return
    for field in ("option", "colourway"):
        rows = _rows(raw, (f"{field}s",))
        known = [text for text in _texts(rows or [], "key") if text is not None]
        if known and isinstance(chosen := choice.get(field), str) and chosen not in known:
            fault("job.unknown_choice", ("choice", field),
                  f'"{chosen}" is no {field} of this job.',
                  "Write one of " + ", ".join(known) + ".")  # fmt: skip


def _check_artwork(tables: JobTables, fault: _Fault) -> None:
    """Bands that name no paint, and ties that lead to nothing along the wall."""
    keys = [paint.key for paint in tables.paints]
    fit = tables.artwork.fit
    for index, band in enumerate(() if fit is None else fit.bands):
        if band not in keys:
            path: KeyPath = ("artwork", "fit", "bands", index)
            remedy = f"Write one of {', '.join(keys)}."
            fault("job.unknown_paint", path, f'"{band}" is no paint of this job.', remedy)
    places = _places(tables)
    for index, tie in enumerate(tables.artwork.ties):
        if tie.to not in places:
            fault("job.unknown_place", ("artwork", "ties", index, "to"),
                  f'"{tie.to}" is nothing that was measured on this wall.',
                  f"Write one of {', '.join(places)}.")  # fmt: skip


def _places(tables: JobTables) -> list[str]:
    """What of the wall a place of the artwork can be tied to."""
    wall = tables.wall
    steps = sum(count - 1 for count in Counter(level.at for level in wall.top).values())
    counted = (("bend", len(wall.bends)), ("joint", len(wall.joints)), ("step", steps))
    return [
        "start",
        "end",
        *(f"pier {pier.name}" for pier in wall.piers),
        *(f"opening {opening.name}" for opening in wall.openings),
        *(f"{what} {number}" for what, count in counted for number in range(1, count + 1)),
    ]


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
