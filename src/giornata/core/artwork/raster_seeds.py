"""Pure pixels of a flat picture, and which paints are near a pixel."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.flat_palette import MIXTURE_TOLERANCE, FlatPalette
from giornata.core.artwork.raster_pairs import fitted, nearest, plain_ends
from giornata.core.artwork.raster_rows import Levels
from giornata.core.artwork.raster_survey import (
    NEARLY_FLAT,
    Keys,
    colour_keys,
    flat_places,
    flat_spread,
)

__all__ = ["HALO", "NONE", "Band", "Surroundings", "pure_pixels"]

NONE = 255
HALO = 13  # px around a pixel that bear on it: paints within 8, what is pure within 5 of these
_ALIKE = 60.0  # levels; ringing in JPEG at quality 60 makes up to a third of it
STRAY = 6  # px; fewer pure pixels of a soft picture that touch are not trusted
_SEED_DISTANCE = 12.0  # levels between a flat place of a soft picture and its paint


@dataclass(slots=True)
class Band:
    """A band of the picture.

    Parameters
    ----------
    levels : ndarray of uint8, shape (h, w, c)
        Its levels; calmed where the picture is soft. [-]
    seeds : ndarray of uint8, shape (h, w)
        Paint of each pixel known to be pure, NONE elsewhere. [-]
    """

    levels: Levels
    seeds: NDArray[np.uint8]


def _exact_labels(packed: Keys, palette: FlatPalette) -> NDArray[np.uint8]:
    """Paint of the pixels that have exactly a palette colour, NONE elsewhere."""
    keys = packed.ravel()
    first = np.flatnonzero(np.concatenate([[True], keys[1:] != keys[:-1]]))
    known = colour_keys(palette.levels)
    order = np.argsort(known)
    place = np.minimum(np.searchsorted(known[order], keys[first]), len(known) - 1)
    label = np.where(known[order][place] == keys[first], order[place], NONE).astype(np.uint8)
    return np.repeat(label, np.diff(first, append=keys.size)).reshape(packed.shape)


def _offsets(reach: int, beyond: int) -> list[tuple[int, int]]:
    """Steps to pixels within a reach; of wide squares every second pixel is enough."""
    stride = 2 if reach >= 4 else 1
    span = range(-reach, reach + 1, stride)
    return [(dy, dx) for dy in span for dx in span if max(abs(dy), abs(dx)) > beyond]


class Surroundings:
    """Which paints are near a pixel, as a set of bits.

    Parameters
    ----------
    seeds : ndarray of uint8, shape (h, w)
        Paint of each pure pixel, NONE elsewhere. [-]
    """

    def __init__(self, seeds: NDArray[np.uint8]) -> None:
        self.wide = cv2.copyMakeBorder(
            seeds, HALO, HALO, HALO, HALO, cv2.BORDER_CONSTANT, value=(NONE,)
        )
        self.bit = np.zeros(256, np.uint64)
        self.bit[:64] = np.uint64(1) << np.arange(64, dtype=np.uint64)

    def near(
        self, rows: NDArray[np.int64], columns: NDArray[np.int64], reach: int, beyond: int
    ) -> NDArray[np.uint64]:
        """Paints of the pure pixels within ``reach`` of each pixel and further than ``beyond``.

        Parameters
        ----------
        rows, columns : ndarray of int, shape (n,)
            Pixels. [-]
        reach, beyond : int
            Sides of the squares around each, halved; at most HALO. [px]
        """
        stride = self.wide.shape[1]
        centre = (rows + HALO) * stride + columns + HALO
        flat = self.wide.ravel()
        found = np.zeros(len(rows), np.uint64)
        for dy, dx in _offsets(reach, beyond):
            found |= self.bit[flat[centre + (dy * stride + dx)]]
        return found


def _crisp_band(levels: Levels, palette: FlatPalette) -> Band:
    """Pure pixels of a crisp picture.

    They have a palette colour, and touch a flat place of it or are explained by no mixture of the
    paints around them.
    """
    packed = colour_keys(levels)
    label = _exact_labels(packed, palette)
    if palette.hard:
        return Band(levels, label)
    seeds = label | (flat_places(packed).view(np.uint8) - np.uint8(1))  # NONE where not flat
    rows, columns = np.divmod(np.flatnonzero(seeds != label), label.shape[1])
    own = label[rows, columns]
    around = Surroundings(seeds)
    for reach, beyond in ((1, 0), (2, 1)):
        near = around.near(rows, columns, reach, beyond)
        touches = (near & around.bit[own]) != 0
        seeds[rows[touches], columns[touches]] = own[touches]
        rows, columns, own = rows[~touches], columns[~touches], own[~touches]
    if len(rows):
        near = Surroundings(seeds).near(rows, columns, 2, 0)
        fit = fitted(levels[rows, columns], near, plain_ends(palette.levels))
        alone = fit.miss > MIXTURE_TOLERANCE
        seeds[rows[alone], columns[alone]] = own[alone]
    return Band(levels, seeds)


def _soft_band(levels: Levels, palette: FlatPalette) -> Band:
    """Pure pixels of a soft picture: nearly flat, and near to a paint."""
    calm = np.empty_like(levels)
    for channel in range(levels.shape[2]):
        calm[..., channel] = cv2.medianBlur(np.ascontiguousarray(levels[..., channel]), 3)
    flat = flat_spread(calm) <= NEARLY_FLAT
    seeds = np.where(flat, _exact_labels(colour_keys(calm), palette), NONE).astype(np.uint8)
    flat &= seeds == NONE
    label, distance = nearest(calm[flat], palette.levels)
    seeds[flat] = np.where(distance <= _SEED_DISTANCE, label, NONE)
    _without_stray_seeds(seeds, palette)
    return Band(calm, seeds)


def _without_stray_seeds(seeds: NDArray[np.uint8], palette: FlatPalette) -> None:
    """Take away, in place, a few pure pixels of a paint that may be the ringing of another."""
    paints = palette.levels.astype(np.float64)
    far = np.sqrt(((paints[:, None] - paints[None]) ** 2).sum(axis=2))
    np.fill_diagonal(far, np.inf)
    for paint in np.flatnonzero(far.min(axis=1) < _ALIKE).tolist():
        own = (seeds == paint).astype(np.uint8)
        count, group, stats, _ = cv2.connectedComponentsWithStats(own, connectivity=8)
        small = stats[:, cv2.CC_STAT_AREA] < STRAY
        small[0] = False
        if count > 1 and small.any():
            seeds[small[group]] = NONE


def pure_pixels(levels: Levels, palette: FlatPalette) -> Band:
    """Pixels of a band that are of one paint beyond doubt.

    Parameters
    ----------
    levels : ndarray of uint8, shape (h, w, c)
        The band. [-]
    palette : FlatPalette
        Paints of the whole picture.
    """
    return _soft_band(levels, palette) if palette.soft else _crisp_band(levels, palette)
