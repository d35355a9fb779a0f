"""The list of the nights, and of the control marks to set by day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from giornata.core.documents.card_words import BEFORE_DARK
from giornata.core.documents.display import bare, edge_text, figure_text, headed
from giornata.core.documents.drawing import FAINT, Item, Label, Sheet, segment
from giornata.core.documents.letters import lines_of, text_width
from giornata.core.documents.ruled_table import (
    BOX,
    Column,
    head_height,
    ruled_table,
    tick_box,
    widths_of,
)
from giornata.core.documents.scales import MARGIN, PaperSize
from giornata.core.documents.title_block import TITLE_HEIGHT, Heading, title_block
from giornata.core.foundation import System, shown
from giornata.core.job import JobResults

__all__ = ["list_sheets", "night_of"]

_ROW = 7.2
_TITLE = 12.0
_SIZE = 14.0
_HEADS = {"Nights": "Nights", "Control marks": "Control marks, to be set by day"}
_SIZES = (14.0, 13.0, 12.0, 11.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Block:
    """A table with its name, and whether it may be cut over pages."""

    name: str
    aside: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[str, ...], ...]


def night_of(results: JobResults, number: int) -> str:
    """Which night a set-up falls in, and its place there.

    Parameters
    ----------
    number : int
        Of the set-up. [-]
    """
    nights = results.design.nights
    for night, group in enumerate(nights.nights if nights else (), start=1):
        if number in group:
            return f"Night {night}, {group.index(number) + 1} of {len(group)}"
    return f"{number} of {len(results.set_ups.set_ups)}"


def list_sheets(
    results: JobResults, system: System, size: PaperSize, head: Heading, *, more: int
) -> tuple[Sheet, ...]:
    """The sheets of the lists.

    Parameters
    ----------
    more : int
        Sheets that follow in the same document. [-]
    """
    margin = 1000 * MARGIN.value
    left, right = margin, size.short - margin
    lower = size.long - margin
    floor = lower - TITLE_HEIGHT - 3.0
    first = _before_dark(left, right, margin + 22.0)
    pages: list[tuple[str, list[Item]]] = []
    if results.set_ups.set_ups:
        y = margin + 22.0 + _before_height(right - left)
        pages += _flowed(_nights(results, system), "Nights", left, right, margin, floor, y, first)
    else:
        pages.append(("Nights", [
            Label(x=left, y=margin + 24.0, text="No set-ups could be planned: see the findings.",
                  size=_SIZE)
        ]))  # fmt: skip
    if results.marks:
        pages += _flowed([_marks(results, system)], "Control marks", left, right,
                         margin, floor, margin + 22.0, ())  # fmt: skip
    count = len(pages) + more
    return tuple(
        Sheet(
            name=name,
            width=size.short,
            height=size.long,
            items=(
                Label(x=left, y=margin + 8.0, text=_HEADS[name], size=22.0, bold=True),
                Label(x=left, y=margin + 14.5, text=_under(name, results, system), size=10.0),
                *items,
                *title_block(head, name, _design(results), (page, count), left, right, lower),
            ),
        )
        for page, (name, items) in enumerate(pages, start=1)
    )


def _under(name: str, results: JobResults, system: System) -> str:
    if name != "Nights":
        return (
            "Each measured from the datum, never from the mark before it. "
            f"Datum: {results.wall.datum}."
        )
    nights = results.design.nights
    what = f"{_design(results)}; {len(results.set_ups.set_ups)} set-ups"
    if nights is None:
        return f"{what}."
    return (
        f"{what} in {len(nights.nights)} nights, {figure_text(nights.duration, system)} by the "
        "clock without breaks."
    )


def _design(results: JobResults) -> str:
    return f"{results.design.option.name}, {results.scheme.colourway.name}"


def _nights(results: JobResults, system: System) -> list[_Block]:
    design = results.design
    columns = (
        Column(head="Set-up", align="middle", bold=True),
        Column(head=headed("Lens at", system), bold=True),
        Column(head=headed("Lens to wall", system)),
        Column(head=headed("Lens above ground", system)),
        Column(head="Light : ambient"),
        Column(head="Edge to trace"),
        Column(head="Takes, h"),
        Column(head="From, h"),
        Column(head="Aimed", align="middle"),
        Column(head="Traced", align="middle"),
    )
    plan = design.nights
    groups = plan.nights if plan else (tuple(s.number for s in results.set_ups.set_ups),)
    blocks = []
    for night, group in enumerate(groups, start=1):
        rows, since = [], 0.0
        for number in group:
            one = results.set_ups.set_ups[number - 1]
            time = float(plan.set_ups[number - 1]) if plan else 0.0
            traced = design.traced[number - 1] if number <= len(design.traced) else None
            ratio = "–" if one.light.ambient == 0 else f"{one.light.ratio:.1f}"
            rows.append(
                (
                    str(number),
                    bare(one.centre, system),
                    bare(one.distance, system),
                    bare(one.lens_height, system),
                    ratio if one.light.passes else f"{ratio} !",
                    edge_text(traced, system) if traced is not None else "–",
                    shown(time, "s", system).removesuffix(" h"),
                    shown(since, "s", system).removesuffix(" h"),
                    BOX,
                    BOX,
                )
            )
            since += time
        spent = shown(since, "s", system)
        blocks.append(
            _Block(name=f"Night {night}", aside=f"{len(group)} set-ups, {spent}", columns=columns,
                   rows=tuple(rows))
        )  # fmt: skip
    return blocks


def _marks(results: JobResults, system: System) -> _Block:
    columns = (
        Column(head="Mark", align="start", bold=True),
        Column(head=headed("Chainage", system), bold=True),
        Column(head=headed("Above ground", system), bold=True),
        Column(head=headed("Level", system)),
        Column(head="For set-ups", align="middle"),
        Column(head="Set", align="middle"),
        Column(head="Checked", align="middle"),
    )
    rows = tuple(
        (
            mark.name,
            bare(mark.chainage, system, digits=3),
            bare(mark.above_ground, system, digits=3),
            bare(mark.level, system, digits=3),
            ", ".join(map(str, mark.set_ups)),
            BOX,
            BOX,
        )
        for mark in results.marks
    )
    return _Block(name="", aside="", columns=columns, rows=rows)


def _flowed(
    blocks: Sequence[_Block],
    name: str,
    left: float,
    right: float,
    margin: float,
    floor: float,
    y: float,
    first: Sequence[Item],
) -> list[tuple[str, list[Item]]]:
    """Tables on as many pages as they take; a night goes on, with its heads, on the next."""
    pages: list[tuple[str, list[Item]]] = [(name, list(first))]
    size, widths = _fitted(blocks, right - left)
    for block in blocks:
        head = head_height(block.columns, widths)
        title = 9.5 if block.name else 0.0
        rows = block.rows
        while rows:
            room = int((floor - y - title - head) / _ROW)
            if room < min(len(rows), 2):
                pages.append((name, []))
                y = margin + 20.0
                continue
            part, rows = rows[:room], rows[room:]
            items = pages[-1][1]
            if block.name:
                items += _night_title(block, left, right, y + 6.6)
            items += ruled_table(block.columns, part, widths, left=left, upper=y + title,
                                 row=_ROW, size=size)  # fmt: skip
            y += title + head + _ROW * len(part) + 3.5
    return pages


def _fitted(blocks: Sequence[_Block], width: float) -> tuple[float, tuple[float, ...]]:
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


def _night_title(block: _Block, left: float, right: float, y: float) -> list[Item]:
    wide = text_width(block.name, 16.0, bold=True)
    items: list[Item] = [
        Label(x=left, y=y, text=block.name, size=16.0, bold=True),
        Label(x=left + wide + 4.0, y=y, text=block.aside, size=12.0),
    ]
    x = left + wide + 4.0 + text_width(block.aside, 12.0) + 8.0
    for text, length in (("date", 34.0), ("begun at", 22.0)):
        items.append(Label(x=x, y=y, text=text, size=10.0))
        x += text_width(text, 10.0) + 1.5
        items.append(segment((x, y + 0.6), (min(x + length, right), y + 0.6), FAINT))
        x += length + 4.0
    return items


def _before_height(width: float) -> float:
    return 7.0 + 4.6 * sum(len(lines_of(text, width - 8.0, 10.0)) for text in BEFORE_DARK) + 3.0


def _before_dark(left: float, right: float, upper: float) -> tuple[Item, ...]:
    items: list[Item] = [Label(x=left, y=upper + 3.0, text="Before dark", size=12.0, bold=True)]
    y = upper + 8.6
    for text in BEFORE_DARK:
        items.append(tick_box(left, y + 0.4, 3.6))
        for line in lines_of(text, right - left - 8.0, 10.0):
            items.append(Label(x=left + 6.0, y=y, text=line, size=10.0))
            y += 4.6
    return tuple(items)
