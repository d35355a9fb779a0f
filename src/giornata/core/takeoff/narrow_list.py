"""Narrow places on the wall: lines that no brush draws, gaps, and slivers of the drawing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import shapely

from giornata.core import geometry
from giornata.core.artwork import Paint
from giornata.core.foundation import Assumption, Finding, Severity, number_of
from giornata.core.geometry import OUTSIDE, Coverage, Narrow
from giornata.core.takeoff.tools import BrushAndRoller

__all__ = ["NarrowKind", "NarrowPlace", "narrow_findings", "narrow_list", "narrowest_line"]

TEXTURE_LINES = Assumption(
    name="narrowest line that reads on a texture, in depths of the texture",
    value=3.0,
    unit="-",
    source="common practice, no source",
    usual=(2.0, 5.0),
)
SUGGESTED = Assumption(
    name="suggested width of a narrow line, in narrowest lines",
    value=1.2,
    unit="-",
    source="common practice, no source: 25 to 30 mm for a 25 mm brush",
    usual=(1.0, 1.5),
)
SLIVER_WIDTH = Assumption(
    name="width below which a region is a fault of the drawing",
    value=0.001,
    unit="m",
    source="common practice, no source: nobody draws a millimetre on a wall on purpose",
    usual=(0.0005, 0.003),
)
_ROUND_UP = 0.005  # m
_ROUNDING = 1e-6  # m: a gap drawn as wide as the limit is not narrower
_TOUCH = 1.1  # the sides are looked for this many half widths away
_LISTED = 5


class NarrowKind(StrEnum):
    """What a narrow place is.

    LINE: painted on, narrower than a brush. POINT: the end of a shape that runs out to nothing
    so slowly that it is narrower than a brush over a long way. GAP: left free between paints that
    go on later. SLIVER: under a millimetre, a fault of the drawing.
    """

    LINE = "line"
    POINT = "point"
    GAP = "gap"
    SLIVER = "sliver"


@dataclass(frozen=True, slots=True, kw_only=True)
class NarrowPlace:
    """One stretch of paint narrower than the narrowest line.

    Parameters
    ----------
    kind : NarrowKind
    paint : int
        Number of its paint. [-]
    x, y : float
        Chainage and level of its narrowest spot. [m]
    width : float
        There; the greatest width of a shape that is narrow all over. [m]
    length : float
        Of the narrow stretch, about. [m]
    limit : float
        The narrowest line that can be painted. [m]
    suggested : tuple of float
        Width to draw it at, from and to. [m]
    beside : tuple of int
        Numbers of the paints on its two sides, the lower first; empty where it ends at the
        wall's outline. [-]
    """

    kind: NarrowKind
    paint: int
    x: float
    y: float
    width: float
    length: float
    limit: float
    suggested: tuple[float, float]
    beside: tuple[int, ...] = ()


def narrowest_line(tools: BrushAndRoller) -> float:
    """Narrowest line that can be painted: the brush, or what the texture lets read. [m]

    Examples
    --------
    >>> narrowest_line(BrushAndRoller(narrowest_brush=0.025, texture=0.008))
    0.025
    """
    return max(tools.narrowest_brush, TEXTURE_LINES.value * tools.texture)


def narrow_list(coverage: Coverage, tools: BrushAndRoller) -> tuple[NarrowPlace, ...]:
    """All places narrower than the narrowest line, by paint, then along the wall.

    Parameters
    ----------
    coverage : geometry.Coverage
        Regions by paint number, wall frame. [m]

    Notes
    -----
    Where transferred lines may be off by more than the narrowest line is wide, gaps are looked
    for up to that width.
    """
    limit = narrowest_line(tools)
    places = _narrower(coverage, limit)
    if tools.registration > limit:
        wider = _narrower(coverage, tools.registration)
        places = [place for place in places if place.kind is not NarrowKind.GAP]
        places += [place for place in wider if place.kind is NarrowKind.GAP]
    return tuple(sorted(places, key=lambda place: (place.paint, place.x, place.y)))


def _narrower(coverage: Coverage, limit: float) -> list[NarrowPlace]:
    most = max(math.ceil(limit * SUGGESTED.value / _ROUND_UP - 1e-9) * _ROUND_UP, limit)
    found: list[tuple[int, Narrow]] = []
    for paint in np.unique(coverage.labels):
        faces = coverage.faces[coverage.labels == paint]
        found += [(int(paint), place) for place in geometry.narrow_places(faces, limit)]
    return [
        NarrowPlace(
            kind=_kind(place, gap=bool(beside) and beside[0] > paint),
            paint=paint,
            x=place.x,
            y=place.y,
            width=place.width,
            length=place.length,
            limit=limit,
            suggested=(limit, round(most, 6)),
            beside=beside,
        )
        for (paint, place), beside in zip(found, _beside(coverage, found), strict=True)
    ]


def _kind(place: Narrow, *, gap: bool) -> NarrowKind:
    if place.width < SLIVER_WIDTH.value and not place.point:
        return NarrowKind.SLIVER
    if gap:
        return NarrowKind.GAP
    return NarrowKind.POINT if place.point else NarrowKind.LINE


def _beside(coverage: Coverage, found: Sequence[tuple[int, Narrow]]) -> list[tuple[int, ...]]:
    """For each place, the paints by whose edges it is narrow, the lowest number first.

    A place is a gap where they all go on later than its own.
    """
    if not found:
        return []
    points = shapely.points([(place.x, place.y) for _, place in found])
    reach = np.array([place.width for _, place in found]) / 2 * _TOUCH + 1e-6
    place, edge = shapely.STRtree(coverage.edges).query(points, predicate="dwithin", distance=reach)
    own = np.array([paint for paint, _ in found])[place]
    left, right = coverage.left[edge], coverage.right[edge]
    of_own = (left == own) | (right == own)
    beside = np.where(left == own, right, left)
    painted = of_own & (beside != OUTSIDE)
    numbers: list[set[int]] = [set() for _ in found]
    for at, paint in zip(place[painted].tolist(), beside[painted].tolist(), strict=True):
        numbers[at].add(paint)
    return [tuple(sorted(paints)) for paints in numbers]


def narrow_findings(
    places: Sequence[NarrowPlace], paints: Sequence[Paint], tools: BrushAndRoller
) -> tuple[Finding, ...]:
    """One finding for each paint and kind of narrow place, one for gaps that lines may close."""
    findings = []
    for paint in paints:
        gaps = [p for p in places if p.paint == paint.number and p.kind is NarrowKind.GAP]
        closing = [p for p in gaps if p.width < tools.registration - _ROUNDING]
        if closing:
            findings.append(_closing(paint, sorted(closing, key=lambda p: p.width), tools))
        for kind in NarrowKind:
            here = [p for p in places if p.paint == paint.number and p.kind is kind]
            if here:
                findings.append(_finding(kind, paint, sorted(here, key=lambda p: p.width)))
    return tuple(findings)


def _closing(paint: Paint, here: list[NarrowPlace], tools: BrushAndRoller) -> Finding:
    count, where = _where(here)
    return Finding(
        code="takeoff.gap_closes",
        severity=Severity.NOTE,
        subject=paint.name,
        message=f"Gaps of less than {1000 * tools.registration:.0f} mm, as far as a transferred "
        f"line may be off, in {count}: {where}.",
        remedy=f"Open them to more than {1000 * tools.registration:.0f} mm, close them in the "
        "drawing, or transfer these places with a template.",
    )


def _mm(width: float) -> str:
    """Three digits of millimetres, or all of them where it has more."""
    return f"{1000 * width:.3g}" if width < 0.9995 else f"{1000 * width:,.0f}"


def _where(here: list[NarrowPlace]) -> tuple[str, str]:
    """How many places, and the first ones with their widths."""
    where = ", ".join(f"{_mm(p.width)} mm at x {p.x:.2f}, y {p.y:.2f} m" for p in here[:_LISTED])
    more = f", and {len(here) - _LISTED} more" if len(here) > _LISTED else ""
    return number_of(len(here), "place"), f"{where}{more}"


def _finding(kind: NarrowKind, paint: Paint, here: list[NarrowPlace]) -> Finding:
    limit, (least, most) = here[0].limit, here[0].suggested
    count, where = _where(here)
    match kind:
        case NarrowKind.LINE:
            return Finding(
                code="takeoff.unpaintable",
                severity=Severity.WARN,
                subject=paint.name,
                message=f"Unpaintable (<{1000 * limit:.0f} mm) in {count}: {where}.",
                remedy=f"Draw them {1000 * least:.0f}-{1000 * most:.0f} mm wide, leave them out, "
                "or take a narrower brush.",
            )
        case NarrowKind.POINT:
            longest = max(here, key=lambda p: p.length)
            return Finding(
                code="takeoff.fine_point",
                severity=Severity.NOTE,
                subject=paint.name,
                message=f"Runs out to a point under {1000 * limit:.0f} mm wide in {count}; the "
                f"longest over {longest.length:.2f} m, at x {longest.x:.2f}, y {longest.y:.2f} m.",
                remedy="Lift the brush off towards the point, or draw it blunter.",
            )
        case NarrowKind.GAP:
            return Finding(
                code="takeoff.narrow_gap",
                severity=Severity.NOTE,
                subject=paint.name,
                message=f"Left free between later paints with less than {1000 * limit:.0f} mm in "
                f"{count}: {where}.",
                remedy=f"Open them to {1000 * least:.0f}-{1000 * most:.0f} mm, or expect them to "
                "close.",
            )
        case NarrowKind.SLIVER:
            return Finding(
                code="takeoff.slivers",
                severity=Severity.NOTE,
                subject=paint.name,
                message=f"Narrower than {1000 * SLIVER_WIDTH.value:.0f} mm in {count}, where "
                f"shapes almost meet: {where}.",
                remedy="Let the shapes overlap in the drawing; the areas hardly change.",
            )
