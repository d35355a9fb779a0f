"""Lens shift that was set by eye: what marks tell of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from giornata.core.foundation import Finding, Severity, number_of
from giornata.core.projection.alignment import Alignment
from giornata.core.projection.poses import Extra, PoseMap
from giornata.core.projection.projector import Orientation
from giornata.core.projection.setups import SetUp
from giornata.core.projection.sightings import LinePoint, MarkSeen
from giornata.core.projection.wall_kinds import SHIFT_DOUBT

__all__ = ["SHIFT_TOLD_FROM", "ShiftFound", "shift_findings", "shift_found"]

SHIFT_TOLD_FROM = 6
"""Fewest marks that tell a lens shift: four give as many numbers as there are unknowns. [-]"""
_TOLD = 0.5  # of what is believed beforehand: marks that leave more of its doubt do not tell it


@dataclass(frozen=True, slots=True, kw_only=True)
class ShiftFound:
    """The lens shift in use, beside the one that the plan asks for.

    Parameters
    ----------
    up, side : float
        Of the picture's height upwards and of its width to the right, as it stands. [-]
    up_sigma, side_sigma : float
        Standard deviations, what was believed beforehand counted in. [-]
    told : bool
        Whether the marks tell it: enough of them, and less than half of the doubt that was there
        before them is left, each way.
    """

    up: float
    side: float
    up_sigma: float
    side_sigma: float
    told: bool


def shift_found(fit: Alignment, set_up: SetUp) -> ShiftFound | None:
    """What a fit says of the lens shift; None where it took it from the plan.

    Parameters
    ----------
    fit : Alignment
    set_up : SetUp

    Notes
    -----
    Square before a flat wall a shift is the same as a move of the lens along the wall with no turn,
    and no marks part them: only a turned or tilted projector, or a bent wall, shows it.
    """
    pose = fit.on_wall
    if not isinstance(pose, PoseMap) or Extra.ACROSS not in pose.extras:
        return None
    extras = list(pose.extras)
    sigma = [
        float(np.sqrt(fit.covariance[at, at]))
        for at in (6 + extras.index(Extra.ACROSS), 6 + extras.index(Extra.DOWN))
    ]
    x, y = pose.centre.tolist()
    wide, high = set_up.columns, set_up.rows
    if set_up.orientation is Orientation.ON_SIDE:
        wide, high = high, wide
        x, y = wide - y, x
        sigma.reverse()
    doubt = SHIFT_DOUBT.value * min(wide, high)
    enough = 2 * len(fit.marks) + len(fit.lines) >= 2 * SHIFT_TOLD_FROM
    return ShiftFound(
        up=y / high - 0.5,
        side=0.5 - x / wide,
        up_sigma=sigma[1] / high,
        side_sigma=sigma[0] / wide,
        told=enough and max(sigma) < _TOLD * doubt,
    )


def shift_findings(
    set_up: SetUp,
    marks: Sequence[MarkSeen],
    lines: Sequence[LinePoint],
    found: ShiftFound | None,
) -> tuple[Finding, ...]:
    """That marks do not tell a lens shift that was set by eye; none where they do.

    Parameters
    ----------
    set_up : SetUp
    marks : sequence of MarkSeen
        That were seen.
    lines : sequence of LinePoint
    found : ShiftFound or None
    """
    if found is None or found.told:
        return ()
    few = 2 * len(marks) + len(lines) < 2 * SHIFT_TOLD_FROM
    why = (
        f"{number_of(len(marks), 'mark is', 'marks are')} too few to tell it; from "
        f"{SHIFT_TOLD_FROM} on they may"
        if few
        else "its marks leave it open: square before a flat wall a shift looks like a move"
    )
    return (
        Finding(
            code="projection.square_shift",
            severity=Severity.WARN if few else Severity.NOTE,
            subject=f"set-up {set_up.number}",
            message=f"Its lens shift was set by eye, and {why} (known to "
            f"{100 * found.up_sigma:.0f} % of the picture's height). The errors below have that "
            "doubt in them; what to turn or move by hand mixes shift and turn.",
            remedy="Set out more marks near the corners, or set the shift as the card says and "
            "take shift_by_eye out of [marks].",
        ),
    )
