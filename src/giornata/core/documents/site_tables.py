"""Tables for the wall: control marks to set out, and set-ups of the projector."""

from __future__ import annotations

import math

from giornata.core.documents.not_projected import put_on, set_ups_aiming
from giornata.core.documents.tables import Cell, Column, Table
from giornata.core.job import JobResults

__all__ = ["mark_table", "set_up_table"]


def mark_table(results: JobResults) -> Table:
    """Control marks in order along the wall, each measured from the datum."""
    ways = put_on(results)
    return Table(
        name="marks",
        title=f"Control marks; chainage and level from the datum: {results.wall.datum}",
        columns=(
            Column(head="Mark"),
            Column(head="Chainage", unit="m", place=True),
            Column(head="Level", unit="m", place=True),
            Column(head="Above ground", unit="m", place=True),
            Column(head="Set-ups"),
            Column(head="Moved along the wall", unit="m", digits=3),
        ),
        rows=tuple(
            (
                mark.name, mark.chainage, mark.level, mark.above_ground,
                set_ups_aiming(mark, ways), mark.moved,
            )
            for mark in results.marks
        ),
    )  # fmt: skip


def set_up_table(results: JobResults) -> Table:
    """Set-ups of the projector: where it stands, what it lights, what is traced from it."""
    nights = results.design.nights
    night_of = (
        {}
        if nights is None
        else {number: k for k, night in enumerate(nights.nights, start=1) for number in night}
    )
    ways = put_on(results)
    rows: list[tuple[Cell, ...]] = []
    for place, one in enumerate(results.set_ups.set_ups):
        marks = [mark.name for mark in results.marks if one.number in mark.set_ups]
        rows.append(
            (
                one.number, one.row, night_of.get(place + 1), one.centre, one.distance,
                one.lens_level, one.lens_height, one.carrier.value,
                one.orientation.value, one.start, one.end,
                one.foot, one.head, one.pitch, one.throw_ratio, one.shift, one.tilt, one.pan,
                one.keystone, one.light.illuminance, one.light.ambient,
                one.light.ratio if math.isfinite(one.light.ratio) else None,
                "bright enough" if one.light.passes else "too dim",
                one.overlap_next, one.overlap_above, results.design.traced[place],
                None if nights is None else nights.set_ups[place], ", ".join(marks),
                ways[one.number].words, ways[one.number].left_out,
            )
        )  # fmt: skip
    return Table(
        name="set-ups",
        title=f"Set-ups of the projector: {results.inputs.projector.name}",
        columns=(
            Column(head="Set-up"),
            Column(head="Row"),
            Column(head="Night"),
            Column(head="Lens at chainage", unit="m", place=True),
            Column(head="Lens to wall", unit="m", place=True),
            Column(head="Lens above level line", unit="m", place=True),
            Column(head="Lens above ground", unit="m", place=True),
            Column(head="Stands on"),
            Column(head="Lies"),
            Column(head="Image from chainage", unit="m", place=True),
            Column(head="Image to chainage", unit="m", place=True),
            Column(head="Lower edge, level", unit="m", place=True),
            Column(head="Upper edge, level", unit="m", place=True),
            Column(head="Pixel on the wall", unit="m/px"),
            Column(head="Throw ratio", unit="-"),
            Column(head="Lens shift, share of the height", unit="-"),
            Column(head="Tilt", unit="rad"),
            Column(head="Pan", unit="rad"),
            Column(head="Top row over bottom row", unit="-", digits=3),
            Column(head="Light", unit="lx"),
            Column(head="Ambient light", unit="lx"),
            Column(head="Light over ambient", unit="-", digits=1),
            Column(head="Verdict"),
            Column(head="Overlap with the next", unit="m", place=True),
            Column(head="Overlap with the one above", unit="m", place=True),
            Column(head="Edge to trace", unit="m"),
            Column(head="Time", unit="s", digits=2),
            Column(head="Marks"),
            Column(head="Put on"),
            Column(head="Not drawn along the wall", unit="m"),
        ),
        rows=tuple(rows),
    )
