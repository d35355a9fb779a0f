"""One bad mark or line among several: whether there is one, and which."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from scipy.stats import chi2

from giornata.core.foundation import Assumption
from giornata.core.projection.alignment import Alignment, drops_without, line_drops
from giornata.core.projection.sightings import LinePoint, MarkSeen

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


FitOf = Callable[[Sequence[MarkSeen], Sequence[LinePoint]], Alignment | None]
_ANYWHERE = 10.0  # m: deviation of a line whose place is not believed


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BadMark:
    """What leaving out each mark, point of a line or line in turn shows.

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
    numbers : int
        That the likeliest spends: 2 of a mark, 1 of a line or of a point of one. [-]
    tries : int
        Among how many it was chosen. [-]
    """

    named: str | None
    doubted: tuple[str, ...]
    drop: float
    limit: float
    without: Alignment
    numbers: int = 2
    tries: int = 1


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


def bad_mark(found: Alignment, fit: FitOf, *, named_from: int, level: float) -> BadMark:
    """What is wrong among marks and lines, named where leaving it out is beyond chance.

    Parameters
    ----------
    found : Alignment
        With all marks.
    fit : callable
        Fits the same kind of map to some of the marks and points of lines; None where these leave
        it open.
    named_from : int
        Fewest marks with which one is named: with fewer, a map that is free enough fits without a
        right mark as well as without the wrong one. Two points of lines count as one. [-]
    level : float
        Chance of blaming one with this kind of map where all are right; above 0, below 1. [-]

    Notes
    -----
    Leaving out a mark takes chi-square with 2 degrees of freedom off the misfit where all marks
    are right (Baarda 1968, in its form for pairs of observations), a point of a line or a line that
    is elsewhere with 1; the limit allows for as many tries as there are of them (Bonferroni). They
    are compared by the logarithm of that chance, which for a mark is its chi-square. Where another
    explains the misfit nearly as well, by odds (the ratio of likelihoods) below 3, none is named:
    of two rows of four, a map of which nothing is known often does not tell which neighbour is
    wrong.
    """
    suspects = _suspects(found)
    chance = level / len(suspects)
    limit, least = -2 * math.log(chance), float(chi2.isf(chance, 1))
    nothing = BadMark(named=None, doubted=(), drop=0.0, limit=limit, without=found)
    if found.freedom < 3 or found.misfit <= least:
        return nothing  # nothing is left over to check the others by, or nothing is amiss
    about = [_strength(one.drop, one.numbers) for one in suspects]
    if max(about) < limit / 2:
        return nothing
    tried = []
    for number in np.flatnonzero(np.array(about) >= max(about) / _LOOKED_AT).tolist():
        one = suspects[number]
        without = fit(one.marks, one.lines)
        if without is not None:
            drop = found.misfit - without.misfit
            tried.append((_strength(drop, one.numbers), number, drop, without))
    tried.sort(key=lambda one: -one[0])
    if not tried or tried[0][0] <= limit:
        return replace(nothing, drop=tried[0][2] if tried else 0.0)
    strength, first, drop, without = tried[0]
    close = tuple(suspects[k].name for one, k, _, _ in tried if strength - one < _DOUBTED)
    alone = len(tried) == 1 or strength - tried[1][0] >= _MARGIN
    numbers = suspects[first].numbers
    made = BadMark(
        named=None, doubted=close, drop=drop, limit=float(chi2.isf(chance, numbers)),
        without=found, numbers=numbers, tries=len(suspects),
    )  # fmt: skip
    if 2 * len(found.marks) + len(found.lines) < 2 * named_from or not alone:
        return made
    return replace(made, named=suspects[first].name, without=without)


class _Suspect(NamedTuple):
    """What may be wrong: how many numbers that spends, and all that is left without it."""

    name: str
    numbers: int
    drop: float
    marks: tuple[MarkSeen, ...]
    lines: tuple[LinePoint, ...]


def _suspects(found: Alignment) -> list[_Suspect]:
    """Each mark, each point of a line, and each line of several points."""
    marks, lines = found.marks, found.lines
    drops = drops_without(found).tolist()
    made = [
        _Suspect(one.name, 2, drop, tuple(m for m in marks if m is not one), lines)
        for one, drop in zip(marks, drops[: len(marks)], strict=True)
    ]
    made += [
        _Suspect(one.name, 1, drop, marks, tuple(p for p in lines if p is not one))
        for one, drop in zip(lines, drops[len(marks) :], strict=True)
    ]
    for name, drop in line_drops(found).items():
        if sum(point.line == name for point in lines) > 1:
            freed = tuple(replace(p, line_sigma=_ANYWHERE) if p.line == name else p for p in lines)
            made.append(_Suspect(name, 1, drop, marks, freed))
    return made


def _strength(drop: float, numbers: int) -> float:
    """Twice the logarithm of how seldom so much comes by chance; of 2 numbers, the drop itself."""
    return drop if numbers == 2 else -2 * float(chi2.logsf(max(drop, 0.0), numbers))
