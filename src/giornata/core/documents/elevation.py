"""The wall's elevation: the whole of it to scale, and strips of it large enough to dimension."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from giornata.core.documents.dimensions import DIMENSION
from giornata.core.documents.display import bare, direction, unit_note
from giornata.core.documents.drawing import DrawnPaper, Item, Label, Sheet
from giornata.core.documents.elevation_strip import StripLayout, strip_items, strip_layout
from giornata.core.documents.letters import text_width
from giornata.core.documents.narrow_rings import NARROW_SIGNS, numbered_places
from giornata.core.documents.overview import Overview, overview_items, overviews
from giornata.core.documents.regions_on_paper import colour_table, paper_regions
from giornata.core.documents.scales import (
    MARGIN,
    PaperSize,
    Scale,
    drawing_paper,
    paper_for,
    scales,
    standard_scale,
)
from giornata.core.documents.strip_cuts import Strip, strips
from giornata.core.documents.title_block import (
    BAR_HEIGHT,
    TITLE_HEIGHT,
    bars,
    heading,
    title_block,
    title_findings,
)
from giornata.core.documents.wall_strip import STRIP_HEIGHT, Stretch, wall_strip
from giornata.core.documents.wall_view import level_range
from giornata.core.foundation import Assumption, Finding, Severity, System, number_of
from giornata.core.job import JobResults
from giornata.core.survey import DevelopedWall

__all__ = ["elevation", "narrow_sheets"]

STRIP_WALL = Assumption(
    name="greatest height of the wall in a strip",
    value=80.0,
    unit="mm",
    source="house default, no source: two strips with their dimensions on an A3 sheet",
    usual=(40.0, 120.0),
)
PALENESS = Assumption(
    name="share of the colour left in an elevation's artwork",
    value=0.22,
    unit="-",
    source="house default, no source: dimensions read over the darkest paint",
    usual=(0.1, 0.4),
)
_ONE_PIECE = 2  # so much smaller may the drawing be if that saves cutting the wall
_FEWER = 1.5  # and so much smaller if that saves a sheet
_BETWEEN = 2.5  # mm between strips


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plan:
    """The whole wall, and its strips with their layouts, page by page."""

    whole: Overview | None
    detail: Scale
    strips: tuple[Strip, ...]
    layouts: tuple[StripLayout, ...]
    pages: tuple[tuple[Strip, ...], ...]


def elevation(
    results: JobResults,
    system: System,
    *,
    paper: PaperSize | None = None,
    marks: bool = False,
    narrow: bool = False,
) -> DrawnPaper:
    """The elevation of the wall with the chosen option and colourway drawn pale on it.

    Parameters
    ----------
    paper : PaperSize, optional
        Laid landscape; else A3, or 11 × 17 in for US units.
    marks : bool
        Whether the control marks are shown.
    narrow : bool
        Whether the narrow places are shown, numbered as in their table.
    """
    size = paper or drawing_paper(system)
    margin = 1000 * MARGIN.value
    left, right = margin, size.long - margin
    gutter = 8.5 + text_width(bare(10.0, system), DIMENSION), 5.0
    wall = results.wall
    head = heading(results)
    room = size.short - 2 * margin - TITLE_HEIGHT - BAR_HEIGHT - 3.0
    plan = _planned(wall, system, (left, right), gutter, room)
    fills = colour_table(results.inputs.paints, results.scheme.colourway, PALENESS.value)
    regions = paper_regions(results.design.placed.coverage, plan.detail.mm_per_metre)
    where = {
        strip.number: f"strip {strip.number}, page {page}"
        for page, part in enumerate(plan.pages, start=1)
        for strip in part
    }
    shown_marks = results.marks if marks else ()
    places = numbered_places(results.design.take_off.narrow) if narrow else ()
    what = "Narrow places" if narrow else "Elevation"
    sheets = []
    missing: list[str] = []
    for page, part in enumerate(plan.pages, start=1):
        items: list[Item] = []
        y = margin
        if plan.whole is not None:
            drawn, y = _top(results, plan, page, part, where, left, right, margin, system, fills)
            items += drawn
        for strip in part:
            layout = plan.layouts[strip.number - 1]
            if plan.whole is not None:
                items.append(_strip_title(strip, plan.detail, left, y, system))
            strip_drawn, left_out = strip_items(
                wall, strip, layout, left=left + gutter[0], upper=y, reach=(left, right),
                mm_per_metre=plan.detail.mm_per_metre, system=system, regions=regions,
                fills=fills, marks=shown_marks, narrow=places, where=where,
            )  # fmt: skip
            items += strip_drawn
            missing += left_out
            y += layout.height + _BETWEEN
        lower = size.short - margin
        items += bars(plan.detail, system, left, right, lower - TITLE_HEIGHT - 1.5,
                      NARROW_SIGNS if narrow else _note(results, plan, system, size))  # fmt: skip
        name = f"{what}, {results.design.option.name}, {results.scheme.colourway.name}"
        items += title_block(head, name, _scale_words(plan, page), (page, len(plan.pages)),
                             left, right, lower)  # fmt: skip
        sheets.append(Sheet(name=f"{what} {page}", width=size.long, height=size.short,
                            items=tuple(items)))  # fmt: skip
    return DrawnPaper(
        title=f"{head.job}: {what.lower()}",
        date=head.date,
        sheets=tuple(sheets),
        findings=(*title_findings(head), *_left_out(missing)),
    )


def narrow_sheets(results: JobResults, system: System) -> DrawnPaper:
    """The elevation with the narrow places of the chosen option, numbered as in their table."""
    return elevation(results, system, narrow=True)


def _planned(
    wall: DevelopedWall,
    system: System,
    reach: tuple[float, float],
    gutter: tuple[float, float],
    room: float,
) -> _Plan:
    """One strip if that is as large a drawing as strips would be; else strips and the whole."""

    def layout(strip: Strip, scale: Scale) -> StripLayout:
        return strip_layout(
            wall, strip, scale.mm_per_metre, system, left=reach[0] + gutter[0], reach=reach
        )

    width = reach[1] - reach[0]
    low, high = level_range(wall, 0.0, wall.length)
    usable = width - sum(gutter)
    each = scales(system)
    one = Strip(number=1, start=0.0, end=wall.length, last=1)
    single = next(
        (
            s
            for s in each
            if wall.length * s.mm_per_metre <= usable and layout(one, s).height <= room
        ),
        None,
    )
    detail = next((s for s in each if (high - low) * s.mm_per_metre <= STRIP_WALL.value), each[-1])
    if single is not None and single.ratio <= _ONE_PIECE * detail.ratio:
        return _Plan(whole=None, detail=single, strips=(one,), layouts=(layout(one, single),),
                     pages=((one,),))  # fmt: skip
    plans = []
    for scale in each:
        if detail.ratio <= scale.ratio <= _FEWER * detail.ratio:
            cut = strips(wall, usable / scale.mm_per_metre)
            layouts = tuple(layout(strip, scale) for strip in cut)
            plans.append(_paged(wall, scale, cut, layouts, overviews(wall, width, scale, system),
                                room))  # fmt: skip
    return min(plans, key=lambda plan: len(plan.pages))


def _paged(
    wall: DevelopedWall,
    scale: Scale,
    cut: tuple[Strip, ...],
    layouts: tuple[StripLayout, ...],
    wholes: Sequence[Overview],
    room: float,
) -> _Plan:
    """Strips on pages, as many on each as fit; what they leave of the first is the whole wall's."""
    pages: list[list[Strip]] = [[]]
    smallest = min(whole.height for whole in wholes)
    used = smallest + _BETWEEN
    for strip, layout in zip(cut, layouts, strict=True):
        if used + layout.height > room and (pages[-1] or len(pages) == 1):
            pages.append([])
            used = STRIP_HEIGHT + _BETWEEN
        pages[-1].append(strip)
        used += layout.height + _BETWEEN
    left = room - sum(layouts[strip.number - 1].height + _BETWEEN for strip in pages[0])
    fitting = (whole for whole in wholes if whole.height <= max(left, smallest))
    return _Plan(whole=next(fitting), detail=scale, strips=cut, layouts=layouts,
                 pages=tuple(map(tuple, pages)))  # fmt: skip


