"""Where places of a wall fall in a projector's picture: flat, folded or curved walls.

A map goes from the wall (chainage, level) to the picture (px), for every kind of wall: the place is
put in space first, so no ray is ever cut with a surface.

References
----------
Hartley and Zisserman 2004, Multiple View Geometry in Computer Vision, 2nd ed., chapters 2 and 6.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol, Self

import numpy as np

from giornata.core.foundation import Floats, readonly

__all__ = ["ProjectiveMap", "WallMap"]

NEAREST = 1e-6  # of the depth at the middle: nothing nearer to the lens's plane is drawn


class WallMap(Protocol):
    """What every map of a wall offers to the fitting of marks."""

    @property
    def prior(self) -> Floats:
        """Rows of what is believed beforehand: value less belief over its deviation, (q,). [-]"""
        ...

    @property
    def prior_slopes(self) -> Floats:
        """Change of those rows with each parameter, shape (q, p). [-]"""
        ...

    def px_from_wall(self, places: Floats) -> Floats:
        """Places of the picture, shape (n, 2). [px]"""
        ...

    def slopes(self, places: Floats) -> tuple[Floats, Floats]:
        """Change with the place, (n, 2, 2) [px/m], and with each parameter, (n, 2, p). [px]"""
        ...

    def moved(self, step: Floats) -> Self:
        """The map with its parameters changed by a step, shape (p,). [-]"""
        ...


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ProjectiveMap:
    """A flat wall, or one that folds at a hinge, seen by a projector of which nothing is known.

    Parameters
    ----------
    matrix : ndarray, shape (3, 3) or (3, 4)
        From (along, up, 1), with a hinge (along, up, 1, beyond the hinge), to the picture; of
        length 1. [-]
    hinge : float or None
        Chainage where the wall folds; None for a flat wall. [m]
    middle : ndarray, shape (2,)
        Chainage and level that along and up are counted from. [m]
    spread : float
        Unit of along and up; above 0. [m]
    centre : ndarray, shape (2,)
        Of the picture. [px]
    half : float
        Unit of places in the picture; above 0. [px]

    Notes
    -----
    A continuous fold adds a free direction beyond the hinge: 11 numbers count, on a flat wall 8.
    """

    matrix: Floats
    hinge: float | None
    middle: Floats
    spread: float
    centre: Floats
    half: float

    def __post_init__(self) -> None:
        matrix = np.asarray(self.matrix, dtype=np.float64)
        if matrix.shape != (3, 3 if self.hinge is None else 4):
            raise ValueError("a flat wall has a matrix of 3 × 3, a folded one of 3 × 4")
        if not (self.spread > 0 and self.half > 0):
            raise ValueError("units are above 0")
        object.__setattr__(self, "matrix", readonly(matrix / np.linalg.norm(matrix)))
        for name in ("middle", "centre"):
            object.__setattr__(self, name, readonly(getattr(self, name)))

    @property
    def prior(self) -> Floats:
        """Nothing is believed beforehand."""
        return np.zeros(0)

    @property
    def prior_slopes(self) -> Floats:
        """Nothing is believed beforehand."""
        return np.zeros((0, self.matrix.size - 1))

    def features(self, places: Floats) -> Floats:
        """What the matrix takes, shape (n, 3 or 4). [-]

        Parameters
        ----------
        places : ndarray, shape (n, 2)
            Chainage and level. [m]
        """
        along, up = ((places - self.middle) / self.spread).T
        columns = [along, up, np.ones(len(places))]
        if self.hinge is not None:
            columns.append(np.maximum(places[:, 0] - self.hinge, 0.0) / self.spread)
        return np.column_stack(columns)

    def px_from_wall(self, places: Floats) -> Floats:
        """Places of the picture, shape (n, 2). [px]

        Parameters
        ----------
        places : ndarray, shape (n, 2)
            Chainage and level. [m]
        """
        seen = self.features(places) @ self.matrix.T
        found: Floats = self.centre + self.half * seen[:, :2] / seen[:, 2:]
        return found

    def slopes(self, places: Floats) -> tuple[Floats, Floats]:
        """Change with the place, (n, 2, 2) [px/m], and with each parameter, (n, 2, p). [px]

        Parameters
        ----------
        places : ndarray, shape (n, 2)
            Chainage and level. [m]
        """
        features = self.features(places)
        seen = features @ self.matrix.T
        depth = seen[:, 2]
        # Change of the place in the picture with the three numbers before division.
        by_seen = np.zeros((len(places), 2, 3))
        by_seen[:, 0, 0] = by_seen[:, 1, 1] = self.half / depth
        by_seen[:, :, 2] = -self.half * seen[:, :2] / depth[:, None] ** 2
        by_place = np.zeros((len(places), features.shape[1], 2))
        by_place[:, 0, 0] = by_place[:, 1, 1] = 1 / self.spread
        if self.hinge is not None:
            by_place[:, 3, 0] = (places[:, 0] > self.hinge) / self.spread
        by_wall = by_seen @ (self.matrix @ by_place)
        by_matrix = np.einsum("nij,nk->nijk", by_seen, features).reshape(len(places), 2, -1)
        return by_wall, by_matrix @ self._tangent()

    def moved(self, step: Floats) -> Self:
        """The map with its matrix turned by a step, shape (p,). [-]

        Parameters
        ----------
        step : ndarray, shape (p,)
            Along directions square to the matrix, whose length means nothing. [-]
        """
        changed = self.matrix + (self._tangent() @ step).reshape(self.matrix.shape)
        return replace(self, matrix=changed)

    def _tangent(self) -> Floats:
        """Directions square to the matrix, shape (3 k, 3 k - 1)."""
        whole, _ = np.linalg.qr(self.matrix.reshape(-1, 1), mode="complete")
        tangent: Floats = whole[:, 1:]
        return tangent
