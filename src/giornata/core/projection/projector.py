"""The projector as its sheet describes it, and where it stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

__all__ = ["Orientation", "Projector", "Stand"]


class Orientation(StrEnum):
    """How the projector lies."""

    LEVEL = "level"
    ON_SIDE = "on its side"


@dataclass(frozen=True, slots=True, kw_only=True)
class Projector:
    """A projector, after its data sheet.

    Parameters
    ----------
    columns, rows : int
        Native pixels. [-]
    throw_min, throw_max : float
        Throw ratio at the wide and at the long end of the zoom. [-]
    lumens : float
        Light output at full power. [lm]
    mode : str
        The power mode to be used.
    modes : mapping of str to float
        Power mode to the share of light it leaves. [-]
    zoom_loss : float
        Share of light lost at the long end. [-]
    shift_up, shift_side : float
        Lens shift, of image height and of image width. [-]
    power : float
        Electric power drawn. [W]
    """

    name: str
    columns: int
    rows: int
    throw_min: float
    throw_max: float
    lumens: float
    mode: str
    modes: Mapping[str, float]
    zoom_loss: float = 0.0
    shift_up: float = 0.0
    shift_side: float = 0.0
    power: float = 0.0

    def __post_init__(self) -> None:
        object.__setattr__(self, "modes", MappingProxyType(dict(self.modes)))
        if self.columns < 1 or self.rows < 1:
            raise ValueError("a projector has at least one pixel")
        if not 0 < self.throw_min <= self.throw_max:
            raise ValueError("a throw ratio is above 0 and its range ascends")
        if not self.lumens > 0:
            raise ValueError("light output is above 0 lm")
        if self.mode not in self.modes:
            raise ValueError(f"mode {self.mode!r} is not among the modes")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Where the projector stands and what it must reach.

    Parameters
    ----------
    distance : float
        Lens to wall, square on; above 0. [m]
    height : float
        Lens above the level line at the datum. [m]
    overlap : float
        Least overlap of neighbouring images. [m]
    contrast : float
        Least ratio of image to ambient light. [-]
    ambient : float
        Light on the wall at night, away from lamps. [lx]
    """

    distance: float
    height: float
    overlap: float = 0.5
    contrast: float = 5.0
    ambient: float = 2.0
    orientation: Orientation = Orientation.LEVEL

    def __post_init__(self) -> None:
        if not self.distance > 0:
            raise ValueError("the projector stands in front of the wall")
        if self.overlap < 0 or self.ambient < 0 or not self.contrast > 0:
            raise ValueError("overlap and ambient are 0 or more, contrast above 0")
