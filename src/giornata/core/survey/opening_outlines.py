"""Openings as measured: rectangles, round and arched ones, and any outline by its corners."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import shapely

__all__ = ["Opening", "OpeningShape", "outlined_opening"]


class OpeningShape(StrEnum):
    """Outline of an opening."""

    RECTANGLE = "rectangle"
    ROUND = "round"
    ARCHED = "arched"
    OUTLINE = "outline"


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """A gate, window or hole.

    Parameters
    ----------
    name : str
        As the painter calls it.
    start, end : float
        Chainages of its sides; it ends after it starts. [m]
    foot, head : float or None
        Levels; None means down to the ground, or up to the top. A round opening has one of the
        two, or both where it is an oval; an arched one has its head. [m]
    shape : OpeningShape
        Its outline.
    spring : float or None
        Level from which an arch rises, in one arc of a circle; None where it is half a circle.
        [m]
    points : tuple of (float, float)
        Corners of an outline, chainage and level, in order round it. [m]
    """

    name: str
    start: float
    end: float
    foot: float | None = None
    head: float | None = None
    shape: OpeningShape = OpeningShape.RECTANGLE
    spring: float | None = None
    points: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        levels = [value for value in (self.foot, self.head, self.spring) if value is not None]
        if not all(math.isfinite(value) for value in (self.start, self.end, *levels)):
            raise ValueError("a place of an opening is not a finite number")
        if not self.end > self.start:
            raise ValueError("a span ends after it starts")
        if self.foot is not None and self.head is not None and not self.head > self.foot:
            raise ValueError("an opening's head is above its foot")
        if self.spring is not None and self.shape is not OpeningShape.ARCHED:
            raise ValueError("only an arched opening has a level from which its arch rises")
        if (self.shape is OpeningShape.OUTLINE) != bool(self.points):
            raise ValueError("an outline has corners, and no other opening has them")
        if self.shape is OpeningShape.ROUND and self.foot is None and self.head is None:
            raise ValueError("a round opening has a foot or a head")
        if self.shape is OpeningShape.ARCHED:
            self._check_arch()
        if self.points:
            self._check_points()

    def _check_arch(self) -> None:
        if self.head is None:
            raise ValueError("an arched opening has a head: the crown of its arch")
        rise = self.rise
        if not 0 < rise <= (self.end - self.start) / 2 * (1 + 1e-9):
            raise ValueError("an arch rises by more than 0, and at most half its width")
        if self.foot is not None and self.foot > self.head - rise + 1e-9:
            raise ValueError("an arch rises from above the opening's foot")

    def _check_points(self) -> None:
        if self.foot is not None or self.head is not None:
            raise ValueError("an outline has no foot or head beside its corners")
        if len(self.points) < 3 or not np.isfinite(self.points).all():
            raise ValueError("an outline has at least three corners")
        ring = shapely.Polygon(self.points)
        if not ring.is_valid or not ring.area > 0:
            raise ValueError("an outline does not cross or touch itself; list its corners in order")
        if (self.start, self.end) != (ring.bounds[0], ring.bounds[2]):
            raise ValueError("an outline starts and ends with its outermost corners")

    @property
    def rise(self) -> float:
        """Of an arched opening's arch, from where it rises to its crown; else 0. [m]"""
        if self.shape is not OpeningShape.ARCHED or self.head is None:
            return 0.0
        return (self.end - self.start) / 2 if self.spring is None else self.head - self.spring


def outlined_opening(name: str, points: Iterable[tuple[float, float]]) -> Opening:
    """An opening given by its corners, in order round it.

    Parameters
    ----------
    name : str
        As the painter calls it.
    points : iterable of (float, float)
        Chainage and level of at least three corners. [m]

    Raises
    ------
    ValueError
        If there are fewer, or the outline crosses itself.
    """
    corners = tuple((float(at), float(level)) for at, level in points)
    if len(corners) < 3:
        raise ValueError("an outline has at least three corners")
    chainages = [at for at, _ in corners]
    return Opening(
        name=name,
        start=min(chainages),
        end=max(chainages),
        shape=OpeningShape.OUTLINE,
        points=corners,
    )
