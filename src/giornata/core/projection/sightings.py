"""What is seen of a wall in a picture: marks, and points of lines whose height is known."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from giornata.core.foundation import Assumption, Floats, readonly
from giornata.core.projection.wall_maps import WallMap

__all__ = ["LINE_SET", "LineKind", "LinePoint", "MarkSeen", "Sightings"]

LINE_SET = Assumption(
    name="level or plumb line on the wall, standard error of its place",
    value=0.002,
    unit="m",
    source="common practice, no source: 1 to 3 mm with a laser line, tried both ways round",
    usual=(0.001, 0.005),
)

_STEPS = 30
_NEAR = 1e-10  # of the way between wall and picture: steps along a line come to rest


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkSeen:
    """A control mark and where in the picture it is seen.

    Parameters
    ----------
    name : str
    chainage, level : float
        As measured on the wall. [m]
    x_px, y_px : float
        In the projector's picture. [px]
    mark_sigma : float
        Standard deviation of its place on the wall, each way, of its own; 0 or more. [m]
    px_sigma : float
        Standard deviation of its place in the picture, each way; above 0. [px]
    shared : tuple of (str, float, float)
        What moves it together with others: a name for the cause, and how far one standard
        deviation of it moves the mark along and up. [m]
    """

    name: str
    chainage: float
    level: float
    x_px: float
    y_px: float
    mark_sigma: float
    px_sigma: float
    shared: tuple[tuple[str, float, float], ...] = ()

    def __post_init__(self) -> None:
        if not (self.mark_sigma >= 0 and self.px_sigma > 0):
            raise ValueError("a mark's deviation is 0 or more, a picture's above 0")
        numbers = (self.chainage, self.level, self.x_px, self.y_px, self.mark_sigma, self.px_sigma)
        moves = [move for _, *both in self.shared for move in both]
        if not all(map(math.isfinite, (*numbers, *moves))):
            raise ValueError("a mark's numbers are finite")


class LineKind(StrEnum):
    """How a line on the wall runs; the value is its word."""

    LEVEL = "level"
    PLUMB = "plumb"


@dataclass(frozen=True, slots=True, kw_only=True)
class LinePoint:
    """A point of a line on the wall, seen in the picture: how far along the line is not known.

    Parameters
    ----------
    line : str
        Name of the line; its points share one error of its place.
    name : str
        That the point goes by, for it may be named as wrong.
    kind : LineKind
        A level line has one level all along, a plumb line one chainage all the way up.
    at : float
        That level or chainage. [m]
    x_px, y_px : float
        Where the point is seen. [px]
    line_sigma : float
        Standard deviation of `at`; 0 or more. [m]
    px_sigma : float
        Standard deviation of the point across the line, in the picture; above 0. [px]
    """

    line: str
    name: str
    kind: LineKind
    at: float
    x_px: float
    y_px: float
    line_sigma: float
    px_sigma: float

    def __post_init__(self) -> None:
        if not (self.line_sigma >= 0 and self.px_sigma > 0):
            raise ValueError("a line's deviation is 0 or more, a picture's above 0")
        numbers = (self.at, self.x_px, self.y_px, self.line_sigma, self.px_sigma)
        if not all(map(math.isfinite, numbers)):
            raise ValueError("a line's numbers are finite")


class Sightings:
    """Marks and points of lines as equations: two for a mark, one for a point of a line.

    Parameters
    ----------
    marks : sequence of MarkSeen
        At least one.
    lines : sequence of LinePoint

    Notes
    -----
    A point of a line is held against the nearest place of the picture that the line's light can
    have: its way along the line is eliminated, and what is left is across the line in the picture.
    """

    def __init__(self, marks: Sequence[MarkSeen], lines: Sequence[LinePoint] = ()) -> None:
        self.marks, self.lines = tuple(marks), tuple(lines)
        self.places = readonly([(m.chainage, m.level) for m in self.marks], columns=2)
        self.seen = readonly([(m.x_px, m.y_px) for m in self.marks], columns=2)
        self._line_px = readonly([(p.x_px, p.y_px) for p in self.lines], columns=2)
        self._along = np.array([0 if p.kind is LineKind.LEVEL else 1 for p in self.lines], np.intp)
        self._causes = sorted(
            {cause for m in self.marks for cause, _, _ in m.shared}
            | {f"line {p.line}" for p in self.lines}
        )

    @property
    def count(self) -> int:
        """How many equations there are. [-]"""
        return 2 * len(self.marks) + len(self.lines)

    def missed(self, made: WallMap) -> Floats:
        """Seen less expected, marks first; shape (count,). [px]

        Parameters
        ----------
        made : WallMap
        """
        of_marks = (self.seen - made.px_from_wall(self.places)).ravel()
        if not self.lines:
            return of_marks
        feet, across = self._feet(made)
        apart = self._line_px - made.px_from_wall(feet)
        return np.concatenate([of_marks, np.einsum("ni,ni->n", across, apart)])

    def slopes(self, made: WallMap) -> Floats:
        """Change of what is expected with each parameter, shape (count, p). [px]

        Parameters
        ----------
        made : WallMap
        """
        _, by_parameter = made.slopes(self.places)
        of_marks = by_parameter.reshape(2 * len(self.marks), -1)
        if not self.lines:
            return of_marks
        feet, across = self._feet(made)
        _, of_lines = made.slopes(feet)
        return np.vstack([of_marks, np.einsum("ni,nip->np", across, of_lines)])

    def covariance(self, made: WallMap) -> Floats:
        """Of what is missed where the map is right, shape (count, count). [px²]

        Parameters
        ----------
        made : WallMap
        """
        by_wall, _ = made.slopes(self.places)
        spread = np.zeros((self.count, self.count))
        of_mark = np.array([m.mark_sigma**2 for m in self.marks])[:, None, None]
        in_picture = np.array([m.px_sigma**2 for m in self.marks])[:, None, None]
        own = in_picture * np.eye(2) + of_mark * by_wall @ by_wall.transpose(0, 2, 1)
        first = 2 * np.arange(len(self.marks))
        for i in (0, 1):
            for j in (0, 1):
                spread[first + i, first + j] = own[:, i, j]
        rows = np.arange(2 * len(self.marks), self.count)
        spread[rows, rows] = [p.px_sigma**2 for p in self.lines]
        if self._causes:
            moves = self._moves(made, by_wall)
            spread += moves @ moves.T
        return spread

    def feet(self, made: WallMap) -> Floats:
        """Places on the wall where the lines' points lie by a map, shape (m, 2). [m]

        Parameters
        ----------
        made : WallMap
        """
        return self._feet(made)[0] if self.lines else np.zeros((0, 2))

    def line_shift(self, made: WallMap, line: str) -> Floats:
        """What is missed more for each metre that a line is elsewhere, shape (count,). [px/m]

        Parameters
        ----------
        made : WallMap
        line : str
            Its name.
        """
        shift = np.zeros(self.count)
        shift[2 * len(self.marks) :] = np.where(
            [p.line == line for p in self.lines], self._by_line(made), 0.0
        )
        return shift

    def _moves(self, made: WallMap, by_wall: Floats) -> Floats:
        """Change of each equation with each cause, shape (count, causes). [px]"""
        column = {cause: number for number, cause in enumerate(self._causes)}
        on_wall = np.zeros((len(self.marks), 2, len(column)))
        for number, mark in enumerate(self.marks):
            for cause, along, up in mark.shared:
                on_wall[number, :, column[cause]] += (along, up)
        moves = np.zeros((self.count, len(column)))
        moves[: 2 * len(self.marks)] = (by_wall @ on_wall).reshape(2 * len(self.marks), -1)
        if self.lines:
            by_line = self._by_line(made)
            for number, point in enumerate(self.lines):
                row = 2 * len(self.marks) + number
                moves[row, column[f"line {point.line}"]] = by_line[number] * point.line_sigma
        return moves

    def _by_line(self, made: WallMap) -> Floats:
        """Change across each line in the picture with the line's own place, (m,). [px/m]"""
        if not self.lines:
            return np.zeros(0)
        feet, across = self._feet(made)
        by_wall, _ = made.slopes(feet)
        of_line = by_wall[np.arange(len(feet)), :, 1 - self._along]
        found: Floats = np.einsum("ni,ni->n", across, of_line)
        return found

    def _feet(self, made: WallMap) -> tuple[Floats, Floats]:
        """Places of the lines nearest to what was seen, (m, 2) [m], and across them, (m, 2)."""
        number = np.arange(len(self.lines))
        feet = np.tile(self.places.mean(axis=0), (len(self.lines), 1))
        feet[number, 1 - self._along] = [p.at for p in self.lines]
        with np.errstate(all="ignore"):
            for _ in range(_STEPS):
                by_wall, _ = made.slopes(feet)
                along = by_wall[number, :, self._along]
                apart = self._line_px - made.px_from_wall(feet)
                step = np.einsum("ni,ni->n", along, apart) / np.einsum("ni,ni->n", along, along)
                feet[number, self._along] += step
                if not (np.abs(step) > _NEAR * (1 + np.abs(feet[number, self._along]))).any():
                    break
            by_wall, _ = made.slopes(feet)
            along = by_wall[number, :, self._along]
            across = np.column_stack([-along[:, 1], along[:, 0]])
            across /= np.hypot(*across.T)[:, None]
        return feet, across
