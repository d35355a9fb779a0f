"""Printing: reports and findings as text for 80 columns, with or without colour."""

from __future__ import annotations

import codecs
import sys
import textwrap
import unicodedata
from collections.abc import Sequence
from typing import TYPE_CHECKING, TextIO

from giornata.cli.report import Cell, Column, Facts, Measure, Report, Table
from giornata.core.foundation import (
    INCH,
    Figure,
    System,
    explain,
    in_units,
    shown,
    shown_column,
    shown_figure,
    shown_place,
)

if TYPE_CHECKING:
    from rich.console import Console
    from rich.text import Text

__all__ = ["any_encoding", "console", "measure_text", "plain", "print_report", "wrapped"]

_SPELLED = {
    "±": "+/-", "×": "x", "÷": "/", "−": "-", "–": "-", "—": "-", "→": "->", "…": "...",
    "“": '"', "”": '"', "‘": "'", "’": "'", "─": "-", "°": " deg", "·": ".", "≥": ">=", "≤": "<=",
    "█": "#", "✓": "yes",
}  # fmt: skip
_MM = 1000.0  # to the metre


def _spelled(fault: UnicodeError) -> tuple[str, int]:
    """What an encoding without a character prints for it: m2 for m²."""
    if not isinstance(fault, UnicodeEncodeError):
        raise fault
    text = []
    for letter in fault.object[fault.start : fault.end]:
        spelled = _SPELLED.get(letter) or unicodedata.normalize("NFKD", letter)
        text.append(spelled.encode("ascii", "ignore").decode() or "?")
    return "".join(text), fault.end


def any_encoding(*streams: TextIO) -> None:
    """Let streams of any encoding take any text: what they cannot show is spelled out."""
    codecs.register_error("giornata.spelled", _spelled)
    for stream in streams:
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="giornata.spelled")


def plain(text: str) -> str:
    """Text without control characters, which a terminal would obey."""
    return "".join(
        letter if letter in "\n\t" or unicodedata.category(letter) != "Cc" else "\ufffd"
        for letter in text
    )


def console(*, errors: bool = False) -> Console:
    """The terminal, or a file 80 columns wide; colour only where it is a terminal that wants it."""
    from rich.console import Console

    class Terminal(Console):
        def on_broken_pipe(self) -> None:
            raise BrokenPipeError  # answered at the front door

    made = Terminal(
        file=sys.stderr if errors else sys.stdout, highlight=False, markup=False, emoji=False
    )
    made.width = min(made.width, 120) if made.is_terminal else 80
    return made


def print_report(report: Report, system: System, *, every: bool, to: Console) -> None:
    """Print a report's title and sections."""
    if report.title:
        to.print(plain(report.title), style="bold", soft_wrap=True)
    for section in report.sections:
        if isinstance(section, Facts):
            _print_facts(section, system, to)
        elif isinstance(section, Table):
            _print_table(section, system, every, to)
        else:
            to.print()
            text = explain(section.figure, system, depth=section.depth, width=to.width, once=True)
            to.print(plain(text), soft_wrap=True)


def _heading(title: str, to: Console) -> None:
    to.print()
    if title:
        to.print(plain(title), style="bold")


def _print_facts(section: Facts, system: System, to: Console) -> None:
    """Names, then numbers set flush right, then their precision and remarks."""
    if not section.facts:
        return
    _heading(in_units(section.title, system), to)
    numbers = [isinstance(fact.value, Figure | Measure | int) for fact in section.facts]
    texts = [
        (_text(fact.value, system) if fact.whole else _said(fact.value, system)).partition(" ±")
        for fact in section.facts
    ]
    names = [in_units(fact.name, system) for fact in section.facts]
    name_width = max(map(len, names))
    widest = max((len(t[0]) for t, number in zip(texts, numbers, strict=True) if number), default=0)
    for fact, name, (text, sign, precision), number in zip(
        section.facts, names, texts, numbers, strict=True
    ):
        value = f"{text:>{widest}}" if number else text
        remark = in_units(fact.remark, system)
        parts = [f"{name:<{name_width}}", value, (sign + precision).strip(), remark]
        line = plain("  ".join(part for part in parts if part))
        for row in [line] if fact.whole else wrapped(line, to.width, rest=" " * (name_width + 2)):
            to.print(row, soft_wrap=True)


