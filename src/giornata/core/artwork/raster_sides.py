"""Pixel sides at which two paints meet, and where between the two pixel centres they meet.

Along a row or column that crosses an edge, the shares of the pixels add up to the place of the
edge (the height function of volume-of-fluid methods): exact for a straight edge, whatever its
slope, as long as the run of mixed pixels ends in pure ones.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.flat_palette import bands
from giornata.core.artwork.raster_mixture import Mixture

__all__ = ["OUT", "Framed", "Sides", "framed", "sides"]

OUT = 254  # label of the frame of one pixel around the picture
_LONGEST_RUN = 4  # mixed pixels followed on either side of an edge
_INSIDE = 0.499  # px; a crossing stays between the two pixel centres


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Framed:
    """A mixture with a frame of one pixel that belongs to nothing.

    Parameters
    ----------
    paint, other, share : ndarray of uint8, shape (h + 2, w + 2)
        As in ``Mixture``; ``paint`` is OUT in the frame. [-]
    """

    paint: NDArray[np.uint8]
    other: NDArray[np.uint8]
    share: NDArray[np.uint8]

    @property
    def stride(self) -> int:
        """Pixels in a row, frame included. [px]"""
        return int(self.paint.shape[1])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sides:
    """Pixel sides between unlike paints, in the order of the rows.

    Parameters
    ----------
    pixel : ndarray of int, shape (n,)
        Place in the framed picture of the pixel left of (or above) the side. [-]
    shift : ndarray of float, shape (n,)
        Crossing along the line of the two pixel centres, from the side towards the pixel right
        (or below); within half a pixel. [px]
    hard : ndarray of bool, shape (n,)
        True where both pixels are pure.
    """

    pixel: NDArray[np.int64]
    shift: NDArray[np.float64]
    hard: NDArray[np.bool_]


def framed(mix: Mixture) -> Framed:
    """A mixture with its frame."""
    height, width = mix.paint.shape
    paint = np.full((height + 2, width + 2), OUT, np.uint8)
    other = np.full((height + 2, width + 2), OUT, np.uint8)
    share = np.full((height + 2, width + 2), 255, np.uint8)
    paint[1:-1, 1:-1] = mix.paint
    other[1:-1, 1:-1] = mix.other
    share[1:-1, 1:-1] = mix.share
    return Framed(paint=paint, other=other, share=share)


def _unlike(picture: Framed, *, across: bool) -> NDArray[np.int64]:
    """Places of the pixels whose right (or lower) neighbour has another paint."""
    paint = picture.paint
    height, width = paint.shape
    found = []
    for top, end, _, _ in bands(height, width):
        part = paint[top : end if across else min(end + 1, height)]
        if across:
            rows, columns = np.nonzero(part[:, :-1] != part[:, 1:])
        else:
            rows, columns = np.nonzero(part[:-1] != part[1:])
        found.append((rows + top) * width + columns)
    return np.concatenate(found)


class _Reader:
    """Shares of the two paints of a side in the pixels along its line."""

    def __init__(self, picture: Framed, pixel: NDArray[np.int64], step: int) -> None:
        self.paint = picture.paint.ravel()
        self.other = picture.other.ravel()
        self.share = picture.share.ravel()
        self.step = step
        self.pixel = pixel
        self.last = self.paint.size - 1

    def place(self, along: int) -> NDArray[np.int64]:
        return np.clip(self.pixel + along * self.step, 0, self.last)

    def second_share(self, at: NDArray[np.int64], paint: NDArray[np.uint8]) -> NDArray[np.float64]:
        """Share of a paint where it is the second one. [-]"""
        return np.where(
            (self.other[at] == paint) & (self.paint[at] != paint),
            1.0 - self.share[at] / 255.0,
            0.0,
        )


def _run(
    reader: _Reader, own: NDArray[np.uint8], foreign: NDArray[np.uint8], away: int
) -> tuple[NDArray[np.float64], NDArray[np.bool_], NDArray[np.float64], NDArray[np.bool_]]:
    """Share of the foreign paint in the run of mixed pixels on the own paint's side.

    Returns the share in the pixel beside the edge, whether the own paint is one pixel wide there
    (the foreign paint lies behind it too), what of the foreign paint stands further on, and
    whether the run does not end.
    """
    first = 0 if away < 0 else 1
    beside = reader.second_share(reader.place(first), foreign)
    behind = reader.paint[reader.place(first + away)]
    thin = behind == foreign
    further = np.zeros(len(own))
    going = (beside > 0) & (behind == own)
    for count in range(1, _LONGEST_RUN + 1):
        at = reader.place(first + away * count)
        after = reader.paint[reader.place(first + away * (count + 1))]
        part = reader.second_share(at, foreign)
        going &= (part > 0) & (after != foreign)
        further += np.where(going, part, 0.0)
        going &= after == own
    return beside, thin, further, going


def _shifts(reader: _Reader) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    before, after = reader.paint[reader.place(0)], reader.paint[reader.place(1)]
    out = (before == OUT) | (after == OUT)
    left, left_thin, left_on, left_endless = _run(reader, before, after, -1)
    right, right_thin, right_on, right_endless = _run(reader, after, before, 1)
    left_far = np.where(left_thin, reader.second_share(reader.place(-1), before), 0.0)
    right_far = np.where(right_thin, reader.second_share(reader.place(2), after), 0.0)
    tiny = 1e-6
    # A paint one pixel wide: what is missing of it is missing on the side where it does not
    # reach over into the next pixel.
    left_part = np.where(left_thin, (left_far + tiny) / (left_far + right + 2 * tiny), 1.0)
    right_part = np.where(right_thin, (right_far + tiny) / (right_far + left + 2 * tiny), 1.0)
    summed = right * right_part + right_on - left * left_part - left_on
    slope = 1.0 - left - right
    level = 0.5 * (right - left) / np.maximum(slope, 1e-3)
    shift = np.where(left_endless | right_endless, level, summed)
    hard = (left == 0) & (right == 0)
    return np.where(out, 0.0, np.clip(shift, -_INSIDE, _INSIDE)), hard


def sides(picture: Framed, *, across: bool) -> Sides:
    """Pixel sides between unlike paints: between columns (``across``) or between rows.

    Parameters
    ----------
    picture : Framed
        The picture in its frame.
    across : bool
        True for sides between neighbours in a row, False for neighbours in a column.
    """
    pixel = _unlike(picture, across=across)
    reader = _Reader(picture, pixel, 1 if across else picture.stride)
    shift, hard = _shifts(reader)
    return Sides(pixel=pixel, shift=shift, hard=hard)
