"""Which reading is wrong: a mark as it was set, a mark as it was seen, a check measurement.

References
----------
Baarda 1968, A testing procedure for use in geodetic networks, Netherlands Geodetic Commission,
Publications on Geodesy, New Series 2(5), in its form for groups of readings; Teunissen 2006,
Testing theory, 2nd ed., Delft: the same with its power.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from scipy.optimize import brentq
from scipy.stats import chi2, ncx2

from giornata.core.closing.equations import Source, SourceKind
from giornata.core.closing.joint import Joint
from giornata.core.foundation import Assumption

__all__ = ["Doubt", "Sifted", "doubts", "sifted"]

WRONGLY_BLAMED = Assumption(
    name="chance of blaming a reading of a closure where all are right",
    value=0.01,
    unit="-",
    source="no published source: one closure in a hundred is measured again for nothing",
    usual=(0.001, 0.05),
)
FOUND = Assumption(
    name="chance that a wrong reading of the smallest size told is found",
    value=0.80,
    unit="-",
    source="Baarda 1968",
    usual=(0.8, 0.9),
)
TOLD_APART = 6.0
"""Twice the logarithm of 20: a reading is named where no other is a twentieth as likely. [-]"""

_CHECKED = 1e-3  # redundancy above which readings are checked by others at all
_MOST_ASIDE = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """One reading, or the two numbers of one, held against all others.

    Parameters
    ----------
    source : Source
        The reading.
    square : float
        What leaving it out takes off the misfit. [-]
    count : int
        Numbers of it that others check; 0 where nothing checks it. [-]
    significance : float
        Chance of so much where it is right. [-]
    off : tuple of float
        By how much it seems wrong, read less true: pixels where it was seen, else metres. [unit]
    detectable : float or None
        Smallest error, along its worst direction, that is found with the power. None where
        nothing checks it. [unit]
    """

    source: Source
    square: float
    count: int
    significance: float
    off: tuple[float, ...]
    detectable: float | None

    @property
    def score(self) -> float:
        """What it takes off the misfit beside the numbers that it spends (Akaike). [-]"""
        return self.square - 2.0 * self.count

    @property
    def size(self) -> float:
        """Length of what it is off by: pixels where it was seen, else metres. [unit]"""
        return math.hypot(*self.off)


def _rows_of(joint: Joint) -> dict[Source, list[int]]:
    found: dict[Source, list[int]] = {}
    for row, source in enumerate(joint.sources):
        if source.kind not in (SourceKind.BELIEVED, SourceKind.NEAR):
            found.setdefault(source, []).append(row)
    return found


@cache
def _noncentrality(count: int, significance: float) -> float:
    """Shift of chi-square with which a limit is passed with the power. [-]"""
    limit = float(chi2.isf(significance, count))
    return float(brentq(lambda shift: ncx2.sf(limit, count, shift) - FOUND.value, 1e-6, 1e4))


def doubts(joint: Joint) -> tuple[Doubt, ...]:
    """Every reading held against all others, the most doubtful first.

    Parameters
    ----------
    joint : Joint
        The adjustment they are in.

    Notes
    -----
    Leaving readings out takes w' R⁻¹ w off the misfit, w their weighted residuals and R how errors
    of theirs show in these: no adjustment need be run again. The limit, and with it the smallest
    error found, allows for as many tries as there are readings (Bonferroni).
    """
    rows_of = _rows_of(joint)
    alone = WRONGLY_BLAMED.value / max(len(rows_of), 1)
    found = []
    for source, rows in rows_of.items():
        shown, ways = np.linalg.eigh(joint.fit.left_in(rows, joint.covariance))
        checked = shown > _CHECKED
        weighted = ways.T @ (joint.fit.residuals[rows] / joint.fit.sigma[rows])
        count = int(checked.sum())
        square = float(np.sum(weighted[checked] ** 2 / shown[checked]))
        off = -(ways[:, checked] @ (weighted[checked] / shown[checked])) * joint.fit.sigma[rows]
        least = None
        if count:
            shift = _noncentrality(count, alone)
            sigma = float(joint.fit.sigma[rows].max())
            least = sigma * math.sqrt(shift / float(shown[checked].min()))
        found.append(
            Doubt(
                source=source,
                square=square,
                count=count,
                significance=float(chi2.sf(square, count)) if count else 1.0,
                off=tuple(off.tolist()),
                detectable=least,
            )
        )
    return tuple(sorted(found, key=lambda one: (one.significance, -one.square)))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sifted:
    """The adjustment once readings that are wrong are set aside.

    Parameters
    ----------
    joint : Joint
        Without them.
    named : tuple of Doubt
        Readings that are wrong, in the order in which they were found.
    one_of : tuple of Doubt
        Where one more is wrong and they cannot be told apart: these, the likeliest first. They
        are still in the adjustment.
    doubts : tuple of Doubt
        Of the adjustment as it stands.
    """

    joint: Joint
    named: tuple[Doubt, ...]
    one_of: tuple[Doubt, ...]
    doubts: tuple[Doubt, ...]


def sifted(adjust: Callable[[Sequence[Source]], Joint | None]) -> Sifted | None:
    """Readings set aside one after the other until the rest agree; None where nothing is left.

    Parameters
    ----------
    adjust : callable
        Adjusts everything but the readings it is given.

    Notes
    -----
    A reading is set aside only where its error is beyond chance and no other reading explains
    the misfit nearly as well (`TOLD_APART`); else those that may be wrong are told, and stay in.
    After each that is set aside all is adjusted again, so that a second slip is not hidden by the
    first.
    """
    named: list[Doubt] = []
    joint = adjust(())
    if joint is None:
        return None
    while True:
        all_of_them = doubts(joint)
        beyond = WRONGLY_BLAMED.value / max(len(all_of_them), 1)
        worst = all_of_them[0] if all_of_them else None
        if worst is None or worst.significance >= beyond or len(named) == _MOST_ASIDE:
            return Sifted(joint=joint, named=tuple(named), one_of=(), doubts=all_of_them)
        alike = [one for one in all_of_them if one.score > worst.score - TOLD_APART and one.count]
        if len(alike) > 1:
            alike.sort(key=lambda one: -one.score)
            return Sifted(joint=joint, named=tuple(named), one_of=tuple(alike), doubts=all_of_them)
        without = adjust([*(one.source for one in named), worst.source])
        if without is None:
            return Sifted(joint=joint, named=tuple(named), one_of=(worst,), doubts=all_of_them)
        named.append(worst)
        joint = without
