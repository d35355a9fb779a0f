"""Light that falls on the wall at night without the projector."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.foundation import Floats

__all__ = ["ambient_over"]


def ambient_over(
    start: ArrayLike,
    end: ArrayLike,
    background: float,
    lamps: Sequence[tuple[float, float, float]] = (),
) -> Floats:
    """Greatest ambient light anywhere on a stretch of wall; shape of start and end. [lx]

    Parameters
    ----------
    start, end : array_like
        Chainages of the stretch's ends; start below end. [m]
    background : float
        Light on the wall away from lamps; 0 or more. [lx]
    lamps : sequence of (start, end, light)
        Stretches lit by lamps, and the light read on the wall there: all of it, background
        included. [m], [m], [lx]

    Raises
    ------
    ValueError
        If a stretch does not ascend or a light is below 0.

    Notes
    -----
    A stretch that only touches a lamp's end is not lit by it. Where lamps overlap the brighter
    reading counts.

    Examples
    --------
    >>> float(ambient_over(20.0, 25.0, 4.0, [(24.0, 31.0, 35.0)]))
    35.0
    """
    starts, ends = np.broadcast_arrays(
        np.asarray(start, dtype=np.float64), np.asarray(end, dtype=np.float64)
    )
    if not (starts < ends).all():
        raise ValueError("a stretch of wall ends after it starts")
    if not background >= 0:
        raise ValueError("light is 0 lx or more")
    light = np.full(starts.shape, float(background))
    for lamp_start, lamp_end, lux in lamps:
        if not lamp_start < lamp_end:
            raise ValueError("a lamp's stretch ends after it starts")
        if not lux >= 0:
            raise ValueError("light is 0 lx or more")
        lit = (ends > lamp_start) & (starts < lamp_end)
        light[lit] = np.maximum(light[lit], lux)
    return light
