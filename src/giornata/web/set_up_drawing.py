"""One set-up as the projector draws it: its part of the design on the wall, and its lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely

from giornata.core.documents import LETTER, MARK_ARM, FrameKind, frames_of
from giornata.core.documents import upright_from_wall as upright
from giornata.core.foundation import INCH, System, affine_applied, readonly
from giornata.core.geometry import OUTSIDE
from giornata.core.job import JobResults
from giornata.core.projection import frame_from_wall
from giornata.desk import mark_sigma
from giornata.web.records import said
from giornata.web.set_up_lines import FOOT, Stretch, only_lines, stretches

__all__ = ["SetUpDrawing", "set_up_drawing"]

_BEYOND = 0.5  # of the picture's width and height: a picture may be dragged so far
_STEPS = 100_000  # steps a metre

_NUDGES = {
    System.METRIC: (("1 mm", 0.001), ("5 mm", 0.005), ("20 mm", 0.020)),
    System.US: (("1/16 in", INCH / 16), ("1/4 in", INCH / 4), ("1 in", INCH)),
}

Steps = tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnMark:
    """A control mark of a set-up."""

    name: str = said("Of the mark.")
    at: tuple[float, float] = said("Chainage and level. [m]")


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpDrawing:
    """What one set-up's pictures are drawn from."""

    version: str = said("Of the job.")
    number: int = said("Of the set-up.")
    columns: int = said("Of the projector. [px]")
    rows: int = said("Of the projector. [px]")
    plan: tuple[tuple[float, ...], ...] = said("From (chainage, level, 1) to its pixels.")
    pitch: float = said("Side of a pixel on the wall. [m]")
    window: tuple[float, float, float, float] = said("Start, foot, end, head. [m]")
    hinge: float | None = said("Chainage of the greatest bend inside the picture. [m]")
    marks: tuple[DrawnMark, ...] = said("Those it aims at.")
    mark_sigma: float = said("Deviation of a mark on the wall. [m]")
    aiming: float = said("Deviation of a cross laid on its mark. [px]")
    paints: tuple[tuple[int, str, str], ...] = said("Number, key and name.")
    fill: dict[str, str] = said("Colour of each paint by number.")
    contrast: dict[str, str] = said("Grey of each paint by number.")
    paint: tuple[int, ...] = said("Number of each region's paint.")
    regions: tuple[tuple[Steps, ...], ...] = said("Rings: first place and steps. [10 µm]")
    net: tuple[Steps, ...] = said("Rings of the wall less its openings. [10 µm]")
    between: tuple[Steps, ...] = said("Edges between two paints. [10 µm]")
    rim: tuple[Steps, ...] = said("Edges where the design ends. [10 µm]")
    stretches: tuple[Stretch, ...] = said("Lines to be ticked, along the wall.")
    line_unit: tuple[str, float] = said("In which line is counted: its name, and its length. [m]")
    small_unit: tuple[str, float] = said("In which misses are typed: its name, its length. [m]")
    steps: tuple[tuple[str, float], ...] = said("By which the whole picture is moved. [m]")
    label_at: tuple[float, float] = said("Where the set-up's number stands. [m]")
    letter: float = said("Height of letters. [m]")
    arm: float = said("Arm of a cross. [m]")


def set_up_drawing(
    results: JobResults, number: int, *, version: str, system: System
) -> SetUpDrawing | None:
    """The drawing of a set-up; None where the job has no such set-up."""
    one = next((s for s in results.set_ups.set_ups if s.number == number), None)
    if one is None:
        return None
    coverage = results.design.placed.coverage
    wide, high = _BEYOND * one.width, _BEYOND * one.height
    box = shapely.box(one.start - wide, one.foot - high, one.end + wide, one.head + high)
    faces = shapely.STRtree(coverage.faces)
    near = np.sort(faces.query(box, predicate="intersects"))
    pieces = [
        (int(coverage.labels[index]), part)
        for index in near
        for part in _polygons(shapely.intersection(coverage.faces[index], box))
    ]
    edges = shapely.STRtree(coverage.edges).query(box, predicate="intersects")
    between = (coverage.left != OUTSIDE) & (coverage.right != OUTSIDE)
    frames = {f.kind: f for f in frames_of(results, (one,))}
    outline = frames[FrameKind.OUTLINE]
    ((x, y),) = affine_applied(readonly(np.linalg.inv(upright(one))), [outline.label_at])
    bends = [b for b in results.wall.bends if one.start < b.at < one.end]
    return SetUpDrawing(
        version=version,
        number=number,
        columns=one.columns,
        rows=one.rows,
        plan=tuple(tuple(row) for row in frame_from_wall(one).tolist()),
        pitch=one.pitch,
        window=(one.start, one.foot, one.end, one.head),
        hinge=max(bends, key=lambda b: abs(b.angle)).at if bends else None,
        marks=tuple(
            DrawnMark(name=m.name, at=(m.chainage, m.level))
            for m in results.marks
            if number in m.set_ups
        ),
        mark_sigma=mark_sigma(results),
        aiming=results.inputs.marks_asked.aiming,
        paints=tuple((p.number, p.key, p.name) for p in results.inputs.paints),
        fill={str(n): c for n, c in frames[FrameKind.FILL].colours.items()},
        contrast={str(n): c for n, c in frames[FrameKind.HIGH_CONTRAST].colours.items()},
        paint=tuple(label for label, _ in pieces),
        regions=tuple(tuple(_rings(part)) for _, part in pieces),
        net=tuple(
            ring
            for part in _polygons(shapely.intersection(results.wall.net, box))
            for ring in _rings(part)
        ),
        between=tuple(_lines(coverage.edges[np.sort(edges[between[edges]])], box)),
        rim=tuple(_lines(coverage.edges[np.sort(edges[~between[edges]])], box)),
        stretches=stretches(results, one, system),
        line_unit=("m", 1.0) if system is System.METRIC else ("ft", FOOT),
        small_unit=("mm", 0.001) if system is System.METRIC else ("in", INCH),
        steps=_NUDGES[system],
        label_at=(round(float(x), 4), round(float(y), 4)),
        letter=LETTER.value,
        arm=MARK_ARM.value,
    )


def _polygons(area: Any) -> list[Any]:
    parts = shapely.get_parts(area)
    parts = [deep for part in parts for deep in shapely.get_parts(part)]
    return [part for part in parts if part.geom_type == "Polygon" and not part.is_empty]


def _rings(polygon: Any) -> Iterator[Steps]:
    for ring in (polygon.exterior, *polygon.interiors):
        yield _stepped(shapely.get_coordinates(ring)[:-1])


def _lines(edges: Any, box: Any) -> Iterator[Steps]:
    for line in only_lines(shapely.intersection(edges, box)):
        yield _stepped(shapely.get_coordinates(line))


def _stepped(places: Any) -> Steps:
    points = np.round(places * _STEPS).astype(np.int64)
    return tuple(np.diff(points, axis=0, prepend=0).ravel().tolist())
