"""From places of the projector to set-ups: rows, aim, light and overlaps of each."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from giornata.core.projection.aims import aim, image_feet, side_beside
from giornata.core.projection.faces import Face
from giornata.core.projection.light import Brightness, brightness
from giornata.core.projection.lit import Aimed, worst_of
from giornata.core.projection.offers import Setting, aimed_rows, machine_of
from giornata.core.projection.projector import MeasuredFrom, Projector, Stand
from giornata.core.projection.setups import SetUp
from giornata.core.projection.spans import Wall, light_on
from giornata.core.site import ambient_over

__all__ = ["Place", "set_ups_at"]

_SQUARE = 1e-6  # share by which light and pixels may differ from those of a square image
_SHARED = 0.1  # m: images beside what nothing lights share a mark where a cross has room
_TRIMMED = 0.01  # m: less than this missing from an image's side is not told


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """One place of the projector along the wall.

    Parameters
    ----------
    chainage : float
        Of the lens. [m]
    setting : Setting
        Distance, throw ratio, shift to the side, size of the image on a flat wall.
    rows : int
        Rows of images from there. [-]
    lit : tuple of (float, float) or None
        Chainages lit within the limits; None where that was not looked at. [m]
    begins : bool
        Whether it is the first beyond a stretch that nothing lights.
    """

    chainage: float
    setting: Setting
    rows: int
    lit: tuple[float, float] | None = None
    begins: bool = False


def set_ups_at(
    wall: Wall, projector: Projector, stand: Stand, places: Sequence[Place], face: Face | None
) -> tuple[SetUp, ...]:
    """The set-ups at places along the wall, in order.

    Parameters
    ----------
    wall : Wall
        What is to be lit.
    projector : Projector
        The machine.
    stand : Stand
        Where it stands and what it must reach.
    places : sequence of Place
        From the left.
    face : Face or None
        The wall as it stands in plan; None where each image is taken as square on a flat wall.
    """
    found: list[SetUp] = []
    for column, place in enumerate(places, start=1):
        found += _column(wall, projector, stand, place, column, len(found), face)
    return tuple(_with_overlaps(found, places))


def _column(
    wall: Wall,
    projector: Projector,
    stand: Stand,
    place: Place,
    column: int,
    before: int,
    face: Face | None,
) -> list[SetUp]:
    setting, image = place.setting, place.setting.image
    standing = min(max(place.chainage, 0.0), wall.band.length)
    ground = wall.band.ground_at(standing)
    from_ground = stand.measured_from is MeasuredFrom.GROUND or setting.height is not None
    lens = (stand.height if setting.height is None else setting.height) + (
        ground if from_ground else 0.0
    )
    if setting.pan:
        return [_panned(wall, projector, stand, place, column, before, lens, face)]
    reach = projector.upright_shift(stand.orientation)
    nominal = place.chainage + setting.side * image.width
    foot, head = wall.band.extent(nominal - image.width / 2, nominal + image.width / 2)
    rest = lens + min(max(0.0, reach[0]), reach[1]) * image.height
    feet = [
        float(image_feet(foot, head, image.height, place.rows, row, rest, centred=setting.centred))
        for row in range(1, place.rows + 1)
    ]
    column_of: list[SetUp] = []
    for row, image_foot in enumerate(feet, start=1):
        image_head = image_foot + image.height
        wall_foot, wall_head = max(foot, image_foot), min(head, image_head)
        up, tilt = (
            float(each)
            for each in aim(
                reach,
                setting.distance,
                image.height,
                lens,
                image_foot,
                wall_foot,
                wall_head,
                centred=setting.centred,
            )
        )
        side = 0.0
        if setting.side:
            side = side_beside(projector, stand.orientation, up, setting.side)
        start = place.chainage + side * image.width - image.width / 2
        lit = _trimmed(place.lit, start, start + image.width, wall.band.length)
        drawn = lit or (start, start + image.width)
        one = SetUp(
            number=before + row,
            column=column,
            row=row,
            centre=place.chainage,
            distance=setting.distance,
            lens_level=lens,
            lens_height=lens - ground,
            orientation=stand.orientation,
            start=start,
            end=start + image.width,
            foot=image_foot,
            head=image_head,
            wall_foot=wall_foot,
            wall_head=wall_head,
            pitch=image.pitch,
            columns=projector.columns,
            rows=projector.rows,
            throw_ratio=setting.ratio,
            light=_light(wall, projector, stand, setting, *drawn),
            shift=up,
            tilt=tilt,
            keystone=_keystone(image.height / setting.distance, up, tilt),
            overlap_next=None,
            overlap_above=image_head - feet[row] if row < place.rows else None,
            side_shift=side,
            carrier=setting.carrier or stand.carrier,
            lit=lit,
        )
        column_of.append(one if face is None else _truly_lit(one, face, projector, stand, setting))
    return column_of


def _panned(
    wall: Wall,
    projector: Projector,
    stand: Stand,
    place: Place,
    column: int,
    before: int,
    lens: float,
    face: Face | None,
) -> SetUp:
    """A set-up turned to a side: its frame is what encloses the picture along the wall."""
    if face is None:
        raise ValueError("a panned picture is worked out on the wall as it stands")
    setting = place.setting
    _, (aimed,) = aimed_rows(face, projector, stand, setting, np.array([place.chainage]))
    left, right = (place.chainage + at for at in setting.spread)
    pitch = (right - left) / setting.image.columns
    tall = pitch * setting.image.rows
    up, tilt = float(aimed.up[0]), float(aimed.tilt[0])
    tan = math.tan(tilt + math.atan(up * setting.image.height / setting.distance))
    middle = lens + setting.axis * tan
    foot, head = wall.band.extent(left, right)
    ends = max(left, 0.0), min(right, wall.band.length)
    one = SetUp(
        number=before + 1,
        column=column,
        row=1,
        centre=place.chainage,
        distance=setting.distance,
        lens_level=lens,
        lens_height=lens - wall.band.ground_at(min(max(place.chainage, 0.0), wall.band.length)),
        orientation=stand.orientation,
        start=left,
        end=right,
        foot=middle - tall / 2,
        head=middle + tall / 2,
        wall_foot=max(foot, middle - tall / 2),
        wall_head=min(head, middle + tall / 2),
        pitch=pitch,
        columns=projector.columns,
        rows=projector.rows,
        throw_ratio=setting.ratio,
        light=_light(
            wall,
            projector,
            stand,
            setting,
            place.chainage - setting.image.width / 2,
            place.chainage + setting.image.width / 2,
        ),
        shift=up,
        tilt=tilt,
        keystone=_keystone(setting.image.height / setting.distance, up, tilt),
        overlap_next=None,
        overlap_above=None,
        carrier=setting.carrier or stand.carrier,
        pan=setting.pan,
        lit=_trimmed(place.lit or ends, left, right, wall.band.length),
    )
    return _truly_lit(one, face, projector, stand, setting)


def _light(
    wall: Wall, projector: Projector, stand: Stand, setting: Setting, start: float, end: float
) -> Brightness:
    """Of the part of the wall that an image draws."""
    left, right = max(start, 0.0), min(end, wall.band.length)
    ambient = float(ambient_over(left, right, stand.ambient, wall.lamps))
    light = light_on(projector, setting.image, setting.ratio)
    return brightness(light, ambient, stand.contrast, projector.black)


def _keystone(slope: float, up: float, tilt: float) -> float:
    """Width of the lit patch's top row over its bottom row."""
    if tilt == 0.0:
        return 1.0
    rays = (math.atan((up + 0.5) * slope), math.atan((up - 0.5) * slope))
    top, bottom = (math.cos(ray) / math.cos(ray + tilt) for ray in rays)
    return top / bottom


