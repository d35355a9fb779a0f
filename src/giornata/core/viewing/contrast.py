"""Contrast of paints that touch, by light reflectance value and by the edge they share."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from giornata.core.artwork import Colourway, Paint, Role
from giornata.core.colour import (
    FIGURE_POINTS,
    LARGE_AREA_POINTS,
    ReflectanceContrast,
    light_reflectance,
    reflectance_contrast,
    srgb_from_hex,
)
from giornata.core.foundation import Figure, Finding, Severity

__all__ = ["PaintContrast", "contrast_findings", "paint_contrasts"]

_NAMED = 5  # pairs named in one finding, longest edge first


@dataclass(frozen=True, slots=True, kw_only=True)
class PaintContrast:
    """Two paints that touch.

    Parameters
    ----------
    first, second : Paint
        In the order of the edges given.
    edge : float
        Length of edge they share. [m]
    first_lrv, second_lrv : float
        Light reflectance values, estimated from the colourway's colours. [-]
    on_ground : bool
        Whether one of them is the ground.
    contrast : ReflectanceContrast
        Difference in points against the limit that applies.
    """

    first: Paint
    second: Paint
    edge: float
    first_lrv: float
    second_lrv: float
    on_ground: bool
    contrast: ReflectanceContrast


def paint_contrasts(
    edges: Sequence[tuple[int, int, Figure | float]],
    paints: Sequence[Paint],
    colourway: Colourway,
    *,
    figure_limit: float = FIGURE_POINTS.value,
    area_limit: float = LARGE_AREA_POINTS.value,
) -> tuple[PaintContrast, ...]:
    """Contrast of each pair of paints that touch, longest edge first.

    Parameters
    ----------
    edges : sequence of (int, int, Figure or float)
        Paint numbers of a pair and the length of edge they share. [-], [-], [m]
    paints : sequence of Paint
        All paints of the job.
    colourway : Colourway
        Colours by paint key.
    figure_limit : float
        Least difference of a figure and its ground. [-]
    area_limit : float
        Least difference of two figure paints. [-]

    Raises
    ------
    ValueError
        If a pair names a paint that is not there or has no colour.
    """
    by_number = {paint.number: paint for paint in paints}
    found = []
    for one, other, length in edges:
        if one not in by_number or other not in by_number:
            raise ValueError(f"there is no paint {one} or no paint {other}")
        first, second = by_number[one], by_number[other]
        on_ground = Role.GROUND in (first.role, second.role)
        first_lrv, second_lrv = _lrv(first, colourway), _lrv(second, colourway)
        limit = figure_limit if on_ground else area_limit
        found.append(
            PaintContrast(
                first=first,
                second=second,
                edge=float(length),
                first_lrv=first_lrv,
                second_lrv=second_lrv,
                on_ground=on_ground,
                contrast=reflectance_contrast(first_lrv, second_lrv, limit),
            )
        )
    return tuple(sorted(found, key=lambda pair: -pair.edge))


def contrast_findings(
    edges: Sequence[tuple[int, int, Figure | float]],
    paints: Sequence[Paint],
    colourway: Colourway,
) -> tuple[Finding, ...]:
    """Findings of a colourway whose touching paints are too alike in lightness.

    Parameters
    ----------
    edges : sequence of (int, int, Figure or float)
        Paint numbers of a pair and the length of edge they share. [-], [-], [m]
    paints : sequence of Paint
        All paints of the job.
    colourway : Colourway
        Colours by paint key.

    Raises
    ------
    ValueError
        If a pair names a paint that is not there or has no colour.

    Notes
    -----
    Light reflectance alone, as for eyes that see no hue; two hues of one lightness may still part
    well near by and in daylight.
    """
    weak = [
        pair
        for pair in paint_contrasts(edges, paints, colourway)
        if pair.edge > 0 and not pair.contrast.passes
    ]
    on_ground = [pair for pair in weak if pair.on_ground]
    figures = [pair for pair in weak if not pair.on_ground]
    found = []
    if on_ground:
        found.append(
            Finding(
                code="viewing.weak_figure",
                severity=Severity.WARN,
                subject=f"colourway {colourway.name}",
                message=_named("Figures hard to tell from the ground", on_ground),
                remedy=_change(on_ground[0]),
            )
        )
    if figures:
        found.append(
            Finding(
                code="viewing.weak_contrast",
                severity=Severity.NOTE,
                subject=f"colourway {colourway.name}",
                message=_named("Touching paints that run together from afar", figures),
                remedy=_change(figures[0]),
            )
        )
    return tuple(found)


def _lrv(paint: Paint, colourway: Colourway) -> float:
    if paint.key not in colourway.colours:
        raise ValueError(f"colourway {colourway.key!r} has no colour for paint {paint.key!r}")
    return float(light_reflectance(srgb_from_hex(colourway.colours[paint.key])))


def _down(points: float) -> str:
    """Points to one decimal, never rounded up to meet a limit."""
    return f"{math.floor(10 * points + 1e-9) / 10:.1f}"


def _up(points: float) -> str:
    return f"{math.ceil(10 * points - 1e-9) / 10:.1f}"


def _named(what: str, pairs: Sequence[PaintContrast]) -> str:
    said = ", ".join(
        f"{pair.first.name} and {pair.second.name} {_down(pair.contrast.difference)} points along "
        f"{pair.edge:.1f} m"
        for pair in pairs[:_NAMED]
    )
    more = f", and {len(pairs) - _NAMED} more" if len(pairs) > _NAMED else ""
    limit = pairs[0].contrast.limit
    return f"{what}: {said}{more}; light reflectance should differ by {limit:g} points."


def _change(pair: PaintContrast) -> str:
    """What would part the pair with the longest edge."""
    darker, lighter = sorted(
        ((pair.first_lrv, pair.first.name), (pair.second_lrv, pair.second.name))
    )
    ways = []
    if pair.contrast.darker_needed is not None:
        ways.append(
            f"{darker[1]} dropped from {darker[0]:.1f} to {_down(pair.contrast.darker_needed)}"
        )
    if pair.contrast.lighter_needed is not None:
        ways.append(
            f"{lighter[1]} raised from {lighter[0]:.1f} to {_up(pair.contrast.lighter_needed)}"
        )
    first = f"For the longest edge: {' or '.join(ways)}. " if ways else ""
    return (
        f"{first}Check against the maker's printed values or the brush-outs; where the likeness is "
        "meant, leave it."
    )
