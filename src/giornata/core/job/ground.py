"""Ground before the wall: standing room from what was recorded and what obstacles bar."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from giornata.core.foundation import Assumption, Finding
from giornata.core.site import (
    Barred,
    Carrier,
    StandingRoom,
    StandingStretch,
    level_enough,
    standing_findings,
    standing_rooms,
    steep_findings,
)
from giornata.core.survey import DevelopedWall, WallSurvey

__all__ = ["GATE_HEIGHT", "gates_in", "rooms_before"]

GATE_HEIGHT = Assumption(
    name="height of an opening over that of the wall from which no marks fit above or below it",
    value=0.6,
    unit="-",
    source="own choice: less than 0.6 m is left above and below on a wall of 3 m",
    usual=(0.5, 0.8),
)


def rooms_before(
    length: float,
    survey: WallSurvey,
    standing: Sequence[StandingStretch],
    *,
    lift: bool,
    carriers: Sequence[Carrier],
) -> tuple[tuple[tuple[Carrier, tuple[StandingRoom, ...]], ...], tuple[Finding, ...]]:
    """Standing room for each carrier, and what is amiss; none where nothing was recorded. [m]

    Parameters
    ----------
    length : float
        Of the wall; above 0. [m]
    survey : WallSurvey
        For its obstacles; those whose distances from the wall are known bar what they cover.
    standing : sequence of StandingStretch
        Where one may stand.
    lift : bool
        Whether a lift is to be used.
    carriers : sequence of Carrier
        What may carry the projector, each once and at least one; ground too steep for it is no
        room.
    """
    barred = tuple(
        Barred(name=one.name, start=one.start, end=one.end, near=one.near or 0.0, far=one.far)
        for one in survey.obstacles
        if one.far is not None
    )
    if not standing and not barred:
        return (), ()
    rooms = tuple(
        (
            carrier,
            standing_rooms(
                length, standing, barred, level_enough=partial(level_enough, carrier=carrier)
            ),
        )
        for carrier in carriers
    )
    doubts = standing_findings(rooms[0][1], standing, lift=lift)
    return rooms, (*doubts, *steep_findings(standing, carriers))


def gates_in(wall: DevelopedWall) -> tuple[tuple[float, float], ...]:
    """Openings so high that no column of marks fits above or below them: from and to. [m]

    Parameters
    ----------
    wall : DevelopedWall
        The developed wall.
    """
    found = []
    for opening in wall.openings:
        start, foot, end, head = opening.polygon.bounds
        if head - foot > GATE_HEIGHT.value * wall.greatest_height:
            found.append((start, end))
    return tuple(found)
