"""Drawing of the wall for the browser: outlines in metres, painted regions in millimetres."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from giornata.core.colour import hex_from_srgb, relative_luminance, srgb_from_hex
from giornata.core.documents import PutOn, marks_of_use, put_on
from giornata.core.foundation import System, shown, shown_place
from giornata.core.job import Design, JobResults
from giornata.core.projection import SetUp
from giornata.web.records import said

__all__ = [
    "ArtworkDrawing", "DrawnSetUp", "DrawnSpan", "Ring", "Spot", "WallDrawing", "artwork_drawing",
    "night_hex", "wall_drawing",
]  # fmt: skip

Ring = tuple[tuple[float, float], ...]

_NIGHT_LEAST, _NIGHT_MOST = 26, 186  # red of black and of white paint by night, of 255


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnSpan:
    """Something with a name between two chainages."""

    name: str = said("Printed at it.")
    start: float = said("Chainage. [m]")
    end: float = said("Chainage; equal to start for a line. [m]")
    rings: tuple[Ring, ...] = said("Its outline, where it has one of its own. [m]", default=())
    cross: tuple[Ring, ...] = said("Lines across an opening. [m]", default=())


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnSetUp:
    """One image of the projector."""

    number: int = said("From 1.")
    box: tuple[float, float, float, float] = said("Start, foot, end, head. [m]")
    centre: tuple[float, float] = said("Where the lens points square at the wall. [m]")
    text: str = said("Number and stand-off.")
    passes: bool = said("Bright enough, and square without tilt.")
    by: str = said("By what else than the projector its part is put on; empty for none.")
    projected: bool = said("Whether it falls into a night.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A point on the wall with a name."""

    name: str = said("Printed at it.")
    at: tuple[float, float] = said("Chainage and level. [m]")
    text: str = said("The same with its measures.")


@dataclass(frozen=True, slots=True, kw_only=True)
class WallDrawing:
    """The wall and what lies on it, the artwork apart."""

    length: float = said("Of the wall. [m]")
    low: float = said("Lowest level of the ground. [m]")
    high: float = said("Highest level of the top. [m]")
    units: str = said("metric or us: how chainages are printed.")
    outline: tuple[Ring, ...] = said("Gross wall. [m]")
    top: Ring = said("Top line. [m]")
    ground: Ring = said("Ground line. [m]")
    bays: tuple[DrawnSpan, ...] = said("In order.")
    joints: tuple[float, ...] = said("Chainages. [m]")
    piers: tuple[DrawnSpan, ...] = said("In order.")
    bends: tuple[Spot, ...] = said("Chainage, and the ground there.")
    curves: tuple[DrawnSpan, ...] = said("Curved in plan; chainage runs along the face.")
    openings: tuple[DrawnSpan, ...] = said("In order.")
    obstacles: tuple[DrawnSpan, ...] = said("What hides the foot of the wall.")
    lamps: tuple[DrawnSpan, ...] = said("Stretches lit at night.")
    set_ups: tuple[DrawnSetUp, ...] = said("In order of number.")
    marks: tuple[Spot, ...] = said("Control marks.")
    paints: tuple[tuple[int, str, str], ...] = said("Number, key, name, in order of painting.")
    colourways: dict[str, dict[int, str]] = said("Colour of each paint number, by colourway.")
    night: dict[str, dict[int, str]] = said("The same in reds as light as the paints, for night.")


@dataclass(frozen=True, slots=True, kw_only=True)
class ArtworkDrawing:
    """The painted regions of one option, and their narrow places."""

    option: str = said("Its key.")
    paint: tuple[int, ...] = said("Paint number of each region.")
    regions: tuple[tuple[tuple[int, ...], ...], ...] = said(
        "Of each region its rings, outer first; x, y of the first point and then steps. [mm]"
    )
    narrow: tuple[Spot, ...] = said("Narrower than can be painted or kept free.")
    clashes: tuple[DrawnSpan, ...] = said("Shapes that an opening cuts.")


def night_hex(colour: str) -> str:
    """A red on black that is as light among reds as a colour is among all.

    Examples
    --------
    >>> night_hex("#000000"), night_hex("#ffffff")
    ('#1a0000', '#ba0000')
    """
    light = float(relative_luminance(srgb_from_hex(colour)))
    red = _NIGHT_LEAST + (_NIGHT_MOST - _NIGHT_LEAST) * math.sqrt(light)
    return str(hex_from_srgb((round(red) / 255, 0.0, 0.0)))


