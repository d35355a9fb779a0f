"""Which marks to chalk anew: the fewest with which the pictures still to come are as asked."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from giornata.core.closing.seams_asked import SeamsAsked
from giornata.core.foundation import Floats
from giornata.core.setting_out import ControlMark, Picture, expected_errors

__all__ = ["ToCome", "marks_to_add", "places_of"]

_MOST = 10  # candidates of one picture of which every choice is tried
_SLACK = 1.02  # of the best that all candidates give, where that is not what is asked
_CLEAR = 0.05  # m: a candidate nearer to a good mark is that mark
_LEAST = 4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ToCome:
    """A set-up that is still to be drawn.

    Parameters
    ----------
    set_up : int
        Its number. [-]
    start, end : float
        Chainages of its picture's edges. [m]
    picture : setting_out.Picture
        What it draws, and how well it sees a mark.
    planned : tuple of str
        Names of the marks that it aims at, or saw.
    squared : bool
        Whether it is squared already.
    waiting : tuple of str
        Of the planned ones those that are to be chalked, or were since it was squared: it is to be
        squared again on them.
    row : int
        Of set-ups, from 1 upwards. [-]
    """

    set_up: int
    start: float
    end: float
    picture: Picture
    planned: tuple[str, ...]
    squared: bool = False
    waiting: tuple[str, ...] = ()
    row: int = 1


def marks_to_add(
    to_come: Sequence[ToCome],
    good: Mapping[str, Floats],
    candidates: Iterable[ControlMark],
    accuracy: float,
    seams: SeamsAsked | None = None,
) -> tuple[ControlMark, ...]:
    """The fewest candidates with which every picture still to come is as good as is asked.

    Parameters
    ----------
    to_come : sequence of ToCome
        From left to right.
    good : mapping of str to ndarray, shape (2,)
        Marks that can be relied on, where they are. [m]
    candidates : iterable of ControlMark
        Marks that could be chalked, each with the set-ups that would see it.
    accuracy : float
        Twice the standard error allowed at the worst place of a picture; above 0. [m]
    seams : SeamsAsked or None
        What is asked of seams; None for nothing.

    Notes
    -----
    Picture by picture along the wall, every choice among its candidates, the fewest first; among
    as many the one that helps this picture and its neighbours most. What is chosen for one serves
    its neighbour. Then seam by seam, where one of its pictures is still to come, every choice among
    those that it sees. Until nothing more is added: with the marks that it asks for among the good
    ones and the planned, it asks for none.
    """
    free = [one for one in candidates if not _stands(one, good)]
    coming = {one.set_up: one.planned for one in to_come}
    chosen: list[ControlMark] = []
    before = -1
    while before < len(chosen):
        before = len(chosen)
        for one in to_come:
            own = [mark for mark in free if one.set_up in mark.set_ups and _clear(mark, chosen)]
            own.sort(key=lambda mark: -len(mark.set_ups))
            chosen += _fewest(one, to_come, good, chosen, own[:_MOST], accuracy)
        if seams is not None:
            for seam in seams.open(coming):
                chosen += seams.fewest(seam, coming, good, chosen, free)
    return tuple(sorted(chosen, key=lambda mark: (mark.chainage, mark.level)))


def _clear(mark: ControlMark, chosen: Iterable[ControlMark]) -> bool:
    return not _stands(mark, {m.name: np.array([m.chainage, m.level]) for m in chosen})


def _stands(mark: ControlMark, good: Mapping[str, Floats]) -> bool:
    at = np.array([mark.chainage, mark.level])
    return any(float(np.hypot(*(at - place))) < _CLEAR for place in good.values())


def places_of(
    one: ToCome, good: Mapping[str, Floats], chosen: Iterable[ControlMark]
) -> list[tuple[float, float]]:
    """Chainage and level of the marks that a set-up can be squared on. [m]

    Parameters
    ----------
    one : ToCome
        The set-up.
    good : mapping of str to ndarray, shape (2,)
        As in `marks_to_add`. [m]
    chosen : iterable of ControlMark
        Chalked anew.
    """
    found = [(float(good[n][0]), float(good[n][1])) for n in one.planned if n in good]
    return found + [(m.chainage, m.level) for m in chosen if one.set_up in m.set_ups]


def _fewest(
    one: ToCome,
    to_come: Sequence[ToCome],
    good: Mapping[str, Floats],
    chosen: Sequence[ControlMark],
    own: Sequence[ControlMark],
    accuracy: float,
) -> Sequence[ControlMark]:
    def errors(added: Sequence[ControlMark]) -> tuple[float, float]:
        beside = [
            other
            for other in to_come
            if other is one or any(other.set_up in mark.set_ups for mark in own)
        ]
        every = expected_errors(
            [other.picture for other in beside],
            [places_of(other, good, (*chosen, *added)) for other in beside],
        )
        capped = np.minimum(every, 1e3)
        return every[beside.index(one)], float(np.sum(capped**2))

    now = errors(())[0]
    if now <= accuracy or not own:
        return ()
    best = errors(own)[0]
    if best >= now and len(places_of(one, good, chosen)) >= _LEAST:
        return ()
    wanted = max(accuracy, best * _SLACK)
    if now <= wanted:
        return ()
    for count in range(1, len(own) + 1):
        tried = [(errors(way), way) for way in itertools.combinations(own, count)]
        held = [(of_all, k) for k, ((error, of_all), _) in enumerate(tried) if error <= wanted]
        if held:
            return tried[min(held)[1]][1]
    return own
