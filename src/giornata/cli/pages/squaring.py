"""How a set-up's picture stands on its marks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

from giornata.cli.pages.not_projected import not_projected
from giornata.cli.report import Column, Fact, Facts, Measure, Report, Section, Table
from giornata.core.closing import KnownMarks
from giornata.core.foundation import number_of
from giornata.core.job import JobResults
from giornata.core.projection import (
    DRIFT_LIMIT,
    DriftCheck,
    SetUp,
    Squared,
    by_hand_words,
    cross_misses,
)
from giornata.desk import MarksSeen, line_limit

__all__ = ["square_page"]

_MM = 1000.0
_WORST = 12  # lines printed


def square_page(
    results: JobResults,
    one: SetUp,
    readings: Sequence[MarksSeen],
    made: Squared | None,
    drift: DriftCheck | None = None,
    *,
    history: bool = False,
    written: Sequence[Path] = (),
    traced: Sequence[str] = (),
    known: KnownMarks | None = None,
    moved: bool = False,
    by_hand: tuple[float, float] | None = None,
) -> Report:
    """What a set-up's marks say of its picture: errors in mm, what to do by hand, every line.

    Parameters
    ----------
    readings : sequence of MarksSeen
        All that stand, the last one last.
    made : Squared or None
        On the last one; None where there is none.
    drift : DriftCheck or None
        The last one beside the one before it.
    written : sequence of Path
        Files that were written.
    traced : sequence of str
        Lines ticked as traced between the two last readings.
    known : KnownMarks or None
        Its marks as other readings adjust them; None where they stand as the job has them.
    moved : bool
        Whether the pictures that were written show the design as a closure moved it.
    by_hand : tuple of float or None
        How far the picture was moved by hand since its marks were read, right and up; None where
        it was not. [m]
    """
    sections: list[Section] = []
    if made is not None and made.fit is not None:
        sections += [
            _verdict(results, one, made, known, by_hand),
            _residuals(made),
            *_points(made),
            _places(made),
        ]
        if drift is not None:
            sections += [_drift(drift, readings, traced), *_moved(results, drift)]
        sections += [_lines(results, made), *_stands(made), _kinds(made)]
    if written:
        files = Column(key="file", head="file")
        rows = tuple((str(path),) for path in written)
        title = "Written, the design moved as it was for closing" if moved else "Written"
        sections.insert(0, Table(key="files", title=title, columns=(files,), rows=rows))
    if history or not sections:
        sections.append(_readings(readings if history else readings[-1:]))
    return Report(
        title=f"{results.inputs.title.name}: set-up {one.number}",
        sections=(*not_projected(results, one), *sections),
        rooms=(),
    )


def _mm(value: float) -> Measure:
    return Measure(value=_MM * value, unit="mm", digits=1)


def _verdict(
    results: JobResults,
    one: SetUp,
    made: Squared,
    known: KnownMarks | None,
    by_hand: tuple[float, float] | None,
) -> Facts:
    fit, error, cost = made.fit, made.error, made.cost
    assert fit is not None
    assert error is not None
    assert cost is not None
    far = 0.0 if known is None else max(math.hypot(*way) for way in known.moved.tolist())
    bad = made.bad
    named = "none is seen" if bad is None else bad.named or f"one of {', '.join(bad.doubted)}"
    worst = max((line.worst for line in made.lines), default=None)
    place = f"at {error.worst.chainage:.2f} m, level {error.worst.level:.2f} m"
    hand = () if made.by_hand is None else by_hand_words(made.by_hand)
    share = f"of {fit.freedom} to be expected; {100 * fit.chance:.0f} % of right readings misfit so"
    if fit.freedom <= 0:
        share = "as many marks as it takes: nothing checks them"
    facts = (
        Fact(key="kind", name="squared as", value=str(made.kind)),
        Fact(key="marks", name="on marks", value=len(fit.marks), remark=f"of {len(made.marks)}"),
        Fact(key="line_points", name="and points of lines", value=len(fit.lines)),
        Fact(key="marks_moved_mm", name="marks stand", value=_mm(far),
             remark="at most from where the job has them: " + (
                 "nothing else was measured" if known is None else
                 f"by {number_of(known.measures, 'check measurement')}, "
                 f"{number_of(known.pictures, 'other set-up')}")),
        Fact(key="bad_mark", name="bad mark", value=named),
        Fact(key="misfit", name="misfit", value=Measure(value=fit.misfit, unit="-", digits=1),
             remark=share),
        Fact(key="middle_mm", name="off, at half of it", value=_mm(error.middle),
             remark="or less, 95 times of 100"),
        Fact(key="most_mm", name="off, at 95 % of it", value=_mm(error.most),
             remark="or less, 95 times of 100"),
        Fact(key="worst_mm", name="off, at worst", value=_mm(error.worst.longer), remark=place),
        Fact(key="worst_line_mm", name="at the worst line",
             value=None if worst is None else _mm(worst),
             remark=f"the limit is {_MM * line_limit(results):.0f} mm"),
        Fact(key="pitch_mm", name="its coarsest pixel", value=_mm(cost.pitch),
             remark=f"{_MM * one.pitch:.1f} mm as planned"),
        Fact(key="ratio", name="light, at least",
             value=Measure(value=cost.ratio, unit="-", digits=1),
             remark=f"times the ambient; {one.light.limit:g} asked"),
        Fact(key="outside_m", name="lines beyond it",
             value=Measure(value=cost.outside, unit="m", digits=1)),
        Fact(key="lens_shift", name="lens shift", value=_shift(made),
             remark=f"{100 * one.shift:+.0f} % up, {100 * one.side_shift:+.0f} % right as planned"),
        *_moved_by_hand(by_hand),
        Fact(key="by_hand", name="by hand instead", value="; ".join(hand) or "nothing to do"),
    )  # fmt: skip
    return Facts(facts=facts)


def _moved_by_hand(by: tuple[float, float] | None) -> tuple[Fact, ...]:
    if by is None or by == (0.0, 0.0):
        return ()
    value = f"{_MM * by[0]:+.1f} mm right, {_MM * by[1]:+.1f} mm up"
    told = "since its marks were read; what is said of errors is of the picture before that"
    return (Fact(key="picture_moved", name="moved by hand", value=value, remark=told),)


def _shift(made: Squared) -> str:
    shift = made.shift
    if shift is None:
        return "as planned"
    if not shift.told:
        return "set by eye; the marks do not tell it"
    return (
        f"{100 * shift.up:+.0f} % up, {100 * shift.side:+.0f} % right, to "
        f"{100 * max(shift.up_sigma, shift.side_sigma):.0f} %"
    )


def _drift(drift: DriftCheck, readings: Sequence[MarksSeen], traced: Sequence[str]) -> Facts:
    since = readings[-2].at.isoformat(sep=" ", timespec="minutes")
    let = f"the {_MM * DRIFT_LIMIT.value:.0f} mm let pass"
    verdict = f"within {let}" if drift.passes else f"more than {let}: lines drawn since are wrong"
    facts = [
        Fact(key="since", name="since", value=since),
        Fact(key="drift_rms_mm", name="moved, rms", value=_mm(drift.rms),
             remark=verdict),
    ]  # fmt: skip
    if drift.moved is not None:
        along = f"{_MM * drift.moved.along:+.1f} mm right, {_MM * drift.moved.up:+.1f} mm up"
        facts.append(Fact(key="moved", name="on the whole", value=along))
    if drift.nudge is not None:
        turned = (
            f"pan {math.degrees(drift.nudge.pan):+.2f} (right +), tilt "
            f"{math.degrees(drift.nudge.tilt):+.2f} (up +), roll "
            f"{math.degrees(drift.nudge.roll):+.2f} (clockwise +)"
        )
        facts.append(Fact(key="turned_deg", name="turned, degrees", value=turned))
    if drift.odd is not None:
        facts.append(Fact(key="odd_mark", name="does not go with it", value=drift.odd))
    ticked = f"{len(traced)}: {', '.join(traced)}" if traced else "none ticked"
    facts.append(Fact(key="traced_since", name="lines traced since", value=ticked))
    return Facts(facts=tuple(facts), title="Drift since the reading before")


def _moved(results: JobResults, drift: DriftCheck) -> tuple[Section, ...]:
    names = {paint.number: paint.name for paint in results.inputs.paints}
    if not drift.lines:
        return ()
    return (
        Table(
            key="lines_moved",
            title="Lines whose light moved by more than that: draw again what was drawn since",
            columns=(
                Column(key="edge", head="line"),
                Column(key="paints", head="between"),
                Column(key="at", head="worst at", unit="m", digits=2, taped=True),
                Column(key="level", head="level", unit="m", digits=2, taped=True),
                Column(key="worst_mm", head="moved", unit="mm", digits=0),
                Column(key="length", head="long", unit="m", digits=2),
            ),
            rows=tuple(
                (
                    line.edge, f"{names[line.left]}, {names[line.right]}", line.chainage,
                    line.level, _MM * line.worst, line.length,
                )
                for line in drift.lines
            ),
            most=_WORST,
        ),
    )  # fmt: skip


def _residuals(made: Squared) -> Table:
    fit = made.fit
    assert fit is not None
    missed = _on_wall(made)
    used = {mark.name for mark in fit.marks}
    return Table(
        key="marks",
        title="Marks: where the squared picture's cross would fall, from its mark",
        columns=(
            Column(key="mark", head="mark"),
            Column(key="x_px", head="seen x", unit="px", digits=1),
            Column(key="y_px", head="seen y", unit="px", digits=1),
            Column(key="right_mm", head="right", unit="mm", digits=1),
            Column(key="up_mm", head="up", unit="mm", digits=1),
            Column(key="used", head=""),
        ),
        rows=tuple(
            (
                mark.name, mark.x_px, mark.y_px, _MM * right, _MM * up,
                "" if mark.name in used else "left out",
            )
            for mark, (right, up) in zip(made.marks, missed, strict=True)
        ),
    )  # fmt: skip


def _points(made: Squared) -> tuple[Section, ...]:
    """Points of level and plumb lines, where any were seen."""
    fit = made.fit
    if fit is None or not made.lines_seen:
        return ()
    off = dict(zip((one.name for one in fit.lines), fit.line_residuals.tolist(), strict=True))
    bad = None if made.bad is None else made.bad.named
    return (
        Table(
            key="points",
            title="Points of lines: how far beside them the squared picture has the line",
            columns=(
                Column(key="point", head="point"),
                Column(key="x_px", head="seen x", unit="px", digits=1),
                Column(key="y_px", head="seen y", unit="px", digits=1),
                Column(key="across_px", head="across", unit="px", digits=1),
                Column(key="used", head=""),
            ),
            rows=tuple(
                (
                    one.name, one.x_px, one.y_px, off.get(one.name),
                    "left out" if bad in (one.name, one.line) else "",
                )
                for one in made.lines_seen
            ),
        ),
    )  # fmt: skip


def _on_wall(made: Squared) -> list[tuple[float, float]]:
    """How far each mark's cross would fall from it, right and up. [m]"""
    if made.fit is None:
        return []
    return [(right, up) for right, up in cross_misses(made.fit, made.marks).tolist()]


