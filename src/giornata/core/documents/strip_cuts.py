"""Where a long wall is cut into strips for drawing."""

from __future__ import annotations

import math
from dataclasses import dataclass

from giornata.core.survey import DevelopedWall

__all__ = ["Strip", "strips"]

_NEAR = 0.25  # of the longest strip: how far a cut moves to reach the end of a bay
_CLEAR = 0.30  # m kept from openings, piers and bends


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A stretch of wall drawn in one go.

    Parameters
    ----------
    number : int
        From 1, along the wall. [-]
    start, end : float
        Chainages. [m]
    last : int
        Number of the last strip. [-]
    """

    number: int
    start: float
    end: float
    last: int

    @property
    def left_cut(self) -> str | None:
        """Letter of the match line at its left; None at the wall's own end."""
        return None if self.number == 1 else _letter(self.number - 1)

    @property
    def right_cut(self) -> str | None:
        """Letter of the match line at its right; None at the wall's own end."""
        return None if self.number == self.last else _letter(self.number)


def strips(wall: DevelopedWall, longest: float) -> tuple[Strip, ...]:
    """The wall in as few strips as can be, cut at ends of bays where one is near.

    Parameters
    ----------
    longest : float
        Greatest length of a strip; above 0. [m]

    Raises
    ------
    ValueError
        If the greatest length is not above 0.
    """
    if not longest > 0:
        raise ValueError("a strip has a length above 0")
    count = max(math.ceil(round(wall.length / longest, 9)), 1)
    cuts = [0.0]
    for left in range(count - 1, 0, -1):
        low = wall.length - left * longest
        high = cuts[-1] + longest
        ideal = cuts[-1] + (wall.length - cuts[-1]) / (left + 1)
        cuts.append(_cut(wall, max(low, cuts[-1]), high, ideal, longest))
    cuts.append(wall.length)
    return tuple(
        Strip(number=k, start=cuts[k - 1], end=cuts[k], last=count) for k in range(1, count + 1)
    )


def _cut(wall: DevelopedWall, low: float, high: float, ideal: float, longest: float) -> float:
    """The place of one cut: the nearest end of a bay, else the nearest clear place. [m]"""
    ends = [bay.end for bay in wall.bays[:-1] if low <= bay.end <= high]
    near = min(ends, key=lambda at: abs(at - ideal), default=None)
    if near is not None and abs(near - ideal) <= _NEAR * longest and _clear(wall, near):
        return near
    steps = [ideal + sign * 0.05 * k for k in range(400) for sign in (1, -1)]
    return next((at for at in steps if low <= at <= high and _clear(wall, at)), ideal)


def _clear(wall: DevelopedWall, at: float) -> bool:
    spans = [(o.start, o.end) for o in wall.openings] + [(p.start, p.end) for p in wall.piers]
    spans += [(bend.at, bend.at) for bend in wall.bends]
    return not any(start - _CLEAR < at < end + _CLEAR for start, end in spans)


def _letter(number: int) -> str:
    """A, B, … Z, AA, AB, …"""
    text = ""
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(ord("A") + rest) + text
    return text
