"""Typesetting: markup and the data it shows become a PDF, with no font but the shipped ones."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path
from typing import Any

from giornata.core.foundation import RenderError

__all__ = ["MONO", "SANS", "typeset"]

SANS = "IBM Plex Sans"
MONO = "IBM Plex Mono"
_FONTS = Path(__file__).resolve().parent.parent / "fonts"
_SHIPPED = {SANS, MONO}


def typeset(
    markup: str,
    files: Mapping[str, bytes] | None = None,
    *,
    title: str,
    date: date,
    tagged: bool = False,
) -> bytes:
    """PDF of Typst markup and the files it reads.

    Parameters
    ----------
    markup : str
        Body of the document. Words of the job never stand in it: they come from a JSON file
        (``json("data.json")``), so that no name can be taken for a command.
    files : mapping of str to bytes, optional
        Everything the markup reads, by name; nothing else of the disk can be read.
    title : str
        Of the document, in its properties.
    date : date
        The job's date: the date of the file inside the file, so that equal papers are equal bytes.
    tagged : bool
        Whether headings, tables and pictures are marked up for screen readers; for papers of
        running text.

    Raises
    ------
    RenderError
        If the markup cannot be set, or calls for a font that is not shipped.
    """
    import typst

    main = f"{_preamble(title, date)}\n{markup}"
    midday = datetime(date.year, date.month, date.day, 12, tzinfo=UTC)
    try:
        data, warnings = typst.compile_with_warnings(
            {"main.typ": main.encode(), **(files or {})},
            font_paths=_fonts(),
            ignore_system_fonts=True,
            timestamp=int(midday.timestamp()),
            pdf_tags=tagged,
        )
    except RuntimeError as error:
        raise RenderError(
            f"{title}: the paper cannot be set: {str(error).splitlines()[0][:300]}",
            remedy="Report this with the job file: it is a fault of giornata.",
        ) from error
    if warnings:
        raise RenderError(
            f"{title}: the paper cannot be set: {str(warnings[0]).splitlines()[0][:300]}",
            remedy="Report this with the job file: it is a fault of giornata.",
        )
    return bytes(data)


@cache
def _fonts() -> Any:
    """The shipped fonts and no others."""
    import typst

    fonts = typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(_FONTS)]
    )
    missing = _SHIPPED - set(fonts.families())
    if missing:
        raise RenderError(
            f"{_FONTS}: the font {sorted(missing)[0]} is missing.",
            remedy="Install giornata again.",
        )
    return fonts


def _preamble(title: str, date: date) -> str:
    """Title, date and font of a document."""
    return (
        f"#set document(title: {_literal(title)}, "
        f"date: datetime(year: {date.year}, month: {date.month}, day: {date.day}))\n"
        f'#set text(font: "{SANS}", fallback: false, lang: "en", size: 10pt)'
    )


def _literal(text: str) -> str:
    """Text as a string of the markup, whatever is in it."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else " " for c in escaped) + '"'
