"""Offers: every place where the projector may stand, and the stretch of wall it lights there."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from giornata.core.foundation import Assumption, Floats
from giornata.core.projection.aims import aim, image_feet, rows_of, side_beside
from giornata.core.projection.faces import Face
from giornata.core.projection.light import zoom_light
from giornata.core.projection.limits import Limit, Limits
from giornata.core.projection.lit import Aimed, Machine, lit_spans
from giornata.core.projection.outdone import Seen
from giornata.core.projection.projector import MeasuredFrom, Projector, Stand
from giornata.core.projection.spans import Wall
from giornata.core.projection.throw import SLACK, ImageSize
from giornata.core.site import Carrier, StandingRoom

__all__ = ["STATION_STEP", "Lit", "Setting", "aimed_rows", "lit_from", "machine_of"]

STATION_STEP = Assumption(
    name="distance between the places looked at for the projector",
    value=0.10,
    unit="m",
    source="own choice: nearer places save no set-up in 2 km of wall",
    usual=(0.05, 0.25),
)

_MOST_ROWS = 8
_FLATTEST = 1.2  # rad off square; flatter rays are within no limit of view


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """A distance and a throw ratio.

    Parameters
    ----------
    distance : float
        Lens to wall. [m]
    ratio : float
        Throw ratio. [-]
    side : float
        Lens shift to the right, of the image's width. [-]
    image : ImageSize
        Size of the image on a flat wall.
    centred : bool
        Whether the image leaves as much room above the wall as below it, as where the wall turns
        towards the lens; else it is set for least shift and tilt.
    height : float or None
        Lens above the ground; None for the stand's own height. [m]
    carrier : Carrier or None
        What carries the projector; None for the stand's own.
    pan : float
        Turned out of square, to the right above 0. [rad]
    """

    distance: float
    ratio: float
    side: float
    image: ImageSize
    centred: bool = False
    height: float | None = None
    carrier: Carrier | None = None
    pan: float = 0.0

    @property
    def axis(self) -> float:
        """Lens to where the picture's middle meets a flat wall. [m]"""
        return self.distance / math.cos(self.pan)

    @property
    def spread(self) -> tuple[float, float]:
        """Sides of the picture on a flat wall, from the lens's chainage. [m]"""
        if self.pan == 0.0:
            middle, half = self.side * self.image.width, self.image.width / 2
            return middle - half, middle + half
        half = math.atan(self.image.width / (2 * self.distance))
        left, right = max(self.pan - half, -_FLATTEST), min(self.pan + half, _FLATTEST)
        return self.distance * math.tan(left), self.distance * math.tan(right)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Lit:
    """Places of the projector and the stretch of wall lit from each.

    Parameters
    ----------
    settings : tuple of Setting
        Distances and throw ratios.
    setting : ndarray of int, shape (n,)
        Which of the settings. [-]
    chainage : ndarray, shape (n,)
        Of the lens. [m]
    rows : ndarray of int, shape (n,)
        Rows of images. [-]
    start, end : ndarray, shape (n,)
        Chainages lit over the whole height; the end not above the start where nothing is. [m]
    tilt, shift : ndarray, shape (n,)
        Greatest tilt and upright lens shift of the rows, without sign. [rad], [-]
    height : ndarray, shape (n,)
        Lens above the ground, as far as it was chosen; 0 for the stand's own. [m]
    """

    settings: tuple[Setting, ...]
    setting: NDArray[np.intp]
    chainage: Floats
    rows: NDArray[np.intp]
    start: Floats
    end: Floats
    tilt: Floats
    shift: Floats
    height: Floats


def machine_of(projector: Projector, setting: Setting) -> Machine:
    """The picture as it leaves the lens.

    Parameters
    ----------
    projector : Projector
        For its light.
    setting : Setting
        For its throw ratio and the size of the image.
    """
    return Machine(
        half_width=setting.image.width / (2 * setting.distance),
        half_height=setting.image.height / (2 * setting.distance),
        pixel=setting.image.pitch / setting.distance,
        output=projector.output * zoom_light(projector, setting.ratio),
        black=projector.black,
    )


