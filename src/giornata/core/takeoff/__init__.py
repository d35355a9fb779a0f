"""Take-off: quantities of a design on the wall, by paint, and the bill of them."""

from giornata.core.takeoff.bill import BillLine, bill
from giornata.core.takeoff.narrow_list import NarrowKind, NarrowPlace, narrow_list, narrowest_line
from giornata.core.takeoff.quantities import EdgeBetween, PaintQuantities, TakeOff, take_off
from giornata.core.takeoff.tools import REGISTRATION, BrushAndRoller

__all__ = [
    "REGISTRATION",
    "BillLine",
    "BrushAndRoller",
    "EdgeBetween",
    "NarrowKind",
    "NarrowPlace",
    "PaintQuantities",
    "TakeOff",
    "bill",
    "narrow_list",
    "narrowest_line",
    "take_off",
]
