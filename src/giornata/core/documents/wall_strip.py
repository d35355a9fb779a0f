"""The whole wall as a thin strip along the top of a sheet, with what the sheet speaks of on it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from giornata.core.documents.display import bare
from giornata.core.documents.drawing import (
    DARK,
    FINE,
    INK,
    LIGHT,
    PAPER,
    Area,
    Item,
    Label,
    Pen,
    box,
    segment,
)
from giornata.core.documents.letters import cap_height, text_width
from giornata.core.documents.room import Room
from giornata.core.documents.wall_view import polygons
from giornata.core.foundation import FOOT, Floats, System, readonly
from giornata.core.survey import DevelopedWall

__all__ = ["STRIP_HEIGHT", "Stretch", "wall_strip"]

STRIP_HEIGHT = 16.0
"""Room the strip takes with its numbers and its ruler. [mm]"""
_WALL = 7.0  # greatest height of the wall on it [mm]
_LEAST = 2.5
_SIZE = 9.0
_CAP = cap_height(_SIZE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of wall marked on the strip.

    Parameters
    ----------
    start, end : float
        Chainages. [m]
    name : str
        Its number, or "".
    here : bool
        Whether this sheet speaks of it.
    """

    start: float
    end: float
    name: str
    here: bool = False


def wall_strip(
    wall: DevelopedWall,
    stretches: Sequence[Stretch],
    *,
    left: float,
    right: float,
    upper: float,
    system: System,
) -> tuple[Item, ...]:
    """The strip: numbers of the stretches, the wall, and a ruler of chainages.

    Parameters
    ----------
    left, right, upper : float
        Where it lies; it is ``STRIP_HEIGHT`` high. Its heights are stretched where the wall is
        too long for them to show. [mm]
    """
    scale = (right - left) / wall.length
    foot, head = float(wall.ground[:, 1].min()), float(wall.top[:, 1].max())
    tall = min(max((head - foot) * scale, _LEAST), _WALL)
    top = upper + 4.6
    base = top + tall

    def placed(points: Floats) -> Floats:
        return readonly(
            np.column_stack(
                [left + points[:, 0] * scale, base - (points[:, 1] - foot) * tall / (head - foot)]
            )
        )

    items: list[Item] = [
        Area(rings=tuple(placed(shapely.get_coordinates(r)[:-1])
                         for r in (part.exterior, *part.interiors)),
             fill=LIGHT, pen=FINE)
        for part in polygons(wall.net)
    ]  # fmt: skip
    items += [
        segment((left + bay.end * scale, base), (left + bay.end * scale, base - tall), _BAY)
        for bay in wall.bays[:-1]
    ]
    room = Room((left, upper, right, top), gap=0.6)
    for stretch in sorted(stretches, key=lambda one: not one.here):
        items += _stretch(stretch, left, scale, top, base, room)
    items += _ruler(wall, left, right, base, scale, system)
    return tuple(items)


_BAY = Pen(width=0.13, colour=DARK)
_HERE = Pen(width=0.7)


def _stretch(
    stretch: Stretch, left: float, scale: float, top: float, base: float, room: Room
) -> Iterator[Item]:
    a, b = left + stretch.start * scale, left + stretch.end * scale
    if stretch.here:
        yield box(a, top - 0.6, b, base + 0.6, pen=_HERE)
    else:
        yield segment((a, top - 0.6), (b, top - 0.6), FINE)
        yield segment((a, top - 0.6), (a, top + 0.6), FINE)
        yield segment((b, top - 0.6), (b, top + 0.6), FINE)
    wide = text_width(stretch.name, _SIZE, bold=stretch.here)
    if not stretch.name or not (stretch.here or wide + 1.0 <= b - a):
        return
    half = wide / 2 + 1.0 if stretch.here else wide / 2
    middle = min(max((a + b) / 2, room.bounds[0] + half), room.bounds[2] - half)
    label = room.place(
        [Label(x=middle, y=top - 1.4, text=stretch.name, size=_SIZE, anchor="middle",
               bold=stretch.here, colour=PAPER if stretch.here else DARK)]
    )  # fmt: skip
    if label is None:
        return
    if stretch.here:
        yield box(middle - half, top - 2.2 - _CAP, middle + half, top - 0.6, fill=INK)
    yield label


def _ruler(
    wall: DevelopedWall, left: float, right: float, base: float, scale: float, system: System
) -> Iterator[Item]:
    """Ticks and chainages at whole steps."""
    unit = FOOT if system is System.US else 1.0
    widest = text_width(bare(wall.length, system), _SIZE) + 3.0
    step = next(
        unit * n
        for n in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000)
        if unit * n * scale >= widest
    )
    y = base + 1.2
    yield segment((left, y), (right, y), FINE)
    for k in range(int(np.floor(wall.length / step + 1e-9)) + 1):
        x = left + k * step * scale
        yield segment((x, y), (x, y + 1.2), FINE)
        digits = 0 if step >= 1 else 2
        text = bare(k * step, system, digits=digits)
        half = text_width(text, _SIZE) / 2
        yield Label(x=min(max(x, left + half), right - half), y=y + 1.8 + _CAP, text=text,
                    size=_SIZE, anchor="middle")  # fmt: skip
