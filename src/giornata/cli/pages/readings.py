"""Readings between points, adjusted together: points, residuals, the worst one."""

from __future__ import annotations

from giornata.cli.report import Cell, Column, Fact, Facts, Measure, Section, Table
from giornata.core.survey import DATUM, AdjustedReading, Adjustment, Kind, critical_test

__all__ = ["adjustment_sections"]


def adjustment_sections(found: Adjustment | None) -> tuple[Section, ...]:
    """What an adjustment says, where there was one."""
    if found is None:
        return ()
    tables = (_points(found), _coursings(found), _readings(found))
    return (_tests(found), *(table for table in tables if table.rows))


def _tests(found: Adjustment) -> Facts:
    drawn = "from these" if found.used else "as taped: these were not used"
    facts = [
        Fact(key="wall_drawn", name="the wall is drawn", value=drawn),
        Fact(key="readings", name="readings", value=len(found.readings)),
        Fact(key="redundancy", name="beyond those needed", value=found.freedom),
        Fact(key="unchecked", name="checked by no other",
             value=sum(one.test is None and not one.reading.doubtful for one in found.readings)),
    ]  # fmt: skip
    if found.posterior is not None:
        verdict = "passed" if found.passed else "failed"
        facts += [
            Fact(key="chi_square", name="chi-square", value=round(found.weighted_square, 2),
                 remark=f"limit {found.critical:.2f} at 5 %: {verdict}"),
            Fact(key="errors_against_stated", name="errors against those stated",
                 value=round(found.posterior, 2), remark="1.00 where precisions were stated right"),
        ]  # fmt: skip
    if found.worst is not None:
        worst = found.readings[found.worst]
        size = abs(worst.test or 0.0)
        doubt = "doubtful" if size > critical_test() else "no doubt"
        facts += [
            Fact(key="worst_reading", name="worst reading", value=worst.reading.name),
            Fact(key="worst_test", name="its test", value=round(size, 2),
                 remark=f"limit {critical_test():.2f}: {doubt}"),
        ]  # fmt: skip
        if len(found.alike) > 1:
            names = ", ".join(found.readings[index].reading.name for index in found.alike[1:])
            facts.append(Fact(key="not_told_from", name="not told from", value=names))
    return Facts(title="Readings adjusted together", facts=tuple(facts))


def _points(found: Adjustment) -> Table:
    offsets = any(point.offset is not None and point.name != DATUM for point in found.points)
    columns = (
        Column(key="name", head="point"),
        Column(key="chainage", head="chainage", unit="m", digits=3, taped=True),
        Column(key="chainage_sigma_mm", head="±", unit="mm", digits=1),
        Column(key="level", head="level", unit="m", digits=3, taped=True),
        Column(key="level_sigma_mm", head="±", unit="mm", digits=1),
        Column(key="offset", head="offset", unit="m", digits=3, taped=True),
        Column(key="offset_sigma_mm", head="±", unit="mm", digits=1),
    )
    rows = tuple(
        (p.name, p.chainage, _mm(p.chainage_sigma), p.level, _mm(p.level_sigma), p.offset,
         _mm(p.offset_sigma))
        for p in found.points
    )  # fmt: skip
    shown = len(columns) if offsets else len(columns) - 2
    return Table(
        key="points",
        title="Points, each with its standard deviation",
        columns=columns[:shown],
        rows=tuple(row[:shown] for row in rows),
    )


def _coursings(found: Adjustment) -> Table:
    return Table(
        key="coursings",
        title="Courses as a ruler",
        columns=(
            Column(key="name", head="coursing"),
            Column(key="height_mm", head="one course", unit="mm", digits=1),
            Column(key="sigma_mm", head="±", unit="mm", digits=1),
        ),
        rows=tuple((c.name, _mm(c.height), _mm(c.sigma)) for c in found.coursings),
    )


def _readings(found: Adjustment) -> Table:
    """Readings that others check, those that fit worst first; courses over their whole height."""
    told = [one for one in found.readings if one.test is not None or one.reading.doubtful]
    told.sort(key=lambda one: (one.test is None, -abs(one.test or 0.0)))
    return Table(
        key="readings",
        title="Readings that others check, the worst first",
        columns=(
            Column(key="name", head="reading"),
            Column(key="read", head="read"),
            Column(key="sigma_mm", head="±", unit="mm", digits=1),
            Column(key="residual_mm", head="residual", unit="mm", digits=1),
            Column(key="checked", head="checked", unit="-", digits=2),
            Column(key="test", head="test", unit="-", digits=2),
            Column(key="detectable_mm", head="found\nfrom", unit="mm", digits=0),
        ),
        rows=tuple(_row(one) for one in told),
    )


def _row(one: AdjustedReading) -> tuple[Cell, ...]:
    value = one.reading.value
    read: Cell = Measure(value=value, unit="m", digits=3 if abs(value) >= 1 else 0)
    if one.reading.kind is Kind.COURSES:
        read = f"{value:g}"
    name = f"{one.reading.name} (set aside)" if one.reading.doubtful else one.reading.name
    return (name, read, _mm(one.sigma), _mm(one.residual), one.redundancy, one.test,
            _mm(one.detectable))  # fmt: skip


def _mm(metres: float | None) -> float | None:
    return None if metres is None else 1000 * metres
