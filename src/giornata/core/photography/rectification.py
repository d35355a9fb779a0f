"""A wall photographed: known points fitted, outlines carried to the wall, errors and doubts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Finding, Floats, readonly
from giornata.core.photography import photo_findings as doubts
from giornata.core.photography.camera import Camera, camera
from giornata.core.photography.error_map import ErrorMap, error_map, hull_of
from giornata.core.photography.flatness import flatness
from giornata.core.photography.known_points import (
    KnownPoint,
    photo_of,
    thinness,
    wall_of,
)
from giornata.core.photography.naming import Agreement, agreement
from giornata.core.photography.outlines import OutlineOnWall, outline_on_wall
from giornata.core.photography.wall_in_photo import NEAREST_HORIZON, WallInPhoto, length_sigma
from giornata.core.photography.wall_photo import WallPhoto
from giornata.core.survey import DevelopedWall

__all__ = ["PointResidual", "Rectification", "rectification"]

_IN_LINE = 10.0  # standard deviations: nearer to a line than this, noise may turn the plane over


@dataclass(frozen=True, slots=True, kw_only=True)
class PointResidual:
    """How far a known point was picked from where all of them put it.

    Parameters
    ----------
    point : KnownPoint
    x, y : float
        Picked less expected place. [px]
    chainage, level : float
        The same on the wall: what the photo reads there less what was measured. [m]
    used : bool
        Whether it took part in the fit.
    """

    point: KnownPoint
    x: float
    y: float
    chainage: float
    level: float
    used: bool

    @property
    def pixels(self) -> float:
        """Its size in the photo. [px]"""
        return math.hypot(self.x, self.y)

    @property
    def size(self) -> float:
        """Its size on the wall. [m]"""
        return math.hypot(self.chainage, self.level)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rectification:
    """A photo of the wall brought to scale.

    Parameters
    ----------
    photo : WallPhoto
    agreement : Agreement
        The fit, its verdict, and who is left out.
    residuals : tuple of PointResidual
        In the order of the points.
    hull : ndarray, shape (m, 2)
        Corners of the hull of the points used. [m]
    errors : ErrorMap
        Over the hull.
    scale_error : float
        Standard deviation of a length across the hull, as a share of it. [-]
    stand : Camera
        Where it was taken from.
    outlines : tuple of OutlineOnWall
        Those that lie on the wall.
    """

    photo: WallPhoto
    agreement: Agreement
    residuals: tuple[PointResidual, ...]
    hull: Floats
    errors: ErrorMap
    scale_error: float
    stand: Camera
    outlines: tuple[OutlineOnWall, ...]

    @property
    def view(self) -> WallInPhoto:
        """The wall in the photo."""
        return self.agreement.fit.view


def rectification(
    photo: WallPhoto, wall: DevelopedWall | None = None
) -> tuple[Rectification | None, tuple[Finding, ...]]:
    """The photo brought to scale, and everything amiss with it; None where it cannot be.

    Parameters
    ----------
    photo : WallPhoto
        With its known points.
    wall : DevelopedWall or None
        For piers, bends and what stands before the wall; None leaves them out.
    """
    least, refusal = _refused(photo)
    if refusal is not None:
        return None, (refusal,)
    found = agreement(photo.points, photo.width, photo.height, least_thinness=least)
    if found is None:
        return None, (doubts.in_line(photo.name, photo.points, 0.0, _IN_LINE),)
    view = found.fit.view
    stand = camera(view, focal_35=photo.focal_35)
    if stand is None or not (view.weights(wall_of(found.used)) > NEAREST_HORIZON).all():
        return None, (doubts.crossed(photo.name),)
    hull = hull_of(wall_of(found.used))
    errors = error_map(view, hull)
    drawn, findings = _outlines(photo, view, len(found.used), hull)
    made = Rectification(
        photo=photo,
        agreement=found,
        residuals=_residuals(photo.points, found),
        hull=hull,
        errors=errors,
        scale_error=_scale_error(view, hull),
        stand=stand,
        outlines=drawn,
    )
    findings = (
        *doubts.of_points(photo.name, found),
        *doubts.of_lens(photo, found, hull),
        *doubts.of_errors(photo.name, errors),
        *findings,
    )
    if wall is not None:
        places = np.concatenate([hull, *(one.corners for one in drawn)])
        findings += flatness(photo.name, wall, stand, found.used, places, drawn)
    return made, findings


def _refused(photo: WallPhoto) -> tuple[float, Finding | None]:
    """How far from a line points must be, in px, and why these give no plane."""
    points = photo.points
    off = [p.name for p in points if not (0 <= p.x <= photo.width and 0 <= p.y <= photo.height)]
    least = _IN_LINE * max((p.pixel_sigma for p in points), default=1.0)
    if off:
        return least, doubts.off_photo(photo, off)
    if len(points) < 4:
        return least, doubts.few(photo.name, len(points))
    in_photo = thinness(photo_of(points)) / max(p.pixel_sigma for p in points)
    tape = max(math.hypot(p.chainage_sigma, p.level_sigma) / math.sqrt(2) for p in points)
    on_wall = thinness(wall_of(points)) / max(tape, 1e-6)
    clear = min(in_photo, on_wall)
    if clear < _IN_LINE:
        return least, doubts.in_line(photo.name, points, clear, _IN_LINE)
    return least, None


def _residuals(points: Sequence[KnownPoint], found: Agreement) -> tuple[PointResidual, ...]:
    view = found.fit.view
    photo, wall = photo_of(points), wall_of(points)
    missed = photo - view.photo_from_wall(wall)
    read, there = view.wall_from_photo(photo)
    off = np.where(there[:, None], read - wall, math.inf)
    return tuple(
        PointResidual(
            point=point,
            x=float(px[0]),
            y=float(px[1]),
            chainage=float(m[0]),
            level=float(m[1]),
            used=point in found.used,
        )
        for point, px, m in zip(points, missed, off, strict=True)
    )


def _scale_error(view: WallInPhoto, hull: Floats) -> float:
    """Relative standard deviation of the length between the hull's two farthest corners."""
    away = np.hypot(*(hull[:, None, :] - hull[None, :, :]).transpose(2, 0, 1))
    one, two = np.unravel_index(int(away.argmax()), away.shape)
    return length_sigma(view, hull[one], hull[two], 0.0) / float(away[one, two])


def _outlines(
    photo: WallPhoto, view: WallInPhoto, points: int, hull: Floats
) -> tuple[tuple[OutlineOnWall, ...], tuple[Finding, ...]]:
    made: list[OutlineOnWall] = []
    findings: list[Finding] = []
    for outline in photo.outlines:
        on_wall = outline_on_wall(view, outline, pixel_sigma=photo.pixel_sigma, points=points)
        if on_wall is None:
            findings.append(doubts.beyond_horizon(photo.name, outline.name))
            continue
        made.append(on_wall)
        findings.extend(doubts.of_outline(photo.name, on_wall, readonly(hull)))
    return tuple(made), tuple(findings)
