"""Where control marks could be set: in the overlaps of neighbours and inside the pictures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import shapely

from giornata.core.foundation import Floats
from giornata.core.setting_out.mark_place import Column, Spot, placed_between, placed_in_column
from giornata.core.setting_out.marks import CROSS, END_INSET, LEVEL_INSET, ControlMark

__all__ = ["marks_beside", "marks_inside", "marks_of_columns"]

_WITHIN = (1 / 3, 2 / 3)  # columns inside a picture, shares of its width
_LETTERS = "ab"
_REACH = 0.5  # m along the wall to either side of a column's own marks
_APART = 0.15  # m: least from the middle of an overlap to a column beside it
_Barred = Sequence[tuple[str, Any]]


def marks_of_columns(
    plain: Sequence[ControlMark],
    images: Floats,
    *,
    ground: Floats,
    top: Floats,
    levels: Floats,
    keep_off: _Barred = (),
) -> tuple[tuple[ControlMark, ...], ...]:
    """For each column of the plain layout its marks, and one between two of them.

    Parameters
    ----------
    plain : sequence of ControlMark
        The plain layout.
    images : ndarray, shape (n, 2)
        As the spans of `control_marks`. [m]
    ground, top : ndarray, shape (k, 2)
        As in `control_marks`. [m]
    levels : ndarray, shape (n, 2)
        As in `control_marks`. [m]
    keep_off : sequence of (str, shapely geometry)
        As in `control_marks`. [m]
    """
    barred = [(name, shapely.buffer(area, CROSS.value)) for name, area in keep_off]
    return tuple(
        _column([m for m in plain if m.column == number], images, ground, top, levels, barred)
        for number in range(1, len(images) + 2)
    )


def marks_beside(
    images: Floats, *, ground: Floats, top: Floats, levels: Floats, keep_off: _Barred = ()
) -> tuple[tuple[ControlMark, ...], ...]:
    """For each overlap marks in two more columns of three, near its sides.

    Parameters
    ----------
    images : ndarray, shape (n, 2)
        As the spans of `control_marks`. [m]
    ground, top : ndarray, shape (k, 2)
        As in `control_marks`. [m]
    levels : ndarray, shape (n, 2)
        As in `control_marks`. [m]
    keep_off : sequence of (str, shapely geometry)
        As in `control_marks`. [m]
    """
    barred = [(name, shapely.buffer(area, CROSS.value)) for name, area in keep_off]
    return tuple(
        _beside(number, images, ground, top, levels, barred) for number in range(2, len(images) + 1)
    )


def marks_inside(
    images: Floats, *, ground: Floats, top: Floats, levels: Floats, keep_off: _Barred = ()
) -> tuple[tuple[ControlMark, ...], ...]:
    """For each picture marks that it alone sees, in two columns of three.

    Parameters
    ----------
    images : ndarray, shape (n, 2)
        As the spans of `control_marks`. [m]
    ground, top : ndarray, shape (k, 2)
        As in `control_marks`. [m]
    levels : ndarray, shape (n, 2)
        As in `control_marks`. [m]
    keep_off : sequence of (str, shapely geometry)
        As in `control_marks`. [m]
    """
    barred = [(name, shapely.buffer(area, CROSS.value)) for name, area in keep_off]
    return tuple(
        _inside(number, images, ground, top, levels, barred) for number in range(1, len(images) + 1)
    )


def _column(
    marks: list[ControlMark], images: Floats, low: Floats, high: Floats, heights: Floats,
    barred: _Barred,
) -> tuple[ControlMark, ...]:  # fmt: skip
    if len(marks) == 2:
        set_ups, number = marks[0].set_ups, marks[0].column
        start = max(images[k - 1, 0] for k in set_ups) + CROSS.value
        end = min(images[k - 1, 1] for k in set_ups) - CROSS.value
        best = (marks[0].chainage + marks[1].chainage) / 2
        reach = min(best - start, end - best, _REACH)
        if reach > 0:
            seen = _seen(heights, set_ups)
            column = _tried(best - reach, best + reach, low, high, seen)
            spot = placed_between(column, barred)
            if spot is not None:
                marks.insert(1, _mark(f"M{number:02d}", number, "middle", spot, set_ups, best))
    return tuple(marks)


def _beside(
    number: int, images: Floats, low: Floats, high: Floats, heights: Floats, barred: _Barred
) -> tuple[ControlMark, ...]:
    start = max(float(images[number - 1, 0]), low[0, 0], high[0, 0])
    end = min(float(images[number - 2, 1]), low[-1, 0], high[-1, 0])
    middle, set_ups = (start + end) / 2, (number - 1, number)
    if middle - start < END_INSET.value + _APART:
        return ()
    sides = (
        ("l", start + CROSS.value, middle - _APART, start + END_INSET.value),
        ("r", middle + _APART, end - CROSS.value, end - END_INSET.value),
    )
    marks: list[ControlMark] = []
    for letter, first, last, best in sides:
        column = _tried(first, last, low, high, _seen(heights, set_ups), best=best)
        marks += _three(column, f"M{number:02d}{letter}", number, set_ups, barred)
    return tuple(marks)


def _three(
    column: Column, name: str, number: int, set_ups: tuple[int, ...], barred: _Barred
) -> list[ControlMark]:
    lower, upper = placed_in_column(column, barred)
    spots = (("lower", lower), ("middle", placed_between(column, barred)), ("upper", upper))
    return [
        _mark(name, number, row, spot, set_ups, column.best)
        for row, spot in spots
        if spot is not None
    ]


def _inside(
    number: int, images: Floats, low: Floats, high: Floats, heights: Floats,
    barred: _Barred,
) -> tuple[ControlMark, ...]:  # fmt: skip
    start, end = images[number - 1]
    start, end = max(float(start), low[0, 0], high[0, 0]), min(float(end), low[-1, 0], high[-1, 0])
    marks: list[ControlMark] = []
    for letter, share in zip(_LETTERS, _WITHIN, strict=True):
        best = start + share * (end - start)
        reach = (end - start) / 8
        if not reach > 0:
            continue
        column = _tried(best - reach, best + reach, low, high, _seen(heights, (number,)))
        marks += _three(column, f"M{number:02d}{letter}", number, (number,), barred)
    return tuple(marks)


def _seen(heights: Floats, set_ups: tuple[int, ...]) -> tuple[float, float]:
    chosen = heights[[k - 1 for k in set_ups]]
    return float(chosen[:, 0].max()) + CROSS.value, float(chosen[:, 1].min()) - CROSS.value


def _tried(
    start: float, end: float, low: Floats, high: Floats, seen: tuple[float, float], *,
    best: float | None = None,
) -> Column:  # fmt: skip
    return Column(start=start, end=end, best=(start + end) / 2 if best is None else best,
                  ground=low, top=high, inset=LEVEL_INSET.value, seen=seen)  # fmt: skip


def _mark(
    name: str, column: int, row: str, spot: Spot, set_ups: tuple[int, ...], best: float
) -> ControlMark:
    x, level, foot = spot
    return ControlMark(
        name=f"{name} {row}",
        column=column,
        row=row,
        chainage=round(x, 3),
        level=round(level, 3),
        above_ground=round(level - foot, 3),
        set_ups=set_ups,
        moved=round(x - best, 3),
    )
