"""What a projector lights of a wall as it truly stands: flat, bent or curved, level or tilted.

The wall is looked at in upright columns. An upright line is straight in the picture, so a column is
inside the picture where its foot and its top are; pixels, light and view are worst at one of the
two. Light and pixels come from the picture's area on the wall (its Jacobian), which holds distance,
slant and shift in one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from giornata.core.foundation import Floats
from giornata.core.projection.faces import Face
from giornata.core.projection.limits import Limits

__all__ = [
    "Aimed", "Machine", "Worst", "bearings", "lit_spans", "worst_of",
]  # fmt: skip

_CHUNK = 400_000  # fields looked at together, so that they stay in the processor's cache
_HALVINGS = 12  # of a column's width, to find where a stretch lit ends
_EDGE = 1e-9  # share of the picture, for rounding
_BESIDE = 1e-7  # m
_FLATTEST = 1.2  # rad off square; flatter rays are within no limit of view


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """The picture as it leaves the lens at one throw ratio.

    Parameters
    ----------
    half_width, half_height : float
        Of the picture, one metre from the lens; along the wall and upright. [-]
    pixel : float
        Side of a pixel one metre from the lens. [-]
    output : float
        Light that leaves the lens. [lm]
    black : float
        Light of its black over that of its white. [-]
    """

    half_width: float
    half_height: float
    pixel: float
    output: float
    black: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Aimed:
    """Projectors of one machine before the wall, each aimed at a strip of it.

    Parameters
    ----------
    chainage, distance : ndarray, shape (n,)
        Of the lens: square before this chainage, so far off. [m]
    level : ndarray, shape (n,)
        Of the lens. [m]
    up, side : ndarray, shape (n,)
        Lens shift, of the picture's height and width, up and to the right above 0. [-]
    tilt : ndarray, shape (n,)
        Up above 0. [rad]
    low, high : ndarray, shape (n,)
        Levels between which the strip lies; what of the wall lies outside is left to others. [m]
    pan : ndarray, shape (n,)
        Turned out of square, to the right above 0. [rad]
    """

    chainage: Floats
    distance: Floats
    level: Floats
    up: Floats
    side: Floats
    tilt: Floats
    low: Floats
    high: Floats
    pan: Floats

    def some(self, which: NDArray[Any] | slice) -> Aimed:
        """Some of them.

        Parameters
        ----------
        which : ndarray of bool or int, or slice
            Those to keep.
        """
        return Aimed(
            chainage=self.chainage[which],
            distance=self.distance[which],
            level=self.level[which],
            up=self.up[which],
            side=self.side[which],
            tilt=self.tilt[which],
            low=self.low[which],
            high=self.high[which],
            pan=self.pan[which],
        )


_Seen = tuple[Floats, Floats, Floats, Floats, Floats]


def _worst(
    machine: Machine, aimed: Aimed, frame: tuple[Floats, Floats, Floats], wall: _Seen
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Worst of each column: picture spare, light, pixel, sine of view, depth over distance."""
    lens, forward, right = frame
    places, out, foot, head, _ = wall
    east, north = places[..., 0] - lens[..., 0], places[..., 1] - lens[..., 1]
    across = east * right[..., 0] + north * right[..., 1]
    deep = east * forward[..., 0] + north * forward[..., 1]
    # The face runs to the right of who looks at it: a quarter turn from its outward normal.
    along = (-out[..., 1] * forward[..., 1] - out[..., 0] * forward[..., 0],
             out[..., 0] * forward[..., 1] - out[..., 1] * forward[..., 0])  # fmt: skip
    run_across, run_deep = along
    off = -(east * out[..., 0] + north * out[..., 1])
    cosine, sine = np.cos(aimed.tilt), np.sin(aimed.tilt)
    spare, light, pixel, view, depth = [], [], [], [], []
    flux = machine.output / (4 * machine.half_width * machine.half_height)
    for edge in (np.maximum(foot, aimed.low), np.minimum(head, aimed.high)):
        rise = edge - aimed.level
        z = deep * cosine + rise * sine
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            u, v = across / z, (rise * cosine - deep * sine) / z
            bow = (run_across - u * run_deep * cosine) / z
            turn = -run_deep * (sine + v * cosine) / z
            lean, tall = -u * sine / z, (cosine - v * sine) / z
            area = bow * tall - lean * turn
            size = bow * bow + tall * tall + lean * lean + turn * turn
            small = np.sqrt(size * size - np.minimum(4 * area * area, size * size))
            least = np.sqrt(np.maximum((size - small) / 2, 0.0))
            pixel.append(machine.pixel / least)
            view.append(off / np.sqrt(across * across + deep * deep + rise * rise))
        spare.append(
            np.minimum(
                machine.half_width - np.abs(u - 2 * aimed.side * machine.half_width),
                machine.half_height - np.abs(v - 2 * aimed.up * machine.half_height),
            )
        )
        light.append(np.where((area > 0) & (z > 0), flux * area, 0.0))
        depth.append(z / (aimed.distance / np.cos(aimed.pan)))
    nothing = np.minimum(head, aimed.high) <= np.maximum(foot, aimed.low)
    inside = machine.half_width - np.abs(across / np.maximum(deep, _BESIDE))
    return (
        np.where(nothing, inside, np.minimum(*spare)),
        np.minimum(*light),
        np.maximum(*pixel),
        np.minimum(*view),
        np.where(np.abs(depth[0] - 1) > np.abs(depth[1] - 1), depth[0], depth[1]),
    )


