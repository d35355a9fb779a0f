"""What is not flat in a photo of the wall: piers, bends, and what stands before it."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from giornata.core.foundation import Finding, Floats, Severity
from giornata.core.photography.camera import Camera, proud_shift, view_angle
from giornata.core.photography.known_points import KnownPoint
from giornata.core.photography.outlines import OutlineKind, OutlineOnWall
from giornata.core.photography.photo_findings import ERROR_WORTH
from giornata.core.survey import Arc, Bend, DevelopedWall, PierSpan, level_at

__all__ = ["flatness"]

_HAND = 0.1  # m: what obstacles are spoken of by


def flatness(
    photo: str,
    wall: DevelopedWall,
    stand: Camera,
    points: Sequence[KnownPoint],
    places: Floats,
    outlines: Sequence[OutlineOnWall],
) -> tuple[Finding, ...]:
    """Findings where the wall leaves the plane that the photo was brought to scale in.

    Parameters
    ----------
    photo : str
        Its name.
    wall : DevelopedWall
        With its piers and bends.
    stand : Camera
        Where the photo was taken from.
    points : sequence of KnownPoint
        Those the fit was made from.
    places : ndarray, shape (n, 2)
        Hull of the points and all that was drawn. [m]
    outlines : sequence of OutlineOnWall
        What was drawn.
    """
    left, right = float(places[:, 0].min()), float(places[:, 0].max())
    findings: list[Finding] = []
    for pier in wall.piers:
        if pier.proud > 0 and pier.end > left and pier.start < right:
            findings.append(_pier(photo, wall, stand, pier))
            findings.extend(_on_pier(photo, stand, pier, points))
    first = min(point.chainage for point in points)
    last = max(point.chainage for point in points)
    for bend in wall.bends:
        if left < bend.at < right:
            findings.append(_bend(photo, stand, bend, (first, last), (left, right)))
    for arc in wall.arcs:
        if arc.end > left and arc.start < right:
            findings.append(_curve(photo, stand, arc, (left, right)))
    obstacles = (one for one in outlines if one.kind is OutlineKind.OBSTACLE)
    findings.extend(_before(photo, stand, one) for one in obstacles)
    return tuple(findings)


def _pier(photo: str, wall: DevelopedWall, stand: Camera, pier: PierSpan) -> Finding:
    at = np.array([pier.start, pier.end])
    inner = np.clip(at, 0.0, wall.length)
    levels = [(level_at(wall.ground, c), level_at(wall.top, c)) for c in inner]
    corners = np.array([(c, level) for c, pair in zip(at, levels, strict=True) for level in pair])
    proud = min(pier.proud, 0.9 * stand.distance)
    shift = np.hypot(*proud_shift(stand, corners, proud).T)
    worst = int(shift.argmax())
    angle = math.degrees(float(view_angle(stand, corners)[worst]))
    most = float(shift[worst])
    return Finding(
        code="photography.pier_proud",
        severity=Severity.WARN if most > ERROR_WORTH.value else Severity.NOTE,
        subject=f"photo {photo}, pier {pier.name}",
        message=f"It stands {1000 * pier.proud:.0f} mm proud and is seen up to {angle:.0f} degrees "
        f"off square: what is on its face shows up to {1000 * most:.0f} mm away from its place "
        f"(lens taken to stand {stand.distance:.1f} m off, from {stand.lens_from}).",
        remedy="Draw nothing on the pier's face from this photo, or take one from straight in "
        "front of it.",
    )


def _on_pier(
    photo: str, stand: Camera, pier: PierSpan, points: Sequence[KnownPoint]
) -> tuple[Finding, ...]:
    on = [p for p in points if pier.start < p.chainage < pier.end]
    if not on:
        return ()
    at = np.array([(p.chainage, p.level) for p in on])
    proud = min(pier.proud, 0.9 * stand.distance)
    most = float(np.hypot(*proud_shift(stand, at, proud).T).max())
    names = ", ".join(p.name for p in on)
    return (
        Finding(
            code="photography.point_on_pier",
            severity=Severity.WARN,
            subject=f"photo {photo}, {names}",
            message=f"Picked on pier {pier.name}, {1000 * pier.proud:.0f} mm before the wall's "
            f"face: in the photo it shows up to {1000 * most:.0f} mm away from where it was taped.",
            remedy="Take a point on the face of the wall beside the pier.",
        ),
    )


def _bend(
    photo: str,
    stand: Camera,
    bend: Bend,
    points: tuple[float, float],
    drawn: tuple[float, float],
) -> Finding:
    at, turn = bend.at, bend.angle
    between = points[0] < at < points[1]
    ends = points if between else drawn
    # The plane is that of the side with more of the points' stretch.
    beyond = min(ends[1] - at, at - ends[0]) if between else _farther(points, drawn, at)
    edge = at + beyond if (points[0] + points[1]) / 2 < at else at - beyond
    out = beyond * abs(math.sin(turn))
    tangent = abs(edge - stand.chainage) / stand.distance
    moved = out * tangent + beyond * (1 - math.cos(turn))
    return Finding(
        code="photography.bend_inside",
        severity=Severity.STOP if between else Severity.WARN,
        subject=f"photo {photo}, bend at {at:.2f} m",
        message=f"The wall turns by {abs(math.degrees(turn)):.0f} degrees "
        + ("between the known points" if between else "before the end of what was drawn")
        + f": {beyond:.2f} m beyond the bend it is {1000 * out:.0f} mm out of the plane, which "
        f"shifts what is seen there by about {1000 * moved:.0f} mm.",
        remedy="Bring each side of the bend to scale by itself, with four points of its own.",
    )


def _curve(photo: str, stand: Camera, arc: Arc, drawn: tuple[float, float]) -> Finding:
    start, end = max(arc.start, drawn[0]), min(arc.end, drawn[1])
    # The rise of an arc over its chord, r (1 - cos(half the angle)); at its worst place.
    rise = arc.radius * (1 - math.cos(min((end - start) / arc.radius, math.tau) / 2))
    tangent = max(abs(start - stand.chainage), abs(end - stand.chainage)) / stand.distance
    return Finding(
        code="photography.curve_inside",
        severity=Severity.STOP if rise * tangent > ERROR_WORTH.value else Severity.WARN,
        subject=f"photo {photo}, curve from {arc.start:.2f} to {arc.end:.2f} m",
        message=f"The wall curves inside the photo: from {start:.2f} to {end:.2f} m it rises "
        f"{1000 * rise:.0f} mm out of its plane, which shifts what is seen there by up to "
        f"{1000 * rise * tangent:.0f} mm.",
        remedy="Bring short stretches of a curve to scale one by one, each from straight in front.",
    )


def _farther(points: tuple[float, float], drawn: tuple[float, float], at: float) -> float:
    """How far what was drawn runs beyond a bend that lies outside the points."""
    return drawn[1] - at if at >= points[1] else at - drawn[0]


def _before(photo: str, stand: Camera, outline: OutlineOnWall) -> Finding:
    shift = np.hypot(*proud_shift(stand, outline.corners, min(_HAND, stand.distance / 2)).T).max()
    return Finding(
        code="photography.obstacle_before_wall",
        severity=Severity.NOTE,
        subject=f"photo {photo}, {outline.name}",
        message="It is drawn where it hides the wall from the camera. For each "
        f"{1000 * _HAND:.0f} mm that it stands before the wall, its true place is up to "
        f"{1000 * float(shift):.0f} mm nearer to the foot of the camera.",
        remedy="Tape its ends along the wall where they matter.",
    )
