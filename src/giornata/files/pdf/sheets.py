"""Drawn papers as PDF: true vectors to scale, every sheet a page of its own size."""

from __future__ import annotations

import json

from giornata.core import documents
from giornata.core.documents import DrawnPaper
from giornata.core.foundation import System
from giornata.core.job import JobResults
from giornata.files.pdf.sheet_svg import sheet_svg
from giornata.files.pdf.typesetting import typeset

__all__ = ["drawn_pdf", "elevation_pdf", "reference_sheets_pdf", "set_up_cards_pdf"]

_MARKUP = """
#for sheet in json("sheets.json") {
  let (width, height) = (sheet.width * 1mm, sheet.height * 1mm)
  page(
    width: width, height: height, margin: 0mm,
    image(sheet.file, width: width, height: height, alt: sheet.name),
  )
}
"""


def drawn_pdf(paper: DrawnPaper) -> bytes:
    """A drawn paper as PDF, one page a sheet, one millimetre a millimetre.

    Raises
    ------
    RenderError
        If the typesetter refuses a sheet.
    """
    files = {f"{number}.svg": sheet_svg(sheet) for number, sheet in enumerate(paper.sheets, 1)}
    listed = [
        {"file": file, "width": sheet.width, "height": sheet.height, "name": sheet.name}
        for file, sheet in zip(files, paper.sheets, strict=True)
    ]
    files["sheets.json"] = json.dumps(listed).encode()
    return typeset(_MARKUP, files, title=paper.title, date=paper.date)


def elevation_pdf(results: JobResults, system: System) -> bytes:
    """The wall's elevation, `documents.elevation`, as PDF."""
    return drawn_pdf(documents.elevation(results, system))


def reference_sheets_pdf(results: JobResults, system: System) -> bytes:
    """The reference sheets, `documents.reference_sheets`, as PDF."""
    return drawn_pdf(documents.reference_sheets(results, system))


def set_up_cards_pdf(results: JobResults, system: System) -> bytes:
    """The set-up cards, `documents.set_up_cards`, as PDF."""
    return drawn_pdf(documents.set_up_cards(results, system))
