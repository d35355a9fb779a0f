"""What was tested on the wall before painting, as it was read and decided."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

__all__ = [
    "AlkalinityReading", "Hold", "HoldCause", "MoistureReading", "OldPaint", "PreparationTerms",
    "SheetTest",
]  # fmt: skip


class OldPaint(StrEnum):
    """What is known of paint that is on the wall already."""

    NONE = "none"
    UNTESTED = "untested"
    NO_LEAD = "no lead"
    LEAD = "lead"
    MADE_SAFE = "made safe"


class HoldCause(StrEnum):
    """Why a stretch of wall may not be painted yet, as seen at the wall."""

    SALTS = "salts"
    RELEASE_AGENT = "release agent"
    LAITANCE = "laitance"
    GROWTH = "growth"
    LOOSE = "loose paint or render"
    SEEPAGE = "seepage"
    CRACK = "crack"


@dataclass(frozen=True, slots=True, kw_only=True)
class MoistureReading:
    """A reading of the moisture meter.

    Parameters
    ----------
    bay : str
        Name of the bay.
    share : float
        As the meter shows it, 0 to 1. [-]
    """

    bay: str
    share: float

    def __post_init__(self) -> None:
        if not 0 <= self.share <= 1:
            raise ValueError("a moisture reading lies between 0 and 100 %")


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetTest:
    """A sheet of polythene that was taped to the wall and taken off again.

    Parameters
    ----------
    bay : str
        Name of the bay.
    duration : float
        How long it was on; above 0. [s]
    dry : bool
        Nothing to be seen below it: no drops, no darker wall.
    """

    bay: str
    duration: float
    dry: bool

    def __post_init__(self) -> None:
        if not self.duration > 0:
            raise ValueError("a sheet is on the wall for more than 0 h")


@dataclass(frozen=True, slots=True, kw_only=True)
class AlkalinityReading:
    """A pH reading on the wetted wall.

    Parameters
    ----------
    bay : str
        Name of the bay.
    ph : float
        0 to 14. [-]
    """

    bay: str
    ph: float

    def __post_init__(self) -> None:
        if not 0 <= self.ph <= 14:
            raise ValueError("a pH lies between 0 and 14")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A stretch of wall that is held for a cause that was seen.

    Parameters
    ----------
    bay : str
        Name of the bay.
    cause : HoldCause
        What was seen.
    cleared : date or None
        When it was dealt with; None while it stands.
    """

    bay: str
    cause: HoldCause
    cleared: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PreparationTerms:
    """Everything known of the wall's readiness; None where a house default holds.

    Parameters
    ----------
    start : date or None
        Day on which painting should begin.
    cast : date or None
        Day the concrete was cast or the render put on; None for an old wall.
    wait : float or None
        From that day to the first paint; 0 or more. [s]
    washed : date or None
        Last day the wall was washed.
    drying : float or None
        From washing to the first paint; 0 or more. [s]
    moisture_limit : float or None
        Highest reading of this meter that may be painted over; above 0 to 1. [-]
    moisture : tuple of MoistureReading
    sheets : tuple of SheetTest
    alkalinity : tuple of AlkalinityReading
    alkaline_primer : bool
        Whether the primer is made for fresh, alkaline walls.
    old_paint : OldPaint or None
        None where nobody has looked.
    holds : tuple of Hold
    """

    start: date | None = None
    cast: date | None = None
    wait: float | None = None
    washed: date | None = None
    drying: float | None = None
    moisture_limit: float | None = None
    moisture: tuple[MoistureReading, ...] = ()
    sheets: tuple[SheetTest, ...] = ()
    alkalinity: tuple[AlkalinityReading, ...] = ()
    alkaline_primer: bool = False
    old_paint: OldPaint | None = None
    holds: tuple[Hold, ...] = ()

    def __post_init__(self) -> None:
        if any(time is not None and not 0 <= time < 1e9 for time in (self.wait, self.drying)):
            raise ValueError("a waiting time is 0 days or more")
        if self.moisture_limit is not None and not 0 < self.moisture_limit <= 1:
            raise ValueError("a moisture limit lies above 0, up to 100 %")
