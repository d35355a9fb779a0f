"""Pounce patterns: the design full size in tiles that are joined by crosses, and their index."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import shapely

from giornata.core.documents.dimensions import DIMENSION, plate
from giornata.core.documents.display import bare, size_text
from giornata.core.documents.drawing import (
    DARK,
    FINE,
    INK,
    MID,
    Disc,
    DrawnPaper,
    Item,
    Label,
    Line,
    Pen,
    Sheet,
    box,
    segment,
)
from giornata.core.documents.letters import cap_height
from giornata.core.documents.regions_on_paper import PaperRegions, paper_regions
from giornata.core.documents.room import Room
from giornata.core.documents.scales import MARGIN, PaperSize, drawing_paper, printer_bar
from giornata.core.documents.title_block import (
    TITLE_HEIGHT,
    Heading,
    heading,
    title_block,
    title_findings,
)
from giornata.core.documents.transfer_window import TransferWindow, row_letters, transfer_window
from giornata.core.documents.wall_parts import feature_items, outline_items, wall_boundary
from giornata.core.documents.wall_strip import STRIP_HEIGHT, Stretch, wall_strip
from giornata.core.documents.wall_view import WallView
from giornata.core.foundation import Assumption, Finding, Severity, System
from giornata.core.job import JobResults

__all__ = ["POUNCE_OVERLAP", "pounce_sheets"]

POUNCE_OVERLAP = Assumption(
    name="overlap of neighbouring pounce tiles",
    value=0.020,
    unit="m",
    source="common practice, no source: room for a cross and for tape",
    usual=(0.01, 0.04),
)
_MOST = 400  # tiles; beyond them larger paper or a shorter stretch is asked for
_FULL = 1000.0  # mm of paper to a metre of wall
_FOOT = 14.0  # mm under the drawing for name and bars
_EDGE = Pen(width=0.35)
_CROSS = Pen(width=0.25)
_OVERLAP = Pen(width=0.18, dash=(4.0, 2.0), colour=MID)
_WALL = Pen(width=0.25, dash=(8.0, 1.5, 1.0, 1.5), colour=DARK)
_TILE = Pen(width=0.25, colour=DARK)
_LEAST_NUMBERED = 150.0  # mm²
_CAP = cap_height(DIMENSION)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tiling:
    """How a stretch is cut into tiles.

    Parameters
    ----------
    window : TransferWindow
    size : PaperSize
    wide, high : float
        Of the drawing on a tile. [m]
    across, up : float
        From one tile to the next. [m]
    columns, rows : int
        [-]
    """

    window: TransferWindow
    size: PaperSize
    wide: float
    high: float
    across: float
    up: float
    columns: int
    rows: int

    def view(self, column: int, row: int) -> WallView:
        """The window of a tile, full size."""
        margin = 1000 * MARGIN.value
        start = self.window.start + column * self.across
        base = self.window.base + row * self.up
        return WallView(
            start=start, end=start + self.wide, base=base, head=base + self.high, left=margin,
            lower=margin + self.high * _FULL, mm_per_metre=_FULL,
        )  # fmt: skip


def pounce_sheets(
    results: JobResults,
    system: System,
    start: float,
    end: float,
    *,
    paper: PaperSize | None = None,
) -> DrawnPaper:
    """The design of a stretch full size, on tiles, after a sheet that shows where each belongs.

    Parameters
    ----------
    start, end : float
        Chainages; cut to the wall. [m]
    paper : PaperSize, optional
        Laid landscape; else A3, or 11 × 17 in for US units.

    Raises
    ------
    ValueError
        If nothing of the wall lies there.

    Notes
    -----
    Neighbours share a strip of `POUNCE_OVERLAP`. The crosses in its middle lie at the same places
    of the wall on all tiles that meet there: cross on cross, and the pattern is joined. Tiles
    without an edge are not printed. More than 400 tiles are refused with a finding.
    """
    size = paper or drawing_paper(system)
    tiling = _tiling(transfer_window(results.wall, start, end), size)
    regions = paper_regions(results.design.placed.coverage, _FULL)
    head = heading(results)
    drawn = [
        (column, row)
        for row in range(tiling.rows)
        for column in range(tiling.columns)
        if len(regions.lines(tiling.view(column, row)))
    ]
    findings = title_findings(head)
    if len(drawn) > _MOST:
        findings = (*findings, _too_many(tiling, len(drawn), system))
        drawn = []
    index = _index(results, tiling, drawn, head, system)
    tiles = [
        _tile(results, tiling, place, (number, len(drawn) + 1), regions, head, system)
        for number, place in enumerate(drawn, start=2)
    ]
    return DrawnPaper(
        title=f"{head.job}: pounce pattern", date=head.date, sheets=(index, *tiles),
        findings=findings,
    )  # fmt: skip


def _tiling(window: TransferWindow, size: PaperSize) -> _Tiling:
    margin = 1000 * MARGIN.value
    wide = (size.long - 2 * margin) / _FULL
    high = (size.short - 2 * margin - _FOOT) / _FULL
    across, up = wide - POUNCE_OVERLAP.value, high - POUNCE_OVERLAP.value
    columns = _count(window.end - window.start, wide, across)
    rows = _count(window.head - window.base, high, up)
    return _Tiling(
        window=window, size=size, wide=wide, high=high, across=across, up=up, columns=columns,
        rows=rows,
    )  # fmt: skip


def _count(length: float, first: float, step: float) -> int:
    """Tiles that cover a length: the first whole, each after it a step further."""
    count = 1
    while first + (count - 1) * step < length - 1e-6:
        count += 1
    return count


def _name(place: tuple[int, int]) -> str:
    column, row = place
    return f"{row_letters(row)}{column + 1}"


def _tile(
    results: JobResults,
    tiling: _Tiling,
    place: tuple[int, int],
    page: tuple[int, int],
    regions: PaperRegions,
    head: Heading,
    system: System,
) -> Sheet:
    view = tiling.view(*place)
    room = Room((view.left, view.upper, view.right, view.lower), gap=0.6)
    items: list[Item] = [box(view.left, view.upper, view.right, view.lower, pen=FINE)]
    items += _overlap_lines(tiling, place, view)
    items += wall_boundary(results.wall.outline, view, _WALL)
    items += [
        Line(points=view.on_sheet(shapely.get_coordinates(line)), pen=_EDGE)
        for line in regions.lines(view).tolist()
    ]
    items += _crosses(tiling, place, view, room, system)
    items += _numbers(regions, view, room)
    items += _foot(results, tiling, place, page, view, head, system)
    return Sheet(
        name=f"Pounce tile {_name(place)}", width=tiling.size.long, height=tiling.size.short,
        items=tuple(items),
    )  # fmt: skip


def _overlap_lines(tiling: _Tiling, place: tuple[int, int], view: WallView) -> Iterator[Item]:
    """Where the neighbours' drawings end, on the sides that have one."""
    column, row = place
    shared = POUNCE_OVERLAP.value * _FULL
    for there, x in (
        (column > 0, view.left + shared),
        (column < tiling.columns - 1, view.right - shared),
    ):
        if there:
            yield segment((x, view.upper), (x, view.lower), _OVERLAP)
    for there, y in (
        (row > 0, view.lower - shared),
        (row < tiling.rows - 1, view.upper + shared),
    ):
        if there:
            yield segment((view.left, y), (view.right, y), _OVERLAP)


