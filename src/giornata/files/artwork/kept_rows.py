"""Strips of a picture kept as runs of one colour, so that they are decoded only once."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from giornata.core.artwork import Levels

__all__ = ["kept"]

_MOST_BYTES = 96 * 2**20
_RUN_BYTES = 8


@dataclass(slots=True)
class _Runs:
    colour: NDArray[np.uint32]
    length: NDArray[np.int32]
    rows: int


def _runs(strip: Levels) -> _Runs:
    if strip.shape[2] == 3:
        wide = cv2.cvtColor(strip, cv2.COLOR_RGB2RGBA)
    else:
        wide = np.zeros((*strip.shape[:2], 4), np.uint8)
        wide[..., : strip.shape[2]] = strip
    keys = wide.view(np.uint32).ravel()
    first = np.concatenate([[0], np.flatnonzero(keys[1:] != keys[:-1]) + 1])
    length = np.diff(first, append=keys.size).astype(np.int32)
    return _Runs(keys[first], length, len(strip))


def _strip(runs: _Runs, channels: int) -> Levels:
    wide = np.repeat(runs.colour, runs.length).view(np.uint8).reshape(runs.rows, -1, 4)
    if channels == 3:
        return np.asarray(cv2.cvtColor(wide, cv2.COLOR_RGBA2RGB), dtype=np.uint8)
    return np.ascontiguousarray(wide[..., :channels])


def kept(
    strips: Callable[[], Iterator[Levels]], *, most: int = _MOST_BYTES
) -> Callable[[], Iterator[Levels]]:
    """The same strips; decoded once where the picture is flat enough to be kept as runs.

    Parameters
    ----------
    strips : callable
        Begins anew at the top each time.
    most : int
        Bytes that may be kept. [-]
    """
    store: list[_Runs] = []
    whole = False
    channels = 0

    def again() -> Iterator[Levels]:
        nonlocal whole, channels
        if whole:
            for runs in store:
                yield _strip(runs, channels)
            return
        store.clear()
        left = most
        for strip in strips():
            channels = strip.shape[2]
            if left >= 0:
                runs = _runs(strip)
                left -= _RUN_BYTES * len(runs.colour)
                store.append(runs)
                if left < 0:
                    store.clear()
            yield strip
        whole = left >= 0

    return again
