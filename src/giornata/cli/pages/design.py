"""The design: the artwork file, where it lies on the wall, and what was taken off."""

from __future__ import annotations

import math

from giornata.cli.pages.fit import fit_sections
from giornata.cli.pages.making import making_sections
from giornata.cli.report import Column, Fact, Facts, Measure, Report, Section, Table
from giornata.core import documents
from giornata.core.artwork import Drawing, paints_of
from giornata.core.job import Design, JobResults, NotFlat, not_flat

__all__ = ["artwork_page", "set_out_page", "take_off_page"]

_NARROWEST = 12  # narrow places printed, narrowest first
_CLASHES = 20
_THINGS = 24


def _names(results: JobResults) -> dict[int, str]:
    return {paint.number: paint.name for paint in results.inputs.paints}


def _of(results: JobResults, design: Design) -> str:
    return f"{results.inputs.title.name}, option {design.option.key} ({design.option.name})"


def artwork_page(results: JobResults, design: Design) -> Report:
    """What the drawing holds: canvas, groups, colours, what is not flat, narrow places."""
    drawing, flat = results.inputs.drawing, design.flat
    names = _names(results)
    areas = flat.areas()
    narrow = sorted(design.take_off.narrow, key=lambda place: (place.width, place.x))
    sections: list[Section] = [
        Facts(
            facts=(
                Fact(key="file", name="file", value=results.inputs.drawing.name),
                Fact(key="canvas_width", name="canvas, width", remark="artwork units",
                     value=Measure(value=drawing.width, unit="-")),
                Fact(key="canvas_height", name="canvas, height", remark="artwork units",
                     value=Measure(value=drawing.height, unit="-")),
                Fact(key="shapes", name="shapes in the file", value=len(drawing.shapes)),
                Fact(key="regions", name="visible regions", value=len(flat.coverage.faces)),
            )
        ),
        _groups(drawing, design),
        Table(
            key="colours",
            title="Visible colours",
            columns=(
                Column(key="colour", head="colour"),
                Column(key="paint", head="painted with"),
                Column(key="area", head="area, square\nartwork units", unit="-", digits=0),
            ),
            rows=tuple(
                (hue or "bare canvas", paint.name, area)
                for (hue, area), paint in zip(
                    areas.items(), paints_of(tuple(areas), results.inputs.paints), strict=True
                )
            ),
        ),
        _things(results, design),
        Table(
            key="narrow",
            title="Narrow places, narrowest first",
            columns=(
                Column(key="kind", head="kind"),
                Column(key="paint", head="paint"),
                Column(key="at", head="at", unit="m", taped=True),
                Column(key="level", head="level", unit="m", taped=True),
                Column(key="width", head="width", unit="m", digits=4),
                Column(key="length", head="length", unit="m"),
            ),
            rows=tuple(
                (str(p.kind), names[p.paint], p.x, p.y, p.width, p.length) for p in narrow
            ),
            most=_NARROWEST,
            none="Nothing is narrower than the narrowest brush.",
        ),
    ]  # fmt: skip
    return Report(
        title=f"{_of(results, design)}: the artwork",
        sections=tuple(sections),
        rooms=("artwork", "takeoff"),
    )


def _things(results: JobResults, design: Design) -> Table:
    def row(one: NotFlat) -> tuple[str | int | float | None, ...]:
        left, foot, right, head = one.box or (None, None, None, None)
        thing = one.thing
        return (thing.number, thing.kind.one, thing.name, left, right, foot, head, one.becomes)

    return Table(
        key="not_flat",
        title="Not flat colour, in painting order",
        columns=(
            Column(key="number", head="no."),
            Column(key="kind", head="kind"),
            Column(key="name", head="name"),
            Column(key="from", head="from", unit="m", taped=True),
            Column(key="to", head="to", unit="m", taped=True),
            Column(key="foot", head="foot", unit="m", taped=True),
            Column(key="head", head="head", unit="m", taped=True),
            Column(key="becomes", head="becomes"),
        ),
        rows=tuple(row(one) for one in not_flat(results, design)),
        most=_THINGS,
        none="Everything is flat colour.",
    )


def _groups(drawing: Drawing, design: Design) -> Table:
    out = (set(drawing.hidden) | set(design.option.hide)) - set(design.option.show)
    return Table(
        key="groups",
        title="Groups",
        columns=(Column(key="group", head="group"), Column(key="state", head="in this option")),
        rows=tuple((name, "left out" if name in out else "shown") for name in drawing.groups),
        none="The file names no groups.",
    )


