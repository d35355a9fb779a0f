"""Pixel sides at which two paints meet, and where between the two pixel centres they meet.

Along a row or column that crosses an edge, the shares of the pixels add up to the place of the
edge (the height function of volume-of-fluid methods): exact for a straight edge, whatever its
slope, as long as the run of mixed pixels ends in pure ones.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork.raster_mixture import Mixture
from giornata.core.artwork.raster_rows import Tile

__all__ = ["OUT", "SIDE_HALO", "Edges", "Meetings", "Sides", "edges"]

OUT = 254  # label of the frame of one pixel around the picture
_LONGEST_RUN = 4  # mixed pixels followed on either side of an edge
SIDE_HALO = _LONGEST_RUN + 3  # px around a tile that bear on the sides in it
_INSIDE = 0.499  # px; a crossing stays between the two pixel centres

Places = NDArray[np.int64]
Paints = NDArray[np.uint8]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Patch:
    """A tile's mixture, in a frame of one pixel that belongs to nothing at the picture's border.

    Parameters
    ----------
    paint, other, share : ndarray of uint8, shape (h, w)
        As in ``Mixture``; ``paint`` is OUT in the frame. [-]
    row, column : int
        Where it begins in the framed picture. [px]
    """

    paint: Paints
    other: Paints
    share: Paints
    row: int
    column: int


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
    before, after : ndarray of uint8, shape (n,)
        Paints left and right of it, or above and below; OUT beyond the picture. [-]
    """

    pixel: Places
    shift: NDArray[np.float64]
    hard: NDArray[np.bool_]
    before: Paints
    after: Paints


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Meetings:
    """Pixel corners around which not all paints are alike, in the order of the rows.

    Parameters
    ----------
    pixel : ndarray of int, shape (n,)
        Place in the framed picture of the pixel above left. [-]
    nw, ne, sw, se : ndarray of uint8, shape (n,)
        Paints around the corner. [-]
    falling : ndarray of int, shape (n,)
        Shares of the pixels above left and below right, less those of the other two. [1/255]
    """

    pixel: Places
    nw: Paints
    ne: Paints
    sw: Paints
    se: Paints
    falling: NDArray[np.int16]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Edges:
    """All places where paints meet, of a picture or of a tile.

    Parameters
    ----------
    across, down : Sides
        Sides between columns and between rows.
    meetings : Meetings
        Corners.
    stride : int
        Pixels in a row of the framed picture. [px]
    """

    across: Sides
    down: Sides
    meetings: Meetings
    stride: int

    @classmethod
    def of(cls, parts: list[Edges]) -> Edges:
        """Edges of all tiles of a picture as one."""
        return cls(
            across=_joined(Sides, [part.across for part in parts]),
            down=_joined(Sides, [part.down for part in parts]),
            meetings=_joined(Meetings, [part.meetings for part in parts]),
            stride=parts[0].stride,
        )


_Kind = TypeVar("_Kind", Sides, Meetings)


def _joined(kind: type[_Kind], parts: list[_Kind]) -> _Kind:
    """Records of one kind as one, in the order of the rows."""
    columns = {
        field.name: np.concatenate([getattr(part, field.name) for part in parts])
        for field in fields(kind)
    }
    order = np.argsort(columns["pixel"], kind="stable")
    return kind(**{name: column[order] for name, column in columns.items()})


def _patch(mix: Mixture, tile: Tile) -> _Patch:
    height, width = mix.total.height, mix.total.width
    low, high = tile.row + mix.paint.shape[0], tile.column + mix.paint.shape[1]
    border = (
        (int(tile.row == 0), int(low == height)),
        (int(tile.column == 0), int(high == width)),
    )
    paint, other, share = mix.paint, mix.other, mix.share
    if np.any(border):
        paint, other = (np.pad(at, border, constant_values=OUT) for at in (paint, other))
        share = np.pad(share, border, constant_values=255)
    return _Patch(
        paint=paint,
        other=other,
        share=share,
        row=tile.row + 1 - border[0][0],
        column=tile.column + 1 - border[1][0],
    )


class _Reader:
    """Shares of the two paints of a side in the pixels along its line."""

    def __init__(self, patch: _Patch, pixel: NDArray[np.int64], step: int) -> None:
        self.paint = patch.paint.ravel()
        self.other = patch.other.ravel()
        self.share = patch.share.ravel()
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


class _Window:
    """Pixels of a patch whose right, lower and lower right neighbours are looked at."""

    def __init__(self, patch: _Patch, tile: Tile, height: int, width: int) -> None:
        self.patch = patch
        self.stride = width + 2
        self.top, self.left = tile.top - patch.row, tile.left - patch.column
        self.end = tile.end + int(tile.end == height) - patch.row
        self.right = tile.right + int(tile.right == width) - patch.column

    def unlike(self, *, across: bool) -> NDArray[np.bool_]:
        """Whether each pixel and its right (or lower) neighbour differ, one row or column more."""
        paint = self.patch.paint
        if across:
            part = paint[self.top : self.end + 1, self.left : self.right + 1]
            return np.asarray(part[:, :-1] != part[:, 1:])
        part = paint[self.top : self.end + 1, self.left : self.right + 1]
        return np.asarray(part[:-1] != part[1:])

    def places(self, found: NDArray[np.bool_]) -> tuple[Places, Places]:
        """Places in the patch and in the framed picture."""
        found = np.ascontiguousarray(found[: self.end - self.top, : self.right - self.left])
        rows, columns = np.divmod(np.flatnonzero(found), found.shape[1])
        rows, columns = rows + self.top, columns + self.left
        local = rows * self.patch.paint.shape[1] + columns
        return local, (rows + self.patch.row) * self.stride + columns + self.patch.column


def _sides(window: _Window, found: NDArray[np.bool_], *, across: bool) -> Sides:
    local, pixel = window.places(found)
    patch = window.patch
    step = 1 if across else patch.paint.shape[1]
    shift, hard = _shifts(_Reader(patch, local, step))
    paint = patch.paint.ravel()
    return Sides(
        pixel=pixel, shift=shift, hard=hard, before=paint[local], after=paint[local + step]
    )


def edges(mix: Mixture, tile: Tile) -> Edges:
    """Where paints meet in a tile, and at its upper and left border.

    Parameters
    ----------
    mix : Mixture
        The tile's, right for SIDE_HALO pixels around it.
    tile : Tile
        The tile.
    """
    window = _Window(_patch(mix, tile), tile, mix.total.height, mix.total.width)
    across, down = window.unlike(across=True), window.unlike(across=False)
    local, pixel = window.places(across[:-1] | across[1:] | down[:, :-1] | down[:, 1:])
    row = window.patch.paint.shape[1]
    paint = window.patch.paint.ravel()
    share = window.patch.share.ravel()
    nw, ne, sw, se = (share[local + at].astype(np.int16) for at in (0, 1, row, row + 1))
    return Edges(
        across=_sides(window, across, across=True),
        down=_sides(window, down, across=False),
        meetings=Meetings(
            pixel=pixel,
            nw=paint[local],
            ne=paint[local + 1],
            sw=paint[local + row],
            se=paint[local + row + 1],
            falling=nw + se - ne - sw,
        ),
        stride=window.stride,
    )
