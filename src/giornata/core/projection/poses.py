"""A projector's pose before a wall: where its lens stands and how it is turned."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType
from typing import Self

import numpy as np

from giornata.core.foundation import Floats, readonly

__all__ = ["FACING", "Extra", "PoseMap", "turned"]

FACING = readonly([[1.0, 0.0, 0.0], [0.0, -1.0, 0.0], [0.0, 0.0, -1.0]])
"""From (along, up, towards you) to the projector's (right, down, forward), square to the wall."""

_SMALL = 1e-3  # rad
_FARTHEST = 50.0  # of the focal length's logarithm: a step beyond is no projector


class Extra(StrEnum):
    """What may be estimated besides the pose; the value is its name in words."""

    FOCAL = "throw ratio"
    LENS = "bend of the lens"
    CURVATURE = "curvature of the wall"
    FOLD = "fold of the wall"
    ACROSS = "lens axis across the picture"
    DOWN = "lens axis down the picture"


def turned(pan: float, tilt: float, roll: float) -> Floats:
    """Turn of the projector's own axes: roll about the lens axis, then tilt, then pan; (3, 3).

    Parameters
    ----------
    pan : float
        About the vertical, to the right as seen from the projector. [rad]
    tilt : float
        Upwards. [rad]
    roll : float
        Clockwise as seen from the projector. [rad]
    """
    c, s = math.cos(roll), math.sin(roll)
    about_axis = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    c, s = math.cos(tilt), math.sin(tilt)
    upwards = np.array([[1.0, 0.0, 0.0], [0.0, c, -s], [0.0, s, c]])
    c, s = math.cos(pan), math.sin(pan)
    about_vertical = np.array([[c, 0.0, s], [0.0, 1.0, 0.0], [-s, 0.0, c]])
    made: Floats = about_vertical @ upwards @ about_axis
    return made


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PoseMap:
    """A wall seen by a projector whose throw ratio and shift are known.

    Parameters
    ----------
    axes : ndarray, shape (3, 3)
        From (along, up, towards you) to the projector's (right, down, forward). [-]
    lens : ndarray, shape (3,)
        Where the lens stands: along, up, towards you. [m]
    focal : float
        Throw ratio times columns; above 0. [px]
    centre : ndarray, shape (2,)
        Where the lens axis meets the picture: its middle, moved by the shift. [px]
    bend : float
        Of the lens (k1 of Brown's series, in focal lengths); 0 for none. [-]
    origin : float
        Chainage of the hinge, or where a curved wall is touched by its tangent. [m]
    curvature : float
        One over the radius; above 0 where the wall bulges towards you. [1/m]
    fold : float
        Turn of the wall beyond the origin, towards you above 0. [rad]
    extras : mapping of Extra to (float, float)
        What is estimated besides the pose: belief and its standard deviation, infinite for
        none. [the extra's unit]
    """

    axes: Floats
    lens: Floats
    focal: float
    centre: Floats
    bend: float = 0.0
    origin: float = 0.0
    curvature: float = 0.0
    fold: float = 0.0
    extras: Mapping[Extra, tuple[float, float]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for name in ("axes", "lens", "centre"):
            object.__setattr__(self, name, readonly(getattr(self, name)))
        object.__setattr__(self, "extras", MappingProxyType(dict(self.extras)))
        if not self.focal > 0:
            raise ValueError("the focal length is above 0")

    @property
    def prior(self) -> Floats:
        """What is believed of extras: value less belief over its deviation, (q,). [-]"""
        return np.array(
            [(self._value(one) - was) / sd for one, (was, sd) in self.extras.items() if sd < 1e300]
        )

    @property
    def prior_slopes(self) -> Floats:
        """Change of those rows with each parameter, shape (q, p). [-]"""
        rows = np.zeros((len(self.extras), 6 + len(self.extras)))
        keep = []
        for number, (_, sd) in enumerate(self.extras.values()):
            if sd < 1e300:
                rows[number, 6 + number] = 1 / sd
                keep.append(number)
        return rows[keep]

    def px_from_wall(self, places: Floats) -> Floats:
        """Places of the picture, shape (n, 2). [px]

        Parameters
        ----------
        places : ndarray, shape (n, 2)
            Chainage and level. [m]
        """
        seen = (self._in_space(places) - self.lens) @ self.axes.T
        ray = seen[:, :2] / seen[:, 2:]
        swell = 1 + self.bend * (ray**2).sum(axis=1, keepdims=True)
        found: Floats = self.centre + self.focal * ray * swell
        return found

    def relief(self, places: Floats) -> Floats:
        """How far the wall stands off the plane before its hinge, over its distance ahead. [-]

        Parameters
        ----------
        places : ndarray, shape (n, 2)
            Chainage and level. [m]
        """
        space = self._in_space(places)
        made: Floats = space[:, 2] / ((space - self.lens) @ self.axes[2])
        return made

    def slopes(self, places: Floats) -> tuple[Floats, Floats]:
        """Change with the place, (n, 2, 2) [px/m], and with each parameter, (n, 2, p). [px]

        Parameters
        ----------
        places : ndarray, shape (n, 2)
            Chainage and level. [m]
        """
        seen = (self._in_space(places) - self.lens) @ self.axes.T
        depth = seen[:, 2]
        ray = seen[:, :2] / depth[:, None]
        square = (ray**2).sum(axis=1)
        by_ray = self.focal * (
            (1 + self.bend * square)[:, None, None] * np.eye(2)
            + 2 * self.bend * ray[:, :, None] * ray[:, None, :]
        )
        by_seen = np.zeros((len(places), 2, 3))
        by_seen[:, 0, 0] = by_seen[:, 1, 1] = 1 / depth
        by_seen[:, :, 2] = -ray / depth[:, None]
        by_seen = by_ray @ by_seen
        by_space = by_seen @ self.axes
        by_wall = by_space @ self._space_slopes(places)
        # A small turn w of the axes moves what is seen by w × seen.
        cross = np.zeros((len(places), 3, 3))
        cross[:, 0, 1], cross[:, 0, 2] = seen[:, 2], -seen[:, 1]
        cross[:, 1, 0], cross[:, 1, 2] = -seen[:, 2], seen[:, 0]
        cross[:, 2, 0], cross[:, 2, 1] = seen[:, 1], -seen[:, 0]
        columns = [by_seen @ cross, -by_space]
        for extra in self.extras:
            match extra:
                case Extra.FOCAL:
                    swell = (1 + self.bend * square)[:, None]
                    columns.append((self.focal * ray * swell)[:, :, None])
                case Extra.LENS:
                    columns.append((self.focal * ray * square[:, None])[:, :, None])
                case Extra.CURVATURE | Extra.FOLD:
                    columns.append(by_space @ self._shape_slopes(extra, places)[:, :, None])
                case Extra.ACROSS | Extra.DOWN:
                    moved = np.zeros((len(places), 2, 1))
                    moved[:, 0 if extra is Extra.ACROSS else 1] = 1.0
                    columns.append(moved)
        return by_wall, np.concatenate(columns, axis=2)

    def moved(self, step: Floats) -> Self:
        """The map turned, moved and changed by a step, shape (p,). [rad, m, the extra's unit]

        Parameters
        ----------
        step : ndarray, shape (p,)
            Turn about right, down and forward [rad]; along, up, towards you [m]; then extras.
        """
        w = step[:3]
        size = float(np.linalg.norm(w))
        turn = np.eye(3)
        if size > 0:
            x, y, z = w / size
            skew = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
            turn = turn + math.sin(size) * skew + (1 - math.cos(size)) * skew @ skew
        made = replace(self, axes=turn @ self.axes, lens=self.lens + step[3:6])
        for extra, change in zip(self.extras, step[6:].tolist(), strict=True):
            made = made._with(extra, made._value(extra) + change)
        return made

    def _value(self, extra: Extra) -> float:
        return {
            Extra.FOCAL: math.log(self.focal),
            Extra.LENS: self.bend,
            Extra.CURVATURE: self.curvature,
            Extra.FOLD: self.fold,
            Extra.ACROSS: float(self.centre[0]),
            Extra.DOWN: float(self.centre[1]),
        }[extra]

    def _with(self, extra: Extra, value: float) -> Self:
        match extra:
            case Extra.FOCAL:
                return replace(self, focal=math.exp(min(max(value, -_FARTHEST), _FARTHEST)))
            case Extra.LENS:
                return replace(self, bend=value)
            case Extra.CURVATURE:
                return replace(self, curvature=value)
            case Extra.FOLD:
                return replace(self, fold=value)
            case Extra.ACROSS:
                return replace(self, centre=readonly([value, self.centre[1]]))
            case Extra.DOWN:
                return replace(self, centre=readonly([self.centre[0], value]))

    def _in_space(self, places: Floats) -> Floats:
        """Along, up and towards you of places on the wall, shape (n, 3). [m]"""
        on = places[:, 0] - self.origin
        along, out = on.copy(), np.zeros(len(places))
        if self.curvature:
            angle = on * self.curvature
            along = on * np.sinc(angle / math.pi)
            out = -on * angle / 2 * np.sinc(angle / (2 * math.pi)) ** 2
        if self.fold:
            beyond = np.maximum(on, 0.0)
            along = along - beyond * (1 - math.cos(self.fold))
            out = out + beyond * math.sin(self.fold)
        return np.column_stack([self.origin + along, places[:, 1], out])

    def _space_slopes(self, places: Floats) -> Floats:
        """Change of the place in space with chainage and level, shape (n, 3, 2). [-]"""
        on = places[:, 0] - self.origin
        slopes = np.zeros((len(places), 3, 2))
        slopes[:, 0, 0], slopes[:, 1, 1] = np.cos(on * self.curvature), 1.0
        slopes[:, 2, 0] = -np.sin(on * self.curvature)
        beyond = on > 0
        slopes[beyond, 0, 0] -= 1 - math.cos(self.fold)
        slopes[beyond, 2, 0] += math.sin(self.fold)
        return slopes

    def _shape_slopes(self, extra: Extra, places: Floats) -> Floats:
        """Change of the place in space with the wall's curvature or fold, shape (n, 3)."""
        on = places[:, 0] - self.origin
        slopes = np.zeros((len(places), 3))
        if extra is Extra.FOLD:
            beyond = np.maximum(on, 0.0)
            slopes[:, 0] = -beyond * math.sin(self.fold)
            slopes[:, 2] = beyond * math.cos(self.fold)
            return slopes
        angle = on * self.curvature
        small = np.abs(angle) < _SMALL
        safe = np.where(small, 1.0, angle)
        # Of sin(a)/a and (1 - cos(a))/a with the angle; by their series where it is small.
        of_sine = np.where(small, -angle / 3, (safe * np.cos(safe) - np.sin(safe)) / safe**2)
        of_cosine = np.where(
            small, 0.5 - angle**2 / 8, (safe * np.sin(safe) + np.cos(safe) - 1) / safe**2
        )
        slopes[:, 0] = on**2 * of_sine
        slopes[:, 2] = -(on**2) * of_cosine
        return slopes
