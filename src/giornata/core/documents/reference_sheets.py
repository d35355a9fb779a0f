"""Reference sheets: the design at a true scale, sheet by sheet, with its colour numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from giornata.core.documents.colour_key import colour_key, key_height
from giornata.core.documents.colour_numbers import LEAST_NUMBERED, Numbered, colour_numbers
from giornata.core.documents.display import unit_note
from giornata.core.documents.drawing import DrawnPaper, Item, Pen, Sheet
from giornata.core.documents.regions_on_paper import (
    PaperRegions,
    colour_table,
    paper_regions,
    region_items,
)
from giornata.core.documents.room import Room
from giornata.core.documents.scales import (
    MARGIN,
    PaperSize,
    Scale,
    drawing_paper,
    paper_unit,
    scales,
)
from giornata.core.documents.sheet_frame import (
    HEADER_HEIGHT,
    RULER_HEIGHT,
    Blocks,
    frame_items,
    grid_items,
    header_items,
    mark_items,
    ruler_items,
)
from giornata.core.documents.sheet_plan import SheetWindow, sheet_windows
from giornata.core.documents.strip_labels import NOTE_ROW, note_items, on_wall_items
from giornata.core.documents.title_block import (
    BAR_HEIGHT,
    TITLE_HEIGHT,
    Heading,
    bars,
    heading,
    title_block,
    title_findings,
)
from giornata.core.documents.wall_parts import feature_items, outline_items
from giornata.core.documents.wall_strip import STRIP_HEIGHT, Stretch, wall_strip
from giornata.core.documents.wall_view import WallView, level_range
from giornata.core.foundation import Assumption, Finding, Severity, System, number_of
from giornata.core.job import JobResults
from giornata.core.survey import DevelopedWall

__all__ = ["reference_sheets"]

OVERLAP = Assumption(
    name="overlap of neighbouring reference sheets",
    value=20.0,
    unit="mm",
    source="common practice, no source; 1 in for US units",
    usual=(10.0, 30.0),
)
_SHARED = {System.METRIC: (int(OVERLAP.value), "20 mm"), System.US: (2, "1 in")}
PALENESS = Assumption(
    name="share of the colour left in a reference sheet's regions",
    value=0.30,
    unit="-",
    source="house default, no source: numbers read on the darkest paint",
    usual=(0.15, 0.4),
)
_SCALE = {System.METRIC: 20, System.US: 24}
_EDGE = Pen(width=0.18)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """Where things lie on every sheet. [mm]"""

    size: PaperSize
    left: float
    right: float
    strip: float
    header: float
    notes: float
    wall: float
    height: float
    key: float
    bars: float
    lower: float


def reference_sheets(
    results: JobResults,
    system: System,
    *,
    paper: PaperSize | None = None,
    scale: Scale | None = None,
    blocks: Blocks | None = None,
) -> DrawnPaper:
    """Reference sheets of the chosen option, their key in every colourway.

    Parameters
    ----------
    paper : PaperSize, optional
        Laid landscape; else A3, or 11 × 17 in for US units.
    scale : Scale, optional
        Else 1:20, or 1/2 in to the foot for US units; a larger one where that still takes the
        whole wall on one sheet.
    blocks : Blocks, optional
        Size of the wall's blocks or bricks, for ticks along the edges; else the grid's.
    """
    inputs = results.inputs
    place = _placed(paper or drawing_paper(system), len(inputs.paints), len(inputs.colourways))
    drawn = scale or _usual_scale(results.wall, place, system)
    unit = paper_unit(system)
    windows = sheet_windows(
        results.wall, drawn, usable=int((place.right - place.left) / unit + 1e-9),
        height=int(place.height / unit + 1e-9), overlap=_SHARED[system][0], unit=unit,
    )  # fmt: skip
    regions = paper_regions(results.design.placed.coverage, drawn.mm_per_metre)
    fills = colour_table(inputs.paints, results.scheme.colourway, PALENESS.value)
    head = heading(results)
    stretches = _stretches(windows, results.wall.length)
    sheets: list[Sheet] = []
    numbered: list[tuple[int, Numbered]] = []
    missing: list[str] = []
    for window in windows:
        sheet, numbers, left_out = _sheet(
            results, window, len(windows), stretches, place, drawn, regions, fills, head, system,
            blocks,
        )  # fmt: skip
        sheets.append(sheet)
        numbered.append((window.number, numbers))
        missing += [f"{note} (sheet {window.number})" for note in left_out]
    return DrawnPaper(
        title=f"{head.job}: reference sheets",
        date=head.date,
        sheets=tuple(sheets),
        findings=(*title_findings(head), *_unplaced(numbered), *_no_room(missing)),
    )


def _placed(size: PaperSize, paints: int, colourways: int) -> _Place:
    """Heights shared out: what the key, the title and the rest leave is the wall's."""
    margin = 1000 * MARGIN.value
    left, right, lower = margin, size.long - margin, size.short - margin
    bar = lower - TITLE_HEIGHT - 1.5
    key = bar - BAR_HEIGHT - 1.5 - key_height(paints, colourways, right - left)
    header = margin + STRIP_HEIGHT
    notes = header + HEADER_HEIGHT
    wall = notes + NOTE_ROW + 1.5
    height = key - RULER_HEIGHT - wall
    if height < 60:
        raise ValueError(f"{size.title} leaves no room for the wall")
    return _Place(size=size, left=left, right=right, strip=margin, header=header, notes=notes,
                  wall=wall, height=height, key=key, bars=bar, lower=lower)  # fmt: skip


