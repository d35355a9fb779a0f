"""One bad mark among several: whether there is one, and which."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.stats import chi2

from giornata.core.foundation import Assumption
from giornata.core.projection.alignment import Alignment, MarkSeen, drops_without

__all__ = ["FALSE_ALARM", "NAMED_FROM", "BadMark", "bad_mark", "level_of_kind"]

NAMED_FROM = 8
"""Fewest marks with which a picture of which nothing is known names one. [-]"""

CERTAIN = Assumption(
    name="odds for the mark that is named against the next likeliest",
    value=3.0,
    unit="-",
    source="measured in made worlds: eight marks in two rows then name the wrong one in 1 % of "
    "trials, without it in 7 % (bench/alignment.py)",
    usual=(1.0, 20.0),
)
FALSE_ALARM = Assumption(
    name="chance of blaming a mark where all are right, over all kinds of map that are tried",
    value=0.015,
    unit="-",
    source="no published source: three set-ups in two hundred are measured again for nothing",
    usual=(0.001, 0.05),
)

_MARGIN = 2 * math.log(CERTAIN.value)  # of chi-square: what makes those odds
_LOOKED_AT = 3.0  # the likeliest in one fit, and those within so much of it, are left out in turn
_DOUBTED = 2 * math.log(20.0)  # the same for those that are looked at where none is named


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BadMark:
    """What leaving out each mark in turn shows.

    Parameters
    ----------
    named : str or None
        The mark that is wrong; None where none is, or where they are too few to tell which.
    doubted : tuple of str
        Where one of them is wrong: those that may be, the likeliest first.
    drop : float
        What leaving out the likeliest takes off the misfit. [-]
    limit : float
        What it takes at least to blame a mark. [-]
    without : Alignment
        The fit without the mark that is named; with all of them where none is.
    """

    named: str | None
    doubted: tuple[str, ...]
    drop: float
    limit: float
    without: Alignment


def level_of_kind(kinds: int, *, expected: bool) -> float:
    """Chance of a false alarm that one kind of map may spend of all that are tried. [-]

    Parameters
    ----------
    kinds : int
        How many are tried; 1 or more. [-]
    expected : bool
        Whether it is what wall and projector are known to be.

    Notes
    -----
    The kind is chosen from the same marks, so each one tried is a chance more to blame a right
    mark. Half goes to the kind that is expected, half to the others together (Bonferroni with
    weights: Genovese, Roeder and Wasserman 2006, doi:10.1093/biomet/93.3.509): whatever the wall
    is, the chances add up to no more than the whole.
    """
    if kinds == 1:
        return FALSE_ALARM.value
    return FALSE_ALARM.value / 2 / (1 if expected else kinds - 1)


def bad_mark(
    found: Alignment,
    fit: Callable[[Sequence[MarkSeen]], Alignment | None],
    *,
    named_from: int,
    level: float,
) -> BadMark:
    """The mark whose absence takes most off the misfit, named where that is beyond chance.

    Parameters
    ----------
    found : Alignment
        With all marks.
    fit : callable
        Fits the same kind of map to some of the marks; None where these leave it open.
    named_from : int
        Fewest marks with which one is named: with fewer, a map that is free enough fits without a
        right mark as well as without the wrong one. [-]
    level : float
        Chance of blaming a mark of this kind of map where all are right; above 0, below 1. [-]

    Notes
    -----
    Leaving out a mark takes chi-square with 2 degrees of freedom off the misfit where all marks
    are right (Baarda 1968, in its form for pairs of observations); the limit allows for as many
    tries as there are marks (Bonferroni). Where another mark explains the misfit nearly as well, by
    odds (the ratio of likelihoods) below 3, none is named: of two rows of four, a map of which
    nothing is known often does not tell which neighbour is wrong.
    """
    marks = found.marks
    limit = float(chi2.isf(level / len(marks), 2))
    nothing = BadMark(named=None, doubted=(), drop=0.0, limit=limit, without=found)
    if found.freedom < 3 or found.misfit <= limit:
        return nothing  # nothing is left over to check the others by, or nothing is amiss
    about = drops_without(found)
    if about.max() < limit / 2:
        return nothing
    tried = []
    for number in np.flatnonzero(about >= about.max() / _LOOKED_AT).tolist():
        mark = marks[number]
        fit_without = fit([other for other in marks if other is not mark])
        if fit_without is not None:
            tried.append((found.misfit - fit_without.misfit, number, fit_without))
    tried.sort(key=lambda one: -one[0])
    if not tried or tried[0][0] <= limit:
        return replace(nothing, drop=tried[0][0] if tried else 0.0)
    drop, first, without = tried[0]
    close = tuple(marks[number].name for one, number, _ in tried if drop - one < _DOUBTED)
    alone = len(tried) == 1 or drop - tried[1][0] >= _MARGIN
    if len(marks) < named_from or not alone:
        return BadMark(named=None, doubted=close, drop=drop, limit=limit, without=found)
    return BadMark(named=marks[first].name, doubted=close, drop=drop, limit=limit, without=without)