def _places(made: Squared) -> Table:
    error = made.error
    assert error is not None
    return Table(
        key="ellipses",
        title="Where light falls, 95 times of 100: within these half axes",
        columns=(
            Column(key="at", head="at", unit="m", digits=2, taped=True),
            Column(key="level", head="level", unit="m", digits=2, taped=True),
            Column(key="longer_mm", head="longer", unit="mm", digits=1),
            Column(key="shorter_mm", head="shorter", unit="mm", digits=1),
        ),
        rows=tuple(
            (one.chainage, one.level, _MM * one.longer, _MM * one.shorter) for one in error.ellipses
        ),
    )


def _lines(results: JobResults, made: Squared) -> Table:
    names = {paint.number: paint.name for paint in results.inputs.paints}
    return Table(
        key="lines",
        title="Lines it draws, the worst first: off by no more, 95 times of 100",
        columns=(
            Column(key="edge", head="line"),
            Column(key="paints", head="between"),
            Column(key="at", head="worst at", unit="m", digits=2, taped=True),
            Column(key="level", head="level", unit="m", digits=2, taped=True),
            Column(key="worst_mm", head="worst", unit="mm", digits=1),
            Column(key="most_mm", head="95 % of it", unit="mm", digits=1),
            Column(key="length", head="long", unit="m", digits=2),
        ),
        rows=tuple(
            (
                line.edge, f"{names[line.left]}, {names[line.right]}", line.chainage, line.level,
                _MM * line.worst, _MM * line.most, line.length,
            )
            for line in made.lines
        ),
        most=_WORST,
        none="It draws no line.",
    )  # fmt: skip


