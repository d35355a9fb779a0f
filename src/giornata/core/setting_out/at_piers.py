"""The arrises of piers: narrow parts of the artwork on them, and edges that run along them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from giornata.core.artwork import Paint
from giornata.core.foundation import Assumption, Finding, Severity, number_of
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.setting_out.at_joints import NARROWEST, REACH, at_joints

__all__ = ["AtArris", "arris_findings", "at_arrises"]

BESIDE = Assumption(
    name="how near to an arris an edge lies on it",
    value=0.020,
    unit="m",
    source="common practice, no source: an arris is rounded, chipped and out of plumb by as much",
    usual=(0.01, 0.05),
)
ALONG = Assumption(
    name="height over which an edge runs along an arris",
    value=0.20,
    unit="m",
    source="common practice, no source: what is shorter merely crosses it",
    usual=(0.1, 0.5),
)
_LISTED = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class AtArris:
    """One part of the artwork at one arris of a pier.

    Parameters
    ----------
    pier : str
        Its name.
    arris : float
        Chainage. [m]
    paint : int
        Number of the part's paint; of the later one, where an edge of two runs along. [-]
    x, y : float
        Chainage and level of a point of it. [m]
    along : float
        Height over which an edge runs along the arris; 0 for a narrow part. [m]
    """

    pier: str
    arris: float
    paint: int
    x: float
    y: float
    along: float


def at_arrises(
    on_wall: Coverage, piers: Sequence[tuple[str, float, float]], *, ground: int
) -> tuple[AtArris, ...]:
    """Narrow parts of figures at the arrises of piers, and edges that run along one.

    Parameters
    ----------
    on_wall : geometry.Coverage
        The artwork cut to the net wall. [m]
    piers : sequence of (str, float, float)
        Name, and chainages of the two arrises, of each pier that stands proud. [m]
    ground : int
        Number of the ground paint, whose regions are no figures. [-]

    Notes
    -----
    Narrow is what is narrow at a joint: see `at_joints`.
    """
    found: list[AtArris] = []
    tree = shapely.STRtree(on_wall.edges)
    for name, *arrises in piers:
        for arris in arrises:
            found += [
                AtArris(pier=name, arris=arris, paint=part.paint, x=part.x, y=part.y, along=0.0)
                for part in at_joints(on_wall, [arris], ground=ground)
            ]
            found += _edges_along(on_wall, tree, name, arris)
    return tuple(found)


def _edges_along(
    on_wall: Coverage, tree: shapely.STRtree, name: str, arris: float
) -> list[AtArris]:
    if not len(on_wall.faces):
        return []
    _, foot, _, head = shapely.total_bounds(on_wall.faces)
    strip = shapely.box(arris - BESIDE.value, foot - 1, arris + BESIDE.value, head + 1)
    near = np.sort(tree.query(strip, predicate="intersects"))
    near = near[on_wall.left[near] != OUTSIDE]
    inside = shapely.intersection(on_wall.edges[near], strip)
    pieces, edge = shapely.get_parts(shapely.line_merge(inside), return_index=True)
    _, low, _, high = shapely.bounds(pieces).reshape(-1, 4).T
    made = []
    for at in np.flatnonzero(high - low >= ALONG.value):
        middle = shapely.line_interpolate_point(pieces[at], 0.5, normalized=True)
        made.append(
            AtArris(
                pier=name,
                arris=arris,
                paint=int(on_wall.right[near[edge[at]]]),
                x=float(middle.x),
                y=float(middle.y),
                along=float(high[at] - low[at]),
            )
        )
    return made


def arris_findings(found: Sequence[AtArris], paints: Sequence[Paint]) -> tuple[Finding, ...]:
    """One finding for each arris with parts of the artwork at it."""
    names = {paint.number: paint.name for paint in paints}
    findings = []
    for pier, arris in dict.fromkeys((part.pier, part.arris) for part in found):
        here = [part for part in found if (part.pier, part.arris) == (pier, arris)]
        here.sort(key=lambda part: (-part.along, part.y))
        places = ", ".join(
            f"{names[p.paint]} at y {p.y:.2f} m "
            + (f"along {p.along:.2f} m" if p.along else "narrow")
            for p in here[:_LISTED]
        )
        more = f", and {len(here) - _LISTED} more" if len(here) > _LISTED else ""
        count = number_of(len(here), "place")
        findings.append(
            Finding(
                code="setting_out.at_arris",
                severity=Severity.NOTE,
                subject=f"pier {pier}, arris at {arris:.2f} m",
                message=f"An edge runs along it within {1000 * BESIDE.value:.0f} mm, or a part "
                f"narrower than {1000 * NARROWEST.value:.0f} mm lies within "
                f"{1000 * REACH.value:.0f} mm, in {count}: {places}{more}.",
                remedy="Move it clear of the arris, or let the arris itself be the edge; seen "
                "from the side the pier hides or doubles it.",
            )
        )
    return tuple(findings)
