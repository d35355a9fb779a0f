"""Drawn papers as PDF: true vectors to scale, every sheet a page of its own size."""

from __future__ import annotations

import json

from giornata.core.documents import DrawnPaper
from giornata.files.pdf.sheet_svg import sheet_svg
from giornata.files.pdf.typesetting import typeset

__all__ = ["drawn_pdf"]

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