def _passes(
    limits: Limits,
    machine: Machine,
    worst: tuple[Floats, Floats, Floats, Floats, Floats],
    ambient: Floats,
) -> NDArray[np.bool_]:
    spare, light, pixel, view, depth = worst
    over_black = light * (1 - limits.contrast * machine.black)
    passed = (spare >= -_EDGE) & (over_black >= limits.contrast * ambient * (1 - 1e-9))
    passed &= light > 0
    passed &= (view >= math.sin(limits.view)) & (np.abs(depth - 1) <= limits.focus)
    if math.isfinite(limits.pitch):
        passed &= pixel <= limits.pitch * (1 + 1e-9)
    return np.asarray(passed)


def _frames(face: Face, aimed: Aimed) -> tuple[Floats, Floats, Floats]:
    """Place of each lens in plan, the way it looks and the way to its right."""
    lens = face.space(aimed.chainage, aimed.distance)
    forward = face.space(aimed.chainage, np.zeros(())) - lens
    forward = forward / np.maximum(aimed.distance, _BESIDE)[:, None]
    right = np.stack([forward[:, 1], -forward[:, 0]], axis=-1)
    cosine, sine = np.cos(aimed.pan)[:, None], np.sin(aimed.pan)[:, None]
    return lens, cosine * forward + sine * right, cosine * right - sine * forward


def bearings(face: Face, aimed: Aimed, chainages: Floats) -> Floats:
    """Tangent of the bearing at which each projector sees a place of the wall, right above 0. [-]

    Parameters
    ----------
    face : Face
        The wall.
    aimed : Aimed
        The projectors.
    chainages : ndarray, shape (n,)
        One place for each. [m]
    """
    lens, forward, right = _frames(face, aimed)
    away = face.space(chainages, np.zeros(())) - lens
    return np.asarray(
        (away * right).sum(axis=1) / np.maximum((away * forward).sum(axis=1), _BESIDE)
    )


