"""Where a wall bends sharply inside a picture: the line on whose sides two maps hold."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from giornata.core.boards.smooth_maps import Smooth, smooth_map
from giornata.core.foundation import Floats

__all__ = ["FoldLine", "fold_line"]

_LEAST = 12  # points on a side
_STARTS = np.linspace(0.1, 0.9, 17)  # of the points, before a line along an axis
_LEANS = np.radians(np.arange(-45.0, 135.0, 1.5))  # of the line's normal
_ROUNDS = 4
_CAP = 25.0  # of the usual deviation, squared: what a wrong point counts at most
_ROBUST = 1.4826
_SAMPLES = 30  # along a fold
_STEP = 0.03  # of the picture, to either side of it
_WORSE = 1.2  # times what is left, that a line between the points may leave
_FLAT = 0.5  # of what one map leaves: two must leave less


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldLine:
    """A line across a picture.

    Parameters
    ----------
    along, up : float
        Its normal; of length 1. [-]
    offset : float
        From the origin along the normal. [px]
    """

    along: float
    up: float
    offset: float

    def beyond(self, points: Floats) -> NDArray[np.bool_]:
        """Which points lie on the side its normal points to, shape (n,).

        Parameters
        ----------
        points : ndarray, shape (n, 2)
            [px]
        """
        return np.asarray(points @ (self.along, self.up) > self.offset, bool)


def fold_line(source: Floats, target: Floats) -> FoldLine | None:
    """The line on either side of which the points are carried best; None where one map will do.

    Parameters
    ----------
    source, target : ndarray, shape (n, 2)
        The same points in either picture; some may be wrong. [px]

    Notes
    -----
    Two planes meet in a straight line, and so they do in either picture, but for a lens's bend.
    Lines along the picture's axes are tried first; with the two maps of the best one the line
    is searched, of any direction, that leaves least, and the maps are made anew.
    """
    if len(source) < 3 * _LEAST:
        return None
    best: tuple[float, FoldLine] | None = None
    for axis, normal in enumerate(((1.0, 0.0), (0.0, 1.0))):
        for offset in np.quantile(source[:, axis], _STARTS).tolist():
            start = FoldLine(along=normal[0], up=normal[1], offset=offset)
            cost = _cost(start, source, target)
            if cost is not None and (best is None or cost < best[0]):
                best = cost, start
    if best is None:
        return None
    cost, line = best
    for _ in range(_ROUNDS):
        better = _searched(source, *_both(line, source, target))
        found = None if better is None else _cost(better, source, target)
        if better is None or found is None or found >= cost:
            break
        cost, line = found, better
    plain = _mean(_left(_fitted(source, target), source, target))
    if cost >= _FLAT * plain:
        return None
    met = _met(line, source, target)
    found = _cost(met, source, target)
    return met if found is not None and found < _WORSE * cost else line


def _both(line: FoldLine, source: Floats, target: Floats) -> tuple[Floats, Floats]:
    """What the maps of this side and of the other leave of every point. [px2]"""
    past = line.beyond(source)
    return (
        _left(_fitted(source[~past], target[~past]), source, target),
        _left(_fitted(source[past], target[past]), source, target),
    )


def _cost(line: FoldLine, source: Floats, target: Floats) -> float | None:
    """What two maps leave on average; None where a side has too few points. [px]"""
    past = line.beyond(source)
    if past.sum() < _LEAST or (~past).sum() < _LEAST:
        return None
    here, there = _both(line, source, target)
    return _mean(np.where(past, there, here))


def _mean(squared: Floats) -> float:
    """Of the distances, so that neither a wrong point nor a few on the wrong side weigh most."""
    left = np.sqrt(squared)
    return float(np.minimum(left, 10 * np.median(left) + 1e-6).mean())


def _fitted(source: Floats, target: Floats) -> Smooth:
    """A map that wrong points count less in: the worst are left out once."""
    made = smooth_map(source, target, bent=True)
    off = _left(made, source, target)
    kept = off <= max(9 * _scale(off), float(np.quantile(off, 0.7)))
    return smooth_map(source[kept], target[kept], bent=True)


def _left(made: Smooth, source: Floats, target: Floats) -> Floats:
    """Squared distance of each point from where the map has it. [px2]"""
    with np.errstate(all="ignore"):  # far from what made it, a map may leave all bounds
        found: Floats = ((made.mapped(source) - target) ** 2).sum(axis=1)
    return np.minimum(np.nan_to_num(found, nan=1e12), 1e12)


def _scale(squared: Floats) -> float:
    """Usual squared deviation. [px2]"""
    return max(_ROBUST**2 * float(np.median(squared)) / 2, 1e-6)


def _searched(source: Floats, here: Floats, there: Floats) -> FoldLine | None:
    """The line on whose sides two maps leave least."""
    cap = _CAP * _scale(np.minimum(here, there))
    gain = np.minimum(here, cap) - np.minimum(there, cap)  # of being beyond
    best: tuple[float, FoldLine] | None = None
    for lean in _LEANS:
        normal = (math.cos(lean), math.sin(lean))
        far = source @ normal
        order = np.argsort(far, kind="stable")
        total = np.concatenate([[0.0], np.cumsum(gain[order[::-1]])])[::-1]  # of beyond from k on
        allowed = slice(_LEAST, len(far) - _LEAST + 1)
        if len(total[allowed]) == 0:
            continue
        k = int(np.argmax(total[allowed])) + _LEAST
        offset = float(far[order[k - 1]] + far[order[min(k, len(far) - 1)]]) / 2
        if best is None or total[k] > best[0]:
            best = float(total[k]), FoldLine(along=normal[0], up=normal[1], offset=offset)
    return None if best is None else best[1]


def _met(line: FoldLine, source: Floats, target: Floats) -> FoldLine:
    """The line where the maps of both sides say the same: it lies between points, too."""
    past = line.beyond(source)
    here, there = _fitted(source[~past], target[~past]), _fitted(source[past], target[past])
    normal = np.array([line.along, line.up])
    ahead = np.array([-line.up, line.along])
    reach = source @ ahead
    first, last = np.quantile(reach, (0.05, 0.95)).tolist()
    at = np.linspace(first, last, _SAMPLES)
    step = _STEP * float(np.ptp(source @ normal))
    on = at[:, None] * ahead + line.offset * normal
    apart = [there.mapped(on + s * normal) - here.mapped(on + s * normal) for s in (-step, step)]
    change = apart[1] - apart[0]
    # How far from the line the two are nearest to each other.
    middle = (apart[0] + apart[1]) / 2
    with np.errstate(all="ignore"):
        off = -step * 2 * (middle * change).sum(axis=1) / (change**2).sum(axis=1)
    good = np.isfinite(off) & (np.abs(off) < 2 * step)
    if good.sum() < _SAMPLES // 2:
        return line
    (slope, shift), *_ = np.linalg.lstsq(
        np.column_stack([at[good], np.ones(good.sum())]), off[good], rcond=None
    )
    # Points of it lie at (offset + shift + slope t) along the normal, t ahead.
    long = math.hypot(1.0, slope)
    turned = (normal - slope * ahead) / long
    return FoldLine(
        along=float(turned[0]), up=float(turned[1]), offset=float((line.offset + shift) / long)
    )
