"""Squaring: what the marks seen in one set-up's picture say of it, and how far to trust it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from giornata.core.foundation import Assumption, Finding
from giornata.core.geometry import Coverage
from giornata.core.projection.alignment import Alignment
from giornata.core.projection.bad_mark import (
    NAMED_FROM,
    BadMark,
    FitOf,
    Suspicion,
    bad_mark,
    suspicion,
    without_suspect,
)
from giornata.core.projection.by_hand import ByHand, WarpCost, by_hand, warp_cost
from giornata.core.projection.lens_shift import ShiftFound, shift_findings, shift_found
from giornata.core.projection.line_errors import (
    LineError,
    PictureError,
    line_errors,
    lines_inside,
    picture_error,
)
from giornata.core.projection.poses import PoseMap
from giornata.core.projection.setups import SetUp
from giornata.core.projection.sightings import LinePoint, MarkSeen
from giornata.core.projection.square_findings import findings_of, not_settled, too_narrow
from giornata.core.projection.swapped_marks import (
    mixed_up,
    put_right,
    swapped_finding,
    turned_round,
)
from giornata.core.projection.wall_kinds import (
    Compared,
    MapKind,
    best_kind,
    expected_kind,
    fit_of_kind,
    fitted_kinds,
    free_of_all,
    weights_of_kinds,
)
from giornata.core.projection.wall_maps import WallMap
from giornata.core.projection.wall_shape import WallShape

__all__ = ["POSE_NAMED_FROM", "Squared", "squared"]

POSE_NAMED_FROM = 6
"""Fewest marks with which a picture whose throw ratio is known names one. [-]"""

WIDENED_BELOW = Assumption(
    name="chance of a misfit below which the marks' stated deviations are not believed",
    value=0.01,
    unit="-",
    source="common practice, no source: one picture in a hundred is distrusted for nothing",
    usual=(0.001, 0.05),
)

_SPARE = 3  # equations
_HOPELESS = 100.0  # times the misfit of chance: no noise and no single slip of a few pixels


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Squared:
    """What the marks seen in one set-up's picture say.

    Parameters
    ----------
    set_up : SetUp
    marks : tuple of MarkSeen
        All that were seen.
    lines_seen : tuple of LinePoint
        Points of level and plumb lines that were seen.
    kinds : tuple of Compared
        Every kind of map that they carry.
    kind : MapKind or None
        The one that is drawn by; None where the picture cannot be squared.
    fit : Alignment or None
        Of that kind, without the mark that is named as bad.
    bad : BadMark or None
        What leaving out each mark shows.
    widened : float
        By which the stated deviations of the marks fall short, in the errors below; 1 where they
        do not. [-]
    error : PictureError or None
        Over the part of the wall that is drawn.
    lines : tuple of LineError
        Along every line that is drawn, the worst first.
    by_hand : ByHand or None
        How the projector stands beside its plan; None where its throw ratio is not known.
    cost : WarpCost or None
        What warping leaves of the picture.
    shift : ShiftFound or None
        The lens shift in use; None where it is taken from the plan.
    findings : tuple of Finding
    """

    set_up: SetUp
    marks: tuple[MarkSeen, ...]
    lines_seen: tuple[LinePoint, ...] = ()
    kinds: tuple[Compared, ...] = ()
    kind: MapKind | None = None
    fit: Alignment | None = None
    bad: BadMark | None = None
    widened: float = 1.0
    error: PictureError | None = None
    lines: tuple[LineError, ...] = ()
    by_hand: ByHand | None = None
    cost: WarpCost | None = None
    shift: ShiftFound | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def on_wall(self) -> WallMap | None:
        """From the wall to the picture, to draw by; None where it cannot be squared."""
        return None if self.fit is None else self.fit.on_wall


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Judged:
    """A kind of map, one mark left out or none."""

    kind: MapKind
    fit: Alignment
    bad: BadMark | None


def squared(
    set_up: SetUp,
    marks: Sequence[MarkSeen],
    shape: WallShape,
    coverage: Coverage,
    cell: Any,
    *,
    limit: float,
    needed_pitch: float,
    projector_known: bool = True,
    lines_seen: Sequence[LinePoint] = (),
    shift_by_eye: bool = False,
) -> Squared:
    """One set-up's picture squared on the marks that are seen in it.

    Parameters
    ----------
    set_up : SetUp
    marks : sequence of MarkSeen
        Each name once.
    shape : WallShape
        What the survey knows of the wall there.
    coverage : geometry.Coverage
        The artwork on the wall, by paint number; wall frame. [m]
    cell : shapely.Polygon
        The part of the wall that the set-up draws. [m]
    limit : float
        How far off a line may be, 95 times of 100; above 0. [m]
    needed_pitch : float
        Longest side of a pixel with which the thinnest line can be traced; above 0. [m]
    projector_known : bool
        Whether the throw ratio and the shift are as the plan says, but for a little.
    lines_seen : sequence of LinePoint
        Points of level and plumb lines that are seen in it.
    shift_by_eye : bool
        Whether the lens shift is only near the plan's, and is to be estimated with the pose.

    Notes
    -----
    Whether a mark is wrong is weighed over all kinds of map that may be the wall's: so neither is
    a bad mark taken for a curve, nor a curve for a bad mark. Then the kind to draw by is chosen,
    with the marks that are left: what wall and projector are known to be, unless another is better
    by more than 4 (Akaike 1974).
    """
    marks, seen = tuple(marks), tuple(lines_seen)
    narrow = too_narrow(set_up, marks)
    if narrow is not None:
        return Squared(set_up=set_up, marks=marks, lines_seen=seen, findings=(narrow,))
    pose = shape.pose(set_up) if projector_known else None
    size = set_up.columns, set_up.rows
    kinds = fitted_kinds(
        marks, *size, pose=pose, hinge=shape.hinge, lines=seen, shift_by_eye=shift_by_eye
    )
    planned = shape.pose(set_up)
    swaps = mixed_up(set_up, marks, planned)

    def refused() -> Squared:
        why = swapped_finding(set_up, marks, swaps, planned) if swaps else not_settled(set_up)
        return Squared(set_up=set_up, marks=marks, lines_seen=seen, kinds=kinds, findings=(why,))

    settled = any(one.fit.settled for one in kinds)
    if not settled or (swaps and turned_round(marks, planned)):
        return refused()

    def fit(kind: MapKind) -> FitOf:
        return lambda some, lines: fit_of_kind(
            kind,
            some,
            *size,
            pose=pose,
            hinge=shape.hinge,
            lines=lines,
            shift_by_eye=shift_by_eye,
        )

    chosen = _likeliest(kinds, fit, shape)
    if chosen is None or _turned_over(chosen.fit):
        return refused()
    found = chosen.fit
    if swaps and found.misfit > _HOPELESS * max(found.freedom, 1):
        right = fitted_kinds(
            put_right(marks, swaps), *size, pose=pose, hinge=shape.hinge, lines=seen,
            shift_by_eye=shift_by_eye,
        )  # fmt: skip
        if min((one.fit.misfit for one in right if one.fit.settled), default=math.inf) < (
            found.misfit / _HOPELESS
        ):
            return refused()
    widened = 1.0
    doubted = chosen.bad is not None and chosen.bad.named is None
    if found.chance < WIDENED_BELOW.value and found.freedom > 0 and not doubted:
        widened = math.sqrt(found.misfit / found.freedom)
    lines = lines_inside(coverage, cell)
    places = np.concatenate([one for _, _, one in lines]) if lines else np.zeros((0, 2))
    posed = _posed_fit(chosen, kinds)
    error = picture_error(found, cell, widened=widened)
    of_lines = line_errors(found, coverage, cell, widened=widened)
    hand = None if pose is None or posed is None else by_hand(posed, pose, set_up)
    cost = warp_cost(found, set_up, cell, places)
    shift = shift_found(found, set_up)
    findings = findings_of(
        set_up=set_up,
        marks=marks,
        lines_seen=seen,
        cell=cell,
        expected=expected_kind([one.kind for one in kinds], curved=shape.curvature != 0),
        kind=chosen.kind,
        fit=found,
        bad=chosen.bad,
        widened=widened,
        lines=of_lines,
        error=error,
        hand=hand,
        cost=cost,
        limit=limit,
        needed_pitch=needed_pitch,
    )
    findings = (*findings, *shift_findings(set_up, marks, seen, shift))
    return Squared(
        set_up=set_up,
        marks=marks,
        lines_seen=seen,
        kinds=kinds,
        kind=chosen.kind,
        fit=found,
        bad=chosen.bad,
        widened=widened,
        error=error,
        lines=of_lines,
        by_hand=hand,
        cost=cost,
        shift=shift,
        findings=findings,
    )


def _likeliest(
    kinds: Sequence[Compared],
    fit: Callable[[MapKind], FitOf],
    shape: WallShape,
) -> _Judged | None:
    """What explains the marks best: a kind with all of them, or with one left out.

    A few marks fit any map: one that leaves out a bend or curve that was measured is not believed
    before marks to spare speak for it. None where marks contradict one another so far that no
    kind's equations hold.
    """
    curved = shape.curvature != 0
    settled = [one for one in kinds if one.fit.settled]
    following = {MapKind.POSE_FOLD, MapKind.HINGE, MapKind.SHIFT_FOLD}
    if curved:
        following = {MapKind.POSE_CURVE, MapKind.SHIFT_CURVE}
    if (curved or shape.hinge is not None) and following & {one.kind for one in settled}:
        settled = [one for one in settled if one.kind in following or one.fit.freedom >= _SPARE]
    asked = {one.kind: _suspicion(one.fit, fit(one.kind)) for one in settled}
    shown = {kind: said for kind, said in asked.items() if said is not None}
    settled = [one for one in settled if one.kind in shown]
    if not settled:
        return None
    expected = expected_kind([one.kind for one in settled], curved=curved)
    weights = weights_of_kinds(settled, expected)
    bad = bad_mark([(weights[kind], shown[kind]) for kind in shown])
    if bad is None:
        best = best_kind(settled, curved=curved)
        return _Judged(kind=best.kind, fit=best.fit, bad=None)
    if bad.named is not None:
        judged = _without(bad, settled, fit, curved=curved)
        if judged is not None:
            return judged
    # Which one is wrong is open: the kind that leaving one out explains best, with all of them.
    fewer = [replace(one, score=one.score - max(shown[one.kind].drops)) for one in settled]
    best = best_kind(fewer, curved=curved)
    return _Judged(kind=best.kind, fit=best.fit, bad=replace(bad, named=None))


def _suspicion(found: Alignment, fit: FitOf) -> Suspicion | None:
    """What a kind says of each mark; None where its equations break down."""
    try:
        with np.errstate(all="ignore"):
            said = suspicion(found, fit)
    except np.linalg.LinAlgError:
        return None
    return said if np.isfinite(said.drops).all() else None


def _without(
    bad: BadMark,
    settled: Sequence[Compared],
    fit: Callable[[MapKind], FitOf],
    *,
    curved: bool,
) -> _Judged | None:
    """The kind that explains the marks best without the one named; None where they are too few."""
    rest = []
    for one in settled:
        try:
            with np.errstate(all="ignore"):
                without = without_suspect(one.fit, bad.doubted[0], fit(one.kind))
        except np.linalg.LinAlgError:
            continue
        if without is not None and without.settled:
            score = one.score - one.fit.misfit + without.misfit
            rest.append(Compared(kind=one.kind, fit=without, score=score))
    if not rest:
        return None
    best = best_kind(rest, curved=curved)
    whole = next(one.fit for one in settled if one.kind is best.kind)
    needed = NAMED_FROM if free_of_all(best.kind) else POSE_NAMED_FROM
    if 2 * len(whole.marks) + len(whole.lines) < 2 * needed:
        return None
    drop = whole.misfit - best.fit.misfit
    return _Judged(kind=best.kind, fit=best.fit, bad=replace(bad, drop=drop))


def _posed_fit(chosen: _Judged, kinds: Sequence[Compared]) -> Alignment | None:
    """The fit that says how the projector stands."""
    if isinstance(chosen.fit.on_wall, PoseMap):
        return chosen.fit
    posed = [one for one in kinds if isinstance(one.fit.on_wall, PoseMap)]
    return min(posed, key=lambda one: one.score).fit if posed else None


def _turned_over(found: Alignment) -> bool:
    """Whether the map shows the wall mirrored, which no projector does."""
    places = np.array([(one.chainage, one.level) for one in found.marks])
    by_wall, _ = found.on_wall.slopes(places)
    return bool((np.linalg.det(by_wall) >= 0).any())
