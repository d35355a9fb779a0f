"""Marking: the control marks of a job's set-ups, and what pictures squared on them are good for."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely

from giornata.core import setting_out
from giornata.core.foundation import Finding, Severity, readonly
from giornata.core.job.mark_rows import images_of, level_seams, runs_of
from giornata.core.projection import SetUp, SetUpPlan, level_between
from giornata.core.setting_out import (
    ControlMark,
    MarkTerms,
    Picture,
    SeamMiss,
)
from giornata.core.survey import DevelopedWall, WallSurvey, length_error

__all__ = ["Marked", "mark_candidates", "mark_pictures", "marks", "seam_candidates"]

_Findings = tuple[Finding, ...]
_FAR = 1e4  # m: beyond every level
_COLUMN = re.compile(r"\bM(\d{2,})")  # in the names of marks
_NEAR = 0.1  # m: a cross; marks nearer than that are one


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Marked:
    """Control marks, and what pictures squared on them are good for.

    Parameters
    ----------
    marks : tuple of ControlMark
        In order along the wall.
    errors : tuple of float
        For each set-up; infinite below four marks. [m]
    misses : tuple of SeamMiss
        Of all seams.
    for_seams : tuple of ControlMark
        Those of the marks that are there for the seams' sake.
    findings : tuple of Finding
        On where marks can stand.
    """

    marks: tuple[ControlMark, ...]
    errors: tuple[float, ...]
    misses: tuple[SeamMiss, ...]
    for_seams: tuple[ControlMark, ...]
    findings: _Findings


def marks(
    plan: tuple[SetUpPlan, _Findings],
    wall: tuple[DevelopedWall, _Findings],
    survey: WallSurvey,
    terms: MarkTerms,
) -> Marked:
    """Control marks row by row of set-ups, and how far pictures squared on them can be off.

    Each on its own, and neighbours beside and above one another. With several rows, a mark's name
    says which; those that fall into pictures of another row too are shared with it.
    """
    set_ups, developed = plan[0].set_ups, wall[0]
    pictures = mark_pictures(set_ups, developed, survey, terms)
    keep_off = _keep_off(developed)
    marks: list[ControlMark] = []
    for_seams: list[ControlMark] = []
    findings: list[Finding] = []
    runs, images = runs_of(set_ups), images_of(set_ups)
    columns: dict[int, int] = {}
    about: dict[str, Any] = {
        "ground": developed.ground, "top": developed.top, "keep_off": keep_off,
    }  # fmt: skip
    for run in runs:
        row, here, spans = run.row, run.set_ups, run.spans
        before_it = columns.get(row, 0)
        columns[row] = before_it + len(here) + 1
        own = [pictures[one.number - 1] for one in here]
        of_row: dict[str, Any] = {
            **about,
            "levels": [(one.foot, one.head) for one in here],
            "known": _from_below(marks, here),
        }
        named_as = [one.number for one in here]
        layout = setting_out.marks_for(
            spans, own, accuracy=terms.accuracy, numbers=named_as, **of_row
        )
        findings += _renumbered(layout.findings, before_it)
        before = {mark.name for mark in layout.marks}
        if terms.seam is not None:
            layout = setting_out.marks_for_seams(
                layout, spans, own, limit=terms.seam, accuracy=terms.accuracy, **of_row
            )
        for mark in layout.marks:
            numbers = tuple(here[number - 1].number for number in mark.set_ups)
            if _stands_already(mark, numbers, marks):
                continue
            name = _counted_on(mark.name, before_it)
            named = replace(
                mark,
                name=name if runs[-1].row == runs[0].row else f"row {row} {name}",
                column=mark.column + before_it,
                set_ups=numbers,
            )
            seen = setting_out.seen_over_rows(named, images, row=row)
            marks.append(replace(named, set_ups=seen))
            if mark.name not in before:
                for_seams.append(marks[-1])
    stacked = level_seams(set_ups, pictures)
    if terms.seam is not None:
        for_seams += setting_out.marks_for_level_seams(
            marks, stacked, images, limit=terms.seam, **about
        )
        marks += [mark for mark in for_seams if mark not in marks]
    marks, unknown = _as_on_site(marks, set_ups, developed, terms)
    findings += unknown
    errors = setting_out.expected_errors(
        pictures,
        [
            [(mark.chainage, mark.level) for mark in marks if one.number in mark.set_ups]
            for one in set_ups
        ],
    )
    misses = tuple(
        miss
        for run in runs
        for miss in setting_out.seam_misses(
            run.spans,
            [pictures[one.number - 1] for one in run.set_ups],
            marks,
            numbers=[one.number for one in run.set_ups],
        )
    )
    misses = (*misses, *setting_out.level_misses(stacked, marks))
    return Marked(
        marks=tuple(marks),
        errors=errors,
        misses=misses,
        for_seams=tuple(for_seams),
        findings=tuple(findings),
    )


def _counted_on(text: str, columns: int) -> str:
    """A text with columns of marks counted on from those of the runs before."""
    return _COLUMN.sub(lambda found: f"M{int(found[1]) + columns:02d}", text) if columns else text


def _renumbered(findings: Sequence[Finding], columns: int) -> list[Finding]:
    return [
        replace(
            one,
            subject=_counted_on(one.subject, columns),
            message=_counted_on(one.message, columns),
        )
        for one in findings
    ]


def _from_below(marks: Sequence[ControlMark], here: Sequence[SetUp]) -> list[ControlMark]:
    """Marks that a row of set-ups sees, which are there already; by their places in that row."""
    place = {one.number: k for k, one in enumerate(here, start=1)}
    found = []
    for mark in marks:
        numbers = tuple(sorted(place[n] for n in mark.set_ups if n in place))
        if numbers:
            found.append(replace(mark, set_ups=numbers))
    return found


def _stands_already(
    mark: ControlMark, numbers: Sequence[int], marks: Sequence[ControlMark]
) -> bool:
    """Whether all set-ups of a mark see another one that stands where it would."""
    return any(
        set(numbers) <= set(one.set_ups)
        and math.hypot(mark.chainage - one.chainage, mark.level - one.level) < _NEAR
        for one in marks
    )


def _as_on_site(
    planned: Sequence[ControlMark],
    set_ups: Sequence[SetUp],
    wall: DevelopedWall,
    terms: MarkTerms,
) -> tuple[list[ControlMark], list[Finding]]:
    """Marks as they are on the wall: at lost ones nothing aims any more, chalked ones are added."""
    known = {mark.name for mark in planned}
    kept = [replace(m, set_ups=()) if m.name in terms.lost else m for m in planned]
    strange = [f"{name}, said to be lost" for name in terms.lost if name not in known]
    for one in terms.chalked:
        seen = _seeing(set_ups, one.chainage, one.level)
        if one.name in known:
            strange.append(f"{one.name}, chalked under a name that is taken")
            continue
        if not seen:
            strange.append(f"{one.name}, chalked where no set-up's picture falls")
        foot = float(np.interp(one.chainage, *readonly(wall.ground).T))
        kept.append(
            ControlMark(
                name=one.name, column=0, row=one.name.split(" ")[-1], chainage=one.chainage,
                level=one.level, above_ground=round(one.level - foot, 3), set_ups=seen,
                moved=0.0,
            )
        )  # fmt: skip
    if not strange:
        return kept, []
    finding = Finding(
        code="setting_out.mark_strange",
        severity=Severity.WARN,
        subject="control marks",
        message=f"These do not fit the marks of the job: {'; '.join(strange)}.",
        remedy="Look at lost and chalked in [marks]: names as in the mark table, places from the "
        "datum.",
    )
    return kept, [finding]


def _seeing(set_ups: Sequence[SetUp], chainage: float, level: float) -> tuple[int, ...]:
    """Numbers of the set-ups whose picture holds a cross there. [-]"""
    return tuple(one.number for one in images_of(set_ups) if one.holds(chainage, level))


def mark_candidates(
    set_ups: Sequence[SetUp], wall: DevelopedWall, planned: Sequence[ControlMark]
) -> tuple[ControlMark, ...]:
    """Where marks could be chalked: those planned, between them, and inside each picture.

    Parameters
    ----------
    set_ups : sequence of SetUp
        All of the wall.
    wall : DevelopedWall
        The developed wall.
    planned : sequence of ControlMark
        Marks of the job; those that no set-up aims at any more keep their places.
    """
    found = [replace(m, set_ups=_seeing(set_ups, m.chainage, m.level)) for m in planned]
    keep_off = _keep_off(wall)
    for run in runs_of(set_ups):
        here, images = run.set_ups, readonly(run.spans)
        levels = readonly([(one.foot, one.head) for one in here])
        ground, top = readonly(wall.ground), readonly(wall.top)
        plain = setting_out.control_marks(
            images, ground=ground, top=top, levels=levels, keep_off=keep_off
        )
        about = {"ground": ground, "top": top, "levels": levels}
        groups = (
            *setting_out.marks_of_columns(plain.marks, images, **about, keep_off=keep_off),
            *setting_out.marks_inside(images, **about, keep_off=keep_off),
        )
        found += [
            replace(mark, set_ups=tuple(here[number - 1].number for number in mark.set_ups))
            for group in groups
            for mark in group
        ]
    near: dict[tuple[float, float], ControlMark] = {}
    for mark in found:
        near.setdefault((round(mark.chainage, 2), round(mark.level, 2)), mark)
    return tuple(near.values())


def seam_candidates(
    set_ups: Sequence[SetUp], wall: DevelopedWall, pictures: Sequence[Picture]
) -> tuple[ControlMark, ...]:
    """Where marks could be chalked for seams besides: near the sides of overlaps, between rows.

    Parameters
    ----------
    set_ups : sequence of SetUp
        All of the wall.
    wall : DevelopedWall
        The developed wall.
    pictures : sequence of Picture
        One to each set-up.
    """
    about: dict[str, Any] = {
        "ground": readonly(wall.ground), "top": readonly(wall.top), "keep_off": _keep_off(wall),
    }  # fmt: skip
    found = []
    for run in runs_of(set_ups):
        levels = readonly([(one.foot, one.head) for one in run.set_ups])
        found += [
            replace(mark, set_ups=_seeing(set_ups, mark.chainage, mark.level))
            for group in setting_out.marks_beside(readonly(run.spans), levels=levels, **about)
            for mark in group
        ]
    for seam in level_seams(set_ups, pictures):
        found += setting_out.marks_along(seam, images_of(set_ups), **about)
    return tuple(found)


def mark_pictures(
    set_ups: Sequence[SetUp], wall: DevelopedWall, survey: WallSurvey, terms: MarkTerms
) -> tuple[Picture, ...]:
    """The part of the wall that each set-up draws, to its seams, and how well it sees a mark.

    Overlaps along the wall are halved; rows meet at their level seams.

    Parameters
    ----------
    set_ups : sequence of SetUp
        All of the wall.
    wall : DevelopedWall
        The developed wall.
    survey : WallSurvey
        Whose tape is used.
    terms : MarkTerms
        How well marks are drawn and seen.

    Notes
    -----
    What a tape is out by for each metre is the same for all marks: it makes the whole design
    longer or shorter and no picture worse, so only its error at no length counts here.
    """
    taped = length_error(survey, 0.0)
    pictures = []
    for one in set_ups:
        beside = {other.column - one.column: other for other in set_ups if other.row == one.row}
        start, end = one.start, one.end
        if -1 in beside:
            lit = beside[-1].overlap_next is not None
            start = (start + beside[-1].end) / 2 if lit else one.lit_start
        if 1 in beside:
            lit = one.overlap_next is not None
            end = (end + beside[1].start) / 2 if lit else one.lit_end
        above = {o.row - one.row: o for o in set_ups if o.column == one.column}
        foot = level_between(above[-1], one) if -1 in above else one.foot
        head = level_between(one, above[1]) if 1 in above else one.head
        on_wall = max(start, 0.0), min(end, wall.length), max(foot, one.wall_foot)
        low, high, base = on_wall if on_wall[1] > on_wall[0] else (start, end, foot)
        upper = min(head, one.wall_head)
        pictures.append(
            Picture(
                start=low,
                end=high,
                foot=base if upper > base else foot,
                head=upper if upper > base else head,
                sigma=math.hypot(terms.drawn, taped, terms.aiming * one.pitch),
                mark_sigma=math.hypot(terms.drawn, taped),
            )
        )
    return tuple(pictures)


def _keep_off(wall: DevelopedWall) -> list[tuple[str, Any]]:
    """What cannot carry a control mark: openings, what is hidden, joints, piers before the face."""
    joints = [
        (f"joint at {at:.2f} m", shapely.LineString([(at, -_FAR), (at, _FAR)]))
        for at in wall.joints
    ]
    piers = [
        (f"pier {pier.name}", shapely.box(pier.start, -_FAR, pier.end, _FAR))
        for pier in wall.piers
        if pier.proud > 0
    ]
    openings = [(opening.name, opening.polygon) for opening in wall.openings]
    return [*openings, *((band.name, band.polygon) for band in wall.hidden), *joints, *piers]
