"""Marks read with a tape: where each cross of the picture fell, seen from its mark."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from giornata.core.foundation import Assumption
from giornata.core.projection.alignment import aligned
from giornata.core.projection.poses import PoseMap
from giornata.core.projection.sightings import MarkSeen
from giornata.core.projection.wall_maps import WallMap

__all__ = ["CROSS_SEEN", "TAPE_READ", "CrossFell", "marks_from_crosses"]

TAPE_READ = Assumption(
    name="reading of a cross's miss with a short tape",
    value=0.001,
    unit="m",
    source="common practice, no source: a line of light read to the millimetre",
    usual=(0.0005, 0.002),
)

CROSS_SEEN = Assumption(
    name="middle of a cross of light as it is seen on the wall",
    value=0.5,
    unit="px",
    source="common practice, no source: half a pixel of a line two pixels wide",
    usual=(0.3, 1.0),
)

_FEWEST = 3  # a pose takes six numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossFell:
    """A cross of the picture, the mark it was drawn for, and how far from it it fell.

    Parameters
    ----------
    name : str
        Of the mark.
    chainage, level : float
        Of the mark. [m]
    x_px, y_px : float
        Of the cross in the picture that was shown. [px]
    right, up : float
        Where the cross fell, from the mark, on the wall. [m]
    """

    name: str
    chainage: float
    level: float
    x_px: float
    y_px: float
    right: float
    up: float

    def __post_init__(self) -> None:
        numbers = (self.chainage, self.level, self.x_px, self.y_px, self.right, self.up)
        if not all(map(math.isfinite, numbers)):
            raise ValueError("a cross's numbers are finite")


def marks_from_crosses(
    crosses: Sequence[CrossFell], pose: PoseMap, *, mark_sigma: float
) -> tuple[MarkSeen, ...]:
    """Where the marks themselves lie in the picture, from how far its crosses missed them.

    Parameters
    ----------
    crosses : sequence of CrossFell
    pose : PoseMap
        About where the projector stands.
    mark_sigma : float
        Standard deviation of a mark's place on the wall, each way; 0 or more. [m]

    Notes
    -----
    The light of a cross lies at its mark's place and the miss; the mark lies in the picture that
    much the other way. How many pixels that is follows from all crosses together, so that a
    picture that is too large or askew misleads by less than a tenth of a pixel for each 100 mm.
    """
    if not crosses:
        return ()
    places = np.array([(one.chainage, one.level) for one in crosses])
    fell = places + np.array([(one.right, one.up) for one in crosses])
    pitch = float(pose.lens[2]) / pose.focal
    sigma = math.hypot(CROSS_SEEN.value, TAPE_READ.value / pitch)
    lit = [
        MarkSeen(
            name=one.name, chainage=x, level=y, x_px=one.x_px, y_px=one.y_px,
            mark_sigma=mark_sigma, px_sigma=sigma,
        )
        for one, (x, y) in zip(crosses, fell.tolist(), strict=True)
    ]  # fmt: skip
    made: WallMap = pose
    if len(lit) >= _FEWEST:
        made = _fitted(pose, lit) or pose
    back = made.px_from_wall(places) - made.px_from_wall(fell)
    return tuple(
        replace(one, chainage=x, level=y, x_px=one.x_px + u, y_px=one.y_px + v)
        for one, (x, y), (u, v) in zip(lit, places.tolist(), back.tolist(), strict=True)
    )


def _fitted(pose: PoseMap, lit: Sequence[MarkSeen]) -> WallMap | None:
    """How the projector stands by its crosses; None where they contradict one another."""
    try:
        with np.errstate(all="ignore"):
            found = aligned(replace(pose, extras={}), lit)
    except np.linalg.LinAlgError:
        return None
    return found.on_wall if found.settled else None
