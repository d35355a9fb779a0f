"""Openings in a network of readings: their points, their readings, and their place as adjusted."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

import shapely

from giornata.core.survey.observations import WallSurvey
from giornata.core.survey.opening_outlines import Opening, outlined_opening
from giornata.core.survey.readings import level_error
from giornata.core.survey.taken import DATUM, Kind, Taken
from giornata.core.survey.tape import length_error

__all__ = ["adjusted_opening", "least_size", "opening_readings"]


def opening_readings(
    survey: WallSurvey, opening: Opening, called: str
) -> Iterator[tuple[Taken, float]]:
    """What was read of an opening, each reading with its standard deviation. [m]

    Parameters
    ----------
    survey : WallSurvey
        For its tape and stated precisions.
    opening : Opening
        The opening.
    called : str
        Its name in the network.

    Notes
    -----
    A running chainage of its left side and a width; its foot from the level line and its height
    from there, or its head from the level line; the rise of an arch. Of an outline each corner's
    chainage and level.
    """
    level = level_error(survey)

    def one(kind: Kind, start: str, end: str, value: float, name: str) -> tuple[Taken, float]:
        along = kind in (Kind.CHAINAGE, Kind.LENGTH)
        sigma = length_error(survey, abs(value)) if along else level
        return Taken(kind=kind, start=start, end=end, value=value, name=name), sigma

    for number, (at, high) in enumerate(opening.points, 1):
        corner = f"{called} corner {number}"
        yield one(Kind.CHAINAGE, DATUM, corner, at, f"chainage {corner}")
        yield one(Kind.LEVEL, DATUM, corner, high, f"level {corner}")
    if opening.points:
        return
    left, right = f"{called} left", f"{called} right"
    foot, head = f"{called} foot", f"{called} head"
    yield one(Kind.CHAINAGE, DATUM, left, opening.start, left)
    yield one(Kind.LENGTH, left, right, opening.end - opening.start, f"width of {called}")
    if opening.foot is not None:
        yield one(Kind.LEVEL, DATUM, foot, opening.foot, foot)
    if opening.head is not None and opening.foot is not None:
        yield one(Kind.HEIGHT, foot, head, opening.head - opening.foot, f"height of {called}")
    elif opening.head is not None:
        yield one(Kind.LEVEL, DATUM, head, opening.head, head)
    if opening.spring is not None:
        yield one(Kind.HEIGHT, f"{called} spring", head, opening.rise, f"rise of {called}")


def least_size(
    opening: Opening, called: str, along: Callable[[str], float], level: Callable[[str], float]
) -> float:
    """How far an adjusted opening is from losing its size: its width, height or clearance. [m]

    Parameters
    ----------
    opening : Opening
        As written.
    called : str
        Its name in the network.
    along, level : callable
        Chainage and level of a point. [m]
    """
    if opening.points:
        names = [f"{called} corner {number}" for number in range(1, len(opening.points) + 1)]
        ring = shapely.Polygon([(along(name), level(name)) for name in names])
        return float(shapely.minimum_clearance(ring)) if ring.is_valid else 0.0
    sizes = [along(f"{called} right") - along(f"{called} left")]
    if opening.foot is not None and opening.head is not None:
        sizes.append(level(f"{called} head") - level(f"{called} foot"))
    if opening.spring is not None:
        sizes.append(level(f"{called} head") - level(f"{called} spring"))
    return min(sizes)


def adjusted_opening(
    opening: Opening, called: str, along: Callable[[str], float], level: Callable[[str], float]
) -> Opening:
    """The opening at its adjusted place; an arch stays an arch.

    Parameters
    ----------
    opening : Opening
        As written.
    called : str
        Its name in the network.
    along, level : callable
        Chainage and level of a point. [m]

    Raises
    ------
    ValueError
        If it comes out without size, or its outline across itself.
    """
    if opening.points:
        names = [f"{called} corner {number}" for number in range(1, len(opening.points) + 1)]
        return outlined_opening(opening.name, [(along(name), level(name)) for name in names])
    start, end = along(f"{called} left"), along(f"{called} right")
    foot = None if opening.foot is None else level(f"{called} foot")
    head = None if opening.head is None else level(f"{called} head")
    spring = None
    if head is not None and opening.rise > 0:
        rise = (end - start) / 2
        if opening.spring is not None:
            rise = min(head - level(f"{called} spring"), rise)
            spring = head - rise
        foot = None if foot is None else min(foot, head - rise)
    return replace(opening, start=start, end=end, foot=foot, head=head, spring=spring)
