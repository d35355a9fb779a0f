"""Polygons of the wall: gross outline, openings cut to it, what obstacles hide."""

from __future__ import annotations

import itertools
from typing import Any

import numpy as np
import shapely

from giornata.core.foundation import Finding, Floats, Severity
from giornata.core.survey.closure import Span
from giornata.core.survey.line import level_at, part_of_line, to_nanometre

__all__ = ["areal", "band", "outline", "strip", "window"]

_FLAT = 1e-9


def outline(top: Floats, ground: Floats) -> tuple[Any, tuple[Finding, ...]]:
    """Polygon between ground and top; where the ground is above the top there is no wall. [m]

    Parameters
    ----------
    top, ground : ndarray, shape (n, 2)
        Chainage and level in order of chainage, both from 0 to the length. [m]
    """
    pieces, sunk = [], []
    breaks = np.unique(np.concatenate([top[:, 0], ground[:, 0]]))
    for a, b in itertools.pairwise(breaks):
        corners = (level_at(ground, a), level_at(ground, b, before=True),
                   level_at(top, b, before=True), level_at(top, a))  # fmt: skip
        piece, below = _trapezoid(float(a), float(b), *corners)
        if piece is not None:
            pieces.append(piece)
        if below is not None:
            sunk.append(below)
    if not sunk:
        ring = shapely.Polygon(np.vstack([ground, top[::-1]]))
        if ring.is_valid:
            return ring, ()
    return shapely.union_all(pieces), _sunk(sunk)


def _trapezoid(
    a: float, b: float, ground_a: float, ground_b: float, top_b: float, top_a: float
) -> tuple[Any, tuple[float, float] | None]:
    """Wall between two chainages, and the stretch of it where the ground is above the top."""
    high_a, high_b = top_a - ground_a, top_b - ground_b
    if high_a >= -_FLAT and high_b >= -_FLAT:
        top_a, top_b = max(top_a, ground_a), max(top_b, ground_b)
        corners = [(a, ground_a), (b, ground_b), (b, top_b), (a, top_a)]
        flat = high_a < _FLAT and high_b < _FLAT
        return (None, (a, b)) if flat else (shapely.Polygon(corners), None)
    if high_a <= _FLAT and high_b <= _FLAT:
        return None, (a, b)
    part = high_a / (high_a - high_b)
    middle, level = a + part * (b - a), ground_a + part * (ground_b - ground_a)
    if high_a > 0:
        return shapely.Polygon([(a, ground_a), (middle, level), (a, top_a)]), (middle, b)
    return shapely.Polygon([(middle, level), (b, ground_b), (b, top_b)]), (a, middle)


def _sunk(spans: list[tuple[float, float]]) -> tuple[Finding, ...]:
    if not spans:
        return ()
    joined: list[list[float]] = []
    for a, b in spans:
        if joined and a - joined[-1][1] < _FLAT:
            joined[-1][1] = b
        else:
            joined.append([a, b])
    where = ", ".join(f"{a:.2f} to {b:.2f} m" for a, b in joined)
    return (
        Finding(
            code="survey.ground_above_top",
            severity=Severity.STOP,
            subject=f"wall from {where}",
            message=f"The ground is as high as the top or higher from {where}: no wall there.",
            remedy="Correct the level, or check that top and ground are read from one level line.",
        ),
    )


def window(whole: Any, start: float, end: float, foot: float | None, head: float | None) -> Any:
    """Rectangle between two chainages and two levels; None reaches beyond a polygon's edge. [m]

    Parameters
    ----------
    whole : shapely geometry
        Polygon to cut or to reach beyond. [m]
    start, end : float
        Chainages. [m]
    foot, head : float or None
        Levels; None reaches to the polygon's edge. [m]

    Notes
    -----
    Cut a wall with this, not with what `strip` leaves of it: an edge that merely follows the
    wall's own would leave hair-thin slivers standing.
    """
    _, low, _, high = whole.bounds
    lower = low - 1.0 if foot is None else to_nanometre(foot)
    upper = high + 1.0 if head is None else to_nanometre(head)
    if not upper > lower or not end > start:
        return shapely.Polygon()
    return shapely.box(start, lower, end, upper)


def strip(whole: Any, start: float, end: float, foot: float | None, head: float | None) -> Any:
    """Part of a polygon between two chainages and two levels; None reaches to its edge. [m]

    Parameters
    ----------
    whole : shapely geometry
        Polygon to cut or to reach beyond. [m]
    start, end : float
        Chainages. [m]
    foot, head : float or None
        Levels; None reaches to the polygon's edge. [m]
    """
    return areal(shapely.intersection(whole, window(whole, start, end, foot, head)))


def band(whole: Any, ground: Floats, span: Span, height: float) -> Any:
    """Part of a polygon from the ground up to a height above it, within a span. [m]

    Parameters
    ----------
    whole : shapely geometry
        Polygon to cut. [m]
    ground : ndarray, shape (n, 2)
        Ground line. [m]
    span : Span
        Chainages. [m]
    height : float
        Above the ground; nothing at 0 or below. [m]
    """
    height = to_nanometre(height)
    if not height > 0:
        return shapely.Polygon()
    foot = part_of_line(ground, span.start, span.end)
    found = shapely.Polygon()
    for (a, low_a), (b, low_b) in itertools.pairwise(foot):
        if b > a:
            corners = [(a, low_a), (b, low_b), (b, low_b + height), (a, low_a + height)]
            found = shapely.union(found, shapely.Polygon(corners))
    return areal(shapely.intersection(whole, found))


def areal(found: Any) -> Any:
    """The parts of a geometry that have an area. [m]

    Parameters
    ----------
    found : shapely geometry
        Of any kind. [m]
    """
    if found.geom_type in ("Polygon", "MultiPolygon"):
        return found
    parts = [p for p in shapely.get_parts(found) if p.geom_type in ("Polygon", "MultiPolygon")]
    return shapely.union_all(parts) if parts else shapely.Polygon()
