"""Making: what a design costs to make, beyond its areas: tools, bends, heights and the ground."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike

from giornata.core import geometry
from giornata.core.artwork import Paint, ground_paint
from giornata.core.foundation import Assumption, Floats
from giornata.core.geometry import OUTSIDE, Coverage, Labels
from giornata.core.takeoff.edge_bends import Bend, edge_segments
from giornata.core.takeoff.tools import BrushAndRoller
from giornata.core.takeoff.zones import (
    GROUND_STRIP,
    HAND,
    STEP,
    Zones,
    cut_at,
    heights_above,
    zone_areas,
)

__all__ = ["BANDS", "AtGround", "EdgePart", "Foot", "Making", "RollerShare", "making"]

NARROW_ROLLER = Assumption(
    name="width of a narrow roller",
    value=0.100,
    unit="m",
    source="common practice, no source: the small roller beside the wall roller",
    usual=(0.05, 0.12),
)
WIDE_ROLLER = Assumption(
    name="width of a wide roller",
    value=0.250,
    unit="m",
    source="common practice, no source: the wall roller",
    usual=(0.23, 0.30),
)
BANDS = ("hand", "step", "lift")
"""Bands of height above the ground, from below: standing, from steps, from a lift."""

_TRACE = 1e-6  # m, m²: less is rounding


@dataclass(frozen=True, slots=True, kw_only=True)
class RollerShare:
    """What a roller of one width reaches of one paint.

    Parameters
    ----------
    paint : int
        Number of the paint. [-]
    width : float
        Of the roller. [m]
    rolled, brushed : float
        Area it reaches, and area left to the brush; together the paint's area. [m²]
    """

    paint: int
    width: float
    rolled: float
    brushed: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgePart:
    """Edge by which two paints meet, of one bend, in one bay and one band of height.

    Parameters
    ----------
    first, second : int
        Numbers of the paints, the lower first. [-]
    bend : Bend
    bay : int
        From 1, along the wall. [-]
    band : str
        One of `BANDS`.
    length : float
        [m]
    """

    first: int
    second: int
    bend: Bend
    bay: int
    band: str
    length: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AtGround:
    """What of one paint lies in the strip along the ground, in one bay.

    Parameters
    ----------
    paint : int
        Number of the paint. [-]
    bay : int
        From 1, along the wall. [-]
    area : float
        [m²]
    """

    paint: int
    bay: int
    area: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot:
    """A shape whose foot lies in the strip along the ground.

    Parameters
    ----------
    paint : int
        Number of its paint. [-]
    start, end : float
        Chainages of the shape. [m]
    x : float
        Chainage of its lowest point above the ground, of several the first. [m]
    height : float
        Of that point above the ground as surveyed; 0 where the ground cuts it off. [m]
    area : float
        Of the shape in the strip. [m²]
    """

    paint: int
    start: float
    end: float
    x: float
    height: float
    area: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Making:
    """What a design costs to make.

    Parameters
    ----------
    rollers : tuple of RollerShare
        By paint, then by width.
    edges : tuple of EdgePart
        They sum to the edges between paints.
    areas : tuple of (int, int, str, float)
        Paint, bay, band and area; they sum to the net wall. [m²]
    at_ground : tuple of AtGround
    feet : tuple of Foot
        Along the wall.
    strip : float
        Height of the strip along the ground. [m]
    """

    rollers: tuple[RollerShare, ...]
    edges: tuple[EdgePart, ...]
    areas: tuple[tuple[int, int, str, float], ...]
    at_ground: tuple[AtGround, ...]
    feet: tuple[Foot, ...]
    strip: float


def making(
    coverage: Coverage,
    *,
    paints: Sequence[Paint],
    tools: BrushAndRoller,
    bays: Sequence[float],
    ground: ArrayLike,
) -> Making:
    """What a design on the wall costs to make.

    Parameters
    ----------
    coverage : geometry.Coverage
        Regions by paint number that tile the net wall. [m]
    paints : sequence of Paint
        Exactly one is the ground.
    tools : BrushAndRoller
        Its roller is one of the widths.
    bays : sequence of float
        Chainages between bays, rising, without the wall's ends. [m]
    ground : array, shape (n, 2)
        Chainage and level of the ground line; two at one chainage are a step. [m]

    Raises
    ------
    ValueError
        If not exactly one paint is the ground.
    """
    base = ground_paint(paints).number
    line = np.asarray(ground, dtype=float)
    zones = Zones(bays=tuple(bays), ground=line, heights=(HAND.value, STEP.value))
    low = Zones(bays=tuple(bays), ground=line, heights=(GROUND_STRIP.value,))
    strip = zone_areas(coverage.faces, low)[:, :, 0]
    return Making(
        rollers=_rollers(coverage, tools),
        edges=_edges(coverage, zones),
        areas=_areas(coverage, zones),
        at_ground=_at_ground(coverage, strip),
        feet=_feet(coverage, low, strip.sum(axis=1), base),
        strip=GROUND_STRIP.value,
    )


def _rollers(coverage: Coverage, tools: BrushAndRoller) -> tuple[RollerShare, ...]:
    widths = sorted({NARROW_ROLLER.value, tools.roller, WIDE_ROLLER.value})
    found = []
    for paint in np.unique(coverage.labels).tolist():
        faces = coverage.faces[coverage.labels == paint]
        area = float(shapely.area(faces).sum())
        for width in widths:
            reached = float(shapely.area(geometry.opened(faces, width / 2)).sum())
            rolled = min(reached, area)
            found.append(
                RollerShare(paint=paint, width=width, rolled=rolled, brushed=area - rolled)
            )
    return tuple(found)


def _edges(coverage: Coverage, zones: Zones) -> tuple[EdgePart, ...]:
    inner = coverage.left != OUTSIDE
    left, right = coverage.left[inner], coverage.right[inner]
    segments = edge_segments(coverage.edges[inner])
    length, of, bay, band = cut_at(segments.start, segments.end, zones)
    edge = segments.edge[of]
    rows, totals = _summed([left[edge], right[edge], segments.bend[of], bay, band], length)
    bends = tuple(Bend)
    return tuple(
        EdgePart(
            first=first,
            second=second,
            bend=bends[bend],
            bay=bay_ + 1,
            band=BANDS[band_],
            length=total,
        )
        for (first, second, bend, bay_, band_), total in zip(rows, totals, strict=True)
    )


def _areas(coverage: Coverage, zones: Zones) -> tuple[tuple[int, int, str, float], ...]:
    parts = zone_areas(coverage.faces, zones)
    face, bay, band = np.nonzero(parts)
    rows, totals = _summed([coverage.labels[face], bay, band], parts[face, bay, band])
    return tuple(
        (paint, bay_ + 1, BANDS[band_], total)
        for (paint, bay_, band_), total in zip(rows, totals, strict=True)
    )


def _summed(keys: Sequence[Labels], values: Floats) -> tuple[list[list[int]], list[float]]:
    """Sums of the values by their keys, in the order of the keys."""
    if not len(values):
        return [], []
    rows, of = np.unique(np.stack(keys, axis=1), axis=0, return_inverse=True)
    return rows.tolist(), np.bincount(of.ravel(), weights=values).tolist()


def _at_ground(coverage: Coverage, strip: Floats) -> tuple[AtGround, ...]:
    face, bay = np.nonzero(strip)
    rows, totals = _summed([coverage.labels[face], bay], strip[face, bay])
    return tuple(
        AtGround(paint=paint, bay=bay_ + 1, area=total)
        for (paint, bay_), total in zip(rows, totals, strict=True)
        if total > _TRACE
    )


def _feet(coverage: Coverage, low: Zones, strip: Floats, base: int) -> tuple[Foot, ...]:
    at = np.flatnonzero((coverage.labels != base) & (strip > _TRACE))
    found = []
    bounds = shapely.bounds(coverage.faces[at]).reshape(-1, 4)
    for face, (start, _, end, _) in zip(at.tolist(), bounds.tolist(), strict=True):
        xy = shapely.get_coordinates(coverage.faces[face])
        heights = heights_above(low, xy)
        level = np.flatnonzero(heights <= heights.min() + _TRACE)
        lowest = level[np.argmin(xy[level, 0])]
        found.append(
            Foot(
                paint=int(coverage.labels[face]),
                start=start,
                end=end,
                x=float(xy[lowest, 0]),
                height=max(float(heights[lowest]), 0.0),
                area=float(strip[face]),
            )
        )
    return tuple(sorted(found, key=lambda foot: (foot.start, foot.paint)))
