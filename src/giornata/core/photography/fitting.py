"""Fitting: the wall in a photo by least squares on its known points, tape and pick both weighed."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy import stats
from scipy.optimize import least_squares

from giornata.core.foundation import Assumption, Floats, readonly
from giornata.core.geometry import plane_to_plane
from giornata.core.photography.known_points import KnownPoint, photo_of, wall_of
from giornata.core.photography.wall_in_photo import WallInPhoto

__all__ = ["BENT_FROM", "USUAL_BEND", "Fit", "better_fit", "fitted"]

BENT_FROM = 6
"""Fewest points with which a bend of the lens is looked for. [-]"""

USUAL_BEND = Assumption(
    name="bend of a lens at the photo's corners, standard deviation from one lens to another",
    value=0.03,
    unit="-",
    source="common practice, no published source: phones correct theirs to 2 %, wide lenses of "
    "cameras bend by up to 8 %",
    usual=(0.01, 0.08),
)
_ROUNDS = 6  # of weighing anew; the weights settle in two or three
_SETTLED = 1e-4
_PARAMETERS = {False: 8, True: 9}
_BETTER = 2.0  # Akaike 1974: one more parameter must bring more than 2 in chi-square


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Fit:
    """A fitted photo.

    Parameters
    ----------
    view : WallInPhoto
        The wall in the photo; its covariance follows from the stated precisions alone.
    residuals : ndarray, shape (n, 2)
        Picked less expected place of each point. [px]
    expected : ndarray, shape (n, 2, 2)
        Covariance that pick and tape give each residual before any fitting. [px²]
    misfit : float
        Sum of squared residuals in units of what is expected (chi-square). [-]
    redundancy : int
        Measures less parameters (degrees of freedom). [-]
    bent : bool
        Whether the lens's bend was estimated.
    gain : float
        What the bend would take off the misfit, or took off it; not a number where it was not
        looked for. [-]
    """

    view: WallInPhoto
    residuals: Floats
    expected: Floats
    misfit: float
    redundancy: int
    bent: bool
    gain: float = math.nan

    @property
    def chance(self) -> float:
        """Chance that good points misfit at least so much; 1 where nothing checks them. [-]"""
        return float(stats.chi2.sf(self.misfit, self.redundancy)) if self.redundancy > 0 else 1.0


def fitted(points: Sequence[KnownPoint], width: int, height: int, *, bent: bool) -> Fit | None:
    """The photo fitted to its known points; None where they lead nowhere.

    Parameters
    ----------
    points : sequence of KnownPoint
        At least four, in general position.
    width, height : int
        Of the upright photo. [px]
    bent : bool
        Whether the lens's bend is estimated too; needs five points.

    Raises
    ------
    ValueError
        If there are too few points.

    Notes
    -----
    The start is the direct linear transformation, the rest Gauss-Newton steps with damping
    (MINPACK through scipy). A residual is weighed by the pick's variance and, through the slope of
    the mapping at its place, the tape's: the errors-in-variables problem with the wall places
    eliminated to first order (Hartley and Zisserman 2004, section 4.2.6). The weights follow the
    solution until they settle. The bend is held to what lenses usually have by one more measure,
    0 within `USUAL_BEND`: without it a lens that no one owns would explain away a slip of the tape.
    """
    if len(points) < (5 if bent else 4):
        raise ValueError("four points carry a plane, five a plane and the bend of the lens")
    wall, photo = wall_of(points), photo_of(points)
    half = math.hypot(width, height) / 2
    middle = readonly([width / 2, height / 2])
    centre = wall.mean(axis=0)
    spread = float(np.sqrt(((wall - centre) ** 2).sum(axis=1).mean()))
    if not spread > 0:
        return None
    start = plane_to_plane((wall - centre) / spread, (photo - middle) / half)
    if not np.isfinite(start).all() or abs(start[2, 2] - 1) > 1e-6:
        return None
    frame = (centre, spread, middle, half)
    parameters = np.append(start.ravel()[:8], 0.0)
    free = np.arange(_PARAMETERS[bent])
    tape = np.array([(p.chainage_sigma**2, p.level_sigma**2) for p in points])
    pick = np.array([p.pixel_sigma**2 for p in points])
    expected = np.zeros((len(points), 2, 2))
    for _ in range(_ROUNDS):
        before = expected
        by_wall, _ = _view(parameters, frame).slopes(wall)
        expected = by_wall * tape[:, None, :] @ by_wall.transpose(0, 2, 1)
        expected = expected + pick[:, None, None] * np.eye(2)
        if not np.isfinite(expected).all():
            return None
        parameters = _solved(parameters, free, frame, wall, photo, _whitening(expected))
        if np.allclose(before, expected, rtol=_SETTLED, atol=0.0):
            break
    view = _view(parameters, frame)
    residuals = photo - view.photo_from_wall(wall)
    whitening = _whitening(expected)
    _, by_all = view.slopes(wall)
    design = (whitening @ by_all[:, :, free]).reshape(-1, len(free))
    white = (whitening @ residuals[:, :, None]).ravel()
    if bent:
        design = np.vstack([design, _held(len(free))])
        white = np.append(white, view.bend / USUAL_BEND.value)
    if not np.isfinite(design).all() or np.linalg.cond(design) > 1e12:
        return None
    covariance = np.zeros((9, 9))
    covariance[np.ix_(free, free)] = np.linalg.inv(design.T @ design)
    return Fit(
        view=_view(parameters, frame, covariance),
        residuals=readonly(residuals),
        expected=readonly(expected),
        misfit=float(white @ white),
        redundancy=len(white) - len(free),
        bent=bent,
    )


def better_fit(points: Sequence[KnownPoint], width: int, height: int) -> Fit | None:
    """The photo fitted with a straight lens, or a bent one where that explains it better.

    Parameters
    ----------
    points : sequence of KnownPoint
        At least four, in general position.
    width, height : int
        Of the upright photo. [px]

    Notes
    -----
    The bend is kept where it takes more than 2 off the misfit, by Akaike's criterion with known
    precisions. Only from six points on: five leave one measure over, too few to tell a lens's bend
    from a slip. The choice itself may be wrong: the covariance is that of both fits about the
    chosen one, each weighed by how likely it is (Akaike weights), so that a bend too small to be
    chosen is still in the errors stated.

    References
    ----------
    Akaike, H. 1974. A new look at the statistical model identification. IEEE Transactions on
    Automatic Control 19(6): 716-723. doi:10.1109/TAC.1974.1100705.
    Burnham, K. P. and Anderson, D. R. 2002. Model Selection and Multimodel Inference, 2nd edition,
    section 4.3. doi:10.1007/b97636.
    """
    straight = fitted(points, width, height, bent=False)
    if len(points) < BENT_FROM:
        return straight
    bent = fitted(points, width, height, bent=True)
    if straight is None or bent is None:
        return straight or bent
    gain = straight.misfit - bent.misfit
    chosen, other = (bent, straight) if gain > _BETTER else (straight, bent)
    likelier = 1.0 / (1.0 + math.exp(-abs(gain - _BETTER) / 2))
    apart = _parameters(other.view) - _parameters(chosen.view)
    covariance = likelier * chosen.view.covariance + (1.0 - likelier) * (
        other.view.covariance + np.outer(apart, apart)
    )
    view = replace(chosen.view, covariance=readonly(covariance))
    return replace(chosen, view=view, gain=gain)


def _parameters(view: WallInPhoto) -> Floats:
    return np.append(view.plane, view.bend)


_Frame = tuple[Floats, float, Floats, float]


def _view(parameters: Floats, frame: _Frame, covariance: Floats | None = None) -> WallInPhoto:
    centre, spread, middle, half = frame
    return WallInPhoto(
        plane=parameters[:8],
        bend=float(parameters[8]),
        covariance=np.zeros((9, 9)) if covariance is None else covariance,
        wall_centre=centre,
        wall_spread=spread,
        photo_centre=middle,
        half_diagonal=half,
    )


def _held(count: int) -> Floats:
    """Slopes of the bend's own row: that lenses bend no more than they usually do."""
    return np.append(np.zeros(count - 1), 1 / USUAL_BEND.value)


