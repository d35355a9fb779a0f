"""Colours that paints have beside each other in a lossy picture.

JPEG rounds the mean of each block of 8 × 8 pixels by itself: over a flat place always the same way,
in the blocks along an edge one way as often as the other. So beside an edge a paint has, in the
mean, another colour than in flat places. The difference is a level or two; between paints that
are near in colour it would move the edge by several hundredths of a pixel, all along and always the
same way. Pixels that are exactly flat are left out: their block holds no edge.
"""

from __future__ import annotations

from functools import partial

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.flat_palette import FlatPalette
from giornata.core.artwork.raster_pairs import Ends, plain_ends
from giornata.core.artwork.raster_rows import Each, Rows, Tile, each_tile
from giornata.core.artwork.raster_seeds import HALO, NONE, Surroundings, pure_pixels
from giornata.core.artwork.raster_survey import colour_keys, flat_places

__all__ = ["ends_beside"]

_WITHIN, _BEYOND = 6, 2  # px from the other paint; its pure pixels begin some 2 px behind the edge
_MOST = 60_000  # px of a tile looked at
_REACH = 9  # px from an unsure pixel that are looked at
_ENOUGH = 400  # px
_FARTHEST = 3.0  # levels; more is no rounding


def _sums(tile: Tile, palette: FlatPalette) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Sum of levels and pixels of each paint beside each other one."""
    count, channels = palette.levels.shape
    total = np.zeros((count * count, channels))
    pixels = np.zeros(count * count, np.int64)
    band = pure_pixels(tile.levels, palette)
    down, right = tile.middle
    loose = np.flatnonzero((band.seeds == NONE)[tile.middle])
    if not len(loose):
        return total, pixels
    # Every pixel some way from an unsure one, by steps that reach all sides alike.
    width = right.stop - right.start
    steps = np.arange(-_REACH, _REACH + 1, 3)
    picked = loose[:: max(1, len(loose) * len(steps) ** 2 // _MOST)]
    rows, columns = np.divmod(picked, width)
    rows = (rows[:, None, None] + steps[:, None] + 0 * steps).ravel() + down.start
    columns = (columns[:, None, None] + 0 * steps[:, None] + steps).ravel() + right.start
    inside = (rows >= down.start) & (rows < down.stop)
    inside &= (columns >= right.start) & (columns < right.stop)
    rows, columns = rows[inside], columns[inside]
    rough = ~flat_places(colour_keys(tile.levels))[rows, columns]
    rows, columns = rows[rough], columns[rough]
    around = Surroundings(band.seeds)
    near = around.near(rows, columns, _BEYOND, 0)
    single = (near != 0) & (near & (near - np.uint64(1)) == 0)
    rows, columns, near = rows[single], columns[single], near[single]
    other = around.near(rows, columns, _WITHIN, _BEYOND) & ~near
    single = (other != 0) & (other & (other - np.uint64(1)) == 0)
    rows, columns, near, other = rows[single], columns[single], near[single], other[single]
    pair = _bit(near) * count + _bit(other)
    pixels += np.bincount(pair, minlength=len(pixels))
    for channel in range(channels):
        levels = band.levels[rows, columns, channel]
        total[:, channel] = np.bincount(pair, levels, len(pixels))
    return total, pixels


def _bit(single: NDArray[np.uint64]) -> NDArray[np.int64]:
    """Number of the one bit that is set."""
    return np.log2(single.astype(np.float64)).astype(np.int64)


def ends_beside(rows: Rows, palette: FlatPalette, *, each: Each) -> Ends:
    """Colour of each paint beside each other one, as far as the picture shows it.

    Parameters
    ----------
    rows : Rows
        The picture.
    palette : FlatPalette
        Its paints; only a soft one is looked into.
    each : callable
        How its tiles are gone through.
    """
    ends = plain_ends(palette.levels)
    if not palette.soft:
        return ends
    count, channels = palette.levels.shape
    total, pixels = np.zeros((count * count, channels)), np.zeros(count * count, np.int64)
    for part in each_tile(partial(_sums, palette=palette), rows, each=each, halo=HALO):
        total += part[0]
        pixels += part[1]
    known = (pixels >= _ENOUGH).reshape(count, count)
    mean = (total / np.maximum(pixels, 1)[:, None]).reshape(count, count, channels)
    shift = np.clip(mean - ends, -_FARTHEST, _FARTHEST)
    ends[known] += shift[known]
    return ends
