"""How a picture stands against its plan: the map from marks as planned to where they are seen."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Floats, readonly
from giornata.core.geometry import direct_linear

__all__ = ["FEW", "Standing", "by_taps", "fitted", "similar"]

FEW = 4
"""Marks up to which no foreshortening is told. [-]"""

_ON_A_LINE = 0.05  # of its length: marks of one row lie on it
_RELIEF = 0.003  # from which a wall's depth is seen in how a picture stands
_RICH = 8  # marks from which it is fitted
_OFF = 3  # of them off the wall's first plane, at least


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Standing:
    """How a picture stands against its plan, whatever the pose and, for walls not flat, the depth.

    Parameters
    ----------
    matrix : ndarray, shape (3, 4)
        From (x, y, 1, relief) as planned, x and y counted from the middle in spreads. [-]
    middle : ndarray, shape (2,)
        [px]
    spread : float
        Above 0. [px]

    Notes
    -----
    A place of the picture as planned, together with how far its wall stands off a plane over how
    far it is from the lens, is a place in space up to a projective change of axes: another pose
    sees it by a matrix of 3 by 4. For a flat wall the last column tells nothing and is 0.
    """

    matrix: Floats
    middle: Floats
    spread: float

    def mapped(self, planned: Floats) -> Floats:
        """Places in the picture as it stands, shape (n, 2); no number behind the lens. [px]

        Parameters
        ----------
        planned : ndarray, shape (n, 3)
            x and y as planned [px] and relief [-].
        """
        made = self._features(planned) @ self.matrix.T
        made[made[:, 2] <= 0] = np.nan
        taken: Floats = made[:, :2] / made[:, 2:]
        return taken

    def slopes(self, planned: Floats) -> Floats:
        """Change of the place with x, y and relief as planned, shape (n, 2, 3). [px]

        Parameters
        ----------
        planned : ndarray, shape (n, 3)
            x and y as planned [px] and relief [-].
        """
        made = self._features(planned) @ self.matrix.T
        change = self.matrix[:, (0, 1, 3)] / (self.spread, self.spread, 1.0)
        with np.errstate(divide="ignore", invalid="ignore"):
            there = made[:, :2] / made[:, 2:]
            slopes: Floats = (change[None, :2] - there[:, :, None] * change[2]) / made[:, 2:, None]
        return slopes

    def _features(self, planned: Floats) -> Floats:
        near = (planned[:, :2] - self.middle) / self.spread
        return np.column_stack([near, np.ones(len(near)), planned[:, 2]])


def by_taps(planned: Floats, tapped: Floats) -> Standing:
    """A map from a few marks that were pointed at, as rich as their number and places allow.

    Parameters
    ----------
    planned : ndarray, shape (n, 3)
        At least one mark, as planned [px], with its relief [-].
    tapped : ndarray, shape (n, 2)
        Where they were pointed at, in the picture. [px]

    Raises
    ------
    ValueError
        If there is none, or all are planned in one place.
    """
    if len(planned) >= FEW + 1 and _spans_a_plane(planned[:, :2]):
        return fitted(planned, tapped)
    if len(planned) == 0:
        raise ValueError("no mark was pointed at")
    here = planned[:, 0] + 1j * planned[:, 1]
    there = tapped[:, 0] + 1j * tapped[:, 1]
    scale = complex(1.0)
    if len(planned) > 1:
        away = here - here.mean()
        span = float((np.abs(away) ** 2).sum())
        if not span > 0:
            raise ValueError("the marks are planned in one place")
        scale = complex((away.conj() * (there - there.mean())).sum() / span)
    return similar(scale, complex(there.mean() - scale * here.mean()))


def _spans_a_plane(places: Floats) -> bool:
    """Whether places stay off one line whichever of them is left out: else no pose follows."""
    for left_out in range(len(places)):
        kept = np.delete(places, left_out, axis=0)
        long, across = np.linalg.svd(kept - kept.mean(axis=0), compute_uv=False)
        if across <= _ON_A_LINE * long:
            return False
    return True


def similar(scale: complex, shift: complex) -> Standing:
    """A picture that is scaled, turned and moved.

    Parameters
    ----------
    scale, shift : complex
        Across and down as real and imaginary: [-] and [px].
    """
    a, b = scale.real, scale.imag
    matrix = np.array([[a, -b, shift.real, 0.0], [b, a, shift.imag, 0.0], [0.0, 0.0, 1.0, 0.0]])
    return Standing(matrix=readonly(matrix), middle=np.zeros(2), spread=1.0)


def fitted(planned: Floats, seen: Floats) -> Standing:
    """A pose's map: with the wall's depth where that tells, from four without foreshortening.

    Parameters
    ----------
    planned : ndarray, shape (n, 3)
        At least four marks, as planned [px], with their relief [-].
    seen : ndarray, shape (n, 2)
        Where they are, in the picture. [px]
    """
    off = np.abs(planned[:, 2])
    deep = len(planned) >= _RICH and (off > _RELIEF).sum() >= _OFF and not _on_one_plane(planned)
    kept = (0, 1, 2, 3) if deep else (0, 1, 2)
    middle, spread = _normal(planned[:, :2])
    there, size = _normal(seen)
    near = (planned[:, :2] - middle) / spread
    most = float(off.max()) or 1.0
    features = np.column_stack([near, np.ones(len(near)), planned[:, 2] / most])[:, kept]
    target = (seen - there) / size
    matrix = np.zeros((3, 4))
    if len(planned) > FEW:
        matrix[:, kept] = direct_linear(features, target)
    else:
        matrix[:2, :3] = np.linalg.lstsq(features, target, rcond=None)[0].T
        matrix[2, 2] = 1.0
    back = np.array([[size, 0, there[0]], [0, size, there[1]], [0, 0, 1.0]])
    made = back @ matrix
    made[:, 3] /= most
    return Standing(matrix=readonly(made), middle=readonly(middle), spread=spread)


def _on_one_plane(planned: Floats) -> bool:
    """Whether all places but one at most stand on one plane, be it the first or another.

    They then say nothing of depth: of two, the picture tells all eleven numbers of the matrix.
    """
    near, _ = np.linalg.qr(np.column_stack([planned[:, :2], np.ones(len(planned))]))
    hat = near @ near.T
    rest = planned[:, 2] - hat @ planned[:, 2]
    # What the others miss a plane through them by, with each left out in turn.
    free = rest / np.maximum(1.0 - np.diag(hat), 1e-9)
    missed = np.abs(rest + hat * free[:, None])
    np.fill_diagonal(missed, 0.0)
    return bool(missed.max(axis=1).min() <= _RELIEF)


def _normal(points: Floats) -> tuple[Floats, float]:
    middle: Floats = points.mean(axis=0)
    return middle, max(float(np.sqrt(((points - middle) ** 2).sum(axis=1).mean())), 1e-9)
