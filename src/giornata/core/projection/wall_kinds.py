"""Which kind of map the marks ask for: flat, folded, curved, or a lens that bends lines."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from giornata.core.foundation import Assumption
from giornata.core.projection.alignment import Alignment, aligned, projective_start
from giornata.core.projection.poses import Extra, PoseMap
from giornata.core.projection.sightings import LinePoint, MarkSeen
from giornata.core.projection.wall_maps import WallMap
from giornata.core.survey import BEND_READING, RADIUS_READING

__all__ = [
    "BY_EYE",
    "CLEARLY",
    "SHIFT_DOUBT",
    "Compared",
    "MapKind",
    "best_kind",
    "expected_kind",
    "fit_of_kind",
    "fitted_kinds",
    "free_of_all",
    "weights_of_kinds",
]

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
    name="doubt of a curvature that nobody measured",
    value=0.05,
    unit="1/m",
    source="no published source: radii of 20 m and more",
)
FOLD_DOUBT = Assumption(
    name="doubt of a fold that nobody measured",
    value=0.6,
    unit="rad",
    source="no published source: folds up to 30 degrees",
)

SHIFT_DOUBT = Assumption(
    name="doubt of a lens shift that was set by eye, of the picture's shorter side",
    value=0.2,
    unit="-",
    source="common practice, no source: turned until the picture sits, with a projector tilted by "
    "up to 6 degrees",
    usual=(0.05, 0.3),
)

UNMEASURED = Assumption(
    name="how likely a bend or curve that nobody measured is, beside the wall that is known",
    value=0.5,
    unit="-",
    source="measured in made worlds: at 0.1 right marks on such curves are blamed in 1.7 % instead "
    "of 1.1, at 1 a slip of 50 mm is named in 0.2 % fewer pictures of marks that are 3 mm off "
    "(docs/decisions/alignment.md)",
    usual=(0.1, 1.0),
)
MISREAD = Assumption(
    name="how likely it is that a bend or curve which was surveyed is not there, beside that it is",
    value=0.1,
    unit="-",
    source="no published source; measured in made worlds: at 0.5 right marks are blamed in 1.1 % "
    "instead of 0.9 where a fold is known by its hinge alone (docs/decisions/alignment.md)",
    usual=(0.03, 0.3),
)
UNLIKE = Assumption(
    name="how likely a projector unlike its sheet is, beside one that is like it",
    value=0.02,
    unit="-",
    source="no published source; measured in made worlds: at 0.005 a slip of 50 mm is named in "
    "0.5 % more pictures, but right marks are blamed in 5 % instead of 3 where the lens shift is "
    "not what the plan says (docs/decisions/alignment.md)",
    usual=(0.005, 0.05),
)

_WORTH = 2.0  # what one more parameter must take off the misfit (Akaike 1974)
_LEAST_OF_POSE = 6  # numbers that marks give

CLEARLY = 4.0
"""By how much what is known of the wall has to lose: noise makes small gains. [-]"""


class MapKind(StrEnum):
    """What is assumed of wall and projector."""

    FLAT = "flat wall, projector unknown"
    HINGE = "folded wall, projector unknown"
    POSE = "flat wall"
    POSE_FOLD = "folded wall"
    POSE_CURVE = "curved wall"
    SHIFT = "flat wall, lens shift set by eye"
    SHIFT_FOLD = "folded wall, lens shift set by eye"
    SHIFT_CURVE = "curved wall, lens shift set by eye"


# Numbers that nothing is believed of: throw ratio and lens are known but for a little.
_FREE = {
    MapKind.FLAT: 8,
    MapKind.HINGE: 11,
    MapKind.POSE: 6,
    MapKind.POSE_FOLD: 7,
    MapKind.POSE_CURVE: 7,
    MapKind.SHIFT: 8,
    MapKind.SHIFT_FOLD: 9,
    MapKind.SHIFT_CURVE: 9,
}
_PROJECTIVE = (MapKind.FLAT, MapKind.HINGE)
_BENT = {
    MapKind.HINGE: Extra.FOLD,
    MapKind.POSE_FOLD: Extra.FOLD,
    MapKind.SHIFT_FOLD: Extra.FOLD,
    MapKind.POSE_CURVE: Extra.CURVATURE,
    MapKind.SHIFT_CURVE: Extra.CURVATURE,
}

BY_EYE = {
    MapKind.SHIFT: MapKind.POSE,
    MapKind.SHIFT_FOLD: MapKind.POSE_FOLD,
    MapKind.SHIFT_CURVE: MapKind.POSE_CURVE,
}
"""Kinds whose lens shift is estimated, and the same kind with the shift of the plan."""


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
    lines: Sequence[LinePoint] = (),
    shift_by_eye: bool = False,
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
    lines : sequence of LinePoint
        Points of level and plumb lines.
    shift_by_eye : bool
        Whether the lens shift is only believed to be near the plan's, and is estimated.
    """
    made = []
    for kind in MapKind:
        fit = fit_of_kind(
            kind, marks, columns, rows, pose=pose, hinge=hinge, lines=lines,
            shift_by_eye=shift_by_eye,
        )  # fmt: skip
        if fit is not None:
            made.append(Compared(kind=kind, fit=fit, score=fit.misfit + _WORTH * _FREE[kind]))
    return tuple(made)


