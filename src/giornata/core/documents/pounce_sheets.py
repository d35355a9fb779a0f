"""Pounce patterns: the design full size in tiles that are joined by crosses, and their index."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

import shapely

from giornata.core.documents.dimensions import DIMENSION, plate
from giornata.core.documents.display import bare, size_text
from giornata.core.documents.drawing import (
    DARK,
    FINE,
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
from giornata.core.documents.letters import cap_height, shortened
from giornata.core.documents.pounce_index import pounce_index
from giornata.core.documents.pounce_tiling import (
    FOOT_HEIGHT,
    FULL,
    OVERLAP_LINE,
    POUNCE_OVERLAP,
    PounceTiling,
    pounce_tiling,
    tile_name,
)
from giornata.core.documents.regions_on_paper import PaperRegions, paper_regions
from giornata.core.documents.room import Room
from giornata.core.documents.scales import PaperSize, drawing_paper, printer_bar
from giornata.core.documents.title_block import (
    Heading,
    heading,
    title_findings,
)
from giornata.core.documents.transfer_window import transfer_window
from giornata.core.documents.wall_parts import wall_boundary
from giornata.core.documents.wall_view import WallView
from giornata.core.foundation import Finding, Severity, System, shown_day
from giornata.core.job import JobResults

__all__ = ["pounce_sheets"]

_MOST = 400  # tiles; beyond them larger paper or a shorter stretch is asked for
_EDGE = Pen(width=0.35)
_CROSS = Pen(width=0.25)
_WALL = Pen(width=0.25, dash=(8.0, 1.5, 1.0, 1.5), colour=DARK)
_LEAST_NUMBERED = 150.0  # mm²
_CAP = cap_height(DIMENSION)


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
    tiling = pounce_tiling(transfer_window(results.wall, start, end), size)
    regions = paper_regions(results.design.placed.coverage, FULL)
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
    index = pounce_index(results, tiling, drawn, head, system)
    tiles = [
        _tile(results, tiling, place, (number, len(drawn) + 1), regions, head, system)
        for number, place in enumerate(drawn, start=2)
    ]
    return DrawnPaper(
        title=f"{head.job}: pounce pattern", date=head.date, sheets=(index, *tiles),
        findings=findings,
    )  # fmt: skip


def _tile(
    results: JobResults,
    tiling: PounceTiling,
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
        name=f"Pounce tile {tile_name(place)}", width=tiling.size.long, height=tiling.size.short,
        items=tuple(items),
    )  # fmt: skip


def _overlap_lines(tiling: PounceTiling, place: tuple[int, int], view: WallView) -> Iterator[Item]:
    """Where the neighbours' drawings end, on the sides that have one."""
    column, row = place
    shared = POUNCE_OVERLAP.value * FULL
    for there, x in (
        (column > 0, view.left + shared),
        (column < tiling.columns - 1, view.right - shared),
    ):
        if there:
            yield segment((x, view.upper), (x, view.lower), OVERLAP_LINE)
    for there, y in (
        (row > 0, view.lower - shared),
        (row < tiling.rows - 1, view.upper + shared),
    ):
        if there:
            yield segment((view.left, y), (view.right, y), OVERLAP_LINE)


def _crosses(
    tiling: PounceTiling, place: tuple[int, int], view: WallView, room: Room, system: System
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
        if part.area * FULL**2 < _LEAST_NUMBERED:
            continue
        point = part.representative_point()
        label = room.place(
            [
                Label(x=view.x(point.x), y=view.y(point.y) + _CAP / 2, text=str(paint),
                      size=DIMENSION, anchor="middle", colour=DARK)
            ]
        )  # fmt: skip
        if label is not None:
            yield plate(label, margin=0.3)
            yield label


def _foot(
    results: JobResults,
    tiling: PounceTiling,
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
        f"{word} {tile_name(other)}"
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
        Label(x=view.left, y=y, text=f"Tile {tile_name(place)}", size=16.0, bold=True),
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
            text=shortened(
                f"{head.job}, {results.design.option.name}; page {page[0]} of {page[1]}; job "
                f"{head.digest}; {shown_day(head.date)}; {head.place}. Lay cross on cross; cut at "
                "a dashed line.",
                view.right - view.left - 32.0,
                DIMENSION,
            ),
        ),
    ]
    bar_y = view.lower + FOOT_HEIGHT - 1.0
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


def _too_many(tiling: PounceTiling, count: int, system: System) -> Finding:
    return Finding(
        code="documents.too_many_tiles",
        severity=Severity.WARN,
        subject="pounce pattern",
        message=f"The stretch takes {count} tiles of {size_text(tiling.wide, tiling.high, system)} "
        f"on {tiling.size.title}; at most {_MOST} are drawn.",
        remedy="Take larger paper (a plotter's A0), a shorter stretch, or a grid.",
    )
