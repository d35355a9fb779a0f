"""Typesetting: shipped fonts only, equal bytes, and nothing read that was not handed in."""

from __future__ import annotations

import io
from datetime import date

import pikepdf
import pypdfium2
import pytest

from giornata.core.foundation import RenderError
from giornata.files.pdf import typeset

DAY = date(2027, 2, 8)


def _text(pdf: bytes) -> str:
    document = pypdfium2.PdfDocument(pdf)
    return "".join(page.get_textpage().get_text_range() for page in document)


def _fonts(pdf: bytes) -> list[tuple[str, bool]]:
    """Name of each font of a file, and whether it lies in the file."""
    found = []
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        for thing in opened.objects:
            if isinstance(thing, pikepdf.Dictionary) and thing.get("/Type") == "/FontDescriptor":
                embedded = any(key in thing for key in ("/FontFile", "/FontFile2", "/FontFile3"))
                found.append((str(thing.FontName), embedded))
    return found


def test_the_same_paper_is_the_same_bytes() -> None:
    one = typeset("= Tideline\n", title="Tideline", date=DAY)
    two = typeset("= Tideline\n", title="Tideline", date=DAY)
    assert one == two


def test_every_font_is_a_shipped_one_and_lies_in_the_file() -> None:
    pdf = typeset('Plain *bold* #text(font: "IBM Plex Mono")[mono]', title="t", date=DAY)
    fonts = _fonts(pdf)
    assert len(fonts) == 3
    assert all(embedded and "IBMPlex" in name for name, embedded in fonts)


def test_words_of_the_job_come_from_data_and_are_printed_as_they_stand() -> None:
    name = r'#read("secret") *not bold* $ \ "'
    pdf = typeset(
        '#json("data.json").name',
        {"data.json": b'{"name": "#read(\\"secret\\") *not bold* $ \\\\ \\""}'},
        title=name,
        date=DAY,
    )
    assert name in _text(pdf)
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert str(opened.docinfo["/Title"]) == name


def test_the_date_inside_is_the_date_of_the_job() -> None:
    pdf = typeset("x", title="t", date=DAY)
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        assert str(opened.docinfo["/CreationDate"]).startswith("D:20270208")


def test_a_font_that_is_not_shipped_is_refused() -> None:
    with pytest.raises(RenderError, match="unknown font family"):
        typeset('#set text(font: "Comic Neue")\nx', title="t", date=DAY)


def test_a_file_that_was_not_handed_in_cannot_be_read() -> None:
    with pytest.raises(RenderError, match="not found"):
        typeset('#read("/etc/hostname")', title="t", date=DAY)
