"""Letters about a strip of an elevation: notes, names, levels, match lines."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from giornata.core.documents.dimensions import DIMENSION, datum_mark, plate
from giornata.core.documents.display import bare
from giornata.core.documents.drawing import (
    DARK,
    FAINT,
    FINE,
    Item,
    Label,
    Pen,
    segment,
)
from giornata.core.documents.letters import cap_height, label_box, text_width
from giornata.core.documents.room import Room
from giornata.core.documents.strip_cuts import Strip
from giornata.core.documents.strip_words import Note, band_words, notes_above, opening_words
from giornata.core.documents.wall_view import WallView, polygons
from giornata.core.foundation import FOOT, Floats, System, shown
from giornata.core.setting_out import ControlMark
from giornata.core.survey import DevelopedWall

__all__ = [
    "NOTE_ROW", "cross", "lamp_items", "level_axis", "level_labels", "match_lines", "note_items",
    "note_rows", "on_wall_items",
]  # fmt: skip

_CAP = cap_height(DIMENSION)
_MATCH = Pen(width=0.5, dash=(7.0, 1.4, 1.0, 1.4, 1.0, 1.4))
NOTE_ROW = 4.4
"""Height of a row of notes. [mm]"""
_LEADER = 3.9  # mm between lines of text


def note_rows(
    wall: DevelopedWall, view: WallView, reach: tuple[float, float], system: System
) -> int:
    """Rows that the notes take at full length; at most 3.

    Parameters
    ----------
    reach : tuple of float
        Left and right end of the room. [mm]
    """
    if not notes_above(wall, view.start, view.end, system):
        return 0
    long = {note.long for note in notes_above(wall, view.start, view.end, system)}
    for rows in (1, 2):
        drawn, _ = note_items(wall, view, 0.0, rows, reach, system)
        if long <= {item.text for item in drawn if isinstance(item, Label)}:
            return rows
    return 3


def lamp_items(wall: DevelopedWall, view: WallView, y: float, system: System) -> Iterator[Item]:
    """Brackets over lit stretches, each with its name and light.

    Parameters
    ----------
    y : float
        Where the brackets are. [mm]
    """
    for lamp in wall.lamps:
        start, end = max(lamp.start, view.start), min(lamp.end, view.end)
        if end <= start:
            continue
        a, b = view.x(start), view.x(end)
        yield segment((a, y), (b, y), FINE)
        for x, own in ((a, lamp.start >= view.start), (b, lamp.end <= view.end)):
            if own:
                yield segment((x, y), (x, y + 1.8), FINE)
        light = shown(lamp.ambient, "lx", system, digits=1 if system is System.US else 0)
        text = f"lit by night: {lamp.name}, {light}"
        if text_width(text, DIMENSION) > b - a - 2.0:
            text = lamp.name
        if text_width(text, DIMENSION) > b - a - 2.0:
            continue
        label = Label(x=(a + b) / 2, y=y + _CAP / 2, text=text, size=DIMENSION, anchor="middle")
        yield plate(label, margin=1.0)
        yield label


def note_items(
    wall: DevelopedWall,
    view: WallView,
    y: float,
    rows: int,
    reach: tuple[float, float],
    system: System,
) -> tuple[tuple[Item, ...], tuple[str, ...]]:
    """Notes on piers, joints and bends in rows above the wall, and those left out.

    Parameters
    ----------
    y : float
        Upper edge of the first row; each is ``NOTE_ROW`` high. [mm]
    rows : int
        How many rows there are; 1 or more. [-]
    reach : tuple of float
        Left and right end of the room. [mm]
    """
    room = Room((reach[0], y - NOTE_ROW, reach[1], y + (rows + 1) * NOTE_ROW), gap=1.0)
    items: list[Item] = []
    missing = []
    for note in notes_above(wall, view.start, view.end, system):
        x = view.x(note.at)
        label = room.place(_note_places(note, x, y, rows))
        if label is None:
            missing.append(note.long)
            continue
        items.append(label)
        items.append(segment((x, label.y + 1.0), (x, view.upper - 0.4), FAINT))
    return tuple(items), tuple(missing)


def _note_places(note: Note, x: float, y: float, rows: int) -> Iterator[Label]:
    for text in (note.long, note.short):
        for k in range(rows - 1, -1, -1):
            for shift in (0.0, -0.3, 0.3, -0.45, 0.45):
                wide = text_width(text, DIMENSION)
                yield Label(x=x + shift * wide, y=y + (k + 0.75) * NOTE_ROW, text=text,
                            size=DIMENSION, anchor="middle")  # fmt: skip


def on_wall_items(
    wall: DevelopedWall, view: WallView, room: Room, system: System
) -> tuple[tuple[Item, ...], tuple[str, ...]]:
    """Names in openings and on hedges, and those there was no room for.

    Parameters
    ----------
    room : Room
        What is free on the wall; filled here.
    """
    items: list[Item] = []
    missing = []
    for opening in wall.openings:
        for part in polygons(view.cut(opening.polygon)):
            words = opening_words(wall, opening, system)
            wide, high = words[1].split(" × ")
            broken = (words[0], f"{wide} ×", high, *words[2:])
            ways = ((4, words), (4, broken), (2, words[:2]), (2, broken[:3]), (1, words[:1]))
            drawn = ((count, _in_box(part.bounds, view, lines, room)) for count, lines in ways)
            kept, labels = next((one for one in drawn if one[1]), (0, []))
            items += labels
            if kept < len(words):
                missing.append(", ".join(words[:1] + words[max(kept, 1) :]))
    for band in wall.hidden:
        for part in polygons(view.cut(band.polygon)):
            text = band_words(band, system)
            places = [
                Label(x=view.x(at), y=view.y((part.bounds[1] + part.bounds[3]) / 2) + _CAP / 2,
                      text=text, size=DIMENSION, anchor="middle")
                for share in (0.5, 0.35, 0.65, 0.2, 0.8)
                for at in [part.bounds[0] + share * (part.bounds[2] - part.bounds[0])]
            ]  # fmt: skip
            label = room.place(places)
            if label is None:
                missing.append(text)
            else:
                items += [plate(label), label]
    return tuple(items), tuple(missing)


def _in_box(
    bounds: tuple[float, float, float, float], view: WallView, words: Sequence[str], room: Room
) -> list[Item]:
    """Words over one another in the middle of an opening; none where they do not fit."""
    if not words:
        return []
    left, right = view.x(bounds[0]), view.x(bounds[2])
    upper, lower = view.y(bounds[3]), view.y(bounds[1])
    widest = max(text_width(w, DIMENSION, bold=k == 0) for k, w in enumerate(words))
    tall = (len(words) - 1) * _LEADER + _CAP + 1.5
    x, y = (left + right) / 2, (upper + lower) / 2
    level = widest + 1.5 <= right - left and tall <= lower - upper
    if not level and not (widest + 1.5 <= lower - upper and tall <= right - left):
        return []
    items: list[Item] = []
    for k, word in enumerate(words):
        off = (k - (len(words) - 1) / 2) * _LEADER + _CAP / 2
        label = Label(x=x if level else x + off, y=y + off if level else y, text=word,
                      size=DIMENSION, anchor="middle", bold=k == 0, turned=not level)  # fmt: skip
        room.take(label_box(label))
        items += [plate(label), label]
    return items


def cross(mark: ControlMark, view: WallView, room: Room) -> Iterator[Item]:
    """A control mark as a small cross with its name."""
    x, y = view.x(mark.chainage), view.y(mark.level)
    yield segment((x - 1.5, y), (x + 1.5, y), FINE)
    yield segment((x, y - 1.5), (x, y + 1.5), FINE)
    wide = text_width(mark.name, DIMENSION) / 2
    places = [
        Label(x=x + dx, y=y + dy, text=mark.name, size=DIMENSION, anchor="middle")
        for dx in (0.0, wide + 2.0, -wide - 2.0, wide + 6.0, -wide - 6.0)
        for dy in (-2.2, 2.2 + _CAP, _CAP / 2)
        if dx or dy != _CAP / 2
    ]
    label = room.place(places)
    if label is not None:
        yield plate(label)
        yield label


def level_labels(wall: DevelopedWall, view: WallView, system: System) -> Iterator[Item]:
    """Levels of the top above it and of the ground below it, where they were read."""
    for line, above in ((wall.top, True), (wall.ground, False)):
        room = Room((view.left - 30.0, -1e4, view.right + 30.0, 1e4), gap=0.8)
        inside: Floats = line[(line[:, 0] >= view.start - 1e-6) & (line[:, 0] <= view.end + 1e-6)]
        for k, (at, level) in enumerate(inside.tolist()):
            step_next = k + 1 < len(inside) and inside[k + 1, 0] - at < 1e-6
            step_last = k > 0 and at - inside[k - 1, 0] < 1e-6
            x, y = view.x(at), view.y(level)
            y += -1.2 if above else 1.2 + _CAP
            at_left, at_right = x - view.left < 4.0, view.right - x < 4.0
            anchor: Sequence[tuple[str, float]]
            if step_next or (at_right and not step_last):
                anchor = (("end", -0.8),)
            elif step_last or at_left:
                anchor = (("start", 0.8),)
            else:
                anchor = (("middle", 0.0), ("start", 0.8), ("end", -0.8))
            label = room.place(
                Label(x=x + dx, y=y, text=bare(level, system), size=DIMENSION,
                      anchor=where, colour=DARK)  # type: ignore[arg-type]
                for where, dx in anchor
            )  # fmt: skip
            if label is not None:
                yield label


def level_axis(
    wall: DevelopedWall, view: WallView, system: System, *, first: bool
) -> Iterator[Item]:
    """Levels at the left of a strip, with the datum's triangle where level 0 is in the window."""
    x = view.left - 6.0
    step = next(
        s
        for s in (
            [FOOT * n for n in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)]
            if system is System.US
            else [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0]
        )
        if s * view.mm_per_metre >= 7.0
    )
    yield segment((x, view.upper), (x, view.lower), FINE)
    for k in range(int(np.ceil(view.base / step)), int(np.floor(view.head / step)) + 1):
        y = view.y(k * step)
        if k == 0:
            continue
        yield segment((x - 1.2, y), (x + 1.2, y), FINE)
        yield Label(x=x - 1.8, y=y + _CAP / 2, text=bare(k * step, system), size=DIMENSION,
                    anchor="end")  # fmt: skip
    if view.base <= 0 <= view.head:
        y = view.y(0.0)
        yield segment((x - 3.0, y), (view.left, y), FINE)
        yield datum_mark(x, y)
        yield Label(x=x - 3.4, y=y + _CAP / 2, text=bare(0.0, system), size=DIMENSION,
                    anchor="end", bold=True)  # fmt: skip
        if first:
            yield Label(x=x - 1.0, y=y + 2.2 + _CAP, text="datum", size=DIMENSION, anchor="end",
                        bold=True)  # fmt: skip


def match_lines(
    view: WallView, strip: Strip, upper: float, where: Mapping[int, str]
) -> Iterator[Item]:
    """The lines along which neighbouring strips meet, each with its letter and neighbour.

    Parameters
    ----------
    upper : float
        Upper end of the lines. [mm]
    where : mapping of int to str
        Where each strip is ("strip 2, page 2").
    """
    lower = view.lower + 5.0
    for letter, x, other, sign in (
        (strip.left_cut, view.left, strip.number - 1, -1),
        (strip.right_cut, view.right, strip.number + 1, 1),
    ):
        if letter is None:
            continue
        yield segment((x, upper), (x, lower), _MATCH)
        text = f"match line {letter}: {where.get(other, f'strip {other}')}"
        middle = (view.upper + view.lower) / 2
        beside = x + 1.4 + _CAP if sign > 0 else x - 1.7  # clear of descenders
        size = DIMENSION
        if text_width(text, size) > lower - upper:
            text = f"{letter}: {where.get(other, f'strip {other}')}"
        yield Label(x=beside, y=middle, text=text, size=size, anchor="middle", turned=True)
