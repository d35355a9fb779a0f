"""In words: by how much a closure moved the design in a set-up's picture."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from giornata.core.foundation import System, readonly, shown
from giornata.core.projection import SetUp

__all__ = ["moved_words"]

_TOLD = 0.0005  # m: less than this is no move


def moved_words(knots: Sequence[tuple[float, float, float]], one: SetUp, system: System) -> str:
    """By how much the design is moved between a set-up's edges; "" where it is not.

    Parameters
    ----------
    knots : sequence of (float, float, float)
        Chainages, each with how far the design is moved there, to the right and up. [m]
    one : SetUp
        The set-up.
    """
    if not knots:
        return ""
    at = readonly(knots, columns=3)
    edges = [float(one.start), float(one.end)]
    words = []
    for axis, on, back in ((1, "right", "left"), (2, "up", "down")):
        low, high = np.interp(edges, at[:, 0], at[:, axis]).tolist()
        first, last = (_way(by, on, back, system) for by in (low, high))
        if first == last:
            words += [first] if first else []
        else:
            words.append(
                f"{first or 'not moved'} at the left edge and {last or 'not moved'} at the right"
            )
    return ", ".join(words)


def _way(by: float, on: str, back: str, system: System) -> str:
    return f"{shown(abs(by), 'm', system)} {on if by > 0 else back}" if abs(by) >= _TOLD else ""
