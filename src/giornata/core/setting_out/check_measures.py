"""Check measures: lengths between control marks that show whether one of them was set wrong."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from giornata.core.setting_out.mark_accuracy import MARK_DRAWN
from giornata.core.setting_out.marks import ControlMark
from giornata.core.survey import DevelopedWall, WallSurvey, length_error, space_from_wall

__all__ = ["CheckMeasure", "check_measures", "juts_out", "running_error"]

_TWICE = 2.0  # standard errors: about 95 of 100
_ALMOST = 1e-6  # rad, and m


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckMeasure:
    """A length to be taped between two marks.

    Parameters
    ----------
    first, second : str
        Names of the marks.
    upright : bool
        In one column; else a diagonal.
    length : float
        Straight from one to the other, as a pulled tape lies. [m]
    tolerance : float
        By how much the reading may differ before one of the marks is wrong. [m]
    """

    first: str
    second: str
    upright: bool
    length: float
    tolerance: float


def running_error(survey: WallSurvey, chainage: float, *, drawn: float = MARK_DRAWN.value) -> float:
    """How far a mark at a chainage may be from its place, taped from the datum in one pull. [m]

    Parameters
    ----------
    survey : WallSurvey
        Whose tape is used.
    chainage : float
        Taped; below 0 to the left of the datum. [m]
    drawn : float
        Standard error of a mark beside its measure; 0 or more. [m]

    Notes
    -----
    The tape's greatest permissible error and twice the standard error of drawing, as a root-sum.
    The tape's part is nearly the same for neighbours.

    Examples
    --------
    >>> from giornata.core.survey import Bay
    >>> wall = WallSurvey(datum="left end", bays=(Bay(name="1", length=40.0),))
    >>> round(1000 * running_error(wall, 30.0), 1)   # class II: 6.3 mm; drawn: 4 mm
    7.5
    """
    return math.hypot(length_error(survey, abs(chainage)), _TWICE * drawn)


def check_measures(
    marks: Sequence[ControlMark],
    wall: DevelopedWall,
    survey: WallSurvey,
    *,
    drawn: float = MARK_DRAWN.value,
) -> tuple[CheckMeasure, ...]:
    """Uprights in each column, and both diagonals between neighbouring columns of a set-up.

    Parameters
    ----------
    marks : sequence of ControlMark
        In order along the wall.
    wall : DevelopedWall
        The developed wall.
    survey : WallSurvey
        Whose tape is used.
    drawn : float
        Standard error of a mark beside its measure; 0 or more. [m]

    Notes
    -----
    A diagonal over a bend or curve that is hollow to the viewer is the straight line in space. One
    over a corner or curve that juts out cannot be pulled straight and is left out. The two marks
    are drawn each on its own; what the tape is out by for each metre is in both and falls out,
    but for the tape's error over the length itself.
    """
    columns: dict[str, list[ControlMark]] = {}
    for mark in marks:
        columns.setdefault(mark.name.rpartition(" ")[0], []).append(mark)
    found = []
    groups = list(columns.values())
    for own in groups:
        found += [
            _measure(low, high, wall, survey, drawn, upright=True)
            for low, high in itertools.pairwise(sorted(own, key=lambda mark: mark.level))
        ]
    groups.sort(key=lambda own: own[0].chainage)
    for k, left in enumerate(groups):
        seen = set(left[0].set_ups)
        right = next((other for other in groups[k + 1 :] if seen & set(other[0].set_ups)), None)
        if right is None or juts_out(wall, left[0].chainage, right[0].chainage):
            continue
        found += [
            _measure(first, second, wall, survey, drawn, upright=False)
            for first, second in _diagonals(left, right)
        ]
    return tuple(found)


def _diagonals(
    left: Sequence[ControlMark], right: Sequence[ControlMark]
) -> list[tuple[ControlMark, ControlMark]]:
    """Lowest to highest both ways; where a column has one mark, to each end of the other."""
    low_left, high_left = (pick(left, key=lambda m: m.level) for pick in (min, max))
    low_right, high_right = (pick(right, key=lambda m: m.level) for pick in (min, max))
    pairs = [(low_left, high_right), (high_left, low_right)]
    return list(dict.fromkeys(pairs))


def _measure(
    first: ControlMark,
    second: ControlMark,
    wall: DevelopedWall,
    survey: WallSurvey,
    drawn: float,
    *,
    upright: bool,
) -> CheckMeasure:
    ends = space_from_wall(wall, [first.chainage, second.chainage], [first.level, second.level])
    length = float(np.linalg.norm(ends[1] - ends[0]))
    own = _TWICE * math.sqrt(2.0) * math.hypot(drawn, length_error(survey, 0.0))
    return CheckMeasure(
        first=first.name,
        second=second.name,
        upright=upright,
        length=length,
        tolerance=math.hypot(own, length_error(survey, length)),
    )


def juts_out(wall: DevelopedWall, start: float, end: float) -> bool:
    """Whether the wall turns away from the viewer somewhere between two chainages.

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall.
    start, end : float
        Chainages; it ends after it starts. [m]
    """
    if any(bend.angle < -_ALMOST and start < bend.at < end for bend in wall.bends):
        return True
    stretches = zip(wall.plan[:-1, 0], wall.plan[1:, 0], wall.curvature, strict=True)
    return any(
        bent < -_ALMOST and max(a, start) < min(b, end) - _ALMOST for a, b, bent in stretches
    )
