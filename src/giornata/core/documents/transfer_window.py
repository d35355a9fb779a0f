"""The stretch of wall that is transferred by grid or pounce, and how it is cut into sheets."""

from __future__ import annotations

import math
from dataclasses import dataclass

from giornata.core.documents.wall_view import level_range
from giornata.core.survey import DevelopedWall

__all__ = ["TransferWindow", "row_letters", "transfer_window", "whole"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TransferWindow:
    """A stretch of wall from its lowest ground to its highest top.

    Parameters
    ----------
    start, end : float
        Chainages. [m]
    base, head : float
        Levels. [m]
    """

    start: float
    end: float
    base: float
    head: float


def transfer_window(wall: DevelopedWall, start: float, end: float) -> TransferWindow:
    """The stretch cut to the wall.

    Parameters
    ----------
    start, end : float
        Chainages. [m]

    Raises
    ------
    ValueError
        If nothing of the wall lies between them.
    """
    start, end = max(start, 0.0), min(end, wall.length)
    if not start < end:
        raise ValueError("a stretch of the wall ends after it starts")
    base, head = level_range(wall, start, end)
    return TransferWindow(start=start, end=end, base=base, head=head)


def row_letters(row: int) -> str:
    """Letters of a row, from A at 0 on; after Z comes AA.

    Parameters
    ----------
    row : int
        0 or more. [-]

    Examples
    --------
    >>> row_letters(0), row_letters(25), row_letters(26)
    ('A', 'Z', 'AA')
    """
    letters = ""
    count = row + 1
    while count:
        count, rest = divmod(count - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def whole(value: float, step: float, *, up: bool) -> int:
    """Steps up to a value, rounded outwards, a value on a step kept. [-]

    Parameters
    ----------
    value : float
        [m]
    step : float
        Above 0. [m]
    """
    return math.ceil(value / step - 1e-6) if up else math.floor(value / step + 1e-6)
