"""Ruled tables one after another, on as many pages as they take."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from giornata.core.documents.drawing import FAINT, Item, Label, segment
from giornata.core.documents.letters import text_width
from giornata.core.documents.ruled_table import Column, head_height, ruled_table, widths_of

__all__ = ["Block", "flowed"]

_ROWS = (7.2, 7.0, 6.8, 6.6)  # mm: lower ones where that saves a page
_NAME = 16.0
_SIZES = (14.0, 13.0, 12.0, 11.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A table with its name.

    Parameters
    ----------
    name, aside : str
        Over the table, large and small; without a name neither is printed.
    columns : tuple of Column
    rows : tuple of tuple of str
    written_in : tuple of (str, float)
        Behind the name: what is to be written in, and the length of its line. [mm]
    """

    name: str
    aside: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]
    written_in: tuple[tuple[str, float], ...] = ()


_HEADED = 20.0  # mm of a page that its heading takes


def flowed(
    blocks: Sequence[Block],
    name: str,
    left: float,
    right: float,
    margin: float,
    floor: float,
    y: float,
    first: Sequence[Item],
) -> list[tuple[str, list[Item]]]:
    """Tables over pages; a long one goes on, with its heads, on the next page.

    Tables of the same columns have them at the same places. Rows are a little lower where that
    saves a page.

    Parameters
    ----------
    name : str
        Of the pages.
    left, right : float
        Sides of the tables. [mm]
    margin : float
        Of the paper, above. [mm]
    floor : float
        Where a page ends. [mm]
    y : float
        Where the first table begins, on the first page. [mm]
    first : sequence of Item
        What else stands on the first page.
    """
    fitted = {
        columns: _fitted([one for one in blocks if one.columns == columns], right - left)
        for columns in {block.columns for block in blocks}
    }
    every = [
        _paged(blocks, fitted, name, left, right, margin, floor, y, first, row) for row in _ROWS
    ]
    return min(every, key=len)


def _paged(
    blocks: Sequence[Block],
    fitted: Mapping[tuple[Column, ...], tuple[float, tuple[float, ...]]],
    name: str,
    left: float,
    right: float,
    margin: float,
    floor: float,
    y: float,
    first: Sequence[Item],
    row: float,
) -> list[tuple[str, list[Item]]]:
    """The pages with rows of one height. [mm]"""
    pages: list[tuple[str, list[Item]]] = [(name, list(first))]
    for block in blocks:
        size, widths = fitted[block.columns]
        head = head_height(block.columns, widths)
        title = 9.5 if block.name else 0.0
        rows = block.rows
        while rows:
            room = int((floor - y - title - head) / row)
            page = int((floor - margin - _HEADED - title - head) / row)
            kept = rows is block.rows and len(rows) <= page / 3  # a short table is not torn apart
            if room < (len(rows) if kept else min(len(rows), 2)):
                pages.append((name, []))
                y = margin + _HEADED
                continue
            part, rows = rows[:room], rows[room:]
            items = pages[-1][1]
            if block.name:
                items += _title(block, left, right, y + 6.6)
            items += ruled_table(block.columns, part, widths, left=left, upper=y + title,
                                 row=row, size=size)  # fmt: skip
            y += title + head + row * len(part) + 3.5
    return pages


def _fitted(blocks: Sequence[Block], width: float) -> tuple[float, tuple[float, ...]]:
    """The largest type at which the widest rows fit, and the widths of the columns."""
    columns = blocks[0].columns
    rows = [row for block in blocks for row in block.rows]
    for size in _SIZES:
        widths = widths_of(columns, rows, width, size)
        needed = [
            max((text_width(row[k], size, bold=column.bold) for row in rows), default=0.0) + 2.0
            for k, column in enumerate(columns)
        ]
        if all(have >= need for have, need in zip(widths, needed, strict=True)):
            return size, widths
    return size, widths


def _title(block: Block, left: float, right: float, y: float) -> list[Item]:
    wide = text_width(block.name, _NAME, bold=True)
    items: list[Item] = [Label(x=left, y=y, text=block.name, size=_NAME, bold=True)]
    x = left + wide + 4.0
    if block.aside:
        items.append(Label(x=x, y=y, text=block.aside, size=12.0))
        x += text_width(block.aside, 12.0) + 8.0
    for text, length in block.written_in:
        items.append(Label(x=x, y=y, text=text, size=10.0))
        x += text_width(text, 10.0) + 1.5
        items.append(segment((x, y + 0.6), (min(x + length, right), y + 0.6), FAINT))
        x += length + 4.0
    return items
