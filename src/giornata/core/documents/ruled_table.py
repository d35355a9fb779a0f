"""A ruled table for paper: heads, rows of large figures, and boxes to tick or write in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from giornata.core.documents.drawing import DARK, FAINT, FINE, MEDIUM, Item, Label, box, segment
from giornata.core.documents.letters import cap_height, lines_of, shortened, text_width

__all__ = ["BOX", "FIGURES", "Column", "head_height", "ruled_table", "tick_box", "widths_of"]

FIGURES = 14.0
"""Type size of what is read at arm's length. [pt]"""
HEAD = 9.0
BOX = "☐"
"""Stands for a box to tick; drawn, never printed as a letter."""
_LINE = 4.0
_UNDER = 3.4  # mm from a figure's foot to that of the smaller line under it
_DEPTH = 0.6  # mm that a bracket of that line reaches below it


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of a ruled table.

    Parameters
    ----------
    head : str
        Broken into lines as its width asks.
    align : str
        "start", "middle" or "end".
    width : float or None
        None where its texts decide. [mm]
    bold : bool
        Of its figures.
    """

    head: str
    align: str = "end"
    width: float | None = None
    bold: bool = False


def widths_of(
    columns: Sequence[Column], rows: Sequence[Sequence[str]], width: float, size: float
) -> tuple[float, ...]:
    """Widths of the columns: what their texts take, the rest shared by those left open. [mm]

    Parameters
    ----------
    width : float
        Of the table. [mm]
    size : float
        Type size of the rows. [pt]
    """
    needed = []
    for k, column in enumerate(columns):
        longest_word = max((text_width(w, HEAD) for w in column.head.split()), default=0.0)
        cells = [text_width(row[k], size, bold=column.bold) for row in rows if row[k] != BOX]
        needed.append(max([longest_word, *cells]) + 3.6)
    fixed = [column.width or need for column, need in zip(columns, needed, strict=True)]
    spare = width - sum(fixed)
    share = spare / len(columns)
    return tuple(one + share for one in fixed)


def head_height(columns: Sequence[Column], widths: Sequence[float]) -> float:
    """Height of the heads. [mm]

    Parameters
    ----------
    widths : sequence of float
        Of the columns. [mm]
    """
    lines = [
        len(lines_of(column.head, width - 2.0, HEAD))
        for column, width in zip(columns, widths, strict=True)
    ]
    return max(lines) * _LINE + 2.0


def ruled_table(
    columns: Sequence[Column],
    rows: Sequence[Sequence[str]],
    widths: Sequence[float],
    *,
    left: float,
    upper: float,
    row: float,
    size: float = FIGURES,
    below: Sequence[Sequence[str]] | None = None,
) -> tuple[Item, ...]:
    """The table.

    Parameters
    ----------
    rows : sequence of sequence of str
        Texts of the cells; "" for one to write in, ``BOX`` for one to tick.
    widths : sequence of float
        Of the columns. [mm]
    left, upper : float
        Its upper left corner. [mm]
    row : float
        Height of a row. [mm]
    size : float
        Type size of the rows. [pt]
    below : sequence of sequence of str, optional
        A second, smaller line in cells, "" for none.
    """
    height = head_height(columns, widths)
    sides = [left]
    for width in widths:
        sides.append(sides[-1] + width)
    lower = upper + height + row * len(rows)
    items: list[Item] = [box(left, upper, sides[-1], lower, pen=MEDIUM)]
    items += [segment((x, upper), (x, lower), FINE) for x in sides[1:-1]]
    for k, column in enumerate(columns):
        lines = lines_of(column.head, widths[k] - 2.0, HEAD)
        x, anchor = _place(column.align, sides[k], sides[k + 1])
        items += [
            Label(x=x, y=upper + 3.6 + _LINE * n, text=line, size=HEAD, colour=DARK,
                  anchor=anchor)  # type: ignore[arg-type]
            for n, line in enumerate(lines)
        ]  # fmt: skip
    for r, texts in enumerate(rows):
        y = upper + height + r * row
        items.append(segment((left, y), (sides[-1], y), MEDIUM if r == 0 else FAINT))
        for k, text in enumerate(texts):
            second = below[r][k] if below else ""
            items += _cell(columns[k], text, second, sides[k], sides[k + 1], y, row, size)
    return tuple(items)


def tick_box(x: float, y: float, side: float = 4.0) -> Item:
    """A box to tick.

    Parameters
    ----------
    x, y : float
        Its lower left corner. [mm]
    side : float
        [mm]
    """
    return box(x, y - side, x + side, y, pen=MEDIUM)


def _cell(
    column: Column, text: str, second: str, left: float, right: float, y: float, row: float,
    size: float,
) -> list[Item]:  # fmt: skip
    if text == BOX:
        side = min(5.0, row - 2.0)
        return [tick_box((left + right - side) / 2, y + (row + side) / 2, side)]
    if not text:
        return []
    x, anchor = _place(column.align, left, right)
    base = y + (row + cap_height(size) - (_UNDER + _DEPTH if second else 0.0)) / 2
    fitted = shortened(text, right - left - 2.0, size, bold=column.bold)
    items: list[Item] = [
        Label(x=x, y=base, text=fitted, size=size, bold=column.bold,
              anchor=anchor)  # type: ignore[arg-type]
    ]  # fmt: skip
    if second:
        items.append(
            Label(x=x, y=base + _UNDER, text=second, size=HEAD,
                  anchor=anchor)  # type: ignore[arg-type]
        )  # fmt: skip
    return items


def _place(align: str, left: float, right: float) -> tuple[float, str]:
    places = {"start": left + 1.5, "middle": (left + right) / 2, "end": right - 1.5}
    return places[align], align
