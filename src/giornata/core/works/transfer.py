"""Other ways to bring a drawing onto a wall: squaring up by a grid, and pounce; with their hours."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from giornata.core.foundation import Assumption, Figure, Finding, Severity, derived, given
from giornata.core.projection import SetUp
from giornata.core.works.terms import decided

__all__ = [
    "GRID_DRAWING", "GRID_PITCH", "HANGING", "POUNCING", "PRICKING", "SNAPPING", "TransferHours",
    "TransferStretch", "TransferTerms", "TransferWay", "grid_line_length", "transfer_findings",
    "transfer_hours",
]  # fmt: skip

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


def grid_line_length(width: float, height: float, pitch: float) -> float:
    """Length of the lines that square a part of a wall, borders shared with neighbours. [m]

    Parameters
    ----------
    width, height : float
        Of the part; above 0. [m]
    pitch : float
        Side of the squares; above 0. [m]

    Raises
    ------
    ValueError
        If an argument is not above 0.

    Examples
    --------
    >>> grid_line_length(5.0, 2.5, 0.5)
    50.0
    """
    if not (width > 0 and height > 0 and pitch > 0):
        raise ValueError("the part and its squares are above 0")
    return 2 * width * height / pitch


def transfer_hours(
    set_ups: Sequence[SetUp],
    cells: Sequence[float],
    edges: Sequence[Figure],
    projected: Sequence[Figure],
    terms: TransferTerms,
) -> tuple[TransferHours, ...]:
    """Hours of each set-up's part by projector, by grid and by pounce. [s]

    Parameters
    ----------
    set_ups : sequence of SetUp
        In order of number.
    cells : sequence of float
        Area of the wall in each part. [m²]
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
    pitch = decided("transfer.pitch", terms.pitch, GRID_PITCH)
    snapping = decided("transfer.snapping", terms.snapping, SNAPPING)
    drawing = decided("transfer.drawing", terms.drawing, GRID_DRAWING)
    pricking = decided("transfer.pricking", terms.pricking, PRICKING)
    pouncing = decided("transfer.pouncing", terms.pouncing, POUNCING)
    hanging = decided("transfer.hanging", terms.hanging, HANGING)
    made = []
    for one, area, edge, time in zip(set_ups, cells, edges, projected, strict=True):
        wall = given(f"wall in set-up {one.number}", area, "m²", source="plan of the set-ups")
        length = float(edge)
        made.append(
            TransferHours(
                set_up=one.number,
                projected=time,
                grid=derived(
                    f"set-up {one.number} by grid",
                    2 * area / float(pitch) / float(snapping) + length / float(drawing),
                    "s",
                    method="works.transfer_hours v1",
                    formula="2 × wall ÷ square ÷ snapping + edge ÷ drawing by squares",
                    parts=(wall, pitch, snapping, edge, drawing),
                ),
                pounce=derived(
                    f"set-up {one.number} by pounce",
                    length / float(pricking) + area / float(hanging) + length / float(pouncing),
                    "s",
                    method="works.transfer_hours v1",
                    formula="edge ÷ pricking + wall ÷ hanging + edge ÷ pouncing",
                    parts=(edge, pricking, wall, hanging, pouncing),
                ),
            )
        )
    return tuple(made)


def transfer_findings(
    set_ups: Sequence[SetUp], hours: Sequence[TransferHours]
) -> tuple[Finding, ...]:
    """Where the projector is too faint: the other ways with their hours, in one finding.

    Parameters
    ----------
    set_ups : sequence of SetUp
        In order of number.
    hours : sequence of TransferHours
        Of each.
    """
    dim = [one.number for one in set_ups if not one.light.passes]
    if not dim:
        return ()
    rows = [hours[number - 1] for number in dim]
    sums = [
        sum(float(figure) for figure in column) / 3600
        for column in (
            [row.projected for row in rows],
            [row.grid for row in rows],
            [row.pounce for row in rows],
        )
    ]
    which = ", ".join(map(str, dim))
    return (
        Finding(
            code="works.transfer_offered",
            severity=Severity.NOTE,
            subject=f"set-up {which}" if len(dim) == 1 else f"set-ups {which}",
            message=f"Where the image is too faint, the drawing can be squared up by daylight in "
            f"{sums[1]:.1f} h, or pounced in {sums[2]:.1f} h; projected it would take "
            f"{sums[0]:.1f} h.",
            remedy="Name the stretch under [transfer], and print its sheets: giornata transfer.",
        ),
    )
