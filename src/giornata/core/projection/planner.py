"""The plan of set-ups of one wall from one distance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from numpy.typing import ArrayLike

from giornata.core.foundation import Finding, readonly
from giornata.core.projection.band import WallBand
from giornata.core.projection.light import brightness
from giornata.core.projection.plan_figures import summed_plan
from giornata.core.projection.plan_findings import plan_findings
from giornata.core.projection.projector import MeasuredFrom, Orientation, Projector, Stand
from giornata.core.projection.sections import LINE_PIXELS
from giornata.core.projection.setups import Alternative, SetUp, SetUpPlan
from giornata.core.projection.spans import ImageSpan, Wall, image_spans, light_on
from giornata.core.projection.standing_findings import (
    InTheLight,
    shade_findings,
    standing_findings,
)
from giornata.core.projection.throw import SLACK, throw_distance
from giornata.core.site import StandingRoom

__all__ = ["plan_setups"]

_TRIES = 4  # a wider image may meet a taller stretch of wall; then once more from farther back


def plan_setups(
    wall_length: float,
    top: ArrayLike,
    ground: ArrayLike,
    lamps: Sequence[tuple[float, float, float]],
    projector: Projector,
    stand: Stand,
    thinnest_line: float | None = None,
    *,
    bends: Sequence[float] = (),
    arcs: Sequence[tuple[float, float, float]] = (),
    rooms: Sequence[StandingRoom] = (),
    obstacles: Sequence[InTheLight] = (),
) -> tuple[SetUpPlan, tuple[Finding, ...]]:
    """Set-ups that light a wall from end to end and from foot to top, with what is doubtful.

    Parameters
    ----------
    wall_length : float
        Length of the wall; above 0. [m]
    top, ground : array_like, shape (n, 2)
        Chainage and level of the wall's top and of the ground; two points at one chainage are a
        step. [m]
    lamps : sequence of (start, end, light)
        Stretches lit by lamps and all the light read on the wall there. [m], [m], [lx]
    projector : Projector
        The machine.
    stand : Stand
        Where it stands and what it must reach.
    thinnest_line : float or None
        Width of the thinnest line to be traced; above 0. [m]
    bends : sequence of float
        Chainages where the wall bends in plan. [m]
    arcs : sequence of (start, end, radius)
        Stretches that are curved in plan. [m], [m], [m]
    rooms : sequence of StandingRoom
        Standing room from end to end of the wall; none where it was not looked at.
    obstacles : sequence of InTheLight
        What may stand between lens and wall.

    Raises
    ------
    ValueError
        If a length is not above 0 or a line of the wall is not one.

    Notes
    -----
    Images are square on to a flat upright wall. The zoom is left at its wide end wherever the
    image is bright and fine enough, for that needs fewest set-ups and a stop is found again in
    the dark; elsewhere it is the widest image that is. An image may be taller than the wall. One
    row where the image is as tall as the wall, else as many as the tallest place of each image
    needs, evenly spaced upright. Brightness is the mean over the lit area; its corners are
    darker. Images are placed so that the projector may stand square before their middle,
    wherever that can be done from the stand's distance.
    """
    wall = Wall(
        band=WallBand(length=wall_length, top=readonly(top), ground=readonly(ground)),
        lamps=tuple((float(a), float(b), float(lux)) for a, b, lux in lamps),
        rooms=tuple(rooms),
    )
    if thinnest_line is not None and not thinnest_line > 0:
        raise ValueError("the thinnest line is wider than 0")
    widest = _widest_ratio(projector, stand, thinnest_line)
    set_ups = _set_ups(wall, projector, stand, widest)
    plan = summed_plan(set_ups, wall.band.length, projector, stand)
    if plan.rows > 1:
        others = _alternatives(wall, projector, stand, plan, thinnest_line)
        plan = replace(plan, alternatives=others)
    found = plan_findings(plan, wall, projector, stand, thinnest_line, bends, arcs)
    return plan, (
        *found,
        *standing_findings(plan, wall, stand),
        *shade_findings(plan, wall, obstacles),
    )


def _widest_ratio(projector: Projector, stand: Stand, thinnest_line: float | None) -> float:
    """Least throw ratio at which the thinnest line is fine enough, within the zoom."""
    if thinnest_line is None:
        return projector.throw_min
    coarsest = thinnest_line / LINE_PIXELS.value
    wanted = stand.distance / (projector.columns * coarsest)
    return min(max(projector.throw_min, wanted), projector.throw_max)


def _set_ups(wall: Wall, projector: Projector, stand: Stand, widest: float) -> tuple[SetUp, ...]:
    spans = image_spans(wall, projector, stand, widest)
    found: list[SetUp] = []
    for column, span in enumerate(spans, start=1):
        after = spans[column] if column < len(spans) else None
        found += _column(wall, projector, stand, span, after, column, len(found))
    return tuple(found)


def _column(
    wall: Wall,
    projector: Projector,
    stand: Stand,
    span: ImageSpan,
    after: ImageSpan | None,
    column: int,
    before: int,
) -> list[SetUp]:
    foot, head = wall.band.extent(span.start, span.end)
    height = span.image.height
    centre = (span.start + span.end) / 2
    standing = min(max(centre, 0.0), wall.band.length)
    ground = wall.band.ground_at(standing)
    from_ground = stand.measured_from is MeasuredFrom.GROUND
    lens = stand.height + (ground if from_ground else 0.0)
    feet = _feet(foot, head, height, span.rows, lens)
    light = brightness(light_on(projector, span.image, span.ratio), span.ambient, stand.contrast)
    column_of: list[SetUp] = []
    for row, image_foot in enumerate(feet, start=1):
        wall_foot, wall_head = max(foot, image_foot), min(head, image_foot + height)
        aim = _aim(projector, stand, span, lens, image_foot, wall_foot, wall_head)
        column_of.append(
            SetUp(
                number=before + row,
                column=column,
                row=row,
                centre=centre,
                distance=stand.distance,
                lens_level=lens,
                lens_height=lens - ground,
                orientation=stand.orientation,
                start=span.start,
                end=span.end,
                foot=image_foot,
                head=image_foot + height,
                wall_foot=wall_foot,
                wall_head=wall_head,
                pitch=span.image.pitch,
                columns=projector.columns,
                rows=projector.rows,
                throw_ratio=span.ratio,
                light=light,
                shift=aim.shift,
                tilt=aim.tilt,
                keystone=aim.keystone,
                overlap_next=None if after is None else span.end - after.start,
                overlap_above=image_foot + height - feet[row] if row < span.rows else None,
            )
        )
    return column_of


def _feet(foot: float, head: float, height: float, rows: int, lens: float) -> list[float]:
    """Lower edges of the rows of images between foot and head of the wall."""
    if rows == 1:
        centre = min(max(lens, head - height / 2), foot + height / 2)
        return [centre - height / 2]
    step = (head - foot - height) / (rows - 1)
    return [foot + row * step for row in range(rows)]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Aim:
    shift: float
    tilt: float
    keystone: float


def _aim(
    projector: Projector,
    stand: Stand,
    span: ImageSpan,
    lens: float,
    image_foot: float,
    wall_foot: float,
    wall_head: float,
) -> _Aim:
    """Lens shift, and the least tilt where the shift alone does not reach."""
    height = span.image.height
    most = projector.shift_up if stand.orientation is Orientation.LEVEL else projector.shift_side
    wanted = (image_foot + height / 2 - lens) / height
    if abs(wanted) <= most + SLACK:
        return _Aim(shift=wanted, tilt=0.0, keystone=1.0)
    shift = math.copysign(most, wanted)
    slope = height / stand.distance
    low, high = math.atan((shift - 0.5) * slope), math.atan((shift + 0.5) * slope)
    least = math.atan((wall_head - lens) / stand.distance) - high
    greatest = math.atan((wall_foot - lens) / stand.distance) - low
    # Least above greatest: no tilt reaches both edges, the middle misses both alike.
    tilt = min(max(0.0, least), greatest) if least <= greatest else (least + greatest) / 2
    top, bottom = (math.cos(ray) / math.cos(ray + tilt) for ray in (high, low))
    return _Aim(shift=shift, tilt=tilt, keystone=top / bottom)


def _alternatives(
    wall: Wall, projector: Projector, stand: Stand, plan: SetUpPlan, thinnest_line: float | None
) -> tuple[Alternative, ...]:
    """One row from farther back, and the projector lying the other way from where it stands."""
    level = stand.orientation is Orientation.LEVEL
    tried = [
        _from_farther_back(wall, projector, stand, plan.set_ups, thinnest_line),
        replace(stand, orientation=Orientation.ON_SIDE if level else Orientation.LEVEL),
    ]
    found = []
    for one in tried:
        set_ups = _set_ups(wall, projector, one, _widest_ratio(projector, one, thinnest_line))
        rows = max((each.row for each in set_ups), default=plan.rows)
        if rows < plan.rows and all(wall.stands(one.distance, each.centre) for each in set_ups):
            found.append(
                Alternative(
                    distance=one.distance,
                    orientation=one.orientation,
                    rows=rows,
                    count=len(set_ups),
                    bright=all(each.light.passes for each in set_ups),
                )
            )
    return tuple(found)


def _from_farther_back(
    wall: Wall,
    projector: Projector,
    stand: Stand,
    set_ups: Sequence[SetUp],
    thinnest_line: float | None,
) -> Stand:
    """The stand moved back, by whole centimetres, until one row is tall enough."""
    upright = projector.rows if stand.orientation is Orientation.LEVEL else projector.columns
    for _ in range(_TRIES):
        tallest = max(
            head - foot for foot, head in (wall.band.extent(one.start, one.end) for one in set_ups)
        )
        back = throw_distance(tallest * projector.columns / upright, projector.throw_min)
        stand = replace(stand, distance=math.ceil(back * 100 - SLACK) / 100)
        widest = _widest_ratio(projector, stand, thinnest_line)
        set_ups = _set_ups(wall, projector, stand, widest)
        if not set_ups or max(one.row for one in set_ups) == 1:
            break
    return stand
