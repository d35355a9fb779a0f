"""Reports, findings and errors as JSON; the form is described in docs/commands.md."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from giornata.cli.printing import measure_text
from giornata.cli.report import Cell, Column, Facts, Measure, Report, Table
from giornata.core.foundation import (
    Figure,
    Finding,
    System,
    shown_figure,
)

__all__ = ["error_form", "finding_form", "report_form", "written"]


def written(form: dict[str, Any], encoding: str | None = None) -> str:
    """The text of a JSON form; letters that an encoding may lack are escaped."""
    whole = (encoding or "utf-8").lower().replace("-", "") == "utf8"
    return json.dumps(form, indent=2, ensure_ascii=not whole, allow_nan=False) + "\n"


def report_form(report: Report, system: System) -> dict[str, Any]:
    """Sections by their keys: facts as values, tables as lists of rows."""
    form: dict[str, Any] = {}
    for section in report.sections:
        if isinstance(section, Facts):
            for fact in section.facts:
                form[fact.key] = _cell_form(fact.value, system)
        elif isinstance(section, Table):
            form[section.key] = [_row_form(section.columns, row, system) for row in section.rows]
        else:
            form[section.key] = _explained_form(section.figure, section.depth, system)
    return form


def _explained_form(figure: Figure, depth: int, system: System) -> dict[str, Any]:
    """A figure with its reasons, and so its parts."""
    form: dict[str, Any] = {"name": figure.name, **_cell_form(figure, system)}
    for key in ("source", "method", "formula"):
        if getattr(figure, key):
            form[key] = getattr(figure, key)
    if figure.usual:
        form["usual"] = list(figure.usual)
    if depth > 0:
        form["parts"] = [_explained_form(part, depth - 1, system) for part in figure.parts]
    return form


def _row_form(
    columns: Iterable[Column], row: Iterable[Cell], system: System
) -> dict[str, Any]:  # fmt: skip
    return {
        column.key: _cell_form(
            Measure(value=cell, unit=column.unit, digits=column.digits)
            if column.unit is not None and isinstance(cell, float)
            else cell,
            system,
        )
        for column, cell in zip(columns, row, strict=True)
    }


def _cell_form(cell: Cell, system: System) -> Any:
    match cell:
        case Figure():
            form: dict[str, Any] = {"value": _number(cell.value), "unit": cell.unit}
            if cell.sigma is not None:
                form["sigma"] = _number(cell.sigma)
            return {**form, "basis": str(cell.basis), "shown": shown_figure(cell, system)}
        case Measure():
            if not math.isfinite(cell.value):
                return None
            text = measure_text(cell, system)
            return {"value": _number(cell.value), "unit": cell.unit, "shown": text}
        case float():
            return _number(cell)
        case _:
            return cell


def _number(value: float | Decimal) -> float | str | None:
    """Money and other exact decimals stay exact: as text."""
    if isinstance(value, Decimal):
        return str(value)
    return float(value) if math.isfinite(value) else None


def finding_form(finding: Finding) -> dict[str, Any]:
    """A finding, with its place where it has one."""
    place = finding.place
    return {
        "severity": str(finding.severity),
        "code": finding.code,
        "subject": finding.subject,
        "message": finding.message,
        "remedy": finding.remedy,
        "place": None if place is None else {"file": place.file, "line": place.line},
    }


def error_form(
    message: str, remedy: str, findings: Iterable[Finding], exit_code: int
) -> dict[str, Any]:
    """What went wrong, and what can be done about it."""
    return {
        "error": {
            "message": message,
            "remedy": remedy,
            "exit_code": exit_code,
            "findings": [finding_form(finding) for finding in findings],
        }
    }