def _places(face: Face, wall: Wall, setting: Setting, more: Floats, limits: bool) -> Floats:
    """Chainages for the lens: a grid, and where an image ends at a step, a lamp or a car."""
    length = wall.band.length
    stops = [at for start, end, _ in wall.lamps for at in (start, end)]
    stops += wall.band.breaks.tolist() if len(wall.band.breaks) < 200 else []
    edges = np.array([0.0, length, *stops])
    turns = np.array(wall.turns(setting.distance, setting.carrier))
    left, right = setting.spread
    grid = np.arange(0.0, length + STATION_STEP.value / 2, STATION_STEP.value)
    every = np.concatenate([grid, edges - right, edges - left, turns, more])
    at = np.unique(every[(every >= -SLACK) & (every <= length + SLACK)])
    rooms = wall.rooms_of(setting.carrier)
    if setting.pan:
        at = at[_beside_blocked(at, rooms, setting, length)]
    if not (limits and rooms):
        return at
    free = np.zeros(len(at), dtype=bool)
    for room in rooms:
        if room.holds(setting.distance):
            free |= (at >= room.start - SLACK) & (at <= room.end + SLACK)
    return np.asarray(at[free])


def _beside_blocked(
    at: Floats, rooms: Sequence[StandingRoom], setting: Setting, length: float
) -> NDArray[np.bool_]:
    """Places from which a panned picture reaches wall that no square one does.

    A square picture reaches half its width beyond the last place where one may stand.
    """
    left, right = setting.spread
    near = np.zeros(len(at), dtype=bool)
    for free, group in groupby(rooms, key=lambda room: room.holds(setting.distance)):
        blocked = list(group)
        start, end = blocked[0].start, blocked[-1].end
        first = start + setting.image.width / 2 if start > SLACK else -math.inf
        last = end - setting.image.width / 2 if end < length - SLACK else math.inf
        if not free and last > first:
            near |= (at + right > first) & (at + left < last)
    return near


def _extents(face: Face, setting: Setting, at: Floats) -> tuple[Floats, Floats]:
    """Lowest ground and highest top within each image. [m]"""
    left, right = setting.spread
    half, centre = (right - left) / 2, at + (left + right) / 2
    count = math.ceil(half / face.step) + 1
    column = np.rint(centre / face.step).astype(np.intp)[:, None] + np.arange(-count, count + 1)
    column = np.clip(column, 0, len(face.columns) - 1)
    inside = np.abs(face.columns[column] - centre[:, None]) < half - 1e-6
    foot = np.where(inside, face.foot[column], math.inf).min(axis=1)
    head = np.where(inside, face.head[column], -math.inf).max(axis=1)
    nothing = ~inside.any(axis=1)
    return np.where(nothing, 0.0, foot), np.where(nothing, 0.0, head)


def _lens_levels(face: Face, stand: Stand, setting: Setting, at: Floats) -> Floats:
    if setting.height is not None:
        return setting.height + np.asarray(np.interp(at, face.columns, face.foot))
    if stand.measured_from is MeasuredFrom.LEVEL_LINE:
        return np.full(len(at), stand.height)
    return stand.height + np.asarray(np.interp(at, face.columns, face.foot))


