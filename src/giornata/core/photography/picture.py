"""The rectified picture: a stretch of wall at a stated scale, taken out of the photo."""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from giornata.core.foundation import Floats
from giornata.core.photography.wall_in_photo import NEAREST_HORIZON, WallInPhoto

__all__ = ["Stretch", "finest_scale", "rectified"]

_STRIP = 256  # rows worked on at a time, so that a wide picture needs little memory
_SHRUNK_FROM = 1.5  # photo pixels to one of the picture from which the photo is shrunk first

Levels = NDArray[np.uint8]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A rectangle of the wall.

    Parameters
    ----------
    start, end : float
        Chainages; it ends after it starts. [m]
    foot, head : float
        Levels; the head is above the foot. [m]
    """

    start: float
    end: float
    foot: float
    head: float

    def __post_init__(self) -> None:
        if not (self.end > self.start and self.head > self.foot):
            raise ValueError("a stretch ends after it starts, its head is above its foot")

    def pixels(self, scale: float) -> tuple[int, int]:
        """Columns and rows at a scale in px/m; at least one of each."""
        across, up = (self.end - self.start) * scale, (self.head - self.foot) * scale
        return max(round(across), 1), max(round(up), 1)


def finest_scale(view: WallInPhoto, stretch: Stretch) -> float:
    """Pixels of the photo to a metre of wall where the photo is finest in a stretch. [px/m]

    Parameters
    ----------
    view : WallInPhoto
        The wall in the photo.
    stretch : Stretch
        Looked at on a grid of nine places.
    """
    places = np.array(
        [
            (c, z)
            for c in np.linspace(stretch.start, stretch.end, 3)
            for z in np.linspace(stretch.foot, stretch.head, 3)
        ]
    )
    places = places[view.weights(places) > NEAREST_HORIZON]
    if not len(places):
        return 0.0
    by_wall, _ = view.slopes(places)
    return float(np.linalg.norm(by_wall, axis=(1, 2)).max()) / math.sqrt(2)


def rectified(
    pixels: Levels, view: WallInPhoto, stretch: Stretch, scale: float
) -> tuple[Levels, NDArray[np.bool_]]:
    """A stretch of wall square on, and where the photo shows it.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (h, w, 3)
        The upright photo.
    view : WallInPhoto
        The wall in it.
    stretch : Stretch
        What is wanted.
    scale : float
        Of the picture; above 0. [px/m]

    Returns
    -------
    picture : ndarray of uint8, shape (rows, columns, 3)
        Head up, start to the left; black where the photo does not reach.
    shown : ndarray of bool, shape (rows, columns)
        Where it does.

    Raises
    ------
    ValueError
        If the scale is not above 0.

    Notes
    -----
    Bicubic between the photo's pixels. Where the photo is finer than the picture it is shrunk
    first, each new pixel the mean of those it covers, so that fine texture does not turn into
    stripes.
    """
    if not scale > 0:
        raise ValueError("a scale is above 0 px/m")
    columns, rows = stretch.pixels(scale)
    high, wide = pixels.shape[:2]
    shrunk, factor = pixels, 1.0
    coarser = finest_scale(view, stretch) / scale
    if coarser > _SHRUNK_FROM:
        size = (max(round(wide / coarser), 1), max(round(high / coarser), 1))
        shrunk = np.asarray(cv2.resize(pixels, size, interpolation=cv2.INTER_AREA), np.uint8)
        factor = size[0] / wide
    along = stretch.start + (np.arange(columns) + 0.5) / scale
    picture = np.zeros((rows, columns, 3), np.uint8)
    shown = np.zeros((rows, columns), bool)
    for first in range(0, rows, _STRIP):
        last = min(first + _STRIP, rows)
        up = stretch.head - (np.arange(first, last) + 0.5) / scale
        places = np.stack(np.meshgrid(along, up), axis=-1).reshape(-1, 2)
        there = view.weights(places) > NEAREST_HORIZON
        at: Floats = np.full((len(places), 2), -1e6)
        at[there] = view.photo_from_wall(places[there])
        inside = (at[:, 0] >= 0) & (at[:, 0] <= wide) & (at[:, 1] >= 0) & (at[:, 1] <= high)
        # Sampling counts from the first pixel's middle, places from its outer corner.
        look = (np.clip(at, -1e6, 1e6) * factor - 0.5).astype(np.float32)
        look = look.reshape(last - first, columns, 2)
        part = cv2.remap(
            shrunk, look[..., 0], look[..., 1], cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE
        )
        shown[first:last] = inside.reshape(last - first, columns)
        picture[first:last] = np.where(shown[first:last, :, None], part, 0)
    return picture, shown
