"""What is doubtful where the projector cannot stand where the plan wants it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from giornata.core.foundation import Finding, Severity
from giornata.core.projection.projector import Stand
from giornata.core.projection.setups import SetUpPlan, numbers_named
from giornata.core.projection.spans import Wall
from giornata.core.site import standing_room

__all__ = ["InTheLight", "shade_findings", "shade_level", "standing_findings"]

_LEAST_SHADE = 0.01  # m: less of the wall's foot than this is not missed


def standing_findings(plan: SetUpPlan, wall: Wall, stand: Stand) -> tuple[Finding, ...]:
    """A finding on the set-ups before which nothing can stand at the stand's distance.

    Parameters
    ----------
    plan : SetUpPlan
        The plan, perhaps empty.
    wall : Wall
        With its standing room.
    stand : Stand
        For its distance.
    """
    off = [one for one in plan.set_ups if not wall.stands(one.distance, one.centre, one.carrier)]
    if not off:
        return ()
    first = off[0]
    free = standing_room(wall.rooms, first.centre)
    return (
        Finding(
            code="projection.no_standing",
            severity=Severity.WARN,
            subject=numbers_named([one.number for one in off]),
            message=f"The projector cannot stand {stand.distance:.2f} m off the wall there, and "
            "no image could be moved so that it can.",
            remedy=f"At {first.centre:.2f} m one may stand {_named(free)}; plan from a distance "
            "that is free, have the place cleared, or put that stretch on by grid.",
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class InTheLight:
    """An obstacle that may stand between the lens and the wall.

    Parameters
    ----------
    name : str
        What it is, and its name.
    start, end : float
        Chainages; it ends after it starts. [m]
    near, far : float
        Distances from the wall between which it lies; 0 or more. [m]
    height : float
        Above the ground; 0 or more. [m]
    """

    name: str
    start: float
    end: float
    near: float
    far: float
    height: float


def shade_level(top: float, near: float, far: float, lens: float, distance: float) -> float:
    """Level up to which an obstacle keeps the light off the wall. [m]

    Parameters
    ----------
    top : float
        Level of the obstacle's top. [m]
    near, far : float
        Distances from the wall between which it lies; near below the lens's distance. [m]
    lens : float
        Level of the lens. [m]
    distance : float
        Lens to wall; above 0. [m]

    Raises
    ------
    ValueError
        If the obstacle does not begin between wall and lens.

    Notes
    -----
    The ray that grazes the top, carried on to the wall: at the edge nearer to the wall where the
    lens is above the top, else at the edge nearer to the lens. Infinite where a higher obstacle
    reaches as far as the lens.

    Examples
    --------
    >>> round(shade_level(0.8, 1.0, 2.0, 1.8, 6.0), 2)   # 0.8 - 1.0 × 1 ÷ 5
    0.6
    """
    if not 0 <= near < distance:
        raise ValueError("the obstacle begins between the wall and the lens")
    if lens >= top:
        return top - (lens - top) * near / (distance - near)
    if far >= distance:
        return math.inf
    return top + (top - lens) * far / (distance - far)


def shade_findings(
    plan: SetUpPlan, wall: Wall, obstacles: Iterable[InTheLight]
) -> tuple[Finding, ...]:
    """A finding on each obstacle that keeps the projector's light off the foot of the wall.

    Parameters
    ----------
    plan : SetUpPlan
        The plan, perhaps empty.
    wall : Wall
        For its ground line.
    obstacles : iterable of InTheLight
        Those whose distances from the wall are known.

    Notes
    -----
    The ground before the wall is taken as high as at the wall's foot. An obstacle that begins as
    far off as the lens, or farther, is behind the light.
    """
    found = []
    for one in obstacles:
        shaded = {}
        for image in plan.set_ups:
            if one.near >= image.distance:
                continue
            ends = [
                at + (at - image.centre) * one.near / (image.distance - one.near)
                for at in (one.start, one.end)
            ]
            start, end = max(ends[0], image.start, 0.0), min(ends[1], image.end, wall.band.length)
            if not end > start:
                continue
            ground = wall.band.ground_at((start + end) / 2)
            level = shade_level(
                ground + one.height, one.near, one.far, image.lens_level, image.distance
            )
            above = min(level, image.wall_head) - max(ground, image.wall_foot)
            if above > _LEAST_SHADE:
                shaded[image.number] = above
        if shaded:
            found.append(_shaded(one, shaded))
    return tuple(found)


def _shaded(one: InTheLight, shaded: dict[int, float]) -> Finding:
    return Finding(
        code="projection.shaded",
        severity=Severity.WARN,
        subject=f"{one.name}, {numbers_named(sorted(shaded))}",
        message=f"{one.height:.2f} m high, {one.near:.2f} to {one.far:.2f} m off the wall, it "
        f"keeps the light off the foot of the wall, up to {max(shaded.values()):.2f} m of it.",
        remedy="Raise the lens, stand where the light clears it, or put that strip on by grid.",
    )


def _named(free: Iterable[tuple[float, float]]) -> str:
    words = [
        f"from {near:.2f} m on" if math.isinf(far) else f"from {near:.2f} to {far:.2f} m off"
        for near, far in free
    ]
    return ", or ".join(words) or "nowhere"
