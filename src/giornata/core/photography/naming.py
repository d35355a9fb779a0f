"""Naming: which known point is wrong, where that can be told, and how far the points agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from scipy import stats

from giornata.core.foundation import readonly
from giornata.core.photography.fitting import Fit, better_fit
from giornata.core.photography.known_points import KnownPoint, photo_of, thinness, wall_of

__all__ = ["NAMED_FROM", "Agreement", "Verdict", "agreement"]

NAMED_FROM = 6
"""Fewest points with which one wrong point can be named. [-]"""

_RARE = 0.01  # chance at which good points are taken to disagree
_APART = (
    9.2  # in chi-square: the named point is a hundred times likelier than the next, exp(9.2 / 2)
)
_CALM = 0.2  # a chance above which nobody is looked for


class Verdict(StrEnum):
    """How far the known points of a photo bear one another out."""

    UNCHECKED = "nothing checks it"
    AGREES = "points agree"
    ONE_OUT = "one point left out"
    DISAGREES = "points disagree"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Agreement:
    """A fit with what its points say of one another.

    Parameters
    ----------
    verdict : Verdict
    fit : Fit
        Without the point that was left out; where points disagree its covariance is widened to
        what they show.
    used : tuple of KnownPoint
        Those the fit was made from.
    left_out : KnownPoint or None
        The one that is wrong.
    suspects : tuple of str
        Names of points any one of which may be wrong; empty where that cannot be told at all.
    chance : float
        Chance that good points misfit as all of these do. [-]
    """

    verdict: Verdict
    fit: Fit
    used: tuple[KnownPoint, ...]
    left_out: KnownPoint | None
    suspects: tuple[str, ...]
    chance: float


def agreement(
    points: Sequence[KnownPoint], width: int, height: int, *, least_thinness: float
) -> Agreement | None:
    """Fit the points, look for one that is wrong, and leave it out where it can be named.

    Parameters
    ----------
    points : sequence of KnownPoint
        At least four, in general position.
    width, height : int
        Of the upright photo. [px]
    least_thinness : float
        How far, in the photo, what is left must be from lying in a line. [px]

    Notes
    -----
    Four points fit always: nothing checks them. Five show that something is wrong but never which:
    leaving out any one of them leaves four, which fit as well as any other four. From six on each
    point is left out in turn; the one without which the misfit is least is named if the fall is
    rarer than 1 in 100 for the worst of so many good points, what is left agrees, and no other
    point's leaving would do nearly as well (9.2 in chi-square, a likelihood of 100 to 1).

    References
    ----------
    Baarda, W. 1968. A testing procedure for use in geodetic networks. Netherlands Geodetic
    Commission, Publications on Geodesy 2(5).
    """
    points = tuple(points)
    whole = better_fit(points, width, height)
    if whole is None:
        return None
    chance = whole.chance

    def found(
        verdict: Verdict, fit: Fit, *, out: int | None = None, suspects: tuple[str, ...] = ()
    ) -> Agreement:
        return Agreement(
            verdict=verdict,
            fit=fit,
            used=tuple(p for at, p in enumerate(points) if at != out),
            left_out=None if out is None else points[out],
            suspects=suspects,
            chance=chance,
        )

    if whole.redundancy == 0:
        return found(Verdict.UNCHECKED, whole)
    suspects: tuple[str, ...] = ()
    if len(points) >= NAMED_FROM and chance < _CALM:
        without = _without_each(points, width, height, least_thinness)
        best = min(without, key=lambda at: without[at].misfit, default=None)
        if best is not None:
            near = [at for at, fit in without.items() if fit.misfit < without[best].misfit + _APART]
            fall = whole.misfit - without[best].misfit
            least = float(stats.chi2.isf(_RARE / len(points), 2))
            sure = fall > least and without[best].chance > _RARE
            if sure and len(near) == 1:
                return found(Verdict.ONE_OUT, without[best], out=best)
            suspects = tuple(points[at].name for at in near) if sure else ()
            if sure:
                return found(Verdict.DISAGREES, _widened(whole), suspects=suspects)
    if chance < _RARE:
        return found(Verdict.DISAGREES, _widened(whole), suspects=suspects)
    return found(Verdict.AGREES, whole)


def _without_each(
    points: tuple[KnownPoint, ...], width: int, height: int, least_thinness: float
) -> dict[int, Fit]:
    """Fits without one point each, where what is left still carries a plane."""
    fits = {}
    for at in range(len(points)):
        rest = (*points[:at], *points[at + 1 :])
        if thinness(photo_of(rest)) < least_thinness or not thinness(wall_of(rest)) > 0:
            continue
        fit = better_fit(rest, width, height)
        if fit is not None:
            fits[at] = fit
    return fits


def _widened(fit: Fit) -> Fit:
    """The fit with its covariance widened by as much as the points disagree."""
    factor = max(fit.misfit / fit.redundancy, 1.0)
    view = replace(fit.view, covariance=readonly(fit.view.covariance * factor))
    return replace(fit, view=view)
