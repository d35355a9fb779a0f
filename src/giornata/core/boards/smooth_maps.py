"""Smooth maps between two pictures of a plane, whose lenses may bend."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Floats, readonly
from giornata.core.geometry import direct_linear

__all__ = ["Smooth", "smooth_map"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Smooth:
    """A plane seen by a lens that bends: (x, y, 1, x² + y²) taken by a matrix, then divided.

    Parameters
    ----------
    matrix : ndarray, shape (3, 4)
        Its last column is 0 for a lens without bend.
    middle : ndarray, shape (2,)
        That x and y are counted from. [px]
    spread : float
        Unit of x and y; above 0. [px]

    Notes
    -----
    A bend by division, r / (1 + k r²), is in it whatever the lens's middle is (Fitzgibbon 2001,
    Simultaneous linear estimation of multiple view geometry and lens distortion, CVPR,
    doi:10.1109/CVPR.2001.990465); other bends and gently curved walls nearly so.
    """

    matrix: Floats
    middle: Floats
    spread: float

    def mapped(self, points: Floats) -> Floats:
        """Points taken to the other picture, shape (n, 2). [px]

        Parameters
        ----------
        points : ndarray, shape (n, 2)
            [px]
        """
        made = _features((points - self.middle) / self.spread) @ self.matrix.T
        taken: Floats = made[:, :2] / made[:, 2:]
        return taken

    def slopes(self, points: Floats) -> Floats:
        """Change of the other picture with this one, shape (n, 2, 2). [-]

        Parameters
        ----------
        points : ndarray, shape (n, 2)
            [px]
        """
        near = (points - self.middle) / self.spread
        made = _features(near) @ self.matrix.T
        by = np.zeros((len(points), 4, 2))
        by[:, 0, 0] = by[:, 1, 1] = 1.0
        by[:, 3, :] = 2 * near
        change = self.matrix @ by / self.spread
        depth = made[:, 2, None, None]
        slopes: Floats = (
            change[:, :2] - (made[:, :2] / made[:, 2:])[:, :, None] * change[:, 2:]
        ) / depth
        return slopes


def _features(near: Floats) -> Floats:
    return np.column_stack([near, np.ones(len(near)), (near**2).sum(axis=1)])


def smooth_map(source: Floats, target: Floats, *, bent: bool) -> Smooth:
    """The map that takes points of one picture nearest to those of another.

    Parameters
    ----------
    source, target : ndarray, shape (n, 2)
        At least four points, six for a lens that bends, not all at one place. [px]
    bent : bool
        Whether a bend is looked for.

    Raises
    ------
    ValueError
        If there are too few points.
    """
    middle, spread = _normal(source)
    there, size = _normal(target)
    features = _features((source - middle) / spread)[:, : 4 if bent else 3]
    made = direct_linear(features, (target - there) / size)
    back = np.array([[size, 0, there[0]], [0, size, there[1]], [0, 0, 1.0]])
    matrix = np.zeros((3, 4))
    matrix[:, : features.shape[1]] = back @ made
    return Smooth(
        matrix=readonly(matrix / np.linalg.norm(matrix)), middle=readonly(middle), spread=spread
    )


def _normal(points: Floats) -> tuple[Floats, float]:
    middle: Floats = points.mean(axis=0)
    return middle, max(float(np.sqrt(((points - middle) ** 2).sum(axis=1).mean())), 1e-9)
