"""Top and ground lines of the wall from its readings, and what had to be assumed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Figure, Finding, Floats, Severity, assumed
from giornata.core.survey.line import SteppedLine, trapezoid_weights
from giornata.core.survey.observations import WallSurvey
from giornata.core.survey.readings import SAME_PLACE, Reading, Readings, ordered_readings

__all__ = ["Profile", "profile"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Profile:
    """The two lines from chainage 0 to the end of the wall.

    Parameters
    ----------
    top, ground : SteppedLine
        From chainage 0 to the length. [m]
    readings : tuple of Reading
        The m readings in the order of the lines' shares.
    read_at : dict of str to tuple of float
        Chainages at which each line (or the height) is known. [m]
    guesses : tuple of Figure
        Levels that nobody read.
    """

    top: SteppedLine
    ground: SteppedLine
    readings: tuple[Reading, ...]
    read_at: dict[str, tuple[float, ...]]
    guesses: tuple[Figure, ...]

    def mean_height_shares(self) -> Floats:
        """Change of the mean height for a unit change of each reading, shape (m,). [-]"""
        up = trapezoid_weights(self.top.points[:, 0]) @ self.top.shares
        down = trapezoid_weights(self.ground.points[:, 0]) @ self.ground.shares
        shares: Floats = (up - down) / self.top.points[-1, 0]
        return shares

    def area(self) -> float:
        """Trapezoids between the lines, below zero where the ground is higher. [m²]"""
        top, ground = self.top.points, self.ground.points
        up = trapezoid_weights(top[:, 0]) @ top[:, 1]
        return float(up - trapezoid_weights(ground[:, 0]) @ ground[:, 1])


@dataclass(slots=True)
class _Nodes:
    """Points of a line being gathered: chainage, level, shares."""

    at: list[float]
    level: list[float]
    shares: list[Floats]

    def add(self, at: float, level: float, shares: Floats) -> None:
        self.at.append(at)
        self.level.append(level)
        self.shares.append(shares)

    def line(self) -> SteppedLine:
        order = np.argsort(np.asarray(self.at), kind="stable")
        points = np.column_stack([self.at, self.level])[order]
        return SteppedLine(points=points, shares=np.vstack(self.shares)[order])


def profile(
    survey: WallSurvey, length: float, reach: float
) -> tuple[Profile | None, tuple[Finding, ...]]:
    """Top and ground lines; None where nothing tells how high the wall is.

    Parameters
    ----------
    survey : WallSurvey
        Its readings of top, ground and height.
    length : float
        Length of the wall; above 0. [m]
    reach : float
        How far beyond an end a reading may stand and still be used; 0 or more. [m]

    Notes
    -----
    Lines run straight between readings and level beyond the first and the last. Heights give the
    line that has no reading at their place: the top where only the ground was read there, else
    the ground. Where heights alone were taken the top is taken as level and the ground at the
    first of them as level 0.
    """
    found, findings = ordered_readings(survey, length, reach)
    everything = (*found.top, *found.ground, *found.heights)
    if not found.top and not found.heights:
        return None, (*findings, _no_height(bool(found.ground)))
    unit = np.eye(len(everything))
    first_ground, first_height = len(found.top), len(found.top) + len(found.ground)
    top = _Nodes([], [], [])
    ground = _Nodes([], [], [])
    for index, reading in enumerate(everything[:first_height]):
        nodes = top if index < first_ground else ground
        nodes.add(reading.at, reading.value, unit[index])
    more: list[Finding] = []
    guesses: list[Figure] = []
    if not found.top and not found.ground:
        first = found.heights[0]
        top.add(first.at, first.value, unit[first_height])
        guesses.append(_guess("top of the wall, level throughout", first.value))
        more.append(_top_assumed(first))
    elif not found.ground and not found.heights:
        ground.add(0.0, 0.0, np.zeros(len(everything)))
        guesses.append(_guess("ground, level at the datum throughout", 0.0))
        more.append(_ground_assumed(length))
    _put_heights(found, unit[first_height:], top, ground, more)
    made = Profile(
        top=top.line().cut(length),
        ground=ground.line().cut(length),
        readings=everything,
        read_at=_read_at(found, top, ground),
        guesses=tuple(guesses),
    )
    return made, (*findings, *more)


def _read_at(found: Readings, top: _Nodes, ground: _Nodes) -> dict[str, tuple[float, ...]]:
    """Where each line is known; heights stand for both where nothing else was read."""
    if not found.top and not found.ground:
        return {"height": tuple(sorted(ground.at))}
    if not found.ground and not found.heights:
        return {"top": tuple(sorted(top.at))}
    return {"top": tuple(sorted(top.at)), "ground": tuple(sorted(ground.at))}


def _put_heights(
    found: Readings, unit: Floats, top: _Nodes, ground: _Nodes, findings: list[Finding]
) -> None:
    """Each height adds a point to the line not read at its place, or checks the two lines."""
    top_read = top.line() if top.at else None
    ground_read = ground.line() if ground.at else None
    places = [height.at for height in found.heights]
    for index, height in enumerate(found.heights):
        sides: tuple[bool, ...] = (True, False)
        if places.count(height.at) == 2:
            sides = (places.index(height.at) == index,)
        on_top = _near(found.top, height.at)
        on_ground = _near(found.ground, height.at)
        if top_read is not None and ground_read is not None:
            sides, lines = _nearer_side(height, sides, top_read, ground_read)
            findings.extend(_disagreement(height, lines, read=on_top and on_ground))
            if on_top and on_ground:
                continue
        if top_read is not None and (ground_read is None or on_top or not on_ground):
            rows = _rows(top_read, height.at, sides)
            for level, shares in rows:
                ground.add(height.at, level - height.value, shares - unit[index])
        elif ground_read is not None:
            rows = _rows(ground_read, height.at, sides)
            for level, shares in rows:
                top.add(height.at, level + height.value, shares + unit[index])
        if len(rows) > 1:
            findings.append(_height_at_step(height))


def _nearer_side(
    height: Reading, sides: tuple[bool, ...], top: SteppedLine, ground: SteppedLine
) -> tuple[tuple[bool], float]:
    """The side of a step whose height by the lines is nearer to the one taped, and that height."""
    by_lines = [
        (top.row(height.at, before=side)[0] - ground.row(height.at, before=side)[0], side)
        for side in sides
    ]
    lines, side = min(by_lines, key=lambda pair: abs(pair[0] - height.value))
    return (side,), lines


def _rows(line: SteppedLine, at: float, sides: tuple[bool, ...]) -> list[tuple[float, Floats]]:
    """Levels of a line at a chainage: one, or one on each side where it steps."""
    rows = [line.row(at, before=side) for side in sides]
    return rows[:1] if len({level for level, _ in rows}) == 1 else rows


def _near(readings: tuple[Reading, ...], at: float) -> bool:
    return any(abs(reading.at - at) <= SAME_PLACE.value for reading in readings)


def _disagreement(height: Reading, lines: float, *, read: bool) -> tuple[Finding, ...]:
    """A finding where a taped height differs from the lines by more than readings explain."""
    limit = 3 * 3**0.5 * height.sigma  # three readings, three standard deviations
    apart = height.value - lines
    if abs(apart) <= limit:
        return ()
    sizes = (
        f"Height taped {height.value:.3f} m, the lines give {lines:.3f} m: "
        f"{1000 * abs(apart):.0f} mm apart, limit {1000 * limit:.0f} mm"
    )
    if read:
        return (
            Finding(
                code="survey.height_disagrees",
                severity=Severity.WARN,
                subject=f"height at {height.at:.2f} m",
                message=f"{sizes}. The levels were used, the height was not.",
                remedy="Tape the height again, or read both levels there again.",
            ),
        )
    return (
        Finding(
            code="survey.height_bends_line",
            severity=Severity.NOTE,
            subject=f"height at {height.at:.2f} m",
            message=f"{sizes}. The line not read there was bent to fit the height.",
            remedy="Check the height: strike it out if it was a slip.",
        ),
    )


def _height_at_step(height: Reading) -> Finding:
    return Finding(
        code="survey.height_at_step",
        severity=Severity.WARN,
        subject=f"height at {height.at:.2f} m",
        message=f"One height, {height.value:.2f} m, was taped where the line above or below it "
        "steps: it was taken on both sides of the step.",
        remedy="Tape a height on either side, and write the one before the step first.",
    )


def _guess(name: str, level: float) -> Figure:
    return assumed(name, level, "m", source="nobody read it; the simplest line")


def _no_height(ground: bool) -> Finding:
    what = "Only the ground was read" if ground else "No level and no height was read"
    return Finding(
        code="survey.no_height",
        severity=Severity.STOP,
        subject="wall",
        message=f"{what}: the wall's height is unknown, so it has no area.",
        remedy="Tape one height from ground to top at each end and wherever it changes.",
    )


def _top_assumed(first: Reading) -> Finding:
    return Finding(
        code="survey.top_assumed",
        severity=Severity.NOTE,
        subject="top of the wall",
        message=f"Only heights were taped. The top is drawn level, {first.value:.2f} m above the "
        "ground at the first of them, and the ground falls or rises below it; the area is the "
        "same whichever of the two slopes.",
        remedy="Read one level of the top at each end to know which of the two lines slopes.",
    )


def _ground_assumed(length: float) -> Finding:
    return Finding(
        code="survey.ground_assumed",
        severity=Severity.WARN,
        subject="ground",
        message="The ground was not read: it is taken level at the datum, 0.00 m, from end to "
        f"end. If it falls 100 mm from one end to the other the area changes by "
        f"{0.05 * length:.2f} m².",
        remedy="Read the ground at both ends, or tape heights.",
    )
