"""The paints of a flat picture, found from its flat pixels alone.

A pixel is flat where its 3 × 3 neighbourhood holds one colour. Antialias fringes are one or two
pixels wide and change along the edge, so they are never flat in both directions and cannot be
mistaken for a paint.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.sparse.csgraph import connected_components

from giornata.core.artwork.raster_rows import Each, Levels, Rows, as_rows, in_turn
from giornata.core.artwork.raster_survey import DISTINCT_LIMIT, Survey, Tally, surveyed, unpacked
from giornata.core.artwork.raster_tone import in_light
from giornata.core.foundation import Assumption, Finding, Severity

__all__ = ["FlatPalette", "flat_palette"]

MOST_PAINTS = Assumption(
    name="most paints in one picture", value=60, unit="-", source="house default, no source"
)
PIXEL_ART = 250_000  # px; a larger picture of few colours but hardly any flat place is dithered
LEAST_FLAT_SHARE = 0.20  # flat art measured 0.44 (dense, JPEG) to 0.98; photographs under 0.01
SOFT_SHARE = 0.20  # nearly flat among not flat: antialiased 0.05, blurred or JPEG 0.27 and above
TWIN_STEP, TWIN_SHARE = 3, 0.05  # levels, share: a rare colour this near to another is its drift
SOFT_TWINS = 2  # so many drifting colours betray a lossy picture
DRIFT_STEP, DRIFT_SHARE = 3, 1.01  # the same in a lossy picture
DRIFT_FAR, DRIFT_FAR_SHARE = 10, 0.05
WORD_STEP, WORD_SHARE = 2, 0.05  # drift of a lossy picture that is named
SHADE_STEP, SHADE_COUNT = 3, 6  # so many colours in steps this small are a gradient,
SHADE_SPAN, SHADE_LEAD = 5, 0.35  # if they span so many and none has more of the pixels
SHADE_SHARE = 0.01  # of the most common one; rarer colours are not looked at
LEAST_SOFT_PIXELS = 16
THIN_PIXELS, THIN_SHARE = 12, 0.02  # a colour of thin lines recurs this often
THIN_APART = 16.0  # levels off every mixture; fringes of indexed pictures stay within
MIXTURE_TOLERANCE = 4.0  # levels off the line between two paints
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
    merged : ndarray of uint8, shape (m, c)
        Flat colours that are read as one of ``levels``; not the rounding of a lossy picture. [-]
    """

    levels: Levels
    pixels: NDArray[np.int64]
    soft: bool
    hard: bool
    merged: Levels = field(default_factory=lambda: np.empty((0, 1), np.uint8))

    def __post_init__(self) -> None:
        if self.levels.ndim != 2 or len(self.levels) != len(self.pixels) or not len(self.levels):
            raise ValueError("a palette has one row of levels and one count for each colour")
        self.levels.setflags(write=False)
        self.pixels.setflags(write=False)


def _soft(seen: Survey) -> bool:
    """Whether transitions are wider than an antialiased edge."""
    rough = seen.pixels - seen.flat_pixels
    return rough > 0 and seen.near_pixels > SOFT_SHARE * rough


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
    levels: Levels, pixels: NDArray[np.int64], rest: Tally
) -> tuple[Levels, NDArray[np.int64]]:
    """Palette with the colours that recur outside flat places and are no mixture."""
    channels = levels.shape[1]
    keys, counts = rest.by_count()
    colours = unpacked(keys, channels)
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


def _shades(tally: Tally, channels: int) -> int:
    """Size of the largest group of colours that follow each other like a gradient. [-]"""
    keys, pixels = tally.by_count()
    levels, pixels = unpacked(keys, channels)[:_MOST_SHADES], pixels[:_MOST_SHADES]
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


def _dropped(found: Levels, kept: Levels) -> Levels:
    """Colours that are not among those kept."""
    some = found[: 100 * int(MOST_PAINTS.value)]
    return np.asarray(some[(some[:, None] != kept).any(axis=2).all(axis=1)])


