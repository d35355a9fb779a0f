"""Marks added in the overlaps, so that neighbouring pictures meet within a limit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from numpy.typing import ArrayLike

from giornata.core.foundation import Finding, Severity, number_of, readonly
from giornata.core.setting_out.mark_accuracy import Picture, expected_errors
from giornata.core.setting_out.mark_candidates import marks_beside, marks_of_columns
from giornata.core.setting_out.marks import ControlMark, MarkLayout, control_marks
from giornata.core.setting_out.seam_accuracy import (
    Overlap,
    SeamMiss,
    marks_of_pair,
    overlaps_of,
    told,
)
from giornata.core.setting_out.seam_choice import fewest_for_seam, room_for

__all__ = ["marks_for_seams", "seam_findings"]


def marks_for_seams(
    layout: MarkLayout,
    spans: ArrayLike,
    pictures: Sequence[Picture],
    *,
    limit: float,
    accuracy: float | None = None,
    ground: ArrayLike,
    top: ArrayLike,
    levels: ArrayLike,
    keep_off: Sequence[tuple[str, Any]] = (),
    known: Sequence[ControlMark] = (),
) -> MarkLayout:
    """A layout with marks added in its overlaps, until neighbours meet within a limit.

    Parameters
    ----------
    layout : MarkLayout
        What the pictures need by themselves.
    spans : array, shape (n, 2)
        As in `control_marks`. [m]
    pictures : sequence of Picture
        As in `fewest_marks`; each says what a mark brings along.
    limit : float
        How far neighbours may miss one another at the worst place of their overlap, 95 times of
        100; above 0. [m]
    accuracy : float or None
        By which the layout was chosen; None where each of its marks stays. [m]
    ground, top : array, shape (k, 2)
        As in `control_marks`. [m]
    levels : array, shape (n, 2)
        As in `control_marks`. [m]
    keep_off : sequence of (str, shapely geometry)
        As in `control_marks`. [m]
    known : sequence of ControlMark
        Of other rows, with the set-ups of this one that see them; they stay.

    Raises
    ------
    ValueError
        If the limit is not above 0.

    Notes
    -----
    To choose among: three marks above one another in the middle of an overlap, and near both its
    sides. Seam by seam along the wall the fewest that hold it, of every choice; among as many
    those with the least miss. A mark never makes another seam or picture worse, so at the end
    each that was added, and each of a layout for an accuracy, is left out again where all seams
    and pictures hold without it: in three orders, of which the one that leaves fewest counts.
    That none of them can be left out is sure; that no other choice has fewer is not. Where all
    marks together do not hold a seam, it gets the fewest with which it is nearly as good.
    """
    if not limit > 0:
        raise ValueError("what is allowed at a seam is above 0")
    images, heights = readonly(spans, columns=2), readonly(levels, columns=2)
    low, high = readonly(ground, columns=2), readonly(top, columns=2)
    about: dict[str, Any] = {"ground": low, "top": high, "keep_off": keep_off}
    plain = control_marks(images, levels=heights, **about)
    columns = marks_of_columns(plain.marks, images, levels=heights, **about)[1:-1]
    beside = marks_beside(images, levels=heights, **about)
    overlaps = overlaps_of(images, pictures)
    marks, limits = [*known, *layout.marks], [math.inf] * len(overlaps)
    every = list(marks)
    for k, overlap in enumerate(overlaps):
        if overlap is not None:
            free = [one for one in (*columns[k], *beside[k]) if room_for(one, marks)]
            chosen, limits[k] = fewest_for_seam(overlap, (k + 1, k + 2), marks, free, limit)
            marks += chosen
            every += free
    asked = [max(accuracy or 0.0, one) for one in _errors(pictures, [*known, *layout.marks])]
    kept = _Kept(pictures=pictures, overlaps=overlaps, limits=limits, errors=asked)
    others = {mark.name for mark in known}
    fixed = others | (set() if accuracy is not None else {mark.name for mark in layout.marks})
    tried: list[list[ControlMark]] = [
        kept.without_needless(start, [one for one in order if one.name not in fixed])
        for start, order in ((marks, _alone_first(marks)), (marks, marks[::-1]),
                             (every, _alone_first(every)))
    ]  # fmt: skip
    fewest = [mark for mark in min(tried, key=len) if mark.name not in others]
    return replace(layout, marks=tuple(sorted(fewest, key=lambda mark: mark.chainage)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kept:
    """What holds, and is to hold with fewer marks."""

    pictures: Sequence[Picture]
    overlaps: Sequence[Overlap | None]
    limits: Sequence[float]
    errors: Sequence[float]

    def without_needless(
        self, marks: Sequence[ControlMark], order: Sequence[ControlMark]
    ) -> list[ControlMark]:
        """Marks without those of an order that can be left out, one after another."""
        left = list(marks)
        for mark in order:
            fewer = [one for one in left if one is not mark]
            if _shared(mark, fewer) and self._hold(fewer, mark.set_ups):
                left = fewer
        return left

    def _hold(self, marks: Sequence[ControlMark], set_ups: tuple[int, ...]) -> bool:
        """Whether pictures and seams of some set-ups are as they were to be."""
        near = [m for m in marks if any(abs(k - n) <= 1 for k in m.set_ups for n in set_ups)]
        for number in set_ups:
            own = [(one.chainage, one.level) for one in near if number in one.set_ups]
            (error,) = expected_errors([self.pictures[number - 1]], [own])
            if error > self.errors[number - 1]:
                return False
        for seam in {n - 1 + side for n in set_ups for side in (-1, 0)}:
            overlap = self.overlaps[seam] if 0 <= seam < len(self.overlaps) else None
            if overlap is None:
                continue
            groups = marks_of_pair(near, seam + 1, seam + 2)
            if float(overlap.miss(told(overlap, groups))) > self.limits[seam]:
                return False
        return True


def _alone_first(marks: Sequence[ControlMark]) -> list[ControlMark]:
    """Marks that one set-up sees before those that two see."""
    return sorted(marks, key=lambda mark: len(mark.set_ups))


def _shared(mark: ControlMark, marks: Sequence[ControlMark]) -> bool:
    """Whether its set-ups share another mark, where they share this one."""
    return len(mark.set_ups) < 2 or any(one.set_ups == mark.set_ups for one in marks)


def _errors(pictures: Sequence[Picture], marks: Sequence[ControlMark]) -> tuple[float, ...]:
    seen = [
        [(one.chainage, one.level) for one in marks if number in one.set_ups]
        for number in range(1, len(pictures) + 1)
    ]
    return expected_errors(pictures, seen)


def seam_findings(
    misses: Sequence[SeamMiss], added: Sequence[ControlMark], *, limit: float, asked: bool
) -> Iterator[Finding]:
    """What neighbours are expected to miss one another by, where that is to be told.

    Parameters
    ----------
    misses : sequence of SeamMiss
        Of all seams.
    added : sequence of ControlMark
        Marks set for the seams' sake.
    limit : float
        How far neighbours may miss one another. [m]
    asked : bool
        Whether the limit was asked for in ``[marks]``; else it is what lines are good for.
    """
    if asked and added:
        seams = {mark.set_ups for mark in added}
        yield Finding(
            code="setting_out.seam_marks",
            severity=Severity.NOTE,
            subject="control marks",
            message=f"{number_of(len(added), 'mark')} in {number_of(len(seams), 'overlap')} "
            f"{'is' if len(added) == 1 else 'are'} there for the seams, so that neighbouring "
            f"pictures miss one another by no more than {1000 * limit:.1f} mm or "
            "by as little as can be, 95 times of 100.",
            remedy="Set them as carefully as the others: the setting-out sheet lists them.",
        )
    wide = [one for one in misses if not one.expected <= limit]
    if not wide:
        return
    if asked:
        yield Finding(
            code="setting_out.seam_unreached",
            severity=Severity.WARN,
            subject="seams",
            message=f"Neighbouring pictures may miss one another by more than the "
            f"{1000 * limit:.1f} mm asked for: {'; '.join(map(_each, wide))}.",
            remedy="Measure the marks in a photograph, which aims finer than the eye (aiming in "
            "[marks]); ask for an accuracy too, which sets marks inside the pictures; go nearer to "
            "the wall or make the overlap narrower; let the seam fall into empty ground; or ask "
            "for less.",
        )
        return
    worst = max(wide, key=lambda one: one.expected)
    yield Finding(
        code="setting_out.seams_coarse",
        severity=Severity.NOTE,
        subject="seams",
        message=f"At {len(wide)} of {number_of(len(misses), 'seam')} neighbouring pictures may "
        f"miss one another by more than lines are taken to be good for, {1000 * limit:.0f} mm; "
        f"the worst are {_each(worst)}.",
        remedy="Ask for it in [marks] (seam), which sets marks in the overlaps; square by "
        "photograph; let seams fall into empty ground; or allow lines to be off by so much "
        "(registration in [artwork]).",
    )


def _each(one: SeamMiss) -> str:
    where = f"set-ups {one.left} and {one.right} at {one.chainage:.2f} m"
    if one.level is not None:
        where = f"set-up {one.right} above {one.left} at level {one.level:.2f} m"
    if math.isinf(one.expected):
        return f"{where}, with too few marks to say"
    return f"{where} by {1000 * one.expected:.1f} mm"
