"""Lines of the wall as they run in a picture: bent where wall or lens bend them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np
import shapely

from giornata.core.foundation import Floats
from giornata.core.projection import WallMap, bend_of, px_from_wall_matrix

__all__ = ["WithinPicture", "bent"]

_OFF = 0.02  # px: a stretch drawn straight is off by no more
_MOST = 14  # halvings


def bent(on_wall: WallMap, line: Floats) -> Floats:
    """A line of the wall in the picture, points put in until straight stretches will do.

    Parameters
    ----------
    on_wall : WallMap
    line : ndarray, shape (n, 2)
        At least two places. [m]

    Returns
    -------
    ndarray, shape (m, 2)
        In the picture, the given places among them. [px]

    Notes
    -----
    Halved where the middle of a stretch lies more than 0.02 px beside the straight one, so the
    same stretch of two neighbouring regions gets the same points whichever way it runs.
    """
    places: Floats = np.asarray(line, dtype=np.float64)
    hinge = bend_of(on_wall)
    if hinge is not None:
        places = _across(places, hinge)
    if px_from_wall_matrix(on_wall) is None:
        for _ in range(_MOST):
            seen = on_wall.px_from_wall(places)
            middles = (places[1:] + places[:-1]) / 2
            beside = on_wall.px_from_wall(middles) - (seen[1:] + seen[:-1]) / 2
            far = np.flatnonzero((np.abs(beside) > _OFF).any(axis=1))
            if len(far) == 0:
                break
            places = np.insert(places, far + 1, middles[far], axis=0)
    found: Floats = on_wall.px_from_wall(places)
    return found


def _across(places: Floats, hinge: float) -> Floats:
    """The line with a place where it crosses the fold."""
    side = places[:, 0] - hinge
    crossing = np.flatnonzero(side[1:] * side[:-1] < 0)
    if len(crossing) == 0:
        return places
    # Told from its left end, whichever way it runs, so that both neighbours have the same place.
    turned = side[crossing] > 0
    left, right = crossing + turned, crossing + ~turned
    share = side[left] / (side[left] - side[right])
    level = places[left, 1] + share * (places[right, 1] - places[left, 1])
    at = np.column_stack([np.full(len(level), hinge), level])
    return np.insert(places, crossing + 1, at, axis=0)


class WithinPicture:
    """Geometries of the wall, cut to about what a picture shows and mapped into it.

    Parameters
    ----------
    on_wall : WallMap
    window : tuple of float
        Start, foot, end and head of what is kept: a little more than the picture. [m]
    """

    def __init__(self, on_wall: WallMap, window: tuple[float, float, float, float]) -> None:
        self._on_wall, self._window = on_wall, shapely.box(*window)

    def rings(self, area: Any) -> Iterator[Floats]:
        """Rings of a polygon or of several in the picture, without their last point. [px]

        Parameters
        ----------
        area : shapely geometry
            In the wall frame. [m]
        """
        kept = area if shapely.covers(self._window, area) else self._cut(area)
        for ring in shapely.get_rings(shapely.get_parts(kept)):
            yield bent(self._on_wall, shapely.get_coordinates(ring))[:-1]

    def lines(self, line: Any) -> Iterator[Floats]:
        """Parts of a line in the picture. [px]

        Parameters
        ----------
        line : shapely geometry
            In the wall frame. [m]
        """
        kept = line if shapely.covers(self._window, line) else self._cut(line)
        for part in shapely.get_parts(kept):
            if part.geom_type in ("LineString", "LinearRing"):
                yield bent(self._on_wall, shapely.get_coordinates(part))

    def _cut(self, geometry: Any) -> Any:
        made = shapely.intersection(geometry, self._window)
        # What only touches the window is left over as points or lines, and draws nothing.
        return shapely.geometrycollections(
            [p for p in shapely.get_parts(made) if p.geom_type != "Point"]
        )
