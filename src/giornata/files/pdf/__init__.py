"""PDF: papers typeset offline with the fonts shipped here, the same bytes every time."""

from giornata.files.pdf.sheets import (
    drawn_pdf,
    elevation_pdf,
    reference_sheets_pdf,
    set_up_cards_pdf,
)
from giornata.files.pdf.typesetting import typeset
from giornata.files.pdf.written import written_pdf

__all__ = [
    "drawn_pdf",
    "elevation_pdf",
    "reference_sheets_pdf",
    "set_up_cards_pdf",
    "typeset",
    "written_pdf",
]
