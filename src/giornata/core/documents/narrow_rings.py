"""Narrow places drawn on the elevation: a sign for each kind, numbered as in their table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from giornata.core.documents.dimensions import DIMENSION, plate
from giornata.core.documents.drawing import Area, Disc, Item, Label, Pen
from giornata.core.documents.letters import cap_height, text_width
from giornata.core.documents.room import Room
from giornata.core.documents.wall_view import WallView
from giornata.core.takeoff import NarrowKind, NarrowPlace

__all__ = ["NARROW_SIGNS", "narrow_items", "numbered_places"]

NARROW_SIGNS = (
    "Ring: line too narrow to paint. Square: gap too narrow to keep free. Triangle: fine point."
)
"""What the signs mean, for the foot of the sheet."""

_CAP = cap_height(DIMENSION)
_SIDE = 1.3  # mm, half of a sign's
_SIGN = Pen(width=0.25)


def numbered_places(places: Sequence[NarrowPlace]) -> tuple[tuple[int, NarrowPlace], ...]:
    """Places along the wall, numbered from 1; slivers, faults of the drawing, among them."""
    ordered = sorted(places, key=lambda one: (one.x, one.y, one.paint))
    return tuple(enumerate(ordered, start=1))


def narrow_items(
    numbered: Sequence[tuple[int, NarrowPlace]], view: WallView, room: Room
) -> Iterator[Item]:
    """Signs of the places in a window, and numbers where there is room; the narrowest come first.

    Parameters
    ----------
    numbered : sequence of tuple of int and NarrowPlace
        Places of an option with their numbers.
    view : WallView
        The window.
    room : Room
        What is free on the wall; filled here.
    """
    here = [(number, one) for number, one in numbered
            if one.kind is not NarrowKind.SLIVER and view.start <= one.x < view.end]  # fmt: skip
    for _, one in here:
        x, y = view.x(one.x), view.y(one.y)
        room.take((x - _SIDE, y - _SIDE, x + _SIDE, y + _SIDE))
        yield _sign(one.kind, x, y)
    for number, one in sorted(here, key=lambda pair: pair[1].width):
        x, y, text = view.x(one.x), view.y(one.y), str(number)
        aside = _SIDE + 0.6 + text_width(text, DIMENSION) / 2
        label = room.place(
            Label(x=x + dx, y=y + dy + _CAP / 2, text=text, size=DIMENSION, anchor="middle")
            for dx, dy in ((aside, 0.0), (-aside, 0.0), (0.0, -3.1), (0.0, 3.1))
        )
        if label is not None:
            yield plate(label)
            yield label


def _sign(kind: NarrowKind, x: float, y: float) -> Item:
    if kind is NarrowKind.LINE:
        return Disc(x=x, y=y, radius=_SIDE, pen=_SIGN)
    corners = {
        NarrowKind.GAP: [(-1, -1), (1, -1), (1, 1), (-1, 1)],
        NarrowKind.POINT: [(0, -1.15), (1, 0.85), (-1, 0.85)],
    }[kind]
    return Area(rings=(np.array([x, y]) + _SIDE * np.array(corners, dtype=float),), pen=_SIGN)
