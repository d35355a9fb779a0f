"""A flat picture traced tile by tile: areas by paint, and outlines without a cut between tiles."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.flat_palette import FlatPalette
from giornata.core.artwork.raster_ends import ends_beside
from giornata.core.artwork.raster_light import blended_in_light
from giornata.core.artwork.raster_mixture import MixtureSum, mixed_tile, mixture_halo
from giornata.core.artwork.raster_outlines import Outlines, outlines
from giornata.core.artwork.raster_pairs import Ends, brightness_apart
from giornata.core.artwork.raster_rows import (
    TILE_PIXELS,
    Each,
    Levels,
    Rows,
    Tile,
    as_rows,
    each_tile,
    in_turn,
)
from giornata.core.artwork.raster_sides import SIDE_HALO, Edges, edges

__all__ = ["MOST_SIDES", "TooFine", "Traced", "traced"]

MOST_SIDES = 16_000_000  # pixel sides at which paints meet; each takes some 150 bytes


class TooFine(Exception):
    """So much edge that its outlines would take too much memory."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Traced:
    """A picture of flat paint.

    Parameters
    ----------
    total : MixtureSum
        What its pixels come to.
    edges : Edges
        Where paints meet.
    apart : ndarray of float, shape (k, k), or None
        Difference in brightness of each two paints of a lossy picture; None of another. [-]
    """

    total: MixtureSum
    edges: Edges
    apart: NDArray[np.float64] | None

    def outlines(self, *, tolerance: float = 0.25) -> Outlines:
        """Outlines of its regions; see ``raster_outlines.outlines``."""
        return outlines(self.edges, self.total.areas, tolerance=tolerance, apart=self.apart)


def _traced_tile(
    tile: Tile, palette: FlatPalette, ends: Ends, *, light: bool, height: int, width: int
) -> tuple[MixtureSum, Edges]:
    mix = mixed_tile(tile, palette, ends, light=light, height=height, width=width)
    return mix.total, edges(mix, tile)


def traced(
    picture: Levels | Rows,
    palette: FlatPalette,
    *,
    each: Each = in_turn,
    tile_pixels: int = TILE_PIXELS,
    most_sides: int = MOST_SIDES,
) -> Traced:
    """Paints of all pixels of a flat picture, and where they meet.

    Parameters
    ----------
    picture : Rows, or ndarray of uint8, shape (h, w, c)
        The picture the palette was found in. [-]
    palette : FlatPalette
        Its paints.
    each : callable
        How its tiles are gone through.
    tile_pixels : int
        Size of a tile, about; 1 or more. [px]
    most_sides : int
        Pixel sides between unlike paints that are kept; 1 or more. [-]

    Raises
    ------
    ValueError
        If picture and palette differ in channels.
    TooFine
        If there are more such sides.

    Notes
    -----
    A tile is worked out with as much of its surroundings as bears on it, so that it comes out as
    it would in the whole; what meets at its border is counted with the tile below or right of it.
    A pixel is explained by two paints only; where three meet, the two that fit best are taken.
    """
    rows = as_rows(picture)
    if rows.channels != palette.levels.shape[1]:
        raise ValueError("picture and palette have the same channels")
    work = partial(
        _traced_tile,
        palette=palette,
        ends=ends_beside(rows, palette, each=each),
        light=blended_in_light(rows, palette, each=each),
        height=rows.height,
        width=rows.width,
    )
    halo = mixture_halo(palette) + SIDE_HALO
    sums: list[MixtureSum] = []
    parts: list[Edges] = []
    sides = 0
    for total, part in each_tile(work, rows, each=each, halo=halo, pixels=tile_pixels):
        sums.append(total)
        parts.append(part)
        sides += len(part.across.pixel) + len(part.down.pixel)
        if sides > most_sides:
            raise TooFine(f"more than {most_sides} pixel sides between paints")
    return Traced(
        total=MixtureSum.of(sums),
        edges=Edges.of(parts),
        apart=brightness_apart(palette.levels) if palette.soft else None,
    )
