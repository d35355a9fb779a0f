"""What is left to do so that both ends meet: marks to chalk anew, moves, what to measure next."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from giornata.core.closing.closure import Closure
from giornata.core.closing.equations import SourceKind
from giornata.core.closing.joint import Joint, joined
from giornata.core.closing.new_marks import ToCome, marks_to_add, places_of
from giornata.core.closing.next_measure import Worth, worth_measuring
from giornata.core.closing.observed import (
    LEVEL_READ,
    TAPE_READ_AGAIN,
    Measure,
    MeasureKind,
    PictureSeen,
    PlacedMark,
)
from giornata.core.closing.replan_records import NewMark, Replan, SeamLeft, SetUpLeft, TapeFrom
from giornata.core.closing.seams_asked import SeamsAsked
from giornata.core.closing.taken_up import TakenUp
from giornata.core.foundation import Floats
from giornata.core.projection import INSIDE_95
from giornata.core.setting_out import ControlMark, expected_errors

__all__ = ["MarkSpot", "replanned"]

MarkSpot = tuple[str, float, float]
"""Name, chainage and level of a mark. [m]"""
Foresee = Callable[[int, Sequence[MarkSpot]], PictureSeen | None]
"""How a set-up's picture will see marks; None where they are too few for it."""

_LONGEST = 30.0  # m of tape from a mark that can be relied on
_UNCHECKED = 2.0  # times as far as it is: a mark that nothing has checked yet
_APART = 0.3  # m along the wall, from which a mark is to one side of another


def replanned(
    closure: Closure,
    to_come: Sequence[ToCome],
    candidates: Sequence[ControlMark],
    foresee: Foresee,
    *,
    accuracy: float,
    drawn: float,
    lost: Collection[str] = (),
    seams: SeamsAsked | None = None,
    taken: TakenUp | None = None,
    pullable: Callable[[float, float], bool] = lambda start, end: True,
) -> Replan | None:
    """The set-ups still to be drawn planned anew; None where all are drawn.

    Parameters
    ----------
    closure : Closure
        The state.
    to_come : sequence of ToCome
        Set-ups that are not drawn, from left to right.
    candidates : sequence of ControlMark
        Marks that could be chalked for them.
    foresee : callable
        Says how a set-up's picture will see marks.
    accuracy : float
        Twice the standard error allowed at the worst place of a picture; above 0. [m]
    drawn : float
        Standard error of a mark beside its measure; above 0. [m]
    lost : collection of str
        Marks that are washed off, or cannot be seen any more.
    seams : SeamsAsked or None
        What is asked of seams; None for nothing.
    taken : TakenUp or None
        The design brought to both fronts.
    pullable : callable
        Whether a tape can be pulled straight between two chainages. [m]

    Notes
    -----
    A mark is relied on where nothing speaks against it, sooner where something has checked it. New
    ones are taped from the nearest of these on both sides and levelled from them: as readings in
    the adjustment with everything else, so what is expected of them and of the pictures squared on
    them is its covariance.
    """
    if not to_come:
        return None
    bad = _bad(closure, lost)
    good, checked = _good(closure, bad), _checked(closure)
    chosen = marks_to_add(to_come, good, candidates, accuracy, seams)
    named = _named(chosen, closure)
    before = _foreseen(closure, to_come, good, (), (), foresee)
    tapes = [_tapes(mark, good, checked, before, pullable) for mark in chosen]
    pulls = list(_pulls(named, tapes, drawn))
    after = _foreseen(closure, to_come, good, named, pulls, foresee) if named else before
    chalked = _foreseen(closure, (), good, named, pulls, foresee) if named else before
    helps = closure.worth if not named and closure.worth else _helps(closure, after, to_come, good)
    return Replan(
        accuracy=accuracy,
        set_ups=tuple(
            _left(one, closure, good, bad, named, (before, after), taken) for one in to_come
        ),
        new_marks=tuple(
            _new(mark, was, tape, chalked, closure, good)
            for mark, was, tape in zip(named, chosen, tapes, strict=True)
        ),
        bad=bad,
        helps=helps,
        seam=None if seams is None else seams.limit,
        seams=() if seams is None else _seams_left(seams, to_come, good, named),
    )


