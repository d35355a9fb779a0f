"""Findings on a photo's known points, its lens, its errors and what was drawn on it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from giornata.core.foundation import Assumption, Finding, Floats, Severity
from giornata.core.geometry import mapped, plane_to_plane
from giornata.core.photography.error_map import ErrorMap
from giornata.core.photography.fitting import BENT_FROM
from giornata.core.photography.known_points import KnownPoint, wall_of
from giornata.core.photography.naming import NAMED_FROM, Agreement, Verdict
from giornata.core.photography.outlines import OutlineOnWall
from giornata.core.photography.wall_in_photo import WallInPhoto
from giornata.core.photography.wall_photo import WallPhoto

__all__ = [
    "ERROR_WORTH", "beyond_horizon", "crossed", "few", "in_line", "of_errors", "of_lens",
    "of_outline", "of_points", "off_photo",
]  # fmt: skip

ERROR_WORTH = Assumption(
    name="error of a place read off a photo that is worth a warning",
    value=0.020,
    unit="m",
    source="common practice, no source: the closure that a survey of a wall is held to",
    usual=(0.010, 0.050),
)
BENT_UNSEEN = Assumption(
    name="bend of a lens that few points leave unseen, at the photo's corners",
    value=0.01,
    unit="-",
    source="common practice, no published source: 0.1 to 2 % remain in phones' corrected pictures",
    usual=(0.001, 0.02),
)


def few(photo: str, count: int) -> Finding:
    """Too few known points.

    Parameters
    ----------
    count : int
        How many there are.
    """
    return Finding(
        code="photography.few_points",
        severity=Severity.STOP,
        subject=f"photo {photo}",
        message=f"{count} known point{'s' * (count != 1)} in the photo; a wall is brought to scale "
        "by four.",
        remedy="Pick four points or more with known chainage and level, spread over the picture: "
        "corners of openings, ends of bays at the top and at the ground.",
    )


def in_line(photo: str, points: Sequence[KnownPoint], clear: float, limit: float) -> Finding:
    """Points that lie in a line, or nearly.

    Parameters
    ----------
    clear, limit : float
        How far from a line they are, and must be, in standard deviations. [-]
    """
    return Finding(
        code="photography.points_in_line",
        severity=Severity.STOP,
        subject=f"photo {photo}",
        message=f"Of any four of the {len(points)} points three lie in a line, to within "
        f"{clear:.1f} times what pick and tape may be out; {limit:.0f} times is the least. They "
        "give no scale across that line.",
        remedy="Add a point well off the line: at the top if they run along the ground, at the "
        "other end if they stand one over another.",
    )


def off_photo(photo: WallPhoto, names: Sequence[str]) -> Finding:
    """Points picked outside the picture."""
    return Finding(
        code="photography.point_off_photo",
        severity=Severity.STOP,
        subject=f"photo {photo.name}, {', '.join(names)}",
        message=f"Picked outside the picture of {photo.width} × {photo.height} px.",
        remedy="Pixels count from the upper left corner of the upright picture, x to the right, y "
        "down; pick the point again.",
    )


def crossed(photo: str) -> Finding:
    """Points that no camera before the wall can see so."""
    return Finding(
        code="photography.points_crossed",
        severity=Severity.STOP,
        subject=f"photo {photo}",
        message="No camera in front of the wall sees the points in this order: two are exchanged, "
        "or left and right.",
        remedy="Compare each name with its place in the picture. Chainage grows to the right as "
        "you face the wall.",
    )


def of_points(photo: str, found: Agreement) -> tuple[Finding, ...]:
    """What the points say of one another."""
    fit, count = found.fit, len(found.used) + (found.left_out is not None)
    subject = f"photo {photo}"
    if found.verdict is Verdict.UNCHECKED:
        return (
            Finding(
                code="photography.no_check",
                severity=Severity.NOTE,
                subject=subject,
                message=f"{count} points fit always: nothing would show a slip in one of them.",
                remedy=f"Pick two more. Five show that one is wrong, {NAMED_FROM} show which.",
            ),
        )
    if found.left_out is not None:
        view, out = fit.view, found.left_out
        place, there = view.wall_from_photo(np.array([[out.x, out.y]]))
        off = place[0] - (out.chainage, out.level) if there[0] else np.array([math.inf, 0.0])
        return (
            Finding(
                code="photography.point_off",
                severity=Severity.WARN,
                subject=f"{subject}, {out.name}",
                message=f"The other {count - 1} points agree and put it {_mm(off[0])} along and "
                f"{_mm(off[1])} up from where it was measured; it was left out.",
                remedy="Pick it again, or tape it again; strike it out if it is another thing than "
                "was measured.",
            ),
        )
    if found.verdict is not Verdict.DISAGREES:
        return ()
    if found.suspects:
        who = f"One of {'; '.join(found.suspects)} is wrong; which of them cannot be told."
    elif count < NAMED_FROM:
        who = f"Which is wrong cannot be told from {count}; it can from {NAMED_FROM}."
    else:
        who = "No single one of them is to blame."
    return (
        Finding(
            code="photography.points_disagree",
            severity=Severity.STOP,
            subject=subject,
            message=f"The points miss one another by {math.sqrt(fit.misfit / fit.redundancy):.1f} "
            f"times what pick and tape explain (chance {100 * found.chance:.1g} %). {who} The "
            "errors stated are widened to match.",
            remedy="Look at the residuals, pick and tape the largest again, and add points.",
        ),
    )


def of_lens(photo: WallPhoto, found: Agreement, hull: Floats) -> tuple[Finding, ...]:
    """What was found of the lens, or could not be.

    Parameters
    ----------
    hull : ndarray, shape (m, 2)
        Of the known points. [m]
    """
    fit, count = found.fit, len(found.used)
    half = math.hypot(photo.width, photo.height) / 2
    if fit.bent:
        out = half * fit.view.bend
        return (
            Finding(
                code="photography.lens_bent",
                severity=Severity.NOTE,
                subject=f"photo {photo.name}",
                message=f"The lens bends straight lines: {abs(out):.0f} px "
                f"{'inwards' if out < 0 else 'outwards'} at the corners. Reckoned with, because it "
                f"takes {fit.gain:.1f} off the misfit (more than 2 is asked).",
                remedy="Nothing. More points near the picture's corners would make it surer.",
            ),
        )
    if count >= BENT_FROM:
        return ()
    moved = _bend_effect(fit.view, found.used, hull, BENT_UNSEEN.value)
    return (
        Finding(
            code="photography.lens_unknown",
            severity=Severity.NOTE,
            subject=f"photo {photo.name}",
            message=f"{count} points cannot tell whether the lens bends straight lines; it is "
            f"taken as straight. A bend of {100 * BENT_UNSEEN.value:.0f} % at the corners would "
            f"move places inside the points by up to {_mm(moved)}, which the errors leave out.",
            remedy=f"Pick {BENT_FROM} points or more, or stand back so that the wall fills only "
            "the middle of the picture.",
        ),
    )


def _bend_effect(
    view: WallInPhoto, points: Sequence[KnownPoint], hull: Floats, bend: float
) -> float:
    """Most that places inside the hull move if the lens bends so and the points are held. [m]"""
    known = wall_of(points)
    half, centre = view.half_diagonal, view.photo_centre

    def straightened(places: Floats) -> Floats:
        out = (view.photo_from_wall(places) - centre) / half
        moved: Floats = out / (1 - bend * (out**2).sum(axis=1, keepdims=True))
        return moved

    inside = np.concatenate([hull, (hull + np.roll(hull, 1, axis=0)) / 2, [hull.mean(axis=0)]])
    read = mapped(plane_to_plane(straightened(known), known), straightened(inside))
    return float(np.hypot(*(read - inside).T).max())


def of_errors(photo: str, errors: ErrorMap) -> tuple[Finding, ...]:
    """A warning where a place inside the points is known badly."""
    worst, best = errors.worst, errors.best
    if worst.error <= ERROR_WORTH.value:
        return ()
    return (
        Finding(
            code="photography.error_large",
            severity=Severity.WARN,
            subject=f"photo {photo}",
            message=f"Places are known to {_mm(best.error)} at the best and {_mm(worst.error)} at "
            f"the worst place inside the points (95 %), {worst.chainage:.2f} m along and "
            f"{worst.level:.2f} m up; {_mm(ERROR_WORTH.value)} is the limit.",
            remedy="Add points near that place, pick them more sharply, or photograph that stretch "
            "from straight in front of it.",
        ),
    )


def beyond_horizon(photo: str, outline: str) -> Finding:
    """An outline that leaves the wall."""
    return Finding(
        code="photography.above_horizon",
        severity=Severity.STOP,
        subject=f"photo {photo}, {outline}",
        message="A corner of it lies where the wall's plane runs out of sight; it has no place "
        "on the wall.",
        remedy="Draw it on the wall itself, near the known points.",
    )


def of_outline(photo: str, outline: OutlineOnWall, hull: Floats) -> tuple[Finding, ...]:
    """Outlines that cross themselves or leave the known points.

    Parameters
    ----------
    hull : ndarray, shape (m, 2)
        Of the known points. [m]
    """
    findings = []
    subject = f"photo {photo}, {outline.name}"
    if outline.kind.closed and not shapely.polygons(outline.corners).is_valid:
        findings.append(
            Finding(
                code="photography.outline_crossed",
                severity=Severity.WARN,
                subject=subject,
                message="Its sides cross: its area means nothing.",
                remedy="Draw its corners again, one after the other round it.",
            )
        )
    away = shapely.distance(shapely.polygons(hull), shapely.points(outline.corners))
    out = int(away.argmax())
    if away[out] > outline.errors[out]:
        findings.append(
            Finding(
                code="photography.outside_points",
                severity=Severity.WARN,
                subject=subject,
                message=f"It runs {float(away[out]):.2f} m beyond the known points, where the "
                f"error grows quickly: {_mm(float(outline.errors[out]))} there (95 %), if the wall "
                "stays flat so far.",
                remedy="Add a known point beyond it.",
            )
        )
    return tuple(findings)


def _mm(value: float) -> str:
    return f"{1000 * value:,.0f} mm" if math.isfinite(value) else "beyond reckoning"
