"""Marks as a plan has them in a picture, and places of a photo pointed at as marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Floats

__all__ = ["PlannedMark", "Tap", "planned_places"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedMark:
    """A control mark, and where the picture has it if it stands as planned.

    Parameters
    ----------
    name : str
    x_px, y_px : float
        In the projector's picture. [px]
    relief : float
        How far the wall stands there off one plane, over how far it is from the lens; the same
        plane for all marks. 0 for a flat wall. [-]
    along, up : tuple of float, or None
        Change of x, y and relief with a metre along the wall and with one upwards; None for an
        even picture. [px/m, px/m, 1/m]
    """

    name: str
    x_px: float
    y_px: float
    relief: float = 0.0
    along: tuple[float, float, float] | None = None
    up: tuple[float, float, float] | None = None

    @property
    def in_front(self) -> bool:
        """Whether the lens has the wall before it there, and sees its face."""
        if self.along is None or self.up is None:
            return True
        return self.along[0] * self.up[1] < self.along[1] * self.up[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Tap:
    """A place of the photo pointed at as a mark: where a search begins, never a measure.

    Parameters
    ----------
    name : str
        Of the mark.
    x, y : float
        In the photo with the cross. [px]
    """

    name: str
    x: float
    y: float


def planned_places(marks: Sequence[PlannedMark]) -> Floats:
    """As planned and with their relief, shape (n, 3). [px, px, -]

    Parameters
    ----------
    marks : sequence of PlannedMark
    """
    return np.array([(one.x_px, one.y_px, one.relief) for one in marks]).reshape(-1, 3)
