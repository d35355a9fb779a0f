"""Alignment: a picture fitted to the marks it was aimed at, and how far off it may be anywhere."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.stats import chi2

from giornata.core.foundation import Floats, readonly
from giornata.core.geometry import direct_linear
from giornata.core.projection.wall_maps import ProjectiveMap, WallMap

__all__ = [
    "INSIDE_95", "Alignment", "MarkSeen", "aligned", "drops_without", "error_covariance",
    "error_radius", "projective_start",
]  # fmt: skip

INSIDE_95 = -2 * math.log(0.05)
"""95 % of a two-dimensional normal lies within this squared distance (chi-square, 2). [-]"""

_ROUNDS = 60
_REWEIGHED = 2  # rounds in which the weights follow the map; then they stand
_SETTLED = 1e-8
_DAMPING = 1e-3
_LAST_STEPS, _LAST_DAMPING, _ROUNDING = 2, 1e-9, 1e-10
_UNCHECKED = 1e-3  # share of a mark that others check


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkSeen:
    """A control mark and where in the picture it is seen.

    Parameters
    ----------
    name : str
    chainage, level : float
        As measured on the wall. [m]
    x_px, y_px : float
        In the projector's picture. [px]
    mark_sigma : float
        Standard deviation of its place on the wall, each way; 0 or more. [m]
    px_sigma : float
        Standard deviation of its place in the picture, each way; above 0. [px]
    """

    name: str
    chainage: float
    level: float
    x_px: float
    y_px: float
    mark_sigma: float
    px_sigma: float

    def __post_init__(self) -> None:
        if not (self.mark_sigma >= 0 and self.px_sigma > 0):
            raise ValueError("a mark's deviation is 0 or more, a picture's above 0")
        numbers = (self.chainage, self.level, self.x_px, self.y_px, self.mark_sigma, self.px_sigma)
        if not all(map(math.isfinite, numbers)):
            raise ValueError("a mark's numbers are finite")


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
    """

    on_wall: WallMap
    marks: tuple[MarkSeen, ...]
    residuals: Floats
    covariance: Floats
    misfit: float
    freedom: int
    settled: bool

    @property
    def chance(self) -> float:
        """Chance that right marks misfit at least so much; 1 where nothing checks them. [-]"""
        return float(chi2.sf(self.misfit, self.freedom)) if self.freedom > 0 else 1.0


def _places(marks: Sequence[MarkSeen]) -> Floats:
    return readonly([(m.chainage, m.level) for m in marks], columns=2)


def _seen(marks: Sequence[MarkSeen]) -> Floats:
    return readonly([(m.x_px, m.y_px) for m in marks], columns=2)


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
    places, seen = _places(marks), _seen(marks)
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


def aligned(start: WallMap, marks: Sequence[MarkSeen]) -> Alignment:
    """The map that fits the marks best, both their places weighed.

    Parameters
    ----------
    start : WallMap
        Near the answer.
    marks : sequence of MarkSeen
        At least as many numbers as the map has parameters, beliefs counted.

    Raises
    ------
    ValueError
        If there are too few marks for the map.

    Notes
    -----
    Levenberg and Marquardt's damped steps, each one kept only where it lowers the misfit. A
    residual is weighed by the picture's noise and, through the slope of the map, the mark's own:
    places on the wall are eliminated to first order (Hartley and Zisserman 2004, section 4.2.6).
    Weights follow the map for the first rounds and then stand, so that misfits can be compared.
    """
    places, seen = _places(marks), _seen(marks)
    parameters = start.slopes(places[:1])[1].shape[2]
    equations = 2 * len(marks) + len(start.prior)
    if equations < parameters:
        raise ValueError(f"{len(marks)} marks are too few for {parameters} parameters")
    made, damping, settled = start, _DAMPING, False
    weights = _weights(made, marks, places)
    for number in range(_ROUNDS):
        if 0 < number < _REWEIGHED:
            weights = _weights(made, marks, places)
        design, missed = _equations(made, places, seen, weights)
        before = float(missed @ missed)
        better, damping = _stepped(made, design, missed, before, damping, places, seen, weights)
        if better is None:
            settled = number >= _REWEIGHED
            if settled:
                break
            continue
        made, after = better
        if number >= _REWEIGHED and before - after <= _SETTLED * (1 + before):
            settled = True
            break
    made = _to_the_bottom(made, places, seen, weights)
    design, missed = _equations(made, places, seen, weights)
    return Alignment(
        on_wall=made,
        marks=tuple(marks),
        residuals=readonly(seen - made.px_from_wall(places)),
        covariance=readonly(np.linalg.pinv(design.T @ design, hermitian=True)),
        misfit=float(missed @ missed),
        freedom=equations - parameters,
        settled=settled,
    )