def fit_of_kind(
    kind: MapKind,
    marks: Sequence[MarkSeen],
    columns: int,
    rows: int,
    *,
    pose: PoseMap | None = None,
    hinge: float | None = None,
    lines: Sequence[LinePoint] = (),
    shift_by_eye: bool = False,
) -> Alignment | None:
    """One kind fitted to the marks; None where they do not carry it or too little is known.

    Parameters
    ----------
    kind : MapKind
    marks : sequence of MarkSeen
        In general position.
    columns, rows : int
        Of the picture. [px]
    pose : PoseMap or None
        Where the plan puts the projector; None where its throw ratio is not known.
    hinge : float or None
        Chainage of a bend inside the picture; None for none. [m]
    lines : sequence of LinePoint
        Points of level and plumb lines.
    shift_by_eye : bool
        Whether the lens shift is only believed to be near the plan's, and is estimated.
    """
    if kind in (MapKind.FLAT, MapKind.HINGE):
        at = hinge if kind is MapKind.HINGE else None
        if kind is MapKind.HINGE and at is None:
            return None
        start = projective_start(marks, columns, rows, hinge=at)
        return None if start is None else _fitted(start, marks, lines)
    if pose is None or not marks or 2 * len(marks) + len(lines) < _LEAST_OF_POSE:
        return None
    if BY_EYE.get(kind, kind) is MapKind.POSE_FOLD and hinge is None:
        return None
    if kind in BY_EYE and not shift_by_eye:
        return None
    posed = _posed(BY_EYE.get(kind, kind), marks, pose, hinge)
    if kind in BY_EYE:
        doubt = SHIFT_DOUBT.value * min(columns, rows)
        x, y = pose.centre.tolist()
        posed = replace(
            posed, extras={**posed.extras, Extra.ACROSS: (x, doubt), Extra.DOWN: (y, doubt)}
        )
    fit = _fitted(posed, marks, lines)
    return fit if fit is not None and fit.settled else None


def _fitted(
    start: WallMap, marks: Sequence[MarkSeen], lines: Sequence[LinePoint]
) -> Alignment | None:
    """The fit; None where marks contradict one another so that its equations break down."""
    try:
        with np.errstate(all="ignore"):
            fit = aligned(start, marks, lines)
    except np.linalg.LinAlgError:
        return None
    sound = math.isfinite(fit.misfit) and np.isfinite(fit.covariance).all()
    return fit if sound else None


