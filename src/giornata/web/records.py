"""Records of the pages: what a page says, the same for its template and for JSON."""

from __future__ import annotations

from dataclasses import dataclass, field, fields, is_dataclass
from typing import Any

__all__ = [
    "Box", "Cell", "Choice", "Column", "Explanation", "FindingEntry", "FindingGroup", "Grid",
    "JobPage", "Part", "Row", "TitleBlock", "record_form", "said",
]  # fmt: skip

Box = tuple[float, float, float, float]  # chainage, level, chainage, level [m]


def said(text: str, **more: Any) -> Any:
    """A field of a record, with a word on what it is."""
    return field(metadata={"help": text}, **more)


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One entry of a table."""

    text: str = said("Printed in the reader's units; the unit is here or in the column's head.")
    figure: str = said("Dotted name of the figure, where it explains itself.", default="")
    basis: str = said("measured, given, assumed or derived.", default="")
    mark: str = said("Sign of the basis, beside its word.", default="")


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a table."""

    head: str = said("Printed over the column.")
    unit: str = said("Unit of its numbers, under the head; empty for text.", default="")
    number: bool = said("Whether it holds numbers, set flush right.", default=True)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of a table."""

    cells: tuple[Cell, ...] = said("As many as there are columns.")
    colour: str = said("Colour of the paint, #rrggbb; empty where none is meant.", default="")
    href: str = said("Where the row's name leads; empty for nowhere.", default="")
    current: bool = said("Whether it is the one that is shown.", default=False)
    boxes: tuple[Box, ...] = said("Where on the wall it lies. [m]", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A table under a heading."""

    key: str = said("Its name in JSON and on the page.")
    title: str = said("Its heading.")
    note: str = said("One line on how to read it.", default="")
    columns: tuple[Column, ...] = said("Heads, in order.")
    rows: tuple[Row, ...] = said("In order of reading.")
    listed: bool = said("Whether it merely lists names and values.", default=False)
    none: str = said("Said instead of a table without rows.", default="Nothing.")


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingEntry:
    """One finding."""

    severity: str = said("stop, warn or note.")
    word: str = said("The severity in print.")
    code: str = said("Dotted name, explained in docs/findings.")
    subject: str = said("What it speaks of.")
    message: str = said("What is so, how much against which limit.")
    remedy: str = said("What to do.")
    source: str = said("File and line, where it comes from a file.", default="")
    boxes: tuple[Box, ...] = said("Where on the wall; empty for nowhere in particular.", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingGroup:
    """Findings of one severity."""

    severity: str = said("stop, warn or note.")
    title: str = said("How many of what.")
    entries: tuple[FindingEntry, ...] = said("In the order of the job.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One of several that can be shown."""

    key: str = said("As the job file has it.")
    name: str = said("In print.")
    href: str = said("Address of the page that shows it.")
    current: bool = said("Whether it is shown now.")
    colours: tuple[str, ...] = said("Of a colourway, in order of painting.", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """What stands at the head of every page, as on a drawing."""

    name: str = said("The job.")
    place: str = said("Where the wall stands.")
    client: str = said("Whom it is for.")
    date: str = said("Of the job.")
    version: str = said("Digest of everything the figures follow from.")


@dataclass(frozen=True, slots=True, kw_only=True)
class JobPage:
    """The page of a job."""

    title: TitleBlock = said("The title block.")
    units: tuple[Choice, ...] = said("Metric or US.")
    options: tuple[Choice, ...] = said("Designs of the job.")
    colourways: tuple[Choice, ...] = said("Colour sets of the design.")
    summary: tuple[tuple[str, Cell], ...] = said("What is asked for first, with its name.")
    schemes: Grid = said("Options and colourways side by side.")
    grids: tuple[Grid, ...] = said("Figures beside the wall.")
    findings: tuple[FindingGroup, ...] = said("Gravest first.")
    left_out: str = said("What of the findings belongs to other options or colourways.")
    places: tuple[Box, ...] = said("First place of each warning that lies on the wall. [m]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One part of an explanation."""

    name: str = said("In the trade's words.")
    value: str = said("With its unit.")
    basis: str = said("measured, given, assumed or derived.")
    mark: str = said("Sign of the basis.")
    reason: str = said("Formula in words, or the source.")
    path: str = said("Steps from the figure down to this part, with points between.")
    opens: bool = said("Whether it was made from parts itself.")
    doubts: tuple[str, ...] = said("Findings about it.", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Explanation:
    """How a figure came about."""

    figure: str = said("Dotted name of the figure it starts from.")
    whole: Part = said("The figure, or the part of it, that is explained.")
    method: str = said("Function and version that derived it.")
    parts: tuple[Part, ...] = said("What it was made from.")


def record_form(record: Any) -> Any:
    """A record as JSON holds it; what is no record, list or mapping stays as it is."""
    if is_dataclass(record):
        return {one.name: record_form(getattr(record, one.name)) for one in fields(record)}
    if isinstance(record, dict):
        return {key: record_form(value) for key, value in record.items()}
    if isinstance(record, tuple | list):
        return [record_form(one) for one in record]
    return record
