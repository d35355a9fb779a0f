"""A picture in strips of rows, and cut into tiles that overlap, so that none is held whole."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "TILE_PIXELS",
    "Each",
    "Levels",
    "PartOf",
    "Rows",
    "Tile",
    "as_rows",
    "each_tile",
    "in_turn",
    "tiles",
]

Levels = NDArray[np.uint8]
PartOf = Callable[[int, int, int, int], Levels]  # by top, end, left and right
_A = TypeVar("_A")
_B = TypeVar("_B")

_BAND_PIXELS = 40_000_000  # px held at once, 3 bytes each; narrow pictures take fewer
_DEEPEST = 40  # times the halo; what is deeper wastes hardly less, and is waited for longer
_LEAST_ROWS = 32
TILE_PIXELS = 1_500_000


class Each(Protocol):
    """How a function is applied to tiles: one after another, or on several processors."""

    def __call__(self, function: Callable[[_A], _B], over: Iterable[_A], /) -> Iterator[_B]:
        """Results in the order of ``over``."""
        ...


def in_turn(function: Callable[[_A], _B], over: Iterable[_A], /) -> Iterator[_B]:
    """Results one after another."""
    return map(function, over)


def _not_held() -> PartOf | None:
    return None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rows:
    """A picture that can be gone through from top to bottom, as often as wanted.

    Parameters
    ----------
    height, width : int
        Size; at least 1. [px]
    channels : int
        One to four channels that mix linearly (opacity premultiplied). [-]
    strips : callable
        Begins anew at the top and yields strips of some rows each, shape (rows, width, channels).
    held : callable
        What gives any part of the picture by its top, end, left and right, from several threads
        at once; None as long as it has to be gone through from the top. [px]
    """

    height: int
    width: int
    channels: int
    strips: Callable[[], Iterator[Levels]]
    held: Callable[[], PartOf | None] = _not_held

    def __post_init__(self) -> None:
        if min(self.height, self.width) < 1 or not 1 <= self.channels <= 4:
            raise ValueError("a picture has pixels, and one to four channels")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tile:
    """A part of a picture, with the pixels around it where the picture has them.

    Parameters
    ----------
    levels : ndarray of uint8, shape (h, w, c)
        The part with its surroundings. [-]
    row, column : int
        Where ``levels`` begins in the picture. [px]
    top, end, left, right : int
        The part itself, in the picture. [px]
    """

    levels: Levels
    row: int
    column: int
    top: int
    end: int
    left: int
    right: int

    @property
    def middle(self) -> tuple[slice, slice]:
        """The part itself within ``levels``."""
        return (
            slice(self.top - self.row, self.end - self.row),
            slice(self.left - self.column, self.right - self.column),
        )


def as_rows(picture: Levels | Rows) -> Rows:
    """A picture to go through; one that is held whole is one strip.

    Parameters
    ----------
    picture : Rows, or ndarray of uint8, shape (h, w, c)
        One to four channels. [-]

    Raises
    ------
    ValueError
        If the picture has no pixel, or not one to four channels.
    """
    if isinstance(picture, Rows):
        return picture
    if picture.ndim != 3:
        raise ValueError("a picture has pixels, and one to four channels")
    height, width, channels = picture.shape
    return Rows(height=height, width=width, channels=channels, strips=lambda: iter((picture,)))


def _spans(whole: int, part: int) -> list[tuple[int, int]]:
    """A length cut into equal spans of about ``part``."""
    count = max(1, round(whole / part))
    cuts = [whole * at // count for at in range(count + 1)]
    return list(pairwise(cuts))


def tiles(
    rows: Rows, *, halo: int, pixels: int = TILE_PIXELS, most: int = _BAND_PIXELS
) -> Iterator[Tile]:
    """Tiles of a picture, from left to right and from top to bottom.

    Parameters
    ----------
    rows : Rows
        The picture.
    halo : int
        Pixels around each tile; 0 or more. [px]
    pixels : int
        Size of a tile without its halo, about; at least 1. [px]
    most : int
        Pixels of the picture that may be held at once, about; at least 1. [px]
    """
    side = min(rows.height, max(_LEAST_ROWS, round(pixels**0.5)))
    deepest = min(most // rows.width - 2 * halo, max(1, halo) * _DEEPEST)
    deep = min(side, max(_LEAST_ROWS, deepest))
    columns = _spans(rows.width, max(_LEAST_ROWS, pixels // deep))
    held: deque[tuple[int, Levels]] = deque()
    source, reached = rows.strips(), 0
    for top, end in _spans(rows.height, deep):
        above, below = max(0, top - halo), min(rows.height, end + halo)
        while reached < below:
            strip = next(source)
            held.append((reached, strip))
            reached += len(strip)
        while held and held[0][0] + len(held[0][1]) <= above:
            held.popleft()
        for left, right in columns:
            before, after = max(0, left - halo), min(rows.width, right + halo)
            parts = [
                strip[max(0, above - at) : below - at, before:after]
                for at, strip in held
                if at < below
            ]
            whole = parts[0] if len(parts) == 1 else np.concatenate(parts)
            yield Tile(
                levels=np.ascontiguousarray(whole),
                row=above,
                column=before,
                top=top,
                end=end,
                left=left,
                right=right,
            )
    held.clear()
    deque(source, maxlen=0)  # to its end, so that it knows that it was gone through whole


def _parts(rows: Rows, pixels: int) -> Iterator[tuple[int, int, int, int]]:
    """Top, end, left and right of tiles that are about square."""
    side = max(_LEAST_ROWS, round(pixels**0.5))
    for top, end in _spans(rows.height, side):
        wide = max(_LEAST_ROWS, pixels // (end - top))
        for left, right in _spans(rows.width, wide):
            yield top, end, left, right


def each_tile(
    function: Callable[[Tile], _B], rows: Rows, *, each: Each, halo: int, pixels: int = TILE_PIXELS
) -> Iterator[_B]:
    """Results for all tiles of a picture, from left to right and from top to bottom.

    Parameters
    ----------
    function : callable
        What is done with a tile.
    rows : Rows
        The picture.
    each : callable
        How its tiles are gone through.
    halo : int
        Pixels around each tile; 0 or more. [px]
    pixels : int
        Size of a tile without its halo, about; at least 1. [px]

    Notes
    -----
    Of a picture that is held, tiles are cut where they are worked on, and may be square however
    wide it is, so that less is gone through twice.
    """
    part_of = rows.held()
    if part_of is None:
        return each(function, tiles(rows, halo=halo, pixels=pixels))

    def cut(place: tuple[int, int, int, int]) -> _B:
        top, end, left, right = place
        row, column = max(0, top - halo), max(0, left - halo)
        below, after = min(rows.height, end + halo), min(rows.width, right + halo)
        levels = part_of(row, below, column, after)
        return function(
            Tile(levels=levels, row=row, column=column, top=top, end=end, left=left, right=right)
        )

    return each(cut, _parts(rows, pixels))
