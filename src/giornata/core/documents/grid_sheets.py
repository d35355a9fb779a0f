"""Grid sheets: the design squared up, its lines at chainages and levels, crossings measured."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import shapely

from giornata.core.documents.dimensions import DIMENSION, datum_mark, plate
from giornata.core.documents.display import bare, unit_note
from giornata.core.documents.drawing import (
    DARK,
    INK,
    MID,
    Disc,
    DrawnPaper,
    Item,
    Label,
    Pen,
    Sheet,
    segment,
)
from giornata.core.documents.letters import cap_height, text_width
from giornata.core.documents.regions_on_paper import (
    PaperRegions,
    colour_table,
    paper_regions,
    region_items,
)
from giornata.core.documents.room import Room
from giornata.core.documents.scales import (
    MARGIN,
    PaperSize,
    Scale,
    drawing_paper,
    grid_step,
    scales,
)
from giornata.core.documents.sheet_frame import mark_items
from giornata.core.documents.title_block import (
    BAR_HEIGHT,
    TITLE_HEIGHT,
    Heading,
    bars,
    heading,
    title_block,
    title_findings,
)
from giornata.core.documents.transfer_window import row_letters, transfer_window, whole
from giornata.core.documents.wall_parts import feature_items, outline_items
from giornata.core.documents.wall_strip import STRIP_HEIGHT, Stretch, wall_strip
from giornata.core.documents.wall_view import WallView
from giornata.core.foundation import System, number_of
from giornata.core.job import JobResults

__all__ = ["grid_sheets"]

_PALE = 0.25
_EDGE = Pen(width=0.35)
_GRID = Pen(width=0.18, colour=MID)
_LARGEST_SQUARE = 55.0  # mm
_GUTTER = 14.0  # mm left and right of the window, for levels
_HEADER = 8.5
_LINE = 6.0  # mm over and under the window, for chainages
_CAP = cap_height(DIMENSION)
_ON_LINE = 1e-3  # m; a crossing nearer to a corner of the grid than this is told by the corner


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plan:
    """Squares and their place on the sheets."""

    pitch: float
    scale: Scale
    size: PaperSize
    across: int
    up: int
    first: int
    last: int
    bottom: int
    top: int
    ground_row: int


def grid_sheets(
    results: JobResults,
    system: System,
    start: float,
    end: float,
    *,
    pitch: float | None = None,
    paper: PaperSize | None = None,
) -> DrawnPaper:
    """The design of a stretch in numbered squares of the wall, one sheet after the other.

    Parameters
    ----------
    start, end : float
        Chainages; cut to the wall. [m]
    pitch : float, optional
        Side of the squares on the wall; else half a metre, or a foot. [m]
    paper : PaperSize, optional
        Laid landscape; else A3, or 11 × 17 in for US units.

    Raises
    ------
    ValueError
        If nothing of the wall lies there, or no square fits on the paper.

    Notes
    -----
    Squares are counted from the datum: the number is the square's column, the letter its row from
    the lowest of the whole wall. Where an edge crosses a line, a dot and its distance from the
    corner left of it or below it are printed, so that it can be measured along the chalk line.
    A sheet on which no edge lies is left out.
    """
    plan = _planned(results, system, start, end, pitch or grid_step(system), paper)
    regions = paper_regions(results.design.placed.coverage, plan.scale.mm_per_metre)
    fills = colour_table(results.inputs.paints, results.scheme.colourway, _PALE)
    head = heading(results)
    every = [
        (column, row)
        for column in range(plan.first, plan.last, plan.across)
        for row in range(plan.bottom, plan.top, plan.up)
    ]
    corners = [one for one in every if regions.lines(_view(plan, *_spans(plan, one))).size] or every
    sheets = tuple(
        _sheet(results, plan, corner, (number, len(corners)), regions, fills, head, system)
        for number, corner in enumerate(corners, start=1)
    )
    return DrawnPaper(
        title=f"{head.job}: grid sheets", date=head.date, sheets=sheets,
        findings=title_findings(head),
    )  # fmt: skip


def _planned(
    results: JobResults,
    system: System,
    start: float,
    end: float,
    pitch: float,
    paper: PaperSize | None,
) -> _Plan:
    size = paper or drawing_paper(system)
    window = transfer_window(results.wall, start, end)
    margin = 1000 * MARGIN.value
    wide = size.long - 2 * margin - 2 * _GUTTER
    high = size.short - 2 * margin - STRIP_HEIGHT - _HEADER - 2 * _LINE
    high -= BAR_HEIGHT + TITLE_HEIGHT + 3.0
    scale = next(
        (s for s in scales(system) if pitch * s.mm_per_metre <= min(_LARGEST_SQUARE, wide, high)),
        None,
    )
    if not pitch > 0 or scale is None:
        raise ValueError(f"{size.title} takes no square of {pitch:g} m")
    square = pitch * scale.mm_per_metre
    ground = float(results.wall.ground[:, 1].min())
    return _Plan(
        pitch=pitch,
        scale=scale,
        size=size,
        across=int(wide / square + 1e-9),
        up=int(high / square + 1e-9),
        first=whole(window.start, pitch, up=False),
        last=whole(window.end, pitch, up=True),
        bottom=whole(window.base, pitch, up=False),
        top=whole(window.head, pitch, up=True),
        ground_row=whole(ground, pitch, up=False),
    )


def _spans(plan: _Plan, corner: tuple[int, int]) -> tuple[range, range]:
    """Lines of the grid on the sheet that begins at a corner: those across, those up."""
    column, row = corner
    columns = range(column, min(column + plan.across, plan.last) + 1)
    return columns, range(row, min(row + plan.up, plan.top) + 1)


def _view(plan: _Plan, columns: range, rows: range) -> WallView:
    margin = 1000 * MARGIN.value
    return WallView(
        start=columns[0] * plan.pitch,
        end=columns[-1] * plan.pitch,
        base=rows[0] * plan.pitch,
        head=rows[-1] * plan.pitch,
        left=margin + _GUTTER,
        lower=margin + STRIP_HEIGHT + _HEADER + _LINE
        + (len(rows) - 1) * plan.pitch * plan.scale.mm_per_metre,
        mm_per_metre=plan.scale.mm_per_metre,
    )  # fmt: skip


def _sheet(
    results: JobResults,
    plan: _Plan,
    corner: tuple[int, int],
    page: tuple[int, int],
    regions: PaperRegions,
    fills: Mapping[int, str],
    head: Heading,
    system: System,
) -> Sheet:
    margin = 1000 * MARGIN.value
    left, right = margin, plan.size.long - margin
    lower = plan.size.short - margin
    columns, rows = _spans(plan, corner)
    view = _view(plan, columns, rows)
    wall = results.wall
    here = Stretch(start=view.start, end=min(view.end, wall.length), name=str(page[0]), here=True)
    items: list[Item] = list(
        wall_strip(wall, [here], left=left, right=right, upper=margin, system=system)
    )
    items += _header(plan, columns, rows, page, left, margin + STRIP_HEIGHT + 6.0, system)
    items += region_items(regions, view, fills, _EDGE)
    items += feature_items(wall, view)
    items += outline_items(wall, view)
    room = Room((view.left, view.upper, view.right, view.lower), gap=0.3)
    marks = tuple(mark_items(results.marks, view, room))
    items += _grid(plan, view, columns, rows, room, system)
    measured, unnumbered = _crossings(regions, plan, view, columns, rows, room, system)
    items += measured
    items += marks
    if view.start == 0.0 and view.base <= 1e-9 <= view.head:
        items.append(datum_mark(view.left, view.y(0.0)))
    note = (
        f"Lines at chainage and level, {unit_note(system).lower()}, from the datum. At a dot: "
        f"{'inches' if system is System.US else 'mm'} right of or above the corner before it. "
        "Squares without an edge may have no sheet."
    )
    if unnumbered:
        note += (
            " "
            + number_of(unnumbered, "dot had no room for its own", "dots had no room for theirs")
            + "."
        )
    items += bars(plan.scale, system, left, right, lower - TITLE_HEIGHT - 1.5, note)
    items += title_block(head, f"Grid sheet {page[0]}", plan.scale.name, page, left, right, lower)
    return Sheet(
        name=f"Grid sheet {page[0]}", width=plan.size.long, height=plan.size.short,
        items=tuple(items),
    )  # fmt: skip


def _header(
    plan: _Plan,
    columns: range,
    rows: range,
    page: tuple[int, int],
    left: float,
    y: float,
    system: System,
) -> list[Item]:
    first = f"{row_letters(rows[0] - plan.ground_row)}{columns[0] + 1}"
    last = f"{row_letters(rows[-1] - 1 - plan.ground_row)}{columns[-1]}"
    title = f"Grid sheet {page[0]}"
    side = bare(plan.pitch, system, digits=3) + ("" if system is System.US else " m")
    rest = (
        f"of {page[1]}: squares {first} to {last}, each {side}; "
        "snap the lines from marks set from the datum, never square from square"
    )
    return [
        Label(x=left, y=y, text=title, size=14.0, bold=True),
        Label(x=left + text_width(title, 14.0, bold=True) + 3.0, y=y, text=rest, size=DIMENSION),
    ]


def _grid(
    plan: _Plan, view: WallView, columns: range, rows: range, room: Room, system: System
) -> list[Item]:
    """Lines of the grid, named at both ends, and the names of the squares."""
    items: list[Item] = []
    for column in columns:
        x, text = view.x(column * plan.pitch), bare(column * plan.pitch, system)
        items.append(segment((x, view.upper - 1.5), (x, view.lower + 1.5), _GRID))
        for y in (view.upper - 2.2, view.lower + 2.2 + _CAP):
            items.append(Label(x=x, y=y, text=text, size=DIMENSION, anchor="middle"))
    for row in rows:
        y, text = view.y(row * plan.pitch), bare(row * plan.pitch, system)
        items.append(segment((view.left - 1.5, y), (view.right + 1.5, y), _GRID))
        items += [
            Label(x=view.left - 2.2, y=y + _CAP / 2, text=text, size=DIMENSION, anchor="end"),
            Label(x=view.right + 2.2, y=y + _CAP / 2, text=text, size=DIMENSION),
        ]
    for column in columns[:-1]:
        for row in rows[:-1]:
            label = room.place(
                [
                    Label(
                        x=view.x(column * plan.pitch) + 1.0,
                        y=view.y((row + 1) * plan.pitch) + 1.0 + _CAP,
                        text=f"{row_letters(row - plan.ground_row)}{column + 1}",
                        size=DIMENSION,
                        colour=DARK,
                        bold=True,
                    )
                ]
            )
            if label is not None:
                items += [plate(label), label]
    return items


def _crossings(
    regions: PaperRegions,
    plan: _Plan,
    view: WallView,
    columns: range,
    rows: range,
    room: Room,
    system: System,
) -> tuple[list[Item], int]:
    """Dots where edges cross lines of the grid, with their distance from the corner before."""
    lines = regions.lines(view)
    found: list[tuple[float, float, float, bool]] = []
    for column in columns:
        at = column * plan.pitch
        cut = shapely.LineString([(at, view.base), (at, view.head)])
        found += [(at, level, level, True) for level in _met(lines, cut)[:, 1].tolist()]
    for row in rows:
        at = row * plan.pitch
        cut = shapely.LineString([(view.start, at), (view.end, at)])
        found += [(chainage, at, chainage, False) for chainage in _met(lines, cut)[:, 0].tolist()]
    items: list[Item] = []
    unnumbered = 0
    for chainage, level, along, upright in found:
        over = along - whole(along, plan.pitch, up=False) * plan.pitch
        x, y = view.x(chainage), view.y(level)
        items.append(Disc(x=x, y=y, radius=0.5, fill=INK))
        if min(over, plan.pitch - over) < _ON_LINE:
            continue
        text = _offset(over, system)
        near, up = 0.9, _CAP / 2
        places: tuple[tuple[float, float, bool], ...] = (
            ((near, up, False), (-near, up, True)) if upright
            else ((near, -0.7, False), (near, _CAP + 0.7, False), (-near, -0.7, True))
        )  # fmt: skip
        label = room.place(
            Label(x=x + dx, y=y + dy, text=text, size=DIMENSION, anchor="end" if ends else "start")
            for dx, dy, ends in places
        )
        if label is None:
            unnumbered += 1
        else:
            items += [plate(label, margin=0.2), label]
    return items, unnumbered


def _met(lines: np.ndarray, cut: shapely.LineString) -> np.ndarray:
    """Points at which edges cross a line of the grid, each place once; shape (n, 2). [m]"""
    points = shapely.get_coordinates(shapely.intersection(lines, cut))
    return np.unique(np.round(points, 4), axis=0)


def _offset(over: float, system: System) -> str:
    if system is System.US:
        return bare(over, system, digits=3).removesuffix(" in")
    return f"{1000 * over:.0f}"
