"""PDF: papers typeset offline with the fonts shipped here, the same bytes every time."""

from giornata.files.pdf.typesetting import typeset

__all__ = ["typeset"]
