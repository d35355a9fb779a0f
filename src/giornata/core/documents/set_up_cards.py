"""Set-up cards: the list of the nights, the marks to set by day, and one card for each set-up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from giornata.core.documents.card_facts import bay_words, facts, light_words
from giornata.core.documents.card_picture import picture_items, picture_view
from giornata.core.documents.card_tables import PAIRS, residual_height, residual_table
from giornata.core.documents.card_words import CAUTIONS, what_to_type, when_it_misses
from giornata.core.documents.drawing import DARK, FAINT, DrawnPaper, Item, Label, Sheet, segment
from giornata.core.documents.letters import lines_of, shortened, text_width
from giornata.core.documents.moved_design import moved_words
from giornata.core.documents.night_list import list_sheets, night_of
from giornata.core.documents.not_projected import leave_out_facts
from giornata.core.documents.regions_on_paper import PaperRegions, colour_table, paper_regions
from giornata.core.documents.ruled_table import FIGURES, tick_box
from giornata.core.documents.scales import MARGIN, PaperSize, card_paper
from giornata.core.documents.title_block import (
    TITLE_HEIGHT,
    Heading,
    heading,
    title_block,
    title_findings,
)
from giornata.core.documents.wall_strip import STRIP_HEIGHT, Stretch, wall_strip
from giornata.core.foundation import System, shown
from giornata.core.job import JobResults
from giornata.core.projection import SECTION_LIMIT, SetUp, cells

__all__ = ["set_up_cards"]

_PALE = 0.22
_SIZE = 9.0
_LINE = 4.1
_PITCH = 5.4  # mm between facts, at least, where the table leaves it
_LEAST_PITCH = 4.4  # mm; below _PITCH the figures are set smaller
_BETWEEN = 10.0  # mm for two lines between facts and table
_PLACE_LINE = 4.4  # mm, each line more there
_GOOD_ROW = 10.5  # mm
_LEAST_ROW = 8.8  # mm; a figure and a line under it
_FINENESS = 30.0  # mm/m at which the motifs of the pictures are simplified
_HEAD = 11.0
_FACT_WIDTH = 74.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Deck:
    """What all cards share."""

    results: JobResults
    system: System
    size: PaperSize
    head: Heading
    regions: PaperRegions
    fills: Mapping[int, str]
    cells: tuple[Any, ...]
    pages: int
    first: int
    moved: Mapping[int, Sequence[tuple[float, float, float]]]


def set_up_cards(
    results: JobResults,
    system: System,
    *,
    paper: PaperSize | None = None,
    moved: Mapping[int, Sequence[tuple[float, float, float]]] | None = None,
) -> DrawnPaper:
    """Lists and cards of the chosen option.

    Parameters
    ----------
    paper : PaperSize, optional
        Upright; else A4, or Letter for US units.
    moved : mapping of int to sequence of (float, float, float), optional
        For set-ups whose pictures a closure moved: chainages, each with how far the design is
        moved there, to the right and up. [m]
    """
    size = paper or card_paper(system)
    head = heading(results)
    set_ups = results.set_ups.set_ups
    worked = results.projected
    lists = list_sheets(results, system, size, head, more=len(worked))
    deck = _Deck(
        results=results,
        system=system,
        size=size,
        head=head,
        regions=paper_regions(results.design.placed.coverage, _FINENESS),
        fills=colour_table(results.inputs.paints, results.scheme.colourway, _PALE),
        cells=cells(set_ups, results.design.seams),
        pages=len(lists) + len(worked),
        first=len(lists) + 1,
        moved=moved or {},
    )
    cards = tuple(_card(deck, one, page) for page, one in enumerate(worked, deck.first))
    return DrawnPaper(
        title=f"{head.job}: set-up cards",
        date=head.date,
        sheets=(*lists, *cards),
        findings=title_findings(head),
    )


def _card(deck: _Deck, one: SetUp, page: int) -> Sheet:
    results, system, size = deck.results, deck.system, deck.size
    margin = 1000 * MARGIN.value
    left, right, lower = margin, size.short - margin, size.long - margin
    items = _top(deck, one, left, right, margin)
    upper = margin + _HEAD + STRIP_HEIGHT + 2.0
    traced, time = _figures(results, one)
    start, _, end, _ = deck.cells[one.number - 1].bounds
    out = leave_out_facts(results, one, start, end, system)
    rows = facts(one, traced, time, system, out)
    gap = (right - left) / 2 + 3.0
    marks = [mark for mark in results.marks if one.number in mark.set_ups]
    missed = when_it_misses(panned=one.pan != 0)
    if marks:
        missed = (*missed, what_to_type(one.number, marks[0].name, system))
    columns = ((left, missed, "If it does not fit"), (left + gap, CAUTIONS, "Take care"))
    broken = [_bulleted(words, gap - 6.0) for _, words, _ in columns]
    words_upper = lower - TITLE_HEIGHT - 2.5 - max(map(len, broken)) * _LINE - 5.0
    closure = _moved(deck, one, right - left)
    between = _BETWEEN + _PLACE_LINE * len(closure)
    pitch, row = _shared_out(words_upper - 19.0 - upper - between, len(rows), size)
    bottom = upper + len(rows) * pitch
    table = bottom + between
    items += _facts(rows, right - _FACT_WIDTH, right, upper, pitch)
    view = picture_view(results.wall, one, left, right - _FACT_WIDTH - 4.0, upper, bottom - 4.0)
    if len(results.set_ups.set_ups) > 1:
        items.append(
            Label(
                x=left,
                y=bottom - 0.5,
                size=_SIZE,
                text="Square it by its marks first. Trace between the dotted lines."
                if one.pan
                else "Trace between the dotted lines. Dashed: the neighbours' images.",
            )
        )
    items += picture_items(results.wall, one, results.set_ups.set_ups,
                           deck.cells[one.number - 1], marks, view, deck.regions, deck.fills,
                           system)  # fmt: skip
    items += [
        Label(x=left, y=bottom + 4.0, text=shortened(bay_words(results.wall, one.centre, system),
                                                     right - left, 10.0), size=10.0),
        Label(x=left, y=bottom + 8.4, text=f"Light {light_words(one, system)}.", size=10.0,
              bold=not one.light.passes),
        *(Label(x=left, y=bottom + 8.4 + _PLACE_LINE * k, text=text, size=10.0, bold=True)
          for k, text in enumerate(closure, start=1)),
    ]  # fmt: skip
    items += residual_table(marks, left, right, table, row, system)
    items += _verdict(left, right, table + residual_height(row) + 6.0, system)
    for (x, _, title), lines in zip(columns, broken, strict=True):
        items.append(Label(x=x, y=words_upper + 3.0, text=title, size=10.0, bold=True))
        items += [
            Label(x=x, y=words_upper + 3.0 + _LINE * (k + 1), text=line, size=_SIZE)
            for k, line in enumerate(lines)
        ]
    items += title_block(deck.head, f"Set-up {one.number}", _frames(one),
                         (page, deck.pages), left, right, lower)  # fmt: skip
    return Sheet(name=f"Set-up {one.number}", width=size.short, height=size.long,
                 items=tuple(items))  # fmt: skip


def _moved(deck: _Deck, one: SetUp, width: float) -> tuple[str, ...]:
    """That a closure moved the design in this picture, and how far; no line where it did not."""
    words = moved_words(deck.moved.get(one.number, ()), one, deck.system)
    if not words:
        return ()
    said = f"Design moved, so that both ends meet: {words}. Throw the pictures in frames-squared."
    return lines_of(said, width, 10.0, bold=True)


def _shared_out(room: float, facts_count: int, size: PaperSize) -> tuple[float, float]:
    """Distance of facts and height of the table's rows: what there is, within their limits. [mm]"""
    room -= residual_height(0.0)
    pitch = min(max((room - PAIRS * _GOOD_ROW) / facts_count, _PITCH), 6.6)
    if room - facts_count * pitch < PAIRS * _LEAST_ROW:
        pitch = max((room - PAIRS * _LEAST_ROW) / facts_count, _LEAST_PITCH)
    row = min((room - facts_count * pitch) / PAIRS, 12.0)
    if row < _LEAST_ROW - 1e-9:
        raise ValueError(f"{size.title} is too small for a card")
    return pitch, row


