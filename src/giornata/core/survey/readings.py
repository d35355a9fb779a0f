"""Readings of top, ground and height, put in order, with what is wrong with them."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from giornata.core.foundation import Assumption, Finding, Severity
from giornata.core.survey.line import to_nanometre
from giornata.core.survey.observations import Height, Level, WallSurvey
from giornata.core.survey.tape import height_error

__all__ = ["SAME_PLACE", "Reading", "Readings", "level_error", "ordered_readings"]

SAME_PLACE = Assumption(
    name="distance within which two readings stand at one place",
    value=0.05,
    unit="m",
    source="common practice, no source",
    usual=(0.02, 0.1),
)
_STEP = 0.0005  # readings closer than this stand at one chainage; half of the last digit taped


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading used for the lines.

    Parameters
    ----------
    kind : str
        What was read: top, ground or height.
    at : float
        Chainage. [m]
    value : float
        Level or height. [m]
    sigma : float
        Its standard deviation. [m]
    """

    kind: str
    at: float
    value: float
    sigma: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Readings:
    """Readings of the three kinds, each in order of chainage."""

    top: tuple[Reading, ...]
    ground: tuple[Reading, ...]
    heights: tuple[Reading, ...]


def ordered_readings(
    survey: WallSurvey, length: float, reach: float
) -> tuple[Readings, tuple[Finding, ...]]:
    """The survey's readings in order, without strays and repeats, and the findings on them.

    Parameters
    ----------
    survey : WallSurvey
        Its top, ground and heights.
    length : float
        Length of the wall; above 0. [m]
    reach : float
        How far beyond an end a reading may stand and still be used; 0 or more. [m]
    """
    sigma = level_error(survey)
    findings: list[Finding] = []

    def kept(kind: str, pairs: Sequence[tuple[float, float]]) -> tuple[Reading, ...]:
        on_wall = _on_wall(kind, pairs, length, reach, findings)
        in_order = _in_order(kind, on_wall, findings)
        in_order = [(to_nanometre(at), to_nanometre(value)) for at, value in in_order]
        unlike = _without_repeats(kind, in_order, findings)
        findings.extend(_steps_at_ends(kind, unlike, length))
        return tuple(Reading(kind=kind, at=at, value=v, sigma=sigma) for at, v in unlike)

    found = Readings(
        top=kept("top", [(r.at, r.level) for r in survey.top]),
        ground=kept("ground", [(r.at, r.level) for r in survey.ground]),
        heights=kept("height", [(r.at, r.height) for r in survey.heights]),
    )
    return found, tuple(findings)


def level_error(survey: WallSurvey) -> float:
    """Error of each level and height of a survey, as large as the greatest height's. [m]

    Parameters
    ----------
    survey : WallSurvey
        Its levels and heights, its tape or stated precision.
    """
    return height_error(survey, _greatest(survey))


def _greatest(survey: WallSurvey) -> float:
    """Greatest height that may have been taped; unmoved by where the level datum lies. [m]"""

    def levels(readings: tuple[Level, ...]) -> list[float]:
        return [reading.level for reading in readings]

    def heights(readings: tuple[Height, ...]) -> list[float]:
        return [reading.height for reading in readings]

    found = [0.0, *heights(survey.heights)]
    if survey.top and survey.ground:
        found.append(max(levels(survey.top)) - min(levels(survey.ground)))
    elif survey.top and not survey.heights:
        found.append(max(levels(survey.top)))
    return max(found)


def _on_wall(
    kind: str,
    pairs: Sequence[tuple[float, float]],
    length: float,
    reach: float,
    findings: list[Finding],
) -> list[tuple[float, float]]:
    stray = [at for at, _ in pairs if not -reach - 1e-9 <= at <= length + reach + 1e-9]
    if stray:
        where = ", ".join(f"{at:.2f} m" for at in stray)
        findings.append(
            Finding(
                code="survey.reading_outside",
                severity=Severity.WARN,
                subject=f"{kind} readings",
                message=f"Read at {where}, off the wall (0 to {length:.2f} m): left out.",
                remedy="Correct the chainage, or the bays and the overall if the wall is longer.",
            )
        )
    return [(at, v) for at, v in pairs if -reach - 1e-9 <= at <= length + reach + 1e-9]


def _in_order(
    kind: str, pairs: Sequence[tuple[float, float]], findings: list[Finding]
) -> list[tuple[float, float]]:
    in_order = sorted(pairs, key=lambda pair: pair[0])
    if in_order != list(pairs):
        back = next(b for (a, _), (b, _) in itertools.pairwise(pairs) if b < a)
        findings.append(
            Finding(
                code="survey.unsorted",
                severity=Severity.NOTE,
                subject=f"{kind} readings",
                message=f"Not in order of chainage from {back:.2f} m on; they have been sorted.",
                remedy="Check that no chainage was mistyped, and write them in order.",
            )
        )
    return in_order


def _without_repeats(
    kind: str, pairs: Sequence[tuple[float, float]], findings: list[Finding]
) -> list[tuple[float, float]]:
    """Two unlike readings at one chainage are a step and stay; repeats and third ones go."""
    groups: list[list[tuple[float, float]]] = []
    for pair in pairs:
        if groups and pair[0] - groups[-1][0][0] < _STEP:
            groups[-1].append((groups[-1][0][0], pair[1]))
        else:
            groups.append([pair])
    kept: list[tuple[float, float]] = []
    for group in groups:
        values = [value for _, value in group]
        ends = [group[0]] if len(group) == 1 or values[0] == values[-1] else [group[0], group[-1]]
        kept.extend(ends)
        if len(ends) < len(group):
            findings.append(_repeat(kind, group[0][0], values, [value for _, value in ends]))
    return kept


def _repeat(kind: str, at: float, values: list[float], kept: list[float]) -> Finding:
    alike = len(set(values)) == 1
    listed = ", ".join(f"{value:.3f} m" for value in values)
    used = " and ".join(f"{value:.3f} m" for value in kept)
    return Finding(
        code="survey.duplicate_reading",
        severity=Severity.NOTE if alike else Severity.WARN,
        subject=f"{kind} at {at:.2f} m",
        message=f"Read {len(values)} times at one chainage ({listed}); used: {used}.",
        remedy="Keep one reading, or two where the line steps: first the one before the step, "
        "then the one after it.",
    )


def _steps_at_ends(kind: str, pairs: Sequence[tuple[float, float]], length: float) -> list[Finding]:
    findings = []
    for end, used in ((0.0, "second"), (length, "first")):
        if sum(abs(at - end) < _STEP for at, _ in pairs) == 2:
            findings.append(
                Finding(
                    code="survey.step_at_end",
                    severity=Severity.NOTE,
                    subject=f"{kind} at {end:.2f} m",
                    message=f"A step at the very end of the wall has no width; only the {used} "
                    "of the two readings counts.",
                    remedy="Keep the reading that stands on the wall.",
                )
            )
    return findings
