"""Take-off: quantities of a design on the wall, by paint, and the bill of them."""

from giornata.core.takeoff.bill import BillLine, bill
from giornata.core.takeoff.edge_bends import Bend, Segments, edge_segments
from giornata.core.takeoff.making import (
    BANDS,
    AtGround,
    EdgePart,
    Foot,
    Making,
    RollerShare,
    making,
)
from giornata.core.takeoff.making_figures import making_figures
from giornata.core.takeoff.narrow_list import NarrowKind, NarrowPlace, narrow_list, narrowest_line
from giornata.core.takeoff.quantities import EdgeBetween, PaintQuantities, TakeOff, take_off
from giornata.core.takeoff.tools import REGISTRATION, BrushAndRoller

__all__ = [
    "BANDS",
    "REGISTRATION",
    "AtGround",
    "Bend",
    "BillLine",
    "BrushAndRoller",
    "EdgeBetween",
    "EdgePart",
    "Foot",
    "Making",
    "NarrowKind",
    "NarrowPlace",
    "PaintQuantities",
    "RollerShare",
    "Segments",
    "TakeOff",
    "bill",
    "edge_segments",
    "making",
    "making_figures",
    "narrow_list",
    "narrowest_line",
    "take_off",
]
