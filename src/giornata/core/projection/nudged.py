"""A projector that was nudged: how it turned or moved, from where its picture's crosses fall."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from scipy.optimize import least_squares

from giornata.core.foundation import Floats, readonly
from giornata.core.projection.poses import FACING, turned

__all__ = ["CrossSeen", "Nudge", "Similarity", "miss_rms", "nudged", "odd_cross", "similarity"]

_NEXT_BEST = 4.0  # the odd one out leaves a misfit this much smaller than any other does


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossSeen:
    """A cross of the picture: where it was aimed, and where it fell.

    Parameters
    ----------
    name : str
    aimed, seen : tuple of float
        Chainage and level. [m]
    """

    name: str
    aimed: tuple[float, float]
    seen: tuple[float, float]

    @property
    def miss(self) -> tuple[float, float]:
        """Seen less aimed. [m]"""
        return self.seen[0] - self.aimed[0], self.seen[1] - self.aimed[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Similarity:
    """The best move, turn and change of size that takes aimed crosses to where they fell.

    Parameters
    ----------
    scale : float
        Size after over size before. [-]
    turn : float
        Anticlockwise as you face the wall. [rad]
    along, up : float
        Of the crosses' middle. [m]
    left_over : float
        Root mean square of what it does not explain. [m]
    """

    scale: float
    turn: float
    along: float
    up: float
    left_over: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Nudge:
    """How the projector turned since it was aimed.

    Parameters
    ----------
    pan : float
        To the right as seen from the projector. [rad]
    tilt : float
        Upwards. [rad]
    roll : float
        Clockwise as seen from the projector. [rad]
    left_over : float
        Root mean square of what turning does not explain. [m]
    """

    pan: float
    tilt: float
    roll: float
    left_over: float


def miss_rms(crosses: Sequence[CrossSeen]) -> float:
    """Root mean square of the distances by which crosses miss. [m]

    Parameters
    ----------
    crosses : sequence of CrossSeen
        At least one.

    Raises
    ------
    ValueError
        If there is none.
    """
    if not crosses:
        raise ValueError("there are no crosses")
    return math.sqrt(sum(x * x + y * y for x, y in (one.miss for one in crosses)) / len(crosses))


def similarity(crosses: Sequence[CrossSeen]) -> Similarity:
    """Move, turn and change of size between aimed and seen crosses, by least squares.

    Parameters
    ----------
    crosses : sequence of CrossSeen
        At least two, at different places.

    Raises
    ------
    ValueError
        If they are fewer, or all at one place.

    References
    ----------
    Umeyama 1991, Least-squares estimation of transformation parameters between two point
    patterns, IEEE PAMI 13(4), doi:10.1109/34.88573; in the plane as one complex number.
    """
    aimed = np.array([complex(*one.aimed) for one in crosses])
    seen = np.array([complex(*one.seen) for one in crosses])
    if len(crosses) < 2 or not np.ptp(np.abs(aimed - aimed[0])) > 0:
        raise ValueError("a turn takes two crosses at different places")
    a, s = aimed - aimed.mean(), seen - seen.mean()
    factor = complex((np.conj(a) @ s) / (np.conj(a) @ a))
    left = s - factor * a
    moved = complex(seen.mean() - aimed.mean())
    return Similarity(
        scale=abs(factor),
        turn=math.atan2(factor.imag, factor.real),
        along=moved.real,
        up=moved.imag,
        left_over=math.sqrt(float((np.abs(left) ** 2).mean())),
    )


def nudged(crosses: Sequence[CrossSeen], lens: tuple[float, float, float]) -> Nudge:
    """Pan, tilt and roll that take aimed crosses to where they fell on a flat wall.

    Parameters
    ----------
    crosses : sequence of CrossSeen
        At least two.
    lens : tuple of float
        Where the lens stands: chainage, level, distance from the wall; its axis was square to
        the wall. [m]

    Raises
    ------
    ValueError
        If there are fewer crosses, or the lens stands in the wall.

    Notes
    -----
    Roll about the lens axis first, then tilt, then pan about the vertical. A tripod turns and does
    not walk: with three numbers the fit can still say which cross does not belong, where a free
    mapping of the plane with eight fits around it.
    """
    if len(crosses) < 2:
        raise ValueError("three turns take two crosses")
    if not lens[2] > 0:
        raise ValueError("the lens stands before the wall")
    rays = _rays(crosses, lens)
    seen = np.array([one.seen for one in crosses])

    def missed(angles: Floats) -> Floats:
        gone: Floats = (_fallen(rays, lens, angles) - seen).ravel()
        return gone

    found = least_squares(missed, np.zeros(3), method="lm", xtol=1e-14, ftol=1e-14)
    pan, tilt, roll = found.x.tolist()
    left = math.sqrt(float((np.asarray(found.fun) ** 2).sum()) / len(crosses))
    return Nudge(pan=pan, tilt=tilt, roll=roll, left_over=left)


def _rays(crosses: Sequence[CrossSeen], lens: tuple[float, float, float]) -> Floats:
    """Directions to the aimed places in the projector's own axes, shape (n, 3). [m]"""
    on_wall = np.array([(*one.aimed, 0.0) for one in crosses])
    return readonly((on_wall - np.array(lens)) @ FACING.T)


def _fallen(rays: Floats, lens: tuple[float, float, float], angles: Floats) -> Floats:
    """Where those rays fall once the projector is turned, shape (n, 2). [m]"""
    pan, tilt, roll = angles.tolist()
    gone = rays @ turned(pan, tilt, roll).T @ FACING
    reach = -lens[2] / gone[:, 2]
    fallen: Floats = np.array(lens[:2]) + gone[:, :2] * reach[:, None]
    return fallen


def odd_cross(
    crosses: Sequence[CrossSeen], lens: tuple[float, float, float], precision: float
) -> str | None:
    """The one cross without which turning explains all others; None where there is none.

    Parameters
    ----------
    crosses : sequence of CrossSeen
        At least four.
    lens : tuple of float
        As for `nudged`. [m]
    precision : float
        How well a cross is read; above 0. [m]

    Raises
    ------
    ValueError
        If there are too few crosses, or the precision is not above 0.
    """
    if len(crosses) < 4 or not precision > 0:
        raise ValueError("one cross is told from three others, read with some precision")
    if nudged(crosses, lens).left_over <= 2 * precision:
        return None
    left = []
    for one in crosses:
        others = [other for other in crosses if other is not one]
        left.append((nudged(others, lens).left_over, one.name))
    left.sort()
    (best, name), (second, _) = next(pairwise(left))
    clear = second > max(_NEXT_BEST * best, 2 * precision)
    return name if best <= 2 * precision and clear else None