def _posed(kind: MapKind, marks: Sequence[MarkSeen], pose: PoseMap, hinge: float | None) -> PoseMap:
    """Where the fit of a kind of pose begins."""
    believed = {
        Extra.FOCAL: (math.log(pose.focal), THROW_DOUBT.value),
        Extra.LENS: (pose.bend, LENS_DOUBT.value),
    }
    flat = replace(pose, curvature=0.0, fold=0.0, extras=believed)
    if kind is MapKind.POSE_CURVE:
        middle = sum(mark.chainage for mark in marks) / len(marks)
        doubt = RADIUS_READING.value * abs(pose.curvature) or CURVATURE_DOUBT.value
        curve = {**believed, Extra.CURVATURE: (pose.curvature, doubt)}
        origin = pose.origin if pose.curvature else middle
        return replace(flat, origin=origin, curvature=pose.curvature, extras=curve)
    if kind is MapKind.POSE_FOLD and hinge is not None:
        doubt = BEND_READING.value if pose.fold else FOLD_DOUBT.value
        fold = {**believed, Extra.FOLD: (pose.fold, doubt)}
        return replace(flat, origin=hinge, fold=pose.fold, extras=fold)
    return flat


def free_of_all(kind: MapKind) -> bool:
    """Whether a kind believes nothing of the projector, or not where its lens axis is.

    Parameters
    ----------
    kind : MapKind
    """
    return kind in _PROJECTIVE or kind in BY_EYE


def weights_of_kinds(kinds: Sequence[Compared], expected: MapKind) -> dict[MapKind, float]:
    """Logarithm of how likely each kind is with all marks, up to a number common to all. [-]

    Parameters
    ----------
    kinds : sequence of Compared
        At least one; the expected kind is among them.
    expected : MapKind
        What wall and projector are known to be.

    Notes
    -----
    Kinds with a pose are compared by their likelihood averaged over what is believed of them
    (Laplace's integral): a curve that nobody measured pays for all the curves that it might have
    been. A projective map believes nothing, so it pays by Akaike's count of its numbers (as
    weights: Burnham and Anderson 2002, section 2.9.1) beside the kind that is expected.
    """
    by_kind = {one.kind: one.fit for one in kinds}
    posed = expected not in _PROJECTIVE
    made = {}
    for kind, fit in by_kind.items():
        weight = -fit.misfit / 2
        if posed and kind not in _PROJECTIVE:
            weight += _believed(fit)
        else:
            weight += (_believed(by_kind[expected]) if posed else 0.0) - (
                _FREE[kind] - _FREE[expected]
            )
        if kind is not expected:
            missed = expected in _BENT and _BENT.get(kind) is not _BENT[expected]
            if posed and kind in _PROJECTIVE:
                weight += math.log(UNLIKE.value)
            else:
                weight += math.log(MISREAD.value if missed else UNMEASURED.value)
        made[kind] = weight
    return made


def _believed(fit: Alignment) -> float:
    """Logarithm of how much of what was believed of a pose the marks leave. [-]"""
    assert isinstance(fit.on_wall, PoseMap)
    beliefs = [math.log(sd) for _, sd in fit.on_wall.extras.values()]
    return float(np.linalg.slogdet(fit.covariance)[1]) / 2 - sum(beliefs)


def expected_kind(kinds: Sequence[MapKind], *, curved: bool = False) -> MapKind:
    """What the wall and the projector are known to be, of the kinds that could be fitted.

    Parameters
    ----------
    kinds : sequence of MapKind
        At least one.
    curved : bool
        Whether the survey knows the wall to be curved there.
    """
    order = [MapKind.POSE_FOLD, MapKind.POSE, MapKind.HINGE, MapKind.FLAT, MapKind.POSE_CURVE]
    if curved:
        order.insert(0, MapKind.POSE_CURVE)
    # Where the shift was set by eye, these are there and say what is known.
    order = [
        *([MapKind.SHIFT_CURVE] if curved else []), MapKind.SHIFT_FOLD, MapKind.SHIFT, *order,
        MapKind.SHIFT_CURVE,
    ]  # fmt: skip
    return next(kind for kind in order if kind in kinds)


def best_kind(kinds: Sequence[Compared], *, curved: bool = False) -> Compared:
    """The kind to draw by: what the wall is known to be, unless another is clearly better.

    Parameters
    ----------
    kinds : sequence of Compared
        At least one.
    curved : bool
        Whether the survey knows the wall to be curved there.

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
    first = by_kind[expected_kind(list(by_kind), curved=curved)]
    best = min(kinds, key=lambda one: one.score)
    return best if first.score - best.score > CLEARLY else first