def _usual_scale(wall: DevelopedWall, place: _Place, system: System) -> Scale:
    low, high = level_range(wall, 0.0, wall.length)
    each = scales(system)
    usual = next(s for s in each if s.ratio == _SCALE[system])
    larger = (
        s
        for s in each
        if s.ratio < usual.ratio
        and wall.length * s.mm_per_metre <= place.right - place.left
        and (high - low) * s.mm_per_metre <= place.height
    )
    return next(larger, usual)


def _stretches(windows: Sequence[SheetWindow], length: float) -> dict[int, tuple[Stretch, ...]]:
    """For each sheet the stretches of all columns, its own marked."""
    columns: dict[int, list[SheetWindow]] = {}
    for window in windows:
        columns.setdefault(window.column, []).append(window)
    names = {
        column: f"{own[0].number}" if len(own) == 1 else f"{own[0].number}–{own[-1].number}"
        for column, own in columns.items()
    }
    return {
        here: tuple(
            Stretch(start=own[0].start, end=min(own[0].end, length), name=names[column],
                    here=column == here)
            for column, own in columns.items()
            if abs(column - here) <= 1 or column % 2 == here % 2
        )
        for here in columns
    }  # fmt: skip


def _sheet(
    results: JobResults,
    window: SheetWindow,
    count: int,
    stretches: Mapping[int, tuple[Stretch, ...]],
    place: _Place,
    scale: Scale,
    regions: PaperRegions,
    fills: Mapping[int, str],
    head: Heading,
    system: System,
    blocks: Blocks | None,
) -> tuple[Sheet, Numbered, tuple[str, ...]]:
    wall, inputs = results.wall, results.inputs
    view = WallView(
        start=window.start, end=window.end, base=window.base, head=window.head, left=place.left,
        lower=place.wall + (window.head - window.base) * scale.mm_per_metre,
        mm_per_metre=scale.mm_per_metre,
    )  # fmt: skip
    items: list[Item] = list(
        wall_strip(wall, stretches[window.column], left=place.left, right=place.right,
                   upper=place.strip, system=system)
    )  # fmt: skip
    items += header_items(window, count, wall.length, place.left, place.right, place.header,
                          _SHARED[system][1], system)  # fmt: skip
    notes, missing = note_items(wall, view, place.notes, 1, (place.left, place.right), system)
    items += notes
    items += region_items(regions, view, fills, _EDGE)
    items += feature_items(wall, view)
    room = Room((view.left, view.upper, view.right, view.lower), gap=0.3)
    marks = tuple(mark_items(results.marks, view, room))
    items += outline_items(wall, view)
    items += (*grid_items(wall, view, system, room), *marks)
    named, more = on_wall_items(wall, view, room, system)
    items += named
    numbered = colour_numbers(*regions.parts(view), regions.lines(view), view, room)
    items += numbered.items
    items += frame_items(
        window, wall, view, _SHARED[system][0] * paper_unit(system), blocks, system
    )
    items += ruler_items(wall, view, system)
    items += colour_key(inputs.paints, inputs.colourways, inputs.colourway, place.left,
                        place.right, place.key)  # fmt: skip
    items += bars(scale, system, place.left, place.right, place.bars, _note(numbered, system))
    items += title_block(head, f"Reference sheet {window.number}", scale.name,
                         (window.number, count), place.left, place.right, place.lower)  # fmt: skip
    sheet = Sheet(name=f"Reference sheet {window.number}", width=place.size.long,
                  height=place.size.short, items=tuple(items))  # fmt: skip
    return sheet, numbered, (*missing, *more)


def _note(numbered: Numbered, system: System) -> str:
    note = f"{unit_note(system)}, from the datum. Numbers are colours of the key."
    if numbered.specks:
        under = f"under {LEAST_NUMBERED.value:g} mm²"
        note += (
            " "
            + number_of(numbered.specks, f"speck {under} bears none", f"specks {under} bear none")
            + "."
        )
    return note


def _unplaced(numbered: Sequence[tuple[int, Numbered]]) -> tuple[Finding, ...]:
    places = [(sheet, *place) for sheet, numbers in numbered for place in numbers.unplaced]
    if not places:
        return ()
    named = ", ".join(
        f"{number} at {x:.2f} m, level {y:.2f} m (sheet {sheet})"
        for sheet, number, x, y in places[:5]
    )
    more = f", and {len(places) - 5} more" if len(places) > 5 else ""
    regions = number_of(len(places), "region")
    return (
        Finding(
            code="documents.number_left_out",
            severity=Severity.NOTE,
            subject="reference sheets",
            message=f"{regions} found no room for a colour number: {named}{more}.",
            remedy="Print the sheets at a larger scale, or take the colour from the page.",
        ),
    )


def _no_room(missing: Sequence[str]) -> tuple[Finding, ...]:
    if not missing:
        return ()
    more = f"; and {len(missing) - 5} more" if len(missing) > 5 else ""
    return (
        Finding(
            code="documents.note_left_out",
            severity=Severity.NOTE,
            subject="reference sheets",
            message=f"Left out for want of room: {'; '.join(missing[:5])}{more}.",
            remedy="Print the sheets at a larger scale, or read them on the elevation.",
        ),
    )
