"""Each pixel of a flat picture as one paint, or as a mixture of two paints that meet there.

An antialiased pixel shows how much of it each of two neighbouring paints covers. Read so, it
belongs to no third colour, and areas are those of the shapes that were drawn.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.flat_palette import FlatPalette
from giornata.core.artwork.raster_pairs import Colours, Ends, PairFit, fitted, thin_fitted
from giornata.core.artwork.raster_rows import Levels, Tile
from giornata.core.artwork.raster_seeds import HALO, NONE, Band, Surroundings, pure_pixels
from giornata.core.artwork.raster_specks import ROUNDS, without_specks
from giornata.core.artwork.raster_tone import LIGHT_STRETCH, in_light

__all__ = ["Mixture", "MixtureSum", "mixed_tile", "mixture_halo"]

_CRISP_REACH = ((1, 4.0), (2, 6.0), (4, 12.0), (8, 12.0))  # px, levels that content us there
_SOFT_REACH = ((4, 14.0), (8, 40.0))  # JPEG at quality 60 and above measured under 14
_SOFT_THIN = 0.33  # a thin line of a soft picture must explain it so much better
_SOFT_SNAP = 0.06  # share; ringing next to an edge is no mixture
_CRISP_SPECK, _SOFT_SPECK = 4, 16  # px; smaller groups without a pure pixel are no shapes
_CRISP_FAR, _SOFT_FAR = 24.0, 40.0  # levels; a pixel further from every mixture is unexplained


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MixtureSum:
    """What the pixels of a picture, or of a part of it, come to.

    Parameters
    ----------
    height, width : int
        Size of the picture. [px]
    light : bool
        True where shares are of light, as some programs blend, and not of coded levels.
    mixed : int
        Pixels that are not pure. [px]
    areas : ndarray of float, shape (k,)
        Area of each paint by its shares, specks as read; they add to the pixels. [px²]
    unexplained : ndarray of int, shape (n,)
        Places (row × width + column) of pixels that no two paints explain. [-]
    strange : ndarray of uint8, shape (n, c)
        Their levels. [-]
    """

    height: int
    width: int
    light: bool
    mixed: int
    areas: NDArray[np.float64]
    unexplained: NDArray[np.int64]
    strange: Levels

    def __post_init__(self) -> None:
        for array in (self.areas, self.unexplained, self.strange):
            array.setflags(write=False)

    @classmethod
    def of(cls, parts: Iterable[MixtureSum]) -> MixtureSum:
        """Sum of parts of one picture."""
        every = list(parts)
        places = np.concatenate([part.unexplained for part in every])
        order = np.argsort(places, kind="stable")
        return cls(
            height=every[0].height,
            width=every[0].width,
            light=every[0].light,
            mixed=sum(part.mixed for part in every),
            areas=np.sum([part.areas for part in every], axis=0),
            unexplained=places[order],
            strange=np.concatenate([part.strange for part in every])[order],
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Mixture:
    """Paints and shares of every pixel of a picture, or of a tile with its surroundings.

    Parameters
    ----------
    paint : ndarray of uint8, shape (h, w)
        Index of the paint that covers most of the pixel. [-]
    other : ndarray of uint8, shape (h, w)
        Index of the second paint; the same as ``paint`` where there is none. [-]
    share : ndarray of uint8, shape (h, w)
        Share of ``paint`` in 255ths, 127 to 255. [1/255]
    total : MixtureSum
        Sum over the pixels; of a tile, without its surroundings.
    """

    paint: NDArray[np.uint8]
    other: NDArray[np.uint8]
    share: NDArray[np.uint8]
    total: MixtureSum

    def __post_init__(self) -> None:
        if not self.paint.shape == self.other.shape == self.share.shape:
            raise ValueError("paint, other and share are of one shape")
        for array in (self.paint, self.other, self.share):
            array.setflags(write=False)


def _fit(
    band: Band,
    rows: NDArray[np.int64],
    columns: NDArray[np.int64],
    palette: FlatPalette,
    ends: Ends,
    *,
    light: bool,
) -> PairFit:
    """Mixture of two paints near each pixel, looked for further and further away."""
    colours: Colours = band.levels[rows, columns]
    stretch = 1.0
    if light:
        colours, ends = in_light(band.levels[rows, columns]), in_light(ends).astype(np.float64)
        stretch = LIGHT_STRETCH
    around = Surroundings(band.seeds)
    result = PairFit.unknown(len(rows))
    left = np.arange(len(rows))
    near = np.zeros(len(rows), np.uint64)
    beyond = 0
    for reach, content in _SOFT_REACH if palette.soft else _CRISP_REACH:
        near[left] |= around.near(rows[left], columns[left], reach, beyond)
        beyond = reach
        lossy = palette.soft and not light
        result.improve(left, fitted(colours[left], near[left], ends, lossy=lossy))
        left = left[result.miss[left] > content * stretch]
        if not len(left):
            break
    if len(left):
        thin = thin_fitted(colours[left], near[left], ends)
        if palette.soft:
            thin.share[:] = 1.0
            thin.miss[thin.miss > _SOFT_THIN * result.miss[left]] = np.inf
        result.improve(left, thin)
        result.miss[left[near[left] == 0]] = np.inf  # no edge is so wide, and no line so thin
    if palette.soft:
        result.share[result.share > 1.0 - _SOFT_SNAP] = 1.0
    result.miss /= stretch
    return result


def _counted(seeds: NDArray[np.uint8]) -> NDArray[np.float64]:
    """Pixels of each value, 0 to 255, of a picture that changes seldom along its rows."""
    flat = np.ascontiguousarray(seeds).ravel()
    first = np.concatenate([[0], np.flatnonzero(flat[1:] != flat[:-1]) + 1])
    return np.bincount(flat[first], np.diff(first, append=flat.size), 256).astype(np.float64)


def mixture_halo(palette: FlatPalette) -> int:
    """Pixels around a pixel that bear on its mixture. [px]"""
    return HALO + _least(palette) + ROUNDS + 1


def _least(palette: FlatPalette) -> int:
    return _SOFT_SPECK if palette.soft else _CRISP_SPECK


def mixed_tile(
    tile: Tile, palette: FlatPalette, ends: Ends, *, light: bool, height: int, width: int
) -> Mixture:
    """Paint, second paint and share of every pixel of a tile.

    Parameters
    ----------
    tile : Tile
        With ``mixture_halo`` pixels around those that are wanted.
    palette : FlatPalette
        Paints of the whole picture.
    ends : ndarray, shape (k, k, c)
        Levels of each paint beside each other one. [-]
    light : bool
        Whether edges were blended in light.
    height, width : int
        Size of the whole picture. [px]
    """
    band = pure_pixels(tile.levels, palette)
    paint = band.seeds.copy()
    flat = paint.ravel()
    places = np.flatnonzero(flat == NONE)
    rows, columns = np.divmod(places, paint.shape[1])
    other, share = paint.copy(), np.full(paint.shape, 255, np.uint8)
    down, right = tile.middle
    inside = (rows >= down.start) & (rows < down.stop)
    inside &= (columns >= right.start) & (columns < right.stop)
    areas = _counted(band.seeds[tile.middle])[: len(palette.levels)]
    lost = np.zeros(len(places), bool)
    if len(places):
        fit = _fit(band, rows, columns, palette, ends, light=light)
        flat[places] = fit.first
        other.ravel()[places] = np.where(fit.share < 1.0, fit.second, fit.first)
        parts = np.rint(255.0 * fit.share).astype(np.uint8)
        share.ravel()[places] = parts
        lost = inside & (fit.miss > (_SOFT_FAR if palette.soft else _CRISP_FAR))
        own = parts[inside] / 255.0
        areas += np.bincount(flat[places[inside]], own, len(areas))
        areas += np.bincount(other.ravel()[places[inside]], 1.0 - own, len(areas))
    without_specks(paint, other, share, places, least=_least(palette))
    total = MixtureSum(
        height=height,
        width=width,
        light=light,
        mixed=int(inside.sum()),
        areas=areas,
        unexplained=(rows[lost] + tile.row) * width + columns[lost] + tile.column,
        strange=tile.levels[rows[lost], columns[lost]],
    )
    return Mixture(paint=paint, other=other, share=share, total=total)
