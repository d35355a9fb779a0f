"""What is written above and on a strip of an elevation, long and short."""

from __future__ import annotations

from dataclasses import dataclass

import shapely

from giornata.core.documents.display import bare, size_text
from giornata.core.foundation import System, shown
from giornata.core.survey import DevelopedWall, HiddenBand, WallOpening, level_at

__all__ = ["Note", "band_words", "notes_above", "opening_words"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """A note on something at a chainage.

    Parameters
    ----------
    at : float
        Chainage. [m]
    long, short : str
        As there is room.
    """

    at: float
    long: str
    short: str


def notes_above(wall: DevelopedWall, start: float, end: float, system: System) -> tuple[Note, ...]:
    """Piers, joints, bends and curves between two chainages, in order.

    Parameters
    ----------
    start, end : float
        [m]
    """
    notes = []
    joints = list(wall.joints)
    for pier in wall.piers:
        at = (pier.start + pier.end) / 2
        on = [joint for joint in joints if pier.start - 1e-6 <= joint <= pier.end + 1e-6]
        joints = [joint for joint in joints if joint not in on]
        name = f"pier {pier.name} on joint" if on else f"pier {pier.name}"
        wide, proud = bare(pier.end - pier.start, system), bare(pier.proud, system)
        sides = ", sides painted" if pier.returns_painted and pier.proud > 0 else ""
        notes.append(Note(at=at, long=f"{name}, {wide} wide, {proud} proud{sides}", short=name))
    notes += [Note(at=joint, long="joint", short="joint") for joint in joints]
    for bend in wall.bends:
        angle = shown(abs(bend.angle), "rad", system).replace(".0°", "°")
        way = "towards you" if bend.angle > 0 else "away from you"
        notes.append(Note(at=bend.at, long=f"bend {angle} {way}", short=f"bend {angle}"))
    for arc in wall.arcs:
        middle = (max(arc.start, start) + min(arc.end, end)) / 2
        long = f"{arc.curve} curve, radius {bare(arc.radius, system)}"
        if arc.start < end and arc.end > start:
            notes.append(Note(at=middle, long=long, short="curve"))
    return tuple(
        sorted((n for n in notes if start - 1e-6 <= n.at <= end + 1e-6), key=lambda n: n.at)
    )


def opening_words(
    wall: DevelopedWall, opening: WallOpening, system: System
) -> tuple[str, str, str, str]:
    """Name, size, head and sill of an opening."""
    middle = (opening.start + opening.end) / 2
    upright = shapely.LineString([(middle, -1e4), (middle, 1e4)])
    _, foot, _, head = shapely.bounds(shapely.intersection(opening.polygon, upright))
    to_top = head >= level_at(wall.top, middle) - 0.005
    to_ground = foot <= level_at(wall.ground, middle) + 0.005
    return (
        opening.name,
        size_text(opening.end - opening.start, head - foot, system),
        "head at top" if to_top else f"head {bare(head, system)}",
        "sill at ground" if to_ground else f"sill {bare(foot, system)}",
    )


def band_words(band: HiddenBand, system: System) -> str:
    """What hides a band of the wall."""
    kind = band.kind if band.kind.casefold() not in band.name.casefold() else ""
    return f"{band.name}{f' ({kind})' if kind else ''}, {bare(band.height, system)} high"
