"""What comes of hanging each set-up on the last one."""

from __future__ import annotations

import math
from collections.abc import Sequence

from giornata.core.foundation import Assumption

__all__ = ["chained_end"]

SIZED = Assumption(
    name="size of a picture set by hand, standard error of its width",
    value=0.004,
    unit="-",
    source="common practice, no source: a few centimetres on a picture of 6 to 12 m",
    usual=(0.002, 0.01),
)
LEVELLED = Assumption(
    name="picture levelled by hand, standard error",
    value=math.radians(0.1),
    unit="rad",
    source="common practice, no source: a good spirit level",
    usual=(math.radians(0.05), math.radians(0.3)),
)
HUNG = Assumption(
    name="picture hung on the lines of the last one, standard error",
    value=0.005,
    unit="m",
    source="common practice, no source",
    usual=(0.002, 0.01),
)


def chained_end(widths: Sequence[float]) -> float:
    """Root mean square of how far the far end is out, each set-up hung on the last. [m]

    Parameters
    ----------
    widths : sequence of float
        Of wall that each set-up draws; 0 or more. [m]

    Examples
    --------
    >>> round(1000 * chained_end([12.0] * 15))   # √15 × √((0.4 % + 0.1°) of 12 m, 5 mm twice)
    205
    """
    each = [
        math.hypot(SIZED.value * width, LEVELLED.value * width, HUNG.value, HUNG.value)
        for width in widths
    ]
    return math.hypot(*each)