def _seams_left(
    asked: SeamsAsked,
    to_come: Sequence[ToCome],
    good: Mapping[str, Floats],
    new: Sequence[ControlMark],
) -> tuple[SeamLeft, ...]:
    coming = {one.set_up: one.planned for one in to_come}
    return tuple(
        SeamLeft(
            left=one.left,
            right=one.right,
            by_marks=asked.miss(one, coming, good),
            then_by_marks=asked.miss(one, coming, good, new),
        )
        for one in asked.open(coming)
    )


def _bad(closure: Closure, lost: Collection[str]) -> tuple[str, ...]:
    sifted = closure.sifted
    wrong = [
        one.source.name
        for one in (*sifted.named, *sifted.one_of)
        if one.source.kind == SourceKind.SET
    ]
    known = [mark.name for mark in closure.readings.marks]
    return tuple(name for name in known if name in wrong or name in lost)


def _good(closure: Closure, bad: Collection[str]) -> dict[str, Floats]:
    """Marks that nothing speaks against, where the adjustment finds them."""
    return {
        mark.name: np.array([mark.chainage, mark.level])
        for mark in closure.marks
        if mark.name not in bad
    }


def _checked(closure: Closure) -> frozenset[str]:
    """Marks that a picture saw, or on which something was measured."""
    measured = {name for one in closure.readings.measures for name in one.marks}
    return frozenset(measured | {mark.name for mark in closure.marks if mark.seen_in})


def _named(chosen: Sequence[ControlMark], closure: Closure) -> tuple[ControlMark, ...]:
    """Those chosen under names that no mark has: N01 lower, N02 upper."""
    taken = {mark.name.split(" ")[0] for mark in closure.readings.marks}
    numbers = (k for k in range(1, 1000) if f"N{k:02d}" not in taken)
    return tuple(
        replace(mark, name=f"N{next(numbers):02d} {mark.name.split(' ')[-1]}") for mark in chosen
    )


def _tapes(
    mark: ControlMark,
    good: Mapping[str, Floats],
    checked: Collection[str],
    joint: Joint,
    pullable: Callable[[float, float], bool],
) -> tuple[TapeFrom, ...]:
    at = np.array([mark.chainage, mark.level])
    found = []
    for side in (-1.0, 1.0):
        reach = {
            name: float(np.hypot(*(place - at))) * (1.0 if name in checked else _UNCHECKED)
            for name, place in good.items()
            if side * (place[0] - at[0]) > _APART
            and abs(place[0] - at[0]) <= _LONGEST
            and pullable(*sorted((float(place[0]), float(at[0]))))
        }
        # A tape pulled steeply says little of where a mark lies along the wall.
        flat = [n for n in reach if abs(good[n][0] - at[0]) >= abs(good[n][1] - at[1])]
        reach = {n: reach[n] for n in flat or reach}
        if reach:
            name = min(reach, key=lambda one: reach[one])
            along, up = (at - good[name]).tolist()
            found.append(
                TapeFrom(mark=name, along=along, up=up,
                         reading=joint.equations.pulled(joint.standing, good[name], at))
            )  # fmt: skip
    return tuple(found)


def _foreseen(
    closure: Closure,
    to_come: Sequence[ToCome],
    good: Mapping[str, Floats],
    new: Sequence[ControlMark],
    pulls: Sequence[Measure],
    foresee: Foresee,
) -> Joint:
    """The adjustment with the pictures still to come and new marks in it, which miss nothing."""
    readings, joint = closure.readings, closure.joint
    set_at = {mark.name: (mark.chainage, mark.level) for mark in readings.marks}
    pictures = {one.set_up: one for one in readings.pictures}
    for one in to_come:
        own = [m for m in new if one.set_up in m.set_ups]
        if one.squared and not (own or one.waiting):
            continue
        spots = [(name, *set_at[name]) for name in one.planned if name in good]
        spots += [(m.name, m.chainage, m.level) for m in own]
        made = foresee(one.set_up, spots)
        if made is not None:
            pictures[one.set_up] = made
    made_joint = joined(
        (
            *readings.marks,
            *(
                PlacedMark(name=m.name, chainage=m.chainage, level=m.level, chainage_sigma=None,
                           level_sigma=None)
                for m in new
            ),
        ),
        [pictures[number] for number in sorted(pictures)],
        (*readings.measures, *pulls),
        scale_sigma=readings.scale_sigma,
        in_space=readings.in_space,
        without=[one.source for one in closure.sifted.named],
    )  # fmt: skip
    return joint if made_joint is None else made_joint


