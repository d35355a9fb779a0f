"""One bad mark or line among several: whether there is one, and which."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from scipy.stats import chi2

from giornata.core.foundation import Assumption
from giornata.core.projection.alignment import Alignment, Freed, drops_without, line_drops
from giornata.core.projection.sightings import LinePoint, MarkSeen

__all__ = ["FALSE_ALARM", "NAMED_FROM", "BadMark", "bad_mark", "level_of_kind"]

NAMED_FROM = 8
"""Fewest marks with which a picture of which nothing is known names one. [-]"""

CERTAIN = Assumption(
    name="chance that the mark named is the wrong one, where one is",
    value=0.6,
    unit="-",
    source="measured in made worlds: of eight marks in two rows, 3 mm each, the wrong one is then "
    "named in 1 to 3 %; at 0.5 in 4 % before an unknown projector (bench/alignment.py)",
    usual=(0.5, 0.95),
)
SLIP = Assumption(
    name="how far off a slip may be, each size and direction up to it as likely",
    value=1.0,
    unit="m",
    source="no published source: a decimetre or a metre misread; marks are compared by it with "
    "lines, not with one another",
    usual=(0.1, 3.0),
)
FALSE_ALARM = Assumption(
    name="chance of blaming a mark where all are right, over all kinds of map that are tried",
    value=0.015,
    unit="-",
    source="no published source: three set-ups in two hundred are measured again for nothing",
    usual=(0.001, 0.05),
)

_LOOKED_AT = 3.0  # the likeliest in one fit, and those within so much of it, are left out in turn
_DOUBTED = 0.05  # those that are as likely beside the likeliest are told with it


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
    are held against it by the logarithm of that chance, which for a mark is its chi-square.

    Which one is wrong is a matter of how likely each is, given that one is: its likelihood averaged
    over slips of any size and direction (Bayes, a flat prior; Laplace's integral of a normal
    density). Of two that explain the misfit alike, the one that the others know less well is the
    likelier, for more slips of it do. One is named only where it is likelier than all others
    together, by 3 to 2: of two rows of four, a map of which nothing is known often does not tell
    which neighbour is wrong.
    """
    suspects = _suspects(found)
    chance = level / len(suspects)
    limit, least = -2 * math.log(chance), float(chi2.isf(chance, 1))
    nothing = BadMark(named=None, doubted=(), drop=0.0, limit=limit, without=found)
    if found.freedom < 3 or found.misfit <= least:
        return nothing  # nothing is left over to check the others by, or nothing is amiss
    about = [_strength(one.freed.drop, one.numbers) for one in suspects]
    if max(about) < limit / 2:
        return nothing
    tried = []
    for number in np.flatnonzero(np.array(about) >= max(about) / _LOOKED_AT).tolist():
        one = suspects[number]
        without = fit(one.marks, one.lines)
        if without is not None:
            tried.append(_Tried(one, found.misfit - without.misfit, without))
    beyond = [one for one in tried if _strength(one.drop, one.suspect.numbers) > limit]
    if not beyond:
        return replace(nothing, drop=max((one.drop for one in tried), default=0.0))
    # All of them have a chance, but only one that is beyond the limit can be blamed.
    first = max(beyond, key=lambda one: one.evidence)
    odds = [math.exp(one.evidence - first.evidence) for one in tried]
    order = sorted(range(len(tried)), key=lambda k: -odds[k])
    numbers = first.suspect.numbers
    made = BadMark(
        named=None,
        doubted=tuple(tried[k].suspect.name for k in order if odds[k] > _DOUBTED),
        drop=first.drop,
        limit=float(chi2.isf(chance, numbers)),
        without=found,
        numbers=numbers,
        tries=len(suspects),
    )
    few = 2 * len(found.marks) + len(found.lines) < 2 * named_from
    if few or 1 / sum(odds) < CERTAIN.value:
        return made
    return replace(made, named=first.suspect.name, without=first.without)


class _Suspect(NamedTuple):
    """What may be wrong: how many numbers that spends, and all that is left without it."""

    name: str
    numbers: int
    freed: Freed
    marks: tuple[MarkSeen, ...]
    lines: tuple[LinePoint, ...]


class _Tried(NamedTuple):
    """A suspect left out."""

    suspect: _Suspect
    drop: float
    without: Alignment

    @property
    def evidence(self) -> float:
        """Logarithm of its likelihood, averaged over where it may be instead. [-]"""
        numbers = self.suspect.numbers
        room = math.pi * SLIP.value**2 if numbers == 2 else 2 * SLIP.value
        known = self.drop - self.suspect.freed.known + numbers * math.log(2 * math.pi)
        return known / 2 - math.log(room)


def _suspects(found: Alignment) -> list[_Suspect]:
    """Each mark, each point of a line, and each line of several points."""
    marks, lines = found.marks, found.lines
    freed = drops_without(found)
    made = [
        _Suspect(one.name, 2, shown, tuple(m for m in marks if m is not one), lines)
        for one, shown in zip(marks, freed[: len(marks)], strict=True)
    ]
    made += [
        _Suspect(one.name, 1, shown, marks, tuple(p for p in lines if p is not one))
        for one, shown in zip(lines, freed[len(marks) :], strict=True)
    ]
    for name, shown in line_drops(found).items():
        if sum(point.line == name for point in lines) > 1:
            elsewhere = tuple(
                replace(p, line_sigma=_ANYWHERE) if p.line == name else p for p in lines
            )
            made.append(_Suspect(name, 1, shown, marks, elsewhere))
    return made


def _strength(drop: float, numbers: int) -> float:
    """Twice the logarithm of how seldom so much comes by chance; of 2 numbers, the drop itself."""
    return drop if numbers == 2 else -2 * float(chi2.logsf(max(drop, 0.0), numbers))
