"""Arcs: stretches of wall that are curved in plan, and walls that are round."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Arc", "Curve", "radius_from_rise", "round_face"]


class Curve(StrEnum):
    """Which way a wall is curved, as one faces it."""

    CONVEX = "convex"
    CONCAVE = "concave"


@dataclass(frozen=True, slots=True, kw_only=True)
class Arc:
    """A stretch of wall that is part of a circle in plan.

    Parameters
    ----------
    start, end : float
        Chainages, taped along the face; it ends after it starts. [m]
    radius : float
        Of the painted face; above 0. [m]
    curve : Curve
        Convex bulges towards you, as a silo does; concave is hollow.
    """

    start: float
    end: float
    radius: float
    curve: Curve

    def __post_init__(self) -> None:
        if not (math.isfinite(self.start) and self.start < self.end < math.inf):
            raise ValueError("a curved stretch ends after it starts")
        if not 0 < self.radius < math.inf:
            raise ValueError("a radius is above 0")

    @property
    def curvature(self) -> float:
        """Turn of the wall for each metre of it, above 0 where it is concave. [rad/m]"""
        return (1.0 if self.curve is Curve.CONCAVE else -1.0) / self.radius

    @property
    def sweep(self) -> float:
        """Angle that the stretch turns through, above 0 either way. [rad]"""
        return (self.end - self.start) / self.radius


def radius_from_rise(chord: float, rise: float) -> float:
    """Radius of a curve from a straight measure across it and its depth in the middle. [m]

    Parameters
    ----------
    chord : float
        Straight from one point of the face to another; above 0. [m]
    rise : float
        From the middle of that straight line to the face; above 0, at most half the chord. [m]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    c² / 8h + h / 2, from the two right-angled triangles of the figure (Euclid III.35: the two
    halves of the chord multiply to the rise times the rest of the diameter).

    Examples
    --------
    >>> radius_from_rise(6.0, 1.0)
    5.0
    """
    if not (chord > 0 and 0 < rise <= chord / 2):
        raise ValueError("a chord is above 0 and its rise above 0, at most half the chord")
    return chord * chord / (8 * rise) + rise / 2


def round_face(
    diameter: float, *, turn: float = math.tau, sigma: float = 0.0
) -> tuple[float, float]:
    """Length of a round face along its curve and its standard deviation. [m]

    Parameters
    ----------
    diameter : float
        Of the painted face; above 0. [m]
    turn : float
        Angle of the part that is painted; above 0, at most a full turn. [rad]
    sigma : float
        Standard deviation of the diameter; 0 or more. [m]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Examples
    --------
    >>> round(round_face(9.2, turn=math.pi)[0] * 21.0, 1)   # m² of a silo's nearer half
    303.5
    """
    if not (0 < diameter < math.inf and 0 < turn <= math.tau * (1 + 1e-12) and sigma >= 0):
        raise ValueError("a diameter is above 0 and a turn above 0 to 360 degrees")
    return diameter / 2 * turn, sigma / 2 * turn
