"""The projector as its sheet describes it, and where it stands."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from types import MappingProxyType

from giornata.core.site import Carrier

__all__ = ["MeasuredFrom", "Mount", "Orientation", "Projector", "Stand"]


class Orientation(StrEnum):
    """How the projector lies."""

    LEVEL = "level"
    ON_SIDE = "on its side"


class MeasuredFrom(StrEnum):
    """What the lens's height is measured from."""

    LEVEL_LINE = "level line"
    GROUND = "ground"


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
        Power mode to the share of light it leaves; above 0 to 1. [-]
    zoom_loss : float
        Share of light lost at the long end; 0 to below 1. [-]
    shift_up, shift_side : float
        Lens shift: how far the image's centre moves off the lens axis, of image height and of
        image width; 0 or more, and as far down as up. [-]
    power : float
        Electric power drawn; 0 or more. [W]
    offset : float
        Where the image's centre lies over the lens axis at no shift, of image height, up above 0;
        0 for a lens that looks at the image's middle, 0.5 for one at its lower edge. [-]
    corners : float
        Light in the picture's darkest corner over its mean, as read or as the sheet's uniformity
        says; 1 where it is not known; above 0 to 1. [-]
    shift_limits : tuple of (float, float)
        The manual's pairs of shift up and the greatest shift to the side beside it, from 0 up; none
        where the straight line between the two greatest is to be used. [-]
    contrast : float or None
        Native contrast of the sheet: its white over its own black, both on at once or with nothing
        dimmed between; above 1; None where it is not known and black is taken as no light. [-]
    dynamic : bool
        Whether the sheet's contrast is a dynamic one, which says nothing of one picture's black.
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
    offset: float = 0.0
    corners: float = 1.0
    shift_limits: tuple[tuple[float, float], ...] = ()
    contrast: float | None = None
    dynamic: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "modes", MappingProxyType(dict(self.modes)))
        if self.columns < 1 or self.rows < 1:
            raise ValueError("a projector has at least one pixel")
        if not 0 < self.throw_min <= self.throw_max < float("inf"):
            raise ValueError("a throw ratio is above 0 and its range ascends")
        if not 0 < self.lumens < float("inf"):
            raise ValueError("light output is above 0 lm")
        if self.mode not in self.modes:
            raise ValueError(f"mode {self.mode!r} is not among the modes")
        if not all(0 < share <= 1 for share in self.modes.values()):
            raise ValueError("a power mode leaves a share of light above 0 and at most 1")
        if not 0 <= self.zoom_loss < 1:
            raise ValueError("the light lost by zooming is a share from 0 to below 1")
        if not (self.shift_up >= 0 and self.shift_side >= 0 and self.power >= 0):
            raise ValueError("lens shift and power are 0 or more")
        if not 0 < self.corners <= 1:
            raise ValueError("the corners have a share of the mean light above 0 and at most 1")
        if self.contrast is not None and not 1 < self.contrast < float("inf"):
            raise ValueError("a projector's white is brighter than its black")
        if not abs(self.offset) <= 2:
            raise ValueError("the image's centre lies within two image heights of the lens axis")
        ups = [up for up, _ in self.shift_limits]
        if any(side < 0 for _, side in self.shift_limits) or ups != sorted(
            {0.0, *ups} if ups else []
        ):
            raise ValueError("shift limits begin at 0 up and ascend, each with a side of 0 or more")

    def upright_shift(self, orientation: Orientation) -> tuple[float, float]:
        """Least and greatest place of the image's centre over the lens axis, of its height. [-]

        Parameters
        ----------
        orientation : Orientation
            How the projector lies; on its side the shift to the side works upright.
        """
        if orientation is Orientation.ON_SIDE:
            return -self.shift_side, self.shift_side
        return self.offset - self.shift_up, self.offset + self.shift_up

    def level_shift(self, orientation: Orientation) -> tuple[float, float]:
        """Farthest places of the image's centre left and right of the lens axis, of its width. [-]

        Parameters
        ----------
        orientation : Orientation
            How the projector lies; on its side, a quarter turn clockwise as seen from behind it,
            what is its up points to the right.
        """
        if orientation is Orientation.ON_SIDE:
            return self.offset - self.shift_up, self.offset + self.shift_up
        return -self.shift_side, self.shift_side

    @property
    def black(self) -> float:
        """Light that it throws where the picture is black, over that where it is white. [-]"""
        return 0.0 if self.contrast is None or self.dynamic else 1.0 / self.contrast

    @property
    def output(self) -> float:
        """Light output in the mode used, at the wide end of the zoom. [lm]"""
        return self.lumens * self.modes[self.mode]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mount:
    """Something that can carry the projector, and how high.

    Parameters
    ----------
    carrier : Carrier
        Tripod, vehicle or scaffold tower.
    lowest, highest : float
        Lens above the ground; above 0, and the same where it cannot be moved. [m]
    """

    carrier: Carrier
    lowest: float
    highest: float

    def __post_init__(self) -> None:
        if not 0 < self.lowest <= self.highest < float("inf"):
            raise ValueError("a mount's heights are above 0 and ascend")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """Where the projector stands and what it must reach.

    Parameters
    ----------
    distance : float
        Lens to wall, square on; above 0. [m]
    height : float
        Lens above what ``measured_from`` names. [m]
    overlap : float
        Least overlap of neighbouring images. [m]
    contrast : float
        Least ratio of image to ambient light. [-]
    ambient : float
        Light on the wall at night, away from lamps. [lx]
    measured_from : MeasuredFrom
        The level line at the datum, or the ground at the wall's foot before each set-up.
    nearest, farthest : float or None
        Distances between which the plan may choose beside ``distance``; None where it may not.
        [m]
    carrier : Carrier
        What carries the projector at ``height``.
    mounts : tuple of Mount
        Other heights that the plan may choose for each set-up; none where it may not.
    pan : float
        Farthest that the projector may be turned to a side where it cannot stand square before a
        part of the wall; 0 to below 60 degrees. [rad]
    """

    distance: float
    height: float
    overlap: float = 0.5
    contrast: float = 5.0
    ambient: float = 2.0
    orientation: Orientation = Orientation.LEVEL
    measured_from: MeasuredFrom = MeasuredFrom.LEVEL_LINE
    nearest: float | None = None
    farthest: float | None = None
    carrier: Carrier = Carrier.TRIPOD
    mounts: tuple[Mount, ...] = ()
    pan: float = 0.0

    def __post_init__(self) -> None:
        if not 0 < self.distance < float("inf"):
            raise ValueError("the projector stands in front of the wall")
        if not (self.overlap >= 0 and self.ambient >= 0 and self.contrast > 0):
            raise ValueError("overlap and ambient are 0 or more, contrast above 0")
        near = self.distance if self.nearest is None else self.nearest
        far = self.distance if self.farthest is None else self.farthest
        if not 0 <= self.pan < math.radians(60):
            raise ValueError("a projector is panned by 0 to below 60 degrees")
        if not 0 < near <= self.distance <= far < float("inf"):
            raise ValueError("the stand's distance lies between its nearest and its farthest")

    @property
    def carriers(self) -> tuple[Carrier, ...]:
        """All that may carry the projector, that of ``height`` first, each once."""
        return tuple(dict.fromkeys([self.carrier, *(one.carrier for one in self.mounts)]))

    def at(self, distance: float) -> Stand:
        """The stand at one distance, without a choice of others.

        Parameters
        ----------
        distance : float
            Lens to wall; above 0. [m]
        """
        return replace(self, distance=distance, nearest=None, farthest=None)