def _frames(one: SetUp) -> str:
    return f"Frames set-up-{one.number:02d}-…"


def _figures(results: JobResults, one: SetUp) -> tuple[Any, Any]:
    design = results.design
    k = one.number - 1
    traced = design.traced[k] if k < len(design.traced) else None
    nights = design.nights
    return traced, nights.set_ups[k] if nights and k < len(nights.set_ups) else None


def _top(deck: _Deck, one: SetUp, left: float, right: float, upper: float) -> list[Item]:
    """Number and night of the set-up, and the wall with its image marked."""
    items: list[Item] = [
        Label(x=left, y=upper + 7.6, text=f"Set-up {one.number}", size=26.0, bold=True),
        Label(x=right, y=upper + 7.6, text=night_of(deck.results, one.number), size=FIGURES,
              anchor="end", bold=True),
    ]  # fmt: skip
    length = deck.results.wall.length
    stretches = [
        Stretch(start=max(other.start, 0.0), end=min(other.end, length), name=str(other.number),
                here=other.number == one.number)
        for other in deck.results.set_ups.set_ups
        if other.number == one.number
        or (other.row == one.row and abs(other.column - one.column) % 2 == 0)
    ]  # fmt: skip
    items += wall_strip(deck.results.wall, stretches, left=left, right=right,
                        upper=upper + _HEAD, system=deck.system)  # fmt: skip
    return items


