"""What of the wall is not projected, and the edges that are left to the projector."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import shapely

from giornata.core.geometry import Coverage
from giornata.core.projection import SetUpPlan
from giornata.core.works.nights import NightPlan
from giornata.core.works.transfer import TransferStretch

__all__ = ["set_ups_left_out", "unprojected", "without_transferred"]

_BEYOND = 1e4  # m over and under any wall
_TOUCH = 1e-6  # m


def unprojected(
    plan: SetUpPlan, stretches: Sequence[TransferStretch]
) -> tuple[tuple[float, float], ...]:
    """Stretches that are not projected: chosen so, or out of the projector's reach. [m]

    Parameters
    ----------
    plan : projection.SetUpPlan
        For what no place of the projector reaches.
    stretches : sequence of TransferStretch
        Chosen by the job.

    Returns
    -------
    tuple of (float, float)
        Chainages, from the left; neighbours joined.
    """
    joined: list[tuple[float, float]] = []
    for start, end in sorted([*plan.unlit, *((one.start, one.end) for one in stretches)]):
        if joined and start <= joined[-1][1] + _TOUCH:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    return tuple(joined)


def set_ups_left_out(
    plan: SetUpPlan, stretches: Sequence[TransferStretch], nights: NightPlan | None
) -> frozenset[int]:
    """Numbers of the set-ups that fall into no night: by grid or pounce, or out of reach. [-]

    None of them where the whole wall is left to the projector, be there nights or not yet.

    Parameters
    ----------
    plan : projection.SetUpPlan
        All set-ups.
    stretches : sequence of TransferStretch
        Chosen by the job.
    nights : NightPlan or None
        Of the set-ups that are worked; None where there is nothing to trace.
    """
    if not unprojected(plan, stretches):
        return frozenset()
    worked = () if nights is None else nights.nights
    return frozenset(one.number for one in plan.set_ups) - {n for group in worked for n in group}


def without_transferred(coverage: Coverage, spans: Sequence[tuple[float, float]]) -> Coverage:
    """The artwork with the edges alone that are still to be projected. [m]

    Parameters
    ----------
    coverage : geometry.Coverage
        On the wall, by paint number; wall frame. [m]
    spans : sequence of (float, float)
        Chainages of the stretches that are not projected. [m]
    """
    if not spans:
        return coverage
    away = shapely.union_all([shapely.box(a, -_BEYOND, b, _BEYOND) for a, b in spans])
    kept = shapely.difference(coverage.edges, away)
    there = ~shapely.is_empty(kept)
    return replace(
        coverage, edges=kept[there], left=coverage.left[there], right=coverage.right[there]
    )