def _pulls(
    new: Sequence[ControlMark], tapes: Sequence[tuple[TapeFrom, ...]], drawn: float
) -> Iterator[Measure]:
    """Each new mark as it will be taped and levelled, drawn beside its measure."""
    taped = math.hypot(TAPE_READ_AGAIN.value, drawn)
    level = math.hypot(LEVEL_READ.value, drawn)
    for mark, each in zip(new, tapes, strict=True):
        for one in each:
            pair = (one.mark, mark.name)
            name = f"{one.mark} to {mark.name}"
            yield Measure(name=f"tape {name}", kind=MeasureKind.DISTANCE, marks=pair,
                          value=one.reading, sigma=taped)  # fmt: skip
            yield Measure(name=f"level {name}", kind=MeasureKind.LEVEL, marks=pair,
                          value=one.up, sigma=level)  # fmt: skip


def _new(
    mark: ControlMark,
    was: ControlMark,
    tapes: tuple[TapeFrom, ...],
    joint: Joint,
    closure: Closure,
    good: Mapping[str, Floats],
) -> NewMark:
    spread = np.full((2, 2), math.inf)
    if mark.name in joint.names:
        spread = joint.mark_covariance(mark.name) * closure.widened**2
    along, up = np.sqrt(np.maximum(np.diag(spread), 0.0)).tolist()
    known = math.inf
    if math.isfinite(along):
        known = math.sqrt(INSIDE_95 * float(np.linalg.eigvalsh(spread)[1]))
    replaced = {one.name for one in closure.readings.marks} - set(good)
    return NewMark(
        name=mark.name,
        instead_of=was.name if was.name in replaced else None,
        chainage=mark.chainage,
        level=mark.level,
        above_ground=mark.above_ground,
        set_ups=mark.set_ups,
        tapes=tapes,
        sigma_along=along,
        sigma_up=up,
        known_to=known,
    )


def _left(
    one: ToCome,
    closure: Closure,
    good: Mapping[str, Floats],
    bad: Collection[str],
    new: Sequence[ControlMark],
    joints: tuple[Joint, Joint],
    taken: TakenUp | None,
) -> SetUpLeft:
    by_marks, then_by_marks = expected_errors(
        [one.picture] * 2, [places_of(one, good, ()), places_of(one, good, new)]
    )
    expected, then = (_worst(one, joint, closure.widened) for joint in joints)
    own = [name for name in one.planned if name in good]
    return SetUpLeft(
        set_up=one.set_up,
        start=one.start,
        end=one.end,
        marks=(*own, *(m.name for m in new if one.set_up in m.set_ups)),
        struck=tuple(name for name in one.planned if name in bad),
        by_marks=by_marks,
        then_by_marks=then_by_marks,
        expected=expected,
        then=then,
        shifts=() if taken is None else taken.shifts(one.start, one.end, one.row),
    )


def _worst(one: ToCome, joint: Joint, widened: float) -> float | None:
    if one.set_up not in joint.maps:
        return None
    moves = joint.light_moves(one.set_up, one.picture.worst_places())
    spread = moves @ joint.covariance @ moves.transpose(0, 2, 1)
    greatest = float(np.linalg.eigvalsh(spread)[:, 1].max())
    return widened * math.sqrt(INSIDE_95 * max(greatest, 0.0))


def _helps(
    closure: Closure, joint: Joint, to_come: Sequence[ToCome], good: Mapping[str, Floats]
) -> tuple[Worth, ...]:
    """For the closing gap, else for the picture that may be farthest off along the wall."""
    names = [name for name in joint.names if name in good]
    for seam in closure.readings.seams:
        if seam.closes and {seam.left, seam.right} <= set(joint.maps):
            moves = joint.light_moves(seam.left, seam.places) - joint.light_moves(
                seam.right, seam.places
            )
            return worth_measuring(joint, moves.mean(axis=0)[0], names)[:3]
    there = {one.set_up: one for one in to_come if one.set_up in joint.maps}
    if not there:
        return ()
    worst = max(there.values(), key=lambda one: _worst(one, joint, 1.0) or 0.0)
    moves = joint.light_moves(worst.set_up, worst.picture.worst_places())
    return worth_measuring(joint, moves.mean(axis=0)[0], names)[:3]