def aimed_rows(
    face: Face, projector: Projector, stand: Stand, setting: Setting, at: Floats
) -> tuple[NDArray[np.intp], tuple[Aimed, ...]]:
    """Rows that images need at each place, and how each row is aimed.

    Parameters
    ----------
    face : Face
        The wall.
    projector : Projector
        For its lens shift.
    stand : Stand
        For overlap, orientation and the lens's height.
    setting : Setting
        Distance, throw ratio and image.
    at : ndarray, shape (n,)
        Chainages of the lens. [m]

    Notes
    -----
    Strips of neighbouring rows share the overlap asked for. In rows that a place does not need the
    strip is empty.
    """
    height = setting.image.height * (setting.axis / setting.distance)
    overlap = min(stand.overlap, height * 0.999)
    foot, head = _extents(face, setting, at)
    rows = rows_of(np.maximum(head - foot, 0.0), height, overlap)
    lens = _lens_levels(face, stand, setting, at)
    reach = projector.upright_shift(stand.orientation)
    rest = lens + min(max(0.0, reach[0]), reach[1]) * height
    aims = []
    for row in range(1, int(min(rows.max(initial=1), _MOST_ROWS)) + 1):
        low = image_feet(foot, head, height, rows, row, rest, centred=setting.centred)
        below = image_feet(foot, head, height, rows, row - 1, rest)
        above = image_feet(foot, head, height, rows, row + 1, rest)
        first, last = row == 1, rows == row
        bottom = np.full(len(at), -math.inf) if first else (below + height + low - overlap) / 2
        top = np.where(last, math.inf, (low + height + above + overlap) / 2)
        none = rows < row
        shift, tilt = aim(
            reach, setting.axis, height, lens, low,
            np.maximum(foot, np.maximum(bottom, low)),
            np.minimum(head, np.minimum(top, low + height)),
            centred=setting.centred,
        )  # fmt: skip
        side = np.zeros(len(at))
        if setting.side:
            side = np.array(
                [side_beside(projector, stand.orientation, s, setting.side) for s in shift.tolist()]
            )
        aims.append(
            Aimed(
                chainage=at,
                distance=np.full(len(at), setting.distance),
                level=lens,
                up=shift,
                side=side,
                tilt=tilt,
                low=np.where(none, math.inf, bottom),
                high=np.where(none, math.inf, top),
                pan=np.full(len(at), setting.pan),
            )
        )
    return rows.astype(np.intp), tuple(aims)


def lit_from(
    face: Face,
    wall: Wall,
    projector: Projector,
    stand: Stand,
    settings: Sequence[Setting],
    limits: Limits,
    *,
    more: Floats,
    free: Limit | None = None,
    keep_outdone: bool = False,
) -> Lit:
    """What is lit from every place before the wall.

    Parameters
    ----------
    face : Face
        The wall in columns.
    wall : Wall
        For its lamps and standing room.
    projector : Projector
        The machine.
    stand : Stand
        For overlap, orientation and the lens's height.
    settings : sequence of Setting
        Distances and throw ratios to try.
    limits : Limits
        What each place of the wall asks for.
    more : ndarray, shape (k,)
        Chainages to be tried beside the grid. [m]
    free : Limit or None
        A limit taken away, to see whether it is the one that bites.
    keep_outdone : bool
        Whether places are looked at too whose picture lies inside what another setting lights from
        there; no plan is better for them.
    """
    if free is not None:
        limits = limits.without(free)
    found: list[tuple[np.ndarray, ...]] = []
    seen: dict[tuple[object, ...], Seen] = {}
    for number, setting in enumerate(settings):
        at = _places(face, wall, setting, more, free is not Limit.STANDING)
        rows, aims = aimed_rows(face, projector, stand, setting, at)
        machine = machine_of(projector, setting)
        start, end = np.full(len(at), -math.inf), np.full(len(at), math.inf)
        tilt, shift = np.zeros(len(at)), np.zeros(len(at))
        height = np.full(len(at), setting.height or 0.0)
        spot = (setting.distance, setting.side, setting.height, setting.carrier, setting.pan)
        before = seen.setdefault(spot, Seen())
        new = np.ones(len(at), dtype=bool)
        if not keep_outdone:
            new = ~np.all([before.outdone(machine, aimed) for aimed in aims], axis=0)
            end[~new] = -math.inf
        for row, aimed in enumerate(aims, start=1):
            here = (rows >= row) & new
            first, last = lit_spans(face, machine, aimed.some(here), limits)
            start[here] = np.maximum(start[here], first)
            end[here] = np.minimum(end[here], last)
            tilt[here] = np.maximum(tilt[here], np.abs(aimed.tilt[here]))
            shift[here] = np.maximum(shift[here], np.abs(aimed.up[here]))
        if not keep_outdone:
            before.add(face, aims[0].some(rows == 1), start[rows == 1], end[rows == 1])
        end[rows > (1 if setting.pan else _MOST_ROWS)] = -math.inf
        found.append((np.full(len(at), number), at, rows, start, end, tilt, shift, height))
    setting_of, chainage, rows, start, end, tilt, shift, height = (
        np.concatenate(part) for part in zip(*found, strict=True)
    )
    return Lit(
        settings=tuple(settings), setting=setting_of, chainage=chainage, rows=rows, start=start,
        end=end, tilt=tilt, shift=shift, height=height,
    )  # fmt: skip
