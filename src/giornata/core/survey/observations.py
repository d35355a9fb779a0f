"""What was taken down at the wall: readings, bays, openings, piers, bends, obstacles."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from giornata.core.survey.arcs import Arc
from giornata.core.survey.corrugation import Corrugation
from giornata.core.survey.opening_outlines import Opening
from giornata.core.survey.ribs import Ribs
from giornata.core.survey.taken import DATUM, Taken

__all__ = [
    "Bay", "Bend", "Height", "Lamp", "Level", "Obstacle", "Pier", "Surface",
    "TapeClass", "WallSurvey",
]  # fmt: skip


class TapeClass(StrEnum):
    """Accuracy class of a tape."""

    I = "I"  # noqa: E741
    II = "II"
    III = "III"


class Surface(StrEnum):
    """Face of the wall, by how much paint it takes."""

    SMOOTH = "smooth"
    MASONRY = "masonry"
    ROUGH_RENDER = "rough render"
    ROUGHCAST = "roughcast"


# Beyond these a unit was mistaken: no painted wall is longer than 10 km or higher than 1 km.
_LONGEST, _HIGHEST = 10_000.0, 1_000.0  # m


def _finite(**values: float) -> None:
    for name, value in values.items():
        if not math.isfinite(value):
            raise ValueError(f"{name} is not a finite number")


def _believable(length: float, limit: float, what: str) -> None:
    if abs(length) > limit:
        raise ValueError(f"{what} is at most {limit:,.0f} m; check the unit")


def _span(start: float, end: float) -> None:
    _finite(start=start, end=end)
    if not end > start:
        raise ValueError("a span ends after it starts")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bay:
    """A length of wall between two joints or piers, as taped.

    Parameters
    ----------
    name : str
        As the painter calls it.
    length : float
        Above 0. [m]
    sigma : float or None
        Its own precision, above 0; None where it was taped like the others. [m]
    """

    name: str
    length: float
    sigma: float | None = None

    def __post_init__(self) -> None:
        _finite(length=self.length)
        if self.sigma is not None and not 0 < self.sigma < math.inf:
            raise ValueError("the precision of a bay is above 0")
        if not self.length > 0:
            raise ValueError("a bay has a length above 0")
        _believable(self.length, _LONGEST, "a bay")


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A level read at a chainage.

    Parameters
    ----------
    at : float
        Chainage. [m]
    level : float
        Above the level line at the datum. [m]
    name : str
        What readings between points call the place; without one it goes by its chainage.
    """

    at: float
    level: float
    name: str = ""

    def __post_init__(self) -> None:
        _finite(at=self.at, level=self.level)
        _believable(self.level, _HIGHEST, "a level")
        taken = self.name == DATUM or self.name.startswith("end of bay ")
        if taken or (self.name and not self.name.strip()):
            raise ValueError(f"a level has a name of its own, not {self.name!r}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Height:
    """Ground to top of the wall, taped at a chainage.

    Parameters
    ----------
    at : float
        Chainage. [m]
    height : float
        Above 0. [m]
    """

    at: float
    height: float

    def __post_init__(self) -> None:
        _finite(at=self.at, height=self.height)
        if not self.height > 0:
            raise ValueError("a height is above 0")
        _believable(self.height, _HIGHEST, "a height")


@dataclass(frozen=True, slots=True, kw_only=True)
class Pier:
    """A thickening of the wall.

    Parameters
    ----------
    name : str
        As the painter calls it.
    at : float
        Chainage of its middle. [m]
    width : float
        Along the wall; above 0. [m]
    proud : float
        How far it stands before the wall's face; 0 or more. [m]
    returns_painted : bool
        Whether its two narrow sides are painted.
    """

    name: str
    at: float
    width: float
    proud: float
    returns_painted: bool = False

    def __post_init__(self) -> None:
        _finite(at=self.at, width=self.width, proud=self.proud)
        if not (self.width > 0 and self.proud >= 0):
            raise ValueError("a pier has a width above 0 and stands proud by 0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Bend:
    """A bend in plan.

    Parameters
    ----------
    at : float
        Chainage. [m]
    angle : float
        Above 0 the wall turns towards you; between -pi and pi. [rad]
    """

    at: float
    angle: float

    def __post_init__(self) -> None:
        _finite(at=self.at, angle=self.angle)
        if not -math.pi < self.angle < math.pi:
            raise ValueError("a bend is between -180 and 180 degrees")


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """Something in front of the wall that hides its foot, or bars a standing place.

    Parameters
    ----------
    name, kind : str
        As the painter calls it, and what it is.
    start, end : float
        Chainages; it ends after it starts. [m]
    height : float
        Above the ground; 0 or more. [m]
    near, far : float or None
        Distances from the wall between which it lies; None where they were not measured, and
        then it is not known to bar any standing place. [m]
    """

    name: str
    kind: str
    start: float
    end: float
    height: float
    near: float | None = None
    far: float | None = None

    def __post_init__(self) -> None:
        _span(self.start, self.end)
        _finite(height=self.height)
        if self.height < 0:
            raise ValueError("an obstacle's height is 0 or more")
        if self.near is not None and self.far is None:
            raise ValueError("an obstacle that is so far off the wall has an end there too")
        if self.far is not None and not 0 <= (self.near or 0.0) < self.far < math.inf:
            raise ValueError("an obstacle lies between two distances from the wall, 0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamp:
    """A stretch of wall lit at night by a lamp.

    Parameters
    ----------
    name : str
        As the painter calls it.
    start, end : float
        Chainages; it ends after it starts. [m]
    ambient : float
        All the light on the wall there; 0 or more. [lx]
    light_class : str
        Class of street lighting that it was taken from; empty where it was read.
    """

    name: str
    start: float
    end: float
    ambient: float
    light_class: str = ""

    def __post_init__(self) -> None:
        _span(self.start, self.end)
        _finite(ambient=self.ambient)
        if self.ambient < 0:
            raise ValueError("light is 0 lx or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class WallSurvey:
    """All that was measured at one wall.

    Parameters
    ----------
    datum : str
        The datum in words.
    bays : tuple of Bay
        In order of chainage; at least one.
    overall : float or None
        Independent measure of the whole length. [m]
    closure_limit : float
        Greatest accepted difference between overall and the chain of bays. [m]
    tape : TapeClass
        Accuracy class of the tape.
    length_sigma, height_sigma : float or None
        Stated precision of one length, and of one level or height; above 0. Without them the
        tape's class counts, for levels and heights with 5 mm of reading. [m]
    top, ground : tuple of Level
        Readings of the wall's top and of the ground; two at one chainage are a step.
    heights : tuple of Height
        Heights taped where no level was read.
    joints : tuple of float
        Chainages of movement joints. [m]
    corrugation : Corrugation or None
        Section of the sheet the wall is clad with.
    form_factor : float or None
        Surface over flat area, where that is stated instead; 1 or more. [-]
    ribs : Ribs or None
        Which way the ribs of its sheet run; None: not said.
    readings : tuple of Taken
        Readings between named points, beyond the plain ones above; with any, all are adjusted
        together.
    """

    datum: str
    bays: tuple[Bay, ...]
    overall: float | None = None
    closure_limit: float = 0.02
    tape: TapeClass = TapeClass.II
    length_sigma: float | None = None
    height_sigma: float | None = None
    surface: Surface = Surface.ROUGH_RENDER
    top: tuple[Level, ...] = ()
    ground: tuple[Level, ...] = ()
    heights: tuple[Height, ...] = ()
    bends: tuple[Bend, ...] = ()
    arcs: tuple[Arc, ...] = ()
    joints: tuple[float, ...] = ()
    openings: tuple[Opening, ...] = ()
    piers: tuple[Pier, ...] = ()
    obstacles: tuple[Obstacle, ...] = ()
    lamps: tuple[Lamp, ...] = ()
    corrugation: Corrugation | None = None
    form_factor: float | None = None
    ribs: Ribs | None = None
    readings: tuple[Taken, ...] = ()

    def __post_init__(self) -> None:
        if not self.bays:
            raise ValueError("a wall has at least one bay")
        if self.overall is not None and not 0 < self.overall < math.inf:
            raise ValueError("the overall length is above 0")
        _believable(self.overall or 0.0, _LONGEST, "a wall")
        _believable(math.fsum(bay.length for bay in self.bays), _LONGEST, "a wall")
        if not 0 < self.closure_limit < math.inf:
            raise ValueError("the closure limit is above 0")
        for sigma in (self.length_sigma, self.height_sigma):
            if sigma is not None and not 0 < sigma < math.inf:
                raise ValueError("a stated precision is above 0")
        if self.form_factor is not None and not 1 <= self.form_factor < math.inf:
            raise ValueError("a wall's form factor is 1 or more")
        if self.form_factor is not None and self.corrugation is not None:
            raise ValueError("a wall's form factor is stated, or comes from its sheet: not both")
        if self.ribs is not None and self.form_factor is None and self.corrugation is None:
            raise ValueError("only a wall with a sheet or a form factor has ribs")
        if not all(math.isfinite(at) for at in self.joints):
            raise ValueError("a joint's chainage is a finite number")
