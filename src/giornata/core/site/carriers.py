"""What carries the projector, and the slopes on which each may stand."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from enum import StrEnum

from giornata.core.foundation import Assumption, Finding, Severity
from giornata.core.site.standing import TRIPOD_SLOPE, StandingStretch

__all__ = [
    "TOWER_SLOPE", "VEHICLE_CROSS_SLOPE", "VEHICLE_SLOPE", "Carrier", "level_enough",
    "steep_findings",
]  # fmt: skip

VEHICLE_SLOPE = Assumption(
    name="slope along the wall on which a parked vehicle may carry the projector",
    value=math.radians(5.7),
    unit="rad",
    source="common practice, no source: 10 %, half of the 20 % that a parking brake must hold",
    usual=(math.radians(3.0), math.radians(7.0)),
)
VEHICLE_CROSS_SLOPE = Assumption(
    name="slope across a parked vehicle that may carry the projector on its roof",
    value=math.radians(4.0),
    unit="rad",
    source="common practice, no source: 7 %; a load on the roof leans out",
    usual=(math.radians(2.0), math.radians(5.0)),
)
TOWER_SLOPE = Assumption(
    name="slope of the ground on which a scaffold tower is set up",
    value=math.radians(3.0),
    unit="rad",
    source="common practice, no source: what adjustable legs level; the tower's manual counts",
    usual=(math.radians(1.0), math.radians(5.0)),
)

_ROUNDING = 1e-9  # rad


class Carrier(StrEnum):
    """What carries the projector."""

    TRIPOD = "tripod"
    VEHICLE = "vehicle"
    TOWER = "scaffold tower"


def level_enough(stretch: StandingStretch, carrier: Carrier) -> bool:
    """Whether the ground is level enough for what carries the projector.

    Parameters
    ----------
    stretch : StandingStretch
        For its slopes; a vehicle is parked along the wall.
    carrier : Carrier
        What is to stand there.
    """
    if carrier is Carrier.VEHICLE:
        return (
            abs(stretch.along) <= VEHICLE_SLOPE.value + _ROUNDING
            and abs(stretch.across) <= VEHICLE_CROSS_SLOPE.value + _ROUNDING
        )
    most = TRIPOD_SLOPE if carrier is Carrier.TRIPOD else TOWER_SLOPE
    return stretch.slope <= most.value + _ROUNDING


def steep_findings(
    stretches: Sequence[StandingStretch], carriers: Sequence[Carrier]
) -> tuple[Finding, ...]:
    """Stretches that are no standing room because they slope too much for what is to stand there.

    Parameters
    ----------
    stretches : sequence of StandingStretch
        Where one may stand, but for slope.
    carriers : sequence of Carrier
        What carries the projector.
    """
    return tuple(_steep(stretches, tuple(dict.fromkeys(carriers))))


def _steep(stretches: Sequence[StandingStretch], carriers: Sequence[Carrier]) -> Iterator[Finding]:
    for one in stretches:
        for carrier in carriers:
            if level_enough(one, carrier):
                continue
            yield Finding(
                code="site.steep",
                severity=Severity.WARN,
                subject=f"standing room {one.name}",
                message=f"From {one.start:.2f} to {one.end:.2f} m it slopes "
                f"{math.degrees(one.slope):.1f} degrees ({math.degrees(abs(one.along)):.1f} along "
                f"the wall, {math.degrees(abs(one.across)):.1f} across); a {carrier} is set up on "
                f"{_most(carrier)}, so it is no standing room.",
                remedy="Build a level platform and record it with the slope it has, or stand "
                "elsewhere; weight and tether what stands there, and go by its manual.",
            )


def _most(carrier: Carrier) -> str:
    if carrier is Carrier.VEHICLE:
        return (
            f"{math.degrees(VEHICLE_SLOPE.value):.1f} along and "
            f"{math.degrees(VEHICLE_CROSS_SLOPE.value):.0f} across at most"
        )
    most = TRIPOD_SLOPE if carrier is Carrier.TRIPOD else TOWER_SLOPE
    return f"{math.degrees(most.value):.0f} at most"
