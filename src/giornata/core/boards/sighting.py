"""What a set of photos shows: the pattern measured, the crosses found, and what cannot be told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from giornata.core.boards.board_checks import board_findings, shot_findings
from giornata.core.boards.board_findings import (
    ambiguous,
    by_plan,
    by_targets,
    few_crosses,
    no_crosses,
    no_white,
    several_folds,
    sizes_differ,
    some_missed,
    tapped_twice,
    taps_at_one_place,
)
from giornata.core.boards.constellation import Constellation, constellation
from giornata.core.boards.crosses import (
    CrossSeen,
    CrossShape,
    candidates,
    measured_cross,
    squared_picture,
)
from giornata.core.boards.looking import Shots, looked_at
from giornata.core.boards.pattern import Pattern
from giornata.core.boards.planned_marks import PlannedMark, Tap, planned_places
from giornata.core.boards.saddles import Board
from giornata.core.boards.shots import Light
from giornata.core.boards.standing import Standing, by_taps
from giornata.core.boards.targets import TargetShape
from giornata.core.foundation import Finding, Floats, Severity

__all__ = [
    "LEAST_CROSSES", "MarkFound", "MarkMissed", "Sighting", "sighting",
]  # fmt: skip

LEAST_CROSSES = 4
"""Crosses without which no picture can be squared. [-]"""

_DOUBT = 2.5  # px of the projector: where the pattern is too far to carry a cross so well
_PAPER = 2.5  # of a target's half: from its middle to the paper's far corners
_BURNT = 0.97  # of the brightest that a photo holds: 252 of 255 levels
_FINE = 0.0045  # m: pixel in which candidates are looked for, at least


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkFound:
    """A mark whose cross, or whose printed target, was found.

    Parameters
    ----------
    name : str
    cross : CrossSeen
    target : bool
        Whether it is a printed target.
    """

    name: str
    cross: CrossSeen
    target: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkMissed:
    """A mark whose cross was not found.

    Parameters
    ----------
    name : str
    photo_x, photo_y : float
        Where it should be in the photo. [px]
    why : str
    """

    name: str
    photo_x: float
    photo_y: float
    why: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sighting:
    """What a set of photos shows.

    Parameters
    ----------
    board : Board or None
        None where no pattern was measured.
    found : tuple of MarkFound
    missed : tuple of MarkMissed
    findings : tuple of Finding
    differenced : bool
        Whether positive and negative were used together.
    """

    board: Board | None
    found: tuple[MarkFound, ...]
    missed: tuple[MarkMissed, ...]
    findings: tuple[Finding, ...]
    differenced: bool = False

    @property
    def refused(self) -> Finding | None:
        """Why the picture cannot be squared by these photos; None where it can."""
        stops = (one for one in self.findings if one.severity is Severity.STOP)
        return next(stops, None)

    @property
    def board_sigma_px(self) -> float | None:
        """Standard deviation of a saddle in the projector's picture, each way. [px]"""
        return None if self.board is None else self.board.onto_picture.sigma