def _crosses(
    tiling: _Tiling, place: tuple[int, int], view: WallView, room: Room, system: System
) -> Iterator[Item]:
    """A cross in each corner, at a place that its neighbours have as well."""
    column, row = place
    half = POUNCE_OVERLAP.value / 2
    beside: tuple[tuple[float, float, Literal["start", "end"]], ...] = (
        (7.5, _CAP / 2, "start"),
        (-7.5, _CAP / 2, "end"),
    )
    for k in (column, column + 1):
        for m in (row, row + 1):
            at = tiling.window.start + k * tiling.across + half
            level = tiling.window.base + m * tiling.up + half
            x, y = view.x(at), view.y(level)
            yield segment((x - 6.0, y), (x + 6.0, y), _CROSS)
            yield segment((x, y - 6.0), (x, y + 6.0), _CROSS)
            yield Disc(x=x, y=y, radius=2.5, pen=_CROSS)
            room.take((x - 6.0, y - 6.0, x + 6.0, y + 6.0))
            text = f"{bare(at, system, digits=3)}; {bare(level, system, digits=3)}"
            label = room.place(
                Label(x=x + dx, y=y + dy, text=text, size=DIMENSION, anchor=anchor)
                for dx, dy, anchor in beside
            )
            if label is not None:
                yield plate(label)
                yield label


