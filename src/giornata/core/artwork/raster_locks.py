"""Colours that the painter holds fast: never merged with others, and looked for in thin lines."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.flat_palette import FlatPalette
from giornata.core.artwork.raster_rows import Levels

__all__ = ["with_locked"]

_CRISP_SAME, _SOFT_SAME = 1, 3  # levels by which one colour may differ from what was written down


def with_locked(palette: FlatPalette, locked: Levels) -> tuple[FlatPalette, NDArray[np.int64]]:
    """A palette that holds all locked colours, and which of its colours each of them is.

    Parameters
    ----------
    palette : FlatPalette
        As found in the picture.
    locked : ndarray of uint8, shape (n, c)
        Colours as they would be in the picture. [-]

    Raises
    ------
    ValueError
        If they have other channels than the palette.

    Notes
    -----
    A locked colour is the colour found that is within a level of it (three in a lossy picture) and
    that is no other locked colour's. Where there is none, or the picture holds it but it was taken
    for the drift of another, it becomes a paint of its own, so that thin lines in it are found.
    """
    if locked.shape[1:] != palette.levels.shape[1:]:
        raise ValueError("locked colours have the channels of the picture")
    levels, pixels = palette.levels, palette.pixels
    same = _SOFT_SAME if palette.soft else _CRISP_SAME
    places: list[int] = []
    own = {tuple(level) for level in palette.merged.tolist()}
    for colour in locked:
        apart = np.abs(levels.astype(np.int16) - colour).max(axis=1)
        apart[places] = 256
        best = int(np.argmin(apart))
        if apart[best] > same or (apart[best] > 0 and tuple(colour.tolist()) in own):
            best = len(levels)
            levels = np.concatenate([levels, colour[None]])
            pixels = np.append(pixels, 0)
        places.append(best)
    merged = palette.merged
    if len(merged):
        merged = merged[(merged[:, None] != levels).any(axis=2).all(axis=1)]
    held = replace(palette, levels=levels, pixels=pixels, merged=merged)
    return held, np.array(places, dtype=np.int64)
