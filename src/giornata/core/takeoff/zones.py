"""Zones: the wall in bays and in bands of height above the ground, and what lies in each."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.foundation import Assumption
from giornata.core.geometry import Geometries, Labels

__all__ = ["GROUND_STRIP", "HAND", "STEP", "Zones", "cut_at", "heights_above", "zone_areas"]

Floats = NDArray[np.float64]

HAND = Assumption(
    name="height above the ground that is painted standing",
    value=1.8,
    unit="m",
    source="common practice, no source",
    usual=(1.6, 2.0),
)
STEP = Assumption(
    name="height above the ground that is painted from steps or a podium",
    value=3.5,
    unit="m",
    source="no published source: podium of 1.0 m, 1.8 m reach and 0.7 m of pole",
    usual=(3.0, 3.5),
)
GROUND_STRIP = Assumption(
    name="height above the ground line within which levels are checked on the wall",
    value=0.10,
    unit="m",
    source="common practice, no source: soil, paving and weeds differ from the survey by as much",
    usual=(0.05, 0.30),
)
_FAR = 1e3  # m: beyond any wall


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Zones:
    """Bays along the wall, bands above its ground.

    Parameters
    ----------
    bays : tuple of float
        Chainages between bays, rising, without the wall's ends. [m]
    ground : ndarray, shape (n, 2)
        Chainage and level of the ground; two rows at one chainage are a step. [m]
    heights : tuple of float
        Heights above the ground between bands, rising. [m]
    """

    bays: tuple[float, ...]
    ground: Floats
    heights: tuple[float, ...]

    def stretches(self) -> tuple[Floats, Floats]:
        """Ground between two breaks each: chainages ``(m, 2)`` and levels ``(m, 2)``. [m]"""
        ground = self.ground
        level = [ground[0, 1], *ground[:, 1], ground[-1, 1]]
        at = [ground[0, 0] - _FAR, *ground[:, 0], ground[-1, 0] + _FAR]
        found = []
        for k in range(len(at) - 1):
            if at[k + 1] <= at[k]:
                continue
            cuts = [b for b in self.bays if at[k] < b < at[k + 1]]
            ends = [at[k], *cuts, at[k + 1]]
            levels = np.interp(ends, [at[k], at[k + 1]], [level[k], level[k + 1]])
            found += [
                (ends[j], ends[j + 1], levels[j], levels[j + 1]) for j in range(len(ends) - 1)
            ]
        rows = np.array(found)
        return rows[:, :2], rows[:, 2:]

    def bay_of(self, chainage: Floats) -> Labels:
        """Bay of each chainage, from 0. [-]"""
        return np.searchsorted(self.bays, chainage, side="right").astype(np.intp)


def heights_above(zones: Zones, xy: Floats) -> Floats:
    """Heights of points above the ground, above the lower side where it steps. [m]

    Parameters
    ----------
    xy : ndarray, shape (k, 2)
        Chainage and level of the points. [m]
    """
    at, level = zones.stretches()
    on = np.clip(np.searchsorted(at[:, 0], xy[:, 0], side="right") - 1, 0, len(at) - 1)
    share = (xy[:, 0] - at[on, 0]) / (at[on, 1] - at[on, 0])
    height = xy[:, 1] - (level[on, 0] + share * (level[on, 1] - level[on, 0]))
    before = np.maximum(on - 1, 0)
    step = (xy[:, 0] == at[on, 0]) & (on > 0)
    return np.asarray(np.where(step, np.maximum(height, xy[:, 1] - level[before, 1]), height))


def zone_areas(faces: Geometries, zones: Zones) -> Floats:
    """Area of each face in each bay and band, shape (n, bays + 1, heights + 1). [m²]

    Parameters
    ----------
    faces : ndarray of shapely.Polygon, shape (n,)
        Wall frame. [m]

    Notes
    -----
    The zones tile the plane, so a face's areas sum to its own.
    """
    at, level = zones.stretches()
    edges = (-_FAR, *zones.heights, _FAR)
    boxes, bays, bands = [], [], []
    for (x0, x1), (g0, g1) in zip(at, level, strict=True):
        bay = int(zones.bay_of(np.array([(x0 + x1) / 2]))[0])
        for band, (low, high) in enumerate(itertools.pairwise(edges)):
            corners = [(x0, g0 + low), (x1, g1 + low), (x1, g1 + high), (x0, g0 + high)]
            boxes.append(shapely.Polygon(corners))
            bays.append(bay)
            bands.append(band)
    areas = np.zeros((len(faces), len(zones.bays) + 1, len(zones.heights) + 1))
    zone, face = shapely.STRtree(faces).query(boxes, predicate="intersects")
    inside = shapely.area(shapely.intersection(faces[face], np.array(boxes, dtype=object)[zone]))
    np.add.at(areas, (face, np.array(bays)[zone], np.array(bands)[zone]), inside)
    return areas


def cut_at(start: Floats, end: Floats, zones: Zones) -> tuple[Floats, Labels, Labels, Labels]:
    """Segments cut where zones meet: length, segment, bay and band of each piece. [m]

    Parameters
    ----------
    start, end : ndarray, shape (k, 2)
        Of the segments. [m]
    """
    at, _ = zones.stretches()
    start, end, whole = _cut_upright(start, end, at[1:, 0])
    pieces = np.arange(len(start))
    low, high = _end_heights(start, end, zones)
    cuts = [
        (pieces[crosses], (height - low[crosses]) / (high - low)[crosses])
        for height in zones.heights
        for crosses in [np.flatnonzero((low - height) * (high - height) < 0)]
    ]
    start, end, again = _split(start, end, cuts)
    low, high = _end_heights(start, end, zones)
    band = np.searchsorted(zones.heights, (low + high) / 2, side="right").astype(np.intp)
    length = np.hypot(*(end - start).T)
    bay = zones.bay_of((start[:, 0] + end[:, 0]) / 2)
    return np.asarray(length), whole[again], bay, band


def _end_heights(start: Floats, end: Floats, zones: Zones) -> tuple[Floats, Floats]:
    """Heights of both ends over the stretch of ground that the middle stands on. [m]"""
    at, level = zones.stretches()
    middle = (start[:, 0] + end[:, 0]) / 2
    on = np.clip(np.searchsorted(at[:, 0], middle, side="right") - 1, 0, len(at) - 1)
    rise = (level[on, 1] - level[on, 0]) / (at[on, 1] - at[on, 0])
    low, high = (xy[:, 1] - (level[on, 0] + rise * (xy[:, 0] - at[on, 0])) for xy in (start, end))
    return low, high


def _cut_upright(start: Floats, end: Floats, places: Floats) -> tuple[Floats, Floats, Labels]:
    """Segments cut where they cross chainages, and the segment each piece is part of."""
    a, b = start[:, 0], end[:, 0]
    cuts = []
    for place in places:
        crosses = np.flatnonzero((a - place) * (b - place) < 0)
        cuts.append((crosses, (place - a[crosses]) / (b - a)[crosses]))
    return _split(start, end, cuts)


def _split(
    start: Floats, end: Floats, cuts: Sequence[tuple[Labels, Floats]]
) -> tuple[Floats, Floats, Labels]:
    """Segments split at shares of their length, and the segment each piece is part of."""
    count = len(start)
    segment = np.concatenate([np.arange(count), *(at for at, _ in cuts)]).astype(np.intp)
    share = np.concatenate([np.zeros(count), *(share for _, share in cuts)])
    order = np.lexsort((share, segment))
    segment, share = segment[order], share[order]
    last = np.append(segment[1:] != segment[:-1], True)
    until = np.where(last, 1.0, np.append(share[1:], 1.0))
    way = (end - start)[segment]
    begin = start[segment] + share[:, None] * way
    stop = np.where(last[:, None], end[segment], start[segment] + until[:, None] * way)
    return begin, stop, segment
