"""Where seams may lie: inside overlaps, and never one beyond the next."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

__all__ = ["seam_rooms"]


def seam_rooms(overlaps: Sequence[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """The overlaps of images in a row, each with its neighbours', parted where two of them meet.

    Parameters
    ----------
    overlaps : sequence of (float, float)
        Where one image and the next both light, in order along the wall or upwards. [m]

    Notes
    -----
    Where images overlap by more than half, the first meets the third. A seam of the first with the
    second could then lie beyond that of the second with the third, and the second would draw a
    part that ends before it begins. What two overlaps share is halved between them.

    Examples
    --------
    >>> seam_rooms([(2.0, 5.0), (4.0, 7.0), (9.0, 9.5)])
    ((2.0, 4.5), (4.5, 7.0), (9.0, 9.5))
    """
    rooms = [list(one) for one in overlaps]
    for one, after in pairwise(rooms):
        if one[1] > after[0]:
            one[1] = after[0] = (one[1] + after[0]) / 2
    return tuple((low, high) for low, high in rooms)
