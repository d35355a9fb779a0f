"""Which of the places that look like crosses are the marks: by how marks stand to each other."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from giornata.core.boards.smooth_maps import Smooth, smooth_map
from giornata.core.foundation import Floats

__all__ = ["Constellation", "by_taps", "constellation"]

_SCALE = (0.75, 1.33)  # of the picture as shown to the picture as planned
_TURN = math.radians(14)
_SHIFT = 0.45  # of the picture's width
_LOOSE, _CLOSER, _CLOSE = 0.045, 0.02, 0.008  # of the picture's width, as the map gets better
_PAIRS = 40
_KEPT = 60
_SLANT = (0.55, 1.8)  # of local scale at the picture's corners
_FEW = 4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Constellation:
    """Marks told apart.

    Parameters
    ----------
    smooth : Smooth
        From the marks' planned places to where they are.
    matched : tuple of (int, int)
        Number of mark and of candidate.
    ambiguous : bool
        Whether other candidates fit as many marks.
    """

    smooth: Smooth
    matched: tuple[tuple[int, int], ...]
    ambiguous: bool


def constellation(
    planned: Floats, seen: Floats, alike: Floats, size: tuple[float, float]
) -> Constellation | None:
    """The map under which most marks have a candidate; None where none is convincing.

    Parameters
    ----------
    planned : ndarray, shape (n, 2)
        Places of the marks in the picture if it stood as planned. [px]
    seen : ndarray, shape (m, 2)
        Candidates in the picture. [px]
    alike : ndarray, shape (m,)
        How much each looks like a cross. [-]
    size : tuple of float
        Columns and rows of the picture. [px]

    Notes
    -----
    Any two marks and any two candidates give a similarity; those in which the picture is moved,
    turned and scaled as a hand would place it are scored by all marks, and the best are refined
    to a plane's map. Half of the marks, and five where there are as many, must agree to
    a hundredth of the picture's width.
    """
    needed = min(len(planned), max(_FEW + 1, math.ceil(len(planned) / 2)))
    if len(planned) < _FEW or len(seen) < needed:
        return None
    width = size[0]
    found: list[tuple[float, Smooth, tuple[tuple[int, int], ...]]] = []
    known: set[tuple[tuple[int, int], ...]] = set()
    for scale, shift in _starts(planned, seen, alike, size):
        made = _refined(scale, shift, planned, seen, width)
        if made is None or made[1] in known:
            continue
        smooth, matched, rest = made
        known.add(matched)
        if len(matched) >= needed and _plausible(smooth, size):
            likeness = sum(float(alike[number]) for _, number in matched)
            found.append((likeness + len(matched) - rest, smooth, matched))
    if not found:
        return None
    found.sort(key=lambda one: -one[0])
    _, smooth, matched = found[0]
    names = set(matched)
    others = [one for one in found[1:] if len(names & set(one[2])) < len(names) / 2]
    ambiguous = any(len(one[2]) >= len(matched) for one in others)
    return Constellation(smooth=smooth, matched=matched, ambiguous=ambiguous)


def by_taps(planned: Floats, tapped: Floats) -> Smooth:
    """A map from a few marks that were pointed at, as rich as their number allows.

    Parameters
    ----------
    planned, tapped : ndarray, shape (n, 2)
        At least one mark: planned, and pointed at, in the picture. [px]

    Raises
    ------
    ValueError
        If there is none.
    """
    if len(planned) >= _FEW + 1:
        return smooth_map(planned, tapped, bent=False)
    if len(planned) == 0:
        raise ValueError("no mark was pointed at")
    here = planned[:, 0] + 1j * planned[:, 1]
    there = tapped[:, 0] + 1j * tapped[:, 1]
    scale = complex(1.0)
    if len(planned) > 1:
        away = here - here.mean()
        scale = complex((away.conj() * (there - there.mean())).sum() / (np.abs(away) ** 2).sum())
    return _similar(scale, complex(there.mean() - scale * here.mean()))


def _similar(scale: complex, shift: complex) -> Smooth:
    a, b = scale.real, scale.imag
    matrix = np.array([[a, -b, shift.real, 0.0], [b, a, shift.imag, 0.0], [0.0, 0.0, 1.0, 0.0]])
    return Smooth(matrix=matrix, middle=np.zeros(2), spread=1.0)


def _starts(
    planned: Floats, seen: Floats, alike: Floats, size: tuple[float, float]
) -> Iterator[tuple[complex, complex]]:
    """Similarities in order of how well they agree with all marks; as planned comes first."""
    yield complex(1.0), complex(0.0)
    here = planned[:, 0] + 1j * planned[:, 1]
    there = seen[:, 0] + 1j * seen[:, 1]
    pairs = sorted(
        itertools.combinations(range(len(here)), 2), key=lambda p: -abs(here[p[1]] - here[p[0]])
    )[:_PAIRS]
    ahead = there[None, :] - there[:, None]
    scales, shifts = [], []
    for i, j in pairs:
        scale = ahead / (here[j] - here[i])
        large = np.abs(scale)
        fits = (large > _SCALE[0]) & (large < _SCALE[1]) & (np.abs(np.angle(scale)) < _TURN)
        first, second = np.nonzero(fits)
        one = scale[first, second]
        scales.append(one)
        shifts.append(there[first] - one * here[i])
    scale, shift = np.concatenate(scales), np.concatenate(shifts)
    middle = complex(size[0] / 2, size[1] / 2)
    moved = np.abs(scale * middle + shift - middle) < _SHIFT * size[0]
    scale, shift = scale[moved], shift[moved]
    agreed = np.zeros(len(scale))
    tolerance = _LOOSE * size[0]
    for mark in here:
        off = np.abs((scale * mark + shift)[:, None] - there[None, :])
        agreed += (np.maximum(1 - (off / tolerance) ** 2, 0) * alike).max(axis=1, initial=0.0)
    for index in np.argsort(-agreed, kind="stable")[:_KEPT].tolist():
        yield complex(scale[index]), complex(shift[index])


def _refined(
    scale: complex, shift: complex, planned: Floats, seen: Floats, width: float
) -> tuple[Smooth, tuple[tuple[int, int], ...], float] | None:
    smooth = _similar(scale, shift)
    matched: tuple[tuple[int, int], ...] = ()
    for tolerance in (_LOOSE, _LOOSE, _CLOSER, _CLOSER, _CLOSE, _CLOSE):
        matched, off = _matches(smooth.mapped(planned), seen, tolerance * width)
        if len(matched) < _FEW:
            return None
        marks, places = (list(column) for column in zip(*matched, strict=True))
        smooth = _fitted(planned[marks], seen[places])
        if not np.isfinite(smooth.matrix).all():
            return None
    matched, off = _matches(smooth.mapped(planned), seen, _CLOSE * width)
    return smooth, matched, off / (_CLOSE * width)


def _fitted(planned: Floats, seen: Floats) -> Smooth:
    """A plane's map from five on, from four one without foreshortening."""
    if len(planned) > _FEW:
        return smooth_map(planned, seen, bent=False)
    terms = np.column_stack([planned, np.ones(len(planned))])
    made = np.linalg.lstsq(terms, seen, rcond=None)[0].T
    matrix = np.zeros((3, 4))
    matrix[:2, :3] = made
    matrix[2, 2] = 1.0
    return Smooth(matrix=matrix, middle=np.zeros(2), spread=1.0)


