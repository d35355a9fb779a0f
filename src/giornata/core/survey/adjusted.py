"""What an adjustment gives: points, readings against one another, and how well all fit."""

from __future__ import annotations

import math
from dataclasses import dataclass

from giornata.core.foundation import Floats, readonly
from giornata.core.survey.network import Axis, Unknown
from giornata.core.survey.taken import Taken

__all__ = ["AdjustedCoursing", "AdjustedPoint", "AdjustedReading", "Adjustment"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AdjustedPoint:
    """Coordinates of a named point, each with its standard deviation; None where none was taken.

    Parameters
    ----------
    name : str
        As the readings call it.
    chainage, level, offset : float or None
        Along the wall, above the level line, towards you. [m]
    chainage_sigma, level_sigma, offset_sigma : float or None
        From the readings' stated deviations. [m]
    undetermined : tuple of Axis
        Coordinates that readings touch but do not fix.
    """

    name: str
    chainage: float | None = None
    level: float | None = None
    offset: float | None = None
    chainage_sigma: float | None = None
    level_sigma: float | None = None
    offset_sigma: float | None = None
    undetermined: tuple[Axis, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AdjustedCoursing:
    """Height of one course as the readings over counted courses give it.

    Parameters
    ----------
    name : str
        As the readings call it.
    height, sigma : float
        Of one course with its joint, and its standard deviation. [m]
    """

    name: str
    height: float
    sigma: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AdjustedReading:
    """A reading against all others.

    Parameters
    ----------
    reading : Taken
        As taken.
    sigma : float
        Its standard deviation before adjusting. [m]
    adjusted : float or None
        What it should have read; None where nothing tells. [m]
    residual : float or None
        Adjusted less read; of courses over their whole height. [m]
    redundancy : float
        Part of an error of it that shows in its residual; 0 where nothing checks it. [-]
    test : float or None
        Residual over its own standard deviation; None where nothing checks it. [-]
    error : float or None
        What it would be wrong by if it alone were wrong: read less what the others say. [m]
    detectable : float or None
        Smallest error of it that would be found. [m]
    """

    reading: Taken
    sigma: float
    adjusted: float | None
    residual: float | None
    redundancy: float
    test: float | None
    error: float | None
    detectable: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Adjustment:
    """All readings adjusted together.

    Parameters
    ----------
    points : tuple of AdjustedPoint
        In the order in which readings name them.
    coursings : tuple of AdjustedCoursing
        Those whose courses were counted.
    readings : tuple of AdjustedReading
        In order, those set aside among them.
    freedom : int
        Readings beyond those needed. [-]
    weighted_square : float
        Sum of squared residual over deviation. [-]
    critical : float
        Greatest such sum accepted; 0 where nothing is redundant. [-]
    worst : int or None
        Place of the reading that fits worst; None where nothing is checked. [-]
    alike : tuple of int
        Places of those whose tests cannot be told from the worst one's, itself first. [-]
    agrees_without : bool
        Whether the others pass both tests once the worst is left out.
    unknowns : tuple of Unknown
        In the order of ``gain``.
    values : dict of Unknown to float
        Each unknown as adjusted. [m]
    open : tuple of Unknown
        Those that no reading fixes.
    gain : ndarray, shape (u, n)
        Change of each unknown for a unit change of each reading not set aside. [-]
    sigma : ndarray, shape (n,)
        Deviations of those readings. [m]
    settled : bool
        Whether the diagonals came to rest.
    used : bool
        Whether the wall is drawn from it.
    """

    points: tuple[AdjustedPoint, ...]
    coursings: tuple[AdjustedCoursing, ...]
    readings: tuple[AdjustedReading, ...]
    freedom: int
    weighted_square: float
    critical: float
    worst: int | None
    alike: tuple[int, ...]
    agrees_without: bool
    unknowns: tuple[Unknown, ...]
    values: dict[Unknown, float]
    open: tuple[Unknown, ...]
    gain: Floats
    sigma: Floats
    settled: bool
    used: bool = True

    def __post_init__(self) -> None:
        object.__setattr__(self, "gain", readonly(self.gain))
        object.__setattr__(self, "sigma", readonly(self.sigma))

    @property
    def passed(self) -> bool:
        """Whether the readings as a whole fit one another as well as their deviations say."""
        return self.freedom == 0 or self.weighted_square <= self.critical

    @property
    def posterior(self) -> float | None:
        """How much larger the errors are than stated; None where nothing is redundant. [-]"""
        if self.freedom == 0:
            return None
        return math.sqrt(self.weighted_square / self.freedom)

    def covariance(self) -> Floats:
        """Covariance of the unknowns, shape (u, u), from the stated deviations. [m²]"""
        spread = self.gain * self.sigma
        found: Floats = spread @ spread.T
        return found
