"""The paints of a flat picture, found from its flat pixels alone.

A pixel is flat where its 3 × 3 neighbourhood holds one colour. Antialias fringes are one or two
pixels wide and change along the edge, so they are never flat in both directions and cannot be
mistaken for a paint.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.sparse.csgraph import connected_components

from giornata.core.artwork.raster_tone import in_light
from giornata.core.foundation import Assumption, Finding, Severity

__all__ = ["FlatPalette", "Levels", "bands", "colour_keys", "flat_palette", "flat_spread"]

Levels = NDArray[np.uint8]

MOST_PAINTS = Assumption(
    name="most paints in one picture", value=60, unit="-", source="house default, no source"
)
PIXEL_ART = 250_000  # px; a larger picture of few colours but hardly any flat place is dithered
LEAST_FLAT_SHARE = 0.20  # flat art measured 0.44 (dense, JPEG) to 0.98; photographs under 0.01
SOFT_SHARE = 0.20  # nearly flat among not flat: antialiased 0.05, blurred or JPEG 0.27 and above
NEARLY_FLAT = 8  # levels between the darkest and the lightest of 3 × 3
TWIN_STEP, TWIN_SHARE = 3, 0.05  # levels, share: a rare colour this near to another is its drift
SOFT_TWINS = 2  # so many drifting colours betray a lossy picture
DRIFT_STEP, DRIFT_SHARE = 3, 1.01  # the same in a lossy picture
DRIFT_FAR, DRIFT_FAR_SHARE = 10, 0.05
SHADE_STEP, SHADE_COUNT = 3, 6  # so many colours in steps this small are a gradient,
SHADE_SPAN, SHADE_LEAD = 5, 0.35  # if they span so many and none has more of the pixels
SHADE_SHARE = 0.01  # of the most common one; rarer colours are not looked at
LEAST_SOFT_PIXELS = 16
THIN_PIXELS, THIN_SHARE = 12, 0.02  # a colour of thin lines recurs this often
THIN_APART = 16.0  # levels off every mixture; fringes of indexed pictures stay within
MIXTURE_TOLERANCE = 4.0  # levels off the line between two paints
_BAND_PIXELS = 4_000_000
_DISTINCT_LIMIT = 300_000
_MOST_SHADES = 1_000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FlatPalette:
    """Flat colours of a picture, the most common first.

    Parameters
    ----------
    levels : ndarray of uint8, shape (k, c)
        Channel levels of each colour, as in the picture. [-]
    pixels : ndarray of int, shape (k,)
        Flat pixels that vouch for each colour; pixels of any kind for a colour that occurs in
        thin lines only. [px]
    soft : bool
        True where transitions are wider than an antialiased edge (JPEG, blur, resampling).
    hard : bool
        True where the picture holds no other colour than these.
    """

    levels: Levels
    pixels: NDArray[np.int64]
    soft: bool
    hard: bool

    def __post_init__(self) -> None:
        if self.levels.ndim != 2 or len(self.levels) != len(self.pixels) or not len(self.levels):
            raise ValueError("a palette has one row of levels and one count for each colour")
        self.levels.setflags(write=False)
        self.pixels.setflags(write=False)


def bands(height: int, width: int, *, halo: int = 0) -> Iterator[tuple[int, int, int, int]]:
    """Horizontal bands of some four million pixels: first and last row, the same with a halo.

    Parameters
    ----------
    height, width : int
        Size of the picture; at least 1. [px]
    halo : int
        Rows added above and below where the picture has them; 0 or more. [px]
    """
    rows = max(16, _BAND_PIXELS // width)
    for top in range(0, height, rows):
        end = min(height, top + rows)
        yield top, end, max(0, top - halo), min(height, end + halo)


def colour_keys(levels: Levels) -> NDArray[np.uint32]:
    """Each pixel's levels packed into one number.

    Parameters
    ----------
    levels : ndarray of uint8, shape (..., c)
        One to four channels. [-]
    """
    keys = levels[..., 0].astype(np.uint32)
    for channel in range(1, levels.shape[-1]):
        keys |= levels[..., channel].astype(np.uint32) << np.uint32(8 * channel)
    return keys


def flat_spread(levels: Levels) -> Levels:
    """Largest difference within 3 × 3 pixels, over all channels. [levels]

    Parameters
    ----------
    levels : ndarray of uint8, shape (h, w, c)
        One to four channels; at the border only the pixels that exist count. [-]
    """
    square = np.ones((3, 3), np.uint8)
    spread = cv2.dilate(levels, square) - cv2.erode(levels, square)
    return np.asarray(spread.reshape(*levels.shape).max(axis=2), dtype=np.uint8)


def _unpacked(keys: NDArray[np.uint32], channels: int) -> Levels:
    shifts = np.arange(channels, dtype=np.uint32) * np.uint32(8)
    return ((keys[:, None] >> shifts) & np.uint32(255)).astype(np.uint8)


class _Tally:
    """Running count of packed colours."""

    def __init__(self) -> None:
        self.keys = np.empty(0, np.uint32)
        self.pixels = np.empty(0, np.int64)

    def add(self, keys: NDArray[np.uint32], pixels: NDArray[np.int64]) -> None:
        joined = np.concatenate([self.keys, keys])
        counts = np.concatenate([self.pixels, pixels])
        self.keys, place = np.unique(joined, return_inverse=True)
        self.pixels = np.bincount(place, counts, len(self.keys)).astype(np.int64)

    def by_count(self) -> tuple[NDArray[np.uint32], NDArray[np.int64]]:
        order = np.lexsort((self.keys, -self.pixels))
        return self.keys[order], self.pixels[order]


@dataclass(slots=True)
class _Survey:
    flat: _Tally
    deep: _Tally
    rest: _Tally
    flat_pixels: int = 0
    near_pixels: int = 0
    pixels: int = 0
    rest_counted: bool = True

    @property
    def soft(self) -> bool:
        rough = self.pixels - self.flat_pixels
        return rough > 0 and self.near_pixels > SOFT_SHARE * rough


def _surveyed(levels: Levels) -> _Survey:
    seen = _Survey(_Tally(), _Tally(), _Tally())
    height, width = levels.shape[:2]
    for top, end, above, below in bands(height, width, halo=2):
        middle = slice(top - above, end - above)
        spread = flat_spread(levels[above:below])
        flat = (spread == 0).astype(np.uint8)
        depth = (flat + cv2.erode(flat, np.ones((3, 3), np.uint8)))[middle].ravel()
        spread = spread[middle]
        keys = colour_keys(levels[top:end]).ravel()
        change = np.ones(keys.size, bool)
        change[1:] = (keys[1:] != keys[:-1]) | (depth[1:] != depth[:-1])
        first = np.flatnonzero(change)
        run = np.diff(first, append=keys.size)
        is_flat, is_deep = depth[first] > 0, depth[first] > 1
        seen.flat.add(keys[first][is_flat], run[is_flat])
        seen.deep.add(keys[first][is_deep], run[is_deep])
        if seen.rest_counted:
            seen.rest.add(keys[first][~is_flat], run[~is_flat])
            seen.rest_counted = len(seen.rest.keys) < _DISTINCT_LIMIT
        seen.flat_pixels += int(run[is_flat].sum())
        seen.near_pixels += int(np.count_nonzero((spread > 0) & (spread <= NEARLY_FLAT)))
        seen.pixels += keys.size
    return seen


def _without_drift(
    levels: Levels,
    pixels: NDArray[np.int64],
    limits: tuple[tuple[int, float], ...],
    least: int,
) -> tuple[Levels, NDArray[np.int64]]:
    """Colours without those that are rare and near to a more common one."""
    kept: list[int] = []
    for i in range(len(levels)):
        if kept and (pixels[i] < least or len(kept) > 4 * MOST_PAINTS.value):
            break
        apart = np.abs(levels[kept].astype(np.int16) - levels[i]).max(axis=1)
        share = pixels[i] / pixels[kept]
        if not any(((apart <= step) & (share < part)).any() for step, part in limits):
            kept.append(i)
    return levels[kept], pixels[kept]


def _off_lines(
    points: NDArray[np.float64], ends: NDArray[np.float64], tolerance: float
) -> NDArray[np.bool_]:
    """Which points are off each line between two ends by more than a tolerance."""
    found = np.ones(len(points), bool)
    for i in range(len(ends)):
        for j in range(i, len(ends)):
            step = ends[j] - ends[i]
            along = (points - ends[i]) @ step / max(float(step @ step), 1.0)
            foot = ends[i] + np.clip(along, 0.0, 1.0)[:, None] * step
            found &= ((points - foot) ** 2).sum(axis=1) > tolerance**2
    return found


def _off_every_line(colours: Levels, paints: Levels) -> NDArray[np.bool_]:
    """Which colours are no mixture of two paints, neither of coded levels nor of light."""
    off = _off_lines(colours.astype(np.float64), paints.astype(np.float64), THIN_APART)
    light = in_light(colours[off]).astype(np.float64), in_light(paints).astype(np.float64)
    off[off] = _off_lines(*light, THIN_APART)
    return off


def _with_thin_colours(
    levels: Levels, pixels: NDArray[np.int64], rest: _Tally
) -> tuple[Levels, NDArray[np.int64]]:
    """Palette with the colours that recur outside flat places and are no mixture."""
    channels = levels.shape[1]
    keys, counts = rest.by_count()
    colours = _unpacked(keys, channels)
    unknown = _off_every_line(colours, levels)
    colours, counts = colours[unknown], counts[unknown]
    while len(colours) and len(levels) <= MOST_PAINTS.value:
        if counts[0] < max(THIN_PIXELS, THIN_SHARE * counts.sum()):
            break
        levels = np.concatenate([levels, colours[:1]])
        pixels = np.concatenate([pixels, counts[:1]])
        still = _off_every_line(colours, levels)
        colours, counts = colours[still], counts[still]
    return levels, pixels


def _shades(tally: _Tally, channels: int) -> int:
    """Size of the largest group of colours that follow each other like a gradient. [-]"""
    keys, pixels = tally.by_count()
    levels, pixels = _unpacked(keys, channels)[:_MOST_SHADES], pixels[:_MOST_SHADES]
    if not len(levels):
        return 0
    apart = np.abs(levels[:, None].astype(np.int16) - levels[None]).max(axis=2)
    groups, group = connected_components(apart <= SHADE_STEP, directed=False)
    largest = 0
    for number in range(groups):
        own = group == number
        common = own & (pixels >= SHADE_SHARE * pixels[own].max())
        span = int(np.ptp(levels[common].astype(np.int16), axis=0).max())
        if span >= SHADE_SPAN and pixels[common].max() <= SHADE_LEAD * pixels[common].sum():
            largest = max(largest, int(common.sum()))
    return largest


def _paints(seen: _Survey, channels: int) -> FlatPalette:
    """The flat colours, drift left out, and the colours of thin lines."""
    keys, pixels = seen.flat.by_count()
    found = _unpacked(keys, channels)
    rest = np.setdiff1d(seen.rest.keys, keys).size if seen.rest_counted else _DISTINCT_LIMIT
    if not rest:
        return FlatPalette(levels=found, pixels=pixels, soft=False, hard=True)
    single, single_pixels = _without_drift(found, pixels, ((TWIN_STEP, TWIN_SHARE),), 1)
    if seen.soft or len(found) - len(single) >= SOFT_TWINS:
        deep, vouching = seen.deep.by_count()
        if len(deep):
            found, pixels = _unpacked(deep, channels), vouching
        drift = ((DRIFT_STEP, DRIFT_SHARE), (DRIFT_FAR, DRIFT_FAR_SHARE))
        found, pixels = _without_drift(found, pixels, drift, LEAST_SOFT_PIXELS)
        return FlatPalette(levels=found, pixels=pixels, soft=True, hard=False)
    if seen.rest_counted and len(single) <= MOST_PAINTS.value:
        count = len(single)
        single, single_pixels = _with_thin_colours(single, single_pixels, seen.rest)
        rest -= len(single) - count
    hard = not rest and len(single) >= len(found)
    return FlatPalette(levels=single, pixels=single_pixels, soft=False, hard=hard)


def _not_flat(name: str, message: str) -> Finding:
    return Finding(
        code="artwork.not_flat",
        severity=Severity.STOP,
        subject=name,
        message=message,
        remedy="Give flat artwork: reduce the picture to its paint colours (posterise), or draw "
        "it as SVG or PDF shapes.",
    )


def flat_palette(levels: Levels, *, name: str) -> tuple[FlatPalette | None, tuple[Finding, ...]]:
    """Paints of a flat picture, or the finding that it is not flat.

    Parameters
    ----------
    levels : ndarray of uint8, shape (h, w, c)
        Picture with one to four channels that mix linearly (alpha premultiplied). [-]
    name : str
        File name, for findings.

    Raises
    ------
    ValueError
        If the picture has no pixel, or not one to four channels.

    Notes
    -----
    A colour that is the mixture of two others and occurs in lines under three pixels only cannot
    be told from an antialiased edge, and is not found.
    """
    if levels.ndim != 3 or not levels.size or not 1 <= levels.shape[2] <= 4:
        raise ValueError("a picture has pixels, and one to four channels")
    seen = _surveyed(levels)
    limit = int(MOST_PAINTS.value)
    flat_share = seen.flat_pixels / seen.pixels
    if flat_share < LEAST_FLAT_SHARE:
        every = np.union1d(seen.flat.keys, seen.rest.keys)
        if not seen.rest_counted or len(every) > limit or seen.pixels > PIXEL_ART:
            return None, (
                _not_flat(
                    name,
                    f"Only {100 * flat_share:.1f} % of the picture is flat colour; flat artwork "
                    f"has {100 * LEAST_FLAT_SHARE:.0f} % or more.",
                ),
            )
        seen.flat.add(seen.rest.keys, seen.rest.pixels)
    vouching = seen.deep if seen.soft and len(seen.deep.keys) else seen.flat
    if (shades := _shades(vouching, levels.shape[2])) >= SHADE_COUNT:
        return None, (
            _not_flat(
                name,
                f"{shades} of its colours follow each other in steps of {SHADE_STEP} levels or "
                "less: a gradient, not flat paint.",
            ),
        )
    palette = _paints(seen, levels.shape[2])
    if len(palette.levels) > limit:
        return None, (
            Finding(
                code="artwork.too_many_paints",
                severity=Severity.STOP,
                subject=name,
                message=f"{len(palette.levels)} or more flat colours; the limit is {limit}.",
                remedy="Reduce the picture to the paints you mean to mix.",
            ),
        )
    return palette, ()
