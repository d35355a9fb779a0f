"""One photo laid upon another of the same wall to a small part of a pixel."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from giornata.core.boards.shots import Light
from giornata.core.foundation import Floats

__all__ = ["Laid", "Shown", "edges", "laid_upon", "resampled"]

_LONGEST = 1600  # px of the copies that are compared
_LOCAL = 0.012  # of the longer side: about it brightness is counted from its mean
_CLIP = 0.6  # of that mean: what is brighter or darker counts no more
_ALIKE = 0.25  # correlation of two photos of one wall, at least
_ACROSS, _DOWN = 8, 6  # parts
_LEAST = 14  # parts that can be told
_ROUNDS = 4
_TERMS = 6  # of a quadratic in two coordinates
_LOOSE = 3.5  # standard deviations from which a part shows something that moves otherwise
_ASIDE = 0.3  # px that a part may be aside of what the others say
_OTHERWISE = 0.1  # share of parts aside, from which what stands before the wall moves otherwise
_STILL = 0.3  # px: what two shots of a phone on a tripod seem to be apart by, at most
_FLOOR = 0.03  # px: standard deviation that is claimed at the best
_ROBUST = 1.4826
_SHARE = 0.01  # of a row that must show the same
_WHOLE = 0.999  # of a pixel of the copies: less of it shows something else
_GRID = 8  # px between the places that a smooth map is worked out at

Map = Callable[[Floats], Floats]
Shown = NDArray[np.bool_]


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

    @property
    def still(self) -> bool:
        """Whether the phone may have stood on a tripod."""
        return self.sigma == 0


def laid_upon(
    one: Light, other: Light, *, moved: Light | None = None, shown: Shown | None = None
) -> Laid | None:
    """The second photo as if taken from where the first was; None where they have too little alike.

    Parameters
    ----------
    one, other : ndarray, shape (rows, columns)
        Light of two photos of one size. [-]
    moved : ndarray, shape (rows, columns)
        What is laid upon the first, if it is not the second itself. [-]
    shown : ndarray of bool, shape (rows, columns)
        Where the first shows what the second does; everywhere, if it is not given.

    Notes
    -----
    A plane's map by the correlation of both (Evangelidis and Psarakis 2008, Parametric image
    alignment using enhanced correlation coefficient maximization, IEEE TPAMI 30(10): 1858-1865,
    doi:10.1109/TPAMI.2008.113), then what 48 parts still are shifted by, each by least squares
    (Lucas and Kanade 1981), smoothed by a quadratic: a lens that bends and a wall that does are in
    it. Parts that disagree show what stands before the wall; where a tenth of them do in a
    photo that moved, nothing is said.
    """
    photo = other if moved is None else moved
    scale = min(_LONGEST / max(one.shape), 1.0)
    small, there = _smaller(one, scale), _smaller(other, scale)
    seen = np.ones(small.shape, bool)
    if shown is not None:
        seen = _smaller(shown.astype(np.float32), scale) > _WHOLE
    a = _relief(small, seen)
    start = _coarse(a, _relief(there, np.ones(there.shape, bool)), seen)
    if start is None:
        return None
    middle, spread = np.array(a.shape[::-1]) / 2, float(max(a.shape)) / 2
    terms = np.zeros((_TERMS, 2))

    def taken(points: Floats) -> Floats:
        aside: Floats = _quadratic((points - middle) / spread) @ terms
        moved = points + aside
        made = cv2.perspectiveTransform(moved.reshape(-1, 1, 2), start).reshape(-1, 2)
        return np.asarray(made, np.float64)

    sigma = aside = np.inf
    for _ in range(_ROUNDS):
        found = _parts(a, _relief(resampled(there, taken), seen), seen)
        if found is None:
            return None
        at, shifts = found
        fitted = _smoothed((at - middle) / spread, shifts)
        if fitted is None:
            return None
        more, sigma, aside = fitted
        terms = terms + more
    steps = (0.02, 0.35, 0.65, 0.98)
    places = np.array([(x * a.shape[1], y * a.shape[0]) for x in steps for y in steps])
    apart = np.linalg.norm(taken(places) - places, axis=1) / scale
    sigma = max(sigma / scale, _FLOOR)
    far = float(np.median(apart))
    if far < max(_STILL, 2 * sigma):
        return Laid(light=photo, sigma=0.0, far=far)
    if aside > _OTHERWISE:
        return None

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


def resampled(photo: Light, taken: Map, size: tuple[int, ...] | None = None) -> Light:
    """A photo as seen through a smooth map.

    Parameters
    ----------
    photo : ndarray, shape (rows, columns)
        Light. [-]
    taken : callable
        From places of what is made to places of the photo, shape (n, 2). [px]
    size : (int, int) or None
        Rows and columns of what is made; None for those of the photo. [px]
    """
    high, wide = photo.shape if size is None else size
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


def _smaller(light: Light, scale: float) -> Light:
    size = (round(light.shape[1] * scale), round(light.shape[0] * scale))
    made = cv2.resize(np.maximum(light, 0.0), size, interpolation=cv2.INTER_AREA)
    return np.asarray(made, np.float32)


def _relief(light: Light, seen: Shown) -> Light:
    """Brightness against the local mean of what is seen."""
    wide = _LOCAL * max(light.shape)
    share = seen.astype(np.float32)
    mean = np.asarray(cv2.GaussianBlur(light * share, (0, 0), wide), np.float32)
    if not seen.all():
        around = np.maximum(cv2.GaussianBlur(share, (0, 0), wide), 1e-3)
        mean = np.asarray(mean / around, np.float32)
    floor = 0.02 * float(np.percentile(light[::4, ::4], 99)) + 1e-6
    relief = np.clip((light - mean) / (mean + floor), -_CLIP, _CLIP)
    return np.asarray(cv2.GaussianBlur(relief, (0, 0), 0.7), np.float32)


def _coarse(a: Light, b: Light, seen: Shown) -> Floats | None:
    """A plane's map from the first to the second, outer corner to outer corner."""
    window = cv2.createHanningWindow((a.shape[1], a.shape[0]), cv2.CV_32F)
    (along, down), _ = cv2.phaseCorrelate(a * seen * window, b * window)
    mask = np.where(seen, 255, 0).astype(np.uint8)
    best: tuple[float, Floats] | None = None
    for x, y in {(along, down), (0.0, 0.0)}:
        # OpenCV masks what is warped: the first is laid upon the second, and that turned round.
        back = np.array([[1, 0, -x], [0, 1, -y], [0, 0, 1]], np.float32)
        stop = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 20, 1e-4)
        try:
            alike, made = cv2.findTransformECC(b, a, back, cv2.MOTION_HOMOGRAPHY, stop, mask, 5)
        except cv2.error:  # it did not converge
            continue
        if best is None or alike > best[0]:
            half = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1.0]])
            best = float(alike), half @ np.linalg.inv(made.astype(np.float64)) @ np.linalg.inv(half)
        if best[0] > 2 * _ALIKE:
            break
    return None if best is None or best[0] < _ALIKE else best[1]


