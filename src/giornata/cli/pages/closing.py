"""How both ends of the drawing meet, and the check measurements that say so."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from giornata.cli.pages.replanning import new_marks, set_ups_left
from giornata.cli.report import Column, Fact, Facts, Measure, Report, Section, Table
from giornata.core import closing
from giornata.core.job import JobResults
from giornata.desk import WallClosure

__all__ = ["close_page", "measure_page"]

_UNSEEN = 0.05e-3  # m: printed as 0, and without a sign
_TWICE = 2.0
_LEAST_GAIN = 0.02  # of the deviation of the gap; what gains less is not worth the walk


def measure_page(results: JobResults, measures: Sequence[closing.Measure]) -> Report:
    """The check measurements that stand."""
    table = Table(
        key="measures",
        title="Check measurements",
        columns=(
            Column(key="name", head="name"),
            Column(key="value", head="read", unit="m", digits=3, taped=True),
            Column(key="sigma_mm", head="known to", unit="mm", digits=1),
        ),
        rows=tuple((one.name, one.value, _in_mm(one.sigma)) for one in measures),
        none="None yet. Type one: giornata measure --read 'distance MARK, MARK LENGTH'",
    )
    return Report(title=f"{results.inputs.title.name}: check measurements", sections=(table,))


def close_page(
    results: JobResults,
    made: WallClosure | None,
    report: Path | None,
    written: Sequence[int] | None = None,
    left: closing.Replan | None = None,
    named: Sequence[str] = (),
) -> Report:
    """The state of the closure; what is wrong is among the findings.

    Parameters
    ----------
    written : sequence of int or None
        Set-ups of which pictures were written; None where none were asked for. [-]
    """
    title = f"{results.inputs.title.name}: closing"
    if made is None:
        nothing = Fact(key="state", name="state", value="no marks, so nothing to close")
        return Report(title=title, sections=(Facts(facts=(nothing,)),))
    sections: list[Section] = [_facts(made, report, written, named), _seams(made), _marks(made)]
    if made.taken is not None and made.taken.possible:
        sections.append(_moves(made))
    if left is not None:
        sections += [*set_ups_left(left), *new_marks(left)]
    helps = made.closure.worth if left is None else left.helps
    return Report(title=title, sections=(*sections, _worth(helps)), rooms=("closing",))


def _facts(
    made: WallClosure, report: Path | None, written: Sequence[int] | None, new: Sequence[str]
) -> Facts:
    closure, joint = made.closure, made.closure.joint
    squared = {one.set_up for one in closure.readings.pictures}
    facts = [
        Fact(key="squared", name="set-ups squared", value=len(squared)),
        Fact(key="drawn", name="of them drawn", value=len(closure.readings.drawn)),
        Fact(key="remaining", name="still to draw", value=len(closure.remaining)),
        Fact(key="measures", name="check measurements", value=len(joint.equations.measures)),
        Fact(key="to_spare", name="readings beyond those needed", value=joint.freedom),
        Fact(key="chance", name="chance of so much misfit", value=Measure(
            value=joint.chance, unit="-", digits=3)),
        Fact(key="tape", name="the tape reads short by",
             value=Measure(value=1000 * joint.standing.scale, unit="-", digits=2),
             remark="parts in a thousand, known to "
             f"{1960 * closure.widened * joint.scale_sigma:.2f}"),
    ]  # fmt: skip
    many = len(closure.fronts) > 1
    row_of = {seam.left: seam.row for seam in closure.readings.seams}
    for one in closure.closing:
        of_row = f" in row {row_of[one.left]}" if many else ""
        name = f"ends meet{of_row} at {one.chainage:.2f} m, expected within"
        facts.append(Fact(key=f"expected_{one.left}", name=name, value=_mm(one.expected)))
        if one.worst is not None:
            facts.append(Fact(key=f"found_{one.left}", name="found there", value=_mm(one.worst)))
    for fronts in closure.fronts:
        for side, front in (("left", fronts.left), ("right", fronts.right)):
            if front is not None:
                key = f"{side}_{fronts.row}" if many else side
                of_row = f" of row {fronts.row}" if many else ""
                name = f"{side} front{of_row}, at {front.chainage:.2f} m, off by"
                facts.append(
                    Fact(key=key, name=name, value=_mm(front.along),
                         remark=f"up by {1000 * front.up:.1f} mm, known to "
                         f"{1000 * front.known_to:.1f} mm")
                )  # fmt: skip
    facts.append(
        Fact(key="chained", name="each hung on the last, far end out by", value=_mm(made.chained))
    )
    if report is not None:
        facts.append(Fact(key="report", name="report", value=str(report), whole=True))
    if written is not None:
        named = ", ".join(map(str, written)) or _none_written(made)
        facts.append(Fact(key="pictures", name="pictures of the moved design", value=named))
    if new:
        listed = ", ".join(new)
        facts.append(Fact(key="chalked", name="new marks written into the job", value=listed))
    return Facts(facts=tuple(facts))


def _none_written(made: WallClosure) -> str:
    """Why there are no pictures of the moved design."""
    if made.taken is None:
        return "none are due: the fronts miss by no more than is allowed or known, so nothing moves"
    if not made.taken.possible:
        return "none are due: no empty ground can take up what is left over, so nothing moves"
    return "none are due: no set-up still to draw between the fronts is squared"


def _in_mm(value: float | None) -> float | None:
    """[mm]."""
    return None if value is None else 0.0 if abs(value) < _UNSEEN else 1000 * value


def _mm(value: float) -> Measure:
    return Measure(value=_in_mm(value) or 0.0, unit="mm", digits=1)


def _seams(made: WallClosure) -> Table:
    meetings = made.closure.meetings
    levels = any(one.level is not None for one in meetings)
    return Table(
        key="seams",
        title="Seams",
        columns=(
            Column(key="set_ups", head="set-ups"),
            Column(key="at", head="at", unit="m", taped=True),
            *((Column(key="level", head="level", unit="m", taped=True),) if levels else ()),
            Column(key="expected_mm", head="within,\n95 of 100", unit="mm", digits=1),
            Column(
                key="along_mm",
                head="second one\nto the right" if levels else "right one\nto the right",
                unit="mm",
                digits=1,
            ),
            Column(key="up_mm", head="up", unit="mm", digits=1),
            Column(key="worst_mm", head="worst", unit="mm", digits=1),
        ),
        rows=tuple(
            (
                f"{one.left}, {one.right}",
                one.chainage,
                *((one.level,) if levels else ()),
                *map(_in_mm, (one.expected, one.along, one.up, one.worst)),
            )
            for one in meetings
        ),
        none="One set-up, so no seam.",
    )


def _marks(made: WallClosure) -> Table:
    return Table(
        key="marks",
        title="Marks as adjusted, and how far from where they were to be set",
        columns=(
            Column(key="mark", head="mark"),
            Column(key="chainage", head="chainage", unit="m", digits=3, taped=True),
            Column(key="level", head="level", unit="m", digits=3, taped=True),
            Column(key="along_mm", head="right by", unit="mm", digits=1),
            Column(key="up_mm", head="up by", unit="mm", digits=1),
            Column(key="known_to_mm", head="known to", unit="mm", digits=1),
            Column(key="seen_in", head="seen in"),
        ),
        rows=tuple(
            (
                one.name, one.chainage, one.level,
                *map(_in_mm, (one.along, one.up, one.known_to)),
                ", ".join(map(str, one.seen_in)),
            )
            for one in made.closure.marks
        ),
        most=12,
    )  # fmt: skip


def _moves(made: WallClosure) -> Table:
    assert made.taken is not None
    return Table(
        key="moves",
        title="Where to put what is left over: shapes moved, each whole",
        columns=(
            Column(key="row", head="row"),
            Column(key="from", head="from", unit="m", taped=True),
            Column(key="to", head="to", unit="m", taped=True),
            Column(key="shift_mm", head="to the right by", unit="mm", digits=1),
            Column(key="up_mm", head="up by", unit="mm", digits=1),
            Column(key="shapes", head="shapes"),
        ),
        rows=tuple(
            (row.join.row, one.start, one.end, _in_mm(one.along), _in_mm(one.up), one.shapes)
            for row in made.taken.rows
            for one in row.moves or ()
            if not one.held
        ),
        most=20,
        none="No shape stands whole between the fronts; the ground alone gives.",
    )


def _worth(helps: Sequence[closing.Worth]) -> Table:
    return Table(
        key="worth",
        title="Measurements that help most",
        columns=(
            Column(key="kind", head="measure"),
            Column(key="marks", head="marks"),
            Column(key="before_mm", head="gap known to", unit="mm", digits=1),
            Column(key="after_mm", head="and with it to", unit="mm", digits=1),
        ),
        rows=tuple(
            (
                str(one.kind),
                " to ".join(one.marks),
                _in_mm(_TWICE * one.before),
                _in_mm(_TWICE * one.after),
            )
            for one in helps
            if one.after < (1 - _LEAST_GAIN) * one.before
        ),
        none="No single measurement makes the gap surer by 2 %.",
    )
