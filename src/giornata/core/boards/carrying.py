"""Carrying places from one picture to another by the points that are known in both."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from giornata.core.foundation import Floats, readonly
from giornata.core.geometry import direct_linear

__all__ = ["Carrier", "Smooth", "carrier", "smooth_map"]

NEIGHBOURS = 20
_TERMS = 6  # of a quadratic in two coordinates
_ROUNDS = 6
_GROSS = 4.5  # standard deviations from which a point is no point of the pattern
_ROBUST = 1.4826  # median absolute deviation to standard deviation of a normal


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Smooth:
    """A plane seen by a lens that bends: (x, y, 1, x² + y²) taken by a matrix, then divided.

    Parameters
    ----------
    matrix : ndarray, shape (3, 4)
        Its last column is 0 for a lens without bend.
    middle : ndarray, shape (2,)
        That x and y are counted from. [px]
    spread : float
        Unit of x and y; above 0. [px]

    Notes
    -----
    A bend by division, r / (1 + k r²), is in it whatever the lens's middle is (Fitzgibbon 2001,
    Simultaneous linear estimation of multiple view geometry and lens distortion, CVPR,
    doi:10.1109/CVPR.2001.990465); other bends and gently curved walls nearly so.
    """

    matrix: Floats
    middle: Floats
    spread: float

    def mapped(self, points: Floats) -> Floats:
        """Points taken to the other picture, shape (n, 2). [px]

        Parameters
        ----------
        points : ndarray, shape (n, 2)
            [px]
        """
        made = _features((points - self.middle) / self.spread) @ self.matrix.T
        taken: Floats = made[:, :2] / made[:, 2:]
        return taken

    def slopes(self, points: Floats) -> Floats:
        """Change of the other picture with this one, shape (n, 2, 2). [-]

        Parameters
        ----------
        points : ndarray, shape (n, 2)
            [px]
        """
        near = (points - self.middle) / self.spread
        made = _features(near) @ self.matrix.T
        by = np.zeros((len(points), 4, 2))
        by[:, 0, 0] = by[:, 1, 1] = 1.0
        by[:, 3, :] = 2 * near
        change = self.matrix @ by / self.spread
        depth = made[:, 2, None, None]
        slopes: Floats = (
            change[:, :2] - (made[:, :2] / made[:, 2:])[:, :, None] * change[:, 2:]
        ) / depth
        return slopes


def _features(near: Floats) -> Floats:
    return np.column_stack([near, np.ones(len(near)), (near**2).sum(axis=1)])


def smooth_map(source: Floats, target: Floats, *, bent: bool) -> Smooth:
    """The map that takes points of one picture nearest to those of another.

    Parameters
    ----------
    source, target : ndarray, shape (n, 2)
        At least four points, six for a lens that bends, not all at one place. [px]
    bent : bool
        Whether a bend is looked for.

    Raises
    ------
    ValueError
        If there are too few points.
    """
    middle, spread = _normal(source)
    there, size = _normal(target)
    features = _features((source - middle) / spread)[:, : 4 if bent else 3]
    made = direct_linear(features, (target - there) / size)
    back = np.array([[size, 0, there[0]], [0, size, there[1]], [0, 0, 1.0]])
    matrix = np.zeros((3, 4))
    matrix[:, : features.shape[1]] = back @ made
    return Smooth(
        matrix=readonly(matrix / np.linalg.norm(matrix)), middle=readonly(middle), spread=spread
    )


def _normal(points: Floats) -> tuple[Floats, float]:
    middle: Floats = points.mean(axis=0)
    return middle, max(float(np.sqrt(((points - middle) ** 2).sum(axis=1).mean())), 1e-9)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Carrier:
    """A map between two pictures of one wall, known at points and smooth between them.

    Parameters
    ----------
    source, target : ndarray, shape (n, 2)
        The points in either picture. [px]
    smooth : Smooth
        Through all of them.
    sigma : float
        Standard deviation of a point, each way, in the target. [px]

    Notes
    -----
    What the smooth map leaves is carried by a quadratic over the nearest points: a lens's
    bend and a wall's own need no model. Each quadratic is measured against the points that it
    leaves out.
    """

    source: Floats
    target: Floats
    smooth: Smooth
    sigma: float

    def carried(self, points: Floats) -> tuple[Floats, Floats]:
        """Places in the target, shape (n, 2), and the standard deviation of each, (n,). [px]

        Parameters
        ----------
        points : ndarray, shape (n, 2)
            In the source. [px]
        """
        if len(points) == 0:
            return np.zeros((0, 2)), np.zeros(0)
        reach = cKDTree(self.source)
        near = np.asarray(reach.query(points, k=min(NEIGHBOURS, len(self.source)))[1], np.intp)
        places, share = self._by(points, near)
        return places, self.sigma * np.sqrt(share)

    def _by(self, points: Floats, near: NDArray[np.intp]) -> tuple[Floats, Floats]:
        """By the quadratic over given points: places, and the squared weight of their noise."""
        left = self.target - self.smooth.mapped(self.source)
        away = self.source[near] - points[:, None, :]
        size = np.sqrt((away**2).sum(axis=2).mean(axis=1))[:, None, None] + 1e-9
        x, y = np.moveaxis(away / size, 2, 0)
        terms = np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=2)
        weights = np.linalg.pinv(terms, rcond=1e-6)[:, 0, :]
        places = self.smooth.mapped(points) + np.einsum("nk,nkj->nj", weights, left[near])
        return places, (weights**2).sum(axis=1)

    def left_out(self) -> Floats:
        """Each point against the map made without it, scaled to one point's noise, (n, 2). [px]"""
        count = min(NEIGHBOURS + 1, len(self.source))
        near = np.asarray(cKDTree(self.source).query(self.source, k=count)[1], np.intp)
        places, share = self._by(self.source, near[:, 1:])
        missed: Floats = (self.target - places) / np.sqrt(1 + share)[:, None]
        return missed


def carrier(source: Floats, target: Floats) -> tuple[Carrier, NDArray[np.bool_]] | None:
    """The map through points of which some may be wrong, and which ones it keeps; None for too few.

    Parameters
    ----------
    source, target : ndarray, shape (n, 2)
        The same points in either picture. [px]
    """
    kept = np.ones(len(source), dtype=bool)
    made: Carrier | None = None
    for _ in range(_ROUNDS):
        if kept.sum() < 2 * _TERMS:
            return None
        chosen_source, chosen_target = readonly(source[kept]), readonly(target[kept])
        made = Carrier(
            source=chosen_source, target=chosen_target,
            smooth=smooth_map(chosen_source, chosen_target, bent=True), sigma=0.0,
        )  # fmt: skip
        missed = made.left_out()
        sigma = _ROBUST * float(np.median(np.abs(missed)))
        off = np.hypot(*missed.T)
        wrong = off > max(_GROSS * sigma, 0.02)
        # A wrong point spoils its neighbours' quadratics too: only the worst go at a time.
        if wrong.sum() > 0.05 * len(off):
            wrong &= off >= np.quantile(off, 0.95)
        made = Carrier(source=chosen_source, target=chosen_target, smooth=made.smooth, sigma=sigma)
        if not wrong.any():
            break
        kept[np.flatnonzero(kept)[wrong]] = False
    assert made is not None
    spread = float(np.sqrt((made.left_out() ** 2).mean()))
    sigma = max(made.sigma, min(spread, 2 * made.sigma))
    return Carrier(source=made.source, target=made.target, smooth=made.smooth, sigma=sigma), kept
