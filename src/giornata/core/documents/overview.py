"""The whole wall at a small standard scale, in one piece or in rows, with its bays and strips."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from giornata.core.documents.chainages import bay_ends
from giornata.core.documents.dimensions import DIMENSION, running, running_height
from giornata.core.documents.drawing import FINE, Item, Label, Pen, segment
from giornata.core.documents.letters import text_width
from giornata.core.documents.regions_on_paper import paper_regions, region_items
from giornata.core.documents.scales import Scale, scales
from giornata.core.documents.strip_cuts import Strip, strips
from giornata.core.documents.wall_parts import outline_items
from giornata.core.documents.wall_view import WallView, level_range
from giornata.core.foundation import FOOT, System
from giornata.core.job import JobResults
from giornata.core.survey import DevelopedWall

__all__ = ["Overview", "overview_items", "overviews"]

_EDGE = Pen(width=0.07, colour="#9a9a9a")
_OUTLINE = Pen(width=0.35)
_CUT = Pen(width=0.25, dash=(3.0, 1.5))
_TITLE, _WHERE, _BAYS = 5.0, 5.4, 5.2
_BETWEEN = 1.5  # mm between rows
_PITCH = 3.8  # of running texts [mm]
_NEAR = 0.02  # m: a cut so near to the end of a bay is named by it


@dataclass(frozen=True, slots=True, kw_only=True)
class Overview:
    """The whole wall on a sheet.

    Parameters
    ----------
    scale : Scale
    rows : tuple of Strip
        Stretches of the wall, drawn under one another; one where it is in one piece.
    named : tuple of tuple of float
        For each row the chainages under it. [m]
    heights : tuple of float
        For each row its height on the sheet. [mm]
    """

    scale: Scale
    rows: tuple[Strip, ...]
    named: tuple[tuple[float, ...], ...]
    heights: tuple[float, ...]

    @property
    def height(self) -> float:
        """Room it takes. [mm]"""
        return _TITLE + sum(self.heights) + _BETWEEN * (len(self.heights) - 1)


def overviews(
    wall: DevelopedWall, width: float, detail: Scale, system: System
) -> tuple[Overview, ...]:
    """How the whole wall can be drawn in a width, the largest drawing first, one piece last.

    Parameters
    ----------
    width : float
        Of the sheet; above 0. [mm]
    detail : Scale
        Of the strips; the whole is drawn smaller, if there is a smaller scale.

    Notes
    -----
    At each standard scale with the ends of the bays under the wall, and then with whole steps
    alone, which take less height where feet and inches are long; then rows too are cut at whole
    metres or feet.
    """
    each = scales(system)
    unit = FOOT if system is System.US else 1.0
    found: list[Overview] = []
    for scale in [one for one in each if one.ratio > detail.ratio] or each[-1:]:
        longest = width / scale.mm_per_metre
        rows = strips(wall, longest)
        found.append(_overview(wall, scale, rows, system, whole=False))
        if len(rows) > 1 and longest > 4 * unit:
            shorter = strips(wall, longest - unit)
            rows = _cut_at_whole(shorter, unit) if len(shorter) == len(rows) else rows
        found.append(_overview(wall, scale, rows, system, whole=True))
        if len(rows) == 1:
            return tuple(found)
    return tuple(found[-2:])


def _cut_at_whole(rows: tuple[Strip, ...], unit: float) -> tuple[Strip, ...]:
    """The rows, each cut at the whole metre or foot nearest to where it was cut."""
    cuts = [unit * round(row.end / unit) for row in rows[:-1]]
    starts, ends = [rows[0].start, *cuts], [*cuts, rows[-1].end]
    return tuple(
        replace(row, start=start, end=end)
        for row, start, end in zip(rows, starts, ends, strict=True)
    )


def overview_items(
    results: JobResults,
    overview: Overview,
    parts: Sequence[Strip],
    where: Mapping[int, str],
    left: float,
    upper: float,
    system: System,
    fills: Mapping[int, str],
) -> tuple[Item, ...]:
    """The overview on a sheet.

    Parameters
    ----------
    parts : sequence of Strip
        The strips whose places it shows.
    where : mapping of int to str
        Where each strip is ("strip 2, page 2").
    left, upper : float
        Its upper left corner. [mm]
    fills : mapping of int to str
        Colour of each paint number.
    """
    wall, scale = results.wall, overview.scale
    items: list[Item] = [
        Label(x=left, y=upper + 3.4, text=f"The whole wall  {scale.name}", size=10.0, bold=True)
    ]
    regions = paper_regions(results.design.placed.coverage, scale.mm_per_metre)
    y = upper + _TITLE
    for row, named, height in zip(overview.rows, overview.named, overview.heights, strict=True):
        low, high = level_range(wall, row.start, row.end)
        pad = 0.2 / scale.mm_per_metre
        view = WallView(
            start=row.start, end=row.end, base=low - pad, head=high + pad, left=left,
            lower=y + _WHERE + (high - low + 2 * pad) * scale.mm_per_metre,
            mm_per_metre=scale.mm_per_metre,
        )  # fmt: skip
        items += region_items(regions, view, fills, _EDGE)
        items += outline_items(wall, view, _OUTLINE)
        items += _cuts(row, view)
        items += _strips(parts, view, where)
        items += _bays(wall, view)
        under = view.lower + _BAYS
        items.append(segment((view.left, under), (view.right, under), FINE))
        items += running(view, named, under, system, (view.left, view.right))
        y += height + _BETWEEN
    return tuple(items)


def _cuts(row: Strip, view: WallView) -> Iterator[Item]:
    """Broken lines where the wall goes on in another row."""
    for letter, x in ((row.left_cut, view.left), (row.right_cut, view.right)):
        if letter is not None:
            yield segment((x, view.upper - 1.0), (x, view.lower + 1.0), _CUT)


def _strips(parts: Sequence[Strip], view: WallView, where: Mapping[int, str]) -> Iterator[Item]:
    """Lines over the wall that tell where each strip is."""
    y = view.upper - 1.6
    for part in parts:
        start, end = max(part.start, view.start), min(part.end, view.end)
        a, b = view.x(start) + 0.4, view.x(end) - 0.4
        if b <= a:
            continue
        yield segment((a, y), (b, y), FINE)
        for at, x in ((part.start, a), (part.end, b)):
            if view.holds(at):
                yield segment((x, y - 1.0), (x, y + 1.0), FINE)
        yield from _over((where[part.number], str(part.number)), a, b, 1.2, y)


def _bays(wall: DevelopedWall, view: WallView) -> Iterator[Item]:
    """Names of the bays under the wall."""
    for bay in wall.bays:
        a, b = view.x(max(bay.start, view.start)), view.x(min(bay.end, view.end))
        yield from _over((f"bay {bay.name}", bay.name), a, b, 1.2, view.lower + _BAYS - 0.5)


def _over(texts: Sequence[str], a: float, b: float, clear: float, y: float) -> Iterator[Item]:
    """The first of the texts that has room between two places, over a line. [mm]"""
    for text in texts:
        if text_width(text, DIMENSION) <= b - a - clear:
            yield Label(x=(a + b) / 2, y=y - 0.9, text=text, size=DIMENSION, anchor="middle")
            return


def _overview(
    wall: DevelopedWall, scale: Scale, rows: tuple[Strip, ...], system: System, *, whole: bool
) -> Overview:
    named = tuple(_chainages(wall, row, scale, system, whole=whole) for row in rows)
    heights = []
    for row, at in zip(rows, named, strict=True):
        low, high = level_range(wall, row.start, row.end)
        tall = (high - low) * scale.mm_per_metre + 0.4
        heights.append(_WHERE + tall + _BAYS + running_height(at, system))
    return Overview(scale=scale, rows=rows, named=named, heights=tuple(heights))


def _chainages(
    wall: DevelopedWall, row: Strip, scale: Scale, system: System, *, whole: bool
) -> tuple[float, ...]:
    """Ends of the bays in a row; where whole steps are asked or those are too many, the steps.

    Both ends of the row are always named. [m]
    """
    length = row.end - row.start
    room = length * scale.mm_per_metre / _PITCH
    ends = [at for at in (0.0, *bay_ends(wall)) if row.start - 1e-6 <= at <= row.end + 1e-6]
    ends += [cut for cut in (row.start, row.end) if all(abs(cut - at) > _NEAR for at in ends)]
    if len(ends) <= room and not whole:
        return tuple(sorted(ends))
    unit = FOOT if system is System.US else 1.0
    steps = [unit * n * 10**tens for tens in range(6) for n in (5, 10, 20)]
    step = next((s for s in steps if 4 * length / s + 2 <= room), steps[-1])
    first = math.ceil(row.start / step - 1e-9)
    last = math.floor(row.end / step + 1e-9)
    apart = min(step / 2, _PITCH / scale.mm_per_metre)
    between = [k * step for k in range(first, last + 1)]
    return (
        row.start,
        *(at for at in between if row.start + apart < at < row.end - apart),
        row.end,
    )
