"""Which of the places that look like crosses are the marks: by how marks stand to each other."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from giornata.core.boards.standing import FEW, Standing, fitted, similar
from giornata.core.foundation import Floats

__all__ = ["Constellation", "constellation"]

_SCALE = (0.75, 1.33)  # of the picture as shown to the picture as planned
_TURN = math.radians(14)
_SHIFT = 0.45  # of the picture's width
_LOOSE, _CLOSER, _CLOSE = 0.045, 0.02, 0.008  # of the picture's width, as the map gets better
_PAIRS = 40
_KEPT = 60
_SLANT = (0.55, 1.8)  # of local scale at the picture's corners

# Evidence that a picture stands so: natural logarithm of how much likelier that makes what is seen.
# By 162 crosses and 222 false candidates of 16 made scenes: of the crosses one in eight is alike by
# less than 0.75, of the false ones one by more; the same cross is seen in seven of eight scenes, a
# false one within a hundredth of the picture of a given place in one of 230. That says 11 for a
# cross, 3 for one that is poorly alike, 2 against a mark not seen. Less is believed: a post hides a
# whole column, an old cross may be left on the wall, and few crosses bend the map to a false one.
_POOR, _GOOD = 0.60, 0.75  # likeness up to which a cross tells little, and from which it tells most
_OWN = (0.5, 6.0)  # what they tell at a mark of the set-up
_ENOUGH = 5.7  # to each mark that is needed, but for one where all are
_NEAR = 0.002  # of the picture's width: a poor cross so near to where clear ones have its mark
_NEARLY, _SURELY = 4.0, 6  # tells this, where there are so many clear ones
_OTHERS = 5 / 6  # of that, at a mark of another set-up, which need not be in the picture
_LOOSELY = 0.9  # of that, where they agree to a fiftieth of the picture only
_ASIDE = 0.1  # of the picture's width: standard deviation of how far a picture is beside its plan
_ASTRAY = 2.0  # evidence against a picture that is far beside it, at most
_CLEAR = 3.5  # more evidence than for another way, from which it is sure: odds of 30
_UNEXPLAINED = 0.5  # of what looks clearly like crosses: more must not be no marks


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Constellation:
    """Marks told apart.

    Parameters
    ----------
    standing : Standing
        From the marks' planned places to where they are.
    matched : tuple of (int, int)
        Number of mark and of candidate.
    ambiguous : bool
        Whether the crosses may as well be named otherwise.
    by_plan : bool
        Whether they could, but for the picture being then far beside its plan.
    """

    standing: Standing
    matched: tuple[tuple[int, int], ...]
    ambiguous: bool
    by_plan: bool


def constellation(
    planned: Floats,
    seen: Floats,
    alike: Floats,
    size: tuple[float, float],
    others: Floats | None = None,
) -> Constellation | None:
    """The map under which most marks have a candidate; None where none is convincing.

    Parameters
    ----------
    planned : ndarray, shape (n, 3)
        Places of the marks in the picture if it stood as planned [px], and relief: how far the
        wall stands off a plane there, over how far it is from the lens [-].
    seen : ndarray, shape (m, 2)
        Candidates in the picture. [px]
    alike : ndarray, shape (m,)
        How much each looks like a cross. [-]
    size : tuple of float
        Columns and rows of the picture. [px]
    others : ndarray, shape (k, 3), or None
        Marks of other set-ups near by, as planned in this one's picture or beyond its rim; None
        where there are none. [px, px, -]

    Notes
    -----
    Any two marks and any two candidates give a similarity; those in which the picture is moved,
    turned and scaled as a hand would place it are scored by all marks, and the best are refined
    to a pose's map. Half of the marks, and five where there are as many, must agree to
    a hundredth of the picture's width with clear crosses, or more of them with less clear ones.
    Ways to name the crosses are weighed by the likelihood of what is seen: each cross that is a
    mark speaks for one, of another set-up's mark a little less, a picture beside its plan a little
    against it. What is found is ambiguous where another way
    has nearly as much for it, be it of marks that agree to a fiftieth only, as where the wall is
    not of the shape it was read to be.
    """
    needed = min(len(planned), max(FEW + 1, math.ceil(len(planned) / 2)))
    if len(planned) < FEW or len(seen) < needed:
        return None
    sought = _Sought(
        planned=planned, others=np.zeros((0, 3)) if others is None else others, seen=seen,
        alike=alike, size=size,
    )  # fmt: skip
    ways: dict[tuple[tuple[int, int], ...], _Way] = {}
    for scale, shift in _starts(planned, seen, alike, size):
        for way in sought.ways(scale, shift):
            if len(way.matched) < min(needed, FEW + 1) or way.unexplained > _UNEXPLAINED:
                continue
            if way.close or way.matched not in ways:
                ways[way.matched] = way
    enough = _ENOUGH * min(needed, len(planned) - 1)
    sure = [way for way in ways.values() if way.close and way.ours >= enough]
    if not sure:
        return None
    best = max(sure, key=lambda way: way.evidence)
    rivals = [way for way in ways.values() if best.otherwise(way)]
    return Constellation(
        standing=best.standing,
        matched=best.matched,
        ambiguous=any(way.evidence > best.evidence - _CLEAR for way in rivals),
        by_plan=any(way.crosses > best.crosses - _CLEAR for way in rivals),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Way:
    """A way to name the crosses."""

    standing: Standing
    matched: tuple[tuple[int, int], ...]
    ours: float  # what crosses at the set-up's marks tell
    crosses: float  # what all do, whosever marks they are
    evidence: float  # that it is so
    unexplained: float  # share of what looks clearly like crosses that are no marks
    close: bool  # whether they agree as the marks of one wall do

    def otherwise(self, other: _Way) -> bool:
        """Whether another way names most crosses otherwise."""
        return len(set(self.matched) & set(other.matched)) < len(self.matched) / 2


def _starts(
    planned: Floats, seen: Floats, alike: Floats, size: tuple[float, float]
) -> Iterator[tuple[complex, complex]]:
    """Similarities in order of how well they agree with all marks; as planned comes first."""
    yield complex(1.0), complex(0.0)
    here = planned[:, 0] + 1j * planned[:, 1]
    there = seen[:, 0] + 1j * seen[:, 1]
    pairs = sorted(
        itertools.combinations(range(len(here)), 2), key=lambda p: -abs(here[p[1]] - here[p[0]])
    )[:_PAIRS]
    ahead = there[None, :] - there[:, None]
    scales, shifts = [], []
    for i, j in pairs:
        if here[i] == here[j]:  # two marks planned in one place say nothing together
            continue
        scale = ahead / (here[j] - here[i])
        large = np.abs(scale)
        fits = (large > _SCALE[0]) & (large < _SCALE[1]) & (np.abs(np.angle(scale)) < _TURN)
        first, second = np.nonzero(fits)
        one = scale[first, second]
        scales.append(one)
        shifts.append(there[first] - one * here[i])
    scale, shift = np.concatenate(scales), np.concatenate(shifts)
    middle = complex(size[0] / 2, size[1] / 2)
    moved = np.abs(scale * middle + shift - middle) < _SHIFT * size[0]
    scale, shift = scale[moved], shift[moved]
    agreed = np.zeros(len(scale))
    tolerance = _LOOSE * size[0]
    for mark in here:
        off = np.abs((scale * mark + shift)[:, None] - there[None, :])
        agreed += (np.maximum(1 - (off / tolerance) ** 2, 0) * alike).max(axis=1, initial=0.0)
    for index in np.argsort(-agreed, kind="stable")[:_KEPT].tolist():
        yield complex(scale[index]), complex(shift[index])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Sought:
    """What is planned and what is seen."""

    planned: Floats
    others: Floats
    seen: Floats
    alike: Floats
    size: tuple[float, float]

    def ways(self, scale: complex, shift: complex) -> Iterator[_Way]:
        """What a start leads to: marks that agree to a fiftieth, and those to a hundredth."""
        standing, width = similar(scale, shift), self.size[0]
        tolerances = (False, (_LOOSE, _LOOSE, _CLOSER, _CLOSER)), (True, (_CLOSE,) * 3)
        for close, shares in tolerances:
            for share in shares:
                matched = _matches(standing.mapped(self.planned), self.seen, share * width)
                if len(matched) < FEW:
                    return
                marks, places = (list(column) for column in zip(*matched, strict=True))
                standing = fitted(self.planned[marks], self.seen[places])
                if not np.isfinite(standing.matrix).all():
                    return
            matched = _matches(standing.mapped(self.planned), self.seen, shares[-1] * width)
            if _plausible(standing, self.size):
                yield self._weighed(standing, matched, close=close)

    def _weighed(
        self, standing: Standing, matched: tuple[tuple[int, int], ...], *, close: bool
    ) -> _Way:
        """A way and the evidence for it."""
        width, middle = self.size[0], np.array(self.size) / 2
        own = [number for _, number in matched]
        free = np.setdiff1d(np.arange(len(self.seen)), own)
        tolerance = (_CLOSE if close else _CLOSER) * width
        beside = _matches(standing.mapped(self.others), self.seen[free], tolerance)
        other = [int(free[number]) for _, number in beside]
        loosely = 1.0 if close else _LOOSELY
        ours, theirs = (
            np.interp(self.alike[each], (_POOR, _GOOD), _OWN) * loosely for each in (own, other)
        )
        if close:
            ours = np.where(self._borne_out(matched), np.maximum(ours, _NEARLY), ours)
        aside = np.linalg.norm(standing.mapped(np.array([(*middle, 0.0)])) - middle) / width
        clear = self.alike > _GOOD
        return _Way(
            standing=standing,
            matched=matched,
            ours=float(ours.sum()),
            crosses=float(ours.sum() + theirs.sum()),
            evidence=float(ours.sum() + _OTHERS * theirs.sum())
            - min((float(aside) / _ASIDE) ** 2 / 2, _ASTRAY),
            unexplained=1.0 - clear[[*own, *other]].sum() / clear.sum() if clear.any() else 0.0,
            close=close,
        )

    def _borne_out(self, matched: tuple[tuple[int, int], ...]) -> NDArray[np.bool_]:
        """Which crosses lie where the clear ones alone have their marks."""
        marks, places = (np.array(column) for column in zip(*matched, strict=True))
        clear = self.alike[places] > _GOOD
        if clear.sum() < _SURELY:
            return np.zeros(len(marks), bool)
        standing = fitted(self.planned[marks[clear]], self.seen[places[clear]])
        off = np.linalg.norm(standing.mapped(self.planned[marks]) - self.seen[places], axis=1)
        return np.asarray(off < _NEAR * self.size[0], bool)


def _matches(places: Floats, seen: Floats, tolerance: float) -> tuple[tuple[int, int], ...]:
    """Marks and candidates that are each other's nearest."""
    if not len(places) or not len(seen):
        return ()
    off = np.linalg.norm(places[:, None, :] - seen[None, :, :], axis=2)
    off = np.nan_to_num(off, nan=np.inf)
    made = []
    for mark in range(len(places)):
        number = int(off[mark].argmin())
        if off[mark, number] < tolerance and int(off[:, number].argmin()) == mark:
            made.append((mark, number))
    return tuple(made)


def _plausible(standing: Standing, size: tuple[float, float]) -> bool:
    """Whether a projector placed by hand could throw its picture so."""
    columns, rows = size
    corners = np.array([(0, 0, 0), (columns, 0, 0), (columns, rows, 0), (0, rows, 0)], float)
    slopes = standing.slopes(corners)[:, :, :2]
    area = np.linalg.det(slopes)
    if not (np.isfinite(area).all() and (area > 0).all()):
        return False
    scale = np.sqrt(area)
    turn = np.arctan2(slopes[:, 1, 0], slopes[:, 0, 0])
    return bool(
        (scale > _SLANT[0]).all() and (scale < _SLANT[1]).all() and (np.abs(turn) < 2 * _TURN).all()
    )
