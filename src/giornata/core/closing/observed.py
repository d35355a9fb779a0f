"""What a closure is made of: marks as they were set, pictures that saw them, check measurements."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from giornata.core.foundation import Assumption, number_of
from giornata.core.projection import LinePoint, MarkSeen, WallMap

__all__ = ["LEVEL_READ", "TAPE_READ_AGAIN", "Measure", "MeasureKind", "PictureSeen", "PlacedMark"]

TAPE_READ_AGAIN = Assumption(
    name="check tape pulled between two marks, standard error",
    value=0.002,
    unit="m",
    source="common practice, no source: 1 to 3 mm with a steel tape, pulled, in one length",
    usual=(0.001, 0.005),
)
LEVEL_READ = Assumption(
    name="level or plumb line held against a mark, standard error",
    value=0.002,
    unit="m",
    source="common practice, no source: 1 to 3 mm with a laser line, tried both ways round",
    usual=(0.001, 0.005),
)


class MeasureKind(StrEnum):
    """What was measured; the value is its word in the site log."""

    DISTANCE = "distance"
    DIAGONAL = "diagonal"
    LEVEL = "level"
    PLUMB = "plumb"
    CHAINAGE = "chainage"


TAPED = (MeasureKind.DISTANCE, MeasureKind.DIAGONAL)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedMark:
    """A control mark and how well it is known to be where it was set.

    Parameters
    ----------
    name : str
    chainage, level : float
        Where it was to be set. [m]
    chainage_sigma : float or None
        Standard deviation of its drawing beside the running tape, whose own scale is not in it;
        above 0. None: nothing but the other readings says where it is. [m]
    level_sigma : float or None
        Of its level; above 0. None as above. [m]
    """

    name: str
    chainage: float
    level: float
    chainage_sigma: float | None
    level_sigma: float | None

    def __post_init__(self) -> None:
        for sigma in (self.chainage_sigma, self.level_sigma):
            if sigma is not None and not sigma > 0:
                raise ValueError("a deviation is above 0")
        if not (math.isfinite(self.chainage) and math.isfinite(self.level)):
            raise ValueError("a mark's place is finite")


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """A check measurement.

    Parameters
    ----------
    name : str
        That it goes by, for it may be named as wrong.
    kind : MeasureKind
    marks : tuple of str
        One or two names: a distance or diagonal pulled straight from one to the other; how much
        higher the second is than the first, or the level of one above the datum's level line; how
        far the second is right of the first's plumb line; the chainage of one from the datum, by
        other means than the running tape.
    value : float
        As read. [m]
    sigma : float
        Standard deviation, without the tape's scale; above 0. [m]
    """

    name: str
    kind: MeasureKind
    marks: tuple[str, ...]
    value: float
    sigma: float

    def __post_init__(self) -> None:
        if not (self.sigma > 0 and math.isfinite(self.value)):
            raise ValueError("a deviation is above 0, a reading finite")
        if self.kind in TAPED and not self.value > 0:
            raise ValueError("a distance is above 0")
        counts = {MeasureKind.LEVEL: (1, 2), MeasureKind.CHAINAGE: (1,)}
        if len(self.marks) not in counts.get(self.kind, (2,)):
            raise ValueError(
                f"a {self.kind} is not measured on {number_of(len(self.marks), 'mark')}"
            )
        if len(set(self.marks)) != len(self.marks):
            raise ValueError("two marks are not the same one")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PictureSeen:
    """A set-up's picture, the marks seen in it, and points of level and plumb lines.

    Parameters
    ----------
    set_up : int
        Its number. [-]
    start : WallMap
        From the wall to the picture, near the answer and of the kind that fits.
    seen : tuple of MarkSeen
        The places on the wall that stand in them are not used, nor their deviations.
    lines : tuple of LinePoint
        Points of lines, each line set up for this picture: its error is not another picture's.
    """

    set_up: int
    start: WallMap
    seen: tuple[MarkSeen, ...]
    lines: tuple[LinePoint, ...] = ()
