"""Bends: which edges are long straights to snap, which are gentle curves, which are tight."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.foundation import Assumption
from giornata.core.geometry import Geometries, Labels

__all__ = ["LONG_STRAIGHT", "SNAPPED_LINE", "TIGHT_RADIUS", "Bend", "Segments", "edge_segments"]

Floats = NDArray[np.float64]

SNAPPED_LINE = Assumption(
    name="how far a snapped line may lie from the edge",
    value=0.002,
    unit="m",
    source="common practice, no source: the width of a chalk line",
    usual=(0.001, 0.004),
)
LONG_STRAIGHT = Assumption(
    name="length from which a straight is worth snapping",
    value=1.0,
    unit="m",
    source="common practice, no source: shorter ones are drawn along a rule",
    usual=(0.5, 2.0),
)
TIGHT_RADIUS = Assumption(
    name="radius below which a curve is tight",
    value=0.15,
    unit="m",
    source="common practice, no source: tighter ones are cut from the wrist, not from the elbow",
    usual=(0.08, 0.30),
)
_ROUNDING = 1e-6  # m: a straight drawn a metre long is a metre long
_WINDOW = 0.2  # tight radii on either side, over which the turn is measured


class Bend(StrEnum):
    """How an edge runs: STRAIGHT over a metre or more, GENTLE (short straights too), or TIGHT."""

    STRAIGHT = "straight"
    GENTLE = "gentle"
    TIGHT = "tight"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Segments:
    """The single segments of edges.

    Parameters
    ----------
    start, end : ndarray, shape (k, 2)
        [m]
    edge : ndarray of int, shape (k,)
        The edge each is part of. [-]
    bend : ndarray of int, shape (k,)
        Its class, in the order of `Bend`. [-]
    """

    start: Floats
    end: Floats
    edge: Labels
    bend: Labels

    def lengths(self) -> Floats:
        """Length of each. [m]"""
        return np.asarray(np.hypot(*(self.end - self.start).T))


def edge_segments(edges: Geometries) -> Segments:
    """Segments of edges, each with the class of the bend it lies in.

    Parameters
    ----------
    edges : ndarray of shapely.LineString, shape (m,)
        [m]

    Notes
    -----
    A long straight is a stretch that stays within `SNAPPED_LINE` of the straight between its ends
    and is as long as `LONG_STRAIGHT`; over one metre, a circle of 63 m radius is one. Elsewhere the
    turn between the chords to both sides is measured; on a circle it is their arc over the
    radius, whatever the drawing's own points. A loop shorter than the circle of the tight radius
    is tight all round.
    """
    xy, owner = shapely.get_coordinates(edges, return_index=True)
    owner = np.asarray(owner, dtype=np.intp)
    inner = owner[1:] == owner[:-1] if len(owner) else np.zeros(0, dtype=bool)
    start, end, edge = xy[:-1][inner], xy[1:][inner], owner[:-1][inner]
    bend = np.where(_turns_tightly(edges, xy, owner, inner), 2, 1)
    bend[_in_long_straight(edges, xy, owner)[inner]] = 0
    return Segments(start=start, end=end, edge=edge, bend=bend.astype(np.intp))


def _in_long_straight(edges: Geometries, xy: Floats, owner: Labels) -> NDArray[np.bool_]:
    """For each vertex but the last, whether the segment from it lies in a long straight."""
    if not len(xy):
        return np.zeros(0, dtype=bool)
    few, of = shapely.get_coordinates(
        shapely.simplify(edges, SNAPPED_LINE.value, preserve_topology=False), return_index=True
    )
    corner = np.isin(_rows(xy, owner), _rows(few, np.asarray(of, dtype=np.intp)))
    ends = np.ones(len(owner), dtype=bool)
    ends[1:-1] = (owner[1:-1] != owner[:-2]) | (owner[1:-1] != owner[2:])
    corner |= ends
    at = np.flatnonzero(corner)
    chord = np.hypot(*np.diff(xy[at], axis=0).T)
    chord[owner[at[1:]] != owner[at[:-1]]] = 0.0
    run = np.cumsum(corner)[:-1] - 1
    return np.asarray(chord[run] >= LONG_STRAIGHT.value - _ROUNDING)


def _rows(xy: Floats, owner: Labels) -> NDArray[np.void]:
    table = np.column_stack([owner.astype(np.float64), xy + 0.0])
    return np.ascontiguousarray(table).view([("edge", "f8"), ("x", "f8"), ("y", "f8")]).ravel()


def _turns_tightly(
    edges: Geometries, xy: Floats, owner: Labels, inner: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """For each segment, whether the edge turns tightly at its middle."""
    if not inner.any():
        return np.zeros(0, dtype=bool)
    steps = np.zeros(len(xy))
    steps[1:][inner] = np.hypot(*(xy[1:] - xy[:-1])[inner].T)
    steps[1:][~inner] = 1.0  # between edges: no value is ever read there
    along = np.cumsum(steps)
    length = shapely.length(edges)
    first = np.searchsorted(owner, np.arange(len(edges)))
    closed = shapely.is_closed(edges)
    edge = owner[:-1][inner]
    base = along[first][edge]
    middle = (along[:-1] + along[1:])[inner] / 2 - base
    reach = np.minimum(_WINDOW * TIGHT_RADIUS.value, length[edge] / 2)
    centre = np.where(closed[edge], middle, np.clip(middle, reach, length[edge] - reach))

    def points(s: Floats) -> Floats:
        inside = np.where(closed[edge], np.mod(s, length[edge]), np.clip(s, 0, length[edge]))
        return np.column_stack([np.interp(base + inside, along, xy[:, k]) for k in (0, 1)])

    here = points(centre)
    before, after = here - points(centre - reach), points(centre + reach) - here
    cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turn = np.abs(np.arctan2(cross, np.einsum("ij,ij->i", before, after)))
    loop = closed & (length < 2 * np.pi * TIGHT_RADIUS.value)
    return np.asarray((turn * TIGHT_RADIUS.value > reach) | loop[edge])
