"""What is tried for every place: distance, throw ratio, height, lens shift, turn to a side."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from giornata.core.foundation import Assumption
from giornata.core.projection.aims import resting_side
from giornata.core.projection.offers import Setting
from giornata.core.projection.projector import Projector, Stand
from giornata.core.projection.spans import Wall, zoom_settings
from giornata.core.projection.throw import SLACK, image_size
from giornata.core.site import Carrier, StandingRoom

__all__ = ["distances_of", "settings_tried"]

DISTANCE_STEP = Assumption(
    name="distance between the stand-offs tried",
    value=0.25,
    unit="m",
    source="own choice: 3 % of a throw of 8 m, less than a turn of the zoom ring",
    usual=(0.1, 0.5),
)

HEIGHT_STEP = Assumption(
    name="distance between the heights of the lens that are tried",
    value=0.25,
    unit="m",
    source="own choice: 8 % of an image of 3 m, less than the lens shift of most machines",
    usual=(0.1, 0.5),
)
PAN_STEP = Assumption(
    name="angle between the pans tried where nothing can stand square before the wall",
    value=math.radians(10.0),
    unit="rad",
    source="own choice",
    usual=(math.radians(5.0), math.radians(15.0)),
)

_SLANTED = 4  # further throw ratios tried where the wall is not flat or the picture is tilted
_TOUCH = 1e-6  # m


def distances_of(stand: Stand) -> tuple[float, ...]:
    """Stand-offs to be tried: the stand's own, and those between its nearest and farthest. [m]

    Parameters
    ----------
    stand : Stand
        For its distances.
    """
    near, far = stand.nearest or stand.distance, stand.farthest or stand.distance
    near, far = min(near, stand.distance), max(far, stand.distance)
    if far - near < _TOUCH:
        return (stand.distance,)
    steps = max(math.ceil((far - near) / DISTANCE_STEP.value - SLACK), 1)
    return tuple(sorted({stand.distance, *np.linspace(near, far, steps + 1).round(3).tolist()}))


def _mounts(stand: Stand) -> tuple[tuple[Carrier | None, float | None], ...]:
    """What may carry the projector and how high; the stand's own first. [m]"""
    found: list[tuple[Carrier | None, float | None]] = [(None, None)]
    for mount in stand.mounts:
        steps = math.ceil((mount.highest - mount.lowest) / HEIGHT_STEP.value - SLACK)
        heights = np.linspace(mount.lowest, mount.highest, steps + 1) if steps else [mount.lowest]
        found += [(mount.carrier, round(float(height), 3)) for height in heights]
    return tuple(dict.fromkeys(found))


def _pans(stand: Stand, rooms: Sequence[StandingRoom], distance: float) -> tuple[float, ...]:
    """Turns to a side that are tried: none where one may stand square everywhere. [rad]"""
    if stand.pan == 0 or not rooms or all(room.holds(distance) for room in rooms):
        return ()
    steps = math.ceil(stand.pan / PAN_STEP.value - SLACK)
    angles = (np.arange(1, steps + 1) * stand.pan / steps).tolist()
    return tuple(sign * angle for angle in angles for sign in (-1.0, 1.0))


def settings_tried(
    wall: Wall, projector: Projector, stand: Stand, pitch: float, *, slanted: bool
) -> tuple[Setting, ...]:
    """Distances, throw ratios, heights, shifts and turns to a side that are worth trying.

    Parameters
    ----------
    wall : Wall
        For its lamps and standing room.
    projector : Projector
        The machine.
    stand : Stand
        Where it may stand and what may carry it.
    pitch : float
        Greatest side of a pixel; infinite where any will do. [m]
    slanted : bool
        Whether the wall is not flat or pictures are tilted, so that more throw ratios are tried.
    """
    found = []
    for distance in distances_of(stand):
        finest = distance / (projector.columns * pitch) if math.isfinite(pitch) else 0.0
        if finest > projector.throw_max * (1 + SLACK):
            widest = projector.throw_max
        else:
            widest = min(max(projector.throw_min, finest), projector.throw_max)
        here = stand.at(distance)
        ratios = {r for some in zoom_settings(wall.lamps, projector, here, widest).values()
                  for r, _ in some}  # fmt: skip
        if slanted:
            ratios |= set(np.linspace(widest, projector.throw_max, _SLANTED + 1).tolist())
        for carrier, height in _mounts(stand):
            rooms = wall.rooms_of(carrier)
            sides = {resting_side(projector, stand.orientation)}
            if rooms and not all(room.holds(distance) for room in rooms):
                sides |= set(projector.level_shift(stand.orientation))
            aims = [
                (side, centred, 0.0)
                for side in sorted(sides)
                for centred in ((False, True) if slanted else (False,))
            ]
            aims += [(0.0, True, pan) for pan in _pans(stand, rooms, distance)]
            for ratio in sorted(ratios):
                image = image_size(projector, distance, ratio, stand.orientation)
                if image.width > stand.overlap and image.height > 0:
                    found += [
                        Setting(
                            distance=distance, ratio=ratio, side=side, image=image,
                            centred=centred, height=height, carrier=carrier, pan=pan,
                        )
                        for side, centred, pan in aims
                    ]  # fmt: skip
    return tuple(found)
