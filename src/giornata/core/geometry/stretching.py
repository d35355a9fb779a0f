"""Stretching: a coverage taken through a rising, piecewise straight map of its first coordinate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from giornata.core.geometry.coverage import Coverage, Geometries

__all__ = ["RowShift", "shifted_in_rows", "stretched", "stretched_at"]

Floats = NDArray[np.float64]


def stretched_at(x: ArrayLike, knots: ArrayLike, shifts: ArrayLike) -> Floats:
    """First coordinates taken through the map. [unit of the coordinates]

    Parameters
    ----------
    x : array, shape (n,)
        [unit of the coordinates]
    knots, shifts : array, shape (k,)
        Where the map's rate changes, rising, and by how much it moves each of them; beyond the
        ends everything moves as the end does. [unit of the coordinates]

    Raises
    ------
    ValueError
        If the knots do not rise, or would not rise once they are moved.

    Notes
    -----
    Between two knots of equal shift every coordinate has that same number added to it, so what
    lies between them keeps its form to the rounding of one addition.

    Examples
    --------
    >>> stretched_at([0.5, 2.0, 3.5], [1.0, 3.0], [0.0, 1.0]).tolist()
    [0.5, 2.5, 4.5]
    """
    at, moved = np.asarray(knots, dtype=np.float64), np.asarray(shifts, dtype=np.float64)
    if at.ndim != 1 or at.shape != moved.shape or not len(at):
        raise ValueError("each knot has its shift, and there is one")
    if not (np.diff(at) > 0).all() or not (np.diff(at + moved) > 0).all():
        raise ValueError("knots rise, before the map and after it")
    places = np.asarray(x, dtype=np.float64)
    return places + np.interp(places, at, moved)


def stretched(coverage: Coverage, knots: ArrayLike, shifts: ArrayLike) -> Coverage:
    """The coverage taken through the map of `stretched_at`, cut at the knots so that it fits.

    Parameters
    ----------
    knots, shifts : array, shape (k,)
        As in `stretched_at`. [unit of the coordinates]

    Raises
    ------
    ValueError
        If the knots do not rise, or would not rise once they are moved.

    Notes
    -----
    A slanting segment that passes a knot gets a vertex there. It is worked out from the
    segment's lower end to its upper one whichever way it runs, so the two faces beside it get
    the same vertex.
    """
    at = np.asarray(knots, dtype=np.float64)

    def moved(geometries: Geometries) -> Geometries:
        cut = _with_vertices(geometries, at)
        return np.asarray(shapely.transform(cut, lambda xy: _shifted(xy, at, shifts)))

    return Coverage(
        faces=moved(coverage.faces),
        labels=coverage.labels.copy(),
        edges=moved(coverage.edges),
        left=coverage.left.copy(),
        right=coverage.right.copy(),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RowShift:
    """How everything up to a level is moved.

    Parameters
    ----------
    top : float
        Second coordinate up to which it holds, down to the row below. [unit of the coordinates]
    knots, shifts, lifts : ndarray, shape (k,)
        As in `stretched_at`, lifts being shifts of the second coordinate. [unit of the coordinates]
    """

    top: float
    knots: Floats
    shifts: Floats
    lifts: Floats


def shifted_in_rows(coverage: Coverage, rows: Sequence[RowShift]) -> Coverage:
    """The coverage with each row's vertices moved by the row's own map, both ways.

    Parameters
    ----------
    rows : sequence of RowShift
        From the lowest up; what lies above the last one moves as it does.

    Raises
    ------
    ValueError
        If there is no row, tops do not rise, or as for `stretched`.

    Notes
    -----
    What lies across two rows keeps its form where both move it alike.
    """
    tops = np.array([row.top for row in rows])
    if not len(rows) or not (np.diff(tops) > 0).all():
        raise ValueError("there is a row, and tops rise")
    knots = np.unique(np.concatenate([row.knots for row in rows]))

    def moved(xy: Floats) -> Floats:
        made = np.array(xy)
        which = np.minimum(np.searchsorted(tops, xy[:, 1], side="left"), len(rows) - 1)
        for number, row in enumerate(rows):
            own = which == number
            made[own, 0] = stretched_at(xy[own, 0], row.knots, row.shifts)
            made[own, 1] += np.interp(xy[own, 0], row.knots, row.lifts)
        return made

    def all_moved(geometries: Geometries) -> Geometries:
        return np.asarray(shapely.transform(_with_vertices(geometries, knots), moved))

    return Coverage(
        faces=all_moved(coverage.faces),
        labels=coverage.labels.copy(),
        edges=all_moved(coverage.edges),
        left=coverage.left.copy(),
        right=coverage.right.copy(),
    )


def _shifted(xy: Floats, knots: Floats, shifts: ArrayLike) -> Floats:
    return np.stack([stretched_at(xy[:, 0], knots, shifts), xy[:, 1]], axis=1)


def _with_vertices(geometries: Geometries, knots: Floats) -> Geometries:
    """The geometries with a vertex wherever a slanting segment passes a knot."""
    bounds = shapely.bounds(geometries)
    within = np.searchsorted(knots, bounds[:, 2], side="left") > np.searchsorted(
        knots, bounds[:, 0], side="right"
    )
    made = np.array(geometries, dtype=object)
    for k in np.flatnonzero(within):
        made[k] = _cut(geometries[k], knots)
    return made


def _cut(geometry: shapely.Geometry, knots: Floats) -> shapely.Geometry:
    if isinstance(geometry, shapely.Polygon):
        shell = _cut_line(shapely.get_coordinates(geometry.exterior), knots)
        holes = [_cut_line(shapely.get_coordinates(ring), knots) for ring in geometry.interiors]
        return shapely.Polygon(shell, holes)
    return shapely.LineString(_cut_line(shapely.get_coordinates(geometry), knots))


def _cut_line(xy: Floats, knots: Floats) -> Floats:
    start, end = xy[:-1], xy[1:]
    low = np.searchsorted(knots, np.minimum(start[:, 0], end[:, 0]), side="right")
    high = np.searchsorted(knots, np.maximum(start[:, 0], end[:, 0]), side="left")
    count = np.where(start[:, 1] == end[:, 1], 0, np.maximum(high - low, 0))
    if not count.any():
        return xy
    segment = np.repeat(np.arange(len(start)), count)
    step = np.arange(len(segment)) - np.repeat(np.cumsum(count) - count, count)
    rising = start[segment, 0] < end[segment, 0]
    knot = np.where(rising, low[segment] + step, high[segment] - 1 - step)
    first = np.where(rising[:, None], start[segment], end[segment])
    last = np.where(rising[:, None], end[segment], start[segment])
    share = (knots[knot] - first[:, 0]) / (last[:, 0] - first[:, 0])
    level = first[:, 1] + share * (last[:, 1] - first[:, 1])
    return np.insert(xy, segment + 1, np.stack([knots[knot], level], axis=1), axis=0)