def wrapped(text: str, width: int, *, first: str = "", rest: str = "") -> list[str]:
    """Lines of a text; a path or another long word is never cut."""
    rows = textwrap.wrap(
        plain(text), width, initial_indent=first, subsequent_indent=rest, break_on_hyphens=False,
        break_long_words=False,
    )  # fmt: skip
    return rows or [first]


def _text(cell: Cell, system: System) -> str:
    match cell:
        case None:
            return "-"
        case Figure():
            return shown_figure(cell, system)
        case Measure():
            return measure_text(cell, system)
        case int():
            return f"{cell:,}"
        case _:
            return str(cell)


def _said(cell: Cell, system: System) -> str:
    """A fact's value, words with the quantities in them in the reader's units."""
    return in_units(cell, system) if isinstance(cell, str) else _text(cell, system)


def measure_text(measure: Measure, system: System) -> str:
    """A number with its unit; where US units are wanted, feet and inches, of a miss decimals."""
    if system is System.US and measure.unit == "mm":
        return f"{shown(measure.value / _MM / INCH, '-', system, digits=2)} in"
    digits = None if system is System.US and measure.unit == "m" else measure.digits
    return shown(measure.value, measure.unit, system, digits=digits)


def _print_table(section: Table, system: System, every: bool, to: Console) -> None:
    from rich import box
    from rich.table import Table as Grid
    from rich.text import Text

    _heading(in_units(section.title, system), to)
    if not section.rows:
        to.print(section.none or "None.")
        return
    shown_rows = section.rows if every or section.most is None else section.rows[: section.most]
    grid = Grid(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False, padding=(0, 1, 0, 0))
    printed: list[tuple[str, ...]] = []
    body = [*shown_rows, *([] if section.total is None else [section.total])]
    columns = [
        (at, column)
        for at, column in enumerate(section.columns)
        if not column.spare or any(row[at] != "-" for row in body)
    ]
    for at, column in columns:
        head, texts, right = _column(column, [row[at] for row in body], system)
        grid.add_column(
            Text(plain(head)), justify="right" if right else "left", no_wrap=right, overflow="fold",
            vertical="top",
        )  # fmt: skip
        printed.append(texts)
    for number, row in enumerate(zip(*printed, strict=True), start=1):
        last = section.total is not None and number == len(shown_rows)
        cells = [
            _swatch(text) if column.swatch and to.is_terminal else Text(plain(text))
            for text, (_, column) in zip(row, columns, strict=True)
        ]
        grid.add_row(*cells, end_section=last)
    to.print(grid)
    left = len(section.rows) - len(shown_rows)
    if left:
        to.print(f"... and {left} more: --all prints them.")


def _swatch(hue: str) -> Text:
    from rich.text import Text

    return Text.assemble(("████ ", hue), hue)


def _column(
    column: Column, cells: Sequence[Cell], system: System
) -> tuple[str, tuple[str, ...], bool]:
    """Head with its unit, texts of the cells, and whether they stand flush right."""
    name = in_units(column.head, system)
    if column.unit is None:
        right = all(isinstance(cell, int | Figure | Measure | None) for cell in cells)
        texts = tuple("" if cell is None else _text(cell, system) for cell in cells)
        if column.worded:
            texts = tuple(in_units(text, system) for text in texts)
        return name, texts, right
    values = [None if cell is None else _value(cell) for cell in cells]
    if column.taped and system is System.US:
        scale = _MM if column.unit == "mm" else 1.0
        write = _place if column.unit == "m" else _step
        texts = tuple("" if v is None else write(float(v) / scale, system) for v in values)
        return name, texts, True
    if column.unit == "mm" and system is System.US:
        inches = [None if v is None else float(v) / _MM / INCH for v in values]
        _, texts = shown_column(inches, "-", system, digits=2)
        return f"{name}\nin", texts, True
    unit, texts = shown_column(values, column.unit, system, digits=column.digits)
    return f"{name}\n{unit}" if unit else name, texts, True


def _place(value: float, system: System) -> str:
    """A chainage, a level or a length: nought of them is 0 ft."""
    return shown_place(value, system)


def _step(value: float, system: System) -> str:
    """How far off something is: nought of it is 0 in."""
    return shown(value, "m", system)


def _value(cell: Cell) -> float:
    match cell:
        case Figure():
            return cell.value  # type: ignore[return-value]  # money stays exact
        case Measure():
            return cell.value
        case int() | float():
            return float(cell)
        case _:
            raise ValueError(f"a column with a unit holds numbers, not {cell!r}")
