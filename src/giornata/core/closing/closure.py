"""The state of a closure: marks as they are, seams, both fronts, and what misses what."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from giornata.core.closing.doubts import Sifted, sifted
from giornata.core.closing.equations import Source
from giornata.core.closing.fronts import Fronts, row_fronts
from giornata.core.closing.joint import Joint, joined
from giornata.core.closing.meeting import Meeting, meeting
from giornata.core.closing.next_measure import Worth, worth_measuring
from giornata.core.closing.readings import Readings
from giornata.core.projection import INSIDE_95

__all__ = ["ClosedMark", "Closure", "closed"]

_BELIEVED = 0.05  # chance of the misfit from which stated deviations are believed


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedMark:
    """A mark as the adjustment finds it.

    Parameters
    ----------
    name : str
    chainage, level : float
        As adjusted. [m]
    along, up : float
        From where it was to be set; above 0 to the right and upwards. [m]
    known_to : float
        Longer half axis of its 95 % ellipse. [m]
    seen_in : tuple of int
        Numbers of the set-ups that saw it. [-]
    """

    name: str
    chainage: float
    level: float
    along: float
    up: float
    known_to: float
    seen_in: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Closure:
    """The state of a closure.

    Parameters
    ----------
    readings : Readings
    sifted : Sifted
        The adjustment without the readings that are wrong.
    widened : float
        By which stated deviations fall short; 1 where they do not. [-]
    marks : tuple of ClosedMark
        In order along the wall.
    meetings : tuple of Meeting
        Of neighbouring set-ups that are squared or still to come, from left to right; then of those
        above one another.
    fronts : tuple of Fronts
        Of each row of set-ups, from the lowest up.
    worth : tuple of Worth
        Measurements by how much surer they make the closing gap, the best first.
    """

    readings: Readings
    sifted: Sifted
    widened: float
    marks: tuple[ClosedMark, ...]
    meetings: tuple[Meeting, ...]
    fronts: tuple[Fronts, ...]
    worth: tuple[Worth, ...]

    @property
    def joint(self) -> Joint:
        """The adjustment."""
        return self.sifted.joint

    @property
    def closing(self) -> tuple[Meeting, ...]:
        """Meetings at the closing seam, one in each row."""
        pairs = {(one.left, one.right) for one in self.readings.seams if one.closes}
        return tuple(one for one in self.meetings if (one.left, one.right) in pairs)

    @property
    def remaining(self) -> tuple[int, ...]:
        """Numbers of the set-ups that are still to be drawn."""
        seams = (*self.readings.seams, *self.readings.level_seams)
        known = {one.left for one in seams} | {one.right for one in seams}
        known |= {one.set_up for one in (*self.readings.pictures, *self.readings.foreseen)}
        done = set(self.readings.drawn) | self.readings.drawn_unsquared
        return tuple(sorted(known - done - self.readings.unprojected))


def closed(readings: Readings) -> Closure | None:
    """Everything adjusted, wrong readings set aside, and how both ends meet; None for no marks.

    Parameters
    ----------
    readings : Readings
        To be given again, with what came to it, after each set-up.
    """

    def adjust(aside: Sequence[Source]) -> Joint | None:
        return joined(
            readings.marks, readings.pictures, readings.measures,
            scale_sigma=readings.scale_sigma, in_space=readings.in_space, without=aside,
        )  # fmt: skip

    found = sifted(adjust)
    if found is None:
        return None
    joint = found.joint
    widened = 1.0
    if joint.freedom and joint.chance < _BELIEVED:
        widened = math.sqrt(joint.misfit / joint.freedom)
    whole = _with_foreseen(readings, found)
    return Closure(
        readings=readings,
        sifted=found,
        widened=widened,
        marks=_marks(readings, joint, widened),
        meetings=_meetings(readings, joint, whole, widened),
        fronts=row_fronts(readings, joint, widened),
        worth=_worth(readings, whole),
    )


def _with_foreseen(readings: Readings, found: Sifted) -> Joint:
    """The adjustment with the pictures still to come, which miss nothing in it."""
    joint = found.joint
    if not readings.foreseen:
        return joint
    whole = joined(
        readings.marks, (*readings.pictures, *readings.foreseen), readings.measures,
        scale_sigma=readings.scale_sigma, in_space=readings.in_space,
        without=[one.source for one in found.named],
    )  # fmt: skip
    return joint if whole is None else whole


def _marks(readings: Readings, joint: Joint, widened: float) -> tuple[ClosedMark, ...]:
    set_at = {mark.name: mark for mark in readings.marks}
    made = []
    for name in joint.names:
        chainage, level = joint.place(name).tolist()
        greatest = float(np.linalg.eigvalsh(joint.mark_covariance(name))[1])
        made.append(
            ClosedMark(
                name=name,
                chainage=chainage,
                level=level,
                along=chainage - set_at[name].chainage,
                up=level - set_at[name].level,
                known_to=widened * math.sqrt(INSIDE_95 * max(greatest, 0.0)),
                seen_in=tuple(
                    one.set_up
                    for one in joint.equations.pictures
                    if any(mark.name == name for mark in one.seen)
                ),
            )
        )
    return tuple(made)


def _meetings(
    readings: Readings, joint: Joint, whole: Joint, widened: float
) -> tuple[Meeting, ...]:
    made = []
    level = {id(seam) for seam in readings.level_seams}
    for seam in (*readings.seams, *readings.level_seams):
        pair = {seam.left, seam.right}
        by = joint if pair <= set(joint.maps) else whole
        if pair <= set(by.maps):
            drawn = {n: m for n, m in readings.drawn.items() if n in joint.maps}
            one = meeting(by, seam.left, seam.right, seam.places, drawn, widened=widened,
                          moved=readings.moved)  # fmt: skip
            at = float(seam.places[:, 1].mean()) if id(seam) in level else None
            made.append(replace(one, level=at))
    return tuple(made)


def _worth(readings: Readings, whole: Joint) -> tuple[Worth, ...]:
    """Of measurements that make the gap at the closing seam surer, on marks of both its sides."""
    for seam in readings.seams:
        if seam.closes and {seam.left, seam.right} <= set(whole.maps):
            moves = whole.light_moves(seam.left, seam.places) - whole.light_moves(
                seam.right, seam.places
            )
            return worth_measuring(whole, moves.mean(axis=0)[0], whole.names)[:3]
    return ()
