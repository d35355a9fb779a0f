"""Carrying places from one picture to another by the points that are known in both."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from giornata.core.boards.fold_lines import FoldLine, fold_line
from giornata.core.boards.smooth_maps import Smooth, smooth_map
from giornata.core.foundation import Floats, readonly

__all__ = ["Carrier", "Fold", "carrier"]

NEIGHBOURS = 20
_TERMS = 6  # of a quadratic in two coordinates
_ROUNDS = 6
_GROSS = 4.5  # standard deviations from which a point is no point of the pattern
_BETTER = 1.3  # times less left over, from which a fold is believed
_MORE = 0.03  # of all points, that a fold must hold where it does not hold them better
_ROBUST = 1.4826  # median absolute deviation to standard deviation of a normal


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fold:
    """The other side of a fold.

    Parameters
    ----------
    line : FoldLine
        In the source.
    smooth : Smooth
        Through the points beyond it.
    """

    line: FoldLine
    smooth: Smooth

    def beyond(self, points: Floats) -> NDArray[np.bool_]:
        """Which points lie beyond it, shape (n,).

        Parameters
        ----------
        points : ndarray, shape (n, 2)
            In the source. [px]
        """
        return self.line.beyond(points)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Carrier:
    """A map between two pictures of one wall, known at points and smooth between them.

    Parameters
    ----------
    source, target : ndarray, shape (n, 2)
        The points in either picture. [px]
    smooth : Smooth
        Through all of them, or through those this side of the fold.
    sigma : float
        Standard deviation of a point, each way, in the target. [px]
    fold : Fold or None
        Where the wall bends sharply between the points; None where it does not.

    Notes
    -----
    What the smooth map leaves is carried by a quadratic over the nearest points on the same
    side of a fold: a lens's bend and a curved wall need no model. Each quadratic is measured
    against the points that it leaves out.
    """

    source: Floats
    target: Floats
    smooth: Smooth
    sigma: float
    fold: Fold | None = None

    def _sides(self, points: Floats) -> list[tuple[Smooth, NDArray[np.bool_], NDArray[np.bool_]]]:
        """Map, known points and given points of each side of the fold."""
        every = np.ones(len(self.source), bool), np.ones(len(points), bool)
        if self.fold is None:
            return [(self.smooth, *every)]
        known, given = self.fold.beyond(self.source), self.fold.beyond(points)
        return [(self.smooth, ~known, ~given), (self.fold.smooth, known, given)]

    def mapped(self, points: Floats) -> Floats:
        """Points taken to the target by the smooth maps alone, shape (n, 2). [px]

        Parameters
        ----------
        points : ndarray, shape (n, 2)
            In the source. [px]
        """
        made: Floats = self.smooth.mapped(points)
        if self.fold is not None:
            past = self.fold.beyond(points)
            made[past] = self.fold.smooth.mapped(points[past])
        return made

    def slopes(self, points: Floats) -> Floats:
        """Change of the target with the source, shape (n, 2, 2). [-]

        Parameters
        ----------
        points : ndarray, shape (n, 2)
            In the source. [px]
        """
        made: Floats = self.smooth.slopes(points)
        if self.fold is not None:
            past = self.fold.beyond(points)
            made[past] = self.fold.smooth.slopes(points[past])
        return made

    def carried(self, points: Floats) -> tuple[Floats, Floats]:
        """Places in the target, shape (n, 2), and the standard deviation of each, (n,). [px]

        Parameters
        ----------
        points : ndarray, shape (n, 2)
            In the source. [px]
        """
        places, share = np.zeros((len(points), 2)), np.zeros(len(points))
        for smooth, known, given in self._sides(points):
            if given.any():
                chosen = np.flatnonzero(known)
                reach = cKDTree(self.source[chosen])
                count = min(NEIGHBOURS, len(chosen))
                near = np.asarray(reach.query(points[given], k=count)[1], np.intp)
                by = self._by(points[given], chosen[near], smooth)
                places[given], share[given] = by
        return places, self.sigma * np.sqrt(share)

    def _by(self, points: Floats, near: NDArray[np.intp], smooth: Smooth) -> tuple[Floats, Floats]:
        """By the quadratic over given points: places, and the squared weight of their noise."""
        left = self.target[near] - smooth.mapped(self.source[near].reshape(-1, 2)).reshape(
            *near.shape, 2
        )
        away = self.source[near] - points[:, None, :]
        size = np.sqrt((away**2).sum(axis=2).mean(axis=1))[:, None, None] + 1e-9
        x, y = np.moveaxis(away / size, 2, 0)
        terms = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=2)
        weights = np.linalg.pinv(terms, rcond=1e-6)[:, 0, :]
        places = smooth.mapped(points) + np.einsum("nk,nkj->nj", weights, left)
        return places, (weights**2).sum(axis=1)

    def left_out(self) -> Floats:
        """Each point against the map made without it, scaled to one point's noise, (n, 2). [px]"""
        missed = np.zeros((len(self.source), 2))
        for smooth, known, _ in self._sides(self.source):
            chosen = np.flatnonzero(known)
            if len(chosen):
                count = min(NEIGHBOURS + 1, len(chosen))
                reach = cKDTree(self.source[chosen])
                near = np.asarray(reach.query(self.source[chosen], k=count)[1], np.intp)
                places, share = self._by(self.source[chosen], chosen[near[:, 1:]], smooth)
                missed[chosen] = (self.target[chosen] - places) / np.sqrt(1 + share)[:, None]
        return missed


