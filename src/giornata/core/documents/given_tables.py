"""Tables that only some jobs have: readings adjusted together, and what is not flat colour."""

from __future__ import annotations

from giornata.core.documents.tables import Cell, Column, Table
from giornata.core.job import JobResults, not_flat
from giornata.core.survey import AdjustedReading, DevelopedWall, Kind

__all__ = ["not_flat_table", "point_table", "reading_table"]

_MILLIMETRE = 4  # digits of a metre: standard deviations and residuals to a tenth of one


def point_table(wall: DevelopedWall) -> Table:
    """Points of the survey as adjusted, each with its standard deviations; empty without any."""
    found = wall.adjustment
    return Table(
        name="survey-points",
        title="Points of the survey, adjusted together, each with its standard deviation",
        columns=(
            Column(head="Point"),
            Column(head="Chainage", unit="m", place=True),
            Column(head="Its deviation", unit="m", digits=_MILLIMETRE),
            Column(head="Level", unit="m", place=True),
            Column(head="Deviation of the level", unit="m", digits=_MILLIMETRE),
            Column(head="Offset", unit="m", place=True),
            Column(head="Deviation of the offset", unit="m", digits=_MILLIMETRE),
        ),
        rows=tuple(
            (p.name, p.chainage, p.chainage_sigma, p.level, p.level_sigma, p.offset, p.offset_sigma)
            for p in (() if found is None else found.points)
        ),
    )


def reading_table(wall: DevelopedWall) -> Table:
    """Readings of the survey against all others, in the order taken; empty without any."""
    found = wall.adjustment
    return Table(
        name="survey-readings",
        title="Readings of the survey, adjusted together; the residual is adjusted less read",
        columns=(
            Column(head="Reading"),
            Column(head="Read", unit="m", digits=_MILLIMETRE),
            Column(head="Courses counted"),
            Column(head="Its deviation", unit="m", digits=_MILLIMETRE),
            Column(head="Residual", unit="m", digits=_MILLIMETRE),
            Column(head="Checked by others", unit="-", digits=2),
            Column(head="Test", unit="-", digits=2),
            Column(head="An error is found from", unit="m", digits=_MILLIMETRE),
            Column(head="Set aside"),
        ),
        rows=tuple(_reading(one) for one in (() if found is None else found.readings)),
    )


def _reading(one: AdjustedReading) -> tuple[Cell, ...]:
    reading = one.reading
    counted = reading.kind is Kind.COURSES
    return (
        reading.name, None if counted else reading.value, reading.value if counted else None,
        one.sigma, one.residual, one.redundancy, one.test, one.detectable,
        "yes" if reading.doubtful else "",
    )  # fmt: skip


def not_flat_table(results: JobResults) -> Table:
    """What is not flat colour in each option, and what becomes of it; empty where all is flat."""
    rows: list[tuple[Cell, ...]] = []
    for design in results.designs:
        for one in not_flat(results, design):
            left, foot, right, head = one.box or (None, None, None, None)
            thing = one.thing
            rows.append(
                (design.option.key, thing.number, thing.kind.one, thing.name, left, right, foot,
                 head, one.becomes)
            )  # fmt: skip
    return Table(
        name="not-flat",
        title="What is not flat colour, in painting order; numbered as in the pictures",
        columns=(
            Column(head="Option"), Column(head="No."), Column(head="Kind"), Column(head="Name"),
            Column(head="From chainage", unit="m", place=True),
            Column(head="To chainage", unit="m", place=True),
            Column(head="Lower edge, level", unit="m", place=True),
            Column(head="Upper edge, level", unit="m", place=True),
            Column(head="Becomes"),
        ),
        rows=tuple(rows),
    )  # fmt: skip
