"""Narrow parts of the artwork at movement joints, where the paint will crack first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from giornata.core import geometry
from giornata.core.artwork import Paint
from giornata.core.foundation import Assumption, Finding, Severity, number_of
from giornata.core.geometry import Coverage

__all__ = ["AtJoint", "at_joints", "joint_findings"]

NARROWEST = Assumption(
    name="narrowest part of a figure that may stand at a joint",
    value=0.060,
    unit="m",
    source="common practice, no source",
    usual=(0.04, 0.1),
)
REACH = Assumption(
    name="reach of a movement joint to either side",
    value=0.050,
    unit="m",
    source="common practice, no source",
    usual=(0.03, 0.1),
)
_LISTED = 5
_ROUNDING = 1e-4  # m: what is as wide as the limit is not narrower than it
_THINNEST = 0.001  # m: thinner than this is rounding of curves, or a sliver of the drawing


@dataclass(frozen=True, slots=True, kw_only=True)
class AtJoint:
    """One narrow part of a figure at one joint.

    Parameters
    ----------
    joint : float
        Chainage of the joint. [m]
    paint : int
        Number of its paint. [-]
    x, y : float
        Chainage and level of a point of the part beside the joint. [m]
    distance : float
        From the part to the joint along the wall; 0 where the joint runs through it. [m]
    """

    joint: float
    paint: int
    x: float
    y: float
    distance: float


def at_joints(on_wall: Coverage, joints: Sequence[float], *, ground: int) -> tuple[AtJoint, ...]:
    """Parts of figures narrower than `NARROWEST` within `REACH` of a joint, along the wall.

    Parameters
    ----------
    on_wall : geometry.Coverage
        The artwork cut to the net wall. [m]
    joints : sequence of float
        Chainages of joints. [m]
    ground : int
        Number of the ground paint, whose regions are no figures. [-]

    Notes
    -----
    A part is narrow where no disc of that width fits into the paint. What such a disc leaves out
    in the corners of a wide shape is no narrow part: it is shorter than the disc is wide.
    """
    if not joints or not len(on_wall.faces):
        return ()
    figure = on_wall.labels != ground
    faces, labels = on_wall.faces[figure], on_wall.labels[figure]
    if not len(faces):
        return ()
    _, foot, _, head = shapely.total_bounds(faces)
    tree = shapely.STRtree(faces)
    found: list[AtJoint] = []
    for joint in joints:
        strip = shapely.box(joint - REACH.value, foot - 1, joint + REACH.value, head + 1)
        near = np.sort(tree.query(strip, predicate="intersects"))
        for index in near:
            found += _parts(joint, strip, faces[index], int(labels[index]))
    return tuple(found)


def _parts(joint: float, strip: Any, face: Any, paint: int) -> list[AtJoint]:
    """Narrow parts of one face inside the strip of one joint."""
    # Around the strip, so that the cut itself leaves nothing narrow inside it.
    margin = 4 * NARROWEST.value
    low, foot, high, head = strip.bounds
    around = shapely.intersection(face, shapely.box(low - margin, foot, high + margin, head))
    pieces = shapely.get_parts(np.asarray([around], dtype=object))
    pieces = pieces[shapely.get_dimensions(pieces) == 2]
    if not len(pieces):
        return []
    disc = (NARROWEST.value - _ROUNDING) / 2
    wide = shapely.union_all(geometry.opened(pieces, disc))
    thin = shapely.get_parts(shapely.difference(shapely.union_all(pieces), wide))
    thin = thin[shapely.get_dimensions(thin) == 2]
    bounds = shapely.bounds(thin).reshape(-1, 4)
    extent = np.hypot(bounds[:, 2] - bounds[:, 0], bounds[:, 3] - bounds[:, 1])
    alone = shapely.distance(thin, wide) > 1e-9 if not wide.is_empty else np.ones(len(thin), bool)
    thin = thin[alone | (extent >= NARROWEST.value)]
    inside = shapely.intersection(thin, strip)
    made = []
    thickness = 2 * shapely.area(inside) / np.maximum(shapely.length(inside), _THINNEST)
    for part in inside[thickness > _THINNEST]:
        point = part.representative_point()
        start, _, end, _ = part.bounds
        made.append(
            AtJoint(
                joint=joint,
                paint=paint,
                x=float(point.x),
                y=float(point.y),
                distance=max(start - joint, joint - end, 0.0),
            )
        )
    return made


def joint_findings(found: Sequence[AtJoint], paints: Sequence[Paint]) -> tuple[Finding, ...]:
    """One finding for each joint with narrow parts of the artwork beside it."""
    names = {paint.number: paint.name for paint in paints}
    findings = []
    for joint in dict.fromkeys(part.joint for part in found):
        here = sorted((p for p in found if p.joint == joint), key=lambda p: (p.distance, p.y))
        places = ", ".join(
            f"{names[p.paint]} at x {p.x:.2f}, y {p.y:.2f} m" for p in here[:_LISTED]
        )
        more = f", and {len(here) - _LISTED} more" if len(here) > _LISTED else ""
        count = number_of(len(here), "place")
        findings.append(
            Finding(
                code="setting_out.at_joint",
                severity=Severity.NOTE,
                subject=f"joint at {joint:.2f} m",
                message=f"The artwork is narrower than {1000 * NARROWEST.value:.0f} mm within "
                f"{1000 * REACH.value:.0f} mm of it in {count}: {places}{more}.",
                remedy="Move them off the joint or make them broader; paint cracks at a joint.",
            )
        )
    return tuple(findings)
