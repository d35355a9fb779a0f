"""Whether the phone moved between two shots, and one shot brought onto another."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from giornata.core.boards.shots import Light
from giornata.core.boards.smooth_maps import smooth_map
from giornata.core.foundation import Floats

__all__ = ["Moved", "brought_onto", "moved_between"]

STILL = 0.3  # px: what two shots of a phone on a tripod seem to be apart by, at most
_ACROSS, _DOWN = 4, 3  # parts of the photo
_SURE = 0.02  # least share of a part's edges that agree on one shift
_ROBUST = 1.4826
_AGREE = 3.0  # px: parts that are further from what the others say are left out
_LEAST = 6  # parts
_ROUNDS = 3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Moved:
    """How far a photo's parts stand from the same parts of another.

    Parameters
    ----------
    middles, shifts : ndarray, shape (n, 2)
        Of each part that can be told. [px]
    far : float
        Median shift. [px]
    spread : float
        Standard deviation of the shifts, each way, about one shift for all. [px]
    """

    middles: Floats
    shifts: Floats
    far: float
    spread: float

    @property
    def still(self) -> bool:
        """Whether the phone may have stood on a tripod."""
        return self.far <= max(STILL, 1.5 * self.spread)


def _edges(light: Light) -> Light:
    """Strength of edges, which pattern, negative and white have in common."""
    smooth = cv2.GaussianBlur(np.sqrt(np.maximum(light, 0.0)), (0, 0), 1.0)
    strong = cv2.magnitude(cv2.Sobel(smooth, cv2.CV_32F, 1, 0), cv2.Sobel(smooth, cv2.CV_32F, 0, 1))
    return np.asarray(np.minimum(strong, np.percentile(strong[::4, ::4], 98)), np.float32)


def _even(size: int) -> int:
    """Size that OpenCV transforms as it is: it pads others, to odd ones half a pixel off."""
    return next(n for n in range(size - size % 2, 1, -2) if cv2.getOptimalDFTSize(n) == n)


def moved_between(one: Light, other: Light) -> Moved | None:
    """How far the second photo is shifted against the first; None where nothing can be told.

    Parameters
    ----------
    one, other : ndarray, shape (rows, columns)
        Light of two photos of one size. [-]

    Notes
    -----
    Phase correlation of the strength of edges in twelve parts (Kuglin and Hines 1975, The phase
    correlation image alignment method, Proc. IEEE Int. Conf. Cybernetics and Society): what is
    painted on the wall, and the edges of the pattern, are the same in both.
    """
    first, second = _edges(one), _edges(other)
    high, wide = first.shape
    middles, shifts = [], []
    for row in range(_DOWN):
        for column in range(_ACROSS):
            top, left = high * row // _DOWN, wide * column // _ACROSS
            foot, right = top + _even(high // _DOWN), left + _even(wide // _ACROSS)
            a = np.ascontiguousarray(first[top:foot, left:right])
            b = np.ascontiguousarray(second[top:foot, left:right])
            window = cv2.createHanningWindow((a.shape[1], a.shape[0]), cv2.CV_32F)
            (along, down), sure = cv2.phaseCorrelate(a, b, window)
            if sure > _SURE:
                middles.append(((left + right) / 2, (top + foot) / 2))
                shifts.append((along, down))
    if len(shifts) < _LEAST:
        return None
    found = np.array(shifts)
    middle = np.median(found, axis=0)
    off = np.abs(found - middle)
    return Moved(
        middles=np.array(middles),
        shifts=found,
        far=float(np.hypot(*middle)),
        spread=_ROBUST * float(np.median(off)),
    )


def brought_onto(one: Light, other: Light) -> tuple[Light, float] | None:
    """The second photo as if taken from where the first was, and how sure. None for not.

    Parameters
    ----------
    one, other : ndarray, shape (rows, columns)
        Light of two photos of one size. [-]

    Returns
    -------
    moved : ndarray, shape (rows, columns)
    sigma : float
        Standard deviation of what is left, each way, over the photo. [px]
    """
    matrix = np.eye(3)
    made, sigma = other, np.inf
    for _ in range(_ROUNDS):
        found = moved_between(one, made)
        if found is None:
            return None
        off = np.linalg.norm(found.shifts - np.median(found.shifts, axis=0), axis=1)
        kept = off <= max(_AGREE, 3 * found.spread)
        if kept.sum() < _LEAST:
            return None
        here = found.middles[kept]
        more = smooth_map(here, here + found.shifts[kept], bent=False)
        left = more.mapped(here) - here - found.shifts[kept]
        sigma = float(np.sqrt((left**2).mean() * 2 * len(here) / max(2 * len(here) - 8, 1)))
        own = more.matrix[:, :3] @ np.array(
            [
                [1 / more.spread, 0, -more.middle[0] / more.spread],
                [0, 1 / more.spread, -more.middle[1] / more.spread],
                [0, 0, 1.0],
            ]
        )
        matrix = matrix @ own
        size = (one.shape[1], one.shape[0])
        # OpenCV counts from the first pixel's middle.
        half = np.array([[1, 0, -0.5], [0, 1, -0.5], [0, 0, 1.0]])
        warped = cv2.warpPerspective(
            other, half @ matrix @ np.linalg.inv(half), size,
            flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_REPLICATE,
        )  # fmt: skip
        made = np.asarray(warped, np.float32)
    left_over = moved_between(one, made)
    if left_over is None or left_over.far > 1.0 or sigma > _AGREE:
        return None
    return np.asarray(np.maximum(made, 0.0), np.float32), max(sigma, left_over.far)