def _facts(
    rows: tuple[tuple[str, str], ...], left: float, right: float, upper: float, pitch: float
) -> list[Item]:
    items: list[Item] = []
    for k, (name, value) in enumerate(rows):
        y = upper + pitch * (k + 1) - 1.4
        room = right - left - text_width(name, 10.0) - 2.0
        size = FIGURES if pitch >= _PITCH else 12.0
        if text_width(value, size, bold=True) > room:
            size = 12.0
        items += [
            Label(x=left, y=y, text=name, size=10.0, colour=DARK),
            Label(x=right, y=y, text=shortened(value, room, size, bold=True), size=size,
                  bold=True, anchor="end"),
            segment((left, y + 1.4), (right, y + 1.4), FAINT),
        ]  # fmt: skip
    return items


def _bulleted(words: tuple[str, ...], width: float) -> tuple[str, ...]:
    lines: list[str] = []
    for word in words:
        first, *rest = lines_of(word, width - 4.0, _SIZE)
        lines += [f"– {first}", *(f"\u2007 {line}" for line in rest)]
    return tuple(lines)


def _verdict(left: float, right: float, y: float, system: System) -> list[Item]:
    """The rule for going on, and what to tick."""
    limit = shown(SECTION_LIMIT.value, "m", system)
    items: list[Item] = [
        Label(x=left, y=y, text=f"Every miss under {limit}: trace. Else aim again and measure "
              "again.", size=12.0, bold=True)
    ]  # fmt: skip
    x = left
    for text in ("aimed", "marks measured", "traced", "measured again at the end"):
        items += [tick_box(x, y + 8.6, 5.0), Label(x=x + 6.6, y=y + 7.6, text=text, size=11.0)]
        x += 6.6 + text_width(text, 11.0) + 7.0
    items.append(Label(x=x + 2.0, y=y + 7.6, text="at", size=11.0))
    items.append(segment((x + 7.5, y + 8.4), (right, y + 8.4), FAINT))
    return items
