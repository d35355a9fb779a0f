"""How well places of the wall are known from a photo: a map, its best and its worst place."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

from giornata.core.foundation import Floats, readonly
from giornata.core.photography.wall_in_photo import WallInPhoto, error_radius

__all__ = ["ErrorMap", "PlaceError", "error_map", "hull_of", "places_inside"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceError:
    """How well one place of the wall is known.

    Parameters
    ----------
    chainage, level : float
        The place. [m]
    error : float
        Longer half axis of its 95 % ellipse. [m]
    """

    chainage: float
    level: float
    error: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ErrorMap:
    """Errors on a grid over the hull of the known points.

    Parameters
    ----------
    chainages, levels : ndarray, shape (k,), (m,)
        Of the grid. [m]
    errors : ndarray, shape (m, k)
        Longer half axis of the 95 % ellipse; infinite outside the hull. [m]
    best, worst : PlaceError
        Inside the hull, its corners included.
    """

    chainages: Floats
    levels: Floats
    errors: Floats
    best: PlaceError
    worst: PlaceError

    def __post_init__(self) -> None:
        for name in ("chainages", "levels"):
            object.__setattr__(self, name, readonly(getattr(self, name)))
        self.errors.setflags(write=False)
        if self.errors.shape != (len(self.levels), len(self.chainages)):
            raise ValueError("a map has a row for each level and a column for each chainage")


def places_inside(found: ErrorMap) -> tuple[PlaceError, ...]:
    """The places of a map that lie inside the hull, row by row from the foot."""
    return tuple(
        PlaceError(
            chainage=float(found.chainages[column]),
            level=float(found.levels[row]),
            error=float(found.errors[row, column]),
        )
        for row, column in np.argwhere(np.isfinite(found.errors))
    )


def hull_of(places_wall: Floats) -> Floats:
    """Corners of the convex hull of places, anticlockwise, the first not repeated, (m, 2). [m]

    Parameters
    ----------
    places_wall : ndarray, shape (n, 2)
        At least three, not all in a line. [m]
    """
    ring = shapely.get_exterior_ring(shapely.convex_hull(shapely.multipoints(places_wall)))
    corners = shapely.get_coordinates(shapely.normalize(ring))[:-1]
    return readonly(corners)


def error_map(view: WallInPhoto, hull: Floats, *, steps: int = 40) -> ErrorMap:
    """The photo's own error, without that of picking, over the hull of its known points.

    Parameters
    ----------
    view : WallInPhoto
        The wall in the photo.
    hull : ndarray, shape (m, 2)
        Corners of the hull. [m]
    steps : int
        Columns and rows of the grid less one; at least 1.

    Raises
    ------
    ValueError
        If there are no steps.
    """
    if steps < 1:
        raise ValueError("a map has one step or more")
    (left, low), (right, high) = hull.min(axis=0), hull.max(axis=0)
    chainages = np.linspace(left, right, steps + 1)
    levels = np.linspace(low, high, steps + 1)
    at, up = np.meshgrid(chainages, levels)
    grid = np.column_stack([at.ravel(), up.ravel()])
    inside = shapely.intersects_xy(shapely.buffer(shapely.polygons(hull), 1e-9), grid)
    errors = np.full(len(grid), math.inf)
    errors[inside] = error_radius(view.covariances(grid[inside], 0.0))
    corners = error_radius(view.covariances(hull, 0.0))
    places = np.concatenate([grid[inside], hull])
    found = np.concatenate([errors[inside], corners])

    def place(index: int) -> PlaceError:
        chainage, level = places[index]
        return PlaceError(chainage=float(chainage), level=float(level), error=float(found[index]))

    return ErrorMap(
        chainages=chainages,
        levels=levels,
        errors=errors.reshape(at.shape),
        best=place(int(found.argmin())),
        worst=place(int(found.argmax())),
    )
