"""Workbook and CSV: read back by another library, equal bytes, nothing that comes alive."""

from __future__ import annotations

import csv
import io
import zipfile
from datetime import date, datetime
from decimal import Decimal

import openpyxl
import pytest

from giornata.core.documents import PrintedColumn, PrintedTable
from giornata.files.tables import csv_bytes, workbook_bytes

DAY = date(2027, 2, 8)
TABLE = PrintedTable(
    name="take-off",
    title="What there is",
    columns=(
        PrintedColumn(head="Paint", digits=None),
        PrintedColumn(head="Shapes", digits=0),
        PrintedColumn(head="Area [m²]", digits=2),
        PrintedColumn(head="Cost [EUR]", digits=2),
    ),
    rows=(
        ("Haze, \"pale\"", 372, 88.5789123, Decimal("1682.00")),
        ("Łódź\nblue", None, -0.004, None),
    ),
    totals=(("All", 372, 88.5749123, Decimal("1682.00")),),
)  # fmt: skip
LIVE = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "\n=1", "|calc", "%0A=1"]


def read(table: PrintedTable) -> list[list[str]]:
    return list(csv.reader(io.StringIO(csv_bytes(table).decode("utf-8-sig"), newline="")))


def words(texts: list[str]) -> PrintedTable:
    return PrintedTable(
        name="words", title="Words", columns=(PrintedColumn(head="Text", digits=None),),
        rows=tuple((text,) for text in texts), totals=(),
    )  # fmt: skip


def test_csv_is_read_back_with_the_digits_that_count() -> None:
    assert read(TABLE) == [
        ["Paint", "Shapes", "Area [m²]", "Cost [EUR]"],
        ['Haze, "pale"', "372", "88.58", "1682.00"],
        ["Łódź\nblue", "", "0.00", ""],
        ["All", "372", "88.57", "1682.00"],
    ]


def test_csv_begins_with_its_mark_and_ends_each_line_as_rfc_4180_says() -> None:
    data = csv_bytes(TABLE)
    assert data.startswith(b"\xef\xbb\xbfPaint,")
    assert data.endswith(b"\r\n")


@pytest.mark.parametrize("text", LIVE)
def test_text_in_csv_is_no_formula(text: str) -> None:
    """OWASP, CSV injection: what begins with = + - @ tab or return gets an apostrophe."""
    assert read(words([text]))[1] == [f"'{text}"]


def test_numbers_below_zero_stay_numbers() -> None:
    table = PrintedTable(
        name="n", title="N", columns=(PrintedColumn(head="Moved [m]", digits=3),),
        rows=((-0.25,), (-3,)), totals=(),
    )  # fmt: skip
    assert read(table)[1:] == [["-0.250"], ["-3.000"]]


def test_the_workbook_holds_equal_values_as_numbers() -> None:
    data = workbook_bytes([TABLE, words(LIVE)], title="Tideline", digest="abc", day=DAY)
    book = openpyxl.load_workbook(io.BytesIO(data))
    assert book.sheetnames == ["take-off", "words"]
    rows = list(book["take-off"].values)
    assert rows[0] == ("Paint", "Shapes", "Area [m²]", "Cost [EUR]")
    assert rows[1] == ('Haze, "pale"', 372, 88.5789123, 1682.0)
    assert rows[2] == ("Łódź\nblue", None, -0.004, None)
    assert rows[3] == ("All", 372, 88.5749123, 1682.0)
    formats = [cell.number_format for cell in book["take-off"][2]]
    assert formats[1:] == ["#,##0", "#,##0.00", "#,##0.00"]


def test_text_in_the_workbook_is_no_formula() -> None:
    data = workbook_bytes([words(LIVE)], title="Tideline", digest="abc", day=DAY)
    cells = [row[0] for row in openpyxl.load_workbook(io.BytesIO(data))["words"].iter_rows()][1:]
    assert {cell.data_type for cell in cells} == {"s"}
    assert [cell.value for cell in cells[:4]] == LIVE[:4]
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        sheet = parts.read("xl/worksheets/sheet1.xml")
    assert b"<f>" not in sheet


def test_the_workbook_is_the_same_bytes_and_bears_the_jobs_date() -> None:
    one = workbook_bytes([TABLE], title="Tide & line", digest="abc", day=DAY)
    assert one == workbook_bytes([TABLE], title="Tide & line", digest="abc", day=DAY)
    properties = openpyxl.load_workbook(io.BytesIO(one)).properties
    assert properties.created == datetime(2027, 2, 8)  # noqa: DTZ001
    assert (properties.title, properties.description) == ("Tide & line", "Made from job abc")
    with zipfile.ZipFile(io.BytesIO(one)) as parts:
        assert {entry.date_time for entry in parts.infolist()} == {(1980, 1, 1, 0, 0, 0)}
