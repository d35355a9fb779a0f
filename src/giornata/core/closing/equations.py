"""Equations of all pictures, marks and measurements of a wall in one set of unknowns."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from scipy.sparse import coo_array, csr_array

from giornata.core.closing.observed import TAPED, Measure, MeasureKind, PictureSeen, PlacedMark
from giornata.core.foundation import Floats
from giornata.core.projection import LinePoint, Sightings, WallMap

__all__ = ["Equations", "InSpace", "Source", "SourceKind", "Standing", "System"]

InSpace = Callable[[Floats], Floats]
"""From places on the wall, (n, 2), to space, (n, 3). [m]"""

_SURE = 1e-6  # m: deviation of a line that is believed to be without error
_NUDGE = 1e-4  # m: over which the change of a length in space is taken


class SourceKind:
    """What an equation comes from."""

    SEEN = "seen"
    SET = "set"
    LINE = "line"
    MEASURED = "measured"
    BELIEVED = "believed"
    NEAR = "near"


class Source(NamedTuple):
    """Where an equation comes from: its kind, the set-up (0 for none), the mark or measurement."""

    kind: str
    set_up: int
    name: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Standing:
    """Values of the unknowns.

    Parameters
    ----------
    places : ndarray, shape (m, 2)
        Of the marks. [m]
    scale : float
        True length over what the tape reads, less 1. [-]
    maps : tuple of WallMap
        Of the pictures.
    lines : ndarray, shape (l,)
        How far each line of a picture is from where it was to be, up or to the right. [m]
    """

    places: Floats
    scale: float
    maps: tuple[WallMap, ...]
    lines: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class System:
    """Equations at given values of the unknowns.

    Parameters
    ----------
    design : csr_array, shape (n, u)
        Change of what would be read with each unknown.
    missed : ndarray, shape (n,)
        Read less what would be read.
    sigma : ndarray, shape (n,)
        Standard deviations of the readings.
    sources : tuple of Source
        One an equation.
    """

    design: csr_array
    missed: Floats
    sigma: Floats
    sources: tuple[Source, ...]

    @property
    def misfit(self) -> float:
        """Weighted sum of squares. [-]"""
        return float(np.sum((self.missed / self.sigma) ** 2))


class _Rows:
    """Equations as they are written down one after the other."""

    def __init__(self) -> None:
        self.row: list[Floats] = []
        self.column: list[Floats] = []
        self.share: list[Floats] = []
        self.missed: list[float] = []
        self.sigma: list[float] = []
        self.sources: list[Source] = []

    def add(
        self, source: Source, columns: Sequence[int] | Floats, shares: Sequence[float] | Floats,
        missed: float, sigma: float,
    ) -> None:  # fmt: skip
        number = len(self.missed)
        self.row.append(np.full(len(columns), number, dtype=np.float64))
        self.column.append(np.asarray(columns, dtype=np.float64))
        self.share.append(np.asarray(shares, dtype=np.float64))
        self.missed.append(missed)
        self.sigma.append(sigma)
        self.sources.append(source)

    def system(self, unknowns: int) -> System:
        rows, columns = (np.concatenate(p).astype(np.intp) for p in (self.row, self.column))
        shape = (len(self.missed), unknowns)
        return System(
            design=csr_array(coo_array((np.concatenate(self.share), (rows, columns)), shape)),
            missed=np.array(self.missed),
            sigma=np.array(self.sigma),
            sources=tuple(self.sources),
        )


class Equations:
    """The unknowns of a wall, numbered: marks, the tape's scale, each picture's map, then lines.

    Parameters
    ----------
    marks : sequence of PlacedMark
        Each name once.
    pictures : sequence of PictureSeen
        Marks that are not among these are passed over.
    measures : sequence of Measure
        On these marks.
    scale_sigma : float
        Standard deviation of the tape's scale; above 0. [-]
    in_space : callable or None
        None: the wall is flat.
    """

    def __init__(
        self,
        marks: Sequence[PlacedMark],
        pictures: Sequence[PictureSeen],
        measures: Sequence[Measure],
        *,
        scale_sigma: float,
        in_space: InSpace | None = None,
    ) -> None:
        self.marks = tuple(marks)
        self.pictures = tuple(pictures)
        self.measures = tuple(measures)
        self.scale_sigma = scale_sigma
        self._in_space = in_space
        self.mark_of = {mark.name: number for number, mark in enumerate(self.marks)}
        self.scale_column = 2 * len(self.marks)
        self.map_columns: list[slice] = []
        at = self.scale_column + 1
        for one in self.pictures:
            count = one.start.slopes(np.array([[m.chainage, m.level] for m in marks[:1]]))[1]
            self.map_columns.append(slice(at, at + count.shape[2]))
            at += count.shape[2]
        self.line_column: dict[tuple[int, str], int] = {}
        for one in self.pictures:
            for point in one.lines:
                self.line_column.setdefault((one.set_up, point.line), at + len(self.line_column))
        self.unknowns = at + len(self.line_column)

    def begun(self) -> Standing:
        """Values to begin with: marks where they were set."""
        return Standing(
            places=np.array([(m.chainage, m.level) for m in self.marks]).reshape(-1, 2),
            scale=0.0,
            maps=tuple(one.start for one in self.pictures),
            lines=np.zeros(len(self.line_column)),
        )

    def moved(self, standing: Standing, step: Floats) -> Standing:
        """Values changed by a step.

        Parameters
        ----------
        standing : Standing
            The values.
        step : ndarray, shape (u,)
            Of all unknowns.
        """
        return replace(
            standing,
            places=standing.places + step[: self.scale_column].reshape(-1, 2),
            scale=standing.scale + float(step[self.scale_column]),
            maps=tuple(
                one.moved(step[own])
                for one, own in zip(standing.maps, self.map_columns, strict=True)
            ),
            lines=standing.lines + step[len(step) - len(standing.lines) :],
        )

    def system(self, standing: Standing) -> System:
        """The equations at these values.

        Parameters
        ----------
        standing : Standing
            The values.
        """
        rows = _Rows()
        for number in range(len(self.pictures)):
            self._picture(rows, standing, number)
        for number, mark in enumerate(self.marks):
            self._as_set(rows, standing, number, mark)
        for measure in self.measures:
            self._measure(rows, standing, measure)
        believed = Source(SourceKind.BELIEVED, 0, "tape")
        rows.add(believed, [self.scale_column], [1.0], -standing.scale, self.scale_sigma)
        return rows.system(self.unknowns)

    def _picture(self, rows: _Rows, standing: Standing, number: int) -> None:
        picture, made = self.pictures[number], standing.maps[number]
        own = self.map_columns[number]
        seen = [one for one in picture.seen if one.name in self.mark_of]
        if seen:
            index = [self.mark_of[one.name] for one in seen]
            places = standing.places[index]
            by_wall, by_map = made.slopes(places)
            expected = made.px_from_wall(places)
            columns = np.arange(own.start, own.stop)
            for k, one in enumerate(seen):
                source = Source(SourceKind.SEEN, picture.set_up, one.name)
                all_columns = np.concatenate([[2 * index[k], 2 * index[k] + 1], columns])
                for axis, read in enumerate((one.x_px, one.y_px)):
                    shares = np.concatenate([by_wall[k, axis], by_map[k, axis]])
                    rows.add(source, all_columns, shares,
                             read - float(expected[k, axis]), one.px_sigma)  # fmt: skip
        self._lines(rows, standing, number)
        for value, slopes in zip(made.prior, made.prior_slopes, strict=True):
            source = Source(SourceKind.BELIEVED, picture.set_up, "projector")
            rows.add(source, np.arange(own.start, own.stop), slopes, -float(value), 1.0)

    def _lines(self, rows: _Rows, standing: Standing, number: int) -> None:
        """Points of lines as they are squared on: across each line in the picture."""
        picture, made = self.pictures[number], standing.maps[number]
        own = self.map_columns[number]
        by_name: dict[str, list[LinePoint]] = {}
        for point in picture.lines:
            by_name.setdefault(point.line, []).append(point)
        for line, points in by_name.items():
            column = self.line_column[picture.set_up, line]
            off = float(standing.lines[column - self.unknowns])
            moved = [replace(point, at=point.at + off) for point in points]
            sightings = Sightings(picture.seen, moved)
            lines = slice(2 * len(picture.seen), None)
            missed = sightings.missed(made)[lines].tolist()
            by_map = sightings.slopes(made)[lines]
            by_line = sightings.line_shift(made, line)[lines].tolist()
            columns = np.concatenate([np.arange(own.start, own.stop), [column]])
            for k, point in enumerate(points):
                source = Source(SourceKind.SEEN, picture.set_up, point.name)
                shares = np.concatenate([by_map[k], [by_line[k]]])
                rows.add(source, columns, shares, missed[k], point.px_sigma)
            # Of one point alone it does not show whether it or its line is wrong.
            kind = SourceKind.LINE if len(points) > 1 else SourceKind.BELIEVED
            sigma = max(points[0].line_sigma, _SURE)
            rows.add(Source(kind, picture.set_up, line), [column], [1.0], -off, sigma)

    def _as_set(self, rows: _Rows, standing: Standing, number: int, mark: PlacedMark) -> None:
        source = Source(SourceKind.SET, 0, mark.name)
        along, up = standing.places[number].tolist()
        if mark.chainage_sigma is not None:
            stretch = 1 + standing.scale
            rows.add(
                source, [2 * number, self.scale_column], [1 / stretch, -along / stretch**2],
                mark.chainage - along / stretch, mark.chainage_sigma,
            )  # fmt: skip
        if mark.level_sigma is not None:
            rows.add(source, [2 * number + 1], [1.0], mark.level - up, mark.level_sigma)

    def _measure(self, rows: _Rows, standing: Standing, one: Measure) -> None:
        source = Source(SourceKind.MEASURED, 0, one.name)
        columns, shares, would_read = self.sighted(standing, one)
        rows.add(source, columns, shares, one.value - would_read, one.sigma)

    def sighted(self, standing: Standing, one: Measure) -> tuple[list[int], list[float], float]:
        """Unknowns of a measurement, their shares in it, and what it would read. [m]

        Parameters
        ----------
        standing : Standing
            The values.
        one : Measure
            Its own value is not used.
        """
        index = [self.mark_of[name] for name in one.marks]
        places = standing.places[index]
        axis = 1 if one.kind is MeasureKind.LEVEL else 0
        if one.kind not in TAPED:
            signs = [1.0] if len(index) == 1 else [-1.0, 1.0]
            return (
                [2 * k + axis for k in index], signs, float(np.dot(signs, places[:, axis])),
            )  # fmt: skip
        stretch = 1 + standing.scale
        length, by_place = self._length(places)
        columns = [2 * k + axis for k in index for axis in (0, 1)]
        shares = [*(by_place / stretch).tolist(), -length / stretch**2]
        return [*columns, self.scale_column], shares, length / stretch

    def pulled(self, standing: Standing, start: Floats, end: Floats) -> float:
        """What the tape would read, pulled straight between two places of the wall. [m]

        Parameters
        ----------
        standing : Standing
            The values.
        start, end : ndarray, shape (2,)
            Chainage and level. [m]
        """
        return self._length(np.array([start, end]))[0] / (1 + standing.scale)

    def _length(self, places: Floats) -> tuple[float, Floats]:
        """Straight length between two places, and its change with their four coordinates."""
        if self._in_space is None:
            apart = places[1] - places[0]
            length = math.hypot(*apart)
            unit = apart / max(length, 1e-9)
            return length, np.concatenate([-unit, unit])
        tried = np.repeat(places[None], 9, axis=0).reshape(9, 4)
        for k in range(4):
            tried[1 + 2 * k, k] += _NUDGE
            tried[2 + 2 * k, k] -= _NUDGE
        at = self._in_space(tried.reshape(-1, 2)).reshape(9, 2, 3)
        lengths = np.linalg.norm(at[:, 1] - at[:, 0], axis=1)
        return float(lengths[0]), (lengths[1::2] - lengths[2::2]) / (2 * _NUDGE)
