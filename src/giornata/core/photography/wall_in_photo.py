"""The wall in a photo: a plane seen through a lens, with how well that is known.

A place of the wall (chainage, level) goes to the photo in three steps: it is measured from the
known points' centre in units of their spread; a plane-to-plane mapping takes it to where a
straight lens would show it, in half diagonals of the photo from its middle; the lens's bend moves
it along its ray from the middle.

References
----------
Fitzgibbon, A. 2001. Simultaneous linear estimation of multiple view geometry and lens distortion.
Proceedings of CVPR 2001, I: 125-132, equation 3 (the one-term division model).
doi:10.1109/CVPR.2001.990465.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Floats, readonly

__all__ = ["NEAREST_HORIZON", "WallInPhoto", "error_ellipse", "error_radius", "length_sigma"]

_INSIDE_95 = 2.447746830680816  # sqrt(-2 ln 0.05): 95 % of a two-dimensional normal lies within
NEAREST_HORIZON = 0.02  # of the weight at the known points: 50 times as far from the camera
_LEAST_ROOT = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WallInPhoto:
    """How the wall's plane lies in a photo.

    Parameters
    ----------
    plane : ndarray, shape (8,)
        The mapping's first eight numbers, row by row; the ninth is 1. [-]
    bend : float
        Of the lens: a place a half diagonal from the middle is where a straight lens would have
        shown it 1 / (1 + bend) as far out; 0 for a straight lens. [-]
    covariance : ndarray, shape (9, 9)
        Of plane and bend; 0 where one is not estimated. [-]
    wall_centre : ndarray, shape (2,)
        Chainage and level of the known points' centre. [m]
    wall_spread : float
        Unit of the wall's places; above 0. [m]
    photo_centre : ndarray, shape (2,)
        Middle of the photo. [px]
    half_diagonal : float
        Of the photo; above 0. [px]
    """

    plane: Floats
    bend: float
    covariance: Floats
    wall_centre: Floats
    wall_spread: float
    photo_centre: Floats
    half_diagonal: float

    def __post_init__(self) -> None:
        for name in ("plane", "covariance", "wall_centre", "photo_centre"):
            object.__setattr__(self, name, readonly(getattr(self, name)))
        if self.plane.shape != (8,) or self.covariance.shape != (9, 9):
            raise ValueError("a plane has eight numbers, its covariance nine with the bend's")
        if not (self.wall_spread > 0 and self.half_diagonal > 0):
            raise ValueError("spread and half diagonal are above 0")

    @property
    def matrix(self) -> Floats:
        """From places of the wall to where a straight lens shows them; (3, 3)."""
        return np.append(self.plane, 1.0).reshape(3, 3)

    def weights(self, places_wall: Floats) -> Floats:
        """Distance from the camera's plane, 1 at the known points' centre; (n,). [-]"""
        seen: Floats = self._spread(places_wall) @ self.plane[6:8] + 1.0
        return seen

    def photo_from_wall(self, places_wall: Floats) -> Floats:
        """Where places of the wall show in the photo, (n, 2). [px]"""
        ideal, _ = self._ideal(places_wall)
        out, _ = self._bent(ideal)
        moved: Floats = self.photo_centre + self.half_diagonal * out
        return moved

    def wall_from_photo(self, places_photo: Floats) -> tuple[Floats, np.typing.NDArray[np.bool_]]:
        """Places of the wall that show at pixels, (n, 2) [m], and whether the wall is there, (n,).

        A pixel on or beyond the wall's horizon shows no place of it; its row is not a number.
        """
        p = (np.asarray(places_photo, dtype=np.float64) - self.photo_centre) / self.half_diagonal
        straight = p / (1.0 + self.bend * (p**2).sum(axis=1, keepdims=True))
        back = np.linalg.inv(self.matrix)
        made = straight @ back[:, :2].T + back[:, 2]
        with np.errstate(divide="ignore", invalid="ignore"):
            units = made[:, :2] / made[:, 2:]
            seen = self.plane[6:8] @ units.T + 1.0
        there = np.isfinite(units).all(axis=1) & (seen > NEAREST_HORIZON)
        places = self.wall_centre + self.wall_spread * units
        places[~there] = np.nan
        return places, there

    def slopes(self, places_wall: Floats) -> tuple[Floats, Floats]:
        """Change of the pixel place with the wall place [px/m], with plane and bend [px].

        Shapes (n, 2, 2) and (n, 2, 9).
        """
        units = self._spread(places_wall)
        ideal, weight = self._ideal(places_wall)
        out_by_ideal, out_by_bend = self._bent_slopes(ideal)
        a = self.matrix
        by_units = (a[None, :2, :2] - ideal[:, :, None] * a[None, 2:, :2]) / weight[:, None, None]
        by_plane = np.zeros((len(units), 2, 8))
        row = np.column_stack([units, np.ones(len(units))]) / weight[:, None]
        by_plane[:, 0, 0:3] = row
        by_plane[:, 1, 3:6] = row
        by_plane[:, :, 6:8] = -ideal[:, :, None] * row[:, None, :2]
        by_wall = self.half_diagonal / self.wall_spread * (out_by_ideal @ by_units)
        by_all = np.concatenate([out_by_ideal @ by_plane, out_by_bend[:, :, None]], axis=2)
        return by_wall, self.half_diagonal * by_all

    def joint_covariance(self, places_wall: Floats, pixel_sigma: float) -> Floats:
        """Covariance of places read off the photo, (2n, 2n), chainage and level in turn. [m²]

        Parameters
        ----------
        places_wall : ndarray, shape (n, 2)
            Where they were read to lie. [m]
        pixel_sigma : float
            Of each pick; 0 for the photo's own error alone. [px]
        """
        by_wall, by_all = self.slopes(places_wall)
        back = np.linalg.inv(by_wall)
        share = (back @ by_all).reshape(-1, 9)
        joint: Floats = share @ self.covariance @ share.T
        if pixel_sigma:
            picks = pixel_sigma**2 * back @ back.transpose(0, 2, 1)
            for at, own in enumerate(picks):
                joint[2 * at : 2 * at + 2, 2 * at : 2 * at + 2] += own
        return joint

    def covariances(self, places_wall: Floats, pixel_sigma: float) -> Floats:
        """Covariance of each place by itself, (n, 2, 2). [m²]"""
        by_wall, by_all = self.slopes(places_wall)
        back = np.linalg.inv(by_wall)
        share = back @ by_all
        own: Floats = share @ self.covariance @ share.transpose(0, 2, 1)
        return own + pixel_sigma**2 * back @ back.transpose(0, 2, 1)

    def _spread(self, places_wall: Floats) -> Floats:
        units: Floats = (np.asarray(places_wall, dtype=np.float64) - self.wall_centre) / (
            self.wall_spread
        )
        return units

    def _ideal(self, places_wall: Floats) -> tuple[Floats, Floats]:
        units = self._spread(places_wall)
        made = units @ self.matrix[:, :2].T + self.matrix[:, 2]
        return made[:, :2] / made[:, 2:], made[:, 2]

    def _bent(self, ideal: Floats) -> tuple[Floats, Floats]:
        squared = (ideal**2).sum(axis=1)
        root = np.sqrt(np.maximum(1.0 - 4.0 * self.bend * squared, _LEAST_ROOT**2))
        return ideal * (2.0 / (1.0 + root))[:, None], root

    def _bent_slopes(self, ideal: Floats) -> tuple[Floats, Floats]:
        squared = (ideal**2).sum(axis=1)
        _, root = self._bent(ideal)
        stretch, steep = 2.0 / (1.0 + root), 4.0 / (root * (1.0 + root) ** 2)
        by_ideal = stretch[:, None, None] * np.eye(2) + 2.0 * self.bend * steep[:, None, None] * (
            ideal[:, :, None] * ideal[:, None, :]
        )
        return by_ideal, ideal * (squared * steep)[:, None]


def error_ellipse(covariance: Floats) -> tuple[float, float, float]:
    """Half axes of the ellipse that holds 95 %, the longer first [m]; direction of it [rad].

    Parameters
    ----------
    covariance : ndarray, shape (2, 2)
        Of chainage and level. [m²]
    """
    values, vectors = np.linalg.eigh(covariance)
    axes = _INSIDE_95 * np.sqrt(np.maximum(values, 0.0))
    along = vectors[:, 1]
    return float(axes[1]), float(axes[0]), float(np.arctan2(along[1], along[0]))


def error_radius(covariances: Floats) -> Floats:
    """Longer half axis of each place's 95 % ellipse, (n,). [m]

    Parameters
    ----------
    covariances : ndarray, shape (n, 2, 2)
        Of chainage and level. [m²]
    """
    largest = np.linalg.eigvalsh(covariances)[:, -1]
    radius: Floats = _INSIDE_95 * np.sqrt(np.maximum(largest, 0.0))
    return radius


def length_sigma(view: WallInPhoto, start: Floats, end: Floats, pixel_sigma: float) -> float:
    """Standard deviation of the distance between two places read off the photo. [m]

    Parameters
    ----------
    view : WallInPhoto
        The wall in the photo.
    start, end : ndarray, shape (2,)
        Two different places. [m]
    pixel_sigma : float
        Of each pick; 0 for the photo's own error alone. [px]
    """
    along = (end - start) / float(np.hypot(*(end - start)))
    joint = view.joint_covariance(np.stack([start, end]), pixel_sigma)
    share = np.concatenate([-along, along])
    return float(np.sqrt(max(share @ joint @ share, 0.0)))
