"""Marks whose names were mixed up: whose numbers fit another mark's place in the picture."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from scipy.optimize import linear_sum_assignment

from giornata.core.foundation import Finding, Floats, Severity
from giornata.core.projection.setups import SetUp
from giornata.core.projection.sightings import MarkSeen
from giornata.core.projection.wall_maps import WallMap

__all__ = ["Swap", "mixed_up", "put_right", "swapped_finding", "turned_round"]

_BETTER = 3.0  # times nearer to the plan: by the names put right, than by those typed
_NEAR = 0.15  # of the picture's longer side: as near to the plan marks put right lie

Swap = tuple[str, str]
"""A mark's name, and the name of the mark whose place its numbers fit."""


def mixed_up(set_up: SetUp, marks: Sequence[MarkSeen], planned: WallMap) -> tuple[Swap, ...]:
    """Which marks' numbers fit other marks' places; none where the names are right.

    Parameters
    ----------
    set_up : SetUp
        The picture.
    marks : sequence of MarkSeen
        As they were typed; each name once.
    planned : WallMap
        From the wall to the picture, as planned.

    Notes
    -----
    Both the marks as seen and as planned are brought to their middles, which no exchange of names
    moves; then each is given the place that makes the sum of squared distances least (Kuhn 1955).
    Nothing is said where that is not 3 times nearer than by the names, or still far from the plan.

    References
    ----------
    H. W. Kuhn (1955), The Hungarian method for the assignment problem, Naval Research Logistics
    Quarterly 2, 83-97, doi:10.1002/nav.3800020109.
    """
    seen, there = _centred(marks, planned)
    if not np.isfinite(there).all():
        return ()
    squares = ((seen[:, None] - there[None, :]) ** 2).sum(axis=2)
    _, place = linear_sum_assignment(squares)
    by_name = math.sqrt(float(np.diag(squares).mean()))
    put_right = math.sqrt(float(squares[np.arange(len(place)), place].mean()))
    near = _NEAR * max(set_up.columns, set_up.rows)
    if put_right > near or by_name < _BETTER * put_right:
        return ()
    return tuple(
        (one.name, marks[other].name)
        for one, other in zip(marks, place.tolist(), strict=True)
        if one.name != marks[other].name
    )


def put_right(marks: Sequence[MarkSeen], swaps: Sequence[Swap]) -> tuple[MarkSeen, ...]:
    """The marks, each with the numbers that fit its place.

    Parameters
    ----------
    marks : sequence of MarkSeen
        As they were typed.
    swaps : sequence of (str, str)
        As `mixed_up` gives them.
    """
    by_name = {one.name: one for one in marks}
    typed_for = {fits: name for name, fits in swaps}
    return tuple(
        replace(
            one,
            x_px=by_name[typed_for.get(one.name, one.name)].x_px,
            y_px=by_name[typed_for.get(one.name, one.name)].y_px,
        )
        for one in marks
    )


def turned_round(marks: Sequence[MarkSeen], planned: WallMap) -> bool:
    """Whether marks lie mirrored beside the plan, or turned by more than a right angle.

    Parameters
    ----------
    marks : sequence of MarkSeen
        At least three, not on one line.
    planned : WallMap
        From the wall to the picture, as planned.

    Notes
    -----
    By the linear map that takes the planned places best to those seen: its determinant, and the
    turn of the rotation nearest to it.
    """
    seen, there = _centred(marks, planned)
    if not np.isfinite(there).all():
        return False
    linear, *_ = np.linalg.lstsq(there, seen, rcond=None)
    return bool(np.linalg.det(linear) < 0 or np.trace(linear) < 0)


def _centred(marks: Sequence[MarkSeen], planned: WallMap) -> tuple[Floats, Floats]:
    """Places in the picture as seen and as planned, from their middles; shape (n, 2). [px]"""
    seen = np.array([(one.x_px, one.y_px) for one in marks])
    there = planned.px_from_wall(np.array([(one.chainage, one.level) for one in marks]))
    return seen - seen.mean(axis=0), there - there.mean(axis=0)


def swapped_finding(
    set_up: SetUp, marks: Sequence[MarkSeen], swaps: Sequence[Swap], planned: WallMap
) -> Finding:
    """That names were mixed up, and which.

    Parameters
    ----------
    set_up : SetUp
        The picture.
    marks : sequence of MarkSeen
        As they were typed.
    swaps : sequence of (str, str)
        As `mixed_up` gives them; at least two.
    planned : WallMap
        From the wall to the picture, as planned.
    """
    fits = dict(swaps)
    pairs = sorted({(min(a, b), max(a, b)) for a, b in swaps if fits.get(b) == a})
    rest = [(a, b) for a, b in swaps if fits.get(b) != a]
    said = [f"{a} and {b} are exchanged" for a, b in pairs]
    said += [f"{a} has the numbers of {b}" for a, b in rest]
    return Finding(
        code="projection.square_swapped",
        severity=Severity.STOP,
        subject=f"set-up {set_up.number}",
        message=f"Names of its marks are mixed up: {'; '.join(said)}. By these names "
        f"{_shown(marks, planned)}; put right, they lie near their planned places.",
        remedy="Type the marks again, each by its own name. If it is the picture itself that "
        "stands on its head or mirrored, set that right at the projector (its menu for hanging "
        "from a ceiling or for throwing from behind), and read them again.",
    )


def _shown(marks: Sequence[MarkSeen], planned: WallMap) -> str:
    """What the picture would be, by the names as typed."""
    seen, there = _centred(marks, planned)
    linear, *_ = np.linalg.lstsq(there, seen, rcond=None)
    if np.linalg.det(linear) < 0:
        return "the picture would be mirrored, which no projector before the wall does"
    if np.trace(linear) < 0:
        return "the picture would stand on its head"
    return "no map from wall to picture fits"
