"""Pixel corners at which unlike paints meet: one outline vertex each, near the corner.

The vertices are those of a dual contour: every corner whose four pixels are not all of one paint
carries a vertex, placed from the crossings on the pixel sides that meet there, and never further
from the corner than half a pixel (only the tips of ``raster_tips`` leave their place). Neighbouring
paints share it, so outlines neither overlap nor leave gaps.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.raster_sides import OUT, Edges, Meetings

__all__ = ["Corners", "SideEnds", "corners", "side_ends"]

ABSENT = -1
Index = NDArray[np.int32]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Corners:
    """Corners with unlike paints around them, in the order of the rows.

    Parameters
    ----------
    place : ndarray of int, shape (n,)
        Place in the framed picture of the pixel above left. [-]
    north, south, west, east : ndarray of int, shape (n,)
        Which side meets the corner from there, ABSENT where none does. [-]
    nw, ne, sw, se : ndarray of uint8, shape (n,)
        Paints around the corner. [-]
    joined : ndarray of uint8, shape (n,)
        Paint whose two pixels touch in the corner only and are taken to be joined there; OUT
        where there is none. Such a corner has two vertices. [-]
    second : ndarray of int, shape (n,)
        Number of the second vertex, ABSENT where there is none. [-]
    """

    place: NDArray[np.int64]
    north: Index
    south: Index
    west: Index
    east: Index
    nw: NDArray[np.uint8]
    ne: NDArray[np.uint8]
    sw: NDArray[np.uint8]
    se: NDArray[np.uint8]
    joined: NDArray[np.uint8]
    second: NDArray[np.int64]

    @property
    def vertices(self) -> int:
        """Number of vertices. [-]"""
        return len(self.place) + int(np.count_nonzero(self.second != ABSENT))

    @property
    def framed(self) -> NDArray[np.bool_]:
        """Which corners lie on the border of the picture."""
        around = (self.nw, self.ne, self.sw, self.se)
        return np.asarray(np.logical_or.reduce([paint == OUT for paint in around]), dtype=np.bool_)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SideEnds:
    """Corner and vertex at both ends of each side.

    Parameters
    ----------
    first, last : ndarray of int, shape (n,)
        Corner above and below a side between columns; left and right of a side between rows. [-]
    first_vertex, last_vertex : ndarray of int, shape (n,)
        Vertex there. [-]
    """

    first: Index
    last: Index
    first_vertex: Index
    last_vertex: Index


def _joined(met: Meetings, areas: NDArray[np.float64]) -> NDArray[np.uint8]:
    """Paint that keeps its connection where two paints cross like a chessboard."""
    nw, ne, sw, se = met.nw, met.ne, met.sw, met.se
    falling = (nw == se) & (nw != ne) & (nw != sw)
    rising = (ne == sw) & (ne != nw) & (ne != se)
    both = np.flatnonzero(falling & rising)
    weight = met.falling[both]
    rarer = areas[nw[both]] < areas[ne[both]]
    falls = (weight > 0) | ((weight == 0) & rarer)
    rising[both] = ~falls
    falling[both] = falls
    return np.where(falling, nw, np.where(rising, ne, OUT)).astype(np.uint8)


def corners(edges: Edges, areas: NDArray[np.float64]) -> tuple[Corners, SideEnds, SideEnds]:
    """Corners, and the ends of the sides between columns and between rows.

    Parameters
    ----------
    edges : Edges
        Where paints meet in the whole picture.
    areas : ndarray of float, shape (k,)
        Area of each paint: of two paints that cross, the rarer keeps its connection. [px²]
    """
    across, down, met = edges.across, edges.down, edges.meetings
    place = met.pixel
    ends = (across.pixel - edges.stride, across.pixel, down.pixel - 1, down.pixel)
    above, below, left, right = (np.searchsorted(place, p).astype(np.int32) for p in ends)
    tables = [np.full(len(place), ABSENT, np.int32) for _ in range(4)]
    south, north, east, west = tables
    south[above] = north[below] = np.arange(len(above), dtype=np.int32)
    east[left] = west[right] = np.arange(len(left), dtype=np.int32)
    joined = _joined(met, areas)
    split = joined != OUT
    second = np.full(len(place), ABSENT, np.int64)
    second[split] = len(place) + np.arange(np.count_nonzero(split))
    found = Corners(
        place=place, north=north, south=south, west=west, east=east,
        nw=met.nw, ne=met.ne, sw=met.sw, se=met.se, joined=joined, second=second,
    )  # fmt: skip
    return (
        found,
        side_ends(found, above, below, across=True),
        side_ends(found, left, right, across=False),
    )


def side_ends(found: Corners, first: Index, last: Index, *, across: bool) -> SideEnds:
    """Vertices at the ends of sides.

    Where a corner has two vertices, each belongs to the two sides of one of the pixels that are
    not joined; the first one has the side to the north.

    Parameters
    ----------
    found : Corners
        The corners.
    first, last : ndarray of int, shape (n,)
        Corner at each end. [-]
    across : bool
        True for sides between columns.
    """
    split = found.second != ABSENT
    if across:
        first_second = split[first]  # the side is south of its upper corner
        last_second = np.zeros(len(last), bool)
    else:
        falling = found.joined == found.nw  # not joined: above right and below left
        first_second = split[first] & ~falling[first]  # the side is east of its left corner
        last_second = split[last] & falling[last]
    return SideEnds(
        first=first,
        last=last,
        first_vertex=np.where(first_second, found.second[first], first).astype(np.int32),
        last_vertex=np.where(last_second, found.second[last], last).astype(np.int32),
    )
