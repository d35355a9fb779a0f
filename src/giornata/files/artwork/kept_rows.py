"""Strips of a picture kept as runs of one colour, so that they are decoded only once."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import dataclass

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
    """A strip as runs, from one row on into the next."""

    colour: NDArray[np.uint32]
    first: NDArray[np.int32]
    rows: int
    width: int

    def levels(self, channels: int) -> Levels:
        """All of the strip."""
        length = np.diff(self.first, append=np.int32(self.rows * self.width))
        return _levels(np.repeat(self.colour, length), self.rows, channels)

    def cut(self, top: int, end: int, left: int, right: int) -> NDArray[np.uint32]:
        """Colours of a part of it, one row after another."""
        start = np.arange(top, end) * self.width
        low = np.searchsorted(self.first, start + left, side="right") - 1
        count = np.searchsorted(self.first, start + right, side="left") - low
        here = np.cumsum(count) - count
        run = np.repeat(low - here, count) + np.arange(int(count.sum()))
        begin = np.maximum(self.first[run] - np.repeat(start + left, count), 0)
        begin += np.repeat(np.arange(end - top) * (right - left), count)
        length = np.diff(begin, append=(end - top) * (right - left))
        return np.repeat(self.colour[run], length)


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
        self._store: list[_Runs] = []
        self._top: list[int] = []
        self._channels = 0
        self._whole = False
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
        if self._whole:
            for runs in self._store:
                yield runs.levels(self._channels)
            return
        store: list[_Runs] = []
        top, tops = 0, []
        whole = True
        for strip, own in ahead(self._decoded(), _AHEAD):
            if own is None:
                store.clear()
                whole = False
            elif whole:
                store.append(own)
                tops.append(top)
            self._channels = strip.shape[2]
            top += len(strip)
            yield strip
        self._store, self._top = store, tops
        self._whole, self._too_rough = whole, not whole

    def held(self) -> PartOf | None:
        """What gives any part of the picture, once all of it is kept."""
        return self._part if self._whole else None

    def _part(self, top: int, end: int, left: int, right: int) -> Levels:
        at = bisect_right(self._top, top) - 1
        parts = []
        while at < len(self._top) and self._top[at] < end:
            runs, begin = self._store[at], self._top[at]
            upper, lower = max(top - begin, 0), min(end - begin, runs.rows)
            parts.append(runs.cut(upper, lower, left, right))
            at += 1
        return _levels(np.concatenate(parts), end - top, self._channels)