def _to_the_bottom(made: WallMap, places: Floats, seen: Floats, weights: Floats) -> WallMap:
    """The map after its last steps, too small for the misfit's rounding to judge them.

    Without them the last step would be taken or not by chance, and two programs that reckon alike
    would come out apart by as much.
    """
    for _ in range(_LAST_STEPS):
        design, missed = _equations(made, places, seen, weights)
        normal, before = design.T @ design, float(missed @ missed)
        scale = np.diag(normal) + 1e-12 * float(np.trace(normal))
        step = np.linalg.solve(normal + _LAST_DAMPING * np.diag(scale), design.T @ missed)
        tried = made.moved(np.asarray(step, np.float64))
        with np.errstate(all="ignore"):
            left = (weights @ (seen - tried.px_from_wall(places))[:, :, None]).ravel()
            after = float(left @ left) + float(tried.prior @ tried.prior)
        if not after <= before + _ROUNDING * (1 + before):
            break
        made = tried
    return made


def _weights(made: WallMap, marks: Sequence[MarkSeen], places: Floats) -> Floats:
    """What turns each residual into two independent ones of size 1; (n, 2, 2). [1/px]"""
    by_wall, _ = made.slopes(places)
    on_wall = np.array([m.mark_sigma**2 for m in marks])[:, None, None]
    in_picture = np.array([m.px_sigma**2 for m in marks])[:, None, None]
    spread = in_picture * np.eye(2) + on_wall * by_wall @ by_wall.transpose(0, 2, 1)
    weights: Floats = np.linalg.inv(np.linalg.cholesky(spread))
    return weights


def _equations(
    made: WallMap, places: Floats, seen: Floats, weights: Floats
) -> tuple[Floats, Floats]:
    _, by_parameter = made.slopes(places)
    design = (weights @ by_parameter).reshape(2 * len(places), -1)
    missed = (weights @ (seen - made.px_from_wall(places))[:, :, None]).ravel()
    return (
        np.vstack([design, made.prior_slopes]),
        np.concatenate([missed, -made.prior]),
    )


def _stepped(
    made: WallMap,
    design: Floats,
    missed: Floats,
    before: float,
    damping: float,
    places: Floats,
    seen: Floats,
    weights: Floats,
) -> tuple[tuple[WallMap, float] | None, float]:
    """The map after a step that lowers the misfit, its misfit, and the damping; None for none."""
    normal, pull = design.T @ design, design.T @ missed
    scale = np.diag(normal) + 1e-12 * float(np.trace(normal))
    for _ in range(8):
        step = np.asarray(np.linalg.solve(normal + damping * np.diag(scale), pull), np.float64)
        tried = made.moved(step)
        with np.errstate(all="ignore"):
            found = tried.px_from_wall(places)
        if np.isfinite(found).all():
            left = (weights @ (seen - found)[:, :, None]).ravel()
            after = float(left @ left) + float(tried.prior @ tried.prior)
            if after < before:
                return (tried, after), max(damping / 10, 1e-12)
        damping *= 10
    return None, damping


def drops_without(found: Alignment) -> Floats:
    """About what leaving out each mark takes off the misfit, shape (n,). [-]

    Parameters
    ----------
    found : Alignment

    Notes
    -----
    From one fit, as if the map were linear: the residual of a mark, weighed by what the other
    marks check of it (Baarda 1968). 0 where they check nothing.
    """
    marks = found.marks
    places = _places(marks)
    weights = _weights(found.on_wall, marks, places)
    _, by_parameter = found.on_wall.slopes(places)
    design = weights @ by_parameter
    checked = np.eye(2) - design @ found.covariance @ design.transpose(0, 2, 1)
    missed = (weights @ found.residuals[:, :, None])[:, :, 0]
    drops = np.zeros(len(marks))
    for number in np.flatnonzero(np.linalg.eigvalsh(checked)[:, 0] > _UNCHECKED):
        one = missed[number]
        drops[number] = one @ np.linalg.solve(checked[number], one)
    return drops


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
