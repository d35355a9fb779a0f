"""Places of the wall by name: corners of openings and piers, ends of bays and of the wall."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.survey import DevelopedWall, level_at

__all__ = ["NamedPlace", "named_places"]


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedPlace:
    """A place that the survey knows.

    Parameters
    ----------
    name : str
        "Steps gate, upper left", "bay 3, lower right", "left end, upper".
    chainage, level : float
        [m]
    """

    name: str
    chainage: float
    level: float


def named_places(wall: DevelopedWall) -> tuple[NamedPlace, ...]:
    """All places that can be named, in order of chainage.

    Parameters
    ----------
    wall : DevelopedWall
        Its bays, openings and ends.

    Notes
    -----
    Lower is on the ground, upper at the wall's top; of an opening its own foot and head. Piers are
    left out: their corners stand before the wall's face.
    """
    found = []

    def both(label: str, at: float, *, before: bool) -> None:
        for word, line in (("lower", wall.ground), ("upper", wall.top)):
            found.append(
                NamedPlace(
                    name=label.format(word),
                    chainage=at,
                    level=level_at(line, at, before=before),
                )
            )

    both("left end, {}", 0.0, before=False)
    both("right end, {}", wall.length, before=True)
    for bay in wall.bays:
        both(f"bay {bay.name}, {{}} left", bay.start, before=False)
        both(f"bay {bay.name}, {{}} right", bay.end, before=True)
    for opening in wall.openings:
        _, low, _, high = opening.polygon.bounds
        for word, at, before in (("left", opening.start, False), ("right", opening.end, True)):
            foot = max(low, level_at(wall.ground, at, before=before))
            head = min(high, level_at(wall.top, at, before=before))
            for side, level in (("lower", foot), ("upper", head)):
                found.append(
                    NamedPlace(name=f"{opening.name}, {side} {word}", chainage=at, level=level)
                )
    return tuple(sorted(found, key=lambda place: (place.chainage, place.level)))
