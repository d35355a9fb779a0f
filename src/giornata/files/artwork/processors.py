"""Tiles of a picture gone through on several processors at once."""

from __future__ import annotations

import ctypes
import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TypeVar, cast

__all__ = ["ahead", "on_all_processors", "processors"]

_A = TypeVar("_A")
_B = TypeVar("_B")
_MOST = 4  # each holds tiles of its own; more would trade memory for little time


def processors() -> int:
    """Processors this process may use, as far as the system says."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def on_all_processors(function: Callable[[_A], _B], over: Iterable[_A], /) -> Iterator[_B]:
    """Results in the order of ``over``; only a few of its items are held at a time.

    The work is done in threads: it is all in libraries that let others run meanwhile.
    """
    workers = max(1, min(_MOST, processors()))
    waiting: deque[Future[_B]] = deque()
    with ThreadPoolExecutor(workers, thread_name_prefix="tiles") as pool:
        try:
            for item in over:
                waiting.append(pool.submit(function, item))
                del item
                while waiting and (len(waiting) > 2 * workers or waiting[0].done()):
                    yield waiting.popleft().result()
            while waiting:
                yield waiting.popleft().result()
        finally:
            for future in waiting:
                future.cancel()
    _give_back()


def _give_back() -> None:
    """Memory that threads have done with given back, where the system's library keeps it."""
    trim = getattr(ctypes.CDLL(None), "malloc_trim", None) if os.name == "posix" else None
    if trim is not None:
        trim(0)


_END = object()


def ahead(source: Iterator[_A], most: int) -> Iterator[_A]:
    """The same items, some of them made in another thread before they are asked for.

    Parameters
    ----------
    source : iterator
        Where they come from; what it raises is raised where its item would have come.
    most : int
        Items that may wait; 1 or more. [-]
    """
    with ThreadPoolExecutor(1, thread_name_prefix="ahead") as pool:
        waiting = deque(pool.submit(next, source, _END) for _ in range(most))
        try:
            while (item := waiting.popleft().result()) is not _END:
                waiting.append(pool.submit(next, source, _END))
                yield cast(_A, item)
                del item
        finally:
            for future in waiting:
                future.cancel()
