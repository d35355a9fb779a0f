"""Which kind of map the marks ask for: flat, folded, curved, or a lens that bends lines."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from giornata.core.foundation import Assumption
from giornata.core.projection.alignment import Alignment, MarkSeen, aligned, projective_start
from giornata.core.projection.poses import Extra, PoseMap

__all__ = ["Compared", "MapKind", "best_kind", "fitted_kinds"]

THROW_DOUBT = Assumption(
    name="doubt of the throw ratio, of its logarithm",
    value=0.05,
    unit="-",
    source="common practice, no source: sheets say 3 to 5 %",
    usual=(0.01, 0.05),
)
LENS_DOUBT = Assumption(
    name="doubt of the lens's bend",
    value=0.03,
    unit="-",
    source="common practice, no source",
    usual=(0.005, 0.05),
)
CURVATURE_DOUBT = Assumption(
    name="doubt of the wall's curvature",
    value=0.05,
    unit="1/m",
    source="no published source: radii of 20 m and more",
)
FOLD_DOUBT = Assumption(
    name="doubt of the wall's fold",
    value=0.6,
    unit="rad",
    source="no published source: folds up to 30 degrees",
)

_WORTH = 2.0  # what one more parameter must take off the misfit (Akaike 1974)
_OVERDRAWN = 4.0  # what is known of the wall has to lose clearly: noise makes small gains


class MapKind(StrEnum):
    """What is assumed of wall and projector."""

    FLAT = "flat wall, projector unknown"
    HINGE = "folded wall, projector unknown"
    POSE = "flat wall"
    POSE_FOLD = "folded wall"
    POSE_CURVE = "curved wall"


# Numbers that nothing is believed of: throw ratio and lens are known but for a little.
_FREE = {
    MapKind.FLAT: 8,
    MapKind.HINGE: 11,
    MapKind.POSE: 6,
    MapKind.POSE_FOLD: 7,
    MapKind.POSE_CURVE: 7,
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Compared:
    """One kind fitted to the marks.

    Parameters
    ----------
    kind : MapKind
    fit : Alignment
    score : float
        Misfit and twice the numbers that are free (Akaike's criterion): less is better. [-]
    """

    kind: MapKind
    fit: Alignment
    score: float


def fitted_kinds(
    marks: Sequence[MarkSeen],
    columns: int,
    rows: int,
    *,
    pose: PoseMap | None = None,
    hinge: float | None = None,
) -> tuple[Compared, ...]:
    """Every kind that the marks carry, the simplest first.

    Parameters
    ----------
    marks : sequence of MarkSeen
        In general position.
    columns, rows : int
        Of the picture. [px]
    pose : PoseMap or None
        Where the plan puts the projector; None where its throw ratio is not known.
    hinge : float or None
        Chainage of a bend inside the picture; None for none. [m]
    """
    fits: list[tuple[MapKind, Alignment]] = []
    for kind, at in ((MapKind.FLAT, None), (MapKind.HINGE, hinge)):
        if kind is MapKind.HINGE and at is None:
            continue
        start = projective_start(marks, columns, rows, hinge=at)
        if start is not None:
            fits.append((kind, aligned(start, marks)))
    if pose is not None:
        fits += _by_pose(marks, pose, hinge)
    if not fits:
        return ()
    made = []
    for kind, fit in fits:
        score = fit.misfit + _WORTH * _FREE[kind]
        made.append(Compared(kind=kind, fit=fit, score=score))
    return tuple(made)


def _by_pose(
    marks: Sequence[MarkSeen], pose: PoseMap, hinge: float | None
) -> list[tuple[MapKind, Alignment]]:
    believed = {
        Extra.FOCAL: (math.log(pose.focal), THROW_DOUBT.value),
        Extra.LENS: (pose.bend, LENS_DOUBT.value),
    }
    flat = replace(pose, curvature=0.0, fold=0.0)
    middle = sum(mark.chainage for mark in marks) / len(marks)
    curve = {**believed, Extra.CURVATURE: (pose.curvature, CURVATURE_DOUBT.value)}
    kinds = [
        (MapKind.POSE, replace(flat, extras=believed)),
        (
            MapKind.POSE_CURVE,
            replace(flat, origin=middle, curvature=pose.curvature, extras=curve),
        ),
    ]
    if hinge is not None:
        fold = {**believed, Extra.FOLD: (pose.fold, FOLD_DOUBT.value)}
        kinds.append((MapKind.POSE_FOLD, replace(flat, origin=hinge, fold=pose.fold, extras=fold)))
    fits = []
    for kind, start in kinds:
        if 2 * len(marks) >= 6:
            fit = aligned(start, marks)
            if fit.settled:
                fits.append((kind, fit))
    return fits


def best_kind(kinds: Sequence[Compared]) -> Compared:
    """The kind to draw by: what the wall is known to be, unless another is clearly better.

    Parameters
    ----------
    kinds : sequence of Compared
        At least one.

    Raises
    ------
    ValueError
        If there is none.

    Notes
    -----
    A known pose goes before a free mapping, a known fold before a flat wall: right knowledge makes
    the picture better by a tenth. Where the marks speak clearly against it, it is wrong.
    """
    if not kinds:
        raise ValueError("no kind of map was fitted")
    by_kind = {one.kind: one for one in kinds}
    order = (MapKind.POSE_FOLD, MapKind.POSE, MapKind.HINGE, MapKind.FLAT, MapKind.POSE_CURVE)
    first = next(by_kind[kind] for kind in order if kind in by_kind)
    best = min(kinds, key=lambda one: one.score)
    return best if first.score - best.score > _OVERDRAWN else first
