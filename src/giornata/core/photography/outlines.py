"""Outlines drawn in a photo, carried to the wall with how well each corner is known."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from giornata.core.foundation import Figure, Floats, derived, given, readonly
from giornata.core.photography.known_points import PICKING
from giornata.core.photography.wall_in_photo import WallInPhoto, error_radius

__all__ = ["DrawnOutline", "OutlineKind", "OutlineOnWall", "outline_on_wall", "signed_area"]


class OutlineKind(StrEnum):
    """What an outline is drawn round, or along."""

    OPENING = "opening"
    TOP = "top"
    GROUND = "ground"
    OBSTACLE = "obstacle"

    @property
    def closed(self) -> bool:
        """Whether it is an area; the others are lines."""
        return self in (OutlineKind.OPENING, OutlineKind.OBSTACLE)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnOutline:
    """An outline as it was drawn in a photo.

    Parameters
    ----------
    name : str
        As the painter calls it.
    kind : OutlineKind
    corners : ndarray, shape (n, 2)
        In order; at least three of an area, two of a line; the first is not repeated. [px]
    """

    name: str
    kind: OutlineKind
    corners: Floats

    def __post_init__(self) -> None:
        object.__setattr__(self, "corners", readonly(self.corners, columns=2))
        if len(self.corners) < (3 if self.kind.closed else 2):
            raise ValueError("an area has three corners or more, a line two points or more")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OutlineOnWall:
    """An outline on the wall.

    Parameters
    ----------
    name : str
    kind : OutlineKind
    corners : ndarray, shape (n, 2)
        Chainage and level, in the order they were drawn. [m]
    errors : ndarray, shape (n,)
        Longer half axis of each corner's 95 % ellipse, the pick in it. [m]
    covariance : ndarray, shape (2n, 2n)
        Of all corners together, chainage and level in turn. [m²]
    width, height : Figure
        From the least to the greatest chainage and level. [m]
    area : Figure or None
        None for a line. [m²]
    """

    name: str
    kind: OutlineKind
    corners: Floats
    errors: Floats
    covariance: Floats
    width: Figure
    height: Figure
    area: Figure | None

    def __post_init__(self) -> None:
        for name in ("corners", "errors", "covariance"):
            object.__setattr__(self, name, readonly(getattr(self, name)))

    @property
    def error(self) -> float:
        """At the worst corner, 95 %. [m]"""
        return float(self.errors.max())


def signed_area(corners: Floats) -> tuple[float, Floats]:
    """Area of a ring, above 0 anticlockwise [m²], and its change with each coordinate, (2n,) [m].

    Parameters
    ----------
    corners : ndarray, shape (n, 2)
        In order, the first not repeated. [m]
    """
    x, y = (corners - corners.mean(axis=0)).T
    before, after = np.roll(np.stack([x, y]), 1, axis=1), np.roll(np.stack([x, y]), -1, axis=1)
    area = float(x @ after[1] - y @ after[0]) / 2
    slope = np.column_stack([after[1] - before[1], before[0] - after[0]]).ravel() / 2
    return area, slope


def outline_on_wall(
    view: WallInPhoto, outline: DrawnOutline, *, pixel_sigma: float, points: int
) -> OutlineOnWall | None:
    """The outline on the wall; None where a corner lies beyond the wall's horizon.

    Parameters
    ----------
    view : WallInPhoto
        The wall in the photo.
    outline : DrawnOutline
        As drawn. [px]
    pixel_sigma : float
        Of each pick; above 0. [px]
    points : int
        How many known points the view was fitted to.
    """
    corners, there = view.wall_from_photo(outline.corners)
    if not there.all():
        return None
    joint = view.joint_covariance(corners, pixel_sigma)
    each = np.stack([joint[k : k + 2, k : k + 2] for k in range(0, len(joint), 2)])

    def figure(name: str, value: float, unit: str, formula: str, share: Floats) -> Figure:
        return derived(
            name, value, unit,
            method="photography.outline_on_wall v1",
            formula=formula,
            parts=(
                given("known points", points, "-", source="the photo's table in the job file"),
                PICKING.figure(pixel_sigma),
            ),
            sigma=math.sqrt(max(float(share @ joint @ share), 0.0)),
        )  # fmt: skip

    def extent(axis: int) -> tuple[float, Floats]:
        least, most = int(corners[:, axis].argmin()), int(corners[:, axis].argmax())
        share = np.zeros(len(joint))
        share[2 * most + axis] += 1.0
        share[2 * least + axis] -= 1.0
        return float(corners[most, axis] - corners[least, axis]), share

    area = None
    if outline.kind.closed:
        value, slope = signed_area(corners)
        slope = slope if value >= 0 else -slope
        area = figure(
            f"area of {outline.name}", abs(value), "m²", "polygon of the corners on the wall", slope
        )
    return OutlineOnWall(
        name=outline.name,
        kind=outline.kind,
        corners=corners,
        errors=error_radius(each),
        covariance=joint,
        width=figure(f"width of {outline.name}", *_with("m", "last - first chainage", extent(0))),
        height=figure(f"height of {outline.name}", *_with("m", "highest - lowest", extent(1))),
        area=area,
    )


def _with(unit: str, formula: str, found: tuple[float, Floats]) -> tuple[float, str, str, Floats]:
    return found[0], unit, formula, found[1]
