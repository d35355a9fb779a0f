"""The band of wall to be lit: its top line and its ground line along the chainage."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Floats, readonly

__all__ = ["WallBand"]

_BESIDE = 1e-7  # how far from a chainage a level is read just beside it; a tenth of a micron [m]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WallBand:
    """Top and ground of a wall from chainage 0 to its length.

    Parameters
    ----------
    length : float
        Length of the wall; above 0. [m]
    top, ground : ndarray, shape (n, 2)
        Chainage and level, chainages ascending; two points at one chainage are a step. Before
        the first and after the last point the level stays. [m]

    Raises
    ------
    ValueError
        If a line is empty or descends in chainage, or the ground is nowhere below the top.

    Notes
    -----
    A wall may taper to nothing, and a survey with a wrong level may put the ground above the top
    over a stretch (a finding of the survey): there is nothing to light there.
    """

    length: float
    top: Floats
    ground: Floats

    def __post_init__(self) -> None:
        object.__setattr__(self, "top", readonly(self.top, columns=2))
        object.__setattr__(self, "ground", readonly(self.ground, columns=2))
        if not 0 < self.length < float("inf"):
            raise ValueError("a wall has a length above 0")
        for name, line in (("top", self.top), ("ground", self.ground)):
            if len(line) == 0:
                raise ValueError(f"the {name} line has no point")
            if (np.diff(line[:, 0]) < 0).any():
                raise ValueError(f"the {name} line's chainages ascend")
        x = np.unique(np.concatenate([self.breaks, [0.0, self.length]]))
        beside = np.clip(np.concatenate([x - _BESIDE, x + _BESIDE]), 0.0, self.length)
        if not (_level(self.top, beside) > _level(self.ground, beside)).any():
            raise ValueError("the ground reaches the top of the wall everywhere")

    @property
    def breaks(self) -> Floats:
        """Chainages inside the wall where a line turns or steps, ascending. [m]"""
        x = np.unique(np.concatenate([self.top[:, 0], self.ground[:, 0]]))
        return x[(x > 0) & (x < self.length)]

    def ground_at(self, chainage: float) -> float:
        """Level of the ground at a chainage; at a step the lower. [m]

        Parameters
        ----------
        chainage : float
            Where; beyond the ends the end's level. [m]
        """
        beside = np.array([chainage - _BESIDE, chainage + _BESIDE])
        return float(_level(self.ground, beside).min())

    def extent(self, start: float, end: float) -> tuple[float, float]:
        """Lowest ground and highest top between two chainages; the top never below it. [m]

        Parameters
        ----------
        start, end : float
            Chainages; the stretch inside the wall is looked at. [m]

        Raises
        ------
        ValueError
            If no part of the wall lies between them.
        """
        start, end = max(start, 0.0), min(end, self.length)
        if not end - start > 2 * _BESIDE:
            raise ValueError("no wall lies between these chainages")
        ends = np.array([start + _BESIDE, end - _BESIDE])

        def levels(line: Floats) -> Floats:
            first = np.searchsorted(line[:, 0], start, side="right")
            last = np.searchsorted(line[:, 0], end, side="left")
            return np.concatenate([_level(line, ends), line[first:last, 1]])

        foot = float(levels(self.ground).min())
        return foot, max(float(levels(self.top).max()), foot)


def _level(line: Floats, chainages: Floats) -> Floats:
    return np.asarray(np.interp(chainages, line[:, 0], line[:, 1]))
