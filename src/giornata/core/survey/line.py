"""A line of levels along the wall: straight between readings, upright where it steps."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Floats, readonly

__all__ = ["SteppedLine", "level_at", "part_of_line", "to_nanometre", "trapezoid_weights"]


def to_nanometre(value: float) -> float:
    """A coordinate without the dust beyond its ninth decimal, which geometry trips over. [m]

    Parameters
    ----------
    value : float
        Chainage, level or height. [m]
    """
    return round(value, 9) + 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SteppedLine:
    """Levels along the wall, each with its share in the readings it was made from.

    Parameters
    ----------
    points : ndarray, shape (n, 2)
        Chainage and level, in order of chainage; two at one chainage are a step. [m]
    shares : ndarray, shape (n, m)
        Change of each level for a unit change of each of the m readings. [-]
    """

    points: Floats
    shares: Floats

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", readonly(self.points, columns=2))
        object.__setattr__(self, "shares", readonly(self.shares))
        if len(self.points) == 0 or self.shares.shape[:1] != self.points.shape[:1]:
            raise ValueError("a line has at least one point, and shares for each")
        if (np.diff(self.points[:, 0]) < 0).any():
            raise ValueError("a line is in order of chainage")

    def row(self, chainage: float, *, before: bool = False) -> tuple[float, Floats]:
        """Level and its shares at a chainage; at a step after it, or just before it. [m]"""
        low, high, part = _bracket(self.points[:, 0], chainage, before)
        level = self.points[low, 1] * (1 - part) + self.points[high, 1] * part
        shares: Floats = self.shares[low] * (1 - part) + self.shares[high] * part
        return float(level), shares

    def cut(self, length: float) -> SteppedLine:
        """The line from chainage 0 to ``length``, carried on level to an end it misses. [m]"""
        at = self.points[:, 0]
        inside = (at > 0) & (at < length)
        first, first_shares = self.row(0.0)
        last, last_shares = self.row(length, before=True)
        return SteppedLine(
            points=np.vstack([[0.0, first], self.points[inside], [length, last]]),
            shares=np.vstack([first_shares, self.shares[inside], last_shares]),
        )


def _bracket(at: Floats, chainage: float, before: bool) -> tuple[int, int, float]:
    """The two points a chainage lies between, and how far along it is; ends are level."""
    if before:
        high = int(np.searchsorted(at, chainage, side="left"))
        low = high - 1
    else:
        low = int(np.searchsorted(at, chainage, side="right")) - 1
        high = low + 1
    if low < 0:
        return 0, 0, 0.0
    if high >= len(at):
        return len(at) - 1, len(at) - 1, 0.0
    return low, high, float((chainage - at[low]) / (at[high] - at[low]))


def level_at(line: Floats, chainage: float, *, before: bool = False) -> float:
    """Level of a line at a chainage. [m]

    Parameters
    ----------
    line : ndarray, shape (n, 2)
        Chainage and level in order of chainage, as `DevelopedWall.top`. [m]
    chainage : float
        Beyond its ends the line is level. [m]
    before : bool
        At a step: the level just before it, not the one after it.

    Examples
    --------
    >>> top = np.array([[0.0, 3.2], [52.4, 3.2], [52.4, 2.75], [78.6, 2.75]])
    >>> level_at(top, 52.4), level_at(top, 52.4, before=True)
    (2.75, 3.2)
    """
    low, high, part = _bracket(line[:, 0], chainage, before)
    return float(line[low, 1] * (1 - part) + line[high, 1] * part)


def part_of_line(line: Floats, start: float, end: float) -> Floats:
    """The stretch of a line between two chainages, steps kept; shape (k, 2). [m]

    Parameters
    ----------
    line : ndarray, shape (n, 2)
        Chainage and level in order of chainage. [m]
    start, end : float
        ``end`` after ``start``. [m]

    Raises
    ------
    ValueError
        If the end is not after the start.
    """
    if not end > start:
        raise ValueError("a stretch ends after it starts")
    inside = (line[:, 0] > start) & (line[:, 0] < end)
    first = [start, level_at(line, start)]
    last = [end, level_at(line, end, before=True)]
    return readonly(np.vstack([first, line[inside], last]))


def trapezoid_weights(chainages: Floats) -> Floats:
    """Length of wall that each point of a line stands for, by trapezoids. [m]

    Parameters
    ----------
    chainages : ndarray, shape (n,)
        In order; two alike are a step. [m]

    Examples
    --------
    >>> trapezoid_weights(np.array([0.0, 10.0, 10.0, 14.0])).tolist()
    [5.0, 5.0, 2.0, 2.0]
    """
    half = np.diff(chainages) / 2
    weights: Floats = np.zeros(len(chainages))
    weights[:-1] += half
    weights[1:] += half
    return weights
