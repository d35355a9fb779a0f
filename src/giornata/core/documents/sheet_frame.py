"""What frames the wall on a reference sheet: neighbours, grid, ruler, overlaps, control marks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from giornata.core.documents.dimensions import DIMENSION, datum_mark, plate
from giornata.core.documents.display import bare
from giornata.core.documents.drawing import (
    DARK,
    FINE,
    MID,
    PAPER,
    Disc,
    Item,
    Label,
    Pen,
    segment,
)
from giornata.core.documents.letters import cap_height, text_width
from giornata.core.documents.room import Room
from giornata.core.documents.scales import grid_step
from giornata.core.documents.sheet_plan import SheetWindow
from giornata.core.documents.wall_view import WallView
from giornata.core.foundation import System, shown_place
from giornata.core.setting_out import ControlMark
from giornata.core.survey import DevelopedWall

__all__ = [
    "HEADER_HEIGHT", "RULER_HEIGHT", "Blocks", "frame_items", "grid_items", "header_items",
    "mark_items", "ruler_items",
]  # fmt: skip

HEADER_HEIGHT = 8.5
"""Room of the line that names the sheet and its neighbours. [mm]"""
RULER_HEIGHT = 9.0
"""Room of the ruler under the wall. [mm]"""
_CAP = cap_height(DIMENSION)
_GRID = Pen(width=0.10, colour=MID)
_OVERLAP = Pen(width=0.25, dash=(3.0, 1.5), colour=DARK)
_CROSS = Pen(width=0.35)


@dataclass(frozen=True, slots=True, kw_only=True)
class Blocks:
    """Size of a wall's blocks or bricks with their joints.

    Parameters
    ----------
    length, height : float
        Above 0. [m]
    """

    length: float
    height: float

    def __post_init__(self) -> None:
        if not (self.length > 0 and self.height > 0):
            raise ValueError("a block has a length and a height above 0")


def header_items(
    window: SheetWindow,
    count: int,
    length: float,
    left: float,
    right: float,
    upper: float,
    overlap: str,
    system: System,
) -> tuple[Item, ...]:
    """Number of the sheet, its neighbours, and the chainages at both ends.

    Parameters
    ----------
    count : int
        Of all sheets. [-]
    length : float
        Of the wall. [m]
    left, right, upper : float
        Where the line lies. [mm]
    overlap : str
        Width of the strip that neighbours share.
    """
    y = upper + 6.2
    size = 14.0
    start = shown_place(window.start, system, digits=2)
    end = shown_place(min(window.end, length), system, digits=2)
    first = f"from {start}" + (" (the datum)" if window.column == 1 else "")
    last = f"to {end}" + (" (the end)" if window.right is None and window.end >= length else "")
    before = f"← {window.left}" if window.left else ""
    after = f"{window.right} →" if window.right else ""
    items: list[Item] = []
    for x, neighbour, chainage, anchor in (
        (left, before, first, "start"), (right, after, last, "end"),
    ):  # fmt: skip
        words = (neighbour, chainage) if anchor == "start" else (chainage, neighbour)
        text = "   ".join(word for word in words if word)
        items.append(
            Label(x=x, y=y, text=text, size=size, bold=True,
                  anchor="start" if anchor == "start" else "end")
        )  # fmt: skip
    middle = f"Sheet {window.number}"
    aside = [f"of {count}"]
    if window.below:
        aside.append(f"below it {window.below}")
    if window.above:
        aside.append(f"above it {window.above}")
    if window.left or window.right or window.above or window.below:
        aside.append(f"{overlap} shared beyond the dashed lines")
    wide = text_width(middle, size, bold=True)
    rest = ", ".join(aside)
    x = (left + right - wide - 2.0 - text_width(rest, DIMENSION)) / 2
    items += [
        Label(x=x, y=y, text=middle, size=size, bold=True),
        Label(x=x + wide + 2.0, y=y, text=rest, size=DIMENSION),
    ]
    return tuple(items)


def grid_items(wall: DevelopedWall, view: WallView, system: System, room: Room) -> tuple[Item, ...]:
    """Fine lines at every second step of the grid, their levels named at both sides."""
    step = 2 * grid_step(system)
    items: list[Item] = []
    end = min(view.end, wall.length)
    for at in _multiples(view.start, end, step):
        items.append(segment((view.x(at), view.upper), (view.x(at), view.lower), _GRID))
    for level in _multiples(view.base, view.head, step):
        y = view.y(level)
        items.append(segment((view.left, y), (view.x(end), y), _GRID))
        if not view.upper + 2.5 < y < view.lower - 2.5:
            continue
        text = bare(level, system, digits=2)
        for places in (
            [Label(x=view.left + dx, y=y + _CAP / 2, text=text, size=DIMENSION)
             for dx in (1.8, 6.0, 12.0, 25.0, 32.0)],
            [Label(x=view.x(end) - dx, y=y + _CAP / 2, text=text, size=DIMENSION, anchor="end")
             for dx in (1.8, 6.0, 12.0, 25.0, 32.0)],
        ):  # fmt: skip
            label = room.place(places)
            if label is not None:
                items += [plate(label), label]
    if view.start == 0.0 and view.base <= 1e-9 <= view.head:
        items.append(datum_mark(view.left, view.y(0.0)))
    return tuple(items)


def ruler_items(wall: DevelopedWall, view: WallView, system: System) -> Iterator[Item]:
    """The ruler under the wall: a tick at every step of the grid, chainages at every second."""
    y = view.lower + 2.0
    end = min(view.end, wall.length)
    yield segment((view.left, y), (view.x(end), y), FINE)
    step = grid_step(system)
    room = Room((view.left - 1.0, y, view.right + 1.0, y + RULER_HEIGHT), gap=1.0)
    ends = [view.start, end]
    whole = _multiples(view.start, end, 2 * step)
    for at in _multiples(view.start, end, step):
        yield segment((view.x(at), y), (view.x(at), y + (1.8 if at in whole else 1.0)), FINE)
    for at in (*ends, *whole):
        x = view.x(at)
        text = bare(at, system)
        if at == view.start and system is System.METRIC:
            text += " m"
        half = text_width(text, DIMENSION) / 2
        label = room.place(
            [Label(x=min(max(x, view.left + half), view.right - half), y=y + 2.6 + _CAP, text=text,
                   size=DIMENSION, anchor="middle")]
        )  # fmt: skip
        if label is not None:
            yield label
        if at in ends:
            yield segment((x, y - 1.2), (x, y + 2.2), FINE)


def frame_items(
    window: SheetWindow,
    wall: DevelopedWall,
    view: WallView,
    overlap: float,
    blocks: Blocks | None,
    system: System,
) -> Iterator[Item]:
    """The lines at which the neighbours' sheets begin and end, and ticks along the window's edges.

    Parameters
    ----------
    overlap : float
        Of neighbours. [mm]
    """
    for neighbour, x in ((window.left, view.left + overlap), (window.right, view.right - overlap)):
        if neighbour:
            yield segment((x, view.upper - 1.0), (x, view.lower + 1.0), _OVERLAP)
    for neighbour, y in (
        (window.above, view.upper + overlap),
        (window.below, view.lower - overlap),
    ):
        if neighbour:
            yield segment((view.left, y), (view.right, y), _OVERLAP)
    across = blocks.length if blocks else grid_step(system)
    up = blocks.height if blocks else grid_step(system)
    end = min(view.end, wall.length)
    for at in _multiples(view.start, end, across):
        for y, way in ((view.upper, 1.5), (view.lower, -1.5)):
            yield segment((view.x(at), y), (view.x(at), y + way), FINE)
    for level in _multiples(view.base, view.head, up):
        for x, way in ((view.left, 1.5), (view.x(end), -1.5)):
            yield segment((x, view.y(level)), (x + way, view.y(level)), FINE)


def mark_items(marks: Sequence[ControlMark], view: WallView, room: Room) -> Iterator[Item]:
    """Control marks as crosses in rings, each with its name where there is room."""
    here = [
        (mark, view.x(mark.chainage), view.y(mark.level))
        for mark in marks
        if view.holds(mark.chainage) and view.base <= mark.level <= view.head
    ]
    for _, x, y in here:
        yield Disc(x=x, y=y, radius=1.8, fill=PAPER, pen=_CROSS)
        yield segment((x - 2.8, y), (x + 2.8, y), _CROSS)
        yield segment((x, y - 2.8), (x, y + 2.8), _CROSS)
        room.take((x - 2.8, y - 2.8, x + 2.8, y + 2.8))
    for mark, x, y in here:
        half = text_width(mark.name, DIMENSION, bold=True) / 2
        label = room.place(
            Label(x=x + dx, y=y + dy, text=mark.name, size=DIMENSION, anchor="middle", bold=True)
            for dx, dy in (
                (half + 4.0, _CAP / 2), (-half - 4.0, _CAP / 2), (0.0, -4.2), (0.0, 4.2 + _CAP),
                (half, -4.2), (-half, -4.2), (half, 4.2 + _CAP), (-half, 4.2 + _CAP),
            )
        )  # fmt: skip
        if label is not None:
            yield plate(label)
            yield label


def _multiples(low: float, high: float, step: float) -> list[float]:
    """Multiples of a step from low to high. [m]"""
    first, last = int(np.ceil(low / step - 1e-9)), int(np.floor(high / step + 1e-9))
    return [k * step for k in range(first, last + 1)]