def _top(
    results: JobResults,
    plan: _Plan,
    page: int,
    part: Sequence[Strip],
    where: dict[int, str],
    left: float,
    right: float,
    upper: float,
    system: System,
    fills: dict[int, str],
) -> tuple[tuple[Item, ...], float]:
    """What is over the strips: the whole wall on the first page, else the thin strip of it."""
    assert plan.whole is not None
    if page > 1:
        here = [strip.number for strip in part]
        name = f"{here[0]}–{here[-1]}" if len(here) > 1 else str(here[0])
        stretches = [
            *(Stretch(start=s.start, end=s.end, name=str(s.number)) for s in plan.strips
              if s.number not in here),
            Stretch(start=part[0].start, end=part[-1].end, name=name, here=True),
        ]  # fmt: skip
        drawn = wall_strip(
            results.wall, stretches, left=left, right=right, upper=upper, system=system
        )
        return drawn, upper + STRIP_HEIGHT + _BETWEEN
    drawn = overview_items(results, plan.whole, plan.strips, where, left, upper, system, fills)
    return drawn, upper + plan.whole.height + _BETWEEN


def _strip_title(strip: Strip, scale: Scale, left: float, y: float, system: System) -> Label:
    unit = "" if system is System.US else " m"
    span = f"{bare(strip.start, system)} to {bare(strip.end, system)}{unit}"
    return Label(x=left, y=y + 3.4, text=f"Strip {strip.number}  {span}  {scale.name}",
                 size=10.0, bold=True)  # fmt: skip


