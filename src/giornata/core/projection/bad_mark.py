"""One bad mark among several: whether there is one, and which."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from scipy.stats import chi2

from giornata.core.foundation import Assumption
from giornata.core.projection.alignment import Alignment, MarkSeen

__all__ = ["NAMED_FROM", "BadMark", "bad_mark"]

NAMED_FROM = 8
"""Fewest marks with which a picture of which nothing is known names one. [-]"""

FALSE_ALARM = Assumption(
    name="chance of blaming a mark where all are right",
    value=0.01,
    unit="-",
    source="no published source: one set-up in a hundred is measured again for nothing",
    usual=(0.001, 0.05),
)


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


def bad_mark(
    found: Alignment, fit: Callable[[Sequence[MarkSeen]], Alignment], *, named_from: int
) -> BadMark:
    """The mark whose absence takes most off the misfit, named where that is beyond chance.

    Parameters
    ----------
    found : Alignment
        With all marks.
    fit : callable
        Fits the same kind of map to some of the marks.
    named_from : int
        Fewest marks with which one is named: with fewer, a map that is free enough fits without a
        right mark as well as without the wrong one. [-]

    Notes
    -----
    Leaving out a mark takes chi-square with 2 degrees of freedom off the misfit where all marks
    are right (Baarda 1968, in its form for pairs of observations); the limit allows for as many
    tries as there are marks (Bonferroni).
    """
    marks = found.marks
    limit = float(chi2.isf(FALSE_ALARM.value / len(marks), 2))
    if found.freedom < 3:  # nothing is left over to check the others by
        return BadMark(named=None, doubted=(), drop=0.0, limit=limit, without=found)
    without = [fit([other for other in marks if other is not mark]) for mark in marks]
    drops = [found.misfit - one.misfit for one in without]
    order = sorted(range(len(marks)), key=lambda number: -drops[number])
    first = order[0]
    if drops[first] <= limit:
        return BadMark(named=None, doubted=(), drop=drops[first], limit=limit, without=found)
    close = tuple(marks[number].name for number in order if drops[number] > drops[first] / 2)
    if len(marks) < named_from:
        return BadMark(named=None, doubted=close, drop=drops[first], limit=limit, without=found)
    return BadMark(
        named=marks[first].name, doubted=close, drop=drops[first], limit=limit,
        without=without[first],
    )  # fmt: skip
