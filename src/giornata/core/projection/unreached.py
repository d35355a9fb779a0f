"""Stretches of wall that no place of the projector reaches, and the limit that bites there."""

from __future__ import annotations

from collections.abc import Sequence

from giornata.core.foundation import Floats
from giornata.core.projection.covering import Reach
from giornata.core.projection.faces import Face
from giornata.core.projection.limits import Limit, Limits
from giornata.core.projection.offers import Setting, lit_from
from giornata.core.projection.projector import Projector, Stand
from giornata.core.projection.setups import Unreachable
from giornata.core.projection.spans import Wall

__all__ = ["unreached"]

_TOUCH = 1e-6  # m
_TRIED = (Limit.LIGHT, Limit.PIXELS, Limit.STANDING, Limit.VIEW, Limit.FOCUS)


def unreached(
    wall: Wall,
    face: Face,
    projector: Projector,
    stand: Stand,
    settings: Sequence[Setting],
    limits: Limits,
    *,
    more: Floats,
    every: Reach,
) -> tuple[Unreachable, ...]:
    """Stretches that nothing lights, each with the limit that bites where it begins. [m]

    Parameters
    ----------
    wall : Wall
        Top, ground, lamps and standing room.
    face : Face
        The same wall in columns, as it stands in plan.
    projector : Projector
        The machine.
    stand : Stand
        Where it may stand and what it must reach.
    settings : sequence of Setting
        Distances and throw ratios that were tried.
    limits : Limits
        What every place of the wall asks for.
    more : ndarray, shape (k,)
        Chainages that were tried beside the grid. [m]
    every : Reach
        How far images reach within all limits.

    Notes
    -----
    A limit bites where the images would go on without it. They are tried one by one; where none
    alone lets them go on, the picture is named.
    """
    length, overlap = wall.band.length, stand.overlap
    freed: dict[Limit, Reach] = {}

    def without(limit: Limit) -> Reach:
        if limit not in freed:
            lit = lit_from(
                face, wall, projector, stand, settings, limits, more=more, free=limit
            )  # fmt: skip
            freed[limit] = Reach.of(lit.start, lit.end)
        return freed[limit]

    found = []
    covered, begin = 0.0, 0.0
    while covered < length - _TOUCH:
        end = float(every.at(begin))
        if end > covered + _TOUCH:
            covered, begin = end, max(end - overlap, 0.0)
            continue
        later = (every.starts > begin + _TOUCH) & (every.best > covered + _TOUCH)
        later &= every.ends > covered + _TOUCH
        resumes = float(every.starts[later].min()) if later.any() else length
        bites = next(
            (limit for limit in _TRIED if float(without(limit).at(begin)) > covered + _TOUCH),
            Limit.PICTURE,
        )
        if resumes <= covered + _TOUCH and bites is Limit.PICTURE:
            bites = Limit.OVERLAP
        found.append(
            Unreachable(start=covered, end=max(resumes, min(covered + _TOUCH, length)), limit=bites)
        )
        if not later.any():
            break
        begin, covered = resumes, max(covered, resumes)
    return tuple(found)
