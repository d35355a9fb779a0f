"""Limits that a picture keeps on the wall, and their names."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

from giornata.core.foundation import Assumption

__all__ = ["FOCUS_DEPTH", "LEAST_VIEW", "Limit", "Limits"]

FOCUS_DEPTH = Assumption(
    name="share by which the wall may be nearer or farther than where the picture is sharp",
    value=0.30,
    unit="-",
    source="no published source: try it, lines blur first at the far side",
    usual=(0.1, 0.4),
)
LEAST_VIEW = Assumption(
    name="least angle between a ray of light and the wall",
    value=math.radians(30.0),
    unit="rad",
    source="no published source: flatter, the wall's texture throws shadows over the lines",
    usual=(math.radians(20.0), math.radians(45.0)),
)


class Limit(StrEnum):
    """What keeps a place of the wall from being drawn."""

    PICTURE = "height of the picture"
    LIGHT = "light"
    PIXELS = "size of a pixel"
    VIEW = "slant of the light"
    FOCUS = "depth of focus"
    STANDING = "room to stand"
    OVERLAP = "overlap of neighbours"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Limits that a picture keeps everywhere.

    Parameters
    ----------
    contrast : float
        Least ratio of image to ambient light; 0 lets all pass. [-]
    pitch : float
        Greatest side of a pixel on the wall; infinite lets all pass. [m]
    view : float
        Least angle between a ray and the wall. [rad]
    focus : float
        Share by which depth may differ from the lens's distance; infinite lets all pass. [-]
    """

    contrast: float
    pitch: float = math.inf
    view: float = LEAST_VIEW.value
    focus: float = FOCUS_DEPTH.value

    def without(self, limit: Limit) -> Limits:
        """The limits with one of them taken away.

        Parameters
        ----------
        limit : Limit
            Light, pixels, view or focus; others leave all as it is.
        """
        free = {
            Limit.LIGHT: {"contrast": 0.0},
            Limit.PIXELS: {"pitch": math.inf},
            Limit.VIEW: {"view": 0.0},
            Limit.FOCUS: {"focus": math.inf},
        }
        return replace(self, **free.get(limit, {}))