def _numbers(regions: PaperRegions, view: WallView, room: Room) -> Iterator[Item]:
    """The number of each region's paint, where it has room."""
    parts, paints = regions.parts(view)
    for part, paint in zip(parts.tolist(), paints.tolist(), strict=True):
        if part.area * _FULL**2 < _LEAST_NUMBERED:
            continue
        point = part.representative_point()
        label = room.place(
            [
                Label(x=view.x(point.x), y=view.y(point.y) + _CAP / 2, text=str(paint),
                      size=DIMENSION, anchor="middle", colour=DARK)
            ]
        )  # fmt: skip
        if label is not None:
            yield label


def _foot(
    results: JobResults,
    tiling: _Tiling,
    place: tuple[int, int],
    page: tuple[int, int],
    view: WallView,
    head: Heading,
    system: System,
) -> list[Item]:
    """Name of the tile, its neighbours, its place on the wall, and two bars across one another."""
    column, row = place
    y = view.lower + 6.0
    neighbours = [
        f"{word} {_name(other)}"
        for word, other in (
            ("left", (column - 1, row)),
            ("right", (column + 1, row)),
            ("below", (column, row - 1)),
            ("above", (column, row + 1)),
        )
        if 0 <= other[0] < tiling.columns and 0 <= other[1] < tiling.rows
    ]
    beside = f" Beside it: {', '.join(neighbours)}." if neighbours else ""
    unit = "" if system is System.US else " m"
    length, name = printer_bar(system)
    items: list[Item] = [
        Label(x=view.left, y=y, text=f"Tile {_name(place)}", size=16.0, bold=True),
        Label(
            x=view.left + 32.0,
            y=y - 1.6,
            size=DIMENSION,
            text=f"From chainage {bare(view.start, system, digits=3)}, level "
            f"{bare(view.base, system, digits=3)}{unit}. Full size.{beside}",
        ),
        Label(
            x=view.left + 32.0,
            y=y + 2.6,
            size=DIMENSION,
            text=f"{head.job}, {results.design.option.name}; job {head.digest}; page {page[0]} "
            f"of {page[1]}. Lay cross on cross; cut at a dashed line.",
        ),
    ]
    bar_y = view.lower + _FOOT - 1.0
    items += _measuring_bar(view.right - length, bar_y, length, upright=False)
    items.append(
        Label(x=view.right - length - 2.0, y=bar_y, text=f"{name}: measure it", size=DIMENSION,
              anchor="end")
    )  # fmt: skip
    items += _measuring_bar(view.left - 3.0, (view.upper + view.lower + length) / 2, length,
                            upright=True)  # fmt: skip
    return items


def _measuring_bar(x: float, y: float, length: float, *, upright: bool) -> list[Item]:
    """A line of a known length with a tick at both ends, from a corner rightwards or upwards."""
    end = (x, y - length) if upright else (x + length, y)
    dx, dy = (1.5, 0.0) if upright else (0.0, 1.5)
    return [
        segment((x, y), end, _CROSS),
        *(segment((ax - dx, ay - dy), (ax + dx, ay + dy), _CROSS) for ax, ay in ((x, y), end)),
    ]


