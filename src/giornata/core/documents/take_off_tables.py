"""Tables of the take-off: paints, edges by pair, and the bill, option by option."""

from __future__ import annotations

from collections.abc import Sequence

from giornata.core import takeoff
from giornata.core.documents.tables import Cell, Column, Table
from giornata.core.job import Design

__all__ = ["bill_table", "edge_table", "take_off_table"]

_OPTION = Column(head="Option")
_NUMBER = Column(head="No.")
_PAINT = Column(head="Paint")


def take_off_table(designs: Sequence[Design]) -> Table:
    """What there is of each paint in each option; below, the whole wall.

    Notes
    -----
    An edge between two paints stands in the row of each; in the total it counts once, as it does
    under "Cut in", where it stands with the paint that goes on later.
    """
    rows: list[tuple[Cell, ...]] = []
    totals: list[tuple[Cell, ...]] = []
    for design in designs:
        off = design.take_off
        rows += [
            (
                design.option.key, one.number, one.name, one.role.value, one.area, one.rolled,
                one.brushed, one.edge, one.cut, one.border, one.shapes,
            )
            for one in off.paints
        ]  # fmt: skip
        totals.append(
            (
                design.option.key, None, "All paints", "", sum(float(p.area) for p in off.paints),
                sum(float(p.rolled) for p in off.paints),
                sum(float(p.brushed) for p in off.paints),
                off.edge, sum(float(p.cut) for p in off.paints),
                sum(float(p.border) for p in off.paints), sum(p.shapes for p in off.paints),
            )
        )  # fmt: skip
    return Table(
        name="take-off",
        title="What there is of each paint on the net wall",
        columns=(
            _OPTION,
            _NUMBER,
            _PAINT,
            Column(head="Role"),
            Column(head="Area", unit="m²"),
            Column(head="Reached by the roller", unit="m²"),
            Column(head="Brush only", unit="m²"),
            Column(head="Edge with other paints", unit="m"),
            Column(head="Cut in", unit="m"),
            Column(head="Along outline and openings", unit="m"),
            Column(head="Shapes"),
        ),
        rows=tuple(rows),
        totals=tuple(totals),
    )


def edge_table(designs: Sequence[Design]) -> Table:
    """Edge by which each two paints meet, option by option; empty where they do not meet."""
    rows: list[tuple[Cell, ...]] = []
    for design in designs:
        paints = design.take_off.paints
        lengths = {(pair.first, pair.second): pair.length for pair in design.take_off.pairs}
        for one in paints:
            ends = [sorted((one.number, other.number)) for other in paints]
            met = (lengths.get((first, second)) for first, second in ends)
            rows.append((design.option.key, one.number, one.name, *met))
    paints = designs[0].take_off.paints if designs else ()
    return Table(
        name="edges",
        title="Edge by which two paints meet",
        columns=(
            _OPTION,
            _NUMBER,
            _PAINT,
            *(Column(head=f"With {one.number} {one.name}", unit="m") for one in paints),
        ),
        rows=tuple(rows),
    )


def bill_table(designs: Sequence[Design]) -> Table:
    """The bill of quantities, option by option, in the order of the work."""
    rows: list[tuple[Cell, ...]] = []
    for design in designs:
        for line in takeoff.bill(design.take_off):
            area = line.quantity if line.quantity.unit == "m²" else None
            length = line.quantity if line.quantity.unit == "m" else None
            rows.append((design.option.key, line.item, line.paint or None, line.name, area, length))
    return Table(
        name="bill",
        title="Bill of quantities, one coat each",
        columns=(
            _OPTION,
            Column(head="Work"),
            _NUMBER,
            _PAINT,
            Column(head="Area", unit="m²"),
            Column(head="Length", unit="m"),
        ),
        rows=tuple(rows),
    )
