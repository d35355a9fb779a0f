"""Of the closing report: marks to chalk anew, and each set-up still to be drawn."""

from __future__ import annotations

import math

from giornata.core.closing import NewMark, Replan, SetUpLeft
from giornata.core.documents.display import bare, headed, small_text
from giornata.core.documents.written import Section, TextTable
from giornata.core.foundation import System

__all__ = ["replan_sections"]

_TWICE = 2.0
_DIFFER = 0.01  # m


def _how(system: System) -> tuple[str, ...]:
    return (
        (
            "Hold the tape on the first mark named and level from it; then check from the other "
            "one: where both readings differ from the printed ones by more than "
            f"{small_text(_DIFFER, system, digits=0)}, one of the two marks is not where it is "
            "believed to be. Readings are pulled straight, and the tape's own scale is in them "
            "already."
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
    if replan.seam is not None:
        asked += f" and every seam to {small_text(replan.seam, system)}"
    none = f"No mark need be chalked: the good ones hold every picture to {asked}, or none can."
    return (
        Section(
            title="Marks to chalk before the next set-up",
            words=(*words, *(_how(system) if new else (none,)), *helps),
            tables=(_new_marks(new, system), _tapes(new, system)) if new else (),
        ),
        Section(
            title="Set-ups still to be drawn",
            words=(
                f"Off at the worst place of the picture, 95 times of 100: {_asked(replan, system)}",
            ),
            tables=(
                _set_ups(replan.set_ups, system),
                *_seams(replan, system),
                *_moved(replan.set_ups, system),
            ),
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
    rows = tuple(
        (
            one.name,
            one.instead_of or "-",
            bare(one.chainage, system, digits=3),
            bare(one.level, system, digits=3),
            bare(one.above_ground, system, digits=3),
            _plain(one.known_to, system),
            ", ".join(map(str, one.set_ups)),
        )
        for one in marks
    )
    return TextTable(
        heads=(
            "New mark", "Instead of", headed("Chainage", system), headed("Level", system),
            headed("Above ground", system), f"Known to, {_unit(system)}", "Set-ups",
        ),
        rows=rows,
        right=(2, 3, 4, 5),
        wide=(0, 1, 6),
    )  # fmt: skip


def _tapes(marks: tuple[NewMark, ...], system: System) -> TextTable:
    rows = []
    for one in marks:
        if not one.tapes:
            rows.append((one.name, "no good mark in reach: from the datum", "-", "-"))
        for tape in one.tapes:
            way = "right of" if tape.along > 0 else "left of"
            step = "up" if tape.up >= 0 else "down"
            size = bare(abs(tape.up), system, digits=3)
            rows.append(
                (
                    one.name,
                    f"{way} {tape.mark}",
                    bare(tape.reading, system, digits=3),
                    "as high" if size in {"0.000", "0 ft"} else f"{step} {size}",
                )
            )
    return TextTable(
        heads=("New mark", "Lies", headed("Tape reads", system), headed("Level from it", system)),
        rows=tuple(rows),
        right=(2, 3),
        wide=(0, 1),
    )


def _unbroken(names: tuple[str, ...]) -> str:
    """Names in one cell, each in one line."""
    return ", ".join(name.replace(" ", "\N{NO-BREAK SPACE}") for name in names) or "-"


def _named(one: SetUpLeft) -> str:
    """The marks to square on, and those not to."""
    not_on = f"; not on {_unbroken(one.struck)}" if one.struck else ""
    return _unbroken(one.marks) + not_on


def _then(now: float | None, then: float | None, system: System) -> str:
    first, second = _plain(now, system), _plain(then, system)
    return first if first == second else f"{first} → {second}"


def _set_ups(left: tuple[SetUpLeft, ...], system: System) -> TextTable:
    small = _unit(system)
    return TextTable(
        heads=(
            "Set-up", headed("From", system), headed("To", system), "Square on",
            f"Off by its marks, {small}", f"From the datum, {small}",
        ),
        rows=tuple(
            (
                str(one.set_up),
                bare(max(one.start, 0.0), system),
                bare(one.end, system),
                _named(one),
                _then(one.by_marks, one.then_by_marks, system),
                _then(one.expected, one.then, system),
            )
            for one in left
        ),
        right=(0, 1, 2, 4, 5),
        wide=(3,),
    )  # fmt: skip


def _seams(replan: Replan, system: System) -> tuple[TextTable, ...]:
    if replan.seam is None or not replan.seams:
        return ()
    small = _unit(system)
    return (
        TextTable(
            heads=(
                "Seam of set-ups", f"Lines may miss by their marks, {small}",
                f"{small_text(replan.seam, system)} asked",
            ),
            rows=tuple(
                (
                    f"{one.left}, {one.right}",
                    _then(one.by_marks, one.then_by_marks, system),
                    "held" if one.then_by_marks <= replan.seam else "not held",
                )
                for one in replan.seams
            ),
            right=(1,),
            wide=(0,),
        ),
    )  # fmt: skip


def _moved(left: tuple[SetUpLeft, ...], system: System) -> tuple[TextTable, ...]:
    small = _unit(system)
    rows = tuple(
        (str(one.set_up), *(
            text
            for at, along, up in (one.shifts[0], one.shifts[-1])
            for text in (bare(max(at, 0.0), system), _plain(along, system), _plain(up, system))
        ))
        for one in left
        if one.shifts
    )  # fmt: skip
    if not rows:
        return ()
    sides = (headed("Left edge at", system), headed("Right edge at", system))
    heads = ("Drawing of set-up", *(
        head for side in sides for head in (side, f"right by, {small}", f"up by, {small}")
    ))  # fmt: skip
    return (TextTable(heads=heads, rows=rows, right=tuple(range(7)), wide=(0, 1, 4)),)
