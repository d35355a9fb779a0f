"""Printed targets: four squares, two black and two white, hung with their middle on a mark."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import cv2
import numpy as np

from giornata.core.boards.shots import Light
from giornata.core.foundation import Assumption, Floats

__all__ = ["TARGET_ERROR", "TARGET_HALF", "TargetShape"]

TARGET_HALF = Assumption(
    name="half of a printed target, the side of one of its four squares",
    value=0.085,
    unit="m",
    source="no published source: what A4 and Letter hold; by made photos 16 px of a photo and more",
    usual=(0.06, 0.1),
)
TARGET_ERROR = Assumption(
    name="middle of a printed target as measured against the middle as printed, standard error "
    "each way",
    value=0.0005,
    unit="m",
    source="no published source: by made photos, 0.2 to 0.5 mm",
    usual=(0.0002, 0.001),
)
TARGET_ALIKE = Assumption(
    name="least likeness of a printed target to a drawn one (correlation)",
    value=0.7,
    unit="-",
    source="worked by hand: one dark corner of paint has 0.58; by made photos",
    usual=(0.65, 0.8),
)

_INSIDE = 0.95  # of its half: what lies beyond is wall
_GRAIN = 0.02  # m: what has to be told apart in it


@dataclass(frozen=True, slots=True, kw_only=True)
class TargetShape:
    """A printed target: black up and to the left and down and to the right.

    Parameters
    ----------
    arm : float
        From the middle to a side; above 0. [m]

    Notes
    -----
    Turned by a quarter it is its own negative, a chalk cross is itself: neither is taken for the
    other. Blur and too much light shift its edges alike on either side and leave its middle.
    """

    arm: float = TARGET_HALF.value

    def __post_init__(self) -> None:
        if not self.arm > 0:
            raise ValueError("a target is larger than 0")

    @property
    def stroke(self) -> float:
        """What has to be told apart in it. [m]"""
        return _GRAIN * self.arm / TARGET_HALF.value

    @property
    def reach(self) -> float:
        """How far about its middle it is compared. [m]"""
        return _INSIDE * self.arm

    def error(self, alike: float) -> float:
        """Standard error of its middle, each way: whatever its likeness is. [m]

        Parameters
        ----------
        alike : float
            Likeness to a drawn one. [-]
        """
        return TARGET_ERROR.value

    @property
    def alike(self) -> float:
        """Least likeness. [-]"""
        return TARGET_ALIKE.value

    @property
    def coarse(self) -> float:
        """Least likeness of a candidate, in the first look. [-]"""
        return TARGET_ALIKE.value

    def drawn(self, fine: float, soft: float, lean: float) -> Light:
        """It as a picture.

        Parameters
        ----------
        fine : float
            Pixel of the picture. [m]
        soft : float
            Blur. [m]
        lean : float
            Turn. [deg]
        """
        return _drawn(round(self.reach / fine, 3), round(soft / fine, 2), lean)


@cache
def _drawn(reach: float, soft: float, lean: float) -> Light:
    half = math.floor(reach)
    y, x = np.mgrid[-half : half + 1, -half : half + 1].astype(np.float64)
    angle = math.radians(lean)
    edge = max(soft, 0.5)

    def side(away: Floats) -> Floats:
        made: Floats = np.clip(away / edge, -1, 1)
        return made

    across = side(x * math.cos(angle) + y * math.sin(angle))
    down = side(y * math.cos(angle) - x * math.sin(angle))
    made = cv2.GaussianBlur((-across * down).astype(np.float32), (0, 0), edge)
    made.setflags(write=False)
    return np.asarray(made, dtype=np.float32)
