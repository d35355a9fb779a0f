"""Whether the edges of a picture were blended in light or in coded levels.

Most programs blend the coded levels of sRGB; some turn them into light first. Read in the wrong
way, a light paint seems to reach too far over each edge: by 0.16 px between black and white.
"""

from __future__ import annotations

from functools import partial

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.flat_palette import FlatPalette
from giornata.core.artwork.raster_rows import Each, Rows, Tile, each_tile
from giornata.core.artwork.raster_seeds import HALO, NONE, Surroundings, pure_pixels
from giornata.core.artwork.raster_tone import coded, in_light

__all__ = ["blended_in_light"]

_ENOUGH, _LEAST = 40_000, 300  # px looked at
_LEAST_VALUES = 40  # different shares; straight upright edges alone have few
_LEAST_SHIFT = 0.03  # mean shift of the share that blending in light would make
_DECISIVE = 0.6  # of that shift
_STEPS = 33


def _along(
    colours: NDArray[np.float64], dark: NDArray[np.float64], bright: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Share of the bright paint, by coded levels."""
    step = bright - dark
    return np.asarray((colours - dark) @ step / max(float(step @ step), 1.0))


def _bends(tile: Tile, palette: FlatPalette) -> tuple[float, float, int, set[int]]:
    """Shift of the shares in a tile, the shift that light would make, pixels, different shares."""
    paints = palette.levels.astype(np.float64)
    order = np.argsort(in_light(palette.levels).sum(axis=1), kind="stable")
    rank = np.empty(len(order), np.int64)
    rank[order] = np.arange(len(order))
    light = in_light(palette.levels).astype(np.float64)
    part = np.linspace(0, 1, _STEPS)[:, None]
    shift, expected, count = 0.0, 0.0, 0
    values: set[int] = set()
    band = pure_pixels(tile.levels, palette)
    middle = tile.middle
    rows, columns = np.nonzero(band.seeds[middle] == NONE)
    rows += middle[0].start
    columns += middle[1].start
    near = Surroundings(band.seeds).near(rows, columns, 4 if palette.soft else 1, 0)
    for bits in np.unique(near).tolist():
        if int(bits).bit_count() != 2:
            continue
        pair = [at for at in range(len(paints)) if bits >> at & 1]
        dark, bright = sorted(pair, key=lambda at: int(rank[at]))
        at = np.flatnonzero(near == bits)
        colours = band.levels[rows[at], columns[at]].astype(np.float64)
        share = _along(colours, paints[dark], paints[bright])
        within = share[(share > 0.02) & (share < 0.98)]
        curve = coded(light[dark] + part * (light[bright] - light[dark]))
        bend = float(_along(curve, paints[dark], paints[bright]).mean()) - 0.5
        shift += float((within - 0.5).sum()) * bend
        expected += bend * bend * len(within)
        count += len(within)
        values.update(np.rint(255 * within).astype(int).tolist())
    return shift, expected, count, values


def blended_in_light(rows: Rows, palette: FlatPalette, *, each: Each) -> bool:
    """Whether the shares at edges average one half only if they are shares of light.

    Parameters
    ----------
    rows : Rows
        The picture.
    palette : FlatPalette
        Its paints.
    each : callable
        How its tiles are gone through.

    Notes
    -----
    Where an edge runs through pixels at all angles, each share is as likely as any other, so the
    mean share of either paint is one half. A picture with too few such pixels, with upright
    edges only, or in other than one or three channels is taken as blended in coded levels.
    """
    if palette.hard or rows.channels not in (1, 3) or len(palette.levels) < 2:
        return False
    shift, expected, count = 0.0, 0.0, 0
    values: set[int] = set()
    for part in each_tile(partial(_bends, palette=palette), rows, each=each, halo=HALO):
        shift += part[0]
        expected += part[1]
        count += part[2]
        values |= part[3]
        if count >= _ENOUGH:
            break
    if count < _LEAST or len(values) < _LEAST_VALUES:
        return False
    return expected / count > _LEAST_SHIFT**2 and shift / expected > _DECISIVE
