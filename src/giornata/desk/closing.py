"""The closure of a job's wall, from its set-ups, marks and check measurements as logged."""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import numpy as np

from giornata.core import closing
from giornata.core.closing import (
    Closure,
    MarkSpot,
    PictureSeen,
    PlacedMark,
    Readings,
    SeamPlace,
    TakenUp,
)
from giornata.core.foundation import Finding
from giornata.core.job import JobResults, level_seams, mark_pictures
from giornata.core.projection import (
    NAMED_FROM,
    MarkSeen,
    SetUp,
    Squared,
    WallMap,
    best_kind,
    expected_kind,
    fitted_kinds,
    wall_shape,
)
from giornata.core.setting_out import FitTerms
from giornata.core.survey import space_from_wall, tape_error
from giornata.desk.measuring import check_measurements
from giornata.desk.pictures import designs_moved, pictures_made
from giornata.desk.squared import line_limit, squared_set_ups
from giornata.desk.squaring import mark_sigma
from giornata.desk.verbs import events, job_path
from giornata.files.site_log import SiteLog

__all__ = ["WallClosure", "close_wall", "drawn_set_ups", "foreseen", "record_drawn"]

DONE = "set-up done"
"""Of the events that say that a set-up is drawn."""
_TRACED = "line traced"
_LEVELS = 5  # places of a seam that are looked at
_FAR = 100.0  # m: over which the tape's part for each metre is taken


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WallClosure:
    """How a job's wall closes.

    Parameters
    ----------
    closure : Closure
    taken : TakenUp or None
        The design of the set-ups still to come, brought to both fronts; None where it stays.
    limit : float
        How far lines may miss one another. [m]
    chained : float
        How far the far end would be out, each set-up hung on the last: root mean square. [m]
    findings : tuple of Finding
    """

    closure: Closure
    taken: TakenUp | None
    limit: float
    chained: float
    findings: tuple[Finding, ...]


def record_drawn(folder: Path, set_ups: Sequence[int], *, at: datetime) -> None:
    """Write down that set-ups are drawn; one that is drawn already is not written again.

    Parameters
    ----------
    at : datetime
        When, with its time zone.

    Raises
    ------
    JobFolderError
        If the log cannot be written.
    """
    known = drawn_set_ups(folder)
    with SiteLog(job_path(folder).parent / "site.sqlite") as log:
        for number in dict.fromkeys(set_ups):
            if number not in known:
                log.append(DONE, str(number), {}, at=at)


def drawn_set_ups(folder: Path) -> frozenset[int]:
    """Numbers of the set-ups that are drawn, or from which a line is.

    Raises
    ------
    JobFolderError
        If the log cannot be read.
    """
    return frozenset(
        int(event.subject)
        for event in events(folder)
        if event.subject.isdigit()
        and (event.kind == DONE or (event.kind == _TRACED and event.data.get("traced")))
    )


def close_wall(folder: Path, results: JobResults) -> WallClosure | None:
    """The closure as the log and the job have it now; None for a job without marks.

    Parameters
    ----------
    results : JobResults
        Of the job in that folder.

    Raises
    ------
    JobFolderError
        If the log cannot be read.
    """
    closure = closing.closed(_readings(folder, results))
    if closure is None:
        return None
    limit = line_limit(results)
    design = results.design
    taken = None
    joins = closing.fronts_to_join(closure, results.wall.length, limit, _row_levels(results))
    if joins:
        taken = closing.taken_up(
            design.placed.coverage,
            joins,
            results.inputs.placement.fit or FitTerms(),
            results.inputs.paints,
            ground=design.placed.ground,
        )
    return WallClosure(
        closure=closure,
        taken=taken,
        limit=limit,
        chained=closing.chained_end([_share(one) for one in _bottom_row(results)]),
        findings=closing.closing_findings(closure, limit=limit, taken=taken),
    )


def _readings(folder: Path, results: JobResults) -> Readings:
    wall = results.wall
    squared = squared_set_ups(folder, results)
    pictures = tuple(
        PictureSeen(set_up=number, start=start, seen=one.marks, lines=one.lines_seen)
        for number, one in squared.items()
        if (start := map_to_begin_with(one, results)) is not None
    )
    known = {one.set_up for one in pictures}
    drawn, pictured = drawn_set_ups(folder), pictures_made(folder)
    mapped = {
        number: on_wall
        for number, one in squared.items()
        if number in drawn & known
        and (on_wall := pictured[number].on_wall if number in pictured else one.on_wall)
    }
    planned = {one.number for one in results.set_ups.set_ups}
    unsquared = (drawn & planned) - set(mapped) - results.unprojected
    bent = bool(wall.bends or wall.arcs)
    return Readings(
        marks=placed_marks(results),
        pictures=pictures,
        foreseen=tuple(_foreseen(results, known | unsquared)),
        measures=check_measurements(folder),
        drawn=mapped,
        seams=tuple(_seams(results)),
        level_seams=tuple(_level_seams(results)),
        scale_sigma=scale_sigma(results),
        moved={n: one.knots for n, one in designs_moved(events(folder)).items()},
        unprojected=results.unprojected,
        drawn_unsquared=unsquared,
        in_space=(lambda at: space_from_wall(wall, at[:, 0], at[:, 1])) if bent else None,
    )  # fmt: skip