def _matches(
    places: Floats, seen: Floats, tolerance: float
) -> tuple[tuple[tuple[int, int], ...], float]:
    """Marks and candidates that are each other's nearest, and how far they are on average."""
    off = np.linalg.norm(places[:, None, :] - seen[None, :, :], axis=2)
    made, total = [], 0.0
    for mark in range(len(places)):
        number = int(off[mark].argmin())
        if off[mark, number] < tolerance and int(off[:, number].argmin()) == mark:
            made.append((mark, number))
            total += float(off[mark, number])
    return tuple(made), total / max(len(made), 1)


def _plausible(smooth: Smooth, size: tuple[float, float]) -> bool:
    """Whether a projector placed by hand could throw its picture so."""
    columns, rows = size
    corners = np.array([(0, 0), (columns, 0), (columns, rows), (0, rows)], dtype=np.float64)
    slopes = smooth.slopes(corners)
    area = np.linalg.det(slopes)
    if not (np.isfinite(area).all() and (area > 0).all()):
        return False
    scale = np.sqrt(area)
    turn = np.arctan2(slopes[:, 1, 0], slopes[:, 0, 0])
    return bool(
        (scale > _SLANT[0]).all() and (scale < _SLANT[1]).all() and (np.abs(turn) < 2 * _TURN).all()
    )