def _index(
    results: JobResults,
    tiling: _Tiling,
    drawn: list[tuple[int, int]],
    head: Heading,
    system: System,
) -> Sheet:
    """The stretch with its tiles and their names, not to scale."""
    size, margin = tiling.size, 1000 * MARGIN.value
    left, right, lower = margin, size.long - margin, size.short - margin
    upper = margin + STRIP_HEIGHT + 18.0
    floor = lower - TITLE_HEIGHT - 10.0
    end = tiling.window.start + (tiling.columns - 1) * tiling.across + tiling.wide
    top = tiling.window.base + (tiling.rows - 1) * tiling.up + tiling.high
    scale = min(
        (right - left) / (end - tiling.window.start), (floor - upper) / (top - tiling.window.base)
    )
    view = WallView(
        start=tiling.window.start, end=end, base=tiling.window.base, head=top, left=left,
        lower=upper + (top - tiling.window.base) * scale, mm_per_metre=scale,
    )  # fmt: skip
    wall = results.wall
    here = Stretch(start=tiling.window.start, end=min(end, wall.length), name="pounce", here=True)
    regions = paper_regions(results.design.placed.coverage, scale)
    items: list[Item] = list(
        wall_strip(wall, [here], left=left, right=right, upper=margin, system=system)
    )
    items.append(Label(x=left, y=upper - 9.0, text="Pounce pattern", size=18.0, bold=True))
    unit = "" if system is System.US else " m"
    items.append(
        Label(
            x=left,
            y=upper - 3.5,
            size=DIMENSION,
            text=f"{len(drawn)} tiles of {tiling.columns} × {tiling.rows}, each "
            f"{size_text(tiling.wide, tiling.high, system)}, on {size.title}; from chainage "
            f"{bare(tiling.window.start, system, digits=3)} to "
            f"{bare(tiling.window.end, system, digits=3)}{unit}. A tile without an edge is not "
            "printed.",
        )
    )
    items += [
        Line(points=view.on_sheet(shapely.get_coordinates(line)), pen=FINE)
        for line in regions.lines(view).tolist()
    ]
    items += feature_items(wall, view)
    items += outline_items(wall, view)
    type_size = min(16.0, max(9.0, tiling.across * scale * 0.8))
    for column in range(tiling.columns):
        for row in range(tiling.rows):
            tile = tiling.view(column, row)
            items.append(
                box(view.x(tile.start), view.y(tile.head), view.x(tile.end), view.y(tile.base),
                    pen=_TILE if (column, row) in drawn else _OVERLAP)
            )  # fmt: skip
            if (column, row) in drawn:
                label = Label(
                    x=view.x((tile.start + tile.end) / 2), y=view.y((tile.base + tile.head) / 2),
                    text=_name((column, row)), size=type_size, anchor="middle", bold=True,
                    colour=INK,
                )  # fmt: skip
                items += [plate(label), label]
    items.append(
        Label(x=left, y=floor + 6.0, size=DIMENSION,
              text="Print at 100 %, without fitting to the page; measure each tile's two bars. "
              "Hang the pattern to the marks: each cross has its chainage and level. Not in wind.")
    )  # fmt: skip
    items += title_block(head, "Index of the tiles", "Not to scale", (1, len(drawn) + 1), left,
                         right, lower)  # fmt: skip
    return Sheet(name="Pounce index", width=size.long, height=size.short, items=tuple(items))


def _too_many(tiling: _Tiling, count: int, system: System) -> Finding:
    return Finding(
        code="documents.too_many_tiles",
        severity=Severity.WARN,
        subject="pounce pattern",
        message=f"The stretch takes {count} tiles of {size_text(tiling.wide, tiling.high, system)} "
        f"on {tiling.size.title}; at most {_MOST} are drawn.",
        remedy="Take larger paper (a plotter's A0), a shorter stretch, or a grid.",
    )
