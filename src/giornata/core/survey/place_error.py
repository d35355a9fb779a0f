"""How well the place of a point of the wall is known in plan."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from giornata.core.foundation import Assumption, Floats
from giornata.core.survey.arcs import Arc
from giornata.core.survey.observations import Bend
from giornata.core.survey.plan import plan_line, space_from_wall
from giornata.core.survey.wall import DevelopedWall

__all__ = ["BEND_READING", "RADIUS_READING", "place_covariance"]

BEND_READING = Assumption(
    name="reading of a bend's angle with a bevel or a compass",
    value=math.radians(1.0),
    unit="rad",
    source="common practice, no source",
    usual=(math.radians(0.5), math.radians(3.0)),
)
RADIUS_READING = Assumption(
    name="share of a curve's radius by which it may be out, from chord and rise or from plans",
    value=0.02,
    unit="-",
    source="common practice, no source: a rise of 0.5 m read to 10 mm",
    usual=(0.005, 0.05),
)


def place_covariance(
    wall: DevelopedWall,
    chainage: float,
    *,
    chainage_sigma: float,
    bend_sigma: float = BEND_READING.value,
    radius_share: float = RADIUS_READING.value,
) -> Floats:
    """Covariance of a point's east and north, shape (2, 2), its datum and first facing held. [m²]

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall.
    chainage : float
        0 to the length. [m]
    chainage_sigma : float
        Standard deviation of a running measure from the datum to there; 0 or more. [m]
    bend_sigma : float
        Of each bend's angle; 0 or more. [rad]
    radius_share : float
        Of each radius, as a share of it; 0 or more. [-]

    Raises
    ------
    ValueError
        If the chainage is off the wall or a deviation below 0.

    Notes
    -----
    First order; readings are taken as independent. A bend's error swings all beyond it, so it
    grows with the distance from the bend; on the unrolled wall none of this is felt.
    """
    if not 0 <= chainage <= wall.length:
        raise ValueError(f"chainage is 0 to {wall.length} m")
    if not min(chainage_sigma, bend_sigma, radius_share) >= 0:
        raise ValueError("standard deviations are 0 or more")
    bends, arcs = wall.bends, wall.arcs
    here = _place(wall, chainage, bends, arcs)
    step = 1e-5
    columns = [(_along(wall, chainage, step)) * chainage_sigma]
    for k, bend in enumerate(bends):
        if bend.at < chainage:
            turned = (*bends[:k], Bend(at=bend.at, angle=bend.angle + step), *bends[k + 1 :])
            columns.append((_place(wall, chainage, turned, arcs) - here) / step * bend_sigma)
    for k, arc in enumerate(arcs):
        if arc.start < chainage:
            wider = replace(arc, radius=arc.radius * (1 + step))
            bent = (*arcs[:k], wider, *arcs[k + 1 :])
            columns.append((_place(wall, chainage, bends, bent) - here) / step * radius_share)
    jacobian = np.column_stack(columns)
    covariance: Floats = jacobian @ jacobian.T
    return covariance


def _place(
    wall: DevelopedWall, chainage: float, bends: tuple[Bend, ...], arcs: tuple[Arc, ...]
) -> Floats:
    """East and north of a point with other bends and arcs."""
    line = plan_line(wall.length, bends, float(wall.facing[0]), arcs)
    other = replace(wall, plan=line.points, facing=line.facing, curvature=line.curvature, arcs=arcs)
    return space_from_wall(other, chainage, 0.0)[:2]


def _along(wall: DevelopedWall, chainage: float, step: float) -> Floats:
    """Direction of the wall at a point, one metre long."""
    start = max(chainage - step, 0.0)
    ends = space_from_wall(wall, [start, start + step], 0.0)[:, :2]
    along: Floats = (ends[1] - ends[0]) / step
    return along
