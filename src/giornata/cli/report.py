"""What a verb has to say, as records: the same ones are printed and written as JSON."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.foundation import Figure

__all__ = ["Cell", "Column", "Explained", "Fact", "Facts", "Measure", "Report", "Section", "Table"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A number with its unit where there is no figure to explain it.

    Parameters
    ----------
    value : float
        In SI. [unit]
    unit : str
        As figures carry it.
    digits : int or None
        Digits behind the point, where the usual ones are not wanted. [-]
    """

    value: float
    unit: str
    digits: int | None = None


Cell = Figure | Measure | str | int | float | None
"""A plain float stands in a column that has a unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One named value.

    Parameters
    ----------
    key : str
        Its name in JSON.
    name : str
        Its name in print.
    value : Cell
        None prints as "-".
    remark : str
        Said behind it.
    whole : bool
        To be copied or typed, so never broken over two lines.
    """

    key: str
    name: str
    value: Cell
    remark: str = ""
    whole: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Named values, one to a line; where ``title`` is given, under that heading."""

    facts: tuple[Fact, ...]
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a table.

    Parameters
    ----------
    key, head : str
        Its name in JSON and in print.
    unit : str or None
        Of its numbers; None for text and counts.
    digits : int or None
        Digits behind the point, where the usual ones are not wanted. [-]
    taped : bool
        Lengths set out with a tape: feet and inches where the reader wants US units.
    swatch : bool
        Its texts are colours (``#rrggbb``), shown where the terminal can.
    worded : bool
        Its texts hold metric quantities, printed in the reader's units.
    spare : bool
        Of text; not printed where every cell is "-". JSON has it always.
    """

    key: str
    head: str
    unit: str | None = None
    digits: int | None = None
    taped: bool = False
    swatch: bool = False
    worded: bool = False
    spare: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows under heads.

    Parameters
    ----------
    key : str
        Its name in JSON.
    title : str
        Its heading.
    columns : tuple of Column
    rows : tuple of tuple of Cell
        As many cells in each as there are columns.
    total : tuple of Cell or None
        A last row, set apart.
    most : int or None
        Rows printed unless all are asked for; JSON has them all. [-]
    none : str
        Printed instead of a table without rows.
    """

    key: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    total: tuple[Cell, ...] | None = None
    most: int | None = None
    none: str = ""

    def __post_init__(self) -> None:
        for row in (*self.rows, *([] if self.total is None else [self.total])):
            if len(row) != len(self.columns):
                raise ValueError(f"a row of {self.key!r} has a cell for each column")


@dataclass(frozen=True, slots=True, kw_only=True)
class Explained:
    """A figure with what it was made from.

    Parameters
    ----------
    key : str
        Its name in JSON.
    figure : Figure
    depth : int
        Levels of parts; at least 0. [-]
    """

    key: str
    figure: Figure
    depth: int


Section = Facts | Table | Explained


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """What a verb found.

    Parameters
    ----------
    title : str
        Printed first; "" where nothing is.
    sections : tuple of Section
        In order of reading.
    rooms : tuple of str or None
        Whose findings belong to it (their codes, or the first part of them); empty: all; None:
        only those that hold up the job.
    """

    title: str
    sections: tuple[Section, ...]
    rooms: tuple[str, ...] | None = ()
