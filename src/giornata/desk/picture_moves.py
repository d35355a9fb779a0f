"""Pictures moved by hand on the wall, as a whole: from the events that say so."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

from giornata.desk.squaring import KIND as MARKS_SEEN
from giornata.files.site_log import Event

__all__ = ["MOVED_BY_HAND", "moves_by_hand"]

MOVED_BY_HAND = "picture moved"
"""Of the events: right and up on the wall, in metres; they add up until marks are read again."""


def moves_by_hand(standing: Iterable[Event]) -> dict[int, tuple[float, float]]:
    """How far each set-up's picture was moved since its marks were read last, right and up. [m]

    Parameters
    ----------
    standing : iterable of Event
        Of the site log, less those taken back.
    """
    found: dict[int, tuple[float, float]] = {}
    for event in standing:
        if not event.subject.isdecimal():
            continue
        number = int(event.subject)
        if event.kind == MARKS_SEEN:
            found.pop(number, None)
        elif event.kind == MOVED_BY_HAND:
            right, up = found.get(number, (0.0, 0.0))
            found[number] = (right + _length(event.data, "right"), up + _length(event.data, "up"))
    return {number: (round(x, 6), round(y, 6)) for number, (x, y) in found.items()}


def _length(data: Mapping[str, Any], way: str) -> float:
    value = data.get(way, 0.0)
    return float(value) if isinstance(value, int | float) and math.isfinite(value) else 0.0
