"""Sharing: pieces of one large calculation given to several processes."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from itertools import chain, islice
from typing import Any

from giornata.core.foundation import ArtworkError

__all__ = ["MOST_PROCESSES", "shared_out"]

MOST_PROCESSES = 4  # each takes up to 300 MB, and joining their results is one process's work


def shared_out(function: Callable[[Any], Any], items: Iterable[Any], /) -> list[Any]:
    """The function's result for each item, in order; the calls run in several processes.

    Parameters
    ----------
    function : callable
        Of a module, so that another process finds it by its name.
    items : iterable
        One alone is not given away.

    Raises
    ------
    ArtworkError
        If a process was ended from outside, as happens when memory runs out.
    """
    waiting = iter(items)
    first = list(islice(waiting, 2))
    count = min(MOST_PROCESSES, os.cpu_count() or 1)
    if len(first) < 2 or count < 2:
        return list(map(function, chain(first, waiting)))
    # Fresh processes, not copies of this one: a copy would hold its memory and its threads' locks.
    fresh = multiprocessing.get_context("spawn")
    try:
        with ProcessPoolExecutor(count, mp_context=fresh) as pool:
            return list(pool.map(function, chain(first, waiting)))
    except BrokenProcessPool as error:
        raise ArtworkError(
            "A process that lays out part of the artwork was ended from outside.",
            remedy="Close other programs, so that memory is free, and try again.",
        ) from error
