"""The plan of set-ups of one wall from one distance."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from numpy.typing import ArrayLike

from giornata.core.foundation import Finding, readonly
from giornata.core.geometry import Coverage
from giornata.core.projection.aims import resting_side
from giornata.core.projection.band import WallBand
from giornata.core.projection.best_plan import BestPlan, best_images
from giornata.core.projection.columns import Place, set_ups_at
from giornata.core.projection.faces import Space, is_straight, sampled_face, straight
from giornata.core.projection.limits import Limits
from giornata.core.projection.offers import Setting
from giornata.core.projection.plan_figures import summed_plan
from giornata.core.projection.plan_findings import plan_findings
from giornata.core.projection.projector import Orientation, Projector, Stand
from giornata.core.projection.seam_costs import edge_grid, with_level_seams
from giornata.core.projection.sections import LINE_PIXELS
from giornata.core.projection.setups import Alternative, SetUp, SetUpPlan
from giornata.core.projection.spans import Wall, image_spans
from giornata.core.projection.standing_findings import (
    InTheLight,
    shade_findings,
    standing_findings,
)
from giornata.core.projection.throw import SLACK, throw_distance
from giornata.core.site import Carrier, StandingRoom

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
    other_rooms: Sequence[tuple[Carrier, tuple[StandingRoom, ...]]] = (),
    obstacles: Sequence[InTheLight] = (),
    coverage: Coverage | None = None,
    space: Space | None = None,
    gates: Sequence[tuple[float, float]] = (),
    others: Sequence[Projector] = (),
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
    other_rooms : sequence of (Carrier, tuple of StandingRoom)
        The same for other carriers of the stand, which steep ground bears less.
    obstacles : sequence of InTheLight
        What may stand between lens and wall.
    coverage : geometry.Coverage or None
        The artwork on the wall, wall frame; with it the plan is the one of fewest set-ups whose
        seams cross least edge. [m]
    space : callable or None
        Chainages and offsets before the face to places in plan, shape (..., 2); with it the wall
        is lit as it stands. None for a straight wall. [m]
    gates : sequence of (start, end)
        Stretches that carry no marks, such as gates; seams are kept out of them. [m], [m]
    others : sequence of Projector
        Other machines at hand; the plan with each of them is told as an alternative.

    Raises
    ------
    ValueError
        If a length is not above 0 or a line of the wall is not one.

    Notes
    -----
    Evenly spaced first, images square on to a flat upright wall. The zoom is left at its wide end
    wherever the image is bright and fine enough, for that needs fewest set-ups and a stop is found
    again in the dark; elsewhere it is the widest image that is. An image may be taller than the
    wall. One row where the image is as tall as the wall, else as many as the tallest place of each
    image needs, evenly spaced upright. Brightness is the mean over the lit area; its corners are
    darker. Images are placed so that the projector may stand square before their middle, wherever
    that can be done from the stand's distance.

    With the artwork or the wall in plan, all places before the wall are then looked at
    (`best_images`), the even plan's among them, and the best plan is taken where there is one that
    holds every limit. Where some stretch cannot be reached, every piece of wall beside it is
    planned so by itself and the stretch has no set-up: the plan says what bites there, and that it
    is left to grid or pounce. The even plan stays where pixels alone are too large for thin lines,
    as the image is thrown there all the same, and where nothing can be reached.
    """
    wall = Wall(
        band=WallBand(length=wall_length, top=readonly(top), ground=readonly(ground)),
        lamps=tuple((float(a), float(b), float(lux)) for a, b, lux in lamps),
        rooms=tuple(rooms),
        other_rooms=tuple(other_rooms),
    )
    if thinnest_line is not None and not thinnest_line > 0:
        raise ValueError("the thinnest line is wider than 0")
    widest = _widest_ratio(projector, stand, thinnest_line)
    even = _set_ups(wall, projector, stand, widest)
    set_ups, best = _looked_for(wall, projector, stand, thinnest_line, coverage, space, even, gates)
    if coverage is not None and any(one.row > 1 for one in set_ups):
        set_ups = with_level_seams(set_ups, edge_grid(coverage, wall.band))
    plan = summed_plan(set_ups, wall.band.length, projector, stand, best)
    fewer = (
        _alternatives(wall, projector, stand, plan, thinnest_line, coverage, space, gates)
        if plan.rows > 1
        else ()
    )
    for machine in others:
        other, _ = plan_setups(
            wall_length, top, ground, lamps, machine, stand, thinnest_line,
            rooms=rooms, other_rooms=other_rooms, coverage=coverage, space=space, gates=gates,
        )  # fmt: skip
        fewer = (*fewer, *_with(machine, other, stand))
    plan = replace(plan, alternatives=fewer)
    found = plan_findings(plan, wall, projector, stand, thinnest_line, bends, arcs, even)
    return plan, (
        *found,
        *standing_findings(plan, wall, stand),
        *shade_findings(plan, wall, obstacles),
    )


def _looked_for(
    wall: Wall,
    projector: Projector,
    stand: Stand,
    thinnest_line: float | None,
    coverage: Coverage | None,
    space: Space | None,
    even: tuple[SetUp, ...],
    gates: Sequence[tuple[float, float]],
) -> tuple[tuple[SetUp, ...], BestPlan | None]:
    """The best set-ups where artwork or plan of the wall is known; else the even ones."""
    if not even or (coverage is None and space is None):
        return even, None
    return _best(wall, projector, stand, thinnest_line, coverage, space, even, gates)


