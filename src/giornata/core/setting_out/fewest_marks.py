"""The fewest control marks that hold every picture to the accuracy asked of it."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from giornata.core.foundation import Finding, Floats, Severity, readonly
from giornata.core.setting_out.mark_accuracy import LEAST_MARKS, Picture, expected_errors
from giornata.core.setting_out.mark_candidates import marks_inside, marks_of_columns
from giornata.core.setting_out.marks import ControlMark, MarkLayout, control_marks
from giornata.core.setting_out.seam_choice import room_for

__all__ = ["fewest_marks", "marks_for"]

_SLACK = 1.02  # of the best that all marks give, where that is not what is asked
_FIRST = 1e6  # one mark more weighs above every gain of accuracy


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Choice:
    """Marks that could be set, and every way to choose among them."""

    marks: tuple[ControlMark, ...]
    ways: NDArray[np.bool_]  # shape (2**n, n), the fewest first

    @property
    def counts(self) -> NDArray[np.intp]:
        return np.asarray(self.ways.sum(axis=1), dtype=np.intp)

    def information(self, picture: Picture) -> Floats:
        """Of each way, for a picture: shape (ways, 8, 8)."""
        points = [(mark.chainage, mark.level) for mark in self.marks]
        each = picture.information(np.array(points).reshape(-1, 2))
        return np.asarray(np.einsum("wn,nkl->wkl", self.ways, each))


def fewest_marks(
    spans: ArrayLike,
    pictures: Sequence[Picture],
    *,
    accuracy: float,
    ground: ArrayLike,
    top: ArrayLike,
    levels: ArrayLike,
    keep_off: Sequence[tuple[str, Any]] = (),
    known: Sequence[ControlMark] = (),
    numbers: Sequence[int] | None = None,
) -> MarkLayout:
    """Marks in the overlaps of neighbours, and where these are not enough inside the pictures.

    Parameters
    ----------
    spans : array, shape (n, 2)
        As in `control_marks`. [m]
    pictures : sequence of Picture
        One to each span: the part that it draws, and how well it sees a mark.
    accuracy : float
        Twice the standard error allowed at the worst place of a picture; above 0. [m]
    ground, top : array, shape (k, 2)
        As in `control_marks`. [m]
    levels : array, shape (n, 2)
        As in `control_marks`. [m]
    keep_off : sequence of (str, shapely geometry)
        As in `control_marks`. [m]
    known : sequence of ControlMark
        Of other rows, with the set-ups of this one that see them, by their place in order: they
        are there in any case.
    numbers : sequence of int, optional
        As in `control_marks`.

    Raises
    ------
    ValueError
        If the accuracy is not above 0, or spans, pictures and levels are not as many.

    Notes
    -----
    To choose among: three marks above one another in every overlap and at both ends, shared by
    neighbours, and six inside every picture, in two columns. Each overlap keeps one at least.
    What one picture needs hangs together with its neighbours' needs by the overlaps alone, so
    the least number over the whole wall is found from overlap to overlap, with every way to
    choose in each; among equals the one with the least sum of squared errors. Where all marks
    together do not give a picture what is asked, it gets as good as all of them, and a finding.
    """
    if not accuracy > 0:
        raise ValueError("the accuracy asked of a picture is above 0")
    images, heights = readonly(spans, columns=2), readonly(levels, columns=2)
    if not len(images) == len(pictures) == len(heights):
        raise ValueError("each image has its picture and its levels")
    low, high = readonly(ground, columns=2), readonly(top, columns=2)
    plain = control_marks(
        images, ground=low, top=high, levels=heights, keep_off=keep_off, numbers=numbers
    )
    about = {"ground": low, "top": high, "levels": heights}
    columns = [
        _choice([one for one in marks if room_for(one, known)], least=1)
        for marks in marks_of_columns(plain.marks, images, **about, keep_off=keep_off)
    ]
    insides = [
        _choice([one for one in marks if room_for(one, known)], least=0)
        for marks in marks_inside(images, **about, keep_off=keep_off)
    ]
    there = [
        _choice([one for one in known if number in one.set_ups], least=len(known))
        for number in range(1, len(pictures) + 1)
    ]
    best = _best_of_all(columns, insides, there, pictures)
    limits = [accuracy if one <= accuracy else one * _SLACK for one in best]
    chosen = _chosen(columns, insides, there, pictures, limits)
    findings = (
        *(f for f in plain.findings if f.code != "setting_out.mark_moved"),
        *_moved(chosen),
        *_said(chosen, known, plain, pictures, best, accuracy, numbers),
    )
    return MarkLayout(marks=tuple(chosen), findings=findings)


def marks_for(
    spans: ArrayLike,
    pictures: Sequence[Picture],
    *,
    accuracy: float | None,
    ground: ArrayLike,
    top: ArrayLike,
    levels: ArrayLike,
    keep_off: Sequence[tuple[str, Any]] = (),
    known: Sequence[ControlMark] = (),
    numbers: Sequence[int] | None = None,
) -> MarkLayout:
    """The fewest marks for an accuracy; where none is asked, two in every column.

    Parameters
    ----------
    spans : array, shape (n, 2)
        As in `control_marks`. [m]
    pictures : sequence of Picture
        As in `fewest_marks`.
    accuracy : float or None
        As in `fewest_marks`; None for two in every column. [m]
    ground, top : array, shape (k, 2)
        As in `control_marks`. [m]
    levels : array, shape (n, 2)
        As in `control_marks`. [m]
    keep_off : sequence of (str, shapely geometry)
        As in `control_marks`. [m]
    known : sequence of ControlMark
        As in `fewest_marks`; of no account where two stand in every column.
    numbers : sequence of int, optional
        As in `control_marks`.
    """
    if accuracy is None:
        return control_marks(
            spans, ground=ground, top=top, levels=levels, keep_off=keep_off, numbers=numbers
        )
    return fewest_marks(
        spans, pictures, accuracy=accuracy, ground=ground, top=top, levels=levels,
        keep_off=keep_off, known=known, numbers=numbers,
    )  # fmt: skip


def _choice(marks: Sequence[ControlMark], *, least: int) -> _Choice:
    """Every way to choose from a number of marks on, the fewest first."""
    ways = [
        way
        for count in range(min(least, len(marks)), len(marks) + 1)
        for way in itertools.combinations(range(len(marks)), count)
    ]
    chosen = np.zeros((len(ways), len(marks)), dtype=bool)
    for row, way in enumerate(ways):
        chosen[row, list(way)] = True
    return _Choice(marks=tuple(marks), ways=chosen)


def _best_of_all(
    columns: Sequence[_Choice],
    insides: Sequence[_Choice],
    there: Sequence[_Choice],
    pictures: Sequence[Picture],
) -> list[float]:
    """Error of each picture with every mark there could be; infinite where these are too few."""
    places = [
        [(m.chainage, m.level) for m in (*left.marks, *inside.marks, *right.marks, *others.marks)]
        for (left, right), inside, others in zip(
            itertools.pairwise(columns), insides, there, strict=True
        )
    ]
    return list(expected_errors(pictures, places))


def _chosen(
    columns: Sequence[_Choice],
    insides: Sequence[_Choice],
    there: Sequence[_Choice],
    pictures: Sequence[Picture],
    limits: Sequence[float],
) -> list[ControlMark]:
    """Least marks over the whole wall, from column to column."""
    costs = np.asarray(columns[0].counts * _FIRST, dtype=np.float64)
    steps: list[tuple[NDArray[np.intp], NDArray[np.intp]]] = []
    for k, picture in enumerate(pictures):
        left, inside, right = columns[k], insides[k], columns[k + 1]
        within, way = _cheapest(left, inside, right, there[k], picture, limits[k])
        total = costs[:, None] + within + right.counts[None, :] * _FIRST
        came = np.argmin(total, axis=0)
        steps.append((came, way[came, np.arange(len(came))]))
        costs = total[came, np.arange(len(came))]
    at = int(np.argmin(costs))
    marks: list[ControlMark] = []
    for k in reversed(range(len(pictures))):
        came, way = steps[k]
        marks = [
            *_taken(insides[k], int(way[at])),
            *_taken(columns[k + 1], at),
            *marks,
        ]
        at = int(came[at])
    return [*_taken(columns[0], at), *marks]


def _cheapest(
    left: _Choice, inside: _Choice, right: _Choice, there: _Choice, picture: Picture, limit: float
) -> tuple[Floats, NDArray[np.intp]]:
    """Least cost inside a picture for each way left and right of it, and the way it is had.

    Marks inside are added one by one, and only for the ways that still need one more.
    """
    shared = left.information(picture)[:, None] + right.information(picture)[None, :]
    shared = shared + there.information(picture)[0]
    seen = left.counts[:, None] + right.counts[None, :] + there.counts[0]
    cost, way = np.full(seen.shape, np.inf), np.zeros(seen.shape, dtype=np.intp)
    if not np.isfinite(limit):  # a picture that no choice can hold takes every mark there is
        cost[-1, -1], way[-1, -1] = inside.counts[-1] * _FIRST, len(inside.counts) - 1
        return cost, way
    own = inside.information(picture)
    for count in range(len(inside.marks) + 1):
        open_ = np.nonzero(np.isinf(cost) & (seen + count >= LEAST_MARKS))
        ways = np.flatnonzero(inside.counts == count)
        if not len(open_[0]):
            continue
        error = picture.error(shared[open_][:, None] + own[ways][None])
        best = np.argmin(error, axis=1)
        least = error[np.arange(len(best)), best]
        holds = least <= limit
        at = open_[0][holds], open_[1][holds]
        cost[at] = count * _FIRST + (least[holds] / limit) ** 2
        way[at] = ways[best[holds]]
    return cost, way


def _taken(choice: _Choice, way: int) -> list[ControlMark]:
    return [mark for mark, taken in zip(choice.marks, choice.ways[way], strict=True) if taken]


def _moved(marks: Sequence[ControlMark]) -> tuple[Finding, ...]:
    moved = [mark for mark in marks if abs(mark.moved) >= 0.0005]
    if not moved:
        return ()
    return (
        Finding(
            code="setting_out.mark_moved",
            severity=Severity.NOTE,
            subject="control marks " + ", ".join(mark.name for mark in moved),
            message="Moved along the wall to keep off an opening or an obstacle: "
            + ", ".join(f"{mark.moved:+.3f} m" for mark in moved)
            + ".",
            remedy="Nothing, if the new places are free; look at the wall there.",
        ),
    )


def _said(
    chosen: Sequence[ControlMark],
    known: Sequence[ControlMark],
    plain: MarkLayout,
    pictures: Sequence[Picture],
    best: Sequence[float],
    accuracy: float,
    numbers: Sequence[int] | None,
) -> tuple[Finding, ...]:
    """How many marks it takes, and what they cannot give."""
    seen = [
        [mark for mark in (*chosen, *known) if number in mark.set_ups]
        for number in range(1, len(pictures) + 1)
    ]
    errors = expected_errors(pictures, [[(m.chainage, m.level) for m in own] for own in seen])
    named = numbers or range(1, len(pictures) + 1)
    more = [k for k, own in zip(named, seen, strict=True) if len(own) > LEAST_MARKS]
    than = f"{len(plain.marks)} with two in every column"
    needing = (
        f"; more than {LEAST_MARKS} in set-up{'s' * (len(more) > 1)} {', '.join(map(str, more))}"
    )
    needing = needing if more else ""
    found = [
        Finding(
            code="setting_out.marks_chosen",
            severity=Severity.NOTE,
            subject="control marks",
            message=f"{len(chosen)} marks ({than}) hold every picture to "
            f"{1000 * accuracy:.1f} mm or as near as can be{needing}; the worst is expected "
            f"within {1000 * max(errors):.1f} mm.",
            remedy=f"{LEAST_MARKS} marks leave a blunder unseen: read the check measurements of "
            "the setting-out sheet before dark.",
        )
    ]
    short = [(k, one) for k, one in zip(named, best, strict=True) if not one <= accuracy]
    if short:
        each = "; ".join(
            f"set-up {k} {1000 * one:.1f} mm"
            if np.isfinite(one)
            else f"set-up {k} has fewer than {LEAST_MARKS} places for marks"
            for k, one in short
        )
        found.append(
            Finding(
                code="setting_out.accuracy_unreached",
                severity=Severity.WARN,
                subject="control marks",
                message=f"{1000 * accuracy:.1f} mm is not reached with all the marks there is "
                f"room for: {each}.",
                remedy="Set the marks more carefully, aim with a finer picture nearer to the "
                "wall, measure the marks in a photograph, or ask for less.",
            )
        )
    return tuple(found)
