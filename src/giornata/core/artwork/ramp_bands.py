"""A gradient cut into flat bands, exactly along its lines of equal colour."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from giornata.core.artwork.ramp import Ramp, Spread, along
from giornata.core.foundation import Floats

__all__ = ["MOST_BANDS", "Band", "TooManyBands", "cut", "even_bands", "nearest_bands"]

MOST_BANDS = 1_000
_SAMPLES = 512  # a segment between two stops is looked at in so many places
_HALVINGS = 60
_LEAST = 1.0e-12  # of the area; smaller pieces are crumbs of the arithmetic
_CIRCLE_TOLERANCE = 1.0e-5  # chord to circle, over the canvas's mean side

Nearest = Callable[[Floats], np.ndarray[tuple[int], np.dtype[np.intp]]]


class TooManyBands(Exception):
    """The gradient repeats so often over its shape that it is a texture."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """From ``start`` on along the run, the paint of index ``paint`` shows.

    Parameters
    ----------
    start : float
        Place on the run; minus infinity for the first. [-]
    paint : int
        0 or more. [-]
    """

    start: float
    paint: int


def even_bands(count: int) -> tuple[Band, ...]:
    """Bands of equal length along the run, numbered from its beginning. [-]

    Parameters
    ----------
    count : int
        1 or more. [-]

    Raises
    ------
    ValueError
        If there is none.
    """
    if count < 1:
        raise ValueError("a run has one step or more")
    return tuple(Band(start=k / count, paint=k) for k in range(count))


def nearest_bands(ramp: Ramp, nearest: Nearest) -> tuple[Band, ...]:
    """Bands of the run in each of which one paint looks nearest. [-]

    Parameters
    ----------
    ramp : Ramp
        The gradient.
    nearest : callable
        Index of the nearest paint for red, green, blue and opacity, shape (n, 4).

    Notes
    -----
    Each segment between two stops is sampled in 513 places; a change of paint between two is
    then found by halving to the last bit. A paint nearest over less than 1/512 of a segment only
    may be passed over.
    """
    bands: list[Band] = []
    places = ramp.stops[:, 0]
    for low, high in zip(ramp.stops[:-1], ramp.stops[1:], strict=True):
        if high[0] > low[0]:
            bands += _segment(low, high, nearest)
    if places[0] > 0:
        bands.insert(0, Band(start=0.0, paint=int(nearest(ramp.stops[:1, 1:])[0])))
    if places[-1] < 1 or not bands:
        bands.append(Band(start=float(places[-1]), paint=int(nearest(ramp.stops[-1:, 1:])[0])))
    return _merged(bands)


def _segment(low: Floats, high: Floats, nearest: Nearest) -> list[Band]:
    def paint(share: Floats) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
        return nearest(low[1:] + share[:, None] * (high[1:] - low[1:]))

    share = np.linspace(0.0, 1.0, _SAMPLES + 1)
    seen = paint(share)
    at = np.flatnonzero(seen[1:] != seen[:-1])
    left, right = share[at].copy(), share[at + 1].copy()
    for _ in range(_HALVINGS if len(at) else 0):
        middle = (left + right) / 2
        same = paint(middle) == seen[at]
        left, right = np.where(same, middle, left), np.where(same, right, middle)
    starts = [0.0, *right.tolist()]
    paints = [int(seen[0]), *(int(value) for value in seen[at + 1])]
    return [
        Band(start=float(low[0] + start * (high[0] - low[0])), paint=number)
        for start, number in zip(starts, paints, strict=True)
    ]


def _merged(bands: Sequence[Band]) -> tuple[Band, ...]:
    kept: list[Band] = []
    for band in bands:
        if kept and band.start <= kept[-1].start:
            kept.pop()
        if not kept or kept[-1].paint != band.paint:
            kept.append(band)
    return tuple(kept)


def _unfolded(
    bands: Sequence[Band], ramp: Ramp, reach: tuple[float, float], ends: tuple[int, int]
) -> tuple[Band, ...]:
    """Bands over the whole reach, the run padded, repeated or reflected beyond its ends."""
    before, after = ends
    if ramp.spread is Spread.PAD:
        out = [Band(start=-math.inf, paint=before), *bands]
        return _merged([*out, Band(start=1.0, paint=after)])
    first, last = math.floor(reach[0]), math.floor(reach[1])
    if (last - first + 1) * len(bands) > MOST_BANDS:
        raise TooManyBands
    out = []
    for turn in range(first, last + 1):
        if ramp.spread is Spread.REFLECT and turn % 2:
            ends_at = [*(band.start for band in bands[1:]), 1.0]
            out += [
                Band(start=turn + 1 - end, paint=band.paint)
                for band, end in zip(reversed(bands), reversed(ends_at), strict=True)
            ]
        else:
            out += [Band(start=turn + band.start, paint=band.paint) for band in bands]
    return _merged([Band(start=-math.inf, paint=out[0].paint), *out[1:]])


def cut(
    area: shapely.Geometry,
    ramp: Ramp,
    bands: Sequence[Band],
    *,
    mean_side: float,
    ends: tuple[int, int] | None = None,
) -> list[tuple[shapely.Geometry, int]]:
    """An area in bands, to be laid over one another in this order, each with its paint.

    Parameters
    ----------
    area : shapely.Polygon or shapely.MultiPolygon
        What the gradient fills; artwork frame.
    ramp : Ramp
        The gradient.
    bands : sequence of Band
        Over one run, from 0.
    mean_side : float
        Geometric mean of the canvas's sides; above 0. [artwork units]
    ends : tuple of int, optional
        Paints before the run's beginning and after its end; those of the first and last band
        unless given.

    Raises
    ------
    TooManyBands
        If a repeated run crosses the area too often.

    Notes
    -----
    Each piece is all of the area from where its band begins, so the next covers the rest of it:
    no gap can open between two. A straight run's bands end on straight lines; a round one's on
    polygons whose sides stay within 1e-5 of the canvas's mean side of the circle.
    """
    area = _within_ends(area, ramp, mean_side)
    if area is None:
        return []
    places = along(ramp, shapely.get_coordinates(area))
    low = 0.0 if ramp.radial else float(places.min())
    reach = (low, float(places.max()))
    ends = (bands[0].paint, bands[-1].paint) if ends is None else ends
    listed = _unfolded(bands, ramp, reach, ends)
    below = [band for band in listed if band.start <= reach[0]]
    pieces = [(area, below[-1].paint)]
    for band in listed:
        if reach[0] < band.start < reach[1]:
            part = _from(area, ramp, band.start, reach, mean_side)
            if part is not None:
                pieces.append((part, band.paint))
    return pieces


def _within_ends(area: shapely.Geometry, ramp: Ramp, mean_side: float) -> shapely.Geometry | None:
    """What of the area shows at all, where the gradient ends with its run."""
    if ramp.extend == (True, True):
        return area
    places = along(ramp, shapely.get_coordinates(area))
    reach = (float(places.min()), float(places.max()))
    inside: shapely.Geometry | None = area
    if not ramp.extend[0] and reach[0] < 0:
        inside = _from(area, ramp, 0.0, reach, mean_side) if reach[1] > 0 else None
    if inside is not None and not ramp.extend[1] and reach[1] > 1:
        beyond = _from(inside, ramp, 1.0, reach, mean_side) if reach[0] < 1 else inside
        if beyond is not None:
            inside = _polygons(shapely.difference(inside, beyond), area.area)
    return inside


def _from(
    area: shapely.Geometry, ramp: Ramp, start: float, reach: tuple[float, float], mean_side: float
) -> shapely.Geometry | None:
    """What of the area lies at or beyond a place on the run."""
    if ramp.radial:
        disc = _disc(ramp, start, mean_side)
        return _polygons(area if disc is None else shapely.difference(area, disc), area.area)
    half = _half_plane(ramp, start, reach[1], shapely.get_coordinates(area))
    return _polygons(shapely.intersection(area, half), area.area)


def _half_plane(ramp: Ramp, start: float, high: float, points: Floats) -> shapely.Polygon:
    a, b, c, d, e, f = ramp.artwork_from_ramp
    forward = np.array([[a, c], [b, d]])
    own = (points - (e, f)) @ np.linalg.inv(forward).T - ramp.start[:2]
    step = np.subtract(ramp.end[:2], ramp.start[:2])
    across = np.array([-step[1], step[0]])
    aside = own @ across / float(step @ step)
    margin = 1.0 + float(np.ptp(aside)) + high - start
    low, up = float(aside.min()) - margin, float(aside.max()) + margin
    corners = [(start, low), (high + margin, low), (high + margin, up), (start, up)]
    plane = np.array([t * step + s * across for t, s in corners]) + ramp.start[:2]
    return shapely.Polygon(plane @ forward.T + (e, f))


def _disc(ramp: Ramp, place: float, mean_side: float) -> shapely.Polygon | None:
    """The circle of a place on the run, with all inside it; None where it has no size."""
    centre = np.array(ramp.start[:2]) + place * np.subtract(ramp.end[:2], ramp.start[:2])
    radius = ramp.start[2] + place * (ramp.end[2] - ramp.start[2])
    if radius <= 0:
        return None
    a, b, c, d, e, f = ramp.artwork_from_ramp
    forward = np.array([[a, c], [b, d]])
    largest = radius * float(np.linalg.norm(forward, 2))
    flat = min(_CIRCLE_TOLERANCE * mean_side / largest, 0.5)
    # Half the height of a chord outside and half inside keeps the area: the polygon's radius is
    # such that it is as large as the circle.
    sides = max(16, math.ceil(math.pi / math.acos(1.0 - flat)))
    turn = 2 * math.pi / sides
    radius *= math.sqrt(turn / math.sin(turn))
    angle = turn * np.arange(sides)
    ring = centre + radius * np.column_stack((np.cos(angle), np.sin(angle)))
    return shapely.Polygon(ring @ forward.T + (e, f))


def _polygons(geometry: shapely.Geometry, whole: float) -> shapely.Geometry | None:
    parts = shapely.get_parts(geometry)
    while any(isinstance(part, shapely.GeometryCollection) for part in parts):
        parts = shapely.get_parts(parts)  # a collection's polygons may be several to a part
    flat = shapely.get_parts(parts)
    kept = [
        part for part in flat if isinstance(part, shapely.Polygon) and part.area > _LEAST * whole
    ]
    if not kept:
        return None
    return kept[0] if len(kept) == 1 else shapely.MultiPolygon(kept)
