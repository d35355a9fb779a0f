"""Which colours a picture has: in flat places, and outside them."""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.raster_rows import Each, Levels, Rows, Tile, each_tile

__all__ = [
    "NEARLY_FLAT",
    "Survey",
    "Tally",
    "colour_keys",
    "flat_places",
    "flat_spread",
    "surveyed",
    "unpacked",
]

NEARLY_FLAT = 8  # levels between the darkest and the lightest of 3 × 3
DISTINCT_LIMIT = 300_000
_HALO = 2  # px
_FLAT, _DEEP, _OUTSIDE = 1, 2, 128  # how deep in flat colour a pixel lies; outside of the tile
_SPARSE = 0.15  # share of pixels up to which picking them out is quicker than going through all

Flags = NDArray[np.bool_]
Keys = NDArray[np.uint32]
Places = NDArray[np.int64]


def colour_keys(levels: Levels) -> Keys:
    """Each pixel's levels packed into one number.

    Parameters
    ----------
    levels : ndarray of uint8, shape (..., c)
        One to four channels. [-]
    """
    if levels.ndim == 3 and levels.shape[-1] == 3 and levels.size:
        wide = cv2.cvtColor(levels, cv2.COLOR_RGB2RGBA)
    else:
        wide = np.full((*levels.shape[:-1], 4), 255, np.uint8)
        wide[..., : levels.shape[-1]] = levels
    return np.asarray(wide.view("<u4")[..., 0], dtype=np.uint32)


def unpacked(keys: Keys, channels: int) -> Levels:
    """Levels of packed colours, shape (n, c). [-]

    Parameters
    ----------
    keys : ndarray of uint32, shape (n,)
        As ``colour_keys`` packs them. [-]
    channels : int
        One to four. [-]
    """
    shifts = np.arange(channels, dtype=np.uint32) * np.uint32(8)
    return ((keys[:, None] >> shifts) & np.uint32(255)).astype(np.uint8)


def flat_places(keys: Keys) -> Flags:
    """Pixels whose 3 × 3 neighbourhood holds one colour.

    Parameters
    ----------
    keys : ndarray of uint32, shape (h, w)
        Packed colours; at the border only the pixels that exist count. [-]
    """
    # All in long rows: the last pixel of a row and the first of the next count as alike.
    long = np.ascontiguousarray(keys).ravel()
    alike = np.empty(long.size, bool)
    np.equal(long[1:], long[:-1], out=alike[:-1])
    alike[keys.shape[1] - 1 :: keys.shape[1]] = True
    both = alike.copy()
    both[1:] &= alike[:-1]
    level = both.reshape(keys.shape)
    upright = keys[1:] == keys[:-1]
    flat = level.copy()
    flat[1:] &= upright
    flat[1:] &= level[:-1]
    flat[:-1] &= upright
    flat[:-1] &= level[1:]
    return flat


def flat_spread(levels: Levels) -> Levels:
    """Largest difference within 3 × 3 pixels, over all channels. [levels]

    Parameters
    ----------
    levels : ndarray of uint8, shape (h, w, c)
        One to four channels; at the border only the pixels that exist count. [-]
    """
    square = np.ones((3, 3), np.uint8)
    spread = np.zeros(levels.shape[:2], np.uint8)
    for channel in range(levels.shape[2]):
        one = np.ascontiguousarray(levels[..., channel])
        np.maximum(spread, cv2.dilate(one, square) - cv2.erode(one, square), out=spread)
    return spread


def _spread_at(keys: Keys, rows: Places, columns: Places) -> NDArray[np.uint8]:
    """The same of some pixels only, of packed colours."""
    height, width = keys.shape
    colours = keys.ravel()
    low = colours[rows * width + columns].view(np.uint8)
    high = low.copy()
    for dy in (-1, 0, 1):
        row = np.clip(rows + dy, 0, height - 1) * width
        for dx in (-1, 0, 1):
            if dy or dx:
                there = colours[row + np.clip(columns + dx, 0, width - 1)].view(np.uint8)
                np.minimum(low, there, out=low)
                np.maximum(high, there, out=high)
    return np.asarray((high - low).reshape(-1, 4).max(axis=1, initial=0), dtype=np.uint8)


