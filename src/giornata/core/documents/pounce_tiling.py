"""How a stretch of wall is cut into the full-size tiles of a pounce pattern."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.documents.drawing import MID, Pen
from giornata.core.documents.scales import MARGIN, PaperSize
from giornata.core.documents.transfer_window import TransferWindow, row_letters
from giornata.core.documents.wall_view import WallView
from giornata.core.foundation import Assumption

__all__ = [
    "FOOT_HEIGHT", "FULL", "OVERLAP_LINE", "POUNCE_OVERLAP", "PounceTiling", "pounce_tiling",
    "tile_name",
]  # fmt: skip

POUNCE_OVERLAP = Assumption(
    name="overlap of neighbouring pounce tiles",
    value=0.020,
    unit="m",
    source="common practice, no source: room for a cross and for tape",
    usual=(0.01, 0.04),
)
FULL = 1000.0
"""Millimetres of paper to a metre of wall. [mm/m]"""
FOOT_HEIGHT = 14.0
"""Room under the drawing for name and bars. [mm]"""
OVERLAP_LINE = Pen(width=0.18, dash=(4.0, 2.0), colour=MID)


@dataclass(frozen=True, slots=True, kw_only=True)
class PounceTiling:
    """A stretch cut into full-size tiles.

    Parameters
    ----------
    window : TransferWindow
    size : PaperSize
    wide, high : float
        Of the drawing on a tile. [m]
    across, up : float
        From one tile to the next. [m]
    columns, rows : int
        [-]
    """

    window: TransferWindow
    size: PaperSize
    wide: float
    high: float
    across: float
    up: float
    columns: int
    rows: int

    def view(self, column: int, row: int) -> WallView:
        """The window of a tile, full size.

        Parameters
        ----------
        column, row : int
            From 0. [-]
        """
        margin = 1000 * MARGIN.value
        start = self.window.start + column * self.across
        base = self.window.base + row * self.up
        return WallView(
            start=start, end=start + self.wide, base=base, head=base + self.high, left=margin,
            lower=margin + self.high * FULL, mm_per_metre=FULL,
        )  # fmt: skip


def pounce_tiling(window: TransferWindow, size: PaperSize) -> PounceTiling:
    """A stretch cut into tiles as large as the paper takes, laid landscape."""
    margin = 1000 * MARGIN.value
    wide = (size.long - 2 * margin) / FULL
    high = (size.short - 2 * margin - FOOT_HEIGHT) / FULL
    across, up = wide - POUNCE_OVERLAP.value, high - POUNCE_OVERLAP.value
    columns = _count(window.end - window.start, wide, across)
    rows = _count(window.head - window.base, high, up)
    return PounceTiling(
        window=window, size=size, wide=wide, high=high, across=across, up=up, columns=columns,
        rows=rows,
    )  # fmt: skip


def _count(length: float, first: float, step: float) -> int:
    """Tiles that cover a length: the first whole, each after it a step further."""
    count = 1
    while first + (count - 1) * step < length - 1e-6:
        count += 1
    return count


def tile_name(place: tuple[int, int]) -> str:
    """Name of a tile: the letter of its row, then the number of its column.

    Parameters
    ----------
    place : tuple of (int, int)
        Column and row, from 0. [-]

    Examples
    --------
    >>> tile_name((2, 0))
    'A3'
    """
    column, row = place
    return f"{row_letters(row)}{column + 1}"