def _drift_worth_a_word(
    found: Levels, pixels: NDArray[np.int64], kept: Levels, kept_pixels: NDArray[np.int64]
) -> Levels:
    """Dropped colours of a lossy picture that are too common, or too far off, for mere rounding."""
    dropped = _dropped(found, kept)
    apart = np.abs(dropped[:, None].astype(np.int16) - kept).max(axis=2)
    into = apart.argmin(axis=1)
    place = [int(np.flatnonzero((found == colour).all(axis=1))[0]) for colour in dropped]
    count = pixels[np.array(place, dtype=np.int64)]
    common = count >= WORD_SHARE * kept_pixels[into]
    return np.asarray(dropped[common & (apart.min(axis=1, initial=256) >= WORD_STEP)])


def _paints(seen: Survey, channels: int, *, soft: bool) -> FlatPalette:
    """The flat colours, drift left out, and the colours of thin lines."""
    keys, pixels = seen.flat.by_count()
    found = unpacked(keys, channels)
    rest = np.setdiff1d(seen.rest.keys, keys).size if seen.rest_counted else DISTINCT_LIMIT
    if not rest:
        return FlatPalette(levels=found, pixels=pixels, soft=False, hard=True)
    single, single_pixels = _without_drift(found, pixels, ((TWIN_STEP, TWIN_SHARE),), 1)
    if soft or len(found) - len(single) >= SOFT_TWINS:
        deep, vouching = seen.deep.by_count()
        if len(deep):
            found, pixels = unpacked(deep, channels), vouching
        drift = ((DRIFT_STEP, DRIFT_SHARE), (DRIFT_FAR, DRIFT_FAR_SHARE))
        kept, kept_pixels = _without_drift(found, pixels, drift, LEAST_SOFT_PIXELS)
        worth = _drift_worth_a_word(found, pixels, kept, kept_pixels)
        return FlatPalette(levels=kept, pixels=kept_pixels, soft=True, hard=False, merged=worth)
    if seen.rest_counted and len(single) <= MOST_PAINTS.value:
        count = len(single)
        single, single_pixels = _with_thin_colours(single, single_pixels, seen.rest)
        rest -= len(single) - count
    hard = not rest and len(single) >= len(found)
    twins = _dropped(found, single)
    return FlatPalette(levels=single, pixels=single_pixels, soft=False, hard=hard, merged=twins)


def _not_flat(name: str, message: str) -> Finding:
    return Finding(
        code="artwork.not_flat",
        severity=Severity.STOP,
        subject=name,
        message=message,
        remedy="Give flat artwork: reduce the picture to its paint colours (posterise), or draw "
        "it as SVG or PDF shapes. Or decide in job.toml that each pixel becomes the nearest paint: "
        '[[artwork.decisions]] with for = "pictures" and becomes = "nearest".',
    )


def flat_palette(
    picture: Levels | Rows, *, name: str, each: Each = in_turn
) -> tuple[FlatPalette | None, tuple[Finding, ...]]:
    """Paints of a flat picture, or the finding that it is not flat.

    Parameters
    ----------
    picture : Rows, or ndarray of uint8, shape (h, w, c)
        Picture with one to four channels that mix linearly (alpha premultiplied). [-]
    name : str
        File name, for findings.
    each : callable
        How its tiles are gone through.

    Raises
    ------
    ValueError
        If the picture has no pixel, or not one to four channels.

    Notes
    -----
    A colour that is the mixture of two others and occurs in lines under three pixels only cannot
    be told from an antialiased edge, and is not found.
    """
    rows = as_rows(picture)
    seen = surveyed(rows, each=each)
    soft = _soft(seen)
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
    vouching = seen.deep if soft and len(seen.deep.keys) else seen.flat
    if (shades := _shades(vouching, rows.channels)) >= SHADE_COUNT:
        return None, (
            _not_flat(
                name,
                f"{shades} of its colours follow each other in steps of {SHADE_STEP} levels or "
                "less: a gradient, not flat paint.",
            ),
        )
    palette = _paints(seen, rows.channels, soft=soft)
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
