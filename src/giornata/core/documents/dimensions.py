"""Dimension lines: chains of lengths, running chainages, heights and levels."""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from giornata.core.documents.display import bare
from giornata.core.documents.drawing import FAINT, FINE, INK, PAPER, Area, Item, Label, Pen, segment
from giornata.core.documents.letters import cap_height, label_box, text_width
from giornata.core.documents.room import Room, spread
from giornata.core.documents.wall_view import WallView
from giornata.core.foundation import System, readonly

__all__ = ["DIMENSION", "chain", "chain_height", "datum_mark", "height_line", "plate", "running",
           "running_height"]  # fmt: skip

DIMENSION = 9.0
"""Type size of dimensions. [pt]"""
_CAP = cap_height(DIMENSION)
_LINE = _CAP + 1.3  # distance of neighbouring turned texts [mm]
_TICK = Pen(width=0.35)
_SLASH = 0.9  # mm: how far a slash reaches to each side of its line


def chain(
    view: WallView, breaks: Sequence[float], texts: Sequence[Sequence[str]], y: float
) -> tuple[Item, ...]:
    """A chain of dimensions: a line with slashes at the breaks and a text over each part.

    Parameters
    ----------
    breaks : sequence of float
        Chainages in order, inside the window. [m]
    texts : sequence of sequence of str
        For each part between breaks what may be written, the best first; empty for nothing.
    y : float
        Where the line is. [mm]
    """
    places = [view.x(at) for at in breaks]
    return (
        segment((places[0], y), (places[-1], y), FINE),
        *(segment((x - _SLASH, y + _SLASH), (x + _SLASH, y - _SLASH), _TICK) for x in places),
        *_chain_labels(places, texts, y),
    )


def chain_height(view: WallView, breaks: Sequence[float], texts: Sequence[Sequence[str]]) -> float:
    """Room a chain takes from its texts' upper edge to the lowest turned text. [mm]

    Parameters
    ----------
    breaks : sequence of float
        Chainages in order. [m]
    texts : sequence of sequence of str
        For each part what may be written.
    """
    labels = _chain_labels([view.x(at) for at in breaks], texts, 0.0)
    return _CAP + 2.2 + max((label_box(one)[3] for one in labels if one.turned), default=0.0)


def _chain_labels(
    places: Sequence[float], texts: Sequence[Sequence[str]], y: float
) -> tuple[Label, ...]:
    """Texts inside their parts; else centred over them where neighbours leave room; else turned.

    A text wider than its part stands clear over the slashes at the part's ends.
    """
    room = Room((-1e4, -1e4, 1e4, 1e4), gap=1.2)
    found: dict[int, Label] = {}
    parts = list(enumerate(zip(itertools.pairwise(places), texts, strict=True)))
    for over in (0.0, 3.0, 1e4):
        for k, ((a, b), each) in parts:
            if k in found:
                continue
            label = room.place(
                Label(
                    x=(a + b) / 2,
                    y=y - 0.9 if wide <= b - a - 2 * _SLASH else y - 1.7,
                    text=text,
                    size=DIMENSION,
                    anchor="middle",
                )
                for text, wide in ((text, text_width(text, DIMENSION)) for text in each)
                if wide <= b - a - 1.2 + over
            )
            if label is not None:
                found[k] = label
    for k, ((a, b), each) in parts:
        if k not in found and each and b - a >= _CAP + 0.4:
            found[k] = _hung((a + b) / 2, y + 1.4, each[0], DIMENSION)
    return tuple(found[k] for k in sorted(found))


def running(
    view: WallView, at: Sequence[float], y: float, system: System, reach: tuple[float, float]
) -> tuple[Item, ...]:
    """Running chainages from the datum: an open arrow at each place, its text turned below.

    Parameters
    ----------
    at : sequence of float
        Chainages in order, inside the window. [m]
    y : float
        Where the line is. [mm]
    reach : tuple of float
        Left and right end of the room for the texts. [mm]
    """
    places = [view.x(one) for one in at]
    items: list[Item] = [segment((places[0], y), (places[-1], y), FINE)]
    texts = [bare(one, system) for one in at]
    wanted = spread(places, _LINE, reach[0] + _CAP / 2, reach[1] - _CAP / 2)
    for place, middle, text in zip(places, wanted, texts, strict=True):
        items.append(segment((place, y - 0.9), (place, y + 0.9), _TICK))
        items.append(segment((place, y + 0.9), (middle, y + 2.6), FAINT))
        items.append(_hung(middle, y + 3.2, text, DIMENSION))
    return tuple(items)


def running_height(at: Sequence[float], system: System) -> float:
    """Room running chainages take, from just above their line. [mm]

    Parameters
    ----------
    at : sequence of float
        Chainages. [m]
    """
    return 1.5 + 3.2 + max((text_width(bare(one, system), DIMENSION) for one in at), default=0.0)


def height_line(
    view: WallView, at: float, foot: float, head: float, system: System, *, shift: float = 0.0
) -> tuple[Item, ...]:
    """An upright dimension of the wall's height, its text turned on a white plate.

    Parameters
    ----------
    at : float
        Chainage of the reading. [m]
    foot, head : float
        Levels of ground and top. [m]
    shift : float
        How far beside the reading it is drawn. [mm]
    """
    x, low, high = view.x(at) + shift, view.y(foot), view.y(head)
    text = bare(head - foot, system)
    if text_width(text, DIMENSION) + 2.0 > low - high:
        return ()
    label = Label(x=x + _CAP / 2, y=(low + high) / 2, text=text, size=DIMENSION, anchor="middle",
                  turned=True)  # fmt: skip
    return (
        segment((x, low), (x, high), FINE),
        segment((x - 0.9, low + 0.9), (x + 0.9, low - 0.9), _TICK),
        segment((x - 0.9, high + 0.9), (x + 0.9, high - 0.9), _TICK),
        plate(label),
        label,
    )


def datum_mark(x: float, y: float, *, filled: bool = True) -> Area:
    """The triangle of a level, its point on the line. [mm]

    Parameters
    ----------
    x, y : float
        Its point. [mm]
    filled : bool
    """
    ring = readonly([(x, y), (x - 1.5, y - 2.4), (x + 1.5, y - 2.4)])
    return Area(rings=(ring,), fill=INK if filled else PAPER, pen=FINE)


def plate(label: Label, *, margin: float = 0.4, pen: Pen | None = None) -> Area:
    """A white plate under a label.

    Parameters
    ----------
    margin : float
        Around the label. [mm]
    """
    left, upper, right, lower = label_box(label)
    return Area(
        rings=(
            readonly(
                [
                    (left - margin, upper - margin / 2),
                    (right + margin, upper - margin / 2),
                    (right + margin, lower + margin / 2),
                    (left - margin, lower + margin / 2),
                ]
            ),
        ),
        fill=PAPER,
        pen=pen,
    )


def _hung(x: float, y: float, text: str, size: float) -> Label:
    """A turned text whose middle is at x, hung from y."""
    return Label(x=x + cap_height(size) / 2, y=y, text=text, size=size, anchor="end", turned=True)
