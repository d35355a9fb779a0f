"""Which of the places that look like crosses are the marks: by how marks stand to each other."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Floats, readonly
from giornata.core.geometry import direct_linear

__all__ = ["Constellation", "Standing", "by_taps", "constellation"]

_SCALE = (0.75, 1.33)  # of the picture as shown to the picture as planned
_TURN = math.radians(14)
_SHIFT = 0.45  # of the picture's width
_LOOSE, _CLOSER, _CLOSE = 0.045, 0.02, 0.008  # of the picture's width, as the map gets better
_PAIRS = 40
_KEPT = 60
_SLANT = (0.55, 1.8)  # of local scale at the picture's corners
_FEW = 4
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
        """Places in the picture as it stands, shape (n, 2); on its horizon no number. [px]

        Parameters
        ----------
        planned : ndarray, shape (n, 3)
            x and y as planned [px] and relief [-].
        """
        made = self._features(planned) @ self.matrix.T
        with np.errstate(divide="ignore", invalid="ignore"):
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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Constellation:
    """Marks told apart.

    Parameters
    ----------
    standing : Standing
        From the marks' planned places to where they are.
    matched : tuple of (int, int)
        Number of mark and of candidate.
    ambiguous : bool
        Whether other candidates fit as many marks.
    """

    standing: Standing
    matched: tuple[tuple[int, int], ...]
    ambiguous: bool


def constellation(
    planned: Floats, seen: Floats, alike: Floats, size: tuple[float, float]
) -> Constellation | None:
    """The map under which most marks have a candidate; None where none is convincing.

    Parameters
    ----------
    planned : ndarray, shape (n, 3)
        Places of the marks in the picture if it stood as planned [px], and relief: how far the
        wall stands off a plane there, over how far it is from the lens [-].
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
    to a pose's map. Half of the marks, and five where there are as many, must agree to
    a hundredth of the picture's width. What is found is ambiguous where another way to name the
    crosses has as many marks agree; or one fewer, the picture standing nearer to its plan; or
    more of them to a fiftieth, as where the wall is not of the shape it was read to be.
    """
    needed = min(len(planned), max(_FEW + 1, math.ceil(len(planned) / 2)))
    if len(planned) < _FEW or len(seen) < needed:
        return None
    ways: dict[tuple[tuple[int, int], ...], _Way] = {}
    for scale, shift in _starts(planned, seen, alike, size):
        for way in _ways(scale, shift, planned, seen, alike, size):
            if len(way.matched) >= needed and (way.close or way.matched not in ways):
                ways[way.matched] = way
    sure = [way for way in ways.values() if way.close]
    if not sure:
        return None
    best = max(sure, key=lambda way: way.score)
    ambiguous = any(best.rivalled(other) for other in ways.values())
    return Constellation(standing=best.standing, matched=best.matched, ambiguous=ambiguous)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Way:
    """A way to name the crosses."""

    standing: Standing
    matched: tuple[tuple[int, int], ...]
    score: float
    close: bool  # whether they agree as the marks of one wall do
    moved: float  # of the picture's middle, from where it is planned [px]

    def rivalled(self, other: _Way) -> bool:
        """Whether another way to name the crosses explains them about as well."""
        shared = len(set(self.matched) & set(other.matched))
        if shared >= len(self.matched) / 2:
            return False
        more = len(other.matched) - len(self.matched)
        if not other.close:
            return more > 0
        return more >= 0 or (more == -1 and other.moved < self.moved)


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
    if len(planned) >= _FEW + 1 and _spans_a_plane(planned[:, :2]):
        return _fitted(planned, tapped)
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
    return _similar(scale, complex(there.mean() - scale * here.mean()))


def _spans_a_plane(places: Floats) -> bool:
    """Whether places stay off one line whichever of them is left out: else no pose follows."""
    for left_out in range(len(places)):
        kept = np.delete(places, left_out, axis=0)
        long, across = np.linalg.svd(kept - kept.mean(axis=0), compute_uv=False)
        if across <= _ON_A_LINE * long:
            return False
    return True


def _similar(scale: complex, shift: complex) -> Standing:
    a, b = scale.real, scale.imag
    matrix = np.array([[a, -b, shift.real, 0.0], [b, a, shift.imag, 0.0], [0.0, 0.0, 1.0, 0.0]])
    return Standing(matrix=readonly(matrix), middle=np.zeros(2), spread=1.0)


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
        if here[i] == here[j]:  # two marks planned in one place say nothing together
            continue
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


def _ways(
    scale: complex,
    shift: complex,
    planned: Floats,
    seen: Floats,
    alike: Floats,
    size: tuple[float, float],
) -> Iterator[_Way]:
    """What a start leads to: marks that agree to a fiftieth, and those that do to a hundredth."""
    standing = _similar(scale, shift)
    middle = np.array([(size[0] / 2, size[1] / 2, 0.0)])
    for close, tolerances in ((False, (_LOOSE, _LOOSE, _CLOSER, _CLOSER)), (True, (_CLOSE,) * 3)):
        for share in tolerances:
            matched, off = _matches(standing.mapped(planned), seen, share * size[0])
            if len(matched) < _FEW:
                return
            marks, places = (list(column) for column in zip(*matched, strict=True))
            standing = _fitted(planned[marks], seen[places])
            if not np.isfinite(standing.matrix).all():
                return
        matched, off = _matches(standing.mapped(planned), seen, tolerances[-1] * size[0])
        if _plausible(standing, size):
            likeness = sum(float(alike[number]) for _, number in matched)
            moved = float(np.linalg.norm(standing.mapped(middle) - middle[:, :2]))
            score = likeness + len(matched) - off / (tolerances[-1] * size[0])
            yield _Way(standing=standing, matched=matched, score=score, close=close, moved=moved)


def _fitted(planned: Floats, seen: Floats) -> Standing:
    """A pose's map: with the wall's depth where that tells, from four without foreshortening."""
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
    if len(planned) > _FEW:
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


def _plausible(standing: Standing, size: tuple[float, float]) -> bool:
    """Whether a projector placed by hand could throw its picture so."""
    columns, rows = size
    corners = np.array([(0, 0, 0), (columns, 0, 0), (columns, rows, 0), (0, rows, 0)], float)
    slopes = standing.slopes(corners)[:, :, :2]
    area = np.linalg.det(slopes)
    if not (np.isfinite(area).all() and (area > 0).all()):
        return False
    scale = np.sqrt(area)
    turn = np.arctan2(slopes[:, 1, 0], slopes[:, 0, 0])
    return bool(
        (scale > _SLANT[0]).all() and (scale < _SLANT[1]).all() and (np.abs(turn) < 2 * _TURN).all()
    )
