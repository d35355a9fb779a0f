"""Sharing: pieces of one large calculation given to several processes."""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Callable, Iterable
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import ExitStack
from typing import Any

from giornata.core.foundation import ArtworkError
from giornata.files.artwork.processors import processors

__all__ = ["MOST_PROCESSES", "PATIENCE", "shared_out"]

MOST_PROCESSES = 4  # each takes up to 200 MB, and joining their results is one process's work
PATIENCE = 1.0  # s of work before others are called: to begin takes them longer than that

_AHEAD = 2  # items to each other process: one in hand, one that waits


def shared_out(function: Callable[[Any], Any], items: Iterable[Any], /) -> list[Any]:
    """The function's result for each item, in order; other processes help where there is much.

    Parameters
    ----------
    function : callable
        Of a module, so that another process finds it by its name.
    items : iterable
        This process does some of them itself: the first ones, and later those for which nobody
        else is free.

    Raises
    ------
    ArtworkError
        If a process was ended from outside, as happens when memory runs out.
    """
    others = min(MOST_PROCESSES, processors()) - 1
    # Fresh processes, not copies of this one: a copy would hold its memory and its threads' locks.
    fresh = multiprocessing.get_context("spawn")
    begun = time.monotonic()
    done: list[Any] = []
    given: dict[int, Future[Any]] = {}
    try:
        with ExitStack() as stack:
            pool: ProcessPoolExecutor | None = None
            for number, item in enumerate(items):
                if pool is None and others and time.monotonic() - begun >= PATIENCE:
                    pool = stack.enter_context(ProcessPoolExecutor(others, mp_context=fresh))
                if pool is not None and _open(given.values()) < _AHEAD * others:
                    given[number] = pool.submit(function, item)
                    done.append(None)
                else:
                    done.append(function(item))
            for number, future in given.items():
                done[number] = future.result()
    except BrokenProcessPool as error:
        raise ArtworkError(
            "A process that lays out part of the artwork was ended from outside.",
            remedy="Close other programs, so that memory is free, and try again.",
        ) from error
    return done


def _open(given: Iterable[Future[Any]]) -> int:
    return sum(not future.done() for future in given)
