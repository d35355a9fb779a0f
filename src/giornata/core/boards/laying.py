"""One photo laid upon another of the same wall to a small part of a pixel."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np

from giornata.core.boards.shots import Light
from giornata.core.foundation import Floats

__all__ = ["Laid", "edges", "laid_upon", "resampled"]

_LONGEST = 1600  # px of the copies that are compared
_LOCAL = 0.012  # of the longer side: about it brightness is counted from its mean
_CLIP = 0.6  # of that mean: what is brighter or darker counts no more
_ALIKE = 0.25  # correlation of two photos of one wall, at least
_ACROSS, _DOWN = 8, 6  # parts
_LEAST = 14  # parts that can be told
_ROUNDS = 4
_TERMS = 6  # of a quadratic in two coordinates
_LOOSE = 3.5  # standard deviations from which a part shows something that moves otherwise
_STILL = 0.3  # px: what two shots of a phone on a tripod seem to be apart by, at most
_FLOOR = 0.03  # px: standard deviation that is claimed at the best
_ROBUST = 1.4826
_GRID = 8  # px between the places that a smooth map is worked out at

Map = Callable[[Floats], Floats]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Laid:
    """A photo laid upon another.

    Parameters
    ----------
    light : ndarray, shape (rows, columns)
        As if taken from where the other was. [-]
    sigma : float
        Standard deviation of what is left, each way; 0 where it did not move. [px]
    far : float
        Median shift that was taken out. [px]
    """

    light: Light
    sigma: float
    far: float


def laid_upon(one: Light, other: Light, *, moved: Light | None = None) -> Laid | None:
    """The second photo as if taken from where the first was; None where they have too little alike.

    Parameters
    ----------
    one, other : ndarray, shape (rows, columns)
        Light of two photos of one size. [-]
    moved : ndarray, shape (rows, columns)
        What is laid upon the first, if it is not the second itself. [-]

    Notes
    -----
    A plane's map by the correlation of both (Evangelidis and Psarakis 2008, Parametric image
    alignment using enhanced correlation coefficient maximization, IEEE TPAMI 30(10): 1858-1865,
    doi:10.1109/TPAMI.2008.113), then what 48 parts still are shifted by, each by least squares
    (Lucas and Kanade 1981), smoothed by a quadratic: a lens that bends and a wall that does are in
    it. Parts that disagree show what stands before the wall.
    """
    photo = other if moved is None else moved
    scale = min(_LONGEST / max(one.shape), 1.0)
    a = _relief(one, scale)
    b = _relief(other, scale)
    start = _coarse(a, b)
    if start is None:
        return None
    middle, spread = np.array(a.shape[::-1]) / 2, float(max(a.shape)) / 2
    terms = np.zeros((_TERMS, 2))

    def taken(points: Floats) -> Floats:
        aside: Floats = _quadratic((points - middle) / spread) @ terms
        moved = points + aside
        made = cv2.perspectiveTransform(moved.reshape(-1, 1, 2), start).reshape(-1, 2)
        return np.asarray(made, np.float64)

    sigma = np.inf
    for _ in range(_ROUNDS):
        found = _parts(a, resampled(b, taken))
        if found is None:
            return None
        at, shifts = found
        fitted = _smoothed((at - middle) / spread, shifts)
        if fitted is None:
            return None
        more, sigma = fitted
        terms = terms + more
    steps = (0.02, 0.35, 0.65, 0.98)
    places = np.array([(x * a.shape[1], y * a.shape[0]) for x in steps for y in steps])
    apart = np.linalg.norm(taken(places) - places, axis=1) / scale
    sigma = max(sigma / scale, _FLOOR)
    far = float(np.median(apart))
    if far < max(_STILL, 2 * sigma):
        return Laid(light=photo, sigma=0.0, far=far)

    def whole(points: Floats) -> Floats:
        made: Floats = taken(points * scale) / scale
        return made

    return Laid(light=resampled(photo, whole), sigma=sigma, far=far)


def edges(light: Light) -> Light:
    """Strength of edges, which a pattern and its negative have in common.

    Parameters
    ----------
    light : ndarray, shape (rows, columns)
        [-]
    """
    smooth = cv2.GaussianBlur(np.sqrt(np.maximum(light, 0.0)), (0, 0), 1.0)
    strong = cv2.magnitude(cv2.Sobel(smooth, cv2.CV_32F, 1, 0), cv2.Sobel(smooth, cv2.CV_32F, 0, 1))
    return np.asarray(np.minimum(strong, np.percentile(strong[::4, ::4], 98)), np.float32)


def resampled(photo: Light, taken: Map) -> Light:
    """A photo as seen through a smooth map.

    Parameters
    ----------
    photo : ndarray, shape (rows, columns)
        Light. [-]
    taken : callable
        From places of what is made to places of the photo, shape (n, 2). [px]
    """
    high, wide = photo.shape
    x = np.append(np.arange(0, wide, _GRID), wide).astype(np.float64)
    y = np.append(np.arange(0, high, _GRID), high).astype(np.float64)
    across, down = np.meshgrid(x, y)
    at = taken(np.column_stack([across.ravel(), down.ravel()])).reshape(len(y), len(x), 2)
    # Between these places the map is taken as straight: it bends by hundredths of a pixel.
    u = np.interp(np.arange(wide) + 0.5, x, np.arange(len(x))).astype(np.float32)
    v = np.interp(np.arange(high) + 0.5, y, np.arange(len(y))).astype(np.float32)
    look = np.meshgrid(u, v)
    off = (at - np.stack([across, down], axis=2)).astype(np.float32)
    dense = cv2.remap(off, look[0], look[1], cv2.INTER_LINEAR)
    mx = dense[..., 0] + np.arange(wide, dtype=np.float32)
    my = dense[..., 1] + np.arange(high, dtype=np.float32)[:, None]
    made = cv2.remap(photo, mx, my, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(made, np.float32)


def _relief(light: Light, scale: float) -> Light:
    """Brightness against its local mean, smaller."""
    size = (round(light.shape[1] * scale), round(light.shape[0] * scale))
    small = cv2.resize(np.maximum(light, 0.0), size, interpolation=cv2.INTER_AREA)
    mean = cv2.GaussianBlur(small, (0, 0), _LOCAL * max(small.shape))
    floor = 0.02 * float(np.percentile(small[::4, ::4], 99)) + 1e-6
    relief = np.clip((small - mean) / (mean + floor), -_CLIP, _CLIP)
    return np.asarray(cv2.GaussianBlur(relief, (0, 0), 0.7), np.float32)


def _coarse(a: Light, b: Light) -> Floats | None:
    """A plane's map from the first to the second, outer corner to outer corner."""
    window = cv2.createHanningWindow((a.shape[1], a.shape[0]), cv2.CV_32F)
    (along, down), _ = cv2.phaseCorrelate(a * window, b * window)
    every = np.full(a.shape, 255, np.uint8)
    best: tuple[float, Floats] | None = None
    for x, y in {(along, down), (0.0, 0.0)}:
        start = np.array([[1, 0, x], [0, 1, y], [0, 0, 1]], np.float32)
        stop = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 60, 1e-5)
        try:
            alike, made = cv2.findTransformECC(a, b, start, cv2.MOTION_HOMOGRAPHY, stop, every, 5)
        except cv2.error:  # it did not converge
            continue
        if best is None or alike > best[0]:
            half = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1.0]])
            best = float(alike), half @ made.astype(np.float64) @ np.linalg.inv(half)
        if best[0] > 2 * _ALIKE:
            break
    return None if best is None or best[0] < _ALIKE else best[1]


