"""Decisions on what is not flat colour: one paint, flat steps, drawn out, left out, or refused."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from giornata.core.artwork.nonflat import Kind, Nonflat
from giornata.core.artwork.oklab import levels_of
from giornata.core.artwork.palette import Paint
from giornata.core.foundation import Finding, Floats, Place, Severity

__all__ = ["Decision", "Tone", "Way", "chosen", "nearest_paint", "undecided", "usable"]

Tone = Callable[[Floats], Floats]  # encoded sRGB, 0 to 1, to a space where distance is likeness


class Way(StrEnum):
    """What becomes of a thing that is not flat colour."""

    ONE_PAINT = "one paint"
    STEPS = "steps"
    NEAREST = "nearest"
    AS_DRAWN = "as drawn"
    LEFT_OUT = "left out"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What becomes of one thing, or of all of a kind.

    Parameters
    ----------
    thing : str
        A thing's name, what the file calls it, or the word for a kind ("gradients").
    way : Way
        What becomes of it.
    paints : tuple of str
        Paint keys: the one paint; the steps' paints in order; those among which the nearest is
        looked for (all where none are named).
    steps : int
        Number of equal steps where their paints are not named; 0 where they are. [-]
    """

    thing: str
    way: Way
    paints: tuple[str, ...] = ()
    steps: int = 0

    def __post_init__(self) -> None:
        if self.way is Way.ONE_PAINT and len(self.paints) != 1:
            raise ValueError("one paint is one paint")
        if self.way is Way.STEPS and bool(self.paints) == bool(self.steps):
            raise ValueError("steps are given by their paints or by their number")
        if self.steps < 0:
            raise ValueError("steps are counted from 1")


_WAYS: Mapping[Kind, tuple[Way, ...]] = {
    Kind.GRADIENT: (Way.ONE_PAINT, Way.STEPS, Way.NEAREST, Way.LEFT_OUT, Way.REFUSED),
    Kind.PATTERN: (Way.ONE_PAINT, Way.AS_DRAWN, Way.LEFT_OUT, Way.REFUSED),
    Kind.PICTURE: (Way.ONE_PAINT, Way.AS_DRAWN, Way.LEFT_OUT, Way.REFUSED),
    Kind.EFFECT: (Way.ONE_PAINT, Way.LEFT_OUT, Way.REFUSED),
    Kind.LETTERING: (Way.LEFT_OUT, Way.REFUSED),
}


def chosen(thing: Nonflat, decisions: Sequence[Decision]) -> Decision | None:
    """The decision on a thing: by its name, else by what the file calls it, else by its kind."""
    for word in (thing.name, thing.source, thing.kind.value):
        for decision in decisions:
            if word and decision.thing == word:
                return decision
    return None


def usable(thing: Nonflat, decision: Decision) -> str:
    """Why a decision cannot be carried out on a thing; "" where it can."""
    way = decision.way
    if way not in _WAYS[thing.kind]:
        ways = ", ".join(str(one) for one in _WAYS[thing.kind])
        return f"A {thing.kind.one} cannot be {_said(way)}; it can be: {ways}."
    if way in (Way.STEPS, Way.NEAREST) and thing.ramp is None:
        return f"It cannot be cut into steps: {thing.doubt or 'its run is not known'}."
    if way is Way.AS_DRAWN and thing.drawn is None:
        return f"It cannot be drawn out: {thing.doubt or 'its shapes are not known'}."
    if way is Way.ONE_PAINT and thing.box is None:
        return "Where it lies is not known, so no paint can be given to it."
    return ""


def _said(way: Way) -> str:
    return {
        Way.ONE_PAINT: "one paint",
        Way.STEPS: "cut into steps",
        Way.NEAREST: "cut where the nearest paint changes",
        Way.AS_DRAWN: "drawn out as flat shapes",
        Way.LEFT_OUT: "left out",
        Way.REFUSED: "refused",
    }[way]


def nearest_paint(levels: Floats, paints: Sequence[Paint], tone: Tone) -> Floats:
    """Squared distance of colours to each paint's own, shape (n, k). [-]

    Parameters
    ----------
    levels : ndarray, shape (n, 3)
        Red, green and blue, 0 to 255. [-]
    paints : sequence of Paint
        Each lists a colour; the first it lists is its own.
    tone : callable
        Encoded sRGB, 0 to 1, to a space in which likeness is distance.
    """
    own = tone(levels_of([paint.artwork[0] for paint in paints]) / 255)
    seen = tone(np.asarray(levels) / 255)
    return np.asarray(((seen[:, None, :] - own[None, :, :]) ** 2).sum(axis=2))


