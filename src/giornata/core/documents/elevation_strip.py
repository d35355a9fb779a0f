"""One strip of an elevation: the wall to scale with its dimension lines."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from giornata.core.documents.chainages import merged, running_chainages
from giornata.core.documents.dimensions import (
    chain,
    chain_height,
    height_line,
    running,
    running_height,
)
from giornata.core.documents.display import bare
from giornata.core.documents.drawing import Item, Label, Line, Pen
from giornata.core.documents.letters import label_box
from giornata.core.documents.narrow_rings import narrow_items
from giornata.core.documents.regions_on_paper import PaperRegions, region_items
from giornata.core.documents.room import Room
from giornata.core.documents.strip_cuts import Strip
from giornata.core.documents.strip_labels import (
    NOTE_ROW,
    cross,
    lamp_items,
    level_axis,
    level_labels,
    match_lines,
    note_items,
    note_rows,
    on_wall_items,
)
from giornata.core.documents.wall_parts import feature_items, outline_items
from giornata.core.documents.wall_view import WallView, level_range
from giornata.core.foundation import System
from giornata.core.setting_out import ControlMark
from giornata.core.survey import DevelopedWall, level_at
from giornata.core.takeoff import NarrowPlace

__all__ = ["StripLayout", "strip_items", "strip_layout"]

_EDGE = Pen(width=0.13, colour="#9a9a9a")
_LAMP_ROW, _LEVEL_ROW = 5.6, 4.2
_TITLE = 4.6  # mm, for the strip's name


@dataclass(frozen=True, slots=True, kw_only=True)
class StripLayout:
    """Heights of the rows of a strip, and what its chains say.

    Parameters
    ----------
    base, head : float
        Levels of the window. [m]
    notes : int
        Rows of notes above the wall. [-]
    above, drawn : float
        Height of the rows above the wall, and of the wall. [mm]
    feature_breaks : tuple of float
        Chainages of the chain of openings and piers. [m]
    feature_texts : tuple of tuple of str
        For each part of it what may be written, the best first.
    bay_breaks : tuple of float
        Chainages of the chain of bays. [m]
    bay_texts : tuple of tuple of str
        For each part of it what may be written, the best first.
    at : tuple of float
        Chainages of the running row. [m]
    rows : tuple of float
        Heights of the rows below the wall: levels, features, bays, running. [mm]
    """

    base: float
    head: float
    notes: int
    above: float
    drawn: float
    feature_breaks: tuple[float, ...]
    feature_texts: tuple[tuple[str, ...], ...]
    bay_breaks: tuple[float, ...]
    bay_texts: tuple[tuple[str, ...], ...]
    at: tuple[float, ...]
    rows: tuple[float, float, float, float]

    @property
    def height(self) -> float:
        """Of the whole strip. [mm]"""
        return self.above + self.drawn + sum(self.rows)


def strip_layout(
    wall: DevelopedWall,
    strip: Strip,
    mm_per_metre: float,
    system: System,
    *,
    left: float,
    reach: tuple[float, float],
) -> StripLayout:
    """The rows of a strip.

    Parameters
    ----------
    mm_per_metre : float
        Of the drawing; above 0. [mm/m]
    left : float
        Left side of the wall on the sheet. [mm]
    reach : tuple of float
        Left and right end of the room, the gutters included. [mm]
    """
    low, high = level_range(wall, strip.start, strip.end)
    pad = 0.3 / mm_per_metre
    view = WallView(
        start=strip.start, end=strip.end, base=low - pad, head=high + pad, left=left, lower=0.0,
        mm_per_metre=mm_per_metre,
    )  # fmt: skip
    features = _feature_edges(wall, strip)
    feature_breaks = merged([strip.start, *features, strip.end]) if features else ()
    feature_texts = _texts(feature_breaks, strip, system)
    bay_breaks, bay_texts = _bays(wall, strip, system)
    at = running_chainages(wall, strip.start, strip.end, (strip.start, strip.end))
    notes = note_rows(wall, view, reach, system)
    lit = any(lamp.start < strip.end and lamp.end > strip.start for lamp in wall.lamps)
    return StripLayout(
        base=low - pad,
        head=high + pad,
        notes=notes,
        above=_TITLE + (_LAMP_ROW if lit else 0.0) + notes * NOTE_ROW + _LEVEL_ROW,
        drawn=(high - low + 2 * pad) * mm_per_metre,
        feature_breaks=feature_breaks,
        feature_texts=feature_texts,
        bay_breaks=bay_breaks,
        bay_texts=bay_texts,
        at=at,
        rows=(
            _LEVEL_ROW + 0.8,
            chain_height(view, feature_breaks, feature_texts) + 0.9 if features else 0.0,
            chain_height(view, bay_breaks, bay_texts) + 0.9,
            running_height(at, system) + 0.5,
        ),
    )


def strip_items(
    wall: DevelopedWall,
    strip: Strip,
    layout: StripLayout,
    *,
    left: float,
    upper: float,
    reach: tuple[float, float],
    mm_per_metre: float,
    system: System,
    regions: PaperRegions | None,
    fills: Mapping[int, str],
    marks: tuple[ControlMark, ...] = (),
    narrow: Sequence[tuple[int, NarrowPlace]] = (),
    where: Mapping[int, str] | None = None,
) -> tuple[tuple[Item, ...], tuple[str, ...]]:
    """The strip on a sheet, and the notes there was no room for.

    Parameters
    ----------
    left, upper : float
        Left side of the wall, and upper edge of the rows above it. [mm]
    reach : tuple of float
        Left and right end of the room, the gutters included. [mm]
    mm_per_metre : float
        Of the drawing; above 0. [mm/m]
    fills : mapping of int to str
        Colour of each paint number.
    narrow : sequence of tuple of int and NarrowPlace
        Numbered narrow places to show.
    where : mapping of int to str, optional
        Where each strip is ("strip 2, page 2"), for the match lines.
    """
    view = WallView(
        start=strip.start, end=strip.end, base=layout.base, head=layout.head, left=left,
        lower=upper + layout.above + layout.drawn, mm_per_metre=mm_per_metre,
    )  # fmt: skip
    items: list[Item] = []
    if regions is not None:
        items += region_items(regions, view, fills, _EDGE)
    items += feature_items(wall, view)
    items += outline_items(wall, view)
    y = upper + _TITLE
    if any(lamp.start < strip.end and lamp.end > strip.start for lamp in wall.lamps):
        items += lamp_items(wall, view, y + _LAMP_ROW - 2.0, system)
        y += _LAMP_ROW
    noted, missing = note_items(wall, view, y, layout.notes, reach, system)
    items += noted
    tall = [item for at in _heights(wall, strip) for item in _height(wall, view, *at, system)]
    items += tall
    room = Room((view.left - 2.0, view.upper - 1.0, view.right + 2.0, view.lower + 1.0))
    levels = tuple(level_labels(wall, view, system))
    matched = tuple(match_lines(view, strip, upper + layout.above - _LEVEL_ROW, where or {}))
    for item in (*tall, *levels, *matched):
        if isinstance(item, Label):
            room.take(label_box(item))
    for item in matched:
        if isinstance(item, Line):  # nothing stands across it
            room.take((*item.points.min(axis=0), *item.points.max(axis=0)))
    named, more = on_wall_items(wall, view, room, system)
    items += named
    for mark in marks:
        if view.holds(mark.chainage):
            items += cross(mark, view, room)
    items += narrow_items(narrow, view, room)
    items += levels
    items += level_axis(wall, view, system, first=strip.number == 1)
    items += matched
    y = view.lower + layout.rows[0]
    if layout.feature_breaks:
        items += chain(view, layout.feature_breaks, layout.feature_texts, y + 4.4)
        y += layout.rows[1]
    items += chain(view, layout.bay_breaks, layout.bay_texts, y + 4.4)
    y += layout.rows[2]
    items += running(view, layout.at, y + 1.5, system, reach)
    return tuple(items), (*missing, *more)


def _feature_edges(wall: DevelopedWall, strip: Strip) -> list[float]:
    spans = [(one.start, one.end) for one in (*wall.openings, *wall.piers)]
    edges = {edge for span in spans for edge in span}
    return sorted(edge for edge in edges if strip.start <= edge <= strip.end)


def _texts(breaks: tuple[float, ...], strip: Strip, system: System) -> tuple[tuple[str, ...], ...]:
    """Lengths between breaks; none for a part that a match line cuts."""
    texts = [(bare(b - a, system),) for a, b in itertools.pairwise(breaks)]
    cut = [k for k, letter in ((0, strip.left_cut), (-1, strip.right_cut)) if texts and letter]
    return tuple(() if k in cut or k - len(texts) in cut else t for k, t in enumerate(texts))


def _bays(
    wall: DevelopedWall, strip: Strip, system: System
) -> tuple[tuple[float, ...], tuple[tuple[str, ...], ...]]:
    breaks, texts = [strip.start], []
    for bay in wall.bays:
        start, end = max(bay.start, strip.start), min(bay.end, strip.end)
        if end - start < 0.005:
            continue
        whole = start - bay.start < 0.005 and bay.end - end < 0.005
        length = bare(bay.end - bay.start, system)
        if whole:
            texts.append((f"bay {bay.name}  {length}", f"{bay.name}: {length}", length))
        else:
            texts.append((f"bay {bay.name} ({length})", f"bay {bay.name}", bay.name))
        breaks.append(end)
    breaks[-1] = strip.end
    return tuple(breaks), tuple(texts)


def _heights(wall: DevelopedWall, strip: Strip) -> Iterator[tuple[float, bool, float]]:
    """Chainages of readings, whether just before a step, and how far beside they are drawn."""
    read = merged(np.concatenate([wall.top[:, 0], wall.ground[:, 0]]).tolist())
    steps = {
        float(line[k, 0])
        for line in (wall.top, wall.ground)
        for k in range(1, len(line))
        if line[k, 0] - line[k - 1, 0] < 1e-9
    }
    for at in read:
        if not strip.start - 1e-6 <= at <= strip.end + 1e-6:
            continue
        if any(abs(at - step) < 0.005 for step in steps):
            if at > strip.start + 0.01:
                yield at, True, -3.5
            if at < strip.end - 0.01:
                yield at, False, 3.5
        else:
            beside = 3.5 if at - strip.start < 0.01 else -3.5 if strip.end - at < 0.01 else 0.0
            yield at, strip.end - at < 0.01, beside


def _height(
    wall: DevelopedWall, view: WallView, at: float, before: bool, shift: float, system: System
) -> tuple[Item, ...]:
    foot = level_at(wall.ground, at, before=before)
    head = level_at(wall.top, at, before=before)
    return height_line(view, at, foot, head, system, shift=shift) if head > foot else ()
