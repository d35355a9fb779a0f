"""What is to be minded of what carries the projector: height, slope under it, turn to a side."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby

from giornata.core.foundation import Assumption, Finding, Severity
from giornata.core.projection.projector import Projector, Stand
from giornata.core.projection.setups import SetUp, SetUpPlan, numbers_named
from giornata.core.projection.spans import Wall
from giornata.core.site import Carrier, StandingStretch

__all__ = ["LEVELLED", "REACHED_FROM_GROUND", "carrier_findings", "contrast_findings"]

REACHED_FROM_GROUND = Assumption(
    name="height of the lens up to which it is handled from the ground",
    value=2.0,
    unit="m",
    source="common practice, no source: what one reaches without a step",
    usual=(1.6, 2.2),
)
LEVELLED = Assumption(
    name="slope of the ground from which it is said how far the projector leans",
    value=math.radians(1.0),
    unit="rad",
    source="own choice: over an image of 5 m it lifts one side by 9 cm",
    usual=(math.radians(0.5), math.radians(2.0)),
)


def carrier_findings(plan: SetUpPlan, wall: Wall) -> tuple[Finding, ...]:
    """Findings on set-ups that stand high, on a slope, or turned to a side.

    Parameters
    ----------
    plan : SetUpPlan
        The plan, perhaps empty.
    wall : Wall
        For the ground before it.
    """
    return (*_high(plan), *_sloping(plan, wall), *_panned(plan))


def contrast_findings(projector: Projector, stand: Stand) -> tuple[Finding, ...]:
    """Findings on the projector's own black.

    Parameters
    ----------
    projector : Projector
        The machine.
    stand : Stand
        For the least ratio.
    """
    return tuple(_contrast(projector, stand))


def _contrast(projector: Projector, stand: Stand) -> Iterator[Finding]:
    if projector.dynamic and projector.contrast is not None:
        yield Finding(
            code="projection.dynamic_contrast",
            severity=Severity.NOTE,
            subject=projector.name,
            message=f"Its contrast of {projector.contrast:g} : 1 is dynamic: the lamp is dimmed "
            "between the white and the black, which says nothing of black lines in a white "
            "picture. Its own black is taken as no light.",
            remedy="Write the native contrast, or read white and black of one picture on the wall.",
        )
    if stand.contrast * projector.black >= 1:
        yield Finding(
            code="projection.black_light",
            severity=Severity.WARN,
            subject=projector.name,
            message=f"Its black is 1/{1 / projector.black:g} of its white: {stand.contrast:g} : 1 "
            "cannot be reached even where no other light falls on the wall.",
            remedy="Ask for less, or hire a projector of more native contrast.",
        )


def _high(plan: SetUpPlan) -> Iterator[Finding]:
    high = [
        one
        for one in plan.set_ups
        if one.carrier is not Carrier.TRIPOD or one.lens_height > REACHED_FROM_GROUND.value
    ]
    for carrier, group in groupby(
        sorted(high, key=lambda one: (one.carrier.value, one.number)), key=lambda one: one.carrier
    ):
        some = list(group)
        highest = max(one.lens_height for one in some)
        yield Finding(
            code="projection.work_at_height",
            severity=Severity.WARN,
            subject=numbers_named([one.number for one in some]),
            message=f"The lens is on a {carrier}, up to {highest:.2f} m above the ground.",
            remedy="Falls kill: work from the ground where it can be done, else with guard rails "
            "and something tied against falling. Local rules for work at height, the makers' "
            "manuals and licensed people for towers and lifts come first; nobody stays on a "
            "vehicle that moves, and its load on the roof keeps to its manual.",
        )


def _sloping(plan: SetUpPlan, wall: Wall) -> Iterator[Finding]:
    def ground(one: SetUp) -> StandingStretch | None:
        at = min(max(one.centre, 0.0), wall.band.length)
        for room in wall.rooms_of(one.carrier):
            if room.start <= at <= room.end and room.holds(one.distance):
                return room.ground_at(one.distance)
        return None

    sloping = [
        (one, here)
        for one in plan.set_ups
        if (here := ground(one)) is not None and here.slope >= LEVELLED.value
    ]
    for name, group in groupby(
        sorted(sloping, key=lambda pair: (pair[1].name, pair[0].number)),
        key=lambda pair: pair[1].name,
    ):
        some = list(group)
        one, here = some[0]
        along, across = math.degrees(here.along), math.degrees(here.across)
        leans = []
        if abs(along) >= 0.05:
            side = "right" if along > 0 else "left"
            lift = one.width * math.tan(abs(here.along))
            leans.append(
                f"rolled {abs(along):.1f} degrees, its {side} side high, which lifts that side of "
                f"an image {one.width:.2f} m wide by {lift:.2f} m"
            )
        if abs(across) >= 0.05:
            leans.append(f"tilted {'up' if across > 0 else 'down'} by {abs(across):.1f} degrees")
        yield Finding(
            code="projection.on_a_slope",
            severity=Severity.NOTE,
            subject=numbers_named([pair[0].number for pair in some]),
            message=f"On {name} a projector that stands as the ground does is "
            + " and ".join(leans)
            + ".",
            remedy="Level it by its legs or by wedges and a spirit level across and along before "
            "it is aimed; that keeps pixels that a warp would cost. Weight it on the low side's "
            "legs and tether it.",
        )


def _panned(plan: SetUpPlan) -> Iterator[Finding]:
    panned = [one for one in plan.set_ups if one.pan != 0.0]
    for pan, group in groupby(
        sorted(panned, key=lambda one: (one.pan, one.number)), key=lambda one: one.pan
    ):
        some = list(group)
        coarsest = max(one.coarsest or one.pitch for one in some)
        yield Finding(
            code="projection.panned",
            severity=Severity.NOTE,
            subject=numbers_named([one.number for one in some]),
            message=f"Nothing can stand square before that part of the wall: the projector is "
            f"panned {math.degrees(abs(pan)):.0f} degrees to the {'right' if pan > 0 else 'left'}, "
            f"and its pixels are up to {1000 * coarsest:.1f} mm there.",
            remedy="Its picture widens to one side: square it by its marks (giornata square) "
            "before anything is traced, or have the place before the wall cleared.",
        )
