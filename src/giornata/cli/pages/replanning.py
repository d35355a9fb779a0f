"""What is left to do so that both ends meet: set-ups still to draw, marks to chalk."""

from __future__ import annotations

import math

from giornata.cli.report import Column, Table
from giornata.core.closing import Replan

__all__ = ["new_marks", "set_ups_left"]


def set_ups_left(left: Replan) -> tuple[Table, ...]:
    """Set-ups still to be drawn: how far off they may be, and how far their drawings move."""
    off = Table(
        key="to_draw",
        title="Set-ups still to draw: how far off at the worst place, 95 times of 100",
        columns=(
            Column(key="set_up", head="set-up"),
            Column(key="from", head="from", unit="m", taped=True),
            Column(key="to", head="to", unit="m", taped=True),
            Column(key="marks", head="marks"),
            Column(key="by_marks_mm", head="by its\nmarks", unit="mm", digits=1),
            Column(key="then_mm", head="with\nnew\nones", unit="mm", digits=1),
            Column(key="expected_mm", head="from\nthe\ndatum", unit="mm", digits=1),
            Column(key="struck", head="not on", spare=True),
        ),
        rows=tuple(
            (
                one.set_up, max(one.start, 0.0), one.end, len(one.marks), _mm(one.by_marks),
                _mm(one.then_by_marks), _mm(one.then), ", ".join(one.struck) or "-",
            )
            for one in left.set_ups
        ),
    )  # fmt: skip
    seams = () if left.seam is None else (_seams_left(left),)
    moved = tuple(
        (one.set_up, *map(_mm, (*one.shifts[0][1:], *one.shifts[-1][1:])))
        for one in left.set_ups
        if one.shifts
    )
    if not moved:
        return off, *seams
    columns = (
        Column(key="set_up", head="set-up"),
        Column(key="right_mm", head="left edge:\nright", unit="mm", digits=1),
        Column(key="up_mm", head="up", unit="mm", digits=1),
        Column(key="right_to_mm", head="right edge:\nright", unit="mm", digits=1),
        Column(key="up_to_mm", head="up", unit="mm", digits=1),
    )
    title = "Set-ups still to draw: how far their drawings move"
    return off, *seams, Table(key="drawing_moves", title=title, columns=columns, rows=moved)


def _seams_left(left: Replan) -> Table:
    return Table(
        key="seams_to_draw",
        title=f"Their seams: lines may miss by, 95 times of 100; {_mm(left.seam):.1f} mm asked",
        columns=(
            Column(key="set_ups", head="set-ups"),
            Column(key="by_marks_mm", head="by their\nmarks", unit="mm", digits=1),
            Column(key="then_mm", head="with\nnew\nones", unit="mm", digits=1),
        ),
        rows=tuple(
            (f"{one.left}, {one.right}", _mm(one.by_marks), _mm(one.then_by_marks))
            for one in left.seams
        ),
        none="None.",
    )


def _mm(value: float | None) -> float | None:
    """[mm]."""
    return None if value is None or not math.isfinite(value) else 1000 * value


def new_marks(left: Replan) -> tuple[Table, ...]:
    """Marks to chalk, and the tapes to them from good ones."""
    marks = Table(
        key="new_marks",
        title="Marks to chalk",
        columns=(
            Column(key="mark", head="mark"),
            Column(key="instead_of", head="for"),
            Column(key="chainage", head="chainage", unit="m", digits=3, taped=True),
            Column(key="level", head="level", unit="m", digits=3, taped=True),
            Column(key="along_sigma_mm", head="sigma\nalong", unit="mm", digits=1),
            Column(key="up_sigma_mm", head="sigma\nup", unit="mm", digits=1),
            Column(key="known_to_mm", head="known\nto, 95", unit="mm", digits=1),
            Column(key="set_ups", head="set-ups"),
        ),
        rows=tuple(
            (
                one.name, one.instead_of or "-", one.chainage, one.level,
                *map(_mm, (one.sigma_along, one.sigma_up, one.known_to)),
                ", ".join(map(str, one.set_ups)),
            )
            for one in left.new_marks
        ),
        none="None: the good marks hold every picture and seam to what is asked, or none can.",
    )  # fmt: skip
    if not left.new_marks:
        return (marks,)
    tapes = Table(
        key="new_tapes",
        title="Where they lie from good marks; the tape pulled straight",
        columns=(
            Column(key="mark", head="mark"),
            Column(key="from", head="from"),
            Column(key="right", head="right of it", unit="m", digits=3, taped=True),
            Column(key="up_mm", head="up", unit="mm", digits=0, taped=True),
            Column(key="tape", head="tape reads", unit="m", digits=3, taped=True),
        ),
        rows=tuple(
            (one.name, tape.mark, tape.along, _mm(tape.up), tape.reading)
            for one in left.new_marks
            for tape in one.tapes
        ),
    )
    return marks, tapes