def carrier(source: Floats, target: Floats) -> tuple[Carrier, NDArray[np.bool_]] | None:
    """The map through points of which some may be wrong, and which ones it keeps; None for too few.

    Parameters
    ----------
    source, target : ndarray, shape (n, 2)
        The same points in either picture. [px]
    """
    if len(source) < 2 * _TERMS:
        return None
    plain = _kept(source, target, None)
    line = fold_line(source, target)
    if line is None:
        return plain
    folded = _kept(source, target, line)
    if plain is None or folded is None:
        return folded if plain is None else plain
    # A fold is believed only where it holds more of the points, and holds them better.
    worse = _missed(plain[0]) > _BETTER * _missed(folded[0])
    return folded if worse or folded[1].sum() > plain[1].sum() + _MORE * len(source) else plain


def _missed(made: Carrier) -> float:
    return float(np.sqrt((made.left_out() ** 2).mean()))


def _kept(
    source: Floats, target: Floats, line: FoldLine | None
) -> tuple[Carrier, NDArray[np.bool_]] | None:
    """The map, on both sides of a line or without one, and the points that agree with it."""
    kept = np.ones(len(source), dtype=bool)
    made: Carrier | None = None
    for _ in range(_ROUNDS):
        made = _through(readonly(source[kept]), readonly(target[kept]), line, 0.0)
        if made is None:
            return None
        missed = made.left_out()
        sigma = _ROBUST * float(np.median(np.abs(missed)))
        off = np.hypot(*missed.T)
        wrong = off > max(_GROSS * sigma, 0.02)
        # A wrong point spoils its neighbours' quadratics too: only the worst go at a time.
        if wrong.sum() > 0.05 * len(off):
            wrong &= off >= np.quantile(off, 0.95)
        made = replace(made, sigma=sigma)
        if not wrong.any():
            break
        kept[np.flatnonzero(kept)[wrong]] = False
    made = _through(readonly(source[kept]), readonly(target[kept]), line, made.sigma if made else 0)
    if made is None:
        return None
    spread = _missed(made)
    return replace(made, sigma=max(made.sigma, min(spread, 2 * made.sigma))), kept


def _through(source: Floats, target: Floats, line: FoldLine | None, sigma: float) -> Carrier | None:
    """The map through points; None where a side of it has too few."""
    past = np.zeros(len(source), bool) if line is None else line.beyond(source)
    sides = (past,) if line is None else (past, ~past)
    if any((~side).sum() < 2 * _TERMS for side in sides):
        return None
    smooth = smooth_map(source[~past], target[~past], bent=True)
    fold = None
    if line is not None:
        other = smooth_map(source[past], target[past], bent=True)
        fold = Fold(line=line, smooth=other)
    return Carrier(source=source, target=target, smooth=smooth, sigma=sigma, fold=fold)