def wall_drawing(results: JobResults, system: System) -> WallDrawing:
    """The wall, its set-ups and marks."""
    wall, ways = results.wall, put_on(results)
    numbers = {paint.key: paint.number for paint in results.inputs.paints}
    colours = {
        colourway.key: {numbers[key]: hue for key, hue in colourway.colours.items()}
        for colourway in results.inputs.colourways
    }
    return WallDrawing(
        length=wall.length,
        low=float(wall.ground[:, 1].min()),
        high=float(wall.top[:, 1].max()),
        units=str(system),
        outline=_rings(wall.outline),
        top=_points(wall.top),
        ground=_points(wall.ground),
        bays=tuple(DrawnSpan(name=b.name, start=b.start, end=b.end) for b in wall.bays),
        joints=wall.joints,
        piers=tuple(DrawnSpan(name=p.name, start=p.start, end=p.end) for p in wall.piers),
        bends=tuple(_bends(results, system)),
        curves=tuple(
            DrawnSpan(
                name=f"{arc.curve} curve, radius {shown(arc.radius, 'm', system)}",
                start=arc.start,
                end=arc.end,
            )
            for arc in wall.arcs
        ),
        openings=tuple(
            DrawnSpan(
                name=o.name,
                start=o.start,
                end=o.end,
                rings=_rings(o.polygon),
                cross=_cross(o.polygon),
            )
            for o in wall.openings
        ),
        obstacles=tuple(
            DrawnSpan(name=h.name, start=h.start, end=h.end, rings=_rings(h.polygon))
            for h in wall.hidden
        ),
        lamps=tuple(
            DrawnSpan(
                name=f"{lamp.name}, {shown(lamp.ambient, 'lx', system)}",
                start=lamp.start,
                end=lamp.end,
            )
            for lamp in wall.lamps
        ),
        set_ups=tuple(
            DrawnSetUp(
                number=one.number,
                box=_rounded((one.start, one.foot, one.end, one.head)),
                centre=_rounded((one.centre, one.lens_level)),
                text=_set_up_words(one, ways[one.number], system),
                passes=one.passes,
                by=ways[one.number].other_ways,
                projected=ways[one.number].projected,
            )
            for one in results.set_ups.set_ups
        ),
        marks=tuple(
            Spot(
                name=mark.name,
                at=(mark.chainage, mark.level),
                text=f"{mark.name} at {shown_place(mark.chainage, system)}, "
                f"{shown_place(mark.above_ground, system)} above the ground",
            )
            for mark in marks_of_use(results)
        ),
        paints=tuple((p.number, p.key, p.name) for p in results.inputs.paints),
        colourways=colours,
        night={
            key: {number: night_hex(hue) for number, hue in hues.items()}
            for key, hues in colours.items()
        },
    )


def _set_up_words(one: SetUp, way: PutOn, system: System) -> str:
    if not way.projected:
        return f"{one.number}, not projected: {way.other_ways}"
    stands = f"{one.number}, lens {shown(one.distance, 'm', system)} off"
    return f"{stands}, in part {way.other_ways}" if way.out else stands


def _cross(polygon: Any) -> tuple[Ring, ...]:
    """The two diagonals of an opening, as far as they lie in it. [m]"""
    start, foot, end, head = polygon.bounds
    lines = [[(start, foot), (end, head)], [(start, head), (end, foot)]]
    return tuple(
        _points(shapely.get_coordinates(part))
        for line in lines
        for part in shapely.get_parts(shapely.intersection(shapely.LineString(line), polygon))
        if part.geom_type == "LineString"
    )


def _bends(results: JobResults, system: System) -> Iterable[Spot]:
    wall = results.wall
    for bend in wall.bends:
        at = bend.at
        text = f"bend {shown(abs(bend.angle), 'rad', system)}"
        level = float(np.interp(at, wall.ground[:, 0], wall.ground[:, 1]))
        yield Spot(name=text, at=_rounded((at, level)), text=f"{text} at {shown_place(at, system)}")


def artwork_drawing(results: JobResults, design: Design, system: System) -> ArtworkDrawing:
    """The regions of one option, rounded to the millimetre."""
    coverage = design.placed.coverage
    names = {paint.number: paint.name for paint in results.inputs.paints}
    paint: list[int] = []
    regions: list[tuple[tuple[int, ...], ...]] = []
    for face, label in zip(coverage.faces, coverage.labels, strict=True):
        rings = tuple(_steps(face))
        if rings:
            paint.append(int(label))
            regions.append(rings)
    return ArtworkDrawing(
        option=design.option.key,
        paint=tuple(paint),
        regions=tuple(regions),
        narrow=tuple(
            Spot(
                name=str(place.kind),
                at=_rounded((place.x, place.y)),
                text=f"{names[place.paint]}, {place.kind} {shown(place.width, 'm', system)} wide",
            )
            for place in design.take_off.narrow
        ),
        clashes=tuple(
            DrawnSpan(
                name=f"{clash.opening}: {names[clash.paint]}", start=clash.start, end=clash.end
            )
            for clash in design.placed.clashes
            if clash.overlap > 0 and not clash.runs_across
        ),
    )


def _steps(face: Any) -> Iterable[tuple[int, ...]]:
    """Rings of a region as first point and steps, millimetres; what rounds to nothing is left."""
    for number, ring in enumerate((face.exterior, *face.interiors)):
        points = np.round(shapely.get_coordinates(ring)[:-1] * 1000).astype(np.int64)
        points = points[np.any(points != np.roll(points, 1, axis=0), axis=1)]
        if len(points) >= 3:
            yield tuple(np.diff(points, axis=0, prepend=0).ravel().tolist())
        elif number == 0:
            return


def _rings(area: Any) -> tuple[Ring, ...]:
    return tuple(
        _points(shapely.get_coordinates(ring))
        for part in shapely.get_parts(area)
        for ring in (part.exterior, *part.interiors)
    )


def _points(line: Any) -> Ring:
    return tuple((round(float(x), 3), round(float(y), 3)) for x, y in line)


def _rounded(values: tuple[float, ...]) -> Any:
    return tuple(round(value, 3) for value in values)
