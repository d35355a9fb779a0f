"""Paper and scales: sizes of sheets, drawing scales, and which of them go together."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from giornata.core.foundation import FOOT, INCH, Assumption, System

__all__ = [
    "MARGIN", "PaperSize", "Scale", "card_paper", "drawing_paper", "grid_step", "paper_for",
    "paper_unit", "printer_bar", "scales", "standard_scale", "whole_units",
]  # fmt: skip

MARGIN = Assumption(
    name="margin of a sheet",
    value=0.010,
    unit="m",
    source="common practice, no source: office printers leave 4 to 6 mm blank",
    usual=(0.006, 0.020),
)


class PaperSize(Enum):
    """Short and long side, in mm: ISO 216:2007, A series; ANSI/ASME Y14.1-2012, sizes A to E."""

    A5 = (148.0, 210.0)
    A4 = (210.0, 297.0)
    A3 = (297.0, 420.0)
    A2 = (420.0, 594.0)
    A1 = (594.0, 841.0)
    A0 = (841.0, 1189.0)
    LETTER = (215.9, 279.4)
    TABLOID = (279.4, 431.8)
    ANSI_C = (431.8, 558.8)
    ANSI_D = (558.8, 863.6)
    ANSI_E = (863.6, 1117.6)

    @property
    def short(self) -> float:
        """Short side. [mm]"""
        return float(self.value[0])

    @property
    def long(self) -> float:
        """Long side. [mm]"""
        return float(self.value[1])

    @property
    def title(self) -> str:
        """The name on the box of paper."""
        return {"LETTER": "Letter", "TABLOID": "11 × 17 in"}.get(
            self.name, self.name.replace("_", " ")
        )

    @property
    def us(self) -> bool:
        """Whether it belongs to the US series."""
        return self.name in {"LETTER", "TABLOID", "ANSI_C", "ANSI_D", "ANSI_E"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """A drawing scale.

    Parameters
    ----------
    ratio : int
        Wall over paper: 50 for 1:50. [-]
    name : str
        As it is written on the sheet.
    """

    ratio: int
    name: str

    @property
    def mm_per_metre(self) -> float:
        """Millimetres of paper for one metre of wall. [mm/m]"""
        return 1000.0 / self.ratio


# Reductions of ISO 5455:1979, table 1: 1:2, 1:5, 1:10 and their tenfolds.
_ISO = tuple(
    Scale(ratio=step * 10**tens, name=f"1:{step * 10**tens}")
    for tens in range(5)
    for step in (1, 2, 5)
    if 5 <= step * 10**tens <= 20000
)
# Architects' scales of the US, inches of paper to one foot of wall (Architectural Graphic
# Standards), and engineers' scales, feet to one inch, below them.
_US = (
    *(
        Scale(ratio=ratio, name=f"{inches} in = 1 ft (1:{ratio})")
        for inches, ratio in (
            ("1 1/2", 8), ("1", 12), ("3/4", 16), ("1/2", 24), ("3/8", 32), ("1/4", 48),
            ("3/16", 64), ("1/8", 96), ("3/32", 128), ("1/16", 192),
        )
    ),
    *(
        Scale(ratio=12 * feet, name=f"1 in = {feet} ft (1:{12 * feet})")
        for feet in (20, 30, 40, 50, 60, 100, 200, 300, 400, 500, 600, 1000)
    ),
)  # fmt: skip


def scales(system: System) -> tuple[Scale, ...]:
    """Standard drawing scales, the largest drawing first."""
    return _US if system is System.US else _ISO


def drawing_paper(system: System) -> PaperSize:
    """Paper of drawings and reference sheets, where none was chosen."""
    return PaperSize.TABLOID if system is System.US else PaperSize.A3


def card_paper(system: System) -> PaperSize:
    """Paper of cards and lists."""
    return PaperSize.LETTER if system is System.US else PaperSize.A4


def standard_scale(length: float, usable: float, system: System = System.METRIC) -> Scale | None:
    """The standard scale that draws a length as large as the paper takes it; None beyond all.

    Parameters
    ----------
    length : float
        On the wall; above 0. [m]
    usable : float
        Of the paper, without its margins; above 0. [mm]

    Raises
    ------
    ValueError
        If a length is not above 0.

    Examples
    --------
    >>> standard_scale(61.2, 420 - 2 * 10).name
    '1:200'
    """
    if not (length > 0 and usable > 0):
        raise ValueError("the wall and the paper have a length above 0")
    return next((s for s in scales(system) if length * s.mm_per_metre <= usable + 1e-6), None)


def paper_for(length: float, scale: Scale, system: System = System.METRIC) -> PaperSize | None:
    """The smallest paper whose long side takes a length at a scale; None beyond all.

    Parameters
    ----------
    length : float
        On the wall; above 0. [m]

    Raises
    ------
    ValueError
        If the length is not above 0.

    Examples
    --------
    >>> paper_for(61.2, Scale(ratio=100, name="1:100")).name
    'A1'
    """
    if not length > 0:
        raise ValueError("the wall has a length above 0")
    needed = length * scale.mm_per_metre + 2000 * MARGIN.value
    sizes = sorted((p for p in PaperSize if p.us is (system is System.US)), key=lambda p: p.long)
    return next((size for size in sizes if needed <= size.long + 1e-6), None)


def paper_unit(system: System) -> float:
    """What sheets are planned in whole numbers of: a millimetre, or half an inch. [mm]"""
    return 500 * INCH if system is System.US else 1.0


def whole_units(length: float, scale: Scale, unit: float) -> int:
    """Length of a stretch of wall on paper in whole units, rounded up. [-]

    Parameters
    ----------
    length : float
        On the wall. [m]
    unit : float
        Above 0. [mm]
    """
    return math.ceil(round(length * scale.mm_per_metre / unit, 6))


def grid_step(system: System) -> float:
    """Pitch of the grid of sheets: half a metre, or a foot. [m]"""
    return FOOT if system is System.US else 0.5


def printer_bar(system: System) -> tuple[float, str]:
    """Length of the bar that checks the printer [mm], and its name."""
    return (4000 * INCH, "4 in") if system is System.US else (100.0, "100 mm")
