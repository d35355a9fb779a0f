"""How far the drawing has come from both ends, in every row, and how far its edges are off."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from scipy.stats import chi2

from giornata.core.closing.joint import Joint
from giornata.core.closing.meeting import fallen
from giornata.core.closing.readings import Readings, SeamPlace
from giornata.core.foundation import Floats
from giornata.core.projection import INSIDE_95

__all__ = ["Front", "Fronts", "row_fronts"]

_ALONG_95 = math.sqrt(float(chi2.isf(0.05, 1)))  # standard deviations along one direction


@dataclass(frozen=True, slots=True, kw_only=True)
class Front:
    """How far the drawing has come from one end, and how far its edge is off its place.

    Parameters
    ----------
    set_up : int
        Number of the last one drawn there. [-]
    chainage : float
        Of the seam that it drew up to. [m]
    along, up : float
        Of its lines there, beside the design; above 0 to the right and upwards. [m]
    known_to : float
        95 times of 100 the former is no more wrong. [m]
    """

    set_up: int
    chainage: float
    along: float
    up: float
    known_to: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Fronts:
    """Both fronts of a row of set-ups.

    Parameters
    ----------
    row : int
        From 1 upwards. [-]
    left, right : Front or None
        The front from the left end, and the one that it is to meet; None where nothing is drawn
        there.
    apart, up : float or None
        By how much more the right front is off to the right, and upwards, than the left one; None
        where one is missing. [m]
    known_to, up_known_to : float or None
        95 % of how well these are known; None as above. [m]
    """

    row: int
    left: Front | None
    right: Front | None
    apart: float | None = None
    up: float | None = None
    known_to: float | None = None
    up_known_to: float | None = None


_Edge = tuple[int, SeamPlace]


def row_fronts(readings: Readings, joint: Joint, widened: float) -> tuple[Fronts, ...]:
    """The fronts of every row, from the lowest up.

    Parameters
    ----------
    readings : Readings
    joint : Joint
        Their adjustment.
    widened : float
        By which stated deviations fall short; 1 or more. [-]
    """
    made = []
    for row in sorted({seam.row for seam in readings.seams}):
        edges = _edges(readings, row, joint)
        left, right = (None if one is None else _front(one, readings, joint, widened)
                       for one in edges)  # fmt: skip
        fronts = Fronts(row=row, left=left, right=right)
        if left is not None and right is not None:
            first, last = (_moves(one, joint) for one in edges if one is not None)
            moves = last - first
            sigma = np.sqrt(np.maximum(np.diag(moves @ joint.covariance @ moves.T), 0.0))
            along, up = (widened * _ALONG_95 * sigma).tolist()
            fronts = Fronts(
                row=row, left=left, right=right, apart=right.along - left.along,
                up=right.up - left.up, known_to=along, up_known_to=up,
            )  # fmt: skip
        made.append(fronts)
    return tuple(made)


def _edges(readings: Readings, row: int, joint: Joint) -> tuple[_Edge | None, _Edge | None]:
    """Set-ups with the seam up to which a row's drawing has come: from the left, and beyond it.

    What is drawn beyond a stretch that is not, from the right end or in the middle, is met at its
    left edge. The closing seam parts what is drawn on either side of it.
    """
    seams = [seam for seam in readings.seams if seam.row == row]
    after = {seam.left: seam for seam in seams}
    before = {seam.right: seam for seam in seams}
    drawn = set(readings.drawn) & (set(after) | set(before))
    lefts: list[_Edge] = []
    rights: list[_Edge] = []
    for first in sorted(drawn):
        seam = before.get(first)
        if seam is not None and not seam.closes and seam.left in drawn:
            continue
        if seam is not None:
            rights.append((first, seam))
            continue
        last = first
        while last in after and not after[last].closes and after[last].right in drawn:
            last = after[last].right
        if last in after:
            lefts.append((last, after[last]))
    rights.sort(key=lambda one: float(one[1].places[:, 0].mean()))
    known = [[one for one in side if one[0] in joint.maps] for side in (lefts, rights)]
    return (known[0][0] if known[0] else None), (known[1][0] if known[1] else None)


def _moves(edge: _Edge, joint: Joint) -> Floats:
    """Change of where a front's lines lie with all unknowns, shape (2, u). [m]"""
    found: Floats = joint.light_moves(edge[0], edge[1].places).mean(axis=0)
    return found


def _front(edge: _Edge, readings: Readings, joint: Joint, widened: float) -> Front:
    number, seam = edge
    lines = fallen(joint, number, readings.drawn[number], seam.places, readings.moved)
    along, up = (lines - seam.places).mean(axis=0).tolist()
    moves = _moves(edge, joint)
    spread = moves @ joint.covariance @ moves.T
    radius = math.sqrt(INSIDE_95 * max(float(np.linalg.eigvalsh(spread)[1]), 0.0))
    return Front(
        set_up=number,
        chainage=float(seam.places[:, 0].mean()),
        along=along,
        up=up,
        known_to=widened * radius,
    )
