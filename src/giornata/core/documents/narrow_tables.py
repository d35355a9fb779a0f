"""Tables of narrow places: the smallest of each paint, and all of them."""

from __future__ import annotations

from collections.abc import Sequence

from giornata.core.documents.narrow_rings import numbered_places
from giornata.core.documents.tables import Cell, Column, Table
from giornata.core.job import Design
from giornata.core.takeoff import NarrowKind, NarrowPlace

__all__ = ["narrow_table", "smallest_table"]

_OPTION = Column(head="Option")
_NUMBER = Column(head="No.")
_PAINT = Column(head="Paint")


def smallest_table(designs: Sequence[Design], registration: float) -> Table:
    """The narrowest line and the narrowest gap of each paint, and how many there are.

    Parameters
    ----------
    registration : float
        How far a transferred line may be off. [m]

    Notes
    -----
    Slivers are faults of the drawing: they are counted, and are not the narrowest of anything.
    Empty where nothing is narrower than the narrowest line.
    """
    rows: list[tuple[Cell, ...]] = []
    for design in designs:
        for paint in design.take_off.paints:
            own = [one for one in design.take_off.narrow if one.paint == paint.number]
            kinds = {kind: [one for one in own if one.kind is kind] for kind in NarrowKind}
            gaps = kinds[NarrowKind.GAP]
            rows.append(
                (
                    design.option.key, paint.number, paint.name,
                    *_narrowest(kinds[NarrowKind.LINE]), len(kinds[NarrowKind.LINE]),
                    *_narrowest(gaps), len(gaps),
                    sum(one.width < registration for one in gaps),
                    len(kinds[NarrowKind.POINT]), len(kinds[NarrowKind.SLIVER]),
                )
            )  # fmt: skip
    return Table(
        name="smallest",
        title="The narrowest line and the narrowest gap of each paint",
        columns=(
            _OPTION, _NUMBER, _PAINT,
            Column(head="Narrowest line", unit="m", digits=5),
            Column(head="Line at chainage", unit="m", place=True),
            Column(head="Line at level", unit="m", place=True), Column(head="Narrow lines"),
            Column(head="Narrowest gap", unit="m", digits=5),
            Column(head="Gap at chainage", unit="m", place=True),
            Column(head="Gap at level", unit="m", place=True), Column(head="Narrow gaps"),
            Column(head="Gaps that lines may close"), Column(head="Fine points"),
            Column(head="Slivers"),
        ),
        rows=tuple(rows),
    )  # fmt: skip


def _narrowest(places: Sequence[NarrowPlace]) -> tuple[Cell, Cell, Cell]:
    if not places:
        return (None, None, None)
    least = min(places, key=lambda one: (one.width, one.x, one.y))
    return (least.width, least.x, least.y)


def narrow_table(designs: Sequence[Design]) -> Table:
    """All narrow places of each option, numbered along the wall as on their sheets."""
    rows: list[tuple[Cell, ...]] = []
    for design in designs:
        names = {paint.number: paint.name for paint in design.take_off.paints}
        rows += [
            (
                design.option.key, place, one.kind.value, one.paint, names[one.paint], one.x, one.y,
                one.width, one.length, one.limit,
                ", ".join(names[number] for number in one.beside),
            )
            for place, one in numbered_places(design.take_off.narrow)
        ]  # fmt: skip
    return Table(
        name="narrow-places",
        title="Places narrower than can be painted or kept free",
        columns=(
            _OPTION, Column(head="Place"), Column(head="Kind"), _NUMBER, _PAINT,
            Column(head="At chainage", unit="m", place=True),
            Column(head="Level", unit="m", place=True),
            Column(head="Width", unit="m", digits=5), Column(head="Length", unit="m"),
            Column(head="Limit", unit="m", digits=3), Column(head="Between"),
        ),
        rows=tuple(rows),
    )  # fmt: skip