def sighting(
    shots: Shots,
    pattern: Pattern,
    marks: Sequence[PlannedMark],
    pitch: float,
    *,
    others: Sequence[int] = (),
    beside: Sequence[PlannedMark] = (),
    taps: Sequence[Tap] = (),
    shape: CrossShape | None = None,
    folds: int = 0,
) -> Sighting:
    """The marks of a set-up found in photos of its pattern and of plain white light.

    Parameters
    ----------
    shots : Shots
    pattern : Pattern
        Of this set-up; other kinds of it are tried as well.
    marks : sequence of PlannedMark
        Those the set-up aims at.
    pitch : float
        One of the projector's pixels on the wall, as planned; above 0. [m]
    others : sequence of int
        Numbers of the job's other set-ups. [-]
    beside : sequence of PlannedMark
        Marks near by that only other set-ups aim at: their crosses may be in the photo too.
    taps : sequence of Tap
        Marks pointed at, where they are not found by themselves.
    shape : CrossShape or None
        How the crosses were drawn; None for the usual way.
    folds : int
        Sharp bends of the wall inside the picture, as surveyed; one can be followed. [-]

    Raises
    ------
    ValueError
        If the pitch is not above 0.
    """
    if not pitch > 0:
        raise ValueError("a pixel on the wall is larger than 0")
    if folds > 1:
        return Sighting(board=None, found=(), missed=(), findings=(several_folds(folds),))
    sizes = shots.sizes
    if len(sizes) > 1:
        return Sighting(board=None, found=(), missed=(), findings=(sizes_differ(sizes),))
    looked = looked_at(shots, pattern, others)
    exposure = shot_findings(shots, looked.board)
    made = Sighting(
        board=looked.board, found=(), missed=(), findings=(*exposure, *looked.findings),
        differenced=looked.differenced,
    )  # fmt: skip
    if looked.board is None:
        return made
    checks = board_findings(looked.board, looked.positive, parted=looked.parted)
    made = replace(made, findings=(*made.findings, *checks))
    if made.refused is not None:
        return made
    if looked.white is None:
        return replace(made, findings=(*made.findings, no_white()))
    search = _Search(
        white=looked.white, board=looked.board, sigma=looked.white_sigma, pitch=pitch,
        marks=tuple(marks), beside=tuple(beside), shape=shape or CrossShape(), target=TargetShape(),
    )  # fmt: skip
    standing = search.by_taps(taps) if taps else search.by_themselves()
    if isinstance(standing, Finding):
        return replace(made, findings=(*made.findings, standing))
    if isinstance(standing, Constellation):
        if standing.by_plan:
            made = replace(made, findings=(*made.findings, by_plan(len(standing.matched))))
        standing = standing.standing
    found, missed = search.measured(standing)
    more: tuple[Finding, ...] = ()
    if len(found) < LEAST_CROSSES:
        more = (few_crosses(len(found), len(marks), LEAST_CROSSES),)
    elif missed:
        more = (some_missed([(one.name, one.why) for one in missed]),)
    targets = [one.name for one in found if one.target]
    if targets:
        more = (*more, by_targets(targets))
    return replace(made, found=found, missed=missed, findings=(*made.findings, *more))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Search:
    """The search for crosses in one white shot."""

    white: Light
    board: Board
    sigma: float
    pitch: float
    marks: tuple[PlannedMark, ...]
    beside: tuple[PlannedMark, ...]
    shape: CrossShape
    target: TargetShape

    @property
    def even(self) -> Floats:
        """Change of the picture with the wall, square to the lens. [px/m]"""
        made: Floats = np.eye(2) / self.pitch
        return made

    @property
    def planned(self) -> Floats:
        return planned_places(self.marks)

    def changes(self, standing: Standing | None) -> Floats:
        """Of the picture as it stands, or as planned, with the wall at each mark. [px/m]"""
        even = 1 / self.pitch
        planned = np.array(
            [(one.along or (even, 0, 0), one.up or (0, -even, 0)) for one in self.marks], float
        ).reshape(-1, 2, 3)
        slopes = np.eye(2, 3) if standing is None else standing.slopes(self.planned)
        made: Floats = slopes @ np.swapaxes(planned, 1, 2)
        return made * (1.0, -1.0)  # right and down

    def by_themselves(self) -> Constellation | Finding:
        """How the picture stands, by crosses alone; or why it cannot be told."""
        size = (float(self.board.pattern.columns), float(self.board.pattern.rows))
        change = self.board.onto_photo.slopes(np.array([size]) / 2)[0]
        grain = self.pitch / float(np.linalg.svd(change, compute_uv=False)[0])
        soft = 0.0 if self.board.soft is None else self.board.soft * grain
        fine = min(max(_FINE, grain), self.shape.stroke)
        whole = (np.zeros(2), self.pitch * np.array(size))
        picture = squared_picture(self.white, self.board, self.even, fine, whole)
        crosses = candidates(picture, self.shape, soft)
        targets = candidates(picture, self.target, soft)
        away = np.linalg.norm(crosses[0][:, None, :] - targets[0][None, :, :], axis=2)
        clear = (self.pitch * away > _PAPER * self.target.arm).all(axis=1)
        seen = np.concatenate([crosses[0][clear], targets[0]])
        alike = np.concatenate([crosses[1][clear], targets[1]])
        made = constellation(self.planned, seen, alike, size, planned_places(self.beside))
        if made is None:
            return no_crosses(len(seen), len(self.marks))
        return ambiguous(len(made.matched)) if made.ambiguous else made

    def by_taps(self, taps: Sequence[Tap]) -> Standing | Finding:
        """The same from crosses measured where they were pointed at."""
        known = {one.name: number for number, one in enumerate(self.marks)}
        pointed = [tap for tap in taps if tap.name in known]
        if not pointed:
            return few_crosses(0, len(self.marks), LEAST_CROSSES)
        names = [tap.name for tap in pointed]
        if again := sorted({name for name in names if names.count(name) > 1}):
            return tapped_twice(again[0])
        at = np.array([(tap.x, tap.y) for tap in pointed])
        start = self.board.onto_picture.mapped(at)
        numbers, places = [], []
        changes = self.changes(None)
        for tap, place in zip(pointed, start, strict=True):
            told = self._told(place, changes[known[tap.name]])
            if not isinstance(told, str):
                numbers.append(known[tap.name])
                places.append((told[0].x_px, told[0].y_px))
        if not places:
            return few_crosses(0, len(self.marks), LEAST_CROSSES)
        for places_of in (self.planned[numbers, :2], np.array(places)):
            if (pair := _in_one_place(places_of)) is not None:
                return taps_at_one_place([self.marks[numbers[one]].name for one in pair])
        standing = by_taps(self.planned[numbers], np.array(places))
        found, _ = self.measured(standing)
        if len(found) <= len(places):
            return standing
        numbers = [known[one.name] for one in found]
        better = np.array([(one.cross.x_px, one.cross.y_px) for one in found])
        return by_taps(self.planned[numbers], better)

    def measured(self, standing: Standing) -> tuple[tuple[MarkFound, ...], tuple[MarkMissed, ...]]:
        """Every mark's cross about its expected place."""
        if not self.marks:
            return (), ()
        expected = standing.mapped(self.planned)
        changes = self.changes(standing)
        photo = self.board.onto_photo.mapped(expected)
        _, doubt = self.board.onto_picture.carried(photo)
        high, wide = self.white.shape
        found, missed = [], []
        for number, mark in enumerate(self.marks):
            x, y = photo[number].tolist()
            told: tuple[CrossSeen, bool] | str
            if not (0 <= x < wide and 0 <= y < high):
                told = "it is outside the photo"
            elif doubt[number] > _DOUBT:
                told = "no part of the pattern is seen near it"
            else:
                told = self._told(expected[number], changes[number])
            if isinstance(told, str):
                missed.append(MarkMissed(name=mark.name, photo_x=x, photo_y=y, why=told))
            else:
                cross, target = told
                found.append(MarkFound(name=mark.name, cross=cross, target=target))
        return tuple(found), tuple(missed)

    def _told(self, expected: Floats, change: Floats) -> tuple[CrossSeen, bool] | str:
        """What is seen at a mark, and whether it is a printed target; or why it is not told."""
        # The paper covers what else might look like a cross within the search.
        target = measured_cross(self.white, self.board, expected, change, self.target)
        if target is not None:
            return self._doubted(target), True
        cross = measured_cross(self.white, self.board, expected, change, self.shape)
        if cross is not None:
            return self._doubted(cross), False
        return "the photo is burnt out there" if self._burnt(expected) else "no cross is seen there"

    def _burnt(self, expected: Floats) -> bool:
        """Whether chalk would not show at a place, all about it being as bright as can be."""
        (x, y), change = (
            self.board.onto_photo.mapped(expected[None, :])[0],
            self.even * self.shape.arm,
        )
        reach = np.abs(self.board.onto_photo.slopes(expected[None, :])[0] @ change).sum(axis=1)
        left, top = (max(int(v), 0) for v in (x - reach[0], y - reach[1]))
        about = self.white[top : int(y + reach[1]) + 1, left : int(x + reach[0]) + 1]
        return bool(about.size) and float((about >= _BURNT).mean()) > 0.5

    def _doubted(self, cross: CrossSeen) -> CrossSeen:
        """With the doubt of how the white shot was laid upon the pattern."""
        if self.sigma == 0:
            return cross
        at = np.array([(cross.photo_x, cross.photo_y)])
        change = self.board.onto_picture.slopes(at)[0]
        more = self.sigma * float(np.sqrt(abs(np.linalg.det(change))))
        return replace(cross, px_sigma=float(np.hypot(cross.px_sigma, more)))


def _in_one_place(places: Floats) -> tuple[int, int] | None:
    """Two of the places that are nearer to each other than a pixel; None where none are."""
    for one in range(len(places)):
        near = np.flatnonzero(np.linalg.norm(places[one + 1 :] - places[one], axis=1) < 1.0)
        if near.size:
            return one, one + 1 + int(near[0])
    return None
