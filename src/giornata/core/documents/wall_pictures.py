"""Pictures of the painted wall to scale: the whole of it as a ribbon, and cut into strips."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from giornata.core.artwork import Colourway, Paint
from giornata.core.documents.drawing import DARK, FINE, Item, Label, Pen, Sheet, segment
from giornata.core.documents.letters import cap_height, text_width
from giornata.core.documents.scales import Scale, scales, standard_scale
from giornata.core.documents.strip_cuts import strips
from giornata.core.documents.wall_parts import outline_items
from giornata.core.documents.wall_view import WallView, level_range
from giornata.core.foundation import FOOT, Assumption, System
from giornata.core.geometry import Coverage
from giornata.core.job import Design, Scheme
from giornata.core.survey import DevelopedWall, level_at

__all__ = ["WallPicture", "cut_scale", "ribbons", "wall_cuts"]

STRIPS_ON_A_PAGE = Assumption(
    name="strips of the wall on one page",
    value=5.0,
    unit="-",
    source="house default, no source: as large as a page of drawings lets",
    usual=(3.0, 8.0),
)
_OUTLINE = Pen(width=0.25)
_CUT = Pen(width=0.18, dash=(1.6, 1.0), colour=DARK)
_SIZE = 9.0
_CAP = cap_height(_SIZE)
_RULER = 1.2 + 1.4 + _CAP + 1.2
_BLEED = 0.3  # mm around the wall, for the outline
_GAP = 4.5  # mm between strips


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WallPicture:
    """A stretch of the painted wall on paper.

    Parameters
    ----------
    name : str
        Of its file.
    caption : str
        What it shows.
    strong : bool
        Whether its caption stands out.
    view : WallView
        The stretch, and where it lies on the lines' sheet. [mm]
    coverage : geometry.Coverage
        The artwork on the wall, by paint number.
    colours : mapping of int to str
        Colour of each paint number, ``#rrggbb``.
    lines : Sheet
        What is drawn over it: outline, openings, chainages; as large as the picture. [mm]
    above : float
        Kept free above it. [mm]
    """

    name: str
    caption: str
    strong: bool
    view: WallView
    coverage: Coverage
    colours: Mapping[int, str]
    lines: Sheet
    above: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "colours", MappingProxyType(dict(self.colours)))


def ribbons(
    wall: DevelopedWall,
    schemes: Sequence[Scheme],
    designs: Sequence[Design],
    paints: Sequence[Paint],
    chosen: Scheme,
    width: float,
    system: System,
) -> tuple[tuple[WallPicture, ...], Scale]:
    """The whole wall in every scheme at one standard scale, and that scale.

    Parameters
    ----------
    width : float
        Room on the paper. [mm]
    """
    scale = _whole_scale(wall, width, system)
    placed = {design.option.key: design.placed.coverage for design in designs}
    last = schemes[-1] if schemes else None
    return tuple(
        _picture(
            wall,
            placed[scheme.option.key],
            _colours(paints, scheme.colourway),
            span=(0.0, wall.length),
            scale=scale,
            name=f"ribbon-{scheme.key}",
            caption=f"{scheme.option.key} {scheme.option.name} in {scheme.colourway.name}"
            + (", priced here" if scheme is chosen else ""),
            strong=scheme is chosen,
            ruler=scheme is last,
            system=system,
        )
        for scheme in schemes
    ), scale


def wall_cuts(
    wall: DevelopedWall,
    design: Design,
    colourway: Colourway,
    paints: Sequence[Paint],
    width: float,
    height: float,
    system: System,
) -> tuple[tuple[WallPicture, ...], Scale]:
    """The wall cut into strips, as large as a page takes them at a standard scale.

    Parameters
    ----------
    width, height : float
        Room on a page. [mm]
    """
    scale = cut_scale(wall, width, height, system)
    return tuple(
        _picture(
            wall,
            design.placed.coverage,
            _colours(paints, colourway),
            span=(strip.start, strip.end),
            scale=scale,
            name=f"strip-{design.option.key}.{colourway.key}-{strip.number}",
            caption="",
            strong=False,
            ruler=True,
            system=system,
        )
        for strip in strips(wall, (width - 2 * _BLEED) / scale.mm_per_metre)
    ), scale


def cut_scale(wall: DevelopedWall, width: float, height: float, system: System) -> Scale:
    """The largest standard scale at which all strips of the wall stand on one page.

    Parameters
    ----------
    width, height : float
        Room on the page. [mm]

    Notes
    -----
    The strips are at most five; a wall that is too long for that is drawn as long as the page
    is wide, at the scale that takes it.
    """
    low, high = level_range(wall, 0.0, wall.length)
    for scale in scales(system):
        tall = (high - low) * scale.mm_per_metre + 2 * _BLEED + _RULER + _GAP
        count = math.ceil(wall.length * scale.mm_per_metre / (width - 2 * _BLEED) - 1e-9)
        if count <= STRIPS_ON_A_PAGE.value and count * tall <= height:
            return scale
    return _whole_scale(wall, width, system)


def _whole_scale(wall: DevelopedWall, width: float, system: System) -> Scale:
    scale = standard_scale(wall.length, width - 2 * _BLEED, system)
    return scales(system)[-1] if scale is None else scale


def _colours(paints: Sequence[Paint], colourway: Colourway) -> dict[int, str]:
    return {paint.number: colourway.colours[paint.key] for paint in paints}


def _picture(
    wall: DevelopedWall,
    coverage: Coverage,
    colours: Mapping[int, str],
    *,
    span: tuple[float, float],
    scale: Scale,
    name: str,
    caption: str,
    strong: bool,
    ruler: bool,
    system: System,
) -> WallPicture:
    low, high = level_range(wall, *span)
    tall = (high - low) * scale.mm_per_metre
    view = WallView(
        start=span[0], end=span[1], base=low, head=high, left=_BLEED, lower=_BLEED + tall,
        mm_per_metre=scale.mm_per_metre,
    )  # fmt: skip
    items: list[Item] = list(outline_items(wall, view, _OUTLINE))
    items += _cut_lines(wall, view)
    height = view.lower + _BLEED
    if ruler:
        items += _ruler(view, wall.length, height, system)
        height += _RULER
    lines = Sheet(name=name, width=view.right + _BLEED, height=height, items=tuple(items))
    return WallPicture(
        name=name, caption=caption, strong=strong, view=view, coverage=coverage, colours=colours,
        lines=lines, above=_GAP if ruler and not caption else 2.0,
    )  # fmt: skip


def _cut_lines(wall: DevelopedWall, view: WallView) -> list[Item]:
    """A dashed line where the wall goes on beyond the picture."""
    items: list[Item] = []
    for at, goes_on in ((view.start, view.start > 0.0), (view.end, view.end < wall.length)):
        if goes_on:
            before = at == view.end
            foot, head = (level_at(line, at, before=before) for line in (wall.ground, wall.top))
            x = view.x(at)
            items.append(segment((x, view.y(foot)), (x, view.y(head)), _CUT))
    return items


def _ruler(view: WallView, length: float, upper: float, system: System) -> list[Item]:
    """Ticks and chainages at whole metres or feet below the wall."""
    unit = FOOT if system is System.US else 1.0
    room = text_width(f"{length / unit:.0f}", _SIZE) + 4.0
    steps = (unit * n for n in (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000))
    step = next(one for one in steps if one * view.mm_per_metre >= room)
    y = upper + 0.6
    items: list[Item] = [segment((view.left, y), (view.right, y), FINE)]
    taken = view.left - 100.0
    first = math.ceil(view.start / step - 1e-9)
    for number in range(first, int(np.floor(view.end / step + 1e-9)) + 1):
        x = view.x(number * step)
        items.append(segment((x, y), (x, y + 1.4), FINE))
        text = f"{number * step / unit:.0f}"
        half = text_width(text, _SIZE) / 2
        middle = min(max(x, half), view.right + _BLEED - half)
        if middle - half > taken:
            items.append(Label(x=middle, y=y + 2.2 + _CAP, text=text, size=_SIZE, anchor="middle"))
            taken = middle + half + 1.0
    return items
