"""The wall in upright columns, as it stands in plan."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Floats, readonly
from giornata.core.projection.band import WallBand

__all__ = ["Face", "Space", "columns_at", "is_straight", "sampled_face", "straight"]

Space = Callable[[Floats, Floats], Floats]

_BESIDE = 1e-7  # m


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Face:
    """The wall in columns.

    Parameters
    ----------
    band : WallBand
        Top and ground.
    lamps : sequence of (float, float, float)
        Stretches lit by lamps, and all the light read there. [m], [m], [lx]
    ambient : float
        Light away from lamps. [lx]
    space : callable
        Chainages and offsets before the face to places in plan, shape (..., 2). [m]
    step : float
        From column to column. [m]
    columns : ndarray, shape (n,)
        Chainages of the columns. [m]
    places : ndarray, shape (n, 2)
        Their places in plan. [m]
    out : ndarray, shape (n, 2)
        Unit vector out of the face, in plan. [-]
    foot, head : ndarray, shape (n,)
        Level of ground and top; at a step the lower ground and the higher top. [m]
    light : ndarray, shape (n,)
        Light on the wall without the projector. [lx]
    """

    band: WallBand
    lamps: Sequence[tuple[float, float, float]]
    ambient: float
    space: Space
    step: float
    columns: Floats
    places: Floats
    out: Floats
    foot: Floats
    head: Floats
    light: Floats

    def at(self, chainages: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats]:
        """As `columns_at`, of this wall.

        Parameters
        ----------
        chainages : ndarray
            On the wall. [m]
        """
        return columns_at(chainages, self.band, self.lamps, self.ambient, self.space)


def straight(chainage: Floats, offset: Floats) -> Floats:
    """Places in plan, east and north, before a straight wall that faces south; shape (..., 2). [m]

    Parameters
    ----------
    chainage, offset : ndarray
        Along the wall, and before its face. [m]
    """
    return np.stack(np.broadcast_arrays(chainage, -np.asarray(offset)), axis=-1)


def sampled_face(
    band: WallBand,
    lamps: Sequence[tuple[float, float, float]],
    ambient: float,
    space: Space = straight,
    step: float = 0.05,
) -> Face:
    """The wall in columns.

    Parameters
    ----------
    band : WallBand
        Top and ground.
    lamps : sequence of (start, end, light)
        Stretches lit by lamps, and all the light read there. [m], [m], [lx]
    ambient : float
        Light away from lamps; 0 or more. [lx]
    space : callable
        Chainages and offsets before the face to places in plan, shape (..., 2). [m]
    step : float
        From column to column, at most; above 0. [m]
    """
    count = max(math.ceil(band.length / step - 1e-9), 1)
    columns = np.linspace(0.0, band.length, count + 1)
    places, out, foot, head, light = columns_at(columns, band, lamps, ambient, space)
    return Face(
        band=band,
        lamps=lamps,
        ambient=ambient,
        space=space,
        step=band.length / count,
        columns=readonly(columns),
        places=readonly(places),
        out=readonly(out),
        foot=readonly(foot),
        head=readonly(head),
        light=readonly(light),
    )


def columns_at(
    at: Floats,
    band: WallBand,
    lamps: Sequence[tuple[float, float, float]],
    ambient: float,
    space: Space,
) -> tuple[Floats, Floats, Floats, Floats, Floats]:
    """Places in plan, outward normals, ground, top and light of columns of the wall.

    Parameters
    ----------
    at : ndarray
        Chainages of the columns, on the wall. [m]
    band, lamps, ambient, space
        As in `sampled_face`. [m], [lx]

    Returns
    -------
    places, out : ndarray, shape (..., 2)
        In plan. [m], [-]
    foot, head, light : ndarray
        Levels, and light without the projector. [m], [lx]
    """
    places = space(at, np.zeros(()))
    out = space(at, np.ones(())) - places
    inside = (np.maximum(at - _BESIDE, 0.0), np.minimum(at + _BESIDE, band.length))
    foot = np.minimum(*(np.interp(x, band.ground[:, 0], band.ground[:, 1]) for x in inside))
    head = np.maximum(*(np.interp(x, band.top[:, 0], band.top[:, 1]) for x in inside))
    light = np.full(at.shape, float(ambient))
    for start, end, lux in lamps:
        lit = (at > start) & (at < end)
        light[lit] = np.maximum(light[lit], lux)
    return places, out, foot, np.maximum(head, foot), light


def is_straight(face: Face) -> bool:
    """Whether the wall neither bends nor curves in plan.

    Parameters
    ----------
    face : Face
        The wall.
    """
    return bool(np.abs(face.out - face.out[0]).max() < 1e-9)
