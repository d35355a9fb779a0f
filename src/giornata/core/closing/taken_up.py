"""What is left over, taken up by empty ground between the two fronts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from giornata.core.artwork import Paint
from giornata.core.closing.closure import Front
from giornata.core.foundation import Finding
from giornata.core.geometry import Coverage
from giornata.core.setting_out import Anchor, ArtworkFit, FitTerms, fitted

__all__ = ["TakenUp", "taken_up"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TakenUp:
    """The design of the set-ups still to come, brought to where both fronts are.

    Parameters
    ----------
    left, right : Front
        The fronts.
    coverage : geometry.Coverage
        The design as it is to be drawn from here on; as it was where `fit` is None.
    fit : ArtworkFit or None
        Which shapes move and which gaps give; None where the ground between has no room.
    findings : tuple of Finding
        Of the fit.
    """

    left: Front
    right: Front
    coverage: Coverage
    fit: ArtworkFit | None
    findings: tuple[Finding, ...]


def taken_up(
    coverage: Coverage,
    left: Front,
    right: Front,
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
    return TakenUp(left=left, right=right, coverage=made, fit=fit, findings=findings)
