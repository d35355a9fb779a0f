"""Check measurements as they are typed: a kind, one or two marks, and what was read."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

import typer

from giornata.cli.square_words import one_mark
from giornata.core.closing import LEVEL_READ, TAPE_READ_AGAIN, Measure, MeasureKind
from giornata.core.foundation import Dimension, Finding, System, parse, shown_place
from giornata.desk import measurement_name

__all__ = ["read_measures", "typed_length"]

_TAPED = (MeasureKind.DISTANCE, MeasureKind.DIAGONAL)
_WHERE = "--read"
_BEYOND = 1.05  # of the wall's diagonal: marks beside the wall, and a survey that is off


def typed_length(text: str, subject: str, where: str) -> float:
    """A length with its unit. [m]

    Raises
    ------
    typer.BadParameter
        If it is none, or has no unit.
    """
    read = parse(text.strip().removeprefix("+"), Dimension.LENGTH, subject=subject)
    if isinstance(read, Finding):
        raise typer.BadParameter(f"{subject}: {read.message} {read.remedy}", param_hint=where)
    return read


def read_measures(
    texts: Sequence[str],
    names: Sequence[str],
    taken: Sequence[str],
    sigma: float | None,
    *,
    diagonal: float = math.inf,
    system: System = System.METRIC,
) -> tuple[Measure, ...]:
    """Check measurements: "distance M03 lower, M04 lower 6.402 m".

    Parameters
    ----------
    texts : sequence of str
        One each.
    names : sequence of str
        Of the job's marks.
    taken : sequence of str
        Names that measurements have already.
    sigma : float or None
        How well they are known; above 0. None: as usual for their kind. [m]
    diagonal : float
        Of the wall unrolled: no two marks lie farther apart. [m]
    system : System
        The reader's units.

    Raises
    ------
    typer.BadParameter
        If one is spelled otherwise or makes no sense.
    """
    made: list[Measure] = []
    for text in texts:
        read = _one(text, names, [*taken, *(one.name for one in made)], sigma)
        if read.kind in _TAPED and read.value > _BEYOND * diagonal:
            raise typer.BadParameter(
                f"{text!r}: the wall is {shown_place(diagonal, system, digits=2)} from corner to "
                "corner, so no two marks on it lie that far apart; is a decimal point missing, or "
                "is the unit another one?",
                param_hint=_WHERE,
            )
        made.append(read)
    return tuple(made)


def _one(text: str, names: Sequence[str], taken: Sequence[str], sigma: float | None) -> Measure:
    word, _, rest = " ".join(text.split()).partition(" ")
    kinds = [kind for kind in MeasureKind if str(kind) == word.casefold().rstrip(":")]
    if not kinds:
        raise typer.BadParameter(
            f"{text!r} begins with no kind of measurement; write one of "
            f"{', '.join(map(str, MeasureKind))}",
            param_hint=_WHERE,
        )
    kind = kinds[0]
    marks, left = [], re.sub(r"\s*,\s+(?=[^\W\d])", " , ", rest)
    while True:
        name, left = one_mark(left, names, _WHERE)
        marks.append(name)
        follows = re.match(r"\s*(?:,|\bto\b)\s*(?=[^\d\s.+\-−])", left)
        if follows is None or len(marks) == 2:
            break
        left = left[follows.end() :]
    known = sigma or (TAPE_READ_AGAIN if kind in _TAPED else LEVEL_READ).value
    value = typed_length(re.sub(r"^[\s,:=]+", "", left), f"{kind} {' to '.join(marks)}", _WHERE)
    name = measurement_name(kind, tuple(marks), tuple(taken))
    try:
        return Measure(name=name, kind=kind, marks=tuple(marks), value=value, sigma=known)
    except ValueError as fault:
        raise typer.BadParameter(f"{text!r}: {fault}", param_hint=_WHERE) from None
