"""Known points: places on the wall that were measured and are seen in a photo."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Assumption, Floats, readonly

__all__ = ["PICKING", "KnownPoint", "photo_of", "thinness", "wall_of"]

PICKING = Assumption(
    name="picking of a corner in a sharp photo",
    value=1.0,
    unit="px",
    source="common practice, no source: a nudged cross is known to a pixel, a fingertip to three",
    usual=(0.3, 3.0),
)
_MOST = 24  # points looked at for four in general position; more only add time


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownPoint:
    """A place on the wall with its place in a photo.

    Parameters
    ----------
    name : str
        As the painter calls it.
    chainage, level : float
        Measured at the wall. [m]
    x, y : float
        In the upright photo, from the outer corner of its first pixel, y down. [px]
    chainage_sigma, level_sigma : float
        Standard deviations of the two measures; 0 or more. [m]
    pixel_sigma : float
        Standard deviation of the pick, of x and of y; above 0. [px]
    """

    name: str
    chainage: float
    level: float
    x: float
    y: float
    chainage_sigma: float
    level_sigma: float
    pixel_sigma: float = PICKING.value

    def __post_init__(self) -> None:
        numbers = (self.chainage, self.level, self.x, self.y)
        if not all(math.isfinite(number) for number in numbers):
            raise ValueError("a known point's places are finite numbers")
        if not (0 <= self.chainage_sigma < math.inf and 0 <= self.level_sigma < math.inf):
            raise ValueError("a measure's precision is 0 or more")
        if not 0 < self.pixel_sigma < math.inf:
            raise ValueError("a pick's precision is above 0 px")


def wall_of(points: Sequence[KnownPoint]) -> Floats:
    """Chainage and level of the points, shape (n, 2). [m]"""
    return readonly([(point.chainage, point.level) for point in points], columns=2)


def photo_of(points: Sequence[KnownPoint]) -> Floats:
    """Pixel places of the points, shape (n, 2). [px]"""
    return readonly([(point.x, point.y) for point in points], columns=2)


def thinness(places: Floats) -> float:
    """How far the best four of the points are from having three in a line. [unit of the places]

    Parameters
    ----------
    places : ndarray, shape (n, 2)
        Points of a plane.

    Notes
    -----
    A plane is carried onto another by four points of which no three lie in a line (Hartley and
    Zisserman 2004, Multiple View Geometry, section 2.3). The least height of the four triangles
    that four points make is 0 where three of them do; the greatest such height over all fours is
    returned, 0 where there are fewer than four points. Of many points only the 24 that lie widest
    apart are looked at.

    Examples
    --------
    >>> round(thinness(np.array([[0.0, 0.0], [3.0, 0.0], [3.0, 4.0], [0.0, 4.0]])), 3)
    2.4
    >>> thinness(np.array([[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [1.0, 5.0]]))
    0.0
    """
    kept = _widest(np.asarray(places, dtype=np.float64))
    if len(kept) < 4:
        return 0.0
    fours = np.array(list(itertools.combinations(range(len(kept)), 4)))
    least = np.full(len(fours), np.inf)
    for triple in itertools.combinations(range(4), 3):
        a, b, c = (kept[fours[:, corner]] for corner in triple)
        ab, ac, bc = b - a, c - a, c - b
        doubled = np.abs(ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0])
        longest = np.max([np.hypot(*ab.T), np.hypot(*ac.T), np.hypot(*bc.T)], axis=0)
        height = np.divide(doubled, longest, out=np.zeros(len(fours)), where=longest > 0)
        least = np.minimum(least, height)
    return float(least.max())


def _widest(places: Floats) -> Floats:
    """At most so many of the points, each the farthest from those before it."""
    if len(places) <= _MOST:
        return places
    chosen = [int(np.argmax(np.hypot(*(places - places.mean(axis=0)).T)))]
    away = np.hypot(*(places - places[chosen[0]]).T)
    while len(chosen) < _MOST:
        chosen.append(int(np.argmax(away)))
        away = np.minimum(away, np.hypot(*(places - places[chosen[-1]]).T))
    return places[chosen]
