"""Placing: the painted artwork laid on the wall, cut to it, and what that costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from giornata.core import geometry
from giornata.core.artwork import Paint, ground_paint
from giornata.core.foundation import Assumption, Finding, Floats, Severity, affine_applied
from giornata.core.geometry import Coverage
from giornata.core.setting_out.at_joints import AtJoint, at_joints, joint_findings
from giornata.core.setting_out.at_piers import AtArris, arris_findings, at_arrises
from giornata.core.setting_out.clashes import Clash, clash_findings, clashes
from giornata.core.setting_out.fit_records import Anchor, ArtworkFit
from giornata.core.setting_out.fitting import fitted
from giornata.core.setting_out.overruns import Fits, Overrun, overrun_findings, overruns
from giornata.core.setting_out.placement import ArtworkPlacement
from giornata.core.setting_out.transform import placed_scale, wall_from_artwork

__all__ = ["PlacedArtwork", "place"]

SLIVER = Assumption(
    name="mean width of a sliver on the wall",
    value=0.00005,
    unit="m",
    source="house default, no source: thinner than any line a brush draws",
    usual=(0.00001, 0.0005),
)
_LEAST_AREA = 1e-6  # m²
_ROUNDING = 1e-6  # m: below it, an edge on the wall's outline lies on it


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlacedArtwork:
    """The artwork on the wall.

    Parameters
    ----------
    coverage : geometry.Coverage
        Regions tile the net wall (wall frame, m); labels are paint numbers; OUTSIDE lies beyond
        the wall's outline and in its openings.
    wall_from_artwork : ndarray, shape (3, 3)
        Before the fit, where there is one.
    placement : ArtworkPlacement
        Its position and size worked out.
    canvas : tuple of float
        Width and height in artwork units. [-]
    scale : float
        Metres of wall to one artwork unit. [m]
    ground : int
        Number of the ground paint. [-]
    net_area : float
        Of the wall as the regions tile it. [m²]
    uncovered : float
        Net wall beyond the canvas, painted with the ground. [m²]
    clashes : tuple of Clash
    overruns : tuple of Overrun
    at_joints : tuple of AtJoint
    at_arrises : tuple of AtArris
    fit : ArtworkFit or None
        None where none was asked for, or there is none.
    findings : tuple of Finding
    """

    coverage: Coverage
    wall_from_artwork: Floats
    placement: ArtworkPlacement
    canvas: tuple[float, float]
    scale: float
    ground: int
    net_area: float
    uncovered: float
    clashes: tuple[Clash, ...]
    overruns: tuple[Overrun, ...]
    at_joints: tuple[AtJoint, ...] = ()
    at_arrises: tuple[AtArris, ...] = ()
    fit: ArtworkFit | None = None
    findings: tuple[Finding, ...] = ()


def place(
    coverage: Coverage,
    *,
    canvas: tuple[float, float],
    placement: ArtworkPlacement,
    net: Any,
    paints: Sequence[Paint],
    openings: Sequence[tuple[str, Any]] = (),
    outline: Any = None,
    joints: Sequence[float] = (),
    piers: Sequence[tuple[str, float, float]] = (),
    fits: Fits | None = None,
    anchors: Sequence[Anchor] = (),
) -> PlacedArtwork:
    """The painted artwork laid on the wall and cut to its net area.

    Parameters
    ----------
    coverage : geometry.Coverage
        Regions of the canvas by paint number, artwork frame.
    canvas : tuple of float
        Width and height in artwork units; above 0. [-]
    placement : ArtworkPlacement
        With its size and position worked out, as `located` does.
    net : shapely.Polygon or shapely.MultiPolygon
        The wall less its openings, wall frame. [m]
    paints : sequence of Paint
        Exactly one is the ground; wall beyond the canvas is painted with it.
    openings : sequence of (str, shapely geometry)
        Names and outlines, wall frame. [m]
    outline : shapely.Polygon or shapely.MultiPolygon, optional
        The wall with its openings; else net and openings together. [m]
    joints : sequence of float
        Chainages of movement joints. [m]
    piers : sequence of (str, float, float)
        Name, and chainages of the two arrises, of each pier that stands proud. [m]
    fits : callable, optional
        Stretches of wall where a shape of a height and a width would fit. [m]
    anchors : sequence of Anchor
        Of the fit that the placement asks for.

    Raises
    ------
    ValueError
        If the net wall is empty or not valid, or not exactly one paint is the ground.
    """
    if shapely.is_empty(net) or not shapely.is_valid(net) or not net.area > 0:
        raise ValueError("the net wall is a valid polygon with an area")
    ground = ground_paint(paints).number
    matrix = wall_from_artwork(placement, canvas)
    whole = geometry.transformed(coverage, matrix)
    fit: ArtworkFit | None = None
    fit_found: tuple[Finding, ...] = ()
    if placement.fit is not None:
        whole, fit, fit_found = fitted(whole, placement.fit, anchors, paints, ground=ground)
    on_wall = geometry.clipped(
        geometry.aligned(whole, net, reach=_ROUNDING), net, beyond=ground, sliver=SLIVER.value
    )
    if outline is None:
        outline = shapely.union_all([net, *(polygon for _, polygon in openings)])
    sheet = _sheet(matrix, canvas, anchors if fit is not None else ())
    covered = float(shapely.intersection(net, sheet).area)
    cut = clashes(whole, openings, ground=ground, clearance=placement.clearance)
    over = overruns(whole, outline, ground=ground)
    beside = at_joints(on_wall, joints, ground=ground)
    arrises = at_arrises(on_wall, piers, ground=ground)
    uncovered = max(float(net.area) - covered, 0.0)
    return PlacedArtwork(
        coverage=on_wall,
        wall_from_artwork=matrix,
        placement=placement,
        canvas=canvas,
        scale=placed_scale(placement, canvas),
        ground=ground,
        net_area=float(shapely.area(on_wall.faces).sum()),
        uncovered=uncovered if uncovered > _LEAST_AREA else 0.0,
        clashes=cut,
        overruns=over,
        at_joints=beside,
        at_arrises=arrises,
        fit=fit,
        findings=(
            *fit_found,
            *_off_wall(whole, on_wall, ground),
            *clash_findings(cut, paints, placement.clearance),
            *overrun_findings(over, paints, fits),
            *joint_findings(beside, paints),
            *arris_findings(arrises, paints),
            *_uncovered(net, sheet, uncovered),
        ),
    )


def _sheet(matrix: Floats, canvas: tuple[float, float], anchors: Sequence[Anchor]) -> Any:
    """The canvas on the wall; a fit brings its ends to where the first two anchors are."""
    width, height = canvas
    corners = affine_applied(matrix, [(0, 0), (width, 0), (width, height), (0, height)])
    sheet = shapely.Polygon(corners)
    if not anchors:
        return sheet
    _, foot, _, head = sheet.bounds
    return shapely.box(anchors[0].to, foot, anchors[1].to, head)


def _off_wall(whole: Coverage, on_wall: Coverage, ground: int) -> tuple[Finding, ...]:
    if np.all(whole.labels == ground) or np.any(on_wall.labels != ground):
        return ()
    start, foot, end, head = shapely.total_bounds(whole.faces)
    return (
        Finding(
            code="setting_out.off_wall",
            severity=Severity.STOP,
            subject="placement of the artwork",
            message=(
                f"No shape of the artwork falls on the wall: it lies from {start:.2f} to "
                f"{end:.2f} m along it, at levels {foot:.2f} to {head:.2f} m."
            ),
            remedy="Correct where the artwork's left and lower edges lie, or its size.",
        ),
    )


def _uncovered(net: Any, sheet: Any, area: float) -> tuple[Finding, ...]:
    if area <= max(_LEAST_AREA, 1e-6 * float(net.area)):
        return ()
    start, foot, end, head = sheet.bounds
    return (
        Finding(
            code="setting_out.wall_uncovered",
            severity=Severity.NOTE,
            subject="wall beyond the artwork",
            message=(
                f"{area:.2f} m² of the net wall, {100 * area / float(net.area):.1f} %, lies "
                f"beyond the canvas, which reaches from {start:.2f} to {end:.2f} m along the wall "
                f"and from level {foot:.2f} to {head:.2f} m; it is painted with the ground."
            ),
            remedy="Enlarge the canvas or the artwork if it should reach there.",
        ),
    )
