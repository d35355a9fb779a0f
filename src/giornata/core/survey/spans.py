"""Stretches along the wall: overlap with an opening, the shift that clears it, joints."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["Overlap", "joint_chainages", "overlap_and_shift"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlap:
    """How far a motif runs over an opening, and the move that frees it.

    Parameters
    ----------
    overlap : float
        Length of wall claimed by both; 0 or more. [m]
    shift : float
        Least move that leaves the clearance free, above 0 to the right; 0 where it is. [m]
    """

    overlap: float
    shift: float


def overlap_and_shift(
    start: float, end: float, opening_start: float, opening_end: float, clearance: float = 0.0
) -> Overlap:
    """Overlap of a motif with an opening, and the least shift to clear it. [m]

    Parameters
    ----------
    start, end : float
        Motif; ``end`` not before ``start``. [m]
    opening_start, opening_end : float
        Opening; ``opening_end`` after ``opening_start``. [m]
    clearance : float
        Kept free beside the opening; 0 or more. [m]

    Raises
    ------
    ValueError
        If a stretch ends before it starts or the clearance is below 0.

    Examples
    --------
    >>> found = overlap_and_shift(21.70, 22.90, 18.40, 22.00, clearance=0.15)
    >>> round(found.overlap, 2), round(found.shift, 2)
    (0.3, 0.45)
    """
    if end < start or not opening_end > opening_start or not clearance >= 0:
        raise ValueError("stretches end after they start and a clearance is 0 or more")
    overlap = max(0.0, min(end, opening_end) - max(start, opening_start))
    right = opening_end + clearance - start
    left = end - (opening_start - clearance)
    if right <= 1e-9 or left <= 1e-9:
        return Overlap(overlap=overlap, shift=0.0)
    return Overlap(overlap=overlap, shift=right if right <= left else -left)


def joint_chainages(length: float, spacing: float) -> tuple[float, ...]:
    """Chainages of joints at an even spacing from the datum, none at the ends. [m]

    Parameters
    ----------
    length : float
        Of the wall; above 0. [m]
    spacing : float
        From joint to joint; above 0, and no less than a thousandth of the length. [m]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Examples
    --------
    >>> joint_chainages(52.0, 7.5)
    (7.5, 15.0, 22.5, 30.0, 37.5, 45.0)
    """
    if not (length > 0 and spacing >= length / 1000):
        raise ValueError("length is above 0 and spacing at least a thousandth of it")
    return tuple(n * spacing for n in range(1, math.ceil(length / spacing - 1e-9)))
