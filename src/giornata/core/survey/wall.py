"""The developed wall: the wall unrolled flat, with all that lies on it."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from giornata.core.foundation import Figure, Floats, readonly
from giornata.core.survey.adjusted import Adjustment
from giornata.core.survey.arcs import Arc
from giornata.core.survey.closure import Closure, Span
from giornata.core.survey.line import level_at
from giornata.core.survey.observations import Bend, Lamp, Surface
from giornata.core.survey.opening_outlines import OpeningShape
from giornata.core.survey.ribs import RibbedFace
from giornata.core.survey.tape import Precision

__all__ = ["DevelopedWall", "HiddenBand", "PierSpan", "WallOpening", "fitting_spans", "height_at"]

_NO_TURN = 1e-9  # rad


@dataclass(frozen=True, slots=True, kw_only=True)
class WallOpening(Span):
    """An opening as it cuts the wall; its polygon never leaves the outline.

    Parameters
    ----------
    polygon : shapely.Polygon or MultiPolygon
        In the wall frame (chainage, level). [m]
    shape : OpeningShape
        As it was measured.
    """

    polygon: Any
    shape: OpeningShape = OpeningShape.RECTANGLE


@dataclass(frozen=True, slots=True, kw_only=True)
class PierSpan(Span):
    """A pier's stretch of the wall.

    Parameters
    ----------
    proud : float
        How far its face stands before the wall's; 0 or more. [m]
    returns_painted : bool
        Whether its two narrow sides are painted.
    """

    proud: float
    returns_painted: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HiddenBand(Span):
    """What an obstacle hides of the wall, seen square on: from the ground to its height.

    Parameters
    ----------
    kind : str
        "hedge", "rail", in the painter's words.
    height : float
        Of the obstacle above the ground; 0 or more. [m]
    polygon : shapely.Polygon or MultiPolygon
        In the wall frame, inside the outline; openings are not cut out. [m]
    near, far : float or None
        Distances from the wall between which it lies; None where not measured. [m]
    """

    kind: str
    height: float
    polygon: Any
    near: float | None = None
    far: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DevelopedWall:
    """The wall unrolled: wall frame (chainage to the right, level up), and its place on site.

    Parameters
    ----------
    datum : str
        The datum in words.
    surface : Surface
        Face of the wall.
    length : float
        From chainage 0 to the end. [m]
    bays : tuple of Span
        In order; an accepted misclosure is spread over them. [m]
    top, ground : ndarray, shape (n, 2)
        Chainage and level from 0 to the length; two rows at one chainage are a step. [m]
    outline : shapely.Polygon or MultiPolygon
        Gross wall between ground and top. [m]
    openings : tuple of WallOpening
        In order of chainage.
    net : shapely.Polygon or MultiPolygon
        Outline less openings. [m]
    piers : tuple of PierSpan
        In order of chainage.
    joints : tuple of float
        Chainages of movement joints, in order, none at the ends. [m]
    plan : ndarray, shape (k + 1, 3)
        Chainage, east, north at the ends, at each bend and at the ends of each arc. [m]
    facing : ndarray, shape (k,)
        Direction the painted face looks where each stretch begins, from true north by east. [rad]
    curvature : ndarray, shape (k,)
        Turn of each stretch for each metre: 0 straight, above 0 where it is concave. [rad/m]
    arcs : tuple of Arc
        Curved stretches, cut to the wall, in order of chainage.
    hidden : tuple of HiddenBand
        What obstacles hide.
    lamps : tuple of Lamp
        Lit stretches, cut to the wall.
    closure : Closure or None
        Of the bays on the overall, as taped.
    adjustment : Adjustment or None
        Of all readings, where some were taken between named points.
    wall_length, gross_area, openings_area, net_area : Figure
        With sigma and parts. [m], [m²]
    returns_area : Figure or None
        Painted sides of piers, on top of the net area; None where none is painted. [m²]
    form_factor : Figure or None
        Surface of its corrugated or ribbed face over its flat area; None where it is flat. [-]
    greatest_height : float
        Of the wall. [m]
    gross_precision, net_precision : Precision
        Root-sum and worst case. [m²]
    ribbed : RibbedFace or None
        That face, for lines across its ribs.
    """

    datum: str
    surface: Surface
    length: float
    bays: tuple[Span, ...]
    top: Floats
    ground: Floats
    outline: Any
    openings: tuple[WallOpening, ...]
    net: Any
    piers: tuple[PierSpan, ...]
    joints: tuple[float, ...]
    plan: Floats
    facing: Floats
    curvature: Floats
    arcs: tuple[Arc, ...]
    hidden: tuple[HiddenBand, ...]
    lamps: tuple[Lamp, ...]
    closure: Closure | None
    adjustment: Adjustment | None
    wall_length: Figure
    gross_area: Figure
    openings_area: Figure
    net_area: Figure
    returns_area: Figure | None
    form_factor: Figure | None
    greatest_height: float
    gross_precision: Precision
    net_precision: Precision
    ribbed: RibbedFace | None = None

    def __post_init__(self) -> None:
        for name, columns in (("top", 2), ("ground", 2), ("plan", 3)):
            object.__setattr__(self, name, readonly(getattr(self, name), columns=columns))
        object.__setattr__(self, "facing", readonly(self.facing))
        object.__setattr__(self, "curvature", readonly(self.curvature))
        if not len(self.facing) == len(self.curvature) == len(self.plan) - 1:
            raise ValueError("each stretch has one facing and one curvature")
        if not self.length > 0:
            raise ValueError("a wall has a length above 0")

    @property
    def bends(self) -> tuple[Bend, ...]:
        """Bends in plan, in order of chainage; where an arc runs on smoothly there is none."""
        ends = self.facing + self.curvature * np.diff(self.plan[:, 0])
        turns = zip(self.plan[1:-1, 0].tolist(), self.facing[1:] - ends[:-1], strict=True)
        return tuple(
            Bend(at=at, angle=math.remainder(float(turn), math.tau))
            for at, turn in turns
            if abs(turn) > _NO_TURN
        )


def height_at(wall: DevelopedWall, chainage: float, *, before: bool = False) -> float:
    """Height of the wall, ground to top, at a chainage. [m]

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall.
    chainage : float
        0 to the length. [m]
    before : bool
        At a step: the height just before it, not the one after it.

    Raises
    ------
    ValueError
        If the chainage is off the wall.
    """
    if not 0 <= chainage <= wall.length:
        raise ValueError(f"chainage is 0 to {wall.length} m")
    at_end = before or chainage == wall.length
    return level_at(wall.top, chainage, before=at_end) - level_at(
        wall.ground, chainage, before=at_end
    )


def fitting_spans(
    wall: DevelopedWall, height: float, *, width: float = 0.0
) -> tuple[tuple[float, float], ...]:
    """Stretches of wall at least so high, and so long, from start to end chainage. [m]

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall; openings are not looked at.
    height : float
        Height of the motif, ground to top; above 0. [m]
    width : float
        Least length of a stretch; 0 or more. [m]

    Raises
    ------
    ValueError
        If the height is not above 0 or the width is below 0.
    """
    if not height > 0 or not width >= 0:
        raise ValueError("a motif's height is above 0 and its width 0 or more")
    spans: list[list[float]] = []
    breaks = np.unique(np.concatenate([wall.top[:, 0], wall.ground[:, 0]]))
    for a, b in itertools.pairwise(breaks):
        span = _high_part(
            float(a),
            float(b),
            height_at(wall, a) - height,
            height_at(wall, b, before=True) - height,
        )
        if span is None:
            continue
        if spans and math.isclose(spans[-1][1], span[0], abs_tol=1e-9):
            spans[-1][1] = span[1]
        else:
            spans.append([span[0], span[1]])
    return tuple((a, b) for a, b in spans if b - a >= width - 1e-9)


def _high_part(a: float, b: float, over_a: float, over_b: float) -> tuple[float, float] | None:
    """Where a straight line from ``over_a`` to ``over_b`` is 0 or more."""
    slack = 1e-9
    if over_a >= -slack and over_b >= -slack:
        return a, b
    if over_a < -slack and over_b < -slack:
        return None
    crossing = a + (b - a) * over_a / (over_a - over_b)
    return (a, crossing) if over_a > over_b else (crossing, b)