def _parts(a: Light, b: Light) -> tuple[Floats, Floats] | None:
    """Middles of parts that can be told, and how far the second must be looked at aside. [px]"""
    both = (a + b) / 2
    gx = cv2.Sobel(both, cv2.CV_32F, 1, 0, scale=1 / 8)
    gy = cv2.Sobel(both, cv2.CV_32F, 0, 1, scale=1 / 8)
    left = a - b
    rough = _ROBUST * float(np.median(np.abs(left))) + 1e-9
    w = 1.0 / np.maximum(np.abs(left) / (1.5 * rough), 1.0)
    sums = [gx * gx * w, gx * gy * w, gy * gy * w, gx * left * w, gy * left * w]
    high, wide = a.shape
    at, shifts = [], []
    for row in range(_DOWN):
        for column in range(_ACROSS):
            part = np.s_[
                high * row // _DOWN : high * (row + 1) // _DOWN,
                wide * column // _ACROSS : wide * (column + 1) // _ACROSS,
            ]
            xx, xy, yy, xr, yr = (float(one[part].sum()) for one in sums)
            least = (xx + yy) / 2 - np.hypot((xx - yy) / 2, xy)
            # Told to a fifth of a pixel by the noise that is left, at least.
            if least <= 0 or rough / np.sqrt(least) > 0.2:
                continue
            step = np.linalg.solve(np.array([[xx, xy], [xy, yy]]), [xr, yr])
            at.append(((column + 0.5) * wide / _ACROSS, (row + 0.5) * high / _DOWN))
            shifts.append(np.clip(step, -1.5, 1.5))
    return (np.array(at), np.array(shifts)) if len(at) >= _LEAST else None


def _quadratic(near: Floats) -> Floats:
    x, y = near.T
    return np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=1)


def _smoothed(near: Floats, shifts: Floats) -> tuple[Floats, float] | None:
    """A quadratic through the parts' shifts, and the deviation of what it says."""
    kept = np.ones(len(near), bool)
    terms = _quadratic(near)
    for _ in range(6):
        if kept.sum() < _LEAST:
            return None
        made = np.asarray(np.linalg.lstsq(terms[kept], shifts[kept], rcond=None)[0], np.float64)
        left = shifts - terms @ made
        usual = _ROBUST * float(np.median(np.abs(left[kept]))) + 1e-6
        again = np.hypot(*left.T) < _LOOSE * usual
        if (again == kept).all():
            break
        kept = again
    count = int(kept.sum())
    spread = float(np.sqrt((left[kept] ** 2).sum() / (2 * max(count - _TERMS, 1))))
    return made, spread * float(np.sqrt(2 * _TERMS / count))