def _scale_words(plan: _Plan, page: int) -> str:
    if plan.whole is None or page > 1:
        return plan.detail.name
    return f"{plan.whole.scale.name} and {plan.detail.name}"


def _faces(wall: DevelopedWall) -> str:
    """Where the wall looks, from the datum on: round bends at once, along curves by and by."""
    words = [direction(float(wall.facing[0]))]
    bends = {bend.at for bend in wall.bends}
    ends = wall.facing + wall.curvature * np.diff(wall.plan[:, 0])
    for k, (curvature, end) in enumerate(zip(wall.curvature, ends, strict=True)):
        if curvature:
            words.append(f"turning to {direction(float(end))}")
        if wall.plan[k + 1, 0] in bends:
            words.append(direction(float(wall.facing[k + 1])))
    return ", then ".join(words)


def _note(results: JobResults, plan: _Plan, system: System, size: PaperSize) -> str:
    wall = results.wall
    parts = [
        f"{unit_note(system)}, from the datum at the left end.",
        "Levels are above the level line at the datum. You look at the painted face.",
    ]
    if wall.arcs:
        parts.append("On curves lengths run along the face.")
    if results.inputs.site.facing is not None:
        parts.append(f"It faces {_faces(wall)}, from true north.")
    if plan.whole is not None:
        parts += _in_one_piece(wall, system, size)
    return " ".join(parts)


def _in_one_piece(wall: DevelopedWall, system: System, size: PaperSize) -> Iterator[str]:
    """At which scale the wall goes on this paper in one piece, and which the next larger takes."""
    fitting = standard_scale(wall.length, size.long - 2000 * MARGIN.value, system)
    if fitting is not None:
        yield f"In one piece it fits {size.title} at {fitting.name}."
    smaller = scales(system)[::-1]
    larger = next((s for s in smaller if fitting is not None and s.ratio < fitting.ratio), None)
    paper = paper_for(wall.length, larger, system) if larger else None
    if larger and paper:
        yield f"In one piece at {larger.name} it takes {paper.title}."


def _left_out(missing: Sequence[str]) -> tuple[Finding, ...]:
    if not missing:
        return ()
    named = "; ".join(missing[:5]) + (f"; and {len(missing) - 5} more" if len(missing) > 5 else "")
    return (
        Finding(
            code="documents.note_left_out",
            severity=Severity.NOTE,
            subject="elevation",
            message=number_of(
                len(missing),
                "note found no room beside its neighbours",
                "notes found no room beside their neighbours",
            )
            + f": {named}.",
            remedy="Print the elevation on larger paper, or read them in the survey's lists.",
        ),
    )
