"""Tables as a workbook (XLSX) and as comma-separated text (CSV), the same bytes every time."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import UTC, date, datetime
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from giornata.core.documents import PrintedColumn, PrintedTable

__all__ = ["csv_bytes", "workbook_bytes"]

_LIVE = ("=", "+", "-", "@", "\t", "\r", "\n", "|", "%")
"""How text begins that a spreadsheet takes for a formula or a command when it opens a CSV."""

_WIDEST = 60
_NARROWEST = 8


def csv_bytes(table: PrintedTable) -> bytes:
    """A table as CSV: UTF-8 with a byte-order mark, commas, a point before the decimals.

    Notes
    -----
    RFC 4180. Numbers carry the digits that are worth printing, without separators of thousands.
    Text that a spreadsheet would take for a formula has an apostrophe put before it (OWASP, CSV
    injection); numbers below 0 are left alone.
    """
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow([_harmless(column.head) for column in table.columns])
    for row in (*table.rows, *table.totals):
        writer.writerow(
            [_csv_cell(cell, column) for cell, column in zip(row, table.columns, strict=True)]
        )
    return text.getvalue().encode("utf-8-sig")


def _csv_cell(cell: Any, column: PrintedColumn) -> str:
    match cell:
        case None:
            return ""
        case str():
            return _harmless(cell)
        case _:
            return _rounded(cell, column.digits)


def _harmless(text: str) -> str:
    return f"'{text}" if text.startswith(_LIVE) else text


def _rounded(value: float | Decimal, digits: int | None) -> str:
    exact = value if isinstance(value, Decimal) else Decimal(repr(value))
    if digits is None:
        return f"{exact:f}"
    rounded = exact.quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_UP)
    return f"{rounded + 0:f}" if rounded else f"{abs(rounded):f}"  # no minus before a zero


def workbook_bytes(tables: Sequence[PrintedTable], *, title: str, digest: str, day: date) -> bytes:
    """Tables as one workbook, a sheet each; numbers keep all their digits and show those known.

    Parameters
    ----------
    title : str
        Of the job, printed at the head of each page.
    digest : str
        Of the job, printed at the foot of each page.
    day : date
        The job's date, given as the day the workbook was made.

    Notes
    -----
    Text is written as text: what begins with ``=`` is no formula.
    """
    import xlsxwriter

    sink = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False,
               "strings_to_numbers": False, "default_date_format": "yyyy-mm-dd"}  # fmt: skip
    book = xlsxwriter.Workbook(sink, options)
    book.set_properties(
        {
            "title": title,
            "comments": f"Made from job {digest}",
            "created": datetime(day.year, day.month, day.day, tzinfo=UTC).replace(tzinfo=None),
        }
    )
    forms = _Forms(book)
    for table in tables:
        sheet = book.add_worksheet(table.name)
        _fill(sheet, table, forms)
        sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.repeat_rows(0)
        sheet.set_header(f"&L{_literal(title)}&R{_literal(table.title)}")
        sheet.set_footer(f"&LMade from job {_literal(digest)}, {day.isoformat()}&RPage &P of &N")
    book.close()
    return sink.getvalue()


class _Forms:
    """Forms of cells, each made once."""

    def __init__(self, book: Any) -> None:
        self._book = book
        self._made: dict[tuple[str, bool], Any] = {}
        self.head = book.add_format(
            {"bold": True, "text_wrap": True, "valign": "top", "bottom": 1, "align": "left"}
        )

    def of(self, digits: int | None, *, total: bool) -> Any:
        shape = "@" if digits is None else "#,##0" + ("." + "0" * digits if digits else "")
        key = (shape, total)
        if key not in self._made:
            form: dict[str, Any] = {"num_format": shape, "valign": "top"}
            if digits is None:
                form["text_wrap"] = True
            if total:
                form |= {"bold": True, "top": 1}
            self._made[key] = self._book.add_format(form)
        return self._made[key]


def _fill(sheet: Any, table: PrintedTable, forms: _Forms) -> None:
    for place, column in enumerate(table.columns):
        sheet.write_string(0, place, column.head, forms.head)
        sheet.set_column(place, place, _width(table, place))
    below = [(row, False) for row in table.rows] + [(row, True) for row in table.totals]
    for number, (row, total) in enumerate(below, start=1):
        for place, (cell, column) in enumerate(zip(row, table.columns, strict=True)):
            form = forms.of(None if isinstance(cell, str) else column.digits, total=total)
            match cell:
                case None:
                    sheet.write_blank(number, place, None, form)
                case str():
                    sheet.write_string(number, place, cell, form)
                case _:
                    sheet.write_number(number, place, float(cell), form)
    sheet.freeze_panes(1, 0)
    if table.rows:
        sheet.autofilter(0, 0, len(table.rows), len(table.columns) - 1)


def _width(table: PrintedTable, place: int) -> float:
    """Width of a column in letters: its longest cell, or the longest word of its head."""
    column = table.columns[place]
    cells = [_csv_cell(row[place], column) for row in (*table.rows, *table.totals)]
    longest = max((len(cell) for cell in cells), default=0)
    words = max(len(word) for word in [*column.head.split(), ""])
    return float(min(max(longest + 2, words + 2, _NARROWEST), _WIDEST))


def _literal(text: str) -> str:
    """Text for a page's head or foot, where ``&`` gives orders."""
    return text.replace("&", "&&")[:100]