def lit_spans(face: Face, machine: Machine, aimed: Aimed, limits: Limits) -> tuple[Floats, Floats]:
    """Longest stretch of wall that each projector lights over its whole strip. [m]

    Parameters
    ----------
    face : Face
        The wall.
    machine : Machine
        The picture as it leaves the lens.
    aimed : Aimed
        The projectors.
    limits : Limits
        What is asked for at every place.

    Returns
    -------
    starts, ends : ndarray, shape (n,)
        Chainages; the end is not above the start where nothing is lit.

    Notes
    -----
    Columns are looked at one by one; where a stretch begins and ends is then halved down to a
    4,096th of a column's width.
    """
    count = len(aimed.chainage)
    starts, ends = np.zeros(count), np.full(count, -1.0)
    if count == 0:
        return starts, ends
    frames = _frames(face, aimed)
    reach = float(_reach(machine, aimed).max())
    half = math.ceil(1.5 * reach / face.step) + 2
    offsets = np.arange(-half, half + 1)
    middle = np.rint(aimed.chainage / face.step).astype(np.intp)
    last = len(face.columns) - 1
    size = max(_CHUNK // len(offsets), 1)
    for first in range(0, count, size):
        part = slice(first, min(first + size, count))
        column = middle[part, None] + offsets
        on_wall = (column >= 0) & (column <= last)
        column = np.clip(column, 0, last)
        some = _raised(aimed.some(part))
        wall = (
            face.places[column], face.out[column], face.foot[column], face.head[column],
            face.light[column],
        )  # fmt: skip
        frame = tuple(each[part, None, :] for each in frames)
        worst = _worst(machine, some, (frame[0], frame[1], frame[2]), wall)
        passed = _passes(limits, machine, worst, wall[4]) & on_wall
        run_first, run_last = _longest_runs(passed)
        any_lit = passed.any(axis=1)
        rows = np.arange(len(run_first))
        low, high = column[rows, run_first], column[rows, run_last]
        starts[part] = np.where(any_lit, face.columns[low], 0.0)
        ends[part] = np.where(any_lit, face.columns[high], -1.0)
    lit = np.flatnonzero(ends >= starts)
    if len(lit):
        starts[lit] = _halved(face, machine, aimed, limits, frames, lit, starts[lit], -1.0)
        ends[lit] = _halved(face, machine, aimed, limits, frames, lit, ends[lit], 1.0)
    return starts, ends


def _reach(machine: Machine, aimed: Aimed) -> Floats:
    """How far to a side of the lens a flat wall can be lit. [m]"""
    wide = machine.half_width * (1 + 2 * np.abs(aimed.side))
    turned = np.minimum(np.abs(aimed.pan) + np.arctan(wide), _FLATTEST)
    return aimed.distance * np.where(aimed.pan == 0, wide, np.tan(turned))


def _raised(aimed: Aimed) -> Aimed:
    """With an axis more, for the columns."""
    return Aimed(
        chainage=aimed.chainage[:, None],
        distance=aimed.distance[:, None],
        level=aimed.level[:, None],
        up=aimed.up[:, None],
        side=aimed.side[:, None],
        tilt=aimed.tilt[:, None],
        low=aimed.low[:, None],
        high=aimed.high[:, None],
        pan=aimed.pan[:, None],
    )


def _longest_runs(passed: NDArray[np.bool_]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """First and last column of the longest run in each row."""
    at = np.arange(passed.shape[1])
    before = np.maximum.accumulate(np.where(passed, -1, at), axis=1)
    length = np.where(passed, at - before, 0)
    last = length.argmax(axis=1)
    return last - np.maximum(length[np.arange(len(last)), last], 1) + 1, last


def _halved(
    face: Face,
    machine: Machine,
    aimed: Aimed,
    limits: Limits,
    frames: tuple[Floats, Floats, Floats],
    lit: NDArray[np.intp],
    good: Floats,
    way: float,
) -> Floats:
    """How far beyond the last good column a stretch goes on; ends of the wall stop it."""
    which = np.zeros(len(aimed.chainage), dtype=bool)
    which[lit] = True
    some = aimed.some(which)
    frame = (frames[0][lit], frames[1][lit], frames[2][lit])
    bad = np.clip(good + way * face.step, 0.0, face.band.length)
    for _ in range(_HALVINGS):
        middle = (good + bad) / 2
        wall = face.at(middle)
        passed = _passes(limits, machine, _worst(machine, some, frame, wall), wall[4])
        good, bad = np.where(passed, middle, good), np.where(passed, bad, middle)
    return good


@dataclass(frozen=True, slots=True, kw_only=True)
class Worst:
    """The worst of a picture over a stretch of wall.

    Parameters
    ----------
    light : float
        Least illuminance. [lx]
    ratio : float
        Least ratio to ambient light and the projector's black; infinite without either. [-]
    pitch : float
        Greatest side of a pixel on the wall. [m]
    view : float
        Least angle between a ray and the wall. [rad]
    depth : float
        Depth over the lens's distance where it differs most. [-]
    """

    light: float
    ratio: float
    pitch: float
    view: float
    depth: float


def worst_of(face: Face, machine: Machine, aimed: Aimed, start: float, end: float) -> Worst:
    """The worst of one projector's picture between two chainages.

    Parameters
    ----------
    face : Face
        The wall.
    machine : Machine
        The picture as it leaves the lens.
    aimed : Aimed
        One projector.
    start, end : float
        Chainages on the wall; it ends after it starts. [m]

    Raises
    ------
    ValueError
        If the stretch does not end after it starts.
    """
    if not end > start:
        raise ValueError("a stretch ends after it starts")
    at = np.linspace(start, end, max(math.ceil((end - start) / face.step), 1) + 1)
    wall = face.at(at)
    frames = _frames(face, aimed)
    _, light, pixel, view, depth = _worst(machine, aimed, frames, wall)
    with np.errstate(divide="ignore"):
        ratio = light / (wall[4] + machine.black * light)
    farthest = int(np.abs(depth - 1).argmax())
    return Worst(
        light=float(light.min()),
        ratio=float(ratio.min()),
        pitch=float(pixel.max()),
        view=float(np.arcsin(np.clip(view.min(), -1, 1))),
        depth=float(depth[farthest]),
    )
