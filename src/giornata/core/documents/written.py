"""Written papers: sections of words, tables, pictures of the wall, and lines to sign."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from giornata.core.documents.drawing import Sheet
from giornata.core.documents.letters import letters_missing
from giornata.core.documents.scales import PaperSize
from giornata.core.documents.title_block import Heading
from giornata.core.documents.wall_pictures import WallPicture
from giornata.core.foundation import Finding, Severity

__all__ = ["Section", "SignBlock", "TextTable", "WrittenPaper", "unprinted_letters"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TextTable:
    """A table of words and printed numbers.

    Parameters
    ----------
    heads : tuple of str
        One a column.
    rows : tuple of tuple of str
        One cell a column.
    right : tuple of int
        Columns of numbers, counted from 0: they stand to the right. [-]
    strong : tuple of int
        Rows that stand out, counted from 0: sums and headings. [-]
    wide : tuple of int
        Columns that share the room left over; none: the first. [-]
    swatches : tuple of (int, int, str)
        Row and column, counted from 0, of cells that show a colour, ``#rrggbb``. [-]
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: tuple[int, ...] = ()
    strong: tuple[int, ...] = ()
    wide: tuple[int, ...] = ()
    swatches: tuple[tuple[int, int, str], ...] = ()

    def __post_init__(self) -> None:
        if any(len(row) != len(self.heads) for row in self.rows):
            raise ValueError("each row of a table has one cell a column")


@dataclass(frozen=True, slots=True, kw_only=True)
class SignBlock:
    """Where somebody ticks and signs.

    Parameters
    ----------
    ticks : tuple of str
        What may be ticked.
    lines : tuple of str
        What is written on each line ("Name", "Place and date").
    """

    ticks: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Section:
    """A part of a written paper, set in this order: words, points, pictures, tables, signing.

    Parameters
    ----------
    title : str
        "" for none.
    words : tuple of str
        Paragraphs.
    points : tuple of str
        A list.
    pictures : tuple of WallPicture
    bar : Sheet or None
        Bars that check the printer and show the scale, below the pictures.
    tables : tuple of TextTable
    signing : tuple of SignBlock
        Side by side.
    new_page : bool
        Begins a page.
    """

    title: str = ""
    words: tuple[str, ...] = ()
    points: tuple[str, ...] = ()
    pictures: tuple[WallPicture, ...] = ()
    bar: Sheet | None = None
    tables: tuple[TextTable, ...] = ()
    signing: tuple[SignBlock, ...] = ()
    new_page: bool = False

    @property
    def texts(self) -> tuple[str, ...]:
        """Every text of it, in order."""
        cells = (cell for t in self.tables for row in (t.heads, *t.rows) for cell in row)
        signed = (text for one in self.signing for text in (*one.ticks, *one.lines))
        captions = (picture.caption for picture in self.pictures)
        return (self.title, *self.words, *self.points, *captions, *cells, *signed)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WrittenPaper:
    """A paper of running text.

    Parameters
    ----------
    name : str
        What it is ("Proposal").
    head : Heading
        Job, place, client, date, digest.
    facts : tuple of (str, str)
        What stands below the title.
    warning : str
        Printed over everything else; "" for none.
    sections : tuple of Section
    paper : PaperSize
        Upright.
    margin : float
        Left and right. [mm]
    """

    name: str
    head: Heading
    facts: tuple[tuple[str, str], ...]
    warning: str
    sections: tuple[Section, ...]
    paper: PaperSize
    margin: float = 15.0

    @property
    def title(self) -> str:
        """Of the document, in its properties."""
        return f"{self.head.job}: {self.name.lower()}"

    @property
    def date(self) -> date:
        """Of the job."""
        return self.head.date

    @property
    def texts(self) -> tuple[str, ...]:
        """Every text of it, in order."""
        facts = (text for fact in self.facts for text in fact)
        sections = (text for section in self.sections for text in section.texts)
        return (self.warning, self.name, self.head.job, *facts, *sections)

    @property
    def bars(self) -> tuple[Sheet, ...]:
        """The bars of its sections, in order."""
        return tuple(section.bar for section in self.sections if section.bar is not None)

    @property
    def pictures(self) -> tuple[WallPicture, ...]:
        """All its pictures, in order."""
        return tuple(picture for section in self.sections for picture in section.pictures)


def unprinted_letters(paper: WrittenPaper) -> tuple[Finding, ...]:
    """A warning where a paper holds letters that the shipped fonts have not."""
    missing = letters_missing("".join(paper.texts))
    if not missing:
        return ()
    return (
        Finding(
            code="documents.letters",
            severity=Severity.WARN,
            subject=paper.name.lower(),
            message=f"{len(missing)} of its letters cannot be printed: {missing}",
            remedy="Look for them in the names of options, colourways, paints and lines, and in "
            "what the price leaves out; write them in Latin, Greek or Cyrillic letters.",
        ),
    )
