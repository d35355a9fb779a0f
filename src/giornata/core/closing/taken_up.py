"""What is left over, taken up by empty ground between the two fronts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from giornata.core.artwork import Paint
from giornata.core.closing.closure import Closure, Front
from giornata.core.foundation import Finding
from giornata.core.geometry import Coverage
from giornata.core.setting_out import Anchor, ArtworkFit, FitTerms, fitted

__all__ = ["TakenUp", "fronts_to_join", "taken_up"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TakenUp:
    """The design of the set-ups still to come, brought to where both fronts are.

    Parameters
    ----------
    left, right : Front
        The fronts, or an end of the wall to which nothing is drawn yet.
    known_to : float
        95 times of 100 the difference of both is no more wrong. [m]
    coverage : geometry.Coverage
        The design as it is to be drawn from here on; as it was where `fit` is None.
    fit : ArtworkFit or None
        Which shapes move and which gaps give; None where the ground between has no room.
    findings : tuple of Finding
        Of the fit.
    """

    left: Front
    right: Front
    known_to: float
    coverage: Coverage
    fit: ArtworkFit | None
    findings: tuple[Finding, ...]

    @property
    def apart(self) -> float:
        """By how much more the right front is off to the right than the left one. [m]"""
        return self.right.along - self.left.along

    def knots(self, start: float, end: float) -> tuple[tuple[float, float], ...]:
        """Chainages from start to end, each with how far the design is moved there. [m]

        Parameters
        ----------
        start, end : float
            Chainages; it ends after it starts. [m]
        """
        known = {self.left.chainage: self.left.along, self.right.chainage: self.right.along}
        for move in () if self.fit is None else self.fit.moves:
            if self.left.chainage <= move.start and move.end <= self.right.chainage:
                known |= {move.start: move.shift, move.end: move.shift}
        at = sorted(known)
        shift = [known[x] for x in at]
        inside = [x for x in at if start < x < end]
        wanted = [start, *inside, end]
        return tuple(zip(wanted, np.interp(wanted, at, shift).tolist(), strict=True))

    def shifts(self, start: float, end: float) -> tuple[tuple[float, float, float], ...]:
        """Chainages from start to end, each with how far the design is moved right and up. [m]

        Parameters
        ----------
        start, end : float
            Chainages; it ends after it starts. [m]
        """
        return tuple((at, along, 0.0) for at, along in self.knots(start, end))


def fronts_to_join(
    closure: Closure, length: float, limit: float
) -> tuple[Front, Front, float] | None:
    """Both ends of what is still to be drawn and how well they are known; None to leave it. [m]

    Parameters
    ----------
    closure : Closure
        The state.
    length : float
        Of the wall; an end to which nothing is drawn is off by nothing. [m]
    limit : float
        How far lines may miss; what is less, or less than chance, is left alone; above 0. [m]
    """
    left, right, known = closure.left, closure.right, closure.apart_known_to
    if not closure.remaining or (left is None and right is None):
        return None
    if left is None or right is None:
        one = left or right
        assert one is not None
        at_end = Front(
            set_up=0, chainage=0.0 if left is None else length, along=0.0, up=0.0, known_to=0.0
        )
        left, right, known = left or at_end, right or at_end, one.known_to
    if left.chainage >= right.chainage:
        return None
    if abs(right.along - left.along) <= max(limit, known or 0.0):
        return None
    return left, right, known or 0.0


def taken_up(
    coverage: Coverage,
    left: Front,
    right: Front,
    known_to: float,
    terms: FitTerms,
    paints: Sequence[Paint],
    *,
    ground: int,
) -> TakenUp:
    """The design between two fronts, each shape whole, the difference taken by empty ground alone.

    Parameters
    ----------
    coverage : geometry.Coverage
        The artwork on the wall, by paint number. [m]
    left, right : Front
        Where the drawing stands from both ends, and how far it is off there.
    known_to : float
        95 % of how well their difference is known; 0 or more. [m]
    terms : FitTerms
        What may give.
    ground : int
        Number of the ground paint. [-]

    Notes
    -----
    Only along the wall, by the fit of the setting out: nothing moves up or down.
    """
    anchors = [
        Anchor(name="left front", at=left.chainage, to=left.chainage + left.along),
        Anchor(name="right front", at=right.chainage, to=right.chainage + right.along),
    ]
    made, fit, findings = fitted(coverage, terms, anchors, paints, ground=ground)
    return TakenUp(
        left=left, right=right, known_to=known_to, coverage=made, fit=fit, findings=findings
    )
