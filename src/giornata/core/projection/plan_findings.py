"""What is doubtful about a plan of set-ups, and what to do about it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import groupby

from giornata.core.foundation import Assumption, Finding, Severity, number_of
from giornata.core.projection.best_findings import best_findings
from giornata.core.projection.carrier_findings import carrier_findings, contrast_findings
from giornata.core.projection.light import zoom_light
from giornata.core.projection.limits import Limit
from giornata.core.projection.projector import Orientation, Projector, Stand
from giornata.core.projection.sections import LINE_PIXELS
from giornata.core.projection.setups import Alternative, SetUp, SetUpPlan, numbers_named
from giornata.core.projection.shape_findings import shape_findings
from giornata.core.projection.spans import MOST_SET_UPS, Wall
from giornata.core.projection.throw import SLACK, throw_distance
from giornata.core.projection.ways_out import WayOutKind, ways_out

__all__ = ["LEAST_LENS_HEIGHT", "LEAST_OVERLAP", "TALL_IMAGE", "plan_findings"]

LEAST_OVERLAP = Assumption(
    name="least overlap that holds a column of shared marks",
    value=0.30,
    unit="m",
    source="common practice, no source",
    usual=(0.3, 1.0),
)
LEAST_LENS_HEIGHT = Assumption(
    name="least height of the lens above the ground",
    value=0.15,
    unit="m",
    source="no published source: a projector lying on a low table",
)
TALL_IMAGE = Assumption(
    name="image height over wall height from which a plan is called wasteful",
    value=1.5,
    unit="-",
    source="no published source",
)


def plan_findings(
    plan: SetUpPlan,
    wall: Wall,
    projector: Projector,
    stand: Stand,
    thinnest_line: float | None,
    bends: Sequence[float],
    arcs: Sequence[tuple[float, float, float]],
    even: Sequence[SetUp] = (),
) -> tuple[Finding, ...]:
    """Findings of a plan, in the order of its making.

    Parameters
    ----------
    plan : SetUpPlan
        The plan, perhaps empty.
    wall : Wall
        What is to be lit.
    projector : Projector
        The machine.
    stand : Stand
        Where it stands and what it must reach.
    thinnest_line : float or None
        Width of the thinnest line to be traced. [m]
    bends : sequence of float
        Chainages where the wall bends in plan. [m]
    arcs : sequence of (start, end, radius)
        Stretches that are curved in plan. [m], [m], [m]
    even : sequence of SetUp
        Of the evenly spaced plan: how dim they would be where nothing reaches.
    """
    if not plan.set_ups:
        return (_no_plan(projector, stand), *contrast_findings(projector, stand))
    return (
        *_overlap(stand),
        *_rows(plan, stand),
        *_tall(plan),
        *_line(plan, projector, stand, thinnest_line),
        *_narrowed(plan, projector, stand),
        *_dim(plan, projector, stand, even),
        *_reach(plan, projector, stand),
        *_low(plan),
        *shape_findings(plan, bends, arcs),
        *best_findings(plan),
        *carrier_findings(plan, wall),
        *contrast_findings(projector, stand),
        *_side(plan),
    )


def _no_plan(projector: Projector, stand: Stand) -> Finding:
    """Why there is no plan: too little image for the overlap, or too many set-ups."""
    widest = stand.distance / projector.throw_min
    level = stand.orientation is Orientation.LEVEL
    short = widest * projector.rows / projector.columns
    across, upright = (widest, short) if level else (short, widest)
    stuck = min(across, upright) <= stand.overlap
    why = (
        f"with {stand.overlap:.2f} m of overlap the images do not get along the wall."
        if stuck
        else f"with {stand.overlap:.2f} m of overlap the wall would take more than "
        f"{MOST_SET_UPS.value:,.0f} set-ups."
    )
    return Finding(
        code="projection.no_plan",
        severity=Severity.STOP,
        subject="set-ups",
        message=f"From {stand.distance:.2f} m the image is at most {across:.2f} × {upright:.2f} m; "
        + why,
        remedy="Stand farther back, or ask for less overlap."
        if stuck
        else "Stand farther back, or check the wall's length and height.",
    )


def _overlap(stand: Stand) -> Iterator[Finding]:
    if stand.overlap < LEAST_OVERLAP.value - SLACK:
        yield Finding(
            code="projection.overlap_small",
            severity=Severity.WARN,
            subject="overlap",
            message=(
                f"Neighbouring images may overlap by as little as {stand.overlap:.2f} m; "
                f"a column of shared marks wants {LEAST_OVERLAP.value:.2f} m."
            ),
            remedy=f"Ask for an overlap of {LEAST_OVERLAP.value:.2f} m or more.",
        )


def _rows(plan: SetUpPlan, stand: Stand) -> Iterator[Finding]:
    stacked = [one for one in plan.set_ups if one.overlap_above is not None or one.row > 1]
    if not stacked:
        return
    tallest = max(
        max(s.wall_head for s in column) - min(s.wall_foot for s in column)
        for _, group in groupby(stacked, key=lambda s: s.column)
        for column in [list(group)]
    )
    ways = [
        f"{_stood(other, stand)}: {_rows_named(other.rows)}, {number_of(other.count, 'set-up')}"
        + ("" if other.crossed is None else f", {other.crossed:.2f} m of edge crossed at seams")
        + ("" if other.bright else ", not all bright enough")
        + ("" if other.whole else ", which do not reach all of it")
        for other in plan.alternatives
        if not other.projector
    ]
    yield Finding(
        code="projection.stand_near",
        severity=Severity.WARN,
        subject=numbers_named([one.number for one in stacked]),
        message=(
            f"From {stand.distance:.2f} m the image is {stacked[0].height:.3f} m tall and the "
            f"wall up to {tallest:.3f} m: {_rows_named(plan.rows)}, "
            f"{number_of(len(plan.set_ups), 'set-up')}."
        ),
        remedy="One of: " + "; ".join([*ways, "these rows as planned", "a grid on the wall"]) + ".",
    )


def _stood(other: Alternative, stand: Stand) -> str:
    if other.orientation is not stand.orientation:
        return f"the projector {other.orientation.value}"
    return f"stand {other.distance:.2f} m off"


def _rows_named(rows: int) -> str:
    return "one row" if rows == 1 else number_of(rows, "row")


def _tall(plan: SetUpPlan) -> Iterator[Finding]:
    lit = math.fsum(one.width * one.height for one in plan.set_ups)
    used = math.fsum(one.width * (one.wall_head - one.wall_foot) for one in plan.set_ups)
    if plan.rows == 1 and lit > TALL_IMAGE.value * used:
        yield Finding(
            code="projection.image_tall",
            severity=Severity.NOTE,
            subject="images",
            message=(
                f"{100 * (1 - used / lit):.0f} % of the light falls above or below the wall: the "
                f"images are {plan.set_ups[0].height:.2f} m tall."
            ),
            remedy=(
                "Nothing need be done; standing nearer gives brighter and finer images, and more "
                "of them. Mind the windows and the traffic behind the wall."
            ),
        )


def _line(
    plan: SetUpPlan, projector: Projector, stand: Stand, thinnest_line: float | None
) -> Iterator[Finding]:
    if thinnest_line is None:
        return
    pitch = max(one.pitch for one in plan.set_ups)
    pixels = thinnest_line / pitch
    if pixels < LINE_PIXELS.value * (1 - SLACK):
        width = projector.columns * thinnest_line / LINE_PIXELS.value
        nearest = throw_distance(width, projector.throw_max)
        yield Finding(
            code="projection.coarse",
            severity=Severity.WARN,
            subject=f"line of {1000 * thinnest_line:.1f} mm",
            message=(
                f"It is {pixels:.1f} pixels wide at {1000 * pitch:.2f} mm a pixel; "
                f"{LINE_PIXELS.value:g} are asked for, and the zoom ends here."
            ),
            remedy=f"Stand {nearest:.2f} m off or nearer, or draw that line by hand.",
        )


def _narrowed(plan: SetUpPlan, projector: Projector, stand: Stand) -> Iterator[Finding]:
    zoomed = [one for one in plan.set_ups if one.throw_ratio > projector.throw_min + SLACK]
    for ratio, group in groupby(
        sorted(zoomed, key=lambda one: one.throw_ratio), key=lambda one: one.throw_ratio
    ):
        some = list(group)
        ambient = max(one.light.ambient for one in some)
        wide = max(plan.set_ups, key=lambda one: one.width)
        share = zoom_light(projector, wide.throw_ratio)
        others = (
            [
                way.sentence
                for way in ways_out(
                    projector, wide.width, wide.height, ambient, stand.contrast, zoom=share
                )
                if way.passes and way.kind in (WayOutKind.MORE_LIGHT, WayOutKind.LESS_AMBIENT)
            ]
            if wide.throw_ratio < ratio and ambient > 0
            else []
        )
        or_wide = f" To keep it wide, one of: {'; '.join(others)}." if others else ""
        yield Finding(
            code="projection.zoomed_in",
            severity=Severity.NOTE,
            subject=numbers_named([one.number for one in some]),
            message=(
                f"The zoom is set in, to a throw ratio of {ratio:.2f} (image {some[0].width:.2f} "
                f"× {some[0].height:.2f} m), to stay bright and fine enough."
            ),
            remedy=f"Set the zoom by the width lit on the wall and mark the ring.{or_wide}",
        )


def _dim(
    plan: SetUpPlan, projector: Projector, stand: Stand, even: Sequence[SetUp]
) -> Iterator[Finding]:
    def alike(one: SetUp) -> tuple[float, float]:
        return (one.light.ambient, one.light.illuminance)

    if stand.contrast * projector.black >= 1:
        return  # no image is bright enough over its own black; the finding on that says so
    dim = sorted((one for one in plan.set_ups if not one.light.passes), key=alike)
    for _, group in groupby(dim, key=alike):
        some = list(group)
        yield _too_dim(some[0], numbers_named([each.number for each in some]), projector, stand)
    if plan.bound is None:
        return
    for lost in plan.unreachable:  # no set-up stands for what is lost: an even one tells of it
        over = [
            one for one in even
            if one.start < lost.end and one.end > lost.start and not one.light.passes
        ]  # fmt: skip
        if lost.limit is Limit.LIGHT and over:
            worst = min(over, key=lambda one: one.light.ratio)
            where = f"wall from {lost.start:.2f} to {lost.end:.2f} m"
            yield _too_dim(worst, where, projector, stand)


def _too_dim(one: SetUp, subject: str, projector: Projector, stand: Stand) -> Finding:
    ways = ways_out(
        projector,
        one.width,
        one.height,
        one.light.ambient,
        stand.contrast,
        zoom=zoom_light(projector, one.throw_ratio),
    )
    sentences = [
        way.sentence
        + (
            f", from {stand.distance * way.width / one.width:.2f} m at the same zoom"
            if way.kind in (WayOutKind.SMALLER_IMAGE, WayOutKind.MORE_LIGHT_SMALLER_IMAGE)
            else ""
        )
        for way in ways
    ]
    return Finding(
        code="projection.dim",
        severity=Severity.WARN,
        subject=subject,
        message=(
            f"{one.light.illuminance:.0f} lx on {one.light.ambient:g} lx of ambient light"
            + (f" and {one.light.black:.1f} lx of its own black" if one.light.black else "")
            + " is "
            f"{one.light.ratio:.1f}:1; the limit is {stand.contrast:g}:1."
        ),
        remedy="One of: " + "; ".join(sentences) + ".",
    )


def _reach(plan: SetUpPlan, projector: Projector, stand: Stand) -> Iterator[Finding]:
    reach = projector.upright_shift(stand.orientation)
    for row in range(1, plan.rows + 1):
        tilted = [one for one in plan.set_ups if one.row == row and one.tilt != 0.0]
        for up in (True, False):
            some = [one for one in tilted if (one.tilt > 0) is up]
            if not some:
                continue
            needed = [
                (one.foot + one.head) / 2 - reach[1 if up else 0] * one.height for one in some
            ]
            lens = max(needed) if up else min(needed)
            steepest = max(some, key=lambda one: abs(one.tilt))
            wide = max(steepest.keystone, 1 / steepest.keystone)
            shift = abs((steepest.foot + steepest.head) / 2 - steepest.lens_level) / steepest.height
            most = abs(reach[1 if up else 0])
            lens_text = f"{math.ceil(lens * 100 - SLACK) / 100:.2f}" if up else f"{lens:.2f}"
            yield Finding(
                code="projection.lens_reach",
                severity=Severity.WARN,
                subject=numbers_named([one.number for one in some]),
                message=(
                    f"The lens at level {steepest.lens_level:.2f} m needs a shift of "
                    f"{100 * shift:.0f} % of the image height; the projector has "
                    f"{100 * most:.0f} %."
                ),
                remedy=(
                    f"{'Raise' if up else 'Lower'} the lens to {lens_text} m above the level "
                    f"line and it stays square; or tilt it {'up' if up else 'down'} by "
                    f"{math.degrees(abs(steepest.tilt)):.1f}° and square the image by its marks "
                    f"(the {'top' if up else 'bottom'} row is {100 * (wide - 1):.1f} % wider)."
                ),
            )


def _low(plan: SetUpPlan) -> Iterator[Finding]:
    low = [one for one in plan.set_ups if one.lens_height < LEAST_LENS_HEIGHT.value - SLACK]
    if low:
        least = min(one.lens_height for one in low)
        lens = low[0].lens_level + LEAST_LENS_HEIGHT.value - least
        yield Finding(
            code="projection.lens_low",
            severity=Severity.WARN,
            subject=numbers_named([one.number for one in low]),
            message=(
                f"The lens would be {least:.2f} m above the ground there; the least is "
                f"{LEAST_LENS_HEIGHT.value:.2f} m."
            ),
            remedy=f"Set the lens {lens:.2f} m or more above the level line.",
        )


def _side(plan: SetUpPlan) -> Iterator[Finding]:
    if plan.orientation is Orientation.ON_SIDE:
        yield Finding(
            code="projection.on_its_side",
            severity=Severity.NOTE,
            subject="projector",
            message="It lies on its side, a quarter turn clockwise as seen from behind it.",
            remedy=(
                "Look in its manual whether it may run like that, and for how long; strap it to a "
                "bracket with its air inlets free."
            ),
        )
