"""Of the closing report: marks to chalk anew, and each set-up still to be drawn."""

from __future__ import annotations

import math

from giornata.core.closing import NewMark, Replan, SetUpLeft
from giornata.core.documents.display import bare, headed, small_text
from giornata.core.documents.written import Section, TextTable
from giornata.core.foundation import System

__all__ = ["replan_sections"]

_TWICE = 2.0
_HOW = (
    (
        "Hold the tape on the first mark named and level from it; then check from the other one: "
        "where both readings differ from the printed ones by more than a centimetre, one of the "
        "two marks is not where it is believed to be. Readings are pulled straight, and the "
        "tape's own scale is in them already."
    ),
    (
        "Rub out a mark that is replaced. Write the new ones into the job, giornata close "
        "--new-marks, so that pictures are squared on them and cards show them."
    ),
)


def replan_sections(replan: Replan | None, system: System) -> tuple[Section, ...]:
    """What is left to do; nothing where all is drawn.

    Parameters
    ----------
    replan : Replan or None
        Of the closure.
    system : System
        The reader's units.
    """
    if replan is None:
        return ()
    new, helps = replan.new_marks, _helps(replan, system)
    words = () if not replan.bad else (
        f"Do not square on: {', '.join(replan.bad)}.",
    )  # fmt: skip
    asked = small_text(replan.accuracy, system)
    none = f"No mark need be chalked: the good ones hold every picture to {asked}, or none can."
    return (
        Section(
            title="Marks to chalk before the next set-up",
            words=(*words, *(_HOW if new else (none,)), *helps),
            tables=(_new_marks(new, system),) if new else (),
        ),
        Section(
            title="Set-ups still to be drawn",
            words=(
                f"Off at the worst place of the picture, 95 times of 100: {_asked(replan, system)}",
            ),
            tables=(_set_ups(replan.set_ups, system), *_moved(replan.set_ups, system)),
        ),
    )


def _asked(replan: Replan, system: System) -> str:
    asked = small_text(replan.accuracy, system)
    return (
        f"by its marks, of which {asked} is asked, and from the datum, the tape's part in it. "
        "Behind the arrow: with the new marks."
    )


def _unit(system: System) -> str:
    return "in" if system is System.US else "mm"


def _plain(value: float | None, system: System) -> str:
    if value is None or not math.isfinite(value):
        return "-"
    return small_text(value, system).rsplit(" ", 1)[0]


def _helps(replan: Replan, system: System) -> tuple[str, ...]:
    if not replan.helps:
        return ()
    best = replan.helps[0]
    if not best.after < 0.98 * best.before:
        return ()
    return (
        (
            f"What helps most besides: the {best.kind} {' to '.join(best.marks)}. With it the ends "
            f"are known to {small_text(_TWICE * best.after, system)} along the wall instead of "
            f"{small_text(_TWICE * best.before, system)}."
        ),
    )


def _new_marks(marks: tuple[NewMark, ...], system: System) -> TextTable:
    rows = []
    for one in marks:
        second = "" if one.instead_of is None else f"for {one.instead_of}"
        lead = (
            one.name,
            bare(one.chainage, system, digits=3),
            bare(one.level, system, digits=3),
            bare(one.above_ground, system, digits=3),
        )
        last = (
            _plain(one.known_to, system),
            ", ".join(map(str, one.set_ups)),
        )
        if not one.tapes:
            rows.append((*lead, "from the datum", "-", "-", *last))
        for k, tape in enumerate(one.tapes):
            way = "right of" if tape.along > 0 else "left of"
            up = "up" if tape.up >= 0 else "down"
            rows.append(
                (
                    *(lead if k == 0 else (second, "", "", "")),
                    f"{way} {tape.mark}",
                    bare(tape.reading, system, digits=3),
                    f"{up} {bare(abs(tape.up), system, digits=3)}",
                    *(last if k == 0 else ("",) * 2),
                )
            )
    return TextTable(
        heads=(
            "New mark", headed("Chainage", system), headed("Level", system),
            headed("Over ground", system), "Lies", headed("Tape", system),
            headed("From it", system), f"Known to, {_unit(system)}", "Set-ups",
        ),
        rows=tuple(rows),
        right=(1, 2, 3, 5, 6, 7),
        wide=(4,),
    )  # fmt: skip


def _then(now: float | None, then: float | None, system: System) -> str:
    first, second = _plain(now, system), _plain(then, system)
    return first if first == second else f"{first} → {second}"


def _set_ups(left: tuple[SetUpLeft, ...], system: System) -> TextTable:
    small = _unit(system)
    return TextTable(
        heads=(
            "Set-up", headed("From", system), headed("To", system), "Square on", "Not on",
            f"Off by its marks, {small}", f"From the datum, {small}",
        ),
        rows=tuple(
            (
                str(one.set_up),
                bare(max(one.start, 0.0), system),
                bare(one.end, system),
                ", ".join(one.marks) or "-",
                ", ".join(one.struck) or "-",
                _then(one.by_marks, one.then_by_marks, system),
                _then(one.expected, one.then, system),
            )
            for one in left
        ),
        right=(0, 1, 2, 5, 6),
        wide=(3, 4),
    )  # fmt: skip


def _moved(left: tuple[SetUpLeft, ...], system: System) -> tuple[TextTable, ...]:
    small = _unit(system)
    rows = tuple(
        (str(one.set_up), where, bare(max(at, 0.0), system), _plain(along, system),
         _plain(up, system))
        for one in left
        if one.shifts
        for where, (at, along, up) in (
            ("left edge", one.shifts[0]), ("right edge", one.shifts[-1]),
        )
    )  # fmt: skip
    if not rows:
        return ()
    heads = ("Set-up", "Its drawing moves at its", headed("At", system), f"Right by, {small}",
             f"Up by, {small}")  # fmt: skip
    return (TextTable(heads=heads, rows=rows, right=(0, 2, 3, 4), wide=(1,)),)
