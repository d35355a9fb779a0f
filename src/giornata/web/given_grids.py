"""Tables of the job's page that only some jobs have: adjusted readings, and what is not flat."""

from __future__ import annotations

from giornata.core.foundation import System, shown_column, shown_place
from giornata.core.job import not_flat
from giornata.core.survey import Adjustment, critical_test
from giornata.web.records import Cell, Column, Grid, Row
from giornata.web.tables import Sheet

__all__ = ["given_grids"]


def given_grids(sheet: Sheet) -> tuple[Grid, ...]:
    """Tables for what this job has beyond the usual; none where it has nothing."""
    every = (_points(sheet), _not_flat(sheet))
    return tuple(grid for grid in every if grid.rows)


def _points(sheet: Sheet) -> Grid:
    """Points of the survey as adjusted, with a word on whether the readings agree."""
    found, system = sheet.results.wall.adjustment, sheet.system
    points = () if found is None else found.points
    columns: list[list[str]] = []
    heads = [Column(head="point", number=False)]
    for head, values, deviations in (
        ("chainage", [p.chainage for p in points], [p.chainage_sigma for p in points]),
        ("level", [p.level for p in points], [p.level_sigma for p in points]),
    ):
        unit, texts = shown_column(deviations, "m", system)
        heads += [Column(head=head), Column(head=f"{head} ±", unit=unit)]
        columns += [
            ["–" if one is None else shown_place(one, system, digits=3) for one in values],
            [text or "–" for text in texts],
        ]
    return Grid(
        key="survey_points",
        title="Survey points",
        note="" if found is None else _agreed(found),
        columns=tuple(heads),
        rows=tuple(
            Row(cells=(Cell(text=point.name), *(Cell(text=column[at]) for column in columns)))
            for at, point in enumerate(points)
        ),
    )


def _agreed(found: Adjustment) -> str:
    if found.posterior is None or found.worst is None:
        return "Adjusted together; nothing checks them."
    verdict = "agree" if found.passed else "do not agree"
    worst = found.readings[found.worst]
    size = abs(worst.test or 0.0)
    return (
        f"Adjusted together: the readings {verdict} within what they were said to be good for. "
        f"Worst is {worst.reading.name}, {size:.2f} of its deviation, limit {critical_test():.2f}."
    )


def _not_flat(sheet: Sheet) -> Grid:
    """What is not flat colour in the option that is shown; a row's button shows it on the wall."""
    things = not_flat(sheet.results, sheet.design)
    return Grid(
        key="not_flat",
        title="Not flat colour",
        note="In painting order, numbered as in the pictures of the pack.",
        columns=(
            Column(head="thing", number=False),
            Column(head="kind", number=False),
            Column(head="from"),
            Column(head="to"),
            Column(head="becomes", number=False),
        ),
        rows=tuple(
            Row(
                cells=(
                    Cell(text=f"{one.thing.number} {one.thing.name}"),
                    Cell(text=one.thing.kind.one),
                    *_between(one.box, sheet.system),
                    Cell(text=one.becomes),
                ),
                boxes=() if one.box is None else (one.box,),
            )
            for one in things
        ),
    )


def _between(box: tuple[float, float, float, float] | None, system: System) -> tuple[Cell, Cell]:
    if box is None:
        return Cell(text="–"), Cell(text="–")
    left, _, right, _ = box
    return (
        Cell(text=shown_place(left, system, digits=2)),
        Cell(text=shown_place(right, system, digits=2)),
    )
