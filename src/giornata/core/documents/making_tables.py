"""Tables of what a design costs to make: rollers, bends of edges, heights, and the ground line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from giornata.core.documents.tables import Cell, Column, Table
from giornata.core.job import Design
from giornata.core.takeoff import BANDS, Bend

__all__ = ["area_place_table", "bend_table", "foot_table", "ground_table", "roller_table"]

_OPTION = Column(head="Option")
_NUMBER = Column(head="No.")
_PAINT = Column(head="Paint")
_BAY = Column(head="Bay")


def _names(design: Design) -> dict[int, str]:
    return {paint.number: paint.name for paint in design.take_off.paints}


def roller_table(designs: Sequence[Design]) -> Table:
    """What a roller reaches of each paint, by its width, and what is left to the brush."""
    rows: list[tuple[Cell, ...]] = []
    for design in designs:
        names = _names(design)
        rows += [
            (
                design.option.key, one.paint, names[one.paint], one.width, one.rolled,
                one.brushed, 100 * one.rolled / (one.rolled + one.brushed),
            )
            for one in design.making.rollers
        ]  # fmt: skip
    return Table(
        name="rollers",
        title="What rollers of several widths reach of each paint",
        columns=(
            _OPTION, _NUMBER, _PAINT, Column(head="Roller", unit="m"),
            Column(head="Reached", unit="m²"), Column(head="Brush only", unit="m²"),
            Column(head="Reached, percent", digits=1),
        ),
        rows=tuple(rows),
    )  # fmt: skip


def bend_table(designs: Sequence[Design]) -> Table:
    """Edges by pair of paints, bay and height: long straights, gentle and tight curves."""
    rows: list[tuple[Cell, ...]] = []
    totals: list[tuple[Cell, ...]] = []
    for design in designs:
        names = _names(design)
        parts = design.making.edges
        places = dict.fromkeys((one.first, one.second, one.bay, one.band) for one in parts)
        length = {(one.first, one.second, one.bay, one.band, one.bend): one.length for one in parts}
        order = sorted(places, key=lambda at: (*at[:3], BANDS.index(at[3])))
        for first, second, bay, band in order:
            each = [length.get((first, second, bay, band, bend), 0.0) for bend in Bend]
            rows.append(
                (
                    design.option.key, first, names[first], second, names[second], bay, band,
                    *each, sum(each),
                )
            )  # fmt: skip
        whole = [sum(one.length for one in parts if one.bend is bend) for bend in Bend]
        totals.append(
            (design.option.key, None, "All paints", None, "", None, "", *whole, sum(whole))
        )
    return Table(
        name="edge-bends",
        title="Edges by bend, bay and height above the ground",
        columns=(
            _OPTION, _NUMBER, _PAINT, Column(head="With no."), Column(head="With"), _BAY,
            Column(head="Height"), Column(head="Long straights", unit="m"),
            Column(head="Gentle curves and short straights", unit="m"),
            Column(head="Tight curves", unit="m"), Column(head="Edge", unit="m"),
        ),
        rows=tuple(rows),
        totals=tuple(totals),
    )  # fmt: skip


def area_place_table(designs: Sequence[Design]) -> Table:
    """Area of each paint by bay: painted standing, from steps, and from a lift."""
    rows: list[tuple[Cell, ...]] = []
    totals: list[tuple[Cell, ...]] = []
    for design in designs:
        names = _names(design)
        areas = {(paint, bay, band): area for paint, bay, band, area in design.making.areas}
        for paint, bay in sorted({(paint, bay) for paint, bay, _ in areas}):
            each = [areas.get((paint, bay, band), 0.0) for band in BANDS]
            rows.append((design.option.key, paint, names[paint], bay, *each, sum(each)))
        whole = [sum(_of_band(areas, band)) for band in BANDS]
        totals.append((design.option.key, None, "All paints", None, *whole, sum(whole)))
    return Table(
        name="areas-by-bay",
        title="Areas by bay and height above the ground",
        columns=(
            _OPTION, _NUMBER, _PAINT, _BAY, Column(head="Standing", unit="m²"),
            Column(head="From steps", unit="m²"), Column(head="From a lift", unit="m²"),
            Column(head="Area", unit="m²"),
        ),
        rows=tuple(rows),
        totals=tuple(totals),
    )  # fmt: skip


def _of_band(areas: dict[tuple[int, int, str], float], band: str) -> Iterable[float]:
    return (area for (_, _, where), area in areas.items() if where == band)


def ground_table(designs: Sequence[Design]) -> Table:
    """What of each paint lies in the strip along the ground, by bay."""
    rows: list[tuple[Cell, ...]] = []
    for design in designs:
        names = _names(design)
        rows += [
            (design.option.key, one.paint, names[one.paint], one.bay, design.making.strip, one.area)
            for one in design.making.at_ground
        ]
    return Table(
        name="at-the-ground",
        title="What the ground line may hide or show: check its level on the wall",
        columns=(
            _OPTION, _NUMBER, _PAINT, _BAY, Column(head="Up to height", unit="m"),
            Column(head="Area", unit="m²"),
        ),
        rows=tuple(rows),
    )  # fmt: skip


def foot_table(designs: Sequence[Design]) -> Table:
    """Shapes whose foot lies in the strip along the ground."""
    rows: list[tuple[Cell, ...]] = []
    for design in designs:
        names = _names(design)
        rows += [
            (
                design.option.key, foot.paint, names[foot.paint], foot.start, foot.end, foot.x,
                foot.height, foot.area,
            )
            for foot in design.making.feet
        ]  # fmt: skip
    return Table(
        name="feet",
        title="Shapes that stand on the ground line or near it: check the level there",
        columns=(
            _OPTION, _NUMBER, _PAINT, Column(head="From chainage", unit="m", place=True),
            Column(head="To chainage", unit="m", place=True),
            Column(head="Lowest at chainage", unit="m", place=True),
            Column(head="Above the ground", unit="m", place=True),
            Column(head="Area in the strip", unit="m²"),
        ),
        rows=tuple(rows),
    )  # fmt: skip