def _trimmed(
    lit: tuple[float, float] | None, start: float, end: float, length: float
) -> tuple[float, float] | None:
    """What is lit, where that is less than the image's part of the wall."""
    if lit is None or (
        lit[0] - max(start, 0.0) < _TRIMMED and min(end, length) - lit[1] < _TRIMMED
    ):
        return None
    return lit


def _truly_lit(
    one: SetUp, face: Face, projector: Projector, stand: Stand, setting: Setting
) -> SetUp:
    """With the worst light, pixel and slant of the wall as it stands."""
    first, last = one.row == 1, one.overlap_above is None
    aimed = Aimed(
        chainage=np.array([one.centre]),
        distance=np.array([one.distance]),
        level=np.array([one.lens_level]),
        up=np.array([one.shift]),
        side=np.array([one.side_shift]),
        tilt=np.array([one.tilt]),
        low=np.array([-math.inf if first else one.foot]),
        high=np.array([math.inf if last else one.head]),
        pan=np.array([one.pan]),
    )
    start, end = max(one.lit_start, 0.0), min(one.lit_end, face.band.length)
    worst = worst_of(face, machine_of(projector, setting), aimed, start, end)
    square = (
        abs(worst.pitch / one.pitch - 1) < _SQUARE
        and abs(worst.light / one.light.illuminance - 1) < _SQUARE
    )
    if square:
        return one
    dark = worst.light / worst.ratio if math.isfinite(worst.ratio) else 0.0
    ambient = max(dark - projector.black * worst.light, 0.0)
    return replace(
        one,
        light=brightness(worst.light, ambient, stand.contrast, projector.black),
        coarsest=worst.pitch,
        slant=worst.view,
    )


def _with_overlaps(every: Sequence[SetUp], places: Sequence[Place]) -> list[SetUp]:
    starts = {one.column: one.lit_start for one in every}
    apart = {k for k, place in enumerate(places, start=1) if place.begins}
    found = []
    for one in every:
        over = one.lit_end - starts.get(one.column + 1, math.inf) + 0.0
        parted = one.column + 1 in apart and over < _SHARED
        known = one.column + 1 in starts and not parted
        found.append(replace(one, overlap_next=over) if known else one)
    return found
