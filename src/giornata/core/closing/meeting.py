"""Where pictures meet: how far neighbouring set-ups, and the two fronts, miss each other."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from giornata.core.closing.joint import Joint
from giornata.core.foundation import Floats
from giornata.core.projection import INSIDE_95, WallMap

__all__ = ["Meeting", "Moved", "fallen", "meeting"]

Moved = Mapping[int, tuple[tuple[float, float, float], ...]]
"""Of set-ups drawn by a moved design: chainages, each with how far it was moved right, up. [m]"""

_STEPS = 8
_UNMOVED: Moved = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """A seam, and how far what two set-ups draw misses there.

    Parameters
    ----------
    left, right : int
        Numbers of the set-ups; at a level seam of the lower and of the upper one. [-]
    chainage : float
        Of the seam; of a level seam's middle. [m]
    expected : float
        95 times of 100 the miss is no greater, at the worst place of the seam, where both pictures
        are warped by the adjustment. [m]
    along, up : float or None
        The right one's line beside the left one's, over the seam on average; above 0 to the right
        and upwards. None where not both are drawn. [m]
    worst : float or None
        Greatest miss over the seam. None as above. [m]
    known_to : float or None
        95 % of how well that is known. None as above. [m]
    level : float or None
        Of a level seam; None where the seam is upright. [m]
    """

    left: int
    right: int
    chainage: float
    expected: float
    along: float | None = None
    up: float | None = None
    worst: float | None = None
    known_to: float | None = None
    level: float | None = None

    @property
    def beyond_chance(self) -> bool:
        """Whether the miss found is more than it is known to."""
        return self.worst is not None and self.known_to is not None and self.worst > self.known_to


def fallen(
    joint: Joint, set_up: int, drawn: WallMap, places: Floats, moved: Moved = _UNMOVED
) -> Floats:
    """Where lines of the design came to lie that a set-up drew, shape (n, 2). [m]

    Parameters
    ----------
    joint : Joint
        Says where the picture really lay.
    set_up : int
        Its number. [-]
    drawn : WallMap
        The map by which the picture was made.
    places : ndarray, shape (n, 2)
        Of the design. [m]
    moved : mapping
        Set-ups that drew a moved design.
    """
    at = places.copy()
    if moved.get(set_up):
        knots = np.array(moved[set_up])
        for axis in (0, 1):
            at[:, axis] += np.interp(places[:, 0], knots[:, 0], knots[:, 1 + axis])
    truth, px = joint.maps[set_up], drawn.px_from_wall(at)
    for _ in range(_STEPS):
        by_wall, _ = truth.slopes(at)
        at = at + np.linalg.solve(by_wall, (px - truth.px_from_wall(at))[:, :, None])[:, :, 0]
    return at


def meeting(
    joint: Joint, left: int, right: int, places: Floats, drawn: Mapping[int, WallMap], *,
    widened: float = 1.0,
    moved: Moved = _UNMOVED,
) -> Meeting:  # fmt: skip
    """How far what two set-ups draw misses over a seam.

    Parameters
    ----------
    joint : Joint
        Holds both.
    left, right : int
        Their numbers. [-]
    places : ndarray, shape (n, 2)
        Along the seam, or along two seams between which all else is known: the first half of the
        rows for the left one where they differ. [m]
    drawn : mapping of int to WallMap
        By which pictures were made that are drawn already.
    widened : float
        By which stated deviations fall short; 1 or more. [-]
    moved : mapping
        Set-ups that drew a moved design.
    """
    moves = joint.light_moves(left, places) - joint.light_moves(right, places)
    spread = moves @ joint.covariance @ moves.transpose(0, 2, 1)
    radius = np.sqrt(INSIDE_95 * np.maximum(np.linalg.eigvalsh(spread)[:, 1], 0.0)) * widened
    at = float(places[:, 0].mean())
    expected = float(radius.max())
    if left not in drawn or right not in drawn:
        return Meeting(left=left, right=right, chainage=at, expected=expected)
    apart = fallen(joint, right, drawn[right], places, moved) - fallen(
        joint, left, drawn[left], places, moved
    )
    along, up = apart.mean(axis=0).tolist()
    return Meeting(
        left=left,
        right=right,
        chainage=at,
        expected=expected,
        along=along,
        up=up,
        worst=max(math.hypot(*one) for one in apart.tolist()),
        known_to=expected,
    )
