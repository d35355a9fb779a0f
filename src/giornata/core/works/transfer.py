"""Other ways to bring a drawing onto a wall: by a grid of squares, and by pounce; their hours."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import shapely

from giornata.core.foundation import Assumption, Figure, Finding, Severity, derived, given
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.projection import SetUp
from giornata.core.works.terms import decided

__all__ = [
    "GRID_DRAWING", "GRID_PITCH", "HANGING", "POUNCING", "PRICKING", "SNAPPING", "StretchHours",
    "TransferHours", "TransferStretch", "TransferTerms", "TransferWay", "no_projection",
    "stretch_hours", "transfer_findings", "transfer_hours",
]  # fmt: skip

_BEYOND = 1e4  # m over and under any wall

GRID_PITCH = Assumption(
    name="side of the squares on the wall",
    value=0.5,
    unit="m",
    source="common practice, no source: a hand's reach; half of it over details",
    usual=(0.2, 1.0),
)
SNAPPING = Assumption(
    name="measuring and snapping grid lines",
    value=60 / 3600,
    unit="m/s",
    source="common practice, no source: two people, chalk line, marks set from the datum",
    usual=(30 / 3600, 120 / 3600),
)
GRID_DRAWING = Assumption(
    name="drawing edges by squares",
    value=15 / 3600,
    unit="m/s",
    source="common practice, no source: plain shapes 30 m/h, figures 8 m/h; your own log decides",
    usual=(8 / 3600, 30 / 3600),
)
PRICKING = Assumption(
    name="pricking edges of a pounce pattern",
    value=60 / 3600,
    unit="m/s",
    source="common practice, no source: with a wheel, at the table; an electric point is faster",
    usual=(20 / 3600, 150 / 3600),
)
HANGING = Assumption(
    name="joining and hanging a pounce pattern",
    value=5.0 / 3600,
    unit="m²/s",
    source="common practice, no source: taping tiles, hanging to the marks, taking down; no wind",
    usual=(2.0 / 3600, 10.0 / 3600),
)
POUNCING = Assumption(
    name="dusting edges through and joining the dots",
    value=40 / 3600,
    unit="m/s",
    source="common practice, no source",
    usual=(20 / 3600, 80 / 3600),
)


class TransferWay(StrEnum):
    """How a drawing comes onto the wall without a projector."""

    GRID = "grid"
    POUNCE = "pounce"


@dataclass(frozen=True, slots=True, kw_only=True)
class TransferStretch:
    """A stretch of wall that is not projected.

    Parameters
    ----------
    start, end : float
        Chainages; it ends after it starts. [m]
    way : TransferWay
        Grid or pounce.
    """

    start: float
    end: float
    way: TransferWay

    def __post_init__(self) -> None:
        if not 0 <= self.start < self.end < math.inf:
            raise ValueError("a stretch of transfer starts at 0 or later and ends after it starts")


@dataclass(frozen=True, slots=True, kw_only=True)
class TransferTerms:
    """Rates of other ways of transfer, and where they are chosen; None is the house default.

    Parameters
    ----------
    pitch : float or None
        Side of the squares; above 0. [m]
    snapping, drawing, pricking, pouncing : float or None
        Of one crew; above 0. [m/s]
    hanging : float or None
        Above 0. [m²/s]
    stretches : tuple of TransferStretch
        In the job's order.
    """

    pitch: float | None = None
    snapping: float | None = None
    drawing: float | None = None
    pricking: float | None = None
    pouncing: float | None = None
    hanging: float | None = None
    stretches: tuple[TransferStretch, ...] = ()

    def __post_init__(self) -> None:
        rates = (
            self.pitch, self.snapping, self.drawing, self.pricking, self.pouncing, self.hanging,
        )  # fmt: skip
        if any(one is not None and not 0 < one < math.inf for one in rates):
            raise ValueError("the squares and the rates of transfer are above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class TransferHours:
    """One set-up's part of the wall by each way.

    Parameters
    ----------
    set_up : int
        Its number. [-]
    projected, grid, pounce : Figure
        Of the crew, by the clock. [s]
    """

    set_up: int
    projected: Figure
    grid: Figure
    pounce: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class StretchHours:
    """A stretch that is not projected, and what it takes.

    Parameters
    ----------
    stretch : TransferStretch
    edge : Figure
        Between paints in it. [m]
    time : Figure
        Of the crew, by the clock. [s]
    """

    stretch: TransferStretch
    edge: Figure
    time: Figure


def stretch_hours(
    coverage: Coverage, net: Any, stretches: Sequence[TransferStretch], terms: TransferTerms
) -> tuple[StretchHours, ...]:
    """Hours of each stretch that is not projected. [s]

    Parameters
    ----------
    coverage : geometry.Coverage
        On the wall, by paint number; wall frame. [m]
    net : shapely.Geometry
        The wall less its openings. [m]
    stretches : sequence of TransferStretch
        In the job's order.
    terms : TransferTerms
        Rates.
    """
    between = coverage.edges[(coverage.left != OUTSIDE) & (coverage.right != OUTSIDE)]
    made = []
    for one in stretches:
        place = _box(one)
        name = f"{one.start:.2f} to {one.end:.2f} m"
        edge = given(
            f"edge from {name}", float(shapely.length(shapely.intersection(between, place)).sum()),
            "m", source="artwork on the wall",
        )  # fmt: skip
        area = float(shapely.intersection(net, place).area)
        grid, pounce = _ways(f"from {name}", area, edge, terms)
        time = grid if one.way is TransferWay.GRID else pounce
        made.append(StretchHours(stretch=one, edge=edge, time=time))
    return tuple(made)


def transfer_hours(
    set_ups: Sequence[SetUp],
    areas: Sequence[float],
    edges: Sequence[Figure],
    projected: Sequence[Figure],
    terms: TransferTerms,
) -> tuple[TransferHours, ...]:
    """Hours of each set-up's part by projector, by grid and by pounce. [s]

    Parameters
    ----------
    set_ups : sequence of SetUp
        In order of number.
    areas : sequence of float
        Of the wall in each part. [m²]
    edges : sequence of Figure
        Edge to draw in each. [m]
    projected : sequence of Figure
        Time with the projector. [s]
    terms : TransferTerms
        Rates.

    Notes
    -----
    Grid: every square line is snapped, then each edge drawn by eye from square to square. Pounce:
    edges pricked, the pattern joined and hung, edges dusted through and the dots joined. Printing
    is left out; both are work by daylight.
    """
    made = []
    for one, area, edge, time in zip(set_ups, areas, edges, projected, strict=True):
        grid, pounce = _ways(f"of set-up {one.number}", area, edge, terms)
        made.append(TransferHours(set_up=one.number, projected=time, grid=grid, pounce=pounce))
    return tuple(made)


def _box(one: TransferStretch) -> Any:
    return shapely.box(one.start, -_BEYOND, one.end, _BEYOND)


def _ways(name: str, area: float, edge: Figure, terms: TransferTerms) -> tuple[Figure, Figure]:
    """Hours of a part of the wall by grid and by pounce. [s]"""
    pitch = decided("transfer.pitch", terms.pitch, GRID_PITCH)
    snapping = decided("transfer.snapping", terms.snapping, SNAPPING)
    drawing = decided("transfer.drawing", terms.drawing, GRID_DRAWING)
    pricking = decided("transfer.pricking", terms.pricking, PRICKING)
    pouncing = decided("transfer.pouncing", terms.pouncing, POUNCING)
    hanging = decided("transfer.hanging", terms.hanging, HANGING)
    wall = given(f"wall {name}", area, "m²", source="survey, net wall")
    length = float(edge)
    return (
        derived(
            f"grid {name}",
            2 * area / float(pitch) / float(snapping) + length / float(drawing),
            "s",
            method="works.transfer_hours v1",
            formula="2 × wall ÷ square ÷ snapping + edge ÷ drawing by squares",
            parts=(wall, pitch, snapping, edge, drawing),
        ),
        derived(
            f"pounce {name}",
            length / float(pricking) + area / float(hanging) + length / float(pouncing),
            "s",
            method="works.transfer_hours v1",
            formula="edge ÷ pricking + wall ÷ hanging + edge ÷ pouncing",
            parts=(edge, pricking, wall, hanging, pouncing),
        ),
    )


def no_projection(
    coverage: Coverage,
    net: Any,
    spans: Sequence[tuple[float, float]],
    length: float,
    terms: TransferTerms,
) -> tuple[Finding, ...]:
    """Hours by grid and by pounce of stretches that no set-up can reach.

    Parameters
    ----------
    coverage : geometry.Coverage
        On the wall, by paint number; wall frame. [m]
    net : shapely.Geometry
        The wall less its openings. [m]
    spans : sequence of tuple of float
        Chainages of their ends; those put under ``[transfer]`` already are left out. [m]
    length : float
        Of the wall; above 0. [m]
    terms : TransferTerms
        Rates.
    """
    found = []
    for start, end in spans:
        taken = sum(max(min(one.end, end) - max(one.start, start), 0.0) for one in terms.stretches)
        if taken >= end - start - 1e-6:
            continue
        whole = end - start >= length - 1e-6
        asked = [TransferStretch(start=start, end=end, way=way) for way in TransferWay]
        grid, pounce = (
            float(one.time) / 3600 for one in stretch_hours(coverage, net, asked, terms)
        )
        found.append(
            Finding(
                code="works.transfer_offered",
                severity=Severity.NOTE,
                subject="the whole wall" if whole else f"wall from {start:.2f} to {end:.2f} m",
                message=f"It cannot be projected as planned. By daylight it can be squared up in "
                f"{grid:.1f} h, or pounced in {pounce:.1f} h.",
                remedy="Mend what the findings of the projection name, or put the stretch under "
                "[transfer]; its sheets: giornata transfer.",
            )
        )
    return tuple(found)


def transfer_findings(
    set_ups: Sequence[SetUp],
    hours: Sequence[TransferHours],
    stretches: Sequence[TransferStretch],
    length: float,
) -> tuple[Finding, ...]:
    """Where the projector is too faint: the other ways with their hours; stretches off the wall.

    Parameters
    ----------
    set_ups : sequence of SetUp
        In order of number.
    hours : sequence of TransferHours
        Of each.
    stretches : sequence of TransferStretch
        That are not projected.
    length : float
        Of the wall; above 0. [m]
    """
    found = [
        Finding(
            code="works.transfer_off_wall",
            severity=Severity.WARN,
            subject=f"transfer from {one.start:.2f} to {one.end:.2f} m",
            message=f"The wall ends at {length:.2f} m.",
            remedy="Correct the stretch under [transfer].",
        )
        for one in stretches
        if one.end > length + 1e-6
    ]
    dim = [
        one.number
        for one in set_ups
        if not one.light.passes and not any(s.start <= one.centre <= s.end for s in stretches)
    ]
    if not dim:
        return tuple(found)
    rows = [hours[number - 1] for number in dim]
    projected, grid, pounce = (
        sum(map(float, column)) / 3600
        for column in zip(*((row.projected, row.grid, row.pounce) for row in rows), strict=True)
    )
    which = ", ".join(map(str, dim))
    found.append(
        Finding(
            code="works.transfer_offered",
            severity=Severity.NOTE,
            subject=f"set-up {which}" if len(dim) == 1 else f"set-ups {which}",
            message=f"Where the image is too faint, the drawing can be squared up by daylight in "
            f"{grid:.1f} h, or pounced in {pounce:.1f} h; projected it would take "
            f"{projected:.1f} h.",
            remedy="Name the stretch under [transfer]; its sheets: giornata transfer.",
        )
    )
    return tuple(found)
