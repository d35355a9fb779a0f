"""The picture on a set-up card: this part of the wall, its motifs, marks and neighbours."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from giornata.core.documents.dimensions import DIMENSION, plate
from giornata.core.documents.display import bare
from giornata.core.documents.drawing import (
    DARK,
    FINE,
    INK,
    PAPER,
    Area,
    Disc,
    Item,
    Label,
    Pen,
    box,
    segment,
)
from giornata.core.documents.letters import cap_height, text_width
from giornata.core.documents.regions_on_paper import PaperRegions, region_items
from giornata.core.documents.room import Room
from giornata.core.documents.sheet_frame import mark_items
from giornata.core.documents.wall_parts import feature_items, outline_items
from giornata.core.documents.wall_view import WallView, level_range
from giornata.core.foundation import FOOT, System, readonly
from giornata.core.projection import SetUp
from giornata.core.setting_out import ControlMark
from giornata.core.survey import DevelopedWall

__all__ = ["picture_items", "picture_view"]

_EDGE = Pen(width=0.13)
_IMAGE = Pen(width=0.7)
_NEIGHBOUR = Pen(width=0.25, dash=(2.5, 1.2), colour=DARK)
_CELL = Pen(width=0.25, dash=(0.6, 0.8))
_BESIDE = 0.45  # m of wall shown beyond the image
_ABOVE, _BELOW = 5.0, 9.5  # mm for names above and the ruler below
_CAP = cap_height(DIMENSION)


def picture_view(
    wall: DevelopedWall, one: SetUp, left: float, right: float, upper: float, lower: float
) -> WallView:
    """The window of the picture, as large as its place takes.

    Parameters
    ----------
    left, right, upper, lower : float
        Its place, names and ruler included. [mm]
    """
    start, end = max(one.start - _BESIDE, -_BESIDE), min(one.end, wall.length) + _BESIDE
    low, high = level_range(wall, one.start, min(one.end, wall.length))
    base = max(min(one.foot, low), one.foot - _BESIDE) - 0.05
    head = min(max(one.head, high), one.head + _BESIDE) + 0.05
    scale = min((right - left) / (end - start),
                (lower - upper - _ABOVE - _BELOW) / (head - base))  # fmt: skip
    tall = (head - base) * scale
    wide = (end - start) * scale
    return WallView(
        start=start, end=end, base=base, head=head, left=left + (right - left - wide) / 2,
        lower=upper + _ABOVE + tall, mm_per_metre=scale,
    )  # fmt: skip


def picture_items(
    wall: DevelopedWall,
    one: SetUp,
    others: Sequence[SetUp],
    cell: Any,
    marks: Sequence[ControlMark],
    view: WallView,
    regions: PaperRegions,
    fills: Mapping[int, str],
    system: System,
) -> tuple[Item, ...]:
    """The picture.

    Parameters
    ----------
    others : sequence of SetUp
        Neighbours, whose images are drawn dashed.
    cell : shapely.Polygon
        What of the wall this set-up draws; wall frame. [m]
    fills : mapping of int to str
        Colour of each paint number.
    """
    items: list[Item] = list(region_items(regions, view, fills, _EDGE))
    items += feature_items(wall, view)
    items += outline_items(wall, view)
    room = Room((view.left, view.upper - _ABOVE, view.right, view.lower + _BELOW), gap=0.6)
    items += _neighbours(view, one, others, room)
    start, foot, end, head = cell.bounds
    for at in (start, end):
        if view.start < at < view.end and one.start < at < one.end:
            items.append(segment((view.x(at), view.upper), (view.x(at), view.lower), _CELL))
    for level in (foot, head):
        if one.foot < level < one.head:
            items.append(segment((view.left, view.y(level)), (view.right, view.y(level)), _CELL))
    items.append(box(view.x(one.start), view.y(one.head), view.x(one.end), view.y(one.foot),
                     pen=_IMAGE))  # fmt: skip
    items += mark_items(marks, view, room)
    x, y = view.x(one.aimed_at), view.y((one.foot + one.head) / 2)
    items += [
        Disc(x=x, y=y, radius=2.4, fill=PAPER, pen=FINE),
        segment((x - 3.4, y), (x + 3.4, y), FINE),
        segment((x, y - 3.4), (x, y + 3.4), FINE),
    ]
    room.take((x - 3.4, y - 3.4, x + 3.4, y + 3.4))
    middle = Label(x=x + 4.4, y=y + _CAP / 2, text="middle", size=DIMENSION)
    items += [plate(middle), middle]
    items += _ruler(view, one, system, room)
    return tuple(items)


def _neighbours(view: WallView, one: SetUp, others: Sequence[SetUp], room: Room) -> Iterator[Item]:
    """Edges of the images beside, above and below, and which set-ups those are."""
    x, lower = (view.left + view.right) / 2, view.lower + _BELOW - 0.8
    for other in others:
        across, up = other.column - one.column, other.row - one.row
        if abs(across) + abs(up) != 1:
            continue
        for at in (other.start, other.end) if across else ():
            if view.start < at < view.end:
                foot, head = max(other.foot, view.base), min(other.head, view.head)
                yield segment((view.x(at), view.y(head)), (view.x(at), view.y(foot)), _NEIGHBOUR)
        for level in (other.foot, other.head) if up else ():
            if view.base < level < view.head:
                y = view.y(level)
                yield segment((view.x(one.start), y), (view.x(one.end), y), _NEIGHBOUR)
        n = other.number
        words, place, y, anchor = {
            (-1, 0): ((f"← set-up {n}", f"← {n}"), view.left, view.upper - 1.5, "start"),
            (1, 0): ((f"set-up {n} →", f"{n} →"), view.right, view.upper - 1.5, "end"),
            (0, 1): ((f"↑ set-up {n}", f"↑ {n}"), x, view.upper - 1.5, "middle"),
            (0, -1): ((f"↓ set-up {n}", f"↓ {n}"), view.right, lower, "end"),
        }[across, up]
        label = room.place(
            Label(x=place, y=y, text=text, size=DIMENSION, bold=True,
                  anchor=anchor)  # type: ignore[arg-type]
            for text in words
        )  # fmt: skip
        if label is not None:
            yield label


def _ruler(view: WallView, one: SetUp, system: System, room: Room) -> list[Item]:
    """Chainages under the picture, and the place of the lens."""
    y = view.lower + 1.2
    items: list[Item] = [segment((view.left, y), (view.right, y), FINE)]
    unit = FOOT if system is System.US else 1.0
    wide = text_width(bare(one.end, system, digits=0), DIMENSION) + 2.0
    step = next(unit * n for n in (1, 2, 5, 10, 20, 50) if unit * n * view.mm_per_metre >= wide)
    x = view.x(one.centre)
    ring = readonly([(x, y), (x - 1.6, y + 2.8), (x + 1.6, y + 2.8)])
    items.append(Area(rings=(ring,), fill=INK))
    lens = room.place([Label(x=x, y=y + 3.6 + _CAP, text="lens", size=DIMENSION, anchor="middle",
                             bold=True)])  # fmt: skip
    items += [lens] if lens is not None else []
    for k in range(int(max(view.start, 0.0) / step), int(view.end / step) + 1):
        at = k * step
        if not (view.start <= at <= view.end and at >= 0):
            continue
        items.append(segment((view.x(at), y), (view.x(at), y + 1.2), FINE))
        label = room.place([Label(x=view.x(at), y=y + 2.0 + _CAP, size=DIMENSION, anchor="middle",
                                  text=bare(at, system, digits=0))])  # fmt: skip
        items += [label] if label is not None else []
    return items
