"""Alignment: a picture fitted to the marks it was aimed at, and how far off it may be anywhere."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from scipy.stats import chi2

from giornata.core.foundation import Floats, readonly
from giornata.core.geometry import direct_linear
from giornata.core.projection.sightings import LinePoint, MarkSeen, Sightings
from giornata.core.projection.wall_maps import ProjectiveMap, WallMap

__all__ = [
    "INSIDE_95", "Alignment", "Freed", "aligned", "drops_without", "error_covariance",
    "error_radius", "line_drops", "projective_start",
]  # fmt: skip

INSIDE_95 = -2 * math.log(0.05)
"""95 % of a two-dimensional normal lies within this squared distance (chi-square, 2). [-]"""

_ROUNDS = 60
_REWEIGHED = 2  # rounds in which the weights follow the map; then they stand
_SETTLED = 1e-8
_DAMPING = 1e-3
_LAST_STEPS, _LAST_DAMPING, _ROUNDING = 2, 1e-9, 1e-10
_UNCHECKED = 1e-3  # share of a mark that others check


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Alignment:
    """A picture fitted to its marks.

    Parameters
    ----------
    on_wall : WallMap
        From the wall to the picture.
    marks : tuple of MarkSeen
        Those it was fitted to.
    residuals : ndarray, shape (n, 2)
        Seen less expected. [px]
    covariance : ndarray, shape (p, p)
        Of the map's parameters.
    misfit : float
        Weighted sum of squares (chi-square). [-]
    freedom : int
        Equations beyond those needed. [-]
    settled : bool
        Whether the fit came to rest.
    lines : tuple of LinePoint
        Points of lines that it was fitted to as well.
    line_residuals : ndarray, shape (m,)
        Seen less expected, across each line. [px]
    """

    on_wall: WallMap
    marks: tuple[MarkSeen, ...]
    residuals: Floats
    covariance: Floats
    misfit: float
    freedom: int
    settled: bool
    lines: tuple[LinePoint, ...] = ()
    line_residuals: Floats = field(default_factory=lambda: np.zeros(0))

    @property
    def chance(self) -> float:
        """Chance that right marks misfit at least so much; 1 where nothing checks them. [-]"""
        return float(chi2.sf(self.misfit, self.freedom)) if self.freedom > 0 else 1.0


def projective_start(
    marks: Sequence[MarkSeen], columns: int, rows: int, *, hinge: float | None = None
) -> ProjectiveMap | None:
    """A first map from the marks alone; None where they leave it open.

    Parameters
    ----------
    marks : sequence of MarkSeen
        At least 4; 6 with a hinge.
    columns, rows : int
        Of the picture. [px]
    hinge : float or None
        Chainage where the wall folds inside the picture; None for a flat wall. [m]
    """
    size = 3 if hinge is None else 4
    if 2 * len(marks) < 3 * size - 1:
        return None
    sightings = Sightings(marks)
    places, seen = sightings.places, sightings.seen
    middle = places.mean(axis=0)
    spread = float(np.sqrt(((places - middle) ** 2).sum(axis=1).mean()))
    if not spread > 0:
        return None
    frame = ProjectiveMap(
        matrix=np.eye(3, size),
        hinge=hinge,
        middle=readonly(middle),
        spread=spread,
        centre=readonly([columns / 2, rows / 2]),
        half=math.hypot(columns, rows) / 2,
    )
    features = frame.features(places)
    if np.linalg.matrix_rank(features, tol=1e-6 * np.linalg.norm(features)) < size:
        return None
    matrix = direct_linear(features, (seen - frame.centre) / frame.half)
    if not (features @ matrix[2] > 0).all():
        return None
    return ProjectiveMap(
        matrix=matrix, hinge=hinge, middle=frame.middle, spread=spread, centre=frame.centre,
        half=frame.half,
    )  # fmt: skip


def aligned(
    start: WallMap, marks: Sequence[MarkSeen], lines: Sequence[LinePoint] = ()
) -> Alignment:
    """The map that fits the marks best, both their places weighed.

    Parameters
    ----------
    start : WallMap
        Near the answer.
    marks : sequence of MarkSeen
        At least one; with the lines as many numbers as the map has parameters, beliefs counted.
    lines : sequence of LinePoint
        Points of level and plumb lines, one number each.

    Raises
    ------
    ValueError
        If there are too few marks for the map.

    Notes
    -----
    Levenberg and Marquardt's damped steps, each one kept only where it lowers the misfit. A
    residual is weighed by the picture's noise and, through the slope of the map, the mark's own:
    places on the wall are eliminated to first order (Hartley and Zisserman 2004, section 4.2.6).
    What moves several marks or points together makes their residuals go together. Weights follow
    the map for the first rounds and then stand, so that misfits can be compared.
    """
    seen = Sightings(marks, lines)
    parameters = start.slopes(seen.places[:1])[1].shape[2]
    equations = seen.count + len(start.prior)
    if equations < parameters:
        raise ValueError(f"{len(marks)} marks are too few for {parameters} parameters")
    made, damping, settled = start, _DAMPING, False
    weights = _weights(made, seen)
    for number in range(_ROUNDS):
        if 0 < number < _REWEIGHED:
            weights = _weights(made, seen)
        design, missed = _equations(made, seen, weights)
        before = float(missed @ missed)
        better, damping = _stepped(made, design, missed, before, damping, seen, weights)
        if better is None:
            settled = number >= _REWEIGHED
            if settled:
                break
            continue
        made, after = better
        if number >= _REWEIGHED and before - after <= _SETTLED * (1 + before):
            settled = True
            break
    made = _to_the_bottom(made, seen, weights)
    design, missed = _equations(made, seen, weights)
    left = seen.missed(made)
    return Alignment(
        on_wall=made,
        marks=seen.marks,
        residuals=readonly(left[: 2 * len(seen.marks)].reshape(-1, 2)),
        covariance=readonly(np.linalg.pinv(design.T @ design, hermitian=True)),
        misfit=float(missed @ missed),
        freedom=equations - parameters,
        settled=settled,
        lines=seen.lines,
        line_residuals=readonly(left[2 * len(seen.marks) :]),
    )


def _to_the_bottom(made: WallMap, seen: Sightings, weights: Floats) -> WallMap:
    """The map after its last steps, too small for the misfit's rounding to judge them.

    Without them the last step would be taken or not by chance, and two programs that reckon alike
    would come out apart by as much.
    """
    for _ in range(_LAST_STEPS):
        design, missed = _equations(made, seen, weights)
        normal, before = design.T @ design, float(missed @ missed)
        scale = np.diag(normal) + 1e-12 * float(np.trace(normal))
        step = np.linalg.solve(normal + _LAST_DAMPING * np.diag(scale), design.T @ missed)
        if not np.isfinite(step).all():
            break
        tried = made.moved(np.asarray(step, np.float64))
        with np.errstate(all="ignore"):
            left = weights @ seen.missed(tried)
            after = float(left @ left) + float(tried.prior @ tried.prior)
        if not after <= before + _ROUNDING * (1 + before):
            break
        made = tried
    return made


def _weights(made: WallMap, seen: Sightings) -> Floats:
    """What turns residuals into independent ones of size 1; (count, count). [1/px]"""
    weights: Floats = np.linalg.inv(np.linalg.cholesky(seen.covariance(made)))
    return weights


def _equations(made: WallMap, seen: Sightings, weights: Floats) -> tuple[Floats, Floats]:
    return (
        np.vstack([weights @ seen.slopes(made), made.prior_slopes]),
        np.concatenate([weights @ seen.missed(made), -made.prior]),
    )


def _stepped(
    made: WallMap,
    design: Floats,
    missed: Floats,
    before: float,
    damping: float,
    seen: Sightings,
    weights: Floats,
) -> tuple[tuple[WallMap, float] | None, float]:
    """The map after a step that lowers the misfit, its misfit, and the damping; None for none."""
    normal, pull = design.T @ design, design.T @ missed
    scale = np.diag(normal) + 1e-12 * float(np.trace(normal))
    for _ in range(8):
        step = np.asarray(np.linalg.solve(normal + damping * np.diag(scale), pull), np.float64)
        if not np.isfinite(step).all():
            return None, damping
        tried = made.moved(step)
        with np.errstate(all="ignore"):
            apart = seen.missed(tried)
        if np.isfinite(apart).all():
            left = weights @ apart
            after = float(left @ left) + float(tried.prior @ tried.prior)
            if after < before:
                return (tried, after), max(damping / 10, 1e-12)
        damping *= 10
    return None, damping


class Freed(NamedTuple):
    """About what one fit shows of a mark, a point or a line that may be elsewhere.

    Parameters
    ----------
    drop : float
        What letting it go takes off the misfit; 0 where the others check nothing of it. [-]
    known : float
        How well the others know where it is instead: logarithm of the determinant of that
        information, in 1/m² for each number. 0 as above. [-]
    """

    drop: float
    known: float


def drops_without(found: Alignment) -> tuple[Freed, ...]:
    """About what leaving out each mark, then each point of a line, shows.

    Parameters
    ----------
    found : Alignment

    Notes
    -----
    From one fit, as if the map were linear: the residual, weighed by what the others check of it
    (Baarda 1968; for what goes together, Teunissen 2006, Testing Theory).
    """
    seen = Sightings(found.marks, found.lines)
    by_wall, _ = found.on_wall.slopes(seen.places)
    unit = np.eye(seen.count)
    ways = [unit[:, 2 * k : 2 * k + 2] @ own for k, own in enumerate(by_wall)]
    for number, point in enumerate(found.lines, start=2 * len(found.marks)):
        ways.append(seen.line_shift(found.on_wall, point.line)[number] * unit[:, [number]])
    return _freed(found, seen, ways)


def line_drops(found: Alignment) -> dict[str, Freed]:
    """About what it shows if a line is elsewhere, all its points together, by the line's name.

    Parameters
    ----------
    found : Alignment
    """
    seen = Sightings(found.marks, found.lines)
    names = sorted({point.line for point in found.lines})
    shifts = [seen.line_shift(found.on_wall, name)[:, None] for name in names]
    return dict(zip(names, _freed(found, seen, shifts), strict=True))


def _freed(found: Alignment, seen: Sightings, ways: Sequence[Floats]) -> tuple[Freed, ...]:
    """What it shows to let what is missed change in each of these ways, px/m."""
    weights = _weights(found.on_wall, seen)
    design = weights @ seen.slopes(found.on_wall)
    beliefs = found.on_wall.prior_slopes
    covariance = np.linalg.pinv(design.T @ design + beliefs.T @ beliefs, hermitian=True)
    missed = weights @ np.concatenate([found.residuals.ravel(), found.line_residuals])
    made = []
    for way in ways:
        free, size = np.linalg.qr(weights @ way)
        through = free.T @ design
        checked = np.eye(free.shape[1]) - through @ covariance @ through.T
        if np.linalg.eigvalsh(checked)[0] > _UNCHECKED:
            one = free.T @ missed
            drop = float(one @ np.linalg.solve(checked, one))
            known = float(np.linalg.slogdet(size.T @ checked @ size)[1])
            made.append(Freed(drop, known))
        else:
            made.append(Freed(0.0, 0.0))
    return tuple(made)


def error_covariance(found: Alignment, places: Floats) -> Floats:
    """Covariance of where the light falls on the wall, shape (n, 2, 2). [m²]

    Parameters
    ----------
    found : Alignment
        The fit; its marks' stated deviations are believed.
    places : ndarray, shape (n, 2)
        Chainage and level of what is drawn. [m]

    Notes
    -----
    True only as long as the kind of map is right: a fold or a bent lens that is left out is not
    in it. Look at `Alignment.chance` and at the other maps too.
    """
    by_wall, by_parameter = found.on_wall.slopes(places)
    spread = np.linalg.solve(by_wall, by_parameter)
    covariance: Floats = spread @ found.covariance @ spread.transpose(0, 2, 1)
    return covariance


def error_radius(covariance: Floats) -> Floats:
    """Longer half axis of each 95 % ellipse, shape (n,). [m]

    Parameters
    ----------
    covariance : ndarray, shape (n, 2, 2)
        As from `error_covariance`. [m²]
    """
    greatest = np.linalg.eigvalsh(covariance)[:, 1]
    radius: Floats = np.sqrt(INSIDE_95 * np.maximum(greatest, 0.0))
    return radius
