"""Chainages worth writing on a drawing, each thing once."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from giornata.core.survey import DevelopedWall

__all__ = ["bay_ends", "measured_chainages", "merged", "running_chainages"]

_SAME = 0.02  # m: a bay that ends so near to something measured from the datum ends there
_ONE = 0.005  # m: chainages nearer than this are one


def merged(places: Iterable[float]) -> tuple[float, ...]:
    """In order, those nearer than 5 mm taken as one. [m]

    Parameters
    ----------
    places : iterable of float
        Chainages. [m]
    """
    kept: list[float] = []
    for place in sorted(places):
        if not kept or place - kept[-1] > _ONE:
            kept.append(place)
    return tuple(kept)


def measured_chainages(wall: DevelopedWall) -> tuple[float, ...]:
    """Readings, bends, joints, and edges of openings and piers, in order. [m]"""
    read = np.concatenate([wall.top[:, 0], wall.ground[:, 0], wall.plan[:, 0]]).tolist()
    edges = [at for one in (*wall.openings, *wall.piers) for at in (one.start, one.end)]
    return merged([*read, *wall.joints, *edges])


def bay_ends(wall: DevelopedWall) -> tuple[float, ...]:
    """Ends of the bays, each where something measured from the datum is so near. [m]"""
    measured = measured_chainages(wall)
    ends = []
    for bay in wall.bays:
        near = min(measured, key=lambda at: abs(at - bay.end))
        ends.append(near if abs(near - bay.end) <= _SAME else bay.end)
    return tuple(ends)


def running_chainages(
    wall: DevelopedWall, start: float, end: float, cuts: Iterable[float] = ()
) -> tuple[float, ...]:
    """What a running row names between two chainages: measured things, ends of bays, cuts. [m]

    Parameters
    ----------
    start, end : float
        [m]
    cuts : iterable of float
        Named whatever is near them. [m]
    """
    every = merged([*measured_chainages(wall), *bay_ends(wall)])
    inside = [at for at in every if start - 1e-6 <= at <= end + 1e-6]
    own = [cut for cut in cuts if all(abs(cut - at) > _SAME for at in inside)]
    return merged([*inside, *own])
