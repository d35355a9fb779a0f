"""Bill: the take-off as lines of quantities, in the order of the work."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.artwork import Role
from giornata.core.foundation import Figure
from giornata.core.takeoff.quantities import TakeOff

__all__ = ["BillLine", "bill"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BillLine:
    """One line of the bill.

    Parameters
    ----------
    item : str
        What is done ("Fill", "Cut in").
    paint : int
        Number of the paint; 0 for the whole wall. [-]
    name : str
        Of the paint, or of the whole.
    quantity : Figure
        Area [m²] or length [m].
    """

    item: str
    paint: int
    name: str
    quantity: Figure


def bill(take_off: TakeOff) -> tuple[BillLine, ...]:
    """The base coat, then for each figure paint its fill by roller and by brush, and its edges.

    Notes
    -----
    The visible ground is the base coat showing, so it has no line of its own. Paints that do
    not occur have none either.
    """
    lines = [BillLine(item="Base coat", paint=0, name="Net wall", quantity=take_off.base)]
    for paint in take_off.paints:
        if paint.role is Role.GROUND or float(paint.area) == 0:
            if float(paint.cut) > 0:
                lines.append(_line("Cut in", paint.number, paint.name, paint.cut))
            continue
        lines.append(_line("Fill, roller", paint.number, paint.name, paint.rolled))
        lines.append(_line("Fill, brush", paint.number, paint.name, paint.brushed))
        lines.append(_line("Cut in", paint.number, paint.name, paint.cut))
    return tuple(lines)


def _line(item: str, number: int, name: str, quantity: Figure) -> BillLine:
    return BillLine(item=item, paint=number, name=name, quantity=quantity)