def set_out_page(results: JobResults, design: Design) -> Report:
    """Where the artwork lies, what openings cut, and the control marks."""
    placed, placement = design.placed, design.placed.placement
    names = _names(results)
    facts = Facts(
        facts=(
            Fact(key="at", name="left edge at", value=Measure(value=placement.at, unit="m")),
            Fact(key="foot", name="lower edge, level",
                 value=Measure(value=placement.foot, unit="m")),
            Fact(key="scale", name="scale", value=Measure(value=placed.scale, unit="m"),
                 remark="of wall to one artwork unit"),
            Fact(key="mirrored", name="mirrored", value="yes" if placement.mirrored else "no"),
            *_turned(placement.turn),
            Fact(key="clearance", name="clearance",
                 value=Measure(value=placement.clearance, unit="m"), remark="beside openings"),
            Fact(key="uncovered", name="beyond the artwork",
                 value=Measure(value=placed.uncovered, unit="m²"), remark="painted as ground"),
        )
    )  # fmt: skip
    clashes = Table(
        key="clashes",
        title="Shapes that openings cut or that stand too near",
        columns=(
            Column(key="opening", head="opening"),
            Column(key="paint", head="paint"),
            Column(key="from", head="from", unit="m"),
            Column(key="to", head="to", unit="m"),
            Column(key="cut", head="cut", unit="m²"),
            Column(key="shift", head="move by", unit="m"),
            Column(key="verdict", head="verdict"),
        ),
        rows=tuple(
            (
                c.opening, names[c.paint], c.start, c.end, c.area,
                None if c.runs_across else c.shift,
                "runs across" if c.runs_across else ("cut" if c.area > 0 else "near"),
            )
            for c in sorted(placed.clashes, key=lambda c: -c.area)
        ),
        most=_CLASHES,
        none="None.",
    )  # fmt: skip
    overruns = Table(
        key="overruns",
        title="Off the wall",
        columns=(Column(key="side", head="side"), Column(key="area", head="figure", unit="m²")),
        rows=tuple((one.side, one.area) for one in placed.overruns),
        none="Nothing.",
    )
    return Report(
        title=f"{_of(results, design)}: setting out",
        sections=(
            facts,
            *fit_sections(placed.fit),
            clashes,
            overruns,
            _marks(results),
            _squared(results),
            _meeting(results),
        ),
        rooms=("setting_out",),
    )  # fmt: skip


def _turned(turn: float | None) -> tuple[Fact, ...]:
    if not turn:
        return ()
    return (
        Fact(key="turned", name="turned, anticlockwise", value=Measure(value=turn, unit="rad")),
    )


def _marks(results: JobResults) -> Table:
    ways = documents.put_on(results)
    return Table(
        key="marks",
        title=f"Control marks, each from the datum ({results.wall.datum})",
        columns=(
            Column(key="mark", head="mark"),
            Column(key="at", head="chainage", unit="m", digits=3, taped=True),
            Column(key="level", head="level", unit="m", digits=3, taped=True),
            Column(key="above_ground", head="above ground", unit="m", digits=3, taped=True),
            Column(key="set_ups", head="set-ups"),
        ),
        rows=tuple(
            (m.name, m.chainage, m.level, m.above_ground, documents.set_ups_aiming(m, ways))
            for m in results.marks
        ),
        none="No set-ups, so no marks.",
    )


def _squared(results: JobResults) -> Table:
    """What a picture squared on its marks is good for."""
    seen = [number for mark in results.marks for number in mark.set_ups]
    return Table(
        key="squared",
        title="Pictures squared on their marks, 95 times of 100, beside what the tape is out by",
        columns=(
            Column(key="set_up", head="set-up"),
            Column(key="marks", head="marks"),
            Column(key="within", head="within", unit="m", digits=3),
        ),
        rows=tuple(
            (one.number, seen.count(one.number), None if math.isinf(error) else error)
            for one, error in zip(results.set_ups.set_ups, results.mark_errors, strict=True)
            if one.number not in results.unprojected
        ),
        none="No set-ups.",
    )


def _meeting(results: JobResults) -> Table:
    """What neighbouring pictures, squared on their marks, may miss one another by."""
    levels = any(one.level is not None for one in results.seam_misses)
    return Table(
        key="meeting",
        title="Neighbours over their overlap, at its worst place, 95 times of 100",
        columns=(
            Column(key="left", head="set-up"),
            Column(key="right", head="and"),
            Column(key="at", head="chainage", unit="m"),
            *((Column(key="level", head="above it,\nat level", unit="m"),) if levels else ()),
            Column(key="within", head="miss within", unit="m", digits=3),
        ),
        rows=tuple(
            (
                one.left,
                one.right,
                one.chainage,
                *((one.level,) if levels else ()),
                None if math.isinf(one.expected) else one.expected,
            )
            for one in results.seam_misses
        ),
        none="No two set-ups meet.",
    )


def take_off_page(results: JobResults, design: Design) -> Report:
    """Areas, edges and what the roller reaches, for each paint; edges for each pair."""
    off = design.take_off
    names = _names(results)
    paints = Table(
        key="paints",
        title="Paints, in the order they go on",
        columns=(
            Column(key="number", head="no."),
            Column(key="paint", head="paint"),
            Column(key="area", head="area", unit="m²"),
            Column(key="shapes", head="shapes"),
            Column(key="edge", head="edge", unit="m", digits=1),
            Column(key="cut", head="cut in", unit="m", digits=1),
            Column(key="border", head="border", unit="m", digits=1),
            Column(key="rolled", head="roller", unit="m²"),
            Column(key="brushed", head="brush", unit="m²"),
        ),
        rows=tuple(
            (p.number, p.name, p.area, p.shapes, p.edge, p.cut, p.border, p.rolled, p.brushed)
            for p in off.paints
        ),
    )
    pairs = Table(
        key="pairs",
        title="Edges between paints, each once",
        columns=(
            Column(key="first", head="paint"),
            Column(key="second", head="meets"),
            Column(key="edge", head="along", unit="m", digits=1),
            Column(key="cut_by", head="cut in with"),
        ),
        rows=tuple((names[p.first], names[p.second], p.length, names[p.cut_by]) for p in off.pairs),
    )
    facts = Facts(
        facts=(
            Fact(key="net_area", name="net wall", value=off.net_area),
            Fact(key="base", name="base coat over", value=off.base),
            Fact(key="ground", name="ground that shows", value=off.ground),
            Fact(key="figure", name="figure", value=off.figure),
            Fact(key="edge", name="edges between paints", value=off.edge),
        )
    )
    return Report(
        title=f"{_of(results, design)}: take-off",
        sections=(facts, paints, pairs, *making_sections(results, design)),
        rooms=("takeoff",),
    )  # fmt: skip