def _stands(made: Squared) -> tuple[Section, ...]:
    """How the projector stands beside its plan, in numbers."""
    hand = made.by_hand
    if hand is None:
        return ()
    turns = (
        ("pan, right +", hand.pan),
        ("tilt, up +", hand.tilt),
        ("roll, clockwise +", hand.roll),
    )
    moves = (("along, right +", hand.along), ("up +", hand.up), ("from the wall +", hand.away))
    sizes = (("size of picture", hand.size), ("throw ratio", hand.zoom))
    rows = (
        *((name, Measure(value=value, unit="rad", digits=2)) for name, value in turns),
        *((name, _mm(value)) for name, value in moves),
        *((name, Measure(value=100 * (value - 1), unit="% more", digits=2))
          for name, value in sizes),
    )  # fmt: skip
    return (
        Table(
            key="stands",
            title="The projector beside its plan",
            columns=(
                Column(key="what", head="what"),
                Column(key="value", head="is off by"),
            ),
            rows=rows,
        ),
    )


def _kinds(made: Squared) -> Table:
    return Table(
        key="kinds",
        title="Kinds of wall compared, with all marks: the lower score is the likelier",
        columns=(
            Column(key="kind", head="kind"),
            Column(key="misfit", head="misfit", unit="-", digits=1),
            Column(key="spare", head="spare"),
            Column(key="score", head="score", unit="-", digits=1),
        ),
        rows=tuple(
            (str(one.kind), one.fit.misfit, one.fit.freedom, one.score) for one in made.kinds
        ),
    )


def _readings(readings: Sequence[MarksSeen]) -> Table:
    return Table(
        key="readings",
        title="Marks seen, in the projector's own pixels",
        columns=(
            Column(key="event", head="event"),
            Column(key="at", head="when"),
            Column(key="means", head="how"),
            Column(key="mark", head="mark"),
            Column(key="x_px", head="x", unit="px", digits=1),
            Column(key="y_px", head="y", unit="px", digits=1),
            Column(key="px_sigma", head="known to", unit="px", digits=1),
        ),
        rows=tuple(
            (
                reading.event, reading.at.isoformat(sep=" ", timespec="minutes"),
                str(reading.means), mark.name, mark.x_px, mark.y_px, mark.px_sigma,
            )
            for reading in readings
            for mark in reading.marks
        ),
        none="None yet. Type where each cross fell: giornata square SET-UP --fell 'MARK RIGHT, UP'",
    )  # fmt: skip
