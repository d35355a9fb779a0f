"""How far off a squared picture may be: over what it draws, and along every line of the artwork."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from giornata.core.foundation import Floats
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.projection.alignment import (
    INSIDE_95,
    Alignment,
    error_covariance,
    error_radius,
)

__all__ = ["Ellipse", "LineError", "PictureError", "line_errors", "lines_inside", "picture_error"]

_STEP = 0.10  # m between the places of a line that are looked at
_ACROSS, _UP = 13, 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Ellipse:
    """Where the light of one place falls, 95 times of 100.

    Parameters
    ----------
    chainage, level : float
        Its middle. [m]
    longer, shorter : float
        Half axes. [m]
    turn : float
        Of the longer axis from the level, anticlockwise as you face the wall. [rad]
    """

    chainage: float
    level: float
    longer: float
    shorter: float
    turn: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureError:
    """How far off the light may be over the part of the wall that is drawn, 95 times of 100.

    Parameters
    ----------
    middle : float
        At half of all places no more. [m]
    most : float
        At 95 of 100 places no more. [m]
    worst : Ellipse
        Where it is greatest.
    ellipses : tuple of Ellipse
        At the corners, the middles of the sides and the middle of what is drawn.
    """

    middle: float
    most: float
    worst: Ellipse
    ellipses: tuple[Ellipse, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineError:
    """How far off the light may be along one line of the artwork, 95 times of 100.

    Parameters
    ----------
    edge : int
        Index of the edge in the coverage. [-]
    left, right : int
        Numbers of the paints that meet there. [-]
    length : float
        Of the part that this set-up draws. [m]
    most : float
        Along 95 of 100 places of it no more. [m]
    worst : float
        At its worst place. [m]
    chainage, level : float
        Of that place. [m]
    """

    edge: int
    left: int
    right: int
    length: float
    most: float
    worst: float
    chainage: float
    level: float


def _ellipses(found: Alignment, places: Floats, widened: float) -> tuple[Ellipse, ...]:
    values, vectors = np.linalg.eigh(error_covariance(found, places))
    half = widened * np.sqrt(INSIDE_95 * np.maximum(values, 0.0))
    return tuple(
        Ellipse(
            chainage=x, level=y, longer=longer, shorter=shorter,
            turn=math.remainder(math.atan2(axis[1], axis[0]), math.pi),
        )
        for (x, y), (shorter, longer), axis in zip(
            places.tolist(), half.tolist(), vectors[:, :, 1].tolist(), strict=True
        )
    )  # fmt: skip


def picture_error(found: Alignment, cell: Any, *, widened: float = 1.0) -> PictureError:
    """How far off the light may be over the part of the wall that a set-up draws.

    Parameters
    ----------
    found : Alignment
        The map it is drawn by.
    cell : shapely.Polygon
        That part; wall frame. [m]
    widened : float
        By which the marks' stated deviations fall short; 1 or more. [-]
    """
    start, foot, end, head = shapely.bounds(cell).tolist()
    x, y = np.meshgrid(np.linspace(start, end, _ACROSS), np.linspace(foot, head, _UP))
    places = np.column_stack([x.ravel(), y.ravel()])
    radius = widened * error_radius(error_covariance(found, places))
    worst = int(np.argmax(radius))
    few = np.array([(a, b) for b in (foot, (foot + head) / 2, head)
                    for a in (start, (start + end) / 2, end)])  # fmt: skip
    (at_worst,) = _ellipses(found, places[worst : worst + 1], widened)
    return PictureError(
        middle=float(np.median(radius)),
        most=float(np.percentile(radius, 95)),
        worst=at_worst,
        ellipses=_ellipses(found, few, widened),
    )


def lines_inside(coverage: Coverage, cell: Any) -> tuple[tuple[int, float, Floats], ...]:
    """The edges between paints that a set-up draws.

    Parameters
    ----------
    coverage : geometry.Coverage
        The artwork on the wall, by paint number; wall frame. [m]
    cell : shapely.Polygon
        The part that the set-up draws. [m]

    Returns
    -------
    tuple of (int, float, ndarray)
        Index of the edge [-], its length inside [m], and places along it, shape (n, 2), at most
        100 mm apart [m]; in the order of the coverage.
    """
    between = np.flatnonzero((coverage.left != OUTSIDE) & (coverage.right != OUTSIDE))
    near = between[shapely.intersects(coverage.edges[between], cell)]
    parts = shapely.intersection(coverage.edges[near], cell)
    lengths = shapely.length(parts)
    made = []
    for index, part, length in zip(near.tolist(), parts, lengths.tolist(), strict=True):
        if length > 0:
            places = shapely.get_coordinates(shapely.segmentize(part, _STEP))
            made.append((index, length, places))
    return tuple(made)


def line_errors(
    found: Alignment, coverage: Coverage, cell: Any, *, widened: float = 1.0
) -> tuple[LineError, ...]:
    """How far off the light may be along every line that a set-up draws, the worst line first.

    Parameters
    ----------
    found : Alignment
        The map it is drawn by.
    coverage : geometry.Coverage
        The artwork on the wall, by paint number; wall frame. [m]
    cell : shapely.Polygon
        The part that the set-up draws. [m]
    widened : float
        By which the marks' stated deviations fall short; 1 or more. [-]
    """
    lines = lines_inside(coverage, cell)
    if not lines:
        return ()
    places = np.concatenate([one for _, _, one in lines])
    radius = widened * error_radius(error_covariance(found, places))
    made, first = [], 0
    for index, length, here in lines:
        of_line = radius[first : first + len(here)]
        first += len(here)
        worst = int(np.argmax(of_line))
        made.append(
            LineError(
                edge=index,
                left=int(coverage.left[index]),
                right=int(coverage.right[index]),
                length=length,
                most=float(np.percentile(of_line, 95)),
                worst=float(of_line[worst]),
                chainage=float(here[worst, 0]),
                level=float(here[worst, 1]),
            )
        )
    return tuple(sorted(made, key=lambda one: -one.worst))