def _counted(keys: Keys, pixels: Places) -> tuple[Keys, Places]:
    """Each colour once, with its pixels."""
    found, place = np.unique(keys, return_inverse=True)
    return found, np.bincount(place, pixels, len(found)).astype(np.int64)


class Tally:
    """Running count of packed colours."""

    def __init__(self) -> None:
        self.keys: Keys = np.empty(0, np.uint32)
        self.pixels: Places = np.empty(0, np.int64)

    def add(self, keys: Keys, pixels: Places) -> None:
        """Count colours, of so many pixels each."""
        self.keys, self.pixels = _counted(
            np.concatenate([self.keys, keys]), np.concatenate([self.pixels, pixels])
        )

    def by_count(self) -> tuple[Keys, Places]:
        """Colours and pixels, the most common first."""
        order = np.lexsort((self.keys, -self.pixels))
        return self.keys[order], self.pixels[order]


@dataclass(slots=True)
class Survey:
    """Colours of a picture.

    Parameters
    ----------
    flat, deep : Tally
        Pixels whose 3 × 3 and whose 5 × 5 neighbourhood holds one colour.
    rest : Tally
        Pixels that are not flat; left off where they have very many colours.
    flat_pixels, near_pixels, pixels : int
        Flat pixels, pixels that are nearly flat, all pixels. [px]
    rest_counted : bool
        Whether ``rest`` is whole.
    """

    flat: Tally = field(default_factory=Tally)
    deep: Tally = field(default_factory=Tally)
    rest: Tally = field(default_factory=Tally)
    flat_pixels: int = 0
    near_pixels: int = 0
    pixels: int = 0
    rest_counted: bool = True

    def add(self, part: Survey) -> None:
        """Count a part of the picture."""
        self.flat.add(part.flat.keys, part.flat.pixels)
        self.deep.add(part.deep.keys, part.deep.pixels)
        if self.rest_counted:
            self.rest.add(part.rest.keys, part.rest.pixels)
            self.rest_counted = part.rest_counted and len(self.rest.keys) < DISTINCT_LIMIT
        self.flat_pixels += part.flat_pixels
        self.near_pixels += part.near_pixels
        self.pixels += part.pixels


def _survey(tile: Tile) -> Survey:
    levels, middle = tile.levels, tile.middle
    all_keys = colour_keys(levels)
    flat = flat_places(all_keys).view(np.uint8)
    depth = np.full(flat.shape, _OUTSIDE, np.uint8)
    depth[middle] = (flat + cv2.erode(flat, np.ones((3, 3), np.uint8)))[middle]
    inner = depth[middle]
    keys, long = all_keys.ravel(), depth.ravel()
    change = np.ones(keys.size, bool)
    np.not_equal(keys[1:], keys[:-1], out=change[1:])
    change[1:] |= long[1:] != long[:-1]
    first = np.flatnonzero(change)
    run = np.diff(first, append=keys.size)
    colour, deep = keys[first], long[first]
    seen = Survey(pixels=inner.size)
    flat_run = (deep == _FLAT) | (deep == _DEEP)
    for tally, kept in ((seen.flat, flat_run), (seen.deep, deep == _DEEP), (seen.rest, deep == 0)):
        tally.add(colour[kept], run[kept])
    seen.flat_pixels = int(seen.flat.pixels.sum())
    if seen.pixels - seen.flat_pixels <= _SPARSE * seen.pixels:
        rows, columns = np.divmod(np.flatnonzero(inner == 0), inner.shape[1])
        spread = _spread_at(all_keys, rows + middle[0].start, columns + middle[1].start)
    else:
        spread = flat_spread(levels)[middle]
    seen.near_pixels = int(np.count_nonzero((spread > 0) & (spread <= NEARLY_FLAT)))
    return seen


def surveyed(rows: Rows, *, each: Each) -> Survey:
    """Colours of a picture.

    Parameters
    ----------
    rows : Rows
        The picture.
    each : callable
        How tiles are gone through.
    """
    seen = Survey()
    for part in each_tile(_survey, rows, each=each, halo=_HALO):
        seen.add(part)
    return seen
