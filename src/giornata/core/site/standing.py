"""Standing room: where before the wall a projector, a tripod or a lift may stand, and how level."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from giornata.core.foundation import Assumption, Finding, Severity

__all__ = [
    "LIFT_SLOPE", "TRIPOD_SLOPE", "Barred", "StandingRoom", "StandingStretch", "standing_findings",
    "standing_room", "standing_rooms",
]  # fmt: skip

TRIPOD_SLOPE = Assumption(
    name="slope of the ground up to which a loaded tripod is set level by its legs alone",
    value=math.radians(10.0),
    unit="rad",
    source="common practice, no source",
    usual=(math.radians(5.0), math.radians(15.0)),
)
LIFT_SLOPE = Assumption(
    name="slope of the ground on which a lift may be raised",
    value=math.radians(3.0),
    unit="rad",
    source="makers' plates of slab lifts: 1 to 3 degrees; the machine's own plate counts",
    usual=(math.radians(1.0), math.radians(3.0)),
)

_TOUCH = 1e-9  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingStretch:
    """Ground before a stretch of wall on which one may stand: a path, a lane, a field.

    Parameters
    ----------
    name : str
        As the painter calls it.
    start, end : float
        Chainages; it ends after it starts. [m]
    near, far : float
        Least and greatest distance from the wall, squared off it; 0 or more, infinity where
        there is no limit. [m]
    along : float
        Fall of the ground along the wall, above 0 where it rises to the right; under a right
        angle. [rad]
    across : float
        Fall of the ground square to the wall, above 0 where it rises towards the wall. [rad]
    """

    name: str
    start: float
    end: float
    near: float = 0.0
    far: float = math.inf
    along: float = 0.0
    across: float = 0.0

    def __post_init__(self) -> None:
        if not (math.isfinite(self.start) and self.start < self.end < math.inf):
            raise ValueError("a span ends after it starts")
        if not 0 <= self.near < self.far:
            raise ValueError("standing room begins 0 or more before the wall, and ends beyond that")
        if not max(abs(self.along), abs(self.across)) < math.pi / 2:
            raise ValueError("a slope is less than a right angle")

    @property
    def slope(self) -> float:
        """Steepest slope of the ground, of the two together; 0 or more. [rad]"""
        return math.atan(math.hypot(math.tan(self.along), math.tan(self.across)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Barred:
    """Something before the wall on which nothing can stand.

    Parameters
    ----------
    name : str
        As the painter calls it.
    start, end : float
        Chainages; it ends after it starts. [m]
    near, far : float
        Distances from the wall between which it lies; 0 or more. [m]
    """

    name: str
    start: float
    end: float
    near: float
    far: float

    def __post_init__(self) -> None:
        if not (self.start < self.end and 0 <= self.near < self.far):
            raise ValueError("what bars standing room has a length and a depth above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingRoom:
    """A stretch of wall before which the same distances are free.

    Parameters
    ----------
    start, end : float
        Chainages. [m]
    free : tuple of (float, float)
        Nearest and farthest distance of each free depth, from near to far; none where nothing
        can stand. [m]
    surveyed : bool
        Whether a stretch of standing room was recorded here; else all that is not barred is
        taken as free.
    ground : tuple of StandingStretch
        What was recorded here and may be stood on.
    """

    start: float
    end: float
    free: tuple[tuple[float, float], ...]
    surveyed: bool = True
    ground: tuple[StandingStretch, ...] = ()

    def holds(self, distance: float) -> bool:
        """Whether one may stand at a distance from the wall.

        Parameters
        ----------
        distance : float
            From the wall, squared off it; 0 or more. [m]
        """
        return any(near - _TOUCH <= distance <= far + _TOUCH for near, far in self.free)

    def ground_at(self, distance: float) -> StandingStretch | None:
        """The ground recorded at a distance from the wall, the most level of several; or None.

        Parameters
        ----------
        distance : float
            From the wall, squared off it; 0 or more. [m]
        """
        here = [one for one in self.ground if one.near - _TOUCH <= distance <= one.far + _TOUCH]
        return min(here, key=lambda one: one.slope, default=None)


def standing_rooms(
    length: float,
    stretches: Sequence[StandingStretch],
    barred: Sequence[Barred] = (),
    *,
    level_enough: Callable[[StandingStretch], bool] = lambda _: True,
) -> tuple[StandingRoom, ...]:
    """Standing room from end to end of a wall, like neighbours joined. [m]

    Parameters
    ----------
    length : float
        Of the wall; above 0. [m]
    stretches : sequence of StandingStretch
        Where one may stand; where two lie at one chainage both may be stood on.
    barred : sequence of Barred
        What lies in the way.
    level_enough : callable
        Whether the slope of a stretch lets one stand on it; one that does not is no room, and what
        is recorded of it is not open ground either.

    Raises
    ------
    ValueError
        If the length is not above 0.
    """
    if not 0 < length < math.inf:
        raise ValueError("a wall has a length above 0")
    ends = [at for one in stretches for at in (one.start, one.end)]
    ends += [at for one in barred for at in (one.start, one.end)]
    breaks = sorted({0.0, length, *(at for at in ends if 0 < at < length)})
    rooms: list[StandingRoom] = []
    for start, end in itertools.pairwise(breaks):
        middle = (start + end) / 2
        recorded = [one for one in stretches if one.start < middle < one.end]
        here = tuple(one for one in recorded if level_enough(one))
        open_ground = [] if recorded else [(0.0, math.inf)]
        bars = [(one.near, one.far) for one in barred if one.start < middle < one.end]
        free = _without(
            _joined(open_ground or [(one.near, one.far) for one in here]), _joined(bars)
        )
        like = (free, bool(recorded), here)
        if rooms and (rooms[-1].free, rooms[-1].surveyed, rooms[-1].ground) == like:
            start = rooms.pop().start
        rooms.append(
            StandingRoom(start=start, end=end, free=free, surveyed=bool(recorded), ground=here)
        )
    return tuple(rooms)


def standing_room(
    rooms: Sequence[StandingRoom], chainage: float
) -> tuple[tuple[float, float], ...]:
    """Free distances from the wall at a chainage, nearest and farthest of each depth. [m]

    Parameters
    ----------
    rooms : sequence of StandingRoom
        Of the wall, as `standing_rooms` makes them.
    chainage : float
        Beyond an end of the wall the room at that end counts; where two meet, the one after. [m]

    Raises
    ------
    ValueError
        If there are no rooms.
    """
    if not rooms:
        raise ValueError("there is no standing room to look in")
    return next((one.free for one in rooms if chainage < one.end), rooms[-1].free)


def standing_findings(
    rooms: Sequence[StandingRoom], stretches: Sequence[StandingStretch], *, lift: bool
) -> tuple[Finding, ...]:
    """Stretches without standing room, or not looked at, and ground too steep for a lift.

    Parameters
    ----------
    rooms : sequence of StandingRoom
        Of the wall.
    stretches : sequence of StandingStretch
        That they were made from.
    lift : bool
        Whether a lift is to be used.
    """
    found: list[Finding] = []
    for room in rooms:
        if not room.free:
            found.append(_no_room(room))
    unread = [room for room in rooms if not room.surveyed]
    if stretches and unread:
        found.append(_unread(unread))
    for one in stretches:
        if lift and one.slope > LIFT_SLOPE.value + 1e-9:
            found.append(_steep_for_lift(one))
    return tuple(found)


def _joined(spans: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    joined: list[tuple[float, float]] = []
    for near, far in sorted(spans):
        if joined and near <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(joined[-1][1], far))
        else:
            joined.append((near, far))
    return joined


def _without(
    free: Sequence[tuple[float, float]], bars: Sequence[tuple[float, float]]
) -> tuple[tuple[float, float], ...]:
    """What of the free depths the barred ones leave; neither overlaps its own kind."""
    left = list(free)
    for bar_near, bar_far in bars:
        parts = [
            part
            for near, far in left
            for part in ((near, min(far, bar_near)), (max(near, bar_far), far))
        ]
        left = [(near, far) for near, far in parts if far - near > _TOUCH]
    return tuple(left)


def _no_room(room: StandingRoom) -> Finding:
    return Finding(
        code="site.no_standing_room",
        severity=Severity.WARN,
        subject=f"standing room from {room.start:.2f} to {room.end:.2f} m",
        message="Nothing can stand there at any distance from the wall.",
        remedy="Measure the room again, have what bars it moved, or trace that stretch by grid.",
    )


def _unread(rooms: Sequence[StandingRoom]) -> Finding:
    spans = _joined([(room.start, room.end) for room in rooms])
    where = ", ".join(f"{start:.2f} to {end:.2f} m" for start, end in spans)
    return Finding(
        code="site.standing_unread",
        severity=Severity.NOTE,
        subject="standing room",
        message=f"None was recorded before the wall from {where}: all that is not barred was "
        "taken as free there.",
        remedy="Pace it out and write it down, or leave it where the ground is open.",
    )


def _slopes(one: StandingStretch) -> str:
    return (
        f"It slopes {math.degrees(one.slope):.1f} degrees ({math.degrees(abs(one.along)):.1f} "
        f"along the wall, {math.degrees(abs(one.across)):.1f} across)"
    )


def _steep_for_lift(one: StandingStretch) -> Finding:
    return Finding(
        code="site.steep_for_lift",
        severity=Severity.WARN,
        subject=f"standing room {one.name}",
        message=f"{_slopes(one)}; lifts are raised on {math.degrees(LIFT_SLOPE.value):.0f} "
        "degrees at most, many on less.",
        remedy="Go by the plate and the manual of the machine, and by who is licensed to run it; "
        "plan boards or another way up.",
    )
