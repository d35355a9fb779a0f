"""Overruns: what of the artwork falls off the wall's ends, top or foot."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from giornata.core.artwork import Paint
from giornata.core.foundation import Assumption, Finding, Severity
from giornata.core.geometry import Coverage, Geometries

__all__ = ["Fits", "Overrun", "overrun_findings", "overruns"]

Fits = Callable[[float, float], Sequence[tuple[float, float]]]
"""Stretches of wall at least so high, and so long, for a shape's height and width. [m]"""

ACCEPTED_LOSS = Assumption(
    name="share of the figure that may fall off one side of the wall unremarked",
    value=0.01,
    unit="-",
    source="common practice, no source",
    usual=(0.005, 0.03),
)
SIDES = ("left end", "right end", "top", "ground")


@dataclass(frozen=True, slots=True, kw_only=True)
class Overrun:
    """What falls off one side of the wall.

    Parameters
    ----------
    side : str
        "left end", "right end", "top" or "ground".
    area : float
        Of figure shapes beyond that side. [m²]
    share : float
        Of the whole figure of the artwork as placed. [-]
    paints : tuple of int
        Numbers of the paints that lose by it. [-]
    height, width : float
        Of the shape that loses most. [m]
    """

    side: str
    area: float
    share: float
    paints: tuple[int, ...]
    height: float
    width: float


def overruns(whole: Coverage, outline: Any, *, ground: int) -> tuple[Overrun, ...]:
    """Figure shapes beyond the wall's outline, by side.

    Parameters
    ----------
    whole : geometry.Coverage
        The artwork in the wall frame, not yet cut to the wall.
    outline : shapely.Polygon or shapely.MultiPolygon
        The wall with its openings. [m]
    ground : int
        Number of the ground paint, whose regions are no shapes. [-]
    """
    figure = whole.labels != ground
    faces, paints = whole.faces[figure], whole.labels[figure]
    total = float(shapely.area(faces).sum())
    shapely.prepare(outline)
    crossing = ~shapely.covers(outline, faces)
    lost = shapely.difference(faces[crossing], outline)
    parts, owner = shapely.get_parts(lost, return_index=True)
    if not len(parts):
        return ()
    sheets, side, source = _by_side(parts, outline)
    shape = np.flatnonzero(crossing)[owner][source]
    paint = paints[shape]
    area = shapely.area(sheets)
    found = []
    for at, name in enumerate(SIDES):
        here = (side == at) & (area > 0)
        if here.any():
            gone = float(area[here].sum())
            numbers = tuple(int(n) for n in np.unique(paint[here]))
            lost_by = np.bincount(shape[here], weights=area[here])
            left, low, right, high = faces[int(np.argmax(lost_by))].bounds
            found.append(
                Overrun(
                    side=name,
                    area=gone,
                    share=gone / total,
                    paints=numbers,
                    height=float(high - low),
                    width=float(right - left),
                )
            )
    return tuple(found)


def _by_side(parts: Geometries, outline: Any) -> tuple[Geometries, Any, Any]:
    """The parts cut at the wall's ends: pieces, the side of each, the part it comes from."""
    low, _, high, _ = outline.bounds
    first, bottom, last, top = shapely.total_bounds(parts)
    left = shapely.intersection(parts, shapely.box(min(first, low) - 1, bottom - 1, low, top + 1))
    right = shapely.intersection(parts, shapely.box(high, bottom - 1, max(last, high) + 1, top + 1))
    middle, source = shapely.get_parts(
        shapely.intersection(parts, shapely.box(low, bottom - 1, high, top + 1)), return_index=True
    )
    solid = shapely.area(middle) > 0
    middle, source = middle[solid], source[solid]
    inside = shapely.point_on_surface(middle)
    x, y = shapely.get_x(inside), shapely.get_y(inside)
    ends = np.stack([np.stack([x, np.full_like(x, bottom - 1)], axis=1),
                     np.stack([x, np.full_like(x, top + 1)], axis=1)], axis=1)  # fmt: skip
    section = shapely.bounds(shapely.intersection(shapely.linestrings(ends), outline))
    middle_level = np.where(
        np.isnan(section[:, 1]), outline.centroid.y, (section[:, 1] + section[:, 3]) / 2
    )
    index = np.arange(len(parts))
    return (
        np.concatenate([left, right, middle]),
        np.concatenate(
            [np.zeros(len(parts)), np.ones(len(parts)), np.where(y > middle_level, 2, 3)]
        ),
        np.concatenate([index, index, source]).astype(np.intp),
    )


def overrun_findings(
    found: Sequence[Overrun], paints: Sequence[Paint], fits: Fits | None = None
) -> tuple[Finding, ...]:
    """One finding for each side that the artwork runs over.

    Parameters
    ----------
    fits : callable, optional
        Where a shape of a height and a width would fit. [m]
    """
    names = {paint.number: paint.name for paint in paints}
    return tuple(
        Finding(
            code="setting_out.overrun",
            severity=Severity.WARN if over.share > ACCEPTED_LOSS.value else Severity.NOTE,
            subject=f"artwork beyond the {over.side}",
            message=(
                f"{over.area:.2f} m² of figure, {100 * over.share:.1f} % of it, falls off the "
                f"{over.side} (limit {100 * ACCEPTED_LOSS.value:.0f} %): "
                f"{', '.join(names[number] for number in over.paints)}."
            ),
            remedy="Move or scale the artwork, or accept the loss." + _where(over, fits),
        )
        for over in found
    )


def _where(over: Overrun, fits: Fits | None) -> str:
    """Where the shape that loses most would fit, for what runs over the top or the ground."""
    if fits is None or over.side not in ("top", "ground"):
        return ""
    spans = [f"{start:.2f} to {end:.2f} m" for start, end in fits(over.height, over.width)]
    place = f"fits from {', '.join(spans)}" if spans else "fits nowhere on this wall"
    return (
        f" The shape that loses most, {over.height:.2f} m high and {over.width:.2f} m long, "
        f"{place}."
    )
