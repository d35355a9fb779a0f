"""One bad mark or line among several: whether there is one, and which."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from scipy.special import log_ndtr, logsumexp

from giornata.core.foundation import Assumption, Floats
from giornata.core.projection.alignment import Alignment, Freed, drops_without, line_drops
from giornata.core.projection.sightings import LinePoint, MarkSeen

__all__ = [
    "BLAMED_FROM",
    "NAMED_FROM",
    "BadMark",
    "FitOf",
    "Suspicion",
    "bad_mark",
    "suspicion",
    "without_suspect",
]

NAMED_FROM = 8
"""Fewest marks with which a picture of which nothing is known names one. [-]"""

BLAMED_FROM = Assumption(
    name="odds that a mark is wrong from which one is blamed",
    value=100.0,
    unit="-",
    source="measured in made worlds: right marks are then blamed in 1.5 % of pictures at most, "
    "three set-ups in two hundred measured again for nothing; in 2.2 % where a lens shift set by "
    "eye is taken as planned (docs/decisions/alignment.md)",
    usual=(30.0, 1000.0),
)
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

_LOOKED_AT = 3.0  # the likeliest in one fit, and those within so much of it, are left out in turn
_DOUBTED = 0.05  # those that are as likely beside the likeliest are told with it
_FAR_OFF = 100.0  # times the misfit of chance: what one fit foretells is little worth
_CHECKED_BY = 3  # equations to spare: fewer check no mark
_ANYWHERE = 10.0  # m: deviation of a line whose place is not believed

FitOf = Callable[[Sequence[MarkSeen], Sequence[LinePoint]], Alignment | None]
"""Fits one kind of map to some of the marks and points of lines; None where they leave it open."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Suspicion:
    """What leaving out each mark, point of a line or line in turn shows, with one kind of map.

    Parameters
    ----------
    names : tuple of str
        Of marks, points and lines; n of them.
    odds : tuple of float
        Logarithm of the odds that it is wrong, against nothing being wrong, each counted as its
        share of all that may be; minus infinity where the others check nothing of it. [-]
    likelihood : tuple of float
        Logarithm of how likely the marks are if it is wrong, averaged over where it may be
        instead, up to a number common to all. [-]
    drops : tuple of float
        What leaving it out takes off the misfit. [-]
    """

    names: tuple[str, ...]
    odds: tuple[float, ...]
    likelihood: tuple[float, ...]
    drops: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BadMark:
    """That a mark, a point of a line or a line is wrong.

    Parameters
    ----------
    named : str or None
        The one; None where they are too few or too even to tell which.
    doubted : tuple of str
        Those that may be, the likeliest first.
    odds : float
        That one is wrong, against none. [-]
    drop : float
        What leaving out the first takes off the misfit of the map that is drawn by. [-]
    """

    named: str | None
    doubted: tuple[str, ...]
    odds: float
    drop: float


def suspicion(found: Alignment, fit: FitOf) -> Suspicion:
    """How suspect each mark and line is, by one kind of map.

    Parameters
    ----------
    found : Alignment
        With all marks.
    fit : callable
        Fits the same kind of map to some of them.

    Notes
    -----
    Leaving out a mark takes chi-square with 2 degrees of freedom off the misfit where all marks
    are right (Baarda 1968, in its form for pairs of observations), a point of a line or a line
    that is elsewhere with 1. The odds are one over the chance of so much, averaged over all that
    may be wrong (one over the harmonic mean of their chances: Wilson 2019,
    doi:10.1073/pnas.1814092116; for the largest alone it is Bonferroni's bound). They are averaged
    evenly by half, and by half by how little the others know where each would be: a mark of which
    less is known may have slipped in more ways.

    The likelihood is averaged over slips of any size and direction (Bayes, a flat prior; Laplace's
    integral of a normal density), and stands beside the mean of the kind's own marks: a kind that
    is free enough to let any mark be anywhere gains nothing by that.
    """
    suspects = _suspects(found)
    count = len(suspects)
    if found.freedom < _CHECKED_BY:  # they show nothing, for or against
        return Suspicion(
            names=tuple(one.name for one in suspects),
            odds=(-math.log(count),) * count,
            likelihood=(-math.inf,) * count,
            drops=(0.0,) * count,
        )
    drops = np.array([one.freed.drop for one in suspects])
    checked = drops > 0
    blind = ~checked

    def leave_out(those: Sequence[int]) -> None:
        for number in those:
            without = fit(suspects[number].marks, suspects[number].lines)
            checked[number] = without is not None
            if without is not None:
                drops[number] = found.misfit - without.misfit

    about = [_strength(one.freed.drop, one.numbers) for one in suspects]
    if max(about) > math.log(BLAMED_FROM.value * count):  # half of what one alone must reach
        tried = np.array(about) >= max(about) / _LOOKED_AT
        leave_out(np.flatnonzero(tried).tolist())
        if found.misfit - max(drops[tried]) > _FAR_OFF * found.freedom:
            # None of those: each mark is tried, for a mark that is metres off turns a fit to it.
            leave_out([k for k in range(len(found.marks)) if not tried[k]])
    room = np.array([_room(one) for one in suspects])
    numbers = np.array([one.numbers for one in suspects])
    usual = {n: _mean(room[checked & ~blind & (numbers == n)]) for n in (1, 2)}
    checked &= ~blind | math.isfinite(usual[2])  # what has no room of its own has the usual one
    room[blind & checked] = usual[2]
    odds = [
        _strength(drop, n) / 2 + math.log((1 + math.exp(own - usual[n])) / 2) - math.log(count)
        for drop, own, n in zip(drops.tolist(), room.tolist(), numbers.tolist(), strict=True)
    ]
    likelihood = drops / 2 + room - usual[2 if math.isfinite(usual[2]) else 1]
    return Suspicion(
        names=tuple(one.name for one in suspects),
        odds=tuple(np.where(checked, odds, -math.inf).tolist()),
        likelihood=tuple(np.where(checked, likelihood, -math.inf).tolist()),
        drops=tuple(drops.tolist()),
    )


