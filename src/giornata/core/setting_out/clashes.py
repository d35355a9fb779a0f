"""Clashes: shapes of the artwork that an opening cuts, or that stand too near to one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from giornata.core.artwork import Paint
from giornata.core.foundation import Assumption, Finding, Severity, number_of
from giornata.core.geometry import Coverage
from giornata.core.survey import overlap_and_shift

__all__ = ["Clash", "clash_findings", "clashes"]

RUNS_ACROSS = Assumption(
    name="length of a shape that merely runs across an opening, in widths of the opening",
    value=3.0,
    unit="-",
    source="common practice, no source: a band reads on across a gate, a figure does not",
    usual=(2.0, 5.0),
)
_LEAST_AREA = 1e-6  # m²: below a square millimetre nothing is cut
_LISTED = 6  # shapes named in one finding


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """One shape and one opening that cuts it or comes closer than the clearance.

    Parameters
    ----------
    opening : str
        Its name.
    paint : int
        Number of the shape's paint. [-]
    start, end : float
        Chainage of the shape's ends, before anything is cut off. [m]
    overlap : float
        Length along the wall over which the opening takes the shape; 0 where it only comes too
        near. [m]
    area : float
        Of the shape inside the opening. [m²]
    shift : float
        Shortest move along the wall that brings it clear with the clearance; above 0 to the
        right; 0 for a shape that runs across. [m]
    runs_across : bool
        A long band that continues on both sides of the opening.
    """

    opening: str
    paint: int
    start: float
    end: float
    overlap: float
    area: float
    shift: float
    runs_across: bool


def clashes(
    whole: Coverage, openings: Sequence[tuple[str, Any]], *, ground: int, clearance: float
) -> tuple[Clash, ...]:
    """Every shape that an opening cuts or that stands nearer than the clearance.

    Parameters
    ----------
    whole : geometry.Coverage
        The artwork in the wall frame, not yet cut to the wall.
    openings : sequence of (str, shapely geometry)
        Names and outlines in the wall frame. [m]
    ground : int
        Number of the ground paint, whose regions are no shapes. [-]
    clearance : float
        Kept free beside openings; 0 or more. [m]
    """
    figure = whole.labels != ground
    faces, paints = whole.faces[figure], whole.labels[figure]
    tree = shapely.STRtree(faces)
    found: list[Clash] = []
    for name, opening in openings:
        near = np.sort(tree.query(opening, predicate="dwithin", distance=clearance))
        near = near[shapely.distance(faces[near], opening) < max(clearance, 1e-9)]
        taken = shapely.intersection(faces[near], opening)
        for face, part in zip(near, taken, strict=True):
            clash = _clash(name, opening, faces[face], part, int(paints[face]), clearance)
            if clash.overlap > 0 or not clash.runs_across:
                found.append(clash)
    return tuple(found)


def _clash(name: str, opening: Any, face: Any, part: Any, paint: int, clearance: float) -> Clash:
    low, _, high, _ = opening.bounds
    start, _, end, _ = face.bounds
    area = float(part.area)
    cut = area > _LEAST_AREA
    overlap = float(part.bounds[2] - part.bounds[0]) if cut else 0.0
    across = start < low and end > high and end - start >= RUNS_ACROSS.value * (high - low)
    move = overlap_and_shift(float(start), float(end), float(low), float(high), clearance).shift
    return Clash(
        opening=name,
        paint=paint,
        start=float(start),
        end=float(end),
        overlap=overlap,
        area=area if cut else 0.0,
        shift=0.0 if across else move,
        runs_across=across,
    )


def clash_findings(
    found: Sequence[Clash], paints: Sequence[Paint], clearance: float
) -> tuple[Finding, ...]:
    """One finding for each opening and kind of clash: cut, too near, run across.

    Parameters
    ----------
    clearance : float
        Kept free beside openings; 0 or more. [m]
    """
    names = {paint.number: paint.name for paint in paints}
    findings = []
    for opening in dict.fromkeys(clash.opening for clash in found):
        here = [clash for clash in found if clash.opening == opening]
        cut = [c for c in here if c.overlap > 0 and not c.runs_across]
        near = [c for c in here if c.overlap == 0]
        across = [c for c in here if c.overlap > 0 and c.runs_across]
        if cut:
            findings.append(_cut(opening, cut, names, clearance))
        if near:
            findings.append(_near(opening, near, names, clearance))
        if across:
            findings.append(_across(opening, across, names))
    return tuple(findings)


def _cut(opening: str, cut: list[Clash], names: dict[int, str], clearance: float) -> Finding:
    cut = sorted(cut, key=lambda clash: -clash.area)
    lines = [
        f"{names[c.paint]} shape {c.start:.2f}-{c.end:.2f} m by {c.overlap:.2f} m "
        f"({c.area:.2f} m²), to move {abs(c.shift):.2f} m {_hand(c.shift)}"
        for c in cut[:_LISTED]
    ]
    more = f"; and {number_of(len(cut) - _LISTED, 'smaller one')}" if len(cut) > _LISTED else ""
    return Finding(
        code="setting_out.clash",
        severity=Severity.WARN,
        subject=opening,
        message=f"Cuts {_shapes(len(cut))}: {'; '.join(lines)}{more}. "
        f"Clearance kept: {clearance:.2f} m.",
        remedy="Move the shapes in the artwork, move the whole artwork, or accept the cut.",
    )


def _near(opening: str, near: list[Clash], names: dict[int, str], clearance: float) -> Finding:
    near = sorted(near, key=lambda clash: -abs(clash.shift))
    which = ", ".join(f"{names[c.paint]} {c.start:.2f}-{c.end:.2f} m" for c in near[:_LISTED])
    more = f" and {len(near) - _LISTED} more" if len(near) > _LISTED else ""
    return Finding(
        code="setting_out.near_opening",
        severity=Severity.NOTE,
        subject=opening,
        message=f"{_shapes(len(near)).capitalize()} nearer than {clearance:.2f} m: {which}{more}.",
        remedy="Move them where the frame, a hinge or a reveal would disturb them.",
    )


def _across(opening: str, across: list[Clash], names: dict[int, str]) -> Finding:
    which = ", ".join(dict.fromkeys(names[clash.paint] for clash in across))
    return Finding(
        code="setting_out.runs_across",
        severity=Severity.NOTE,
        subject=opening,
        message=f"{_shapes(len(across)).capitalize()} going on across it ({which}): the gap "
        f"takes {sum(clash.area for clash in across):.2f} m².",
        remedy="Check that each band meets its other half at one level on both sides.",
    )


def _shapes(count: int) -> str:
    return number_of(count, "shape")


def _hand(shift: float) -> str:
    return "right" if shift > 0 else "left"
