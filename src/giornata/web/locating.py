"""Locating: where on the wall a finding lies, from the names its subject speaks of."""

from __future__ import annotations

import re
from collections.abc import Iterator

from giornata.core.foundation import Finding
from giornata.core.job import Design, JobResults
from giornata.core.takeoff import NarrowKind
from giornata.web.records import Box

__all__ = ["finding_boxes"]

_NARROW = {
    "takeoff.unpaintable": NarrowKind.LINE,
    "takeoff.fine_point": NarrowKind.POINT,
    "takeoff.narrow_gap": NarrowKind.GAP,
    "takeoff.slivers": NarrowKind.SLIVER,
}
_AROUND = 0.25  # m of wall shown around a spot
_NARROWEST = 40  # places of one finding that are marked, narrowest first


def finding_boxes(finding: Finding, results: JobResults, design: Design) -> tuple[Box, ...]:
    """Stretches of wall a finding speaks of, narrowest place or leftmost first; none if nowhere.

    Parameters
    ----------
    design : Design
        The option that is shown; narrow places are its own.
    """
    if finding.code in _NARROW:
        return tuple(_narrow(finding, results, design))
    if finding.code == "setting_out.overrun":
        return ()
    for found in (_set_ups, _marks, _features):
        boxes = tuple(found(finding.subject, results))
        if boxes:
            return boxes
    return ()


def _narrow(finding: Finding, results: JobResults, design: Design) -> Iterator[Box]:
    names = {paint.name: paint.number for paint in results.inputs.paints}
    paint = names.get(finding.subject.removesuffix(f", option {design.option.key}"))
    kind = _NARROW[finding.code]
    here = [p for p in design.take_off.narrow if p.kind is kind and p.paint == paint]
    for place in sorted(here, key=lambda place: place.width)[:_NARROWEST]:
        yield (place.x - _AROUND, place.y - _AROUND, place.x + _AROUND, place.y + _AROUND)


def _set_ups(subject: str, results: JobResults) -> Iterator[Box]:
    match = re.search(r"\bset-ups? ([\d–, ]+)", subject)
    if match is None:
        return
    numbers: set[int] = set()
    for run in match.group(1).split(","):
        ends = [int(end) for end in re.findall(r"\d+", run)]
        if ends:
            numbers |= set(range(ends[0], ends[-1] + 1))
    for one in results.set_ups.set_ups:
        if one.number in numbers:
            yield (one.start, one.foot, one.end, one.head)


def _marks(subject: str, results: JobResults) -> Iterator[Box]:
    if "control mark" not in subject:
        return
    for mark in results.marks:
        column = mark.name.rsplit(" ", 1)[0]
        if mark.name in subject or f"column {column}" in subject:
            x, y = mark.chainage, mark.level
            yield (x - _AROUND, y - _AROUND, x + _AROUND, y + _AROUND)


def _features(subject: str, results: JobResults) -> Iterator[Box]:
    wall = results.wall
    low, high = float(wall.ground[:, 1].min()), float(wall.top[:, 1].max())
    for opening in wall.openings:
        if _speaks_of(subject, opening.name):
            yield opening.polygon.bounds
    for kind, spans in (("pier", wall.piers), ("bay", wall.bays)):
        for span in spans:
            if _speaks_of(subject, f"{kind} {span.name}"):
                yield (span.start, low, span.end, high)
    for lamp in wall.lamps:
        if _speaks_of(subject, lamp.name):
            yield (lamp.start, low, lamp.end, high)
    for band in wall.hidden:
        if _speaks_of(subject, band.name):
            yield band.polygon.bounds
    for bend in wall.bends:
        if _speaks_of(subject, f"bend at {bend.at:.2f} m"):
            yield (bend.at - 1.0, low, bend.at + 1.0, high)
    for arc in wall.arcs:
        if _speaks_of(subject, f"curve from {arc.start:.2f} to {arc.end:.2f} m"):
            yield (arc.start, low, arc.end, high)


def _speaks_of(subject: str, name: str) -> bool:
    return re.search(rf"(?<!\w){re.escape(name)}(?!\w)", subject) is not None
