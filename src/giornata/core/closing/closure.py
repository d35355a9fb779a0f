"""The state of a closure: marks as they are, seams, both fronts, and what misses what."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from scipy.stats import chi2

from giornata.core.closing.doubts import Sifted, sifted
from giornata.core.closing.equations import InSpace, Source
from giornata.core.closing.joint import Joint, joined
from giornata.core.closing.meeting import Meeting, Moved, fallen, meeting
from giornata.core.closing.next_measure import Worth, worth_measuring
from giornata.core.closing.observed import Measure, PictureSeen, PlacedMark
from giornata.core.foundation import Floats, readonly
from giornata.core.projection import INSIDE_95, WallMap

__all__ = ["ClosedMark", "Closure", "Front", "Readings", "SeamPlace", "closed"]

_ALONG_95 = math.sqrt(float(chi2.isf(0.05, 1)))  # standard deviations along one direction
_BELIEVED = 0.05  # chance of the misfit from which stated deviations are believed


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SeamPlace:
    """Where two set-ups meet.

    Parameters
    ----------
    left, right : int
        Their numbers. [-]
    places : ndarray, shape (n, 2)
        Along the seam. [m]
    closes : bool
        Whether the drawing is to close here.
    """

    left: int
    right: int
    places: Floats
    closes: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "places", readonly(self.places, columns=2))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Readings:
    """All that a closure is worked out from.

    Parameters
    ----------
    marks : tuple of PlacedMark
        Each name once.
    pictures : tuple of PictureSeen
        Of the set-ups that were squared.
    foreseen : tuple of PictureSeen
        Of those still to come, marks where the plan will see them.
    measures : tuple of Measure
        Check measurements.
    drawn : mapping of int to WallMap
        Maps by which the pictures that are drawn were made, by number of the set-up.
    seams : tuple of SeamPlace
        From left to right; one in each row of the closing seam closes.
    scale_sigma : float
        Standard deviation of the tape's scale; above 0. [-]
    in_space : callable or None
        None: the wall is flat.
    moved : mapping
        Set-ups that drew a design moved as an earlier closure said.
    """

    marks: tuple[PlacedMark, ...]
    pictures: tuple[PictureSeen, ...]
    foreseen: tuple[PictureSeen, ...]
    measures: tuple[Measure, ...]
    drawn: Mapping[int, WallMap]
    seams: tuple[SeamPlace, ...]
    scale_sigma: float
    in_space: InSpace | None = None
    moved: Moved = field(default_factory=dict)


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Front:
    """How far the drawing has come from one end, and how far its edge is off its place.

    Parameters
    ----------
    set_up : int
        Number of the last one drawn there. [-]
    chainage : float
        Of the seam that it drew up to. [m]
    along, up : float
        Of its lines there, beside the design; above 0 to the right and upwards. [m]
    known_to : float
        95 times of 100 the former is no more wrong. [m]
    """

    set_up: int
    chainage: float
    along: float
    up: float
    known_to: float


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
        Of neighbouring set-ups that are squared or still to come, from left to right.
    left, right : Front or None
        The front from the left end, and the one that it is to meet; None where nothing is drawn
        there.
    apart, apart_known_to : float or None
        By how much more the right front is off to the right than the left one, and 95 % of how
        well that is known; None where one is missing. [m]
    worth : tuple of Worth
        Measurements by how much surer they make the closing gap, the best first.
    """

    readings: Readings
    sifted: Sifted
    widened: float
    marks: tuple[ClosedMark, ...]
    meetings: tuple[Meeting, ...]
    left: Front | None
    right: Front | None
    apart: float | None
    apart_known_to: float | None
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
        known = {s.left for s in self.readings.seams} | {s.right for s in self.readings.seams}
        known |= {one.set_up for one in (*self.readings.pictures, *self.readings.foreseen)}
        return tuple(sorted(known - set(self.readings.drawn)))


_Edge = tuple[int, SeamPlace]


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
    edges = _edges(readings)
    left, right = (_front(one, readings, joint, widened) for one in edges)
    apart, known_to = _apart(edges, joint, left, right, widened)
    return Closure(
        readings=readings,
        sifted=found,
        widened=widened,
        marks=_marks(readings, joint, widened),
        meetings=_meetings(readings, joint, whole, widened),
        left=left,
        right=right,
        apart=apart,
        apart_known_to=known_to,
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
    for seam in readings.seams:
        pair = {seam.left, seam.right}
        by = joint if pair <= set(joint.maps) else whole
        if pair <= set(by.maps):
            drawn = {n: m for n, m in readings.drawn.items() if n in joint.maps}
            made.append(
                meeting(
                    by,
                    seam.left,
                    seam.right,
                    seam.places,
                    drawn,
                    widened=widened,
                    moved=readings.moved,
                )
            )
    return tuple(made)


def _edges(readings: Readings) -> tuple[list[_Edge], list[_Edge]]:
    """Set-ups with the seam up to which the drawing has come: from the left end, and beyond it.

    What is drawn beyond a stretch that is not, from the right end or in the middle, is met at its
    left edge. The closing seam parts what is drawn on either side of it.
    """
    after = {seam.left: seam for seam in readings.seams}
    before = {seam.right: seam for seam in readings.seams}
    drawn = readings.drawn
    lefts: list[_Edge] = []
    rights: list[_Edge] = []
    for first in sorted(drawn):
        seam = before.get(first)
        if seam is not None and not seam.closes and seam.left in drawn:
            continue
        if seam is not None:
            rights.append((first, seam))
            continue
        last = first
        while last in after and not after[last].closes and after[last].right in drawn:
            last = after[last].right
        if last in after:
            lefts.append((last, after[last]))
    return lefts, sorted(rights, key=lambda one: float(one[1].places[:, 0].mean()))


def _front(edges: list[_Edge], readings: Readings, joint: Joint, widened: float) -> Front | None:
    for number, seam in edges:
        if number not in joint.maps:
            continue
        off = (
            fallen(joint, number, readings.drawn[number], seam.places, readings.moved) - seam.places
        ).mean(axis=0)
        moves = joint.light_moves(number, seam.places).mean(axis=0)
        spread = moves @ joint.covariance @ moves.T
        radius = math.sqrt(INSIDE_95 * max(float(np.linalg.eigvalsh(spread)[1]), 0.0))
        return Front(
            set_up=number,
            chainage=float(seam.places[:, 0].mean()),
            along=float(off[0]),
            up=float(off[1]),
            known_to=widened * radius,
        )
    return None


def _apart(
    edges: tuple[list[_Edge], list[_Edge]],
    joint: Joint,
    left: Front | None,
    right: Front | None,
    widened: float,
) -> tuple[float | None, float | None]:
    if left is None or right is None:
        return None, None
    ends = []
    for front, known in zip((left, right), edges, strict=True):
        seam = next(seam for number, seam in known if number == front.set_up)
        ends.append(joint.light_moves(front.set_up, seam.places).mean(axis=0)[0])
    moves = ends[1] - ends[0]
    sigma = math.sqrt(max(float(moves @ joint.covariance @ moves), 0.0))
    return right.along - left.along, widened * _ALONG_95 * sigma


def _worth(readings: Readings, whole: Joint) -> tuple[Worth, ...]:
    """Of measurements that make the gap at the closing seam surer, on marks of both its sides."""
    for seam in readings.seams:
        if seam.closes and {seam.left, seam.right} <= set(whole.maps):
            moves = whole.light_moves(seam.left, seam.places) - whole.light_moves(
                seam.right, seam.places
            )
            return worth_measuring(whole, moves.mean(axis=0)[0], whole.names)[:3]
    return ()
