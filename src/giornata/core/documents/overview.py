"""The whole wall in one piece at a small standard scale, with its bays and where its strips are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from giornata.core.documents.chainages import bay_ends
from giornata.core.documents.dimensions import DIMENSION, running, running_height
from giornata.core.documents.drawing import FINE, Item, Label, Pen, segment
from giornata.core.documents.letters import cap_height, text_width
from giornata.core.documents.regions_on_paper import paper_regions, region_items
from giornata.core.documents.scales import Scale
from giornata.core.documents.strip_cuts import Strip
from giornata.core.documents.wall_parts import outline_items
from giornata.core.documents.wall_view import WallView, level_range
from giornata.core.foundation import FOOT, System
from giornata.core.job import JobResults
from giornata.core.survey import DevelopedWall

__all__ = ["overview_height", "overview_items"]

_EDGE = Pen(width=0.07, colour="#9a9a9a")
_OUTLINE = Pen(width=0.35)
_CAP = cap_height(DIMENSION)
_TITLE, _WHERE, _BAYS = 5.0, 5.4, 4.8
_PITCH = 3.8  # of running texts [mm]


def overview_height(wall: DevelopedWall, scale: Scale, system: System) -> float:
    """Room it takes. [mm]"""
    low, high = level_range(wall, 0.0, wall.length)
    tall = (high - low) * scale.mm_per_metre
    return _TITLE + _WHERE + tall + _BAYS + running_height(_chainages(wall, scale, system), system)


def overview_items(
    results: JobResults,
    scale: Scale,
    strips: Sequence[Strip],
    where: Mapping[int, str],
    left: float,
    upper: float,
    system: System,
    fills: Mapping[int, str],
) -> tuple[Item, ...]:
    """The overview on a sheet.

    Parameters
    ----------
    where : mapping of int to str
        Where each strip is ("strip 2, page 2").
    left, upper : float
        Its upper left corner. [mm]
    fills : mapping of int to str
        Colour of each paint number.
    """
    wall = results.wall
    low, high = level_range(wall, 0.0, wall.length)
    pad = 0.2 / scale.mm_per_metre
    top = upper + _TITLE + _WHERE
    view = WallView(
        start=0.0, end=wall.length, base=low - pad, head=high + pad, left=left,
        lower=top + (high - low + 2 * pad) * scale.mm_per_metre, mm_per_metre=scale.mm_per_metre,
    )  # fmt: skip
    items: list[Item] = [
        Label(x=left, y=upper + 3.4, text=f"The whole wall  {scale.name}", size=10.0, bold=True)
    ]
    regions = paper_regions(results.design.placed.coverage, scale.mm_per_metre)
    items += region_items(regions, view, fills, _EDGE)
    items += outline_items(wall, view, _OUTLINE)
    for strip in strips:
        a, b = view.x(strip.start), view.x(strip.end)
        y = top - 1.6
        items.append(segment((a + 0.4, y), (b - 0.4, y), FINE))
        items += [segment((x, y - 1.0), (x, y + 1.0), FINE) for x in (a + 0.4, b - 0.4)]
        for text in (where[strip.number], str(strip.number)):
            if text_width(text, DIMENSION) <= b - a - 2.0:
                items.append(Label(x=(a + b) / 2, y=y - 0.9, text=text, size=DIMENSION,
                                   anchor="middle"))  # fmt: skip
                break
    y = view.lower + _BAYS
    for bay in wall.bays:
        a, b = view.x(bay.start), view.x(bay.end)
        for text in (f"bay {bay.name}", bay.name):
            if text_width(text, DIMENSION) <= b - a - 1.2:
                items.append(Label(x=(a + b) / 2, y=y - 0.9, text=text, size=DIMENSION,
                                   anchor="middle"))  # fmt: skip
                break
    items += running(view, _chainages(wall, scale, system), y, system,
                     (view.left, view.right))  # fmt: skip
    return tuple(items)


def _chainages(wall: DevelopedWall, scale: Scale, system: System) -> tuple[float, ...]:
    """Ends of the bays; where those are too many, whole steps and the wall's end. [m]"""
    ends = (0.0, *bay_ends(wall))
    room = wall.length * scale.mm_per_metre / _PITCH
    if len(ends) <= room:
        return ends
    unit = FOOT if system is System.US else 1.0
    step = next(
        unit * n
        for n in (5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
        if wall.length / (unit * n) + 2 <= room
    )
    whole = [k * step for k in range(int(wall.length / step) + 1)]
    if wall.length - whole[-1] < step / 2:
        whole.pop()
    return (*whole, wall.length)