def undecided(
    things: Sequence[Nonflat], decisions: Sequence[Decision], *, file: str
) -> tuple[Finding, ...]:
    """Findings of things without a decision, of refused ones, and of decisions on nothing.

    Parameters
    ----------
    things : sequence of Nonflat
        All of a drawing.
    decisions : sequence of Decision
        All of the job.
    file : str
        The artwork file's name, for decisions on nothing; one on the file itself is for its reader.
    """
    open_: dict[Finding, list[Nonflat]] = {}
    found: list[Finding] = []
    for thing in things:
        decision = chosen(thing, decisions)
        if decision is None:
            open_.setdefault(thing.finding, []).append(thing)
        elif decision.way is Way.REFUSED:
            found.append(_refused(thing))
        elif why := usable(thing, decision):
            found.append(_impossible(thing, decision, why))
        else:
            found.append(_decided(thing, decision))
    asked = {word for thing in things for word in (thing.name, thing.source, thing.kind.value)}
    asked.add(file)  # a picture of pixels as a whole
    for decision in decisions:
        if decision.thing not in asked | {kind.value for kind in Kind}:
            found.append(_unmatched(decision, things, file))
    return (*(_open(finding, group) for finding, group in open_.items()), *found)


def _open(finding: Finding, things: Sequence[Nonflat]) -> Finding:
    numbers = _listed([f"{thing.number} ({_place(thing)})" for thing in things])
    word = things[0].source or things[0].name
    ways = ", ".join(f'"{way}"' for way in _WAYS[things[0].kind] if way is not Way.REFUSED)
    return Finding(
        code=finding.code,
        severity=finding.severity,
        subject=finding.subject,
        message=f"{finding.message} On the picture: {numbers}.",
        remedy=f"{finding.remedy} Or decide what it becomes in job.toml: [[artwork.decisions]] "
        f'with for = "{word}" and becomes = one of {ways}.',
        place=finding.place,
    )


def _listed(texts: Sequence[str], most: int = 6) -> str:
    more = f" and {len(texts) - most} more" if len(texts) > most else ""
    return "; ".join(texts[:most]) + more


def _place(thing: Nonflat) -> str:
    if thing.box is None:
        return "place not known"
    x0, y0, x1, y1 = (f"{value:.4g}" for value in thing.box)
    return f"x {x0} to {x1}, y {y0} to {y1}"


def _of(thing: Nonflat) -> str:
    return f'{thing.kind.one} "{thing.name}"'


def _refused(thing: Nonflat) -> Finding:
    return Finding(
        code="artwork.thing_refused",
        severity=Severity.STOP,
        subject=_of(thing),
        message=f"It is refused by decision; number {thing.number} on the picture, "
        f"{_place(thing)}.",
        remedy="Have it redrawn as flat shapes, or change the decision in job.toml.",
        place=thing.finding.place,
    )


def _impossible(thing: Nonflat, decision: Decision, why: str) -> Finding:
    return Finding(
        code="artwork.decision_impossible",
        severity=Severity.STOP,
        subject=_of(thing),
        message=f'"{decision.way}" is decided for it. {why}',
        remedy="Change the decision in job.toml, or have it redrawn as flat shapes.",
        place=thing.finding.place,
    )


def _decided(thing: Nonflat, decision: Decision) -> Finding:
    among = f" ({', '.join(decision.paints)})" if decision.paints else ""
    count = f" ({decision.steps})" if decision.steps else ""
    return Finding(
        code="artwork.decided",
        severity=Severity.NOTE,
        subject=_of(thing),
        message=f"By decision: {decision.way}{among}{count}. Number {thing.number} on the "
        f"picture, {_place(thing)}.",
        remedy="Nothing, if the client has seen it so.",
        place=thing.finding.place,
    )


def _unmatched(decision: Decision, things: Iterable[Nonflat], file: str) -> Finding:
    names = _listed(list(dict.fromkeys(thing.source or thing.name for thing in things)), 12)
    return Finding(
        code="artwork.decision_unmatched",
        severity=Severity.WARN,
        subject=f'decision for "{decision.thing}"',
        message=f"The artwork holds no such thing; it holds: {names or 'none'}.",
        remedy="Correct the name, or take the decision out of job.toml.",
        place=Place(file=file),
    )