def _best(
    wall: Wall,
    projector: Projector,
    stand: Stand,
    thinnest_line: float | None,
    coverage: Coverage | None,
    space: Space | None,
    even: tuple[SetUp, ...],
    gates: Sequence[tuple[float, float]],
) -> tuple[tuple[SetUp, ...], BestPlan]:
    """The best set-ups, or the even ones where they are as good or nothing holds every limit."""
    face = sampled_face(wall.band, wall.lamps, stand.ambient, straight if space is None else space)
    curved = space is not None and not is_straight(face)
    slanted = curved or any(one.tilt != 0.0 for one in even)
    pitch = math.inf if thinnest_line is None else thinnest_line / LINE_PIXELS.value
    best = best_images(
        wall,
        face,
        projector,
        stand,
        Limits(contrast=stand.contrast, pitch=pitch),
        coverage,
        slanted=slanted,
        even=[(one.centre, one.start, one.end) for one in even if one.row == 1],
        gates=gates,
    )
    if not best.images or (best.stay and not slanted and not stand.mounts):
        return even, best
    places = [
        Place(
            chainage=one.chainage,
            setting=one.setting,
            rows=one.rows,
            lit=(one.start, one.end),
            begins=one.begins,
        )
        for one in best.images
    ]
    on_face = slanted or any(place.setting.pan for place in places)
    return set_ups_at(wall, projector, stand, places, face if on_face else None), best


def _widest_ratio(projector: Projector, stand: Stand, thinnest_line: float | None) -> float:
    """Least throw ratio at which the thinnest line is fine enough, within the zoom."""
    if thinnest_line is None:
        return projector.throw_min
    coarsest = thinnest_line / LINE_PIXELS.value
    wanted = stand.distance / (projector.columns * coarsest)
    return min(max(projector.throw_min, wanted), projector.throw_max)


def _set_ups(wall: Wall, projector: Projector, stand: Stand, widest: float) -> tuple[SetUp, ...]:
    """Evenly spaced set-ups from the stand's distance, each image square on a flat wall."""
    return set_ups_at(wall, projector, stand, _even(wall, projector, stand, widest), None)


def _even(wall: Wall, projector: Projector, stand: Stand, widest: float) -> tuple[Place, ...]:
    side = resting_side(projector, stand.orientation)
    return tuple(
        Place(
            chainage=(span.start + span.end) / 2 - side * span.image.width,
            setting=Setting(distance=stand.distance, ratio=span.ratio, side=side, image=span.image),
            rows=span.rows,
        )
        for span in image_spans(wall, projector, stand, widest)
    )


def _alternatives(
    wall: Wall,
    projector: Projector,
    stand: Stand,
    plan: SetUpPlan,
    thinnest_line: float | None,
    coverage: Coverage | None,
    space: Space | None,
    gates: Sequence[tuple[float, float]],
) -> tuple[Alternative, ...]:
    """One row from farther back, and the projector lying the other way from where it stands.

    Each is planned as well as the plan itself is: fewest set-ups, then least edge crossed.
    """
    level = stand.orientation is Orientation.LEVEL
    tried = [
        _from_farther_back(wall, projector, stand, plan.set_ups, thinnest_line),
        replace(stand, orientation=Orientation.ON_SIDE if level else Orientation.LEVEL),
    ]
    found = []
    for one in tried:
        set_ups = _set_ups(wall, projector, one, _widest_ratio(projector, one, thinnest_line))
        rows = max((each.row for each in set_ups), default=plan.rows)
        if rows < plan.rows:
            set_ups, best = _looked_for(
                wall, projector, one, thinnest_line, coverage, space, set_ups, gates
            )
        if rows < plan.rows and all(
            wall.stands(each.distance, each.centre, each.carrier) for each in set_ups
        ):
            found.append(
                Alternative(
                    distance=one.distance,
                    orientation=one.orientation,
                    rows=rows,
                    count=len(set_ups),
                    bright=all(each.light.passes for each in set_ups),
                    whole=best is None or not best.unreachable,
                    crossed=None if best is None else best.crossed,
                )
            )
    return tuple(found)


def _with(machine: Projector, plan: SetUpPlan, stand: Stand) -> tuple[Alternative, ...]:
    """The plan with another machine, in short; none where it makes no plan."""
    if not plan.set_ups:
        return ()
    return (
        Alternative(
            distance=stand.distance,
            orientation=stand.orientation,
            rows=plan.rows,
            count=len(plan.set_ups),
            bright=all(one.light.passes for one in plan.set_ups),
            projector=machine.name,
            whole=not plan.unreachable,
            crossed=None if plan.crossed is None else float(plan.crossed),
        ),
    )


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
        stand = stand.at(math.ceil(back * 100 - SLACK) / 100)
        widest = _widest_ratio(projector, stand, thinnest_line)
        set_ups = _set_ups(wall, projector, stand, widest)
        if not set_ups or max(one.row for one in set_ups) == 1:
            break
    return stand