def _whitening(expected: Floats) -> Floats:
    """What turns each residual into two independent ones of size 1; (n, 2, 2). [1/px]"""
    whitening: Floats = np.linalg.inv(np.linalg.cholesky(expected))
    return whitening


def _solved(
    start: Floats,
    free: np.typing.NDArray[np.intp],
    frame: _Frame,
    wall: Floats,
    photo: Floats,
    whitening: Floats,
) -> Floats:
    """Parameters that make the weighed residuals least."""
    whole = start.copy()

    def placed(values: Floats) -> Floats:
        whole[free] = values
        return whole

    def misses(values: Floats) -> Floats:
        view = _view(np.nan_to_num(placed(values), posinf=1e6, neginf=-1e6), frame)
        missed: Floats = (whitening @ (view.photo_from_wall(wall) - photo)[:, :, None]).ravel()
        if len(free) == 9:
            missed = np.append(missed, values[8] / USUAL_BEND.value)
        return np.nan_to_num(missed, nan=1e9, posinf=1e9, neginf=-1e9)

    def slopes(values: Floats) -> Floats:
        _, by_all = _view(placed(values), frame).slopes(wall)
        made: Floats = (whitening @ by_all[:, :, free]).reshape(-1, len(free))
        return np.nan_to_num(np.vstack([made, _held(9)]) if len(free) == 9 else made)

    if len(free) == 8 and len(wall) == 4:  # exact already
        return start
    found = least_squares(misses, start[free], jac=slopes, method="lm", xtol=1e-10, ftol=1e-10)
    return placed(np.asarray(found.x, dtype=np.float64)).copy()
