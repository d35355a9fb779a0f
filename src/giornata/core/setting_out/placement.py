"""Where the artwork lies on the wall, as it was decided."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

__all__ = ["ArtworkPlacement", "Edge", "Filling", "FitTerms", "Into", "PointPair", "Tie"]


class Edge(StrEnum):
    """Which place of a pier or an opening is meant."""

    LEFT = "left"
    MIDDLE = "middle"
    RIGHT = "right"


class Filling(StrEnum):
    """How the artwork takes a stretch of wall whose form is not its own."""

    WHOLE = "whole"
    FILL = "fill"


@dataclass(frozen=True, slots=True, kw_only=True)
class PointPair:
    """A point of the artwork and where it belongs on the wall.

    Parameters
    ----------
    artwork : tuple of float
        x and y in artwork units, y down. [-]
    chainage, level : float
        On the wall. [m]
    """

    artwork: tuple[float, float]
    chainage: float
    level: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Tie:
    """A place along the artwork tied to something of the wall.

    Parameters
    ----------
    artwork : float
        x in artwork units. [-]
    to : str
        "pier P1", "opening Gate", "bend 1", "joint 2", "step 1", "start" or "end"; bends, joints
        and steps of the top are counted from 1 along the wall.
    edge : Edge
        Which place of it.
    """

    artwork: float
    to: str
    edge: Edge = Edge.MIDDLE


@dataclass(frozen=True, slots=True, kw_only=True)
class Into:
    """A stretch of wall that the artwork is brought into, in its middle.

    Parameters
    ----------
    start, end : float
        Chainages; the end after the start. [m]
    filling : Filling
        Whole: all of the artwork, between the highest ground and the lowest top of the stretch.
        Fill: all of the wall, from the lowest ground to the highest top, and what is over falls
        off.
    figure : bool
        The outline of the figure is brought in, not that of the canvas.
    """

    start: float
    end: float
    filling: Filling = Filling.WHOLE
    figure: bool = False

    def __post_init__(self) -> None:
        if not self.end > self.start:
            raise ValueError("a stretch of wall ends after it starts")


@dataclass(frozen=True, slots=True, kw_only=True)
class FitTerms:
    """How the artwork may be fitted to the wall's length.

    Parameters
    ----------
    start, end : float or None
        Where the canvas's left and right edge come to lie; None: the wall's ends. [m]
    least_gap : float
        No strip of empty ground gets narrower; above 0. [m]
    bands : tuple of str
        Keys of paints whose bands may be stretched where there is no figure.
    band_length : float or None
        From which length on a shape of these paints is a band; None: by its form. [m]
    """

    start: float | None = None
    end: float | None = None
    least_gap: float = 0.02
    bands: tuple[str, ...] = ()
    band_length: float | None = None

    def __post_init__(self) -> None:
        if not self.least_gap > 0:
            raise ValueError("the least gap is above 0")
        if self.band_length is not None and not self.band_length > 0:
            raise ValueError("a band has a length above 0")
        if self.start is not None and self.end is not None and not self.end > self.start:
            raise ValueError("a fit ends after it starts")


@dataclass(frozen=True, slots=True, kw_only=True)
class ArtworkPlacement:
    """Position and size of the artwork's canvas on the wall; aspect is never changed.

    Exactly one of width, height and scale is given, or none where two points, two ties or a
    stretch of wall give the size.

    Parameters
    ----------
    at : float
        Chainage of the canvas's left edge; not used where points, ties or a stretch say it. [m]
    foot : float
        Level of its lower edge; not used where points or a stretch say it. [m]
    width, height : float or None
        Of the canvas on the wall; above 0. [m]
    scale : float or None
        Metres of wall to one artwork unit; above 0. [m]
    mirrored : bool
        Only where asked for.
    clearance : float
        Kept free beside openings. [m]
    turn : float or None
        By how much the canvas is turned about its lower left corner, anticlockwise; None: as
        two points ask. [rad]
    points : tuple of PointPair
        None or two.
    ties : tuple of Tie
        None or more.
    into : Into or None
    fit : FitTerms or None
        Where a difference in length is to go into empty ground.
    """

    at: float = 0.0
    foot: float = 0.0
    width: float | None = None
    height: float | None = None
    scale: float | None = None
    mirrored: bool = False
    clearance: float = 0.15
    turn: float | None = 0.0
    points: tuple[PointPair, ...] = ()
    ties: tuple[Tie, ...] = ()
    into: Into | None = None
    fit: FitTerms | None = None

    def __post_init__(self) -> None:
        sizes = [v for v in (self.width, self.height, self.scale) if v is not None]
        ruled = bool(self.points) or self.into is not None
        if ruled and sizes:
            raise ValueError("two points or a stretch of wall give the size themselves")
        if len(sizes) > 1 or (not sizes and not ruled and len(self.ties) < 2):
            raise ValueError("give exactly one of width, height and scale")
        if not all(size > 0 for size in sizes):
            raise ValueError("the artwork's size on the wall is above 0")
        if self.clearance < 0:
            raise ValueError("clearance is 0 or more")
        tied = bool(self.ties) and self.fit is None
        if sum((bool(self.points), tied, self.into is not None)) > 1:
            raise ValueError("points, ties or a stretch of wall: one of them places the artwork")
        if self.points and len(self.points) != 2:
            raise ValueError("the artwork is placed by two points")
        if self.points and math.dist(*(pair.artwork for pair in self.points)) == 0:
            raise ValueError("the two points of the artwork are apart")
        if self.turn is None and not self.points:
            raise ValueError("only two points can ask for a turn")
        if self.turn != 0.0 and self.fit is not None:
            raise ValueError("a turned artwork is not fitted along the wall")
        if len({tie.artwork for tie in self.ties}) != len(self.ties):
            raise ValueError("each tie has its own place in the artwork")
