"""The polygon that an opening cuts from a wall, curves drawn closely."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely

from giornata.core.foundation import Assumption, Floats
from giornata.core.survey.line import to_nanometre
from giornata.core.survey.opening_outlines import Opening, OpeningShape
from giornata.core.survey.outline import window

__all__ = ["ON_EDGE", "opening_window"]

ON_EDGE = Assumption(
    name="distance from the wall's edge up to which an outline's side lies on it",
    value=0.010,
    unit="m",
    source="common practice, no source: as well as a level on rough ground is read",
    usual=(0.005, 0.02),
)
_FLAT = 1e-5  # m: greatest distance of a drawn curve from the true one


def opening_window(whole: Any, opening: Opening, start: float, end: float) -> Any:
    """Polygon that an opening cuts from a wall, reaching beyond it where it is open. [m]

    Parameters
    ----------
    whole : shapely geometry
        The wall. [m]
    opening : Opening
        As measured.
    start, end : float
        Its chainages, cut to the wall. [m]

    Notes
    -----
    Curves are drawn with corners on the curve, so close that no point of it is more than a
    hundredth of a millimetre off. A side of an outline that lies within 10 mm of the wall's own
    edge is taken as lying on it: nobody paints the sliver between.
    """
    if opening.shape is OpeningShape.RECTANGLE:
        return window(whole, start, end, opening.foot, opening.head)
    if opening.shape is OpeningShape.OUTLINE:
        ring = [(to_nanometre(x), to_nanometre(y)) for x, y in opening.points]
        return shapely.union_all([shapely.Polygon(ring), *_to_the_edge(whole, np.array(ring))])
    width = opening.end - opening.start
    middle = (opening.start + opening.end) / 2
    if opening.shape is OpeningShape.ROUND:
        foot = opening.foot if opening.foot is not None else (opening.head or 0.0) - width
        head = opening.head if opening.head is not None else foot + width
        turns = _turns(0.0, math.tau, max(width, head - foot) / 2)[:-1]
        x = middle + width / 2 * np.cos(turns)
        y = (foot + head) / 2 + (head - foot) / 2 * np.sin(turns)
        return shapely.Polygon(_cleaned(x, y))
    assert opening.head is not None
    spring = opening.head - opening.rise
    _, low, _, _ = whole.bounds
    foot = min(low, spring) - 1.0 if opening.foot is None else opening.foot
    radius = (width * width / 4 + opening.rise**2) / (2 * opening.rise)
    half = math.asin(min(1.0, width / 2 / radius))
    turns = _turns(-half, half, radius)
    x = middle - radius * np.sin(turns)
    y = opening.head - radius * (1 - np.cos(turns))
    x = np.concatenate([[opening.start, opening.end], x])
    y = np.concatenate([[foot, foot], y])
    return shapely.Polygon(_cleaned(x, y))


def _to_the_edge(whole: Any, ring: Floats) -> list[Any]:
    """Strips outside an outline, along each side of it that follows the wall's own edge."""
    edge = shapely.boundary(whole)
    near = shapely.distance(shapely.points(ring), edge) <= ON_EDGE.value
    strips = []
    for k, (first, second) in enumerate(zip(ring, np.roll(ring, -1, axis=0), strict=True)):
        if not (near[k] and near[(k + 1) % len(ring)]):
            continue
        along = second - first
        square = np.array([along[1], -along[0]]) / np.hypot(*along) * 2 * ON_EDGE.value
        for out in (square, -square):
            if not shapely.contains_xy(whole, *((first + second) / 2 + out)):
                strips.append(shapely.Polygon([first, second, second + out, first + out]))
    return strips


def _turns(first: float, last: float, radius: float) -> Floats:
    """Angles of corners on a curve, evenly and closely spaced. [rad]"""
    step = 2 * math.acos(1 - min(_FLAT / radius, 1.0))
    return np.linspace(first, last, 4 + math.ceil((last - first) / step))


def _cleaned(x: Floats, y: Floats) -> Floats:
    return np.column_stack([np.round(x, 9), np.round(y, 9)]) + 0.0
