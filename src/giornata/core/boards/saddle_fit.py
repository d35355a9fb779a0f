"""Saddles fitted to the pixels around them: two soft edges that cross."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import erf

from giornata.core.boards.shots import Light
from giornata.core.foundation import Floats

__all__ = ["FittedSaddles", "fitted_saddles"]

WINDOW = 0.14  # of a square's side, each way: beyond it stand tags
_LEAST = 2.5  # px of a window, each way
_ROUNDS = 5
_ENOUGH = 30  # saddles that show the width of the edges
_SOFT = (0.5, 0.7, 1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0, 11.0, 16.0)  # px: widths that are tried
_START = 0.05  # of a square's side: width from which a rough start is caught
_ROBUST = 1.345  # standard deviations beyond which a pixel counts less (Huber 1981)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FittedSaddles:
    """Saddles fitted in a photo.

    Parameters
    ----------
    seen : ndarray, shape (n, 2)
        From the outer corner of the first pixel. [px]
    step : ndarray, shape (n,)
        Half of bright less dark: above 0 where the pattern stands as it should. [-]
    rough : ndarray, shape (n,)
        Standard deviation of what the fit leaves, of one pixel. [-]
    soft : float
        Standard deviation of the blur of the edges. [px]
    """

    seen: Floats
    step: Floats
    rough: Floats
    soft: float


def fitted_saddles(
    picture: Light, guess: Floats, slopes: Floats, side: float, white: NDArray[np.bool_]
) -> FittedSaddles:
    """Saddles near their guessed places, each by least squares on the pixels around it.

    Parameters
    ----------
    picture : ndarray, shape (rows, columns)
        [-]
    guess : ndarray, shape (n, 2)
        Well inside the photo. [px]
    slopes : ndarray, shape (n, 2, 2)
        Change of the photo with the projector's picture there. [-]
    side : float
        Of a square in the projector's picture. [px]
    white : ndarray of bool, shape (n,)
        Whether the square before each saddle, along and down, is white.

    Notes
    -----
    The brightness about a saddle is ``mean + step * erf(d1 / s) * erf(d2 / s)`` with ``d`` the
    distances to its two edges: all pixels count, so that noise averages, where a search among
    gradients would follow it. Outlying pixels count less. The width ``s`` is one for the whole
    picture, the one that leaves least: it is the blur of the photo.
    """
    back = np.linalg.inv(slopes)
    lengths = np.linalg.norm(back, axis=2, keepdims=True)  # of a photo pixel in the picture
    normal = back / lengths
    reach = np.maximum(WINDOW * side / lengths[:, :, 0], _LEAST)
    half = int(np.ceil(float(np.median(_box(slopes, WINDOW * side))))) + 2
    patches, offsets = _patches(picture, guess, half)
    fits = _Fits(patches=patches, offsets=offsets, normal=normal, reach=reach, white=white)
    start = _START * side / float(np.median(lengths))
    at = np.zeros((len(guess), 2))
    for wide in (start, start / 2.5):
        at, _, _ = fits.fitted(at, max(wide, _SOFT[0]))
    tried = [s for s in _SOFT if s <= max(2.5 * start, 1.0)]
    few = slice(None, None, max(len(guess) // _ENOUGH, 1))
    part = fits.part(few)
    best = min(tried, key=lambda soft: float(np.median(part.fitted(at[few], soft, 2)[2])))
    at, step, rough = fits.fitted(at, best)
    return FittedSaddles(seen=guess + at, step=step, rough=rough, soft=best)


def _box(slopes: Floats, reach: float) -> Floats:
    extent: Floats = reach * np.abs(slopes).sum(axis=2).max(axis=1)
    return extent


def _patches(picture: Light, guess: Floats, half: int) -> tuple[Floats, Floats]:
    """Brightness (n, m) about each guess, and where each pixel lies from it (n, m, 2). [px]"""
    steps = np.arange(-half, half + 1)
    down, along = (a.ravel() for a in np.meshgrid(steps, steps, indexing="ij"))
    middle = np.floor(guess).astype(int)
    high, wide = picture.shape
    x = np.clip(middle[:, :1] + along, 0, wide - 1)
    y = np.clip(middle[:, 1:] + down, 0, high - 1)
    offsets = np.stack([x, y], axis=2) + 0.5 - guess[:, None, :]
    return picture[y, x].astype(np.float64), offsets


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Fits:
    patches: Floats
    offsets: Floats
    normal: Floats
    reach: Floats
    white: NDArray[np.bool_]

    def part(self, which: slice) -> _Fits:
        return _Fits(
            patches=self.patches[which], offsets=self.offsets[which], normal=self.normal[which],
            reach=self.reach[which], white=self.white[which],
        )  # fmt: skip

    def fitted(
        self, at: Floats, soft: float, rounds: int = _ROUNDS
    ) -> tuple[Floats, Floats, Floats]:
        """Offsets from the guess, steps and what is left over, for edges of one softness."""
        sign = np.where(self.white, 1.0, -1.0)
        # Pixels about the guess, not about the moving place: the same ones in every round.
        away = self.offsets @ self.normal.transpose(0, 2, 1)
        within = np.abs(away) <= self.reach[:, None, :]
        inside: Floats = np.asarray(within.all(axis=2), np.float64)
        step = np.zeros(len(at))
        rough = np.zeros(len(at))
        left: Floats | None = None
        most = float(np.median(self.reach)) * 0.8
        for _ in range(rounds):
            far = away - (self.normal @ at[:, :, None])[:, None, :, 0]
            edge = erf(far / (np.sqrt(2) * soft))
            steep = np.sqrt(2 / np.pi) / soft * np.exp(-((far / soft) ** 2) / 2)
            saddle = sign[:, None] * edge[:, :, 0] * edge[:, :, 1]
            by_far = sign[:, None, None] * np.stack(
                [steep[:, :, 0] * edge[:, :, 1], steep[:, :, 1] * edge[:, :, 0]], axis=2
            )
            by_at = -by_far @ self.normal
            # Brightness first: mean and step by weighted least squares, slope across the patch.
            terms = np.concatenate(
                [
                    np.ones((*saddle.shape, 1)),
                    saddle[:, :, None],
                    away / self.reach[:, None, :],
                ],
                axis=2,
            )
            weights: Floats = inside if left is None else inside * _huber(left, rough)
            bright = _solved(terms, self.patches, weights)
            step = bright[:, 1]
            left = self.patches - (terms @ bright[:, :, None])[:, :, 0]
            count = np.maximum(inside.sum(axis=1), 1.0)
            rough = np.sqrt((weights * left**2).sum(axis=1) / count) + 1e-9
            size = np.where(np.abs(step) < 1e-9, 1e-9, step)
            moved = _solved(by_at * size[:, None, None], left, weights)
            at = at + np.clip(moved, -0.7 * soft - 0.3, 0.7 * soft + 0.3)
            at = np.clip(at, -most, most)
        return at, step, rough


def _huber(left: Floats, rough: Floats) -> Floats:
    size = np.abs(left) / (_ROBUST * rough[:, None])
    weight: Floats = 1.0 / np.maximum(size, 1.0)
    return weight


def _solved(terms: Floats, wanted: Floats, weights: Floats) -> Floats:
    """Weighted least squares of each patch, shape (n, k)."""
    weighed = (terms * weights[:, :, None]).transpose(0, 2, 1)
    normal = weighed @ terms
    size = terms.shape[2]
    ridge = 1e-9 * np.trace(normal, axis1=1, axis2=2)[:, None, None] + 1e-15
    found: Floats = np.linalg.solve(normal + ridge * np.eye(size), weighed @ wanted[:, :, None])[
        :, :, 0
    ]
    return found
