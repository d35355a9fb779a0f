"""Each pixel of a flat picture as one paint, or as a mixture of two paints that meet there.

An antialiased pixel shows how much of it each of two neighbouring paints covers. Read so, it
belongs to no third colour, and areas are those of the shapes that were drawn.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.flat_palette import (
    MIXTURE_TOLERANCE,
    NEARLY_FLAT,
    FlatPalette,
    Levels,
    bands,
    colour_keys,
    flat_spread,
)
from giornata.core.artwork.raster_pairs import PairFit, fitted, nearest, thin_fitted
from giornata.core.artwork.raster_specks import without_specks

__all__ = ["Mixture", "mixture"]

NONE = 255
_HALO = 10
_CRISP_REACH = ((1, 4.0), (2, 6.0), (4, 12.0), (8, 12.0))  # px, levels that content us there
_SOFT_REACH = ((4, 14.0), (8, 40.0))  # JPEG at quality 60 and above measured under 14
_SOFT_THIN = 0.33  # a thin line of a soft picture must explain it so much better
_SOFT_SNAP = 0.06  # share; ringing next to an edge is no mixture
_CRISP_SPECK, _SOFT_SPECK = 4, 16  # px; smaller groups without a pure pixel are no shapes
_CRISP_FAR, _SOFT_FAR = 24.0, 40.0  # levels; a pixel further from every mixture is unexplained
_SEED_DISTANCE = 12.0  # levels between a flat place of a soft picture and its paint


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mixture:
    """Paints and shares of every pixel.

    Parameters
    ----------
    paint : ndarray of uint8, shape (h, w)
        Index of the paint that covers most of the pixel. [-]
    other : ndarray of uint8, shape (h, w)
        Index of the second paint; the same as ``paint`` where there is none. [-]
    share : ndarray of uint8, shape (h, w)
        Share of ``paint`` in 255ths, 128 to 255. [1/255]
    mixed : int
        Pixels that are not pure. [px]
    areas : ndarray of float, shape (k,)
        Area of each paint by its shares, specks as read; they add to h × w. [px²]
    unexplained : ndarray of int, shape (n,)
        Places (row × width + column) of pixels that no two paints explain. [-]
    """

    paint: NDArray[np.uint8]
    other: NDArray[np.uint8]
    share: NDArray[np.uint8]
    mixed: int
    areas: NDArray[np.float64]
    unexplained: NDArray[np.int64]

    def __post_init__(self) -> None:
        if not self.paint.shape == self.other.shape == self.share.shape:
            raise ValueError("paint, other and share are of one shape")
        for array in (self.paint, self.other, self.share, self.areas, self.unexplained):
            array.setflags(write=False)


@dataclass(slots=True)
class _Band:
    """A band of the picture with its halo, being labelled."""

    levels: Levels
    seeds: NDArray[np.uint8]  # paint of each pixel known to be pure, NONE elsewhere


def _exact_labels(levels: Levels, palette: FlatPalette) -> NDArray[np.uint8]:
    """Paint of the pixels that have exactly a palette colour, NONE elsewhere."""
    keys = colour_keys(levels).ravel()
    first = np.flatnonzero(np.concatenate([[True], keys[1:] != keys[:-1]]))
    known = colour_keys(palette.levels)
    order = np.argsort(known)
    place = np.minimum(np.searchsorted(known[order], keys[first]), len(known) - 1)
    label = np.where(known[order][place] == keys[first], order[place], NONE).astype(np.uint8)
    return np.repeat(label, np.diff(first, append=keys.size)).reshape(levels.shape[:2])


def _offsets(reach: int, beyond: int) -> list[tuple[int, int]]:
    """Steps to pixels within a reach; of wide squares every second pixel is enough."""
    stride = 2 if reach >= 4 else 1
    span = range(-reach, reach + 1, stride)
    return [(dy, dx) for dy in span for dx in span if max(abs(dy), abs(dx)) > beyond]


class _Surroundings:
    """Which paints are near a pixel, as a set of bits."""

    def __init__(self, seeds: NDArray[np.uint8]) -> None:
        self.wide = cv2.copyMakeBorder(
            seeds, _HALO, _HALO, _HALO, _HALO, cv2.BORDER_CONSTANT, value=(NONE,)
        )
        self.bit = np.zeros(256, np.uint64)
        self.bit[:64] = np.uint64(1) << np.arange(64, dtype=np.uint64)

    def near(
        self, rows: NDArray[np.int64], columns: NDArray[np.int64], reach: int, beyond: int
    ) -> NDArray[np.uint64]:
        stride = self.wide.shape[1]
        centre = (rows + _HALO) * stride + columns + _HALO
        flat = self.wide.ravel()
        found = np.zeros(len(rows), np.uint64)
        for dy, dx in _offsets(reach, beyond):
            found |= self.bit[flat[centre + (dy * stride + dx)]]
        return found


def _crisp_band(levels: Levels, palette: FlatPalette) -> _Band:
    """Pure pixels of a crisp picture.

    They have a palette colour, and touch a flat place of it or are explained by no mixture of the
    paints around them.
    """
    label = _exact_labels(levels, palette)
    if palette.hard:
        return _Band(levels, label)
    seeds = np.where(flat_spread(levels) == 0, label, NONE).astype(np.uint8)
    rows, columns = np.nonzero((label != NONE) & (seeds == NONE))
    own = label[rows, columns]
    around = _Surroundings(seeds)
    for reach, beyond in ((1, 0), (2, 1)):
        near = around.near(rows, columns, reach, beyond)
        touches = (near & around.bit[own]) != 0
        seeds[rows[touches], columns[touches]] = own[touches]
        rows, columns, own = rows[~touches], columns[~touches], own[~touches]
    if len(rows):
        near = _Surroundings(seeds).near(rows, columns, 2, 0)
        fit = fitted(levels[rows, columns], near, palette.levels)
        alone = fit.miss > MIXTURE_TOLERANCE
        seeds[rows[alone], columns[alone]] = own[alone]
    return _Band(levels, seeds)


def _soft_band(levels: Levels, palette: FlatPalette) -> _Band:
    """Pure pixels of a soft picture: nearly flat, and near to a paint."""
    calm = np.empty_like(levels)
    for channel in range(levels.shape[2]):
        calm[..., channel] = cv2.medianBlur(np.ascontiguousarray(levels[..., channel]), 3)
    flat = flat_spread(calm) <= NEARLY_FLAT
    seeds = np.where(flat, _exact_labels(calm, palette), NONE).astype(np.uint8)
    flat &= seeds == NONE
    label, distance = nearest(calm[flat], palette.levels)
    seeds[flat] = np.where(distance <= _SEED_DISTANCE, label, NONE)
    return _Band(calm, seeds)


def _fit(
    band: _Band, rows: NDArray[np.int64], columns: NDArray[np.int64], palette: FlatPalette
) -> PairFit:
    """Mixture of two paints near each pixel, looked for further and further away."""
    colours = band.levels[rows, columns]
    around = _Surroundings(band.seeds)
    result = PairFit.unknown(len(rows))
    left = np.arange(len(rows))
    near = np.zeros(len(rows), np.uint64)
    beyond = 0
    for reach, content in _SOFT_REACH if palette.soft else _CRISP_REACH:
        near[left] |= around.near(rows[left], columns[left], reach, beyond)
        beyond = reach
        result.improve(left, fitted(colours[left], near[left], palette.levels))
        left = left[result.miss[left] > content]
        if not len(left):
            break
    if len(left):
        thin = thin_fitted(colours[left], near[left], palette.levels)
        if palette.soft:
            thin.share[:] = 1.0
            thin.miss[thin.miss > _SOFT_THIN * result.miss[left]] = np.inf
        result.improve(left, thin)
    if palette.soft:
        result.share[result.share > 1.0 - _SOFT_SNAP] = 1.0
    return result


def mixture(levels: Levels, palette: FlatPalette) -> Mixture:
    """Paint, second paint and share of every pixel of a flat picture.

    Parameters
    ----------
    levels : ndarray of uint8, shape (h, w, c)
        The picture the palette was found in. [-]
    palette : FlatPalette
        Its paints.

    Raises
    ------
    ValueError
        If picture and palette differ in channels.

    Notes
    -----
    A pixel is explained by two paints only; where three meet, the two that fit best are taken.
    """
    if levels.ndim != 3 or levels.shape[2] != palette.levels.shape[1]:
        raise ValueError("picture and palette have the same channels")
    height, width = levels.shape[:2]
    paint = np.empty((height, width), np.uint8)
    other = np.empty((height, width), np.uint8)
    share = np.full((height, width), 255, np.uint8)
    pure = np.zeros(len(palette.levels))
    far = _SOFT_FAR if palette.soft else _CRISP_FAR
    mixed: list[NDArray[np.int64]] = []
    lost: list[NDArray[np.int64]] = []
    for top, end, above, below in bands(height, width, halo=_HALO):
        part = levels[above:below]
        band = _soft_band(part, palette) if palette.soft else _crisp_band(part, palette)
        middle = band.seeds[top - above : end - above]
        paint[top:end] = middle
        other[top:end] = middle
        rows, columns = np.nonzero(middle == NONE)
        if len(rows):
            fit = _fit(band, rows + (top - above), columns, palette)
            paint[top + rows, columns] = fit.first
            other[top + rows, columns] = np.where(fit.share < 1.0, fit.second, fit.first)
            share[top + rows, columns] = np.rint(255.0 * fit.share).astype(np.uint8)
            mixed.append((top + rows) * width + columns)
            lost.append(mixed[-1][fit.miss > far])
        pure += np.bincount(middle[middle != NONE], minlength=len(pure))
    places = np.concatenate(mixed) if mixed else np.empty(0, np.int64)
    part_of = share.ravel()[places] / 255.0
    first = np.bincount(paint.ravel()[places], part_of, len(pure))
    second = np.bincount(other.ravel()[places], 1.0 - part_of, len(pure))
    least = _SOFT_SPECK if palette.soft else _CRISP_SPECK
    without_specks(paint, other, share, places, least=least)
    return Mixture(
        paint=paint,
        other=other,
        share=share,
        mixed=len(places),
        areas=pure + first + second,
        unexplained=np.concatenate(lost) if lost else np.empty(0, np.int64),
    )
