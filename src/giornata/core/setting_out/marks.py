"""Control marks: points of known place on the wall that neighbouring set-ups share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import ArrayLike

from giornata.core.foundation import Assumption, Finding, Floats, Severity, readonly
from giornata.core.setting_out.mark_place import Column, placed_in_column

__all__ = ["ControlMark", "MarkLayout", "control_marks"]

LEVEL_INSET = Assumption(
    name="control mark from the wall's top and from the ground",
    value=0.20,
    unit="m",
    source="common practice, no source: clear of the coping and of splashes",
    usual=(0.1, 0.4),
)
END_INSET = Assumption(
    name="end control mark from the wall's end or the image's edge",
    value=0.10,
    unit="m",
    source="common practice, no source",
    usual=(0.05, 0.3),
)
CROSS = Assumption(
    name="control mark from an opening or an image's edge",
    value=0.05,
    unit="m",
    source="common practice, no source: half a cross of 100 mm",
    usual=(0.03, 0.1),
)
LEAST_SPREAD = Assumption(
    name="least height between the two marks of a column",
    value=0.50,
    unit="m",
    source="common practice, no source: closer marks do not show a tilt",
    usual=(0.3, 1.0),
)
ROWS = ("lower", "upper")


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlMark:
    """One mark, measured from the datum.

    Parameters
    ----------
    name : str
        Column and row ("M07 upper").
    column : int
        From 1, in order of chainage. [-]
    row : str
        "lower" or "upper".
    chainage, level : float
        From the datum, to the millimetre. [m]
    above_ground : float
        Level above the ground at that chainage. [m]
    set_ups : tuple of int
        Numbers, from 1, of the set-ups that aim at it. [-]
    moved : float
        How far along the wall it was moved to keep off something; above 0 to the right. [m]
    """

    name: str
    column: int
    row: str
    chainage: float
    level: float
    above_ground: float
    set_ups: tuple[int, ...]
    moved: float


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkLayout:
    """All control marks of a wall, by column, and what could not be marked."""

    marks: tuple[ControlMark, ...]
    findings: tuple[Finding, ...]


def control_marks(
    spans: ArrayLike,
    *,
    ground: ArrayLike,
    top: ArrayLike,
    levels: ArrayLike | None = None,
    keep_off: Sequence[tuple[str, Any]] = (),
    numbers: Sequence[int] | None = None,
) -> MarkLayout:
    """Marks in two rows: one column in each overlap of neighbouring set-ups, one at each end.

    Parameters
    ----------
    spans : array, shape (n, 2)
        Chainage of the left and right edge of each set-up's image, in order along the wall. [m]
    ground, top : array, shape (k, 2)
        Chainage and level along the wall; two rows at one chainage are a step. [m]
    levels : array, shape (n, 2), optional
        Level of the lower and upper edge of each image. [m]
    keep_off : sequence of (str, shapely geometry)
        Openings, piers and obstacles that cannot carry a mark, wall frame. [m]
    numbers : sequence of int, optional
        Of the set-ups, as findings name them; without it they are counted from 1. [-]

    Raises
    ------
    ValueError
        If a span or line is malformed, or the spans are not in order.

    Notes
    -----
    Every mark is measured from the one datum of the wall, never from the mark before it, so a
    scale error of the image cannot add up from one set-up to the next.
    """
    images = readonly(spans, columns=2)
    low, high = readonly(ground, columns=2), readonly(top, columns=2)
    heights = None if levels is None else readonly(levels, columns=2)
    _check(images, low, high, heights)
    barred = [(name, shapely.buffer(area, CROSS.value)) for name, area in keep_off]
    marks: list[ControlMark] = []
    findings: list[Finding] = []
    for number in range(1, len(images) + 2):
        set_ups = tuple(k for k in (number - 1, number) if 1 <= k <= len(images))
        reach = _reach(images, low, high, number)
        if reach[1] < reach[0]:
            findings.append(_no_overlap(images, number, numbers or range(1, len(images) + 1)))
            continue
        seen = (-np.inf, np.inf)
        if heights is not None:
            chosen = heights[[k - 1 for k in set_ups]]
            seen = (float(chosen[:, 0].max()), float(chosen[:, 1].min()))
        column = Column(start=reach[0], end=reach[1], best=reach[2], ground=low, top=high,
                        inset=LEVEL_INSET.value, seen=(seen[0] + CROSS.value,
                                                       seen[1] - CROSS.value))  # fmt: skip
        places = placed_in_column(column, barred)
        for row, place in zip(ROWS, places, strict=True):
            name = f"M{number:02d} {row}"
            if place is None:
                findings.append(_impossible(name, column, barred))
                continue
            x, level, foot = place
            marks.append(
                ControlMark(
                    name=name,
                    column=number,
                    row=row,
                    chainage=round(x, 3),
                    level=round(level, 3),
                    above_ground=round(level - foot, 3),
                    set_ups=set_ups,
                    moved=round(x - column.best, 3),
                )
            )
        findings.extend(_column_findings([m for m in marks if m.column == number]))
    return MarkLayout(marks=tuple(marks), findings=tuple(findings))


def _check(images: Floats, low: Floats, high: Floats, heights: Floats | None) -> None:
    if not len(images):
        raise ValueError("there is at least one set-up")
    if not (images[:, 1] > images[:, 0]).all():
        raise ValueError("an image ends after it starts")
    if not (np.diff(images, axis=0) > 0).all():
        raise ValueError("set-ups are in order along the wall")
    for line in (low, high):
        if len(line) < 2 or not (np.diff(line[:, 0]) >= 0).all():
            raise ValueError("a line runs along the wall and has two points or more")
    if heights is not None and len(heights) != len(images):
        raise ValueError("each image has its levels")


def _reach(images: Floats, low: Floats, high: Floats, number: int) -> tuple[float, float, float]:
    """Where a column may stand: from, to, and the best place. [m]"""
    first, last = max(low[0, 0], high[0, 0]), min(low[-1, 0], high[-1, 0])
    if number == 1:
        edge = max(float(images[0, 0]), first)
        best = edge + END_INSET.value
        return edge + CROSS.value, _inner_end(images[0, 0], images[0, 1], first, last), best
    if number == len(images) + 1:
        edge = min(float(images[-1, 1]), last)
        best = edge - END_INSET.value
        return _inner_start(images[-1, 0], images[-1, 1], first, last), edge - CROSS.value, best
    start = max(float(images[number - 1, 0]), first)
    end = min(float(images[number - 2, 1]), last)
    inset = min(CROSS.value, max(end - start, 0.0) / 4)
    return start + inset, end - inset - (0 if end > start else 1e-9), (start + end) / 2


def _inner_end(start: float, end: float, first: float, last: float) -> float:
    """An end column stays in the outer third of its image. [m]"""
    left, right = max(start, first), min(end, last)
    return float(left + (right - left) / 3)


def _inner_start(start: float, end: float, first: float, last: float) -> float:
    left, right = max(start, first), min(end, last)
    return float(right - (right - left) / 3)


def _no_overlap(images: Floats, number: int, named: Sequence[int]) -> Finding:
    if not 1 < number <= len(images):
        which = f"set-up {named[0] if number == 1 else named[-1]}"
        return Finding(
            code="setting_out.no_overlap",
            severity=Severity.STOP,
            subject=which,
            message=f"Its image is too narrow on the wall for a mark at the end: less than "
            f"{3 * CROSS.value:.2f} m.",
            remedy="Move the set-up on to the wall.",
        )
    left, right = images[number - 2], images[number - 1]
    gap = right[0] - left[1]
    return Finding(
        code="setting_out.no_overlap",
        severity=Severity.STOP,
        subject=f"set-ups {named[number - 2]} and {named[number - 1]}",
        message=f"Their images share no strip of wall (the gap is {max(gap, 0):.2f} m), so they "
        "share no mark.",
        remedy="Bring the set-ups closer together or enlarge the images.",
    )


def _impossible(name: str, column: Column, barred: Sequence[tuple[str, Any]]) -> Finding:
    strip = shapely.box(column.start, -1e4, max(column.end, column.start + 1e-3), 1e4)
    names = [what for what, area in barred if shapely.intersects(area, strip)]
    cause = ", ".join(names) if names else "too little height"
    return Finding(
        code="setting_out.mark_impossible",
        severity=Severity.WARN,
        subject=f"control mark {name}",
        message=f"No clear place between {column.start:.2f} and {column.end:.2f} m along the "
        f"wall: {cause}.",
        remedy="Move a set-up so that the overlap lies on clear wall, or put a target on a board "
        "there, measured from the datum.",
    )


def _column_findings(column: Sequence[ControlMark]) -> list[Finding]:
    findings = []
    moved = [mark for mark in column if abs(mark.moved) >= 0.0005]
    if moved:
        names = " and ".join(mark.name for mark in moved)
        findings.append(
            Finding(
                code="setting_out.mark_moved",
                severity=Severity.NOTE,
                subject=f"control mark {names}",
                message="Moved along the wall to keep off an opening or an obstacle: "
                + ", ".join(f"{mark.moved:+.3f} m" for mark in moved) + ".",
                remedy="Nothing, if the new place is free; look at the wall there.",
            )
        )  # fmt: skip
    if len(column) == 2 and column[1].level - column[0].level < LEAST_SPREAD.value:
        findings.append(
            Finding(
                code="setting_out.marks_close",
                severity=Severity.WARN,
                subject=f"control marks of column M{column[0].column:02d}",
                message=f"Only {column[1].level - column[0].level:.2f} m of height between them; "
                f"{LEAST_SPREAD.value:.2f} m is the least that shows a tilt.",
                remedy="Raise the image, or check the alignment at marks further along.",
            )
        )
    return findings