def _row_levels(results: JobResults) -> dict[int, tuple[float, float]]:
    """Levels between which each row of set-ups draws: half way where two of them overlap. [m]"""
    rows: dict[int, list[SetUp]] = {}
    for one in results.set_ups.set_ups:
        rows.setdefault(one.row, []).append(one)
    numbers = sorted(rows)
    between = [
        float(np.mean([one.head for one in rows[a]] + [one.foot for one in rows[b]]))
        for a, b in itertools.pairwise(numbers)
    ]
    ends = [-math.inf, *between, math.inf]
    return {row: (ends[k], ends[k + 1]) for k, row in enumerate(numbers)}


def placed_marks(results: JobResults) -> tuple[PlacedMark, ...]:
    """A job's marks where they were to be set, and how well they were."""
    sigma = mark_sigma(results)
    return tuple(
        PlacedMark(name=mark.name, chainage=mark.chainage, level=mark.level,
                   chainage_sigma=sigma, level_sigma=sigma)
        for mark in results.marks
    )  # fmt: skip


def scale_sigma(results: JobResults) -> float:
    """Standard deviation of the scale of a job's tape. [-]"""
    tape = results.inputs.survey.tape
    return (tape_error(tape, _FAR) - tape_error(tape, 0.0)) / _FAR


def map_to_begin_with(one: Squared, results: JobResults) -> WallMap | None:
    """The map of a picture to begin with; of what wall and projector are known to be, if need be.

    With few marks a freer kind takes up a slip of one of them, which then nothing shows.
    """
    if one.on_wall is None or len(one.marks) >= NAMED_FROM:
        return one.on_wall
    shape, _ = wall_shape(results.wall, one.set_up)
    by_kind = {compared.kind: compared.fit for compared in one.kinds if compared.fit.settled}
    return by_kind[expected_kind(list(by_kind), curved=shape.curvature != 0)].on_wall


def _foreseen(results: JobResults, known: Collection[int]) -> Iterator[PictureSeen]:
    """Pictures that are not squared yet, where the plan puts them."""
    for one in results.set_ups.set_ups:
        if one.number in known or one.number in results.unprojected:
            continue
        aimed = [mark for mark in results.marks if one.number in mark.set_ups]
        spots = [(mark.name, mark.chainage, mark.level) for mark in aimed]
        made = foreseen(results, one, spots)
        if made is not None:
            yield made


def foreseen(results: JobResults, one: SetUp, spots: Sequence[MarkSpot]) -> PictureSeen | None:
    """A set-up's picture where the plan puts it, and marks where it will see them.

    None where they are too few for it.
    """
    shape, _ = wall_shape(results.wall, one)
    pose = shape.pose(one)
    places = np.array([spot[1:] for spot in spots], dtype=np.float64).reshape(-1, 2)
    seen = tuple(
        MarkSeen(name=name, chainage=at, level=level, x_px=x, y_px=y,
                 mark_sigma=mark_sigma(results), px_sigma=results.inputs.marks_asked.aiming)
        for (name, at, level), (x, y) in zip(spots, pose.px_from_wall(places).tolist(), strict=True)
    )  # fmt: skip
    kinds = fitted_kinds(seen, one.columns, one.rows, pose=pose, hinge=shape.hinge)
    if not kinds:
        return None
    best = best_kind(kinds, curved=shape.curvature != 0)
    return PictureSeen(set_up=one.number, start=best.fit.on_wall, seen=seen)


def _seams(results: JobResults) -> Iterator[SeamPlace]:
    """Every seam in every row, from left to right."""
    by_place = {(one.column, one.row): one for one in results.set_ups.set_ups}
    nights = results.design.nights
    closes = None if nights is None or nights.closing is None else nights.closing.column
    for seam in results.design.seams:
        for row in sorted({one.row for one in results.set_ups.set_ups}):
            left, right = (by_place.get((seam.column + k, row)) for k in (0, 1))
            if left is None or right is None:
                continue
            low = max(left.foot, right.foot, left.wall_foot, right.wall_foot)
            high = min(left.head, right.head, left.wall_head, right.wall_head)
            levels = np.linspace(low, max(high, low + 0.01), _LEVELS)
            yield SeamPlace(
                left=left.number,
                right=right.number,
                places=np.column_stack([np.full(_LEVELS, seam.chainage), levels]),
                closes=seam.column == closes,
                row=row,
            )


def _level_seams(results: JobResults) -> Iterator[SeamPlace]:
    """Every seam between set-ups above one another, from left to right."""
    set_ups, inputs = results.set_ups.set_ups, results.inputs
    pictures = mark_pictures(set_ups, results.wall, inputs.survey, inputs.marks_asked)
    for seam in level_seams(set_ups, pictures):
        strip = seam.overlap
        along = np.linspace(strip.start, strip.end, _LEVELS)
        yield SeamPlace(
            left=seam.lower.number,
            right=seam.upper.number,
            places=np.column_stack([along, np.full(_LEVELS, seam.level)]),
            row=seam.lower.row,
        )


def _bottom_row(results: JobResults) -> list[SetUp]:
    return [one for one in results.set_ups.set_ups if one.row == 1]


def _share(one: SetUp) -> float:
    """Width of wall that a set-up draws, its overlap with the next one halved on either side."""
    return one.width - (one.overlap_next or 0.0)