def bad_mark(of_kinds: Sequence[tuple[float, Suspicion]]) -> BadMark | None:
    """Whether a mark or line is wrong, and which, over all kinds of map that may be the wall's.

    Parameters
    ----------
    of_kinds : sequence of (float, Suspicion)
        Logarithm of how likely each kind is with all marks, up to a number common to all, and what
        it shows; of the same marks and lines. At least one. [-]

    Returns
    -------
    BadMark or None
        None where nothing is beyond chance. Its drop is that of the likeliest kind.

    Notes
    -----
    The odds of each kind are weighed by how likely the kind is (Bayes's rule): a wall that is
    slightly curved explains what a slip on a flat wall would as well, and blames nobody. One is
    named only where it is likelier than all others together, by 3 to 2: of two rows of four, a map
    of which nothing is known often does not tell which neighbour is wrong.
    """
    weights = np.array([weight for weight, _ in of_kinds])
    whole = logsumexp(weights)
    odds = logsumexp([w + logsumexp(shown.odds) for w, shown in of_kinds]) - whole
    if not odds > math.log(BLAMED_FROM.value):
        return None
    by_kind = np.array([w + np.array(shown.likelihood) for w, shown in of_kinds])
    each = logsumexp(by_kind, axis=0)
    share = np.exp(each - logsumexp(each))
    order = np.argsort(-share, kind="stable").tolist()
    names, first = of_kinds[0][1].names, order[0]
    return BadMark(
        named=names[first] if share[first] >= CERTAIN.value else None,
        doubted=tuple(names[k] for k in order if share[k] > _DOUBTED * share[first]),
        odds=math.exp(min(odds, 700.0)),
        drop=float(of_kinds[int(by_kind[:, first].argmax())][1].drops[first]),
    )


class _Suspect(NamedTuple):
    """What may be wrong: how many numbers that spends, and all that is left without it."""

    name: str
    numbers: int
    freed: Freed
    marks: tuple[MarkSeen, ...]
    lines: tuple[LinePoint, ...]


def without_suspect(found: Alignment, name: str, fit: FitOf) -> Alignment | None:
    """The fit without a mark, a point of a line or a line; None where that leaves it open.

    Parameters
    ----------
    found : Alignment
        With all marks.
    name : str
        Of one of what `suspicion` names.
    fit : callable
        Fits the same kind of map to some of them.
    """
    one = next(one for one in _suspects(found) if one.name == name)
    return fit(one.marks, one.lines)


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


def _room(one: _Suspect) -> float:
    """Logarithm of how much of where it may be instead is as likely as the likeliest place. [-]"""
    places = math.pi * SLIP.value**2 if one.numbers == 2 else 2 * SLIP.value
    return (one.numbers * math.log(2 * math.pi) - one.freed.known) / 2 - math.log(places)


def _mean(logarithms: Floats) -> float:
    """Logarithm of the mean; minus infinity of none. [-]"""
    if not len(logarithms):
        return -math.inf
    return float(logsumexp(logarithms)) - math.log(len(logarithms))


def _strength(drop: float, numbers: int) -> float:
    """Twice the logarithm of how seldom so much comes by chance; of 2 numbers, the drop itself."""
    if numbers == 2:
        return drop
    # By the normal distribution's own tail: the chi-square's is 0 from some 1500 on.
    return -2 * (math.log(2) + float(log_ndtr(-math.sqrt(max(drop, 0.0)))))
