"""What is doubtful where the projector cannot stand where the plan wants it."""

from __future__ import annotations

import math
from collections.abc import Iterable

from giornata.core.foundation import Finding, Severity
from giornata.core.projection.projector import Stand
from giornata.core.projection.setups import SetUpPlan, numbers_named
from giornata.core.projection.spans import Wall
from giornata.core.site import standing_room

__all__ = ["standing_findings"]


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
    off = [one for one in plan.set_ups if not wall.stands(one.distance, one.centre)]
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


def _named(free: Iterable[tuple[float, float]]) -> str:
    words = [
        f"from {near:.2f} m on" if math.isinf(far) else f"from {near:.2f} to {far:.2f} m off"
        for near, far in free
    ]
    return ", or ".join(words) or "nowhere"
