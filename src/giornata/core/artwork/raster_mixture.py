"""Each pixel of a flat picture as one paint, or as a mixture of two paints that meet there.

An antialiased pixel shows how much of it each of two neighbouring paints covers. Read so, it
belongs to no third colour, and areas are those of the shapes that were drawn.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.flat_palette import FlatPalette, Levels, bands
from giornata.core.artwork.raster_light import blended_in_light
from giornata.core.artwork.raster_pairs import Colours, PairFit, fitted, thin_fitted
from giornata.core.artwork.raster_seeds import HALO, NONE, Band, Surroundings, pure_pixels
from giornata.core.artwork.raster_specks import without_specks
from giornata.core.artwork.raster_tone import LIGHT_STRETCH, in_light

__all__ = ["Mixture", "mixture"]

_CRISP_REACH = ((1, 4.0), (2, 6.0), (4, 12.0), (8, 12.0))  # px, levels that content us there
_SOFT_REACH = ((4, 14.0), (8, 40.0))  # JPEG at quality 60 and above measured under 14
_SOFT_THIN = 0.33  # a thin line of a soft picture must explain it so much better
_SOFT_SNAP = 0.06  # share; ringing next to an edge is no mixture
_CRISP_SPECK, _SOFT_SPECK = 4, 16  # px; smaller groups without a pure pixel are no shapes
_CRISP_FAR, _SOFT_FAR = 24.0, 40.0  # levels; a pixel further from every mixture is unexplained


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
        Share of ``paint`` in 255ths, 127 to 255. [1/255]
    light : bool
        True where shares are of light, as some programs blend, and not of coded levels.
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
    light: bool
    mixed: int
    areas: NDArray[np.float64]
    unexplained: NDArray[np.int64]

    def __post_init__(self) -> None:
        if not self.paint.shape == self.other.shape == self.share.shape:
            raise ValueError("paint, other and share are of one shape")
        for array in (self.paint, self.other, self.share, self.areas, self.unexplained):
            array.setflags(write=False)


def _fit(
    band: Band,
    rows: NDArray[np.int64],
    columns: NDArray[np.int64],
    palette: FlatPalette,
    *,
    light: bool,
) -> PairFit:
    """Mixture of two paints near each pixel, looked for further and further away."""
    colours: Colours = band.levels[rows, columns]
    paints: Colours = palette.levels
    stretch = 1.0
    if light:
        colours, paints = in_light(band.levels[rows, columns]), in_light(palette.levels)
        stretch = LIGHT_STRETCH
    around = Surroundings(band.seeds)
    result = PairFit.unknown(len(rows))
    left = np.arange(len(rows))
    near = np.zeros(len(rows), np.uint64)
    beyond = 0
    for reach, content in _SOFT_REACH if palette.soft else _CRISP_REACH:
        near[left] |= around.near(rows[left], columns[left], reach, beyond)
        beyond = reach
        result.improve(left, fitted(colours[left], near[left], paints))
        left = left[result.miss[left] > content * stretch]
        if not len(left):
            break
    if len(left):
        thin = thin_fitted(colours[left], near[left], paints)
        if palette.soft:
            thin.share[:] = 1.0
            thin.miss[thin.miss > _SOFT_THIN * result.miss[left]] = np.inf
        result.improve(left, thin)
        result.miss[left[near[left] == 0]] = np.inf  # no edge is so wide, and no line so thin
    if palette.soft:
        result.share[result.share > 1.0 - _SOFT_SNAP] = 1.0
    result.miss /= stretch
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
    light = blended_in_light(levels, palette)
    far = _SOFT_FAR if palette.soft else _CRISP_FAR
    mixed: list[NDArray[np.int64]] = []
    lost: list[NDArray[np.int64]] = []
    for top, end, above, below in bands(height, width, halo=HALO):
        band = pure_pixels(levels[above:below], palette)
        middle = band.seeds[top - above : end - above]
        paint[top:end] = middle
        other[top:end] = middle
        rows, columns = np.nonzero(middle == NONE)
        if len(rows):
            fit = _fit(band, rows + (top - above), columns, palette, light=light)
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
        light=light,
        mixed=len(places),
        areas=pure + first + second,
        unexplained=np.concatenate(lost) if lost else np.empty(0, np.int64),
    )