def _parts(a: Light, b: Light, seen: Shown) -> tuple[Floats, Floats] | None:
    """Middles of parts that can be told, and how far the second must be looked at aside. [px]"""
    both = (a + b) / 2
    gx = cv2.Sobel(both, cv2.CV_32F, 1, 0, scale=1 / 8)
    gy = cv2.Sobel(both, cv2.CV_32F, 0, 1, scale=1 / 8)
    left = a - b
    if not seen.any():
        return None
    rough = _ROBUST * float(np.median(np.abs(left[seen]))) + 1e-9
    w = seen / np.maximum(np.abs(left) / (1.5 * rough), 1.0)
    sums = [gx * gx * w, gx * gy * w, gy * gy * w, gx * left * w, gy * left * w]
    # Of the part of the photo that shows the same: beyond its parts' middles nothing is told.
    top, foot = _reach(seen.mean(axis=1))
    first, last = _reach(seen.mean(axis=0))
    high, wide = foot - top, last - first
    at, shifts = [], []
    for row in range(_DOWN):
        for column in range(_ACROSS):
            part = np.s_[
                top + high * row // _DOWN : top + high * (row + 1) // _DOWN,
                first + wide * column // _ACROSS : first + wide * (column + 1) // _ACROSS,
            ]
            xx, xy, yy, xr, yr = (float(one[part].sum()) for one in sums)
            least = (xx + yy) / 2 - np.hypot((xx - yy) / 2, xy)
            # Told to a fifth of a pixel by the noise that is left, at least.
            if least <= 0 or rough / np.sqrt(least) > 0.2:
                continue
            step = np.linalg.solve(np.array([[xx, xy], [xy, yy]]), [xr, yr])
            at.append((first + (column + 0.5) * wide / _ACROSS, top + (row + 0.5) * high / _DOWN))
            shifts.append(np.clip(step, -1.5, 1.5))
    return (np.array(at), np.array(shifts)) if len(at) >= _LEAST else None


def _reach(share: Floats) -> tuple[int, int]:
    """First and last row or column in which enough is seen."""
    rows = np.flatnonzero(share > _SHARE)
    return (int(rows[0]), int(rows[-1]) + 1) if len(rows) else (0, len(share))


def _quadratic(near: Floats) -> Floats:
    x, y = near.T
    return np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=1)


def _smoothed(near: Floats, shifts: Floats) -> tuple[Floats, float, float] | None:
    """A quadratic through the parts' shifts, the deviation of what it says, and the share aside."""
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
    aside = float((np.hypot(*left.T) > _ASIDE).mean())
    return made, spread * float(np.sqrt(2 * _TERMS / count)), aside
