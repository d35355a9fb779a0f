"""Colour numbers in the regions of a sheet: inside where they fit, else at the end of a leader."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.documents.drawing import FINE, INK, PAPER, Disc, Item, Label, Pen, segment
from giornata.core.documents.letters import cap_height, text_width
from giornata.core.documents.room import Room
from giornata.core.documents.wall_view import WallView
from giornata.core.foundation import Assumption, Floats
from giornata.core.geometry import Geometries, Labels

__all__ = ["LEAST_NUMBERED", "MAIN", "SMALL", "Numbered", "colour_numbers"]

MAIN = 14.0
"""Type size of the numbers where it fits. [pt]"""
SMALL = 9.0
"""Type size of the other numbers, inside or ringed. [pt]"""
LEAST_NUMBERED = Assumption(
    name="least region that bears a number",
    value=1.0,
    unit="mm²",
    source="house default, no source: at 1:20 a patch of 20 by 20 mm",
    usual=(0.5, 4.0),
)
_CELL = 90.0  # mm; a region longer than this bears a number in each cell of so much
_MARGIN = 0.35  # mm between a number and the edge of its region
_LEADER = Pen(width=0.13)
_WAYS = np.linspace(0.0, 2 * np.pi, 24, endpoint=False)
_REACHES = (3.0, 4.0, 5.2, 6.6, 8.4, 10.5, 13.0, 16.0, 20.0, 25.0, 31.0, 38.0)  # mm
_DISTANCES = np.repeat(_REACHES, len(_WAYS))
_OFFSETS = _DISTANCES[:, None] * np.tile(
    np.stack([np.cos(_WAYS), np.sin(_WAYS)], axis=1), (len(_REACHES), 1)
)
"""Places tried for the middle of a ring about its region, shape (n, 2). [mm]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbered:
    """The numbers of a sheet.

    Parameters
    ----------
    items : tuple of Item
    specks : int
        Regions too small to bear one. [-]
    unplaced : tuple of (int, float, float)
        Paint number, chainage and level of regions whose number found no room. [m]
    """

    items: tuple[Item, ...]
    specks: int
    unplaced: tuple[tuple[int, float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Spots:
    """Parts of regions and the middle of the largest circle inside each; sheet frame, mm."""

    parts: Geometries
    numbers: Labels
    centres: Floats
    radii: Floats


def colour_numbers(
    parts: Geometries, numbers: Labels, edges: Geometries, view: WallView, room: Room
) -> Numbered:
    """Numbers for the parts of regions in a window.

    Parameters
    ----------
    parts : ndarray of shapely.Polygon
        Wall frame. [m]
    numbers : ndarray of int
        Paint number of each. [-]
    edges : ndarray of shapely.LineString
        Between paints, wall frame; numbers at leaders keep off them where they can. [m]
    room : Room
        What is free on the sheet; filled here.
    """
    spots, specks = _spots(parts, numbers, view)
    items: list[Item] = []
    open_: NDArray[np.intp] = np.argsort(-spots.radii, kind="stable")
    for size in (MAIN, SMALL):
        placed, open_ = _inside(spots, open_, size, room)
        items += placed
    pointed, unplaced = _pointed(spots, open_, _on_sheet(edges, view), room)
    return Numbered(
        items=(*items, *pointed),
        specks=specks,
        unplaced=tuple(
            (
                int(spots.numbers[k]),
                view.start + (spots.centres[k, 0] - view.left) / view.mm_per_metre,
                view.base + (view.lower - spots.centres[k, 1]) / view.mm_per_metre,
            )
            for k in unplaced
        ),
    )


def _on_sheet(geometries: Geometries, view: WallView) -> Geometries:
    moved: Geometries = shapely.transform(geometries, view.on_sheet)
    return moved


def _spots(parts: Geometries, numbers: Labels, view: WallView) -> tuple[_Spots, int]:
    """Parts large enough for a number, long ones cut into cells; and how many are too small."""
    flat = _on_sheet(parts, view)
    large = shapely.area(flat) >= LEAST_NUMBERED.value
    specks = int(np.count_nonzero(~large))
    flat, numbers = flat[large], numbers[large]
    bounds = shapely.bounds(flat).reshape(-1, 4)
    long = (bounds[:, 2] - bounds[:, 0] > 1.5 * _CELL) & (shapely.area(flat) > 400.0)
    cut, cut_numbers = [flat[~long]], [numbers[~long]]
    for part, number, (left, upper, right, lower) in zip(
        flat[long], numbers[long], bounds[long], strict=True
    ):
        count = int(np.ceil((right - left) / _CELL))
        sides = np.linspace(left, right, count + 1)
        pieces = shapely.intersection(
            part, shapely.box(sides[:-1], upper - 1, sides[1:], lower + 1)
        )
        solid = [_largest(piece) for piece in pieces]
        kept = [piece for piece in solid if piece is not None]
        # One number at least; further ones only where they are large and plain to see.
        kept.sort(key=lambda piece: -piece.area)
        chosen = [kept[0], *(piece for piece in kept[1:] if piece.area > 60.0)]
        cut.append(np.array(chosen, dtype=object))
        cut_numbers.append(np.full(len(chosen), number))
    every = np.concatenate(cut)
    circles = shapely.maximum_inscribed_circle(every, tolerance=0.05)
    ends = shapely.get_coordinates(circles).reshape(-1, 2, 2)
    return (
        _Spots(
            parts=every,
            numbers=np.concatenate(cut_numbers).astype(np.intp),
            centres=ends[:, 0],
            radii=shapely.length(circles),
        ),
        specks,
    )


def _largest(geometry: Any) -> Any:
    parts = [part for part in shapely.get_parts(geometry) if part.geom_type == "Polygon"]
    return max(parts, key=lambda part: part.area, default=None)


def _boxes(spots: _Spots, which: NDArray[np.intp], size: float) -> Floats:
    """Box of each number about the middle of its region, shape ``(n, 4)``. [mm]"""
    wide = np.array([text_width(str(n), size, bold=True) for n in spots.numbers[which]])
    half = np.stack([wide / 2, np.full(len(wide), cap_height(size) / 2)], axis=1) + _MARGIN
    centres = spots.centres[which]
    return np.concatenate([centres - half, centres + half], axis=1)


def _inside(
    spots: _Spots, which: NDArray[np.intp], size: float, room: Room
) -> tuple[list[Item], NDArray[np.intp]]:
    """Numbers that fit into their regions, and the regions left over."""
    boxes = _boxes(spots, which, size)
    fits = shapely.contains(spots.parts[which], shapely.box(*boxes.T)) if len(which) else []
    items: list[Item] = []
    left = []
    for k, box, inside in zip(which.tolist(), boxes, fits, strict=True):
        if inside and room.free(box[None, :])[0]:
            room.take(tuple(box.tolist()))
            items.append(_label(spots, k, spots.centres[k], size))
        else:
            left.append(k)
    return items, np.array(left, dtype=np.intp)


def _label(spots: _Spots, k: int, middle: Floats, size: float) -> Label:
    x, y = middle.tolist()
    return Label(x=x, y=y + cap_height(size) / 2, text=str(spots.numbers[k]), size=size,
                 anchor="middle", bold=True)  # fmt: skip


def _pointed(
    spots: _Spots, which: NDArray[np.intp], edges: Geometries, room: Room
) -> tuple[list[Item], list[int]]:
    """Numbers in small rings, a leader to each region; and the regions left without."""
    tree = shapely.STRtree(edges)
    leaders: list[Item] = []
    rings: list[Item] = []
    drawn: list[Any] = []
    unplaced = []
    for k in which.tolist():  # no ring may cover a region that still waits for its own
        room.take(_small_box(spots.centres[k]))
    for k in sorted(which.tolist(), key=lambda k: (spots.centres[k, 0], spots.centres[k, 1])):
        radius = max(text_width(str(spots.numbers[k]), SMALL, bold=True) / 2 + 0.7,
                     cap_height(SMALL) / 2 + 0.7)  # fmt: skip
        found = _ring_place(spots.centres[k], radius, tree, drawn, room)
        if found is None:
            unplaced.append(k)
            continue
        x, y = found.tolist()
        room.take((x - radius, y - radius, x + radius, y + radius))
        anchor = spots.centres[k]
        way = (found - anchor) / np.hypot(*(found - anchor))
        rim = found - way * radius
        drawn.append(shapely.LineString([anchor, rim]))
        leaders += [segment(anchor, rim, _LEADER), Disc(x=float(anchor[0]), y=float(anchor[1]),
                                                        radius=0.3, fill=INK)]  # fmt: skip
        rings += [
            Disc(x=x, y=y, radius=radius, fill=PAPER, pen=FINE),
            _label(spots, k, found, SMALL),
        ]
    return [*leaders, *rings], unplaced


def _small_box(point: Floats) -> tuple[float, float, float, float]:
    x, y = point.tolist()
    return (x - 0.3, y - 0.3, x + 0.3, y + 0.3)


def _ring_place(
    anchor: Floats,
    radius: float,
    edges: Any,
    drawn: Sequence[Any],
    room: Room,
) -> Floats | None:
    """The best free middle for a ring: near, over few edges, its leader crossing no other."""
    middles = anchor + _OFFSETS
    boxes = np.concatenate([middles - radius, middles + radius], axis=1)
    free = room.free(boxes)
    middles, boxes, cost = middles[free], boxes[free], _DISTANCES[free]
    if not len(middles):
        return None
    cost = cost + 1.2 * _hits(edges, shapely.box(*boxes.T), len(middles))
    length = _DISTANCES[free][:, None]
    way = (middles - anchor) / length
    ways = shapely.linestrings(np.stack([anchor + 0.8 * way, middles - radius * way], axis=1))
    reach = float(_DISTANCES[-1])
    taken = room.taken
    near = (np.abs(taken[:, :2] + taken[:, 2:] - 2 * anchor) < 3 * reach).all(axis=1)
    wide = taken[:, 2] - taken[:, 0] > 1.0
    over_label = _hits(_boxes_tree(taken[near & wide]), ways, len(middles)) > 0
    over_end = _hits(_boxes_tree(taken[near & ~wide]), ways, len(middles)) > 0
    others = shapely.STRtree(drawn)
    rings = shapely.box(*np.add(boxes, (-0.2, -0.2, 0.2, 0.2)).T)
    over_leader = _hits(others, ways, len(middles)) + _hits(others, rings, len(middles)) > 0
    # A leader over another, or over another's end, is better than no number.
    for barred in (over_label | over_end | over_leader, over_label | over_end, over_label):
        if not barred.all():
            best: Floats = middles[np.argmin(np.where(barred, np.inf, cost))]
            return best
    return None


def _hits(tree: Any, geometries: Any, count: int) -> NDArray[np.intp]:
    """How many things of a tree each of the geometries meets. [-]"""
    which, _ = tree.query(geometries, predicate="intersects")
    return np.bincount(which, minlength=count)


def _boxes_tree(boxes: Floats) -> Any:
    return shapely.STRtree(shapely.box(*boxes.T))
