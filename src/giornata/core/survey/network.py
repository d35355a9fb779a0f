"""Equations of a network of readings, and its unknowns solved by least squares."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from giornata.core.foundation import Floats
from giornata.core.geometry import LeastSquares, least_squares
from giornata.core.survey.taken import DATUM, Kind, Taken

__all__ = ["Axis", "Network", "Unknown", "solved", "would_miss"]

_SETTLED = 1e-8  # m: steps smaller than this change nothing that is written down
_ASTRAY = 1e6  # m: no wall is so long
_MOST_STEPS = 60


class Axis(StrEnum):
    """What is unknown of a point, or of a coursing."""

    CHAINAGE = "chainage"
    LEVEL = "level"
    OFFSET = "offset"
    COURSE = "course height"


Unknown = tuple[Axis, str]


def _fixed(unknown: Unknown) -> bool:
    return unknown[1] == DATUM and unknown[0] is not Axis.COURSE


_AXIS = {
    Kind.CHAINAGE: Axis.CHAINAGE,
    Kind.LENGTH: Axis.CHAINAGE,
    Kind.PLUMB: Axis.CHAINAGE,
    Kind.LEVEL: Axis.LEVEL,
    Kind.HEIGHT: Axis.LEVEL,
    Kind.COURSES: Axis.LEVEL,
    Kind.OFFSET: Axis.OFFSET,
    Kind.LEAN: Axis.OFFSET,
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Network:
    """A solved network.

    Parameters
    ----------
    unknowns : tuple of Unknown
        In the order of the solution's.
    values : dict of Unknown to float
        Each unknown as adjusted; the datum's are 0. [m]
    fit : LeastSquares
        The last step of the solution: residuals, redundancy, gain. [m]
    settled : bool
        Whether the diagonals came to rest.
    """

    unknowns: tuple[Unknown, ...]
    values: dict[Unknown, float]
    fit: LeastSquares
    settled: bool

    def left_open(self) -> tuple[Unknown, ...]:
        """The unknowns that no reading fixes."""
        flags = self.fit.is_open()
        return tuple(u for u, is_open in zip(self.unknowns, flags, strict=True) if is_open)


class _Equations:
    """Readings as equations in numbered unknowns."""

    def __init__(self, readings: Sequence[Taken], same_chainage: Mapping[str, str]) -> None:
        self.readings = readings
        self._same = same_chainage
        self.column: dict[Unknown, int] = {}
        for reading in readings:
            for unknown in self.unknowns_of(reading):
                if not _fixed(unknown):
                    self.column.setdefault(unknown, len(self.column))

    def _key(self, axis: Axis, point: str) -> Unknown:
        return axis, (self._same.get(point, point) if axis is Axis.CHAINAGE else point)

    def ends(self, reading: Taken, axis: Axis) -> tuple[Unknown, Unknown]:
        return self._key(axis, reading.start), self._key(axis, reading.end)

    def unknowns_of(self, reading: Taken) -> tuple[Unknown, ...]:
        if reading.kind is Kind.DIAGONAL:
            return (*self.ends(reading, Axis.CHAINAGE), *self.ends(reading, Axis.LEVEL))
        if reading.kind is Kind.COURSES:
            return (*self.ends(reading, Axis.LEVEL), (Axis.COURSE, reading.course))
        return self.ends(reading, _AXIS[reading.kind])

    def at(self, values: Floats, unknown: Unknown) -> float:
        return 0.0 if _fixed(unknown) else float(values[self.column[unknown]])

    def _put(self, row: Floats, unknown: Unknown, share: float) -> None:
        if not _fixed(unknown):
            row[self.column[unknown]] += share

    def sighted(self, reading: Taken, values: Floats) -> tuple[float, Floats]:
        """What the reading would read at these values, and its change with each of them."""
        row = np.zeros(len(self.column))
        if reading.kind is not Kind.DIAGONAL:
            start, end = self.ends(reading, _AXIS[reading.kind])
            self._put(row, end, 1.0)
            self._put(row, start, -1.0)
            if reading.kind is Kind.COURSES:
                self._put(row, (Axis.COURSE, reading.course), -reading.value)
            return float(row @ values), row
        parts = []
        for axis in (Axis.CHAINAGE, Axis.LEVEL):
            start, end = self.ends(reading, axis)
            parts.append((start, end, self.at(values, end) - self.at(values, start)))
        length = math.hypot(parts[0][2], parts[1][2])
        for start, end, apart in parts:
            share = apart / length if length > 0 else 0.0
            self._put(row, end, share)
            self._put(row, start, -share)
        return length, row

    def begun(self, sigma: Floats) -> Floats:
        """Values to begin with: diagonals run right, and up to a point that hangs on them alone."""
        begin = np.zeros(len(self.column))
        if all(reading.kind is not Kind.DIAGONAL for reading in self.readings):
            return begin
        rows, read, weak = [], [], []
        for reading, error in zip(self.readings, sigma, strict=True):
            if reading.kind is not Kind.DIAGONAL:
                rows.append(self.sighted(reading, begin)[1])
                read.append(0.0 if reading.kind is Kind.COURSES else reading.value)
                weak.append(error)
        rough = 1e3 * max([*weak, 0.01])
        for reading in self.readings:
            foot, head = self.ends(reading, Axis.CHAINAGE)
            known = all(_fixed(unknown) or unknown in self.column for unknown in (foot, head))
            if reading.kind is Kind.HEIGHT and known:
                rows.append(self._apart(foot, head))
                read.append(0.0)
                weak.append(rough)
        return self._with_diagonals(rows, read, weak, rough)

    def _with_diagonals(
        self, rows: list[Floats], read: list[float], weak: list[float], rough: float
    ) -> Floats:
        first = least_squares(np.array(rows).reshape(-1, len(self.column)), np.array(read),
                              np.array(weak))  # fmt: skip
        open_ones = dict(zip(self.column, first.is_open(), strict=True))
        for reading in self.readings:
            if reading.kind is not Kind.DIAGONAL:
                continue
            foot, head = self.ends(reading, Axis.LEVEL)
            rise = self.at(first.values, head) - self.at(first.values, foot)
            hangs = open_ones.get(head, False) - open_ones.get(foot, False)
            if hangs:
                rise = hangs * reading.value / 2
                rows.append(self._apart(foot, head))
                read.append(rise)
                weak.append(10 * rough)
            rows.append(self._apart(*self.ends(reading, Axis.CHAINAGE)))
            read.append(math.sqrt(max(reading.value**2 - rise**2, (0.1 * reading.value) ** 2)))
            weak.append(10 * rough)
        return least_squares(np.array(rows), np.array(read), np.array(weak)).values

    def _apart(self, start: Unknown, end: Unknown) -> Floats:
        row = np.zeros(len(self.column))
        self._put(row, end, 1.0)
        self._put(row, start, -1.0)
        return row


def solved(
    readings: Sequence[Taken], sigma: Floats, same_chainage: Mapping[str, str] | None = None
) -> Network | None:
    """The network adjusted; None where there are no readings.

    Parameters
    ----------
    readings : sequence of Taken
        None of them doubtful.
    sigma : ndarray, shape (n,)
        Standard deviation of each; above 0. [m]
    same_chainage : mapping of str to str
        Points that stand at the chainage of another, each with that other.

    Notes
    -----
    Diagonals are straight in the unrolled face and are taken in by Gauss-Newton steps; all other
    readings are linear, and without diagonals one step is exact. Two diagonals from known points
    meet at two places: of these the upper one, and the one right of where they start, is taken.
    """
    if not readings:
        return None
    equations = _Equations(readings, same_chainage or {})
    read = np.array([0.0 if r.kind is Kind.COURSES else r.value for r in readings])
    values = equations.begun(sigma)
    settled = False
    for _ in range(_MOST_STEPS):
        pairs = [equations.sighted(reading, values) for reading in readings]
        would_read = np.array([pair[0] for pair in pairs])
        fit = least_squares(np.vstack([pair[1] for pair in pairs]), read - would_read, sigma)
        step = float(np.abs(fit.values).max(initial=0.0))
        if step > _ASTRAY:
            break
        values = values + fit.values
        linear = all(reading.kind is not Kind.DIAGONAL for reading in readings)
        if linear or step < _SETTLED:
            settled = True
            break
    found = {unknown: float(values[column]) for unknown, column in equations.column.items()}
    found.update({(axis, DATUM): 0.0 for axis in Axis if axis is not Axis.COURSE})
    return Network(unknowns=tuple(equations.column), values=found, fit=fit, settled=settled)


def would_miss(network: Network, reading: Taken, same_chainage: Mapping[str, str]) -> float | None:
    """What a network says of a reading that is not in it, less that reading. [m]

    Parameters
    ----------
    network : Network
        Solved without the reading.
    reading : Taken
        The reading; a count of courses is compared over its whole height.
    same_chainage : mapping of str to str
        Points that stand at the chainage of another, each with that other.

    Returns
    -------
    float or None
        None where the network does not fix what the reading needs.
    """
    equation = _Equations([reading], same_chainage)
    fixed = set(network.values) - set(network.left_open())
    if not fixed.issuperset(equation.column):
        return None
    values = np.array([network.values[unknown] for unknown in equation.column])
    says = equation.sighted(reading, values)[0]
    return says if reading.kind is Kind.COURSES else says - reading.value
