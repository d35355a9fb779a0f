"""What a design costs to make, on the page of the take-off."""

from __future__ import annotations

from giornata.cli.report import Column, Table
from giornata.core.job import Design, JobResults
from giornata.core.takeoff import BANDS, Bend

__all__ = ["making_sections"]

_FEET = 12  # shapes printed


def making_sections(results: JobResults, design: Design) -> tuple[Table, ...]:
    """Rollers, bends of edges, heights, and shapes at the ground line."""
    names = {paint.number: paint.name for paint in results.inputs.paints}
    return (
        _rollers(design, names),
        _bends(design, names),
        _heights(design, names),
        _feet(design, names),
    )


def _rollers(design: Design, names: dict[int, str]) -> Table:
    return Table(
        key="rollers",
        title="What rollers of several widths reach",
        columns=(
            Column(key="paint", head="paint"),
            Column(key="width", head="roller", unit="m"),
            Column(key="rolled", head="reached", unit="m²"),
            Column(key="brushed", head="brush only", unit="m²"),
        ),
        rows=tuple(
            (names[one.paint], one.width, one.rolled, one.brushed) for one in design.making.rollers
        ),
        none="Nothing is painted.",
    )


def _bends(design: Design, names: dict[int, str]) -> Table:
    parts = design.making.edges
    pairs = sorted({(one.first, one.second) for one in parts})
    length: dict[tuple[int, int, Bend], float] = {}
    for one in parts:
        key = one.first, one.second, one.bend
        length[key] = length.get(key, 0.0) + one.length
    return Table(
        key="bends",
        title="Edges by bend: straights to snap, gentle and tight curves",
        columns=(
            Column(key="first", head="paint"),
            Column(key="second", head="meets"),
            Column(key="straight", head="long straights", unit="m", digits=1),
            Column(key="gentle", head="gentle", unit="m", digits=1),
            Column(key="tight", head="tight", unit="m", digits=1),
        ),
        rows=tuple(
            (
                names[first], names[second],
                *(length.get((first, second, bend), 0.0) for bend in Bend),
            )
            for first, second in pairs
        ),
        none="No two paints meet.",
    )  # fmt: skip


def _heights(design: Design, names: dict[int, str]) -> Table:
    area: dict[tuple[int, str], float] = {}
    for paint, _, band, part in design.making.areas:
        area[paint, band] = area.get((paint, band), 0.0) + part
    return Table(
        key="heights",
        title="Areas by height above the ground: standing, from steps, from a lift",
        columns=(
            Column(key="paint", head="paint"),
            *(Column(key=band, head=band, unit="m²") for band in BANDS),
        ),
        rows=tuple(
            (names[paint], *(area.get((paint, band), 0.0) for band in BANDS))
            for paint in sorted({paint for paint, _ in area})
        ),
        none="Nothing is painted.",
    )


def _feet(design: Design, names: dict[int, str]) -> Table:
    return Table(
        key="feet",
        title="Shapes at the ground line: check the level there on the wall",
        columns=(
            Column(key="paint", head="paint"),
            Column(key="from", head="from", unit="m"),
            Column(key="to", head="to", unit="m"),
            Column(key="foot", head="lowest at", unit="m"),
            Column(key="above", head="above ground", unit="m"),
            Column(key="area", head=f"within {design.making.strip:.2f} m", unit="m²"),
        ),
        rows=tuple(
            (names[foot.paint], foot.start, foot.end, foot.x, foot.height, foot.area)
            for foot in design.making.feet
        ),
        most=_FEET,
        none="None.",
    )
