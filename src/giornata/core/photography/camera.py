"""Where a photo was taken from, and how far what stands before the wall is shifted by it."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from giornata.core.foundation import Assumption, Floats, readonly
from giornata.core.photography.wall_in_photo import WallInPhoto

__all__ = ["PHONE_LENS", "Camera", "LensFrom", "camera", "proud_shift", "view_angle"]

PHONE_LENS = Assumption(
    name="focal length of a phone's main lens, as on a 36 × 24 mm frame",
    value=0.026,
    unit="m",
    source="common practice, no published source: 24 to 28 mm is stated on most phones' main lens",
    usual=(0.024, 0.028),
)
_DIAGONAL_35 = math.hypot(0.036, 0.024)  # m; of the frame that "35 mm equivalent" refers to
_KNOWN_WELL = 0.2  # relative sigma of the squared focal length up to which the points give it


class LensFrom(StrEnum):
    """Where the focal length comes from."""

    POINTS = "the known points"
    FILE = "the file"
    ASSUMED = "a phone's lens, assumed"


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """Where a photo was taken from.

    Parameters
    ----------
    chainage, level : float
        Of the lens. [m]
    distance : float
        Lens to wall, square on; above 0. [m]
    focal : float
        Focal length in half diagonals of the photo. [-]
    lens_from : LensFrom
        Where the focal length comes from.
    """

    chainage: float
    level: float
    distance: float
    focal: float
    lens_from: LensFrom


def camera(view: WallInPhoto, *, focal_35: float | None = None) -> Camera | None:
    """Where the photo was taken from; None where the points are mirrored or seen from behind.

    Parameters
    ----------
    view : WallInPhoto
        The wall in the photo.
    focal_35 : float or None
        Focal length the file states for a 36 × 24 mm frame; above 0. [m]

    Notes
    -----
    Pixels are square and the middle of the photo lies on the lens's axis: so only for a photo that
    was not cropped. A slanting view gives the focal length by itself: the wall's two directions
    are square to one another and of one scale (Hartley and Zisserman 2004, section 8.8). A
    square-on view does not; then the file's word counts, else a phone's lens is assumed.
    """
    squared, sigma = _inverse_square(view)
    if squared > 0 and sigma / squared < _KNOWN_WELL:
        focal, source = 1 / math.sqrt(squared), LensFrom.POINTS
    elif focal_35 is not None and focal_35 > 0:
        focal, source = 2 * focal_35 / _DIAGONAL_35, LensFrom.FILE
    else:
        focal, source = 2 * PHONE_LENS.value / _DIAGONAL_35, LensFrom.ASSUMED
    scaled = np.diag([1 / focal, 1 / focal, 1.0]) @ view.matrix
    across, up = scaled[:, 0], scaled[:, 1]
    size = (float(np.linalg.norm(across)) + float(np.linalg.norm(up))) / 2
    turned = np.column_stack([across, up, np.cross(across, up) / size]) / size
    left, _, right = np.linalg.svd(turned)
    turned = left @ right
    place = -turned.T @ scaled[:, 2] / size * view.wall_spread
    if not place[2] > 0:
        return None
    return Camera(
        chainage=float(view.wall_centre[0] + place[0]),
        level=float(view.wall_centre[1] + place[1]),
        distance=float(place[2]),
        focal=focal,
        lens_from=source,
    )


def _inverse_square(view: WallInPhoto) -> tuple[float, float]:
    """1 / focal length squared, in half diagonals, and its standard deviation."""

    def solved(plane: Floats) -> float:
        a = np.append(plane, 1.0).reshape(3, 3)
        one, two = a[:, 0], a[:, 1]
        by = np.array([one[:2] @ two[:2], one[:2] @ one[:2] - two[:2] @ two[:2]])
        left = np.array([one[2] * two[2], one[2] ** 2 - two[2] ** 2])
        return float(-(by @ left) / max(by @ by, 1e-300))

    value = solved(view.plane)
    slope = np.zeros(8)
    for at in range(8):
        step = np.zeros(8)
        step[at] = 1e-6 * max(abs(float(view.plane[at])), 1e-3)
        slope[at] = (solved(view.plane + step) - solved(view.plane - step)) / (2 * step[at])
    return value, math.sqrt(max(float(slope @ view.covariance[:8, :8] @ slope), 0.0))


def view_angle(stand: Camera, places_wall: Floats) -> Floats:
    """Angle between the line of sight and square on, at places of the wall, (n,). [rad]

    Parameters
    ----------
    stand : Camera
        Where the photo was taken from.
    places_wall : ndarray, shape (n, 2)
        Chainage and level. [m]
    """
    off = np.hypot(places_wall[:, 0] - stand.chainage, places_wall[:, 1] - stand.level)
    angle: Floats = np.arctan2(off, stand.distance)
    return angle


def proud_shift(stand: Camera, places_wall: Floats, proud: float) -> Floats:
    """How far what stands proud of the wall shows away from its place on it, (n, 2). [m]

    Parameters
    ----------
    stand : Camera
        Where the photo was taken from.
    places_wall : ndarray, shape (n, 2)
        Its true chainage and level. [m]
    proud : float
        Before the wall's face; below the camera's distance, below 0 for what lies behind. [m]

    Raises
    ------
    ValueError
        If it stands as far out as the camera.

    Notes
    -----
    Proud × the tangent of the angle of view, and a little more because it is nearer: the line of
    sight goes on to the wall behind.

    Examples
    --------
    >>> at = Camera(chainage=0.0, level=1.5, distance=10.0, focal=1.2, lens_from=LensFrom.FILE)
    >>> proud_shift(at, np.array([[7.5, 1.5]]), 0.3).round(3).tolist()
    [[0.232, 0.0]]
    """
    if not proud < stand.distance:
        raise ValueError("what is photographed stands before the camera")
    away = places_wall - np.array([stand.chainage, stand.level])
    shift: Floats = away * (proud / (stand.distance - proud))
    return readonly(shift)
