"""Lines that a set-up draws, to be ticked by stretches of the wall and by pairs of paints."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import numpy as np
import shapely

from giornata.core.foundation import INCH, System, shown
from giornata.core.geometry import OUTSIDE
from giornata.core.job import JobResults
from giornata.core.projection import SetUp, cells
from giornata.web.records import said

__all__ = ["FOOT", "LineToTrace", "Stretch", "only_lines", "stretches"]

FOOT = 12 * INCH
_BAND = 1.0  # m: lines were once ticked by the metre in which their left ends lie
_HIGH = 1e6  # m

_Pair = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineToTrace:
    """Lines between two paints within a stretch, ticked together."""

    key: str = said("Paints, stretch and length; the same as long as the design is.")
    paints: tuple[str, str] = said("Keys of the paints on their two sides.")
    name: str = said("The paints' names.")
    length: str = said("In the job's units, and in how many lines.")
    metres: float = said("Their length. [m]")
    once: tuple[str, ...] = said("Keys under which older logs have them ticked, all of them.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of the wall that is traced from one place."""

    where: str = said("From which chainage to which.")
    lines: tuple[LineToTrace, ...] = said("In it.")


@dataclass(slots=True)
class _Found:
    """Lines of one pair in one stretch."""

    length: float = 0.0
    count: int = 0
    once: set[str] = field(default_factory=set)


def stretches(results: JobResults, one: SetUp, system: System) -> tuple[Stretch, ...]:
    """What a set-up has to trace, along the wall.

    Stretches end at whole metres, or at every fourth foot: as far as one reaches from one place.
    """
    names = {p.key: p.name for p in results.inputs.paints}
    unit, step = ("m", 1.0) if system is System.METRIC else ("ft", FOOT)
    places, found = _found(results, one, system)
    return tuple(
        Stretch(
            where=f"{_rounded(start / step)} to {_rounded(end / step)} {unit}",
            lines=tuple(
                LineToTrace(
                    key=_key(pair, start, end, lines),
                    paints=pair,
                    name=" | ".join(names[paint] for paint in pair),
                    length=_length(lines, system),
                    metres=round(lines.length, 4),
                    once=tuple(sorted(lines.once)),
                )
                for pair, lines in found[at]
            ),
        )
        for at, (start, end) in enumerate(pairwise(places))
        if found[at]
    )


def _key(pair: _Pair, start: float, end: float, lines: _Found) -> str:
    return f"{pair[0]} | {pair[1]}, {start:.2f} to {end:.2f} m, {lines.length:.2f} m"


def _rounded(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def _length(lines: _Found, system: System) -> str:
    length = shown(lines.length, "m", system)
    return length if lines.count == 1 else f"{length} in {lines.count} lines"


def _found(
    results: JobResults, one: SetUp, system: System
) -> tuple[list[float], list[list[tuple[_Pair, _Found]]]]:
    """Ends of the stretches, and the lines in each by their paints. [m]"""
    design, every = results.design, results.set_ups.set_ups
    cell = dict(zip((s.number for s in every), cells(every, design.seams), strict=True))[one.number]
    merged = _merged(results, cell)
    left, _, right, _ = shapely.intersection(cell, results.wall.outline).bounds
    places = _places(left, right, 1.0 if system is System.METRIC else 4 * FOOT)
    made: list[dict[_Pair, _Found]] = [{} for _ in places[1:]]
    for pair, lines in merged.items():
        once = _once(pair, lines)
        for line, old in zip(lines, once, strict=True):
            for at, parts in _cut(line, places):
                into = made[at].setdefault(pair, _Found())
                into.length += float(shapely.length(parts).sum())
                into.count += len(parts)
                into.once.add(old)
    return places, [list(pairs.items()) for pairs in made]


def _merged(results: JobResults, cell: Any) -> dict[_Pair, list[Any]]:
    """Lines of a set-up's part by the paints on their sides, joined where they go on."""
    coverage = results.design.placed.coverage
    keys = {p.number: p.key for p in results.inputs.paints}
    near = np.sort(shapely.STRtree(coverage.edges).query(cell, predicate="intersects"))
    by_pair: dict[_Pair, list[Any]] = {}
    for index in near:
        left, right = int(coverage.left[index]), int(coverage.right[index])
        if OUTSIDE in (left, right):
            continue
        inside = shapely.intersection(coverage.edges[index], cell)
        by_pair.setdefault((keys[left], keys[right]), []).append(inside)
    return {
        pair: only_lines([shapely.line_merge(shapely.union_all(only_lines(parts)))])
        for pair, parts in by_pair.items()
    }


def _places(left: float, right: float, step: float) -> list[float]:
    """Ends of stretches: multiples of a step, none leaving less than half of it at an end."""
    first, last = math.ceil(left / step + 0.5), math.floor(right / step - 0.5)
    return [left, *(step * k for k in range(first, last + 1)), right]


def _cut(line: Any, places: list[float]) -> list[tuple[int, list[Any]]]:
    """Parts of a line by the stretch that they lie in; along an end, in the one after it."""
    low, _, high, _ = line.bounds
    found = []
    for at, (start, end) in enumerate(pairwise(places)):
        if high < start or low > end:
            continue
        parts = only_lines([shapely.intersection(line, shapely.box(start, -_HIGH, end, _HIGH))])
        last = at == len(places) - 2
        parts = [part for part in parts if last or part.bounds[0] < end]
        if parts:
            found.append((at, parts))
    return found


def _once(pair: _Pair, lines: list[Any]) -> list[str]:
    """Keys that older logs have for these lines: paints, metre of the left end, length in it."""
    bands: dict[int, float] = {}
    for line in lines:
        band = math.floor(line.bounds[0] / _BAND)
        bands[band] = bands.get(band, 0.0) + float(line.length)
    each = (math.floor(line.bounds[0] / _BAND) for line in lines)
    return [f"{pair[0]} | {pair[1]}, {band} m, {bands[band]:.2f} m" for band in each]


def only_lines(things: Iterable[Any]) -> list[Any]:
    """The lines among parts of any kind."""
    return [
        part
        for thing in things
        for part in shapely.get_parts(thing)
        if part.geom_type == "LineString" and not part.is_empty
    ]
