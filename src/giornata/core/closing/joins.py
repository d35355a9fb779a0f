"""What the stretches still to be drawn must join, in every row of set-ups."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from giornata.core.closing.closure import Closure
from giornata.core.closing.fronts import Front, Fronts

__all__ = ["RowJoin", "fronts_to_join"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RowJoin:
    """A row's stretch between its two fronts.

    Parameters
    ----------
    row : int
        From 1 upwards. [-]
    low, top : float
        Levels between which the row draws. [m]
    left, right : Front
        The fronts, or an end of the wall to which nothing is drawn yet.
    known_to, up_known_to : float
        95 times of 100 the differences of both are no more wrong; 0 or more. [m]
    """

    row: int
    low: float
    top: float
    left: Front
    right: Front
    known_to: float
    up_known_to: float

    @property
    def apart(self) -> float:
        """By how much more the right front is off to the right than the left one. [m]"""
        return self.right.along - self.left.along

    @property
    def up(self) -> float:
        """By how much more the right front is off upwards than the left one. [m]"""
        return self.right.up - self.left.up


def fronts_to_join(
    closure: Closure, length: float, limit: float, levels: Mapping[int, tuple[float, float]]
) -> tuple[RowJoin, ...]:
    """The stretches still to be drawn, from the lowest row up; none where all can be left alone.

    Parameters
    ----------
    closure : Closure
        The state.
    length : float
        Of the wall; an end to which nothing is drawn is off by nothing. [m]
    limit : float
        How far lines may miss; what is less, or less than chance, is left alone; above 0. [m]
    levels : mapping of int to (float, float)
        Of each row: levels between which it draws. [m]
    """
    rows: dict[int, list[int]] = {seam.row: [] for seam in closure.readings.seams}
    for seam in closure.readings.seams:
        rows[seam.row] += [seam.left, seam.right]
    joins = []
    for fronts in closure.fronts:
        join = _join(fronts, length, *levels[fronts.row])
        remains = not set(rows[fronts.row]).isdisjoint(closure.remaining)
        if remains and join.left.chainage < join.right.chainage:
            joins.append(join)
    if any(
        abs(one.apart) > max(limit, one.known_to) or abs(one.up) > max(limit, one.up_known_to)
        for one in joins
    ):
        return tuple(joins)
    return ()


def _join(fronts: Fronts, length: float, low: float, top: float) -> RowJoin:
    def at_end(chainage: float) -> Front:
        return Front(set_up=0, chainage=chainage, along=0.0, up=0.0, known_to=0.0)

    left, right = fronts.left or at_end(0.0), fronts.right or at_end(length)
    # Where one front is an end of the wall, the other one's own error is that of the difference.
    alone = max(left.known_to, right.known_to)
    return RowJoin(
        row=fronts.row,
        low=low,
        top=top,
        left=left,
        right=right,
        known_to=alone if fronts.known_to is None else fronts.known_to,
        up_known_to=alone if fronts.up_known_to is None else fronts.up_known_to,
    )
