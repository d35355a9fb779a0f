"""Strips of a picture kept as runs of one colour, so that they are decoded only once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork import Levels, PartOf
from giornata.files.artwork.processors import ahead

__all__ = ["KeptRows"]

_MOST_BYTES = 96 * 2**20
_RUN_BYTES = 8
_AHEAD = 3  # strips decoded before they are wanted


@dataclass(frozen=True, slots=True)
class _Runs:
    """Rows as runs of one colour, from one row on into the next."""

    colour: NDArray[np.uint32]
    first: NDArray[np.int32]
    rows: int
    width: int

    def cut(self, top: int, end: int, left: int, right: int) -> NDArray[np.uint32]:
        """Colours of a part of it, one row after another."""
        start = np.arange(top, end, dtype=np.int32) * np.int32(self.width)
        low = np.searchsorted(self.first, start + np.int32(left), side="right") - 1
        count = np.searchsorted(self.first, start + np.int32(right), side="left") - low
        here = np.cumsum(count) - count
        run = np.repeat(low - here, count) + np.arange(int(count.sum()))
        begin = np.maximum(self.first[run] - np.repeat(start + left, count), 0)
        begin += np.repeat(np.arange(end - top) * (right - left), count)
        length = np.diff(begin, append=(end - top) * (right - left))
        return np.repeat(self.colour[run], length)


def _joined(strips: Sequence[_Runs]) -> _Runs:
    """Strips that lie one below another as one."""
    width = strips[0].width
    tops = accumulate((one.rows for one in strips), initial=0)
    first = [one.first + np.int32(top * width) for one, top in zip(strips, tops, strict=False)]
    colour = np.concatenate([one.colour for one in strips])
    return _Runs(colour, np.concatenate(first), sum(one.rows for one in strips), width)


def _runs(strip: Levels) -> _Runs:
    if strip.shape[2] == 3:
        wide = cv2.cvtColor(strip, cv2.COLOR_RGB2RGBA)
    else:
        wide = np.zeros((*strip.shape[:2], 4), np.uint8)
        wide[..., : strip.shape[2]] = strip
    keys = wide.view(np.uint32).ravel()
    first = np.concatenate([[0], np.flatnonzero(keys[1:] != keys[:-1]) + 1]).astype(np.int32)
    return _Runs(keys[first], first, strip.shape[0], strip.shape[1])


def _levels(colours: NDArray[np.uint32], rows: int, channels: int) -> Levels:
    wide = colours.view(np.uint8).reshape(rows, -1, 4)
    if channels == 3:
        return np.asarray(cv2.cvtColor(wide, cv2.COLOR_RGBA2RGB), dtype=np.uint8)
    return np.ascontiguousarray(wide[..., :channels])


class KeptRows:
    """The same strips; decoded once where the picture is flat enough to be kept as runs.

    Parameters
    ----------
    strips : callable
        Begins anew at the top each time. What it yields is decoded in a thread of its own, some
        strips ahead.
    most : int
        Bytes that may be kept. [-]
    """

    def __init__(self, strips: Callable[[], Iterator[Levels]], *, most: int = _MOST_BYTES) -> None:
        self._source = strips
        self._most = most
        self._store: _Runs | None = None
        self._heights: list[int] = []
        self._channels = 0
        self._too_rough = False

    def _decoded(self) -> Iterator[tuple[Levels, _Runs | None]]:
        left = -1 if self._too_rough else self._most
        for strip in self._source():
            runs = None
            if left >= 0:
                runs = _runs(strip)
                left -= _RUN_BYTES * len(runs.colour)
            yield strip, runs if left >= 0 else None

    def strips(self) -> Iterator[Levels]:
        """Strips from the top."""
        if self._store is not None:
            for top, end in pairwise(accumulate(self._heights, initial=0)):
                yield self._part(top, end, 0, self._store.width)
            return
        kept: list[_Runs] = []
        heights: list[int] = []
        for strip, own in ahead(self._decoded(), _AHEAD):
            if own is None:
                kept.clear()
                self._too_rough = True
            else:
                kept.append(own)
            heights.append(len(strip))
            self._channels = strip.shape[2]
            yield strip
        if kept:
            self._store, self._heights = _joined(kept), heights

    def held(self) -> PartOf | None:
        """What gives any part of the picture, once all of it is kept."""
        return None if self._store is None else self._part

    def _part(self, top: int, end: int, left: int, right: int) -> Levels:
        if self._store is None:
            raise RuntimeError("a part is asked for before the picture was gone through")
        return _levels(self._store.cut(top, end, left, right), end - top, self._channels)
