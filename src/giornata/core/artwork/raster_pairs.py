"""Colours explained as mixtures of two paints out of a set."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.raster_rows import Levels

Ends = NDArray[np.float64]  # (k, k, c): colour of the first paint where it meets the second
Colours = Levels | NDArray[np.float32]
__all__ = [
    "FAINT",
    "Colours",
    "Ends",
    "PairFit",
    "brightness_apart",
    "fitted",
    "nearest",
    "plain_ends",
    "thin_fitted",
]

FAINT = 40.0  # levels of brightness; edges of JPEG at quality 60 came out 0.1 % long at 50

_UNKNOWN = 1e6
_TIE = 2.0  # levels; a pair further apart must fit better by this
_PIXELS_AT_ONCE = 1 << 18
# Brightness and the two colour differences of JPEG (ITU-T T.871, 7). The differences are mostly
# kept at half the size and coarser, so that they run over an edge by some pixels.
_JPEG = np.array(
    [[0.299, 0.587, 0.114], [-0.1687, -0.3313, 0.5], [0.5, -0.4187, -0.0813]], dtype=np.float64
)
_TRUST = (1.0, 0.1, 0.1)


def plain_ends(paints: NDArray[np.floating] | NDArray[np.uint8]) -> Ends:
    """Ends of paints that have the same colour everywhere.

    Parameters
    ----------
    paints : ndarray, shape (k, c)
        Levels of the paints. [-]
    """
    base = paints.astype(np.float64)
    return np.repeat(base[:, None], len(base), axis=1)


def brightness_apart(paints: Levels) -> NDArray[np.float64]:
    """Difference in brightness of each two paints, shape (k, k). [levels]

    Parameters
    ----------
    paints : ndarray of uint8, shape (k, c)
        Levels; of other than three channels the one that differs most counts. [-]
    """
    step = paints[:, None].astype(np.float64) - paints
    if step.shape[2] == len(_JPEG):
        return np.asarray(np.abs(step @ _JPEG[0]))
    return np.asarray(np.abs(step).max(axis=2))


@dataclass(slots=True)
class PairFit:
    """The larger and the smaller paint of some pixels, and how well they explain the colour.

    Parameters
    ----------
    first, second : ndarray of int, shape (n,)
        Paints; ``first`` has the larger share. [-]
    share : ndarray of float, shape (n,)
        Share of ``first``, 0.5 to 1. [-]
    miss : ndarray of float, shape (n,)
        Distance of the colour from the line between the two. [levels]
    """

    first: NDArray[np.int64]
    second: NDArray[np.int64]
    share: NDArray[np.float64]
    miss: NDArray[np.float64]

    @classmethod
    def unknown(cls, count: int) -> PairFit:
        """Fits not found yet."""
        zeros = np.zeros(count, np.int64)
        return cls(zeros, zeros.copy(), np.ones(count), np.full(count, _UNKNOWN))

    def improve(self, places: NDArray[np.int64], by: PairFit) -> None:
        """Take over the fits that are better."""
        better = by.miss < self.miss[places]
        at = places[better]
        self.first[at] = by.first[better]
        self.second[at] = by.second[better]
        self.share[at] = by.share[better]
        self.miss[at] = by.miss[better]


def nearest(colours: Levels, paints: Levels) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """Nearest paint of each colour and its distance. [levels]

    Parameters
    ----------
    colours : ndarray of uint8, shape (n, c)
        Pixels. [-]
    paints : ndarray of uint8, shape (k, c)
        Paints. [-]
    """
    label = np.empty(len(colours), np.int64)
    distance = np.empty(len(colours))
    base = paints.astype(np.float32)
    norm = (base * base).sum(axis=1)
    for start in range(0, len(colours), _PIXELS_AT_ONCE):
        part = slice(start, start + _PIXELS_AT_ONCE)
        points = colours[part].astype(np.float32)
        score = norm - 2.0 * (points @ base.T)
        label[part] = score.argmin(axis=1)
        distance[part] = np.sqrt(((points - base[label[part]]) ** 2).sum(axis=1))
    return label, distance


def _by_brightness(step: NDArray[np.float64]) -> NDArray[np.float64]:
    """What a colour is multiplied with for its share of the way from one paint to another."""
    if len(step) != len(_JPEG):
        return step / max(float(step @ step), 1.0)
    weighed = _JPEG.T @ (np.array(_TRUST) * (_JPEG @ step))
    return np.asarray(weighed / max(float(weighed @ step), 1.0))


def _pairs_fitted(
    colours: NDArray[np.float64], pairs: list[tuple[int, int]], ends: Ends, *, lossy: bool
) -> PairFit:
    """Best of some pairs; of pairs that fit alike, the one whose paints are nearest in colour."""
    spans = [float(np.sum((ends[j, i] - ends[i, j]) ** 2)) for i, j in pairs]
    best = PairFit.unknown(len(colours))
    for place in np.argsort(spans, kind="stable"):
        i, j = pairs[place]
        base, step = ends[i, j], ends[j, i] - ends[i, j]
        along = np.clip((colours - base) @ (step / max(spans[place], 1.0)), 0.0, 1.0)
        miss = np.sqrt(((colours - base - along[:, None] * step) ** 2).sum(axis=1))
        better = miss < best.miss - _TIE
        if lossy:
            along = np.clip((colours - base) @ _by_brightness(step), 0.0, 1.0)
        turned = along > 0.5
        best.first = np.where(better, np.where(turned, j, i), best.first)
        best.second = np.where(better, np.where(turned, i, j), best.second)
        best.share = np.where(better, np.where(turned, along, 1.0 - along), best.share)
        best.miss = np.where(better, miss, best.miss)
    return best


def _members(near: int) -> list[int]:
    return [bit for bit in range(near.bit_length()) if near >> bit & 1]


def _grouped(
    colours: Colours, near: NDArray[np.uint64], ends: Ends, *, thin: bool, lossy: bool = False
) -> PairFit:
    """Fits by groups of pixels that have the same paints near them."""
    result = PairFit.unknown(len(colours))
    sets, group = np.unique(near, return_inverse=True)
    order = np.argsort(group, kind="stable")
    last = np.cumsum(np.bincount(group, minlength=len(sets)))
    for number, bits in enumerate(sets.tolist()):
        at = order[last[number - 1] if number else 0 : last[number]]
        here = _members(bits)
        if thin:
            partners = range(len(ends))
            pairs = [(i, j) for i in here or partners for j in partners if j != i or not here]
            pairs = sorted({(min(p), max(p)) for p in pairs})
        else:
            pairs = [(i, j) for n, i in enumerate(here) for j in here[n + 1 :]]
        pairs = pairs or [(i, i) for i in here]
        if pairs:
            fit = _pairs_fitted(colours[at].astype(np.float64), pairs, ends, lossy=lossy)
            result.improve(at, fit)
    return result


def fitted(
    colours: Colours, near: NDArray[np.uint64], ends: Ends, *, lossy: bool = False
) -> PairFit:
    """Each colour as a mixture of two of the paints near it.

    Parameters
    ----------
    colours : ndarray, shape (n, c)
        Levels of the pixels, coded or of light. [-]
    near : ndarray of uint64, shape (n,)
        Paints near each pixel, one bit for each. [-]
    ends : ndarray, shape (k, k, c)
        Levels of each paint beside each other one in the same way; at most 64 paints. [-]
    lossy : bool
        Whether shares are told by brightness before all, in three channels of red, green and blue:
        JPEG keeps it best. Which two paints they are is told by all channels alike.

    Notes
    -----
    With one paint near, the pixel is that paint; with none it stays unknown.
    """
    return _grouped(colours, near, ends, thin=False, lossy=lossy)


def thin_fitted(colours: Colours, near: NDArray[np.uint64], ends: Ends) -> PairFit:
    """Each colour as a mixture of one paint near it and any paint of the picture.

    Parameters
    ----------
    colours : ndarray, shape (n, c)
        Levels of the pixels, coded or of light. [-]
    near : ndarray of uint64, shape (n,)
        Paints near each pixel, one bit for each. [-]
    ends : ndarray, shape (k, k, c)
        Levels of each paint beside each other one in the same way; at most 64 paints. [-]

    Notes
    -----
    This is how a line too thin to have a pure pixel keeps its area. Where no paint is near, any
    two may mix.
    """
    return _grouped(colours, near, ends, thin=True)
