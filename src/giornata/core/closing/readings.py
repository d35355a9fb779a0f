"""All that a closure is worked out from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from giornata.core.closing.equations import InSpace
from giornata.core.closing.meeting import Moved
from giornata.core.closing.observed import Measure, PictureSeen, PlacedMark
from giornata.core.foundation import Floats, readonly
from giornata.core.projection import WallMap

__all__ = ["Readings", "SeamPlace"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SeamPlace:
    """Where two set-ups meet, beside or above one another.

    Parameters
    ----------
    left, right : int
        Their numbers; where they stand above one another that of the lower and of the upper. [-]
    places : ndarray, shape (n, 2)
        Along the seam. [m]
    closes : bool
        Whether the drawing is to close here.
    row : int
        Of set-ups, from 1 upwards; at a level seam that of the lower one. [-]
    """

    left: int
    right: int
    places: Floats
    closes: bool = False
    row: int = 1

    def __post_init__(self) -> None:
        object.__setattr__(self, "places", readonly(self.places, columns=2))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Readings:
    """All that a closure is worked out from.

    Parameters
    ----------
    marks : tuple of PlacedMark
        Each name once.
    pictures : tuple of PictureSeen
        Of the set-ups that were squared.
    foreseen : tuple of PictureSeen
        Of those still to come, marks where the plan will see them.
    measures : tuple of Measure
        Check measurements.
    drawn : mapping of int to WallMap
        Maps by which the pictures that are drawn were made, by number of the set-up.
    seams : tuple of SeamPlace
        From left to right; one in each row of the closing seam closes.
    scale_sigma : float
        Standard deviation of the tape's scale; above 0. [-]
    in_space : callable or None
        None: the wall is flat.
    moved : mapping
        Set-ups that drew a design moved as an earlier closure said.
    unprojected : frozenset of int
        Numbers of the set-ups whose stretch is put on the wall by other means.
    drawn_unsquared : frozenset of int
        Numbers of the set-ups that are drawn by a picture of which nobody knows how it lay.
    level_seams : tuple of SeamPlace
        Between set-ups above one another, from left to right.
    """

    marks: tuple[PlacedMark, ...]
    pictures: tuple[PictureSeen, ...]
    foreseen: tuple[PictureSeen, ...]
    measures: tuple[Measure, ...]
    drawn: Mapping[int, WallMap]
    seams: tuple[SeamPlace, ...]
    scale_sigma: float
    in_space: InSpace | None = None
    moved: Moved = field(default_factory=dict)
    unprojected: frozenset[int] = frozenset()
    drawn_unsquared: frozenset[int] = frozenset()
    level_seams: tuple[SeamPlace, ...] = ()
