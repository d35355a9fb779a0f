"""The setting-out sheet: marks and fixed points from the datum, and measures that check them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from giornata.core import setting_out
from giornata.core.documents.display import bare, headed
from giornata.core.documents.drawing import FINE, DrawnPaper, Item, Label, Sheet, segment
from giornata.core.documents.flowed_tables import Block, flowed
from giornata.core.documents.letters import lines_of, text_width
from giornata.core.documents.not_projected import marks_of_use
from giornata.core.documents.room import Room
from giornata.core.documents.ruled_table import BOX, Column
from giornata.core.documents.scales import MARGIN, PaperSize, card_paper
from giornata.core.documents.sheet_frame import mark_items
from giornata.core.documents.title_block import (
    TITLE_HEIGHT,
    heading,
    title_block,
    title_findings,
)
from giornata.core.documents.wall_parts import feature_items, outline_items
from giornata.core.documents.wall_view import WallView, level_range
from giornata.core.foundation import INCH, System, shown_place
from giornata.core.job import JobResults

__all__ = ["setting_out_sheet"]

_STRIPS = ((80.0, 20.0), (math.inf, 40.0))  # length of wall, m of it in one picture at most
_SIZE = 10.0
_LINE = 4.6
_BLANK = 23.0  # mm to write a reading in
_TOP = 20.0  # mm from the margin to what stands below the head
_ROWS = 14.5  # mm over and under each stretch of the drawing
_LEAST = 0.67  # so much smaller at most is the wall drawn, that the words go under it
_HOW = (
    (
        "Every mark from the datum, never from the mark before it: lay the tape along the wall "
        "once, pulled and level, and read all marks and fixed points from that one pull."
    ),
    "Beyond the tape's end begin again at a fixed point that was itself taped from the datum.",
    "Levels from one level line; a laser or level is first tried both ways round.",
    "Draw a thin cross; write its name beside it, outside the painted face or in chalk.",
    (
        "Then the check measures, by day. A reading further off than its limit: one of the two "
        "marks is wrong, so set both again from the datum. Never split a difference."
    ),
    (
        "Fixed points that are all off in proportion: the tape, its pull or the heat. All off by "
        "one amount: the datum. Ask before you go on."
    ),
    "Rain washes chalk off: after rain read the checks again.",
    "Traffic, ladders, power lines: lights, lookout, local code and the makers' manuals first.",
)


def setting_out_sheet(
    results: JobResults, system: System, *, paper: PaperSize | None = None
) -> DrawnPaper:
    """What is measured out on the wall by day, with room for what was read.

    Parameters
    ----------
    paper : PaperSize, optional
        Upright; else A4, or Letter for US units.
    """
    size = paper or card_paper(system)
    head = heading(results)
    margin = 1000 * MARGIN.value
    left, right, lower = margin, size.short - margin, size.long - margin
    floor = lower - TITLE_HEIGHT - 3.0
    pages = _pages(results, system, left, right, margin, floor)
    sheets = tuple(
        Sheet(
            name=name,
            width=size.short,
            height=size.long,
            items=(
                Label(x=left, y=margin + 8.0, text=name, size=22.0, bold=True),
                Label(x=left, y=margin + 14.5, text=f"Datum: {head.datum}", size=_SIZE),
                *items,
                *title_block(head, "Setting-out sheet", _tape(results, system),
                             (page, len(pages)), left, right, lower),
            ),
        )
        for page, (name, items) in enumerate(pages, start=1)
    )  # fmt: skip
    return DrawnPaper(
        title=f"{head.job}: setting-out sheet",
        date=head.date,
        sheets=sheets,
        findings=title_findings(head),
    )


def _tape(results: JobResults, system: System) -> str:
    survey = results.inputs.survey
    farthest = setting_out.running_error(survey, results.wall.length, drawn=0.0)
    return f"Tape of class {survey.tape}: ±{_limit(farthest, system)} at the far end"


def _limit(value: float, system: System) -> str:
    """A tolerance, rounded up to the last digit that is read."""
    if system is System.METRIC:
        return f"{math.ceil(1000 * value - 1e-6)} mm"
    step = INCH / 16
    return shown_place(step * math.ceil(value / step - 1e-6), system).removeprefix("0 ft ")


# --------------------------------------------------------------------------- pictures and words


def _pages(
    results: JobResults, system: System, left: float, right: float, margin: float, floor: float
) -> list[tuple[str, list[Item]]]:
    """The wall in stretches with its marks, how to go about it, then the tables.

    The drawing is made up to a third smaller where the words then go under it; words with no room
    there begin the pages of tables.
    """
    words = _words(_expected(results, system), left, right)
    tall = words[-1].y + 4.0
    pages, y = _pictures(results, system, left, right, margin, floor, tall)
    if y + 6.0 + tall <= floor:
        pages[-1][1].extend(_lowered(words, y + 6.0))
        return pages + _tables(results, system, left, right, margin, floor, margin + _TOP - 2.0, [])
    upper = margin + _TOP + 3.0
    first = _lowered(words, upper)
    return pages + _tables(results, system, left, right, margin, floor, upper + tall + 2.0, first)


def _pictures(
    results: JobResults,
    system: System,
    left: float,
    right: float,
    margin: float,
    floor: float,
    words: float,
) -> tuple[list[tuple[str, list[Item]]], float]:
    """Pages of the wall in stretches, and where on the last they end. [mm]

    Parameters
    ----------
    words : float
        Room for words wanted under them. [mm]
    """
    wall = results.wall
    most = next(strip for length, strip in _STRIPS if wall.length <= length)
    count = max(math.ceil(wall.length / most), 1)
    each = wall.length / count
    spans = [(k * each, min((k + 1) * each, wall.length)) for k in range(count)]
    levels = [level_range(wall, *span) for span in spans]
    scale = (right - left - 6.0) / each
    room = floor - words - 6.0 - margin - _TOP - count * _ROWS
    smaller = room / sum(high - low for low, high in levels)
    if _LEAST * scale <= smaller < scale:
        scale = smaller
    y = margin + _TOP
    pages: list[tuple[str, list[Item]]] = [("Setting out", [])]
    for (start, end), (low, high) in zip(spans, levels, strict=True):
        tall = (high - low) * scale
        if y + tall + 14.0 > floor and pages[-1][1]:
            pages.append(("Setting out", []))
            y = margin + _TOP
        view = WallView(start=start, end=end, base=low, head=high, left=left + 3.0,
                        lower=y + 4.0 + tall, mm_per_metre=scale)  # fmt: skip
        pages[-1][1].extend(_stretch(results, view, system, left, right))
        y = view.lower + _ROWS - 4.0
    return pages, y


def _lowered(words: list[Label], by: float) -> list[Item]:
    return [replace(one, y=one.y + by) for one in words]


def _stretch(
    results: JobResults, view: WallView, system: System, left: float, right: float
) -> Iterator[Item]:
    """A stretch of the wall with its marks, and the chainages of its columns under it."""
    wall = results.wall
    yield from feature_items(wall, view)
    yield from outline_items(wall, view)
    room = Room((left, view.upper - 5.0, right, view.lower + 1.0), gap=0.4)
    yield from mark_items(marks_of_use(results), view, room)
    below = Room((left, view.lower, right, view.lower + 12.0), gap=0.8)
    y = view.lower + 2.0
    yield segment((view.left, y), (view.right, y), FINE)
    for at in sorted({mark.chainage for mark in marks_of_use(results)} | {view.start, view.end}):
        if not view.holds(at):
            continue
        x, text = view.x(at), bare(at, system, digits=3 if view.start < at < view.end else 2)
        yield segment((x, y - 1.0), (x, y + 1.2), FINE)
        half = text_width(text, 9.0) / 2
        place = min(max(x, left + half), right - half)
        label = below.place(
            Label(x=place, y=y + down, text=text, size=9.0, anchor="middle") for down in (4.6, 8.4)
        )
        if label is not None:
            yield label


def _expected(results: JobResults, system: System) -> str:
    if not results.mark_errors:
        return "There are no set-ups, so there are no marks: see the findings."
    errors = {
        one.number: error
        for one, error in zip(results.set_ups.set_ups, results.mark_errors, strict=True)
        if one.number not in results.unprojected
    }
    if not errors:
        return "Nothing is projected, so no picture is squared on marks."
    number = max(errors, key=lambda one: errors[one])
    if math.isinf(errors[number]):
        return f"Set-up {number} has fewer than four marks: it cannot be squared on them."
    within = _limit(errors[number], system)
    return (
        f"A picture squared on its marks is expected within {within} at its "
        f"worst place (set-up {number}), 95 times of 100, beside what the tape is out by."
    )


def _words(expected: str, left: float, right: float) -> list[Label]:
    items = [
        Label(x=left, y=_LINE * k, text=line, size=_SIZE)
        for k, line in enumerate(lines_of(expected, right - left, _SIZE))
    ]
    y = _LINE * len(items) + 3.0
    items.append(Label(x=left, y=y, text="How", size=12.0, bold=True))
    y += 5.6
    for number, text in enumerate(_HOW, start=1):
        items.append(Label(x=left, y=y, text=f"{number}", size=_SIZE, bold=True))
        for line in lines_of(text, right - left - 8.0, _SIZE):
            items.append(Label(x=left + 6.0, y=y, text=line, size=_SIZE))
            y += _LINE
    return items


# --------------------------------------------------------------------------- tables


def _tables(
    results: JobResults,
    system: System,
    left: float,
    right: float,
    margin: float,
    floor: float,
    y: float,
    first: list[Item],
) -> list[tuple[str, list[Item]]]:
    """Pages of tables, the first with what stands over them; y is where its tables begin. [mm]"""
    made = (_marks(results, system), _checks(results, system), _fixed(results, system))
    blocks = [block for block in made if block.rows]
    return flowed(blocks, "Measures", left, right, margin, floor, y, first)


def _marks(results: JobResults, system: System) -> Block:
    survey, drawn = results.inputs.survey, results.inputs.marks_asked.drawn
    columns = (
        Column(head="Mark", align="start", bold=True),
        Column(head=headed("Running from the datum", system), bold=True),
        Column(head="May be out by"),
        Column(head=headed("Level", system), bold=True),
        Column(head=headed("Above ground", system)),
        Column(head="Read again", width=_BLANK),
        Column(head="Set", align="middle"),
    )
    rows = tuple(
        (
            mark.name,
            bare(mark.chainage, system, digits=3),
            _limit(setting_out.running_error(survey, mark.chainage, drawn=drawn), system),
            bare(mark.level, system, digits=3),
            bare(mark.above_ground, system, digits=3),
            "",
            BOX,
        )
        for mark in marks_of_use(results)
    )
    return Block(name="Control marks", aside="each from the datum", columns=columns, rows=rows)


def _checks(results: JobResults, system: System) -> Block:
    columns = (
        Column(head="From", align="start", bold=True),
        Column(head="To", align="start", bold=True),
        Column(head="", align="start"),
        Column(head=headed("Straight length", system), bold=True),
        Column(head="Limit"),
        Column(head="Read", width=_BLANK),
        Column(head="Differs by", width=_BLANK),
        Column(head="Right", align="middle"),
    )
    measures = setting_out.check_measures(
        marks_of_use(results), results.wall, results.inputs.survey,
        drawn=results.inputs.marks_asked.drawn,
    )  # fmt: skip
    rows = tuple(
        (
            one.first,
            one.second,
            "upright" if one.upright else "diagonal",
            bare(one.length, system, digits=3),
            _limit(one.tolerance, system),
            "",
            "",
            BOX,
        )
        for one in measures
    )
    return Block(name="Check measures", aside="from mark to mark, straight", columns=columns,
                 rows=rows)  # fmt: skip


def _fixed(results: JobResults, system: System) -> Block:
    """Edges of openings and piers, bends, joints and steps, in order: the tape passes them all."""
    survey = results.inputs.survey
    columns = (
        Column(head="Point", align="start", bold=True),
        Column(head=headed("Running from the datum", system), bold=True),
        Column(head="Limit"),
        Column(head="Read", width=_BLANK),
        Column(head="Differs by", width=_BLANK),
    )
    points: list[tuple[float, str]] = []
    for name, (start, end) in setting_out.places_named(results.wall).items():
        if name == "start":
            continue  # the datum's own end: nothing to read
        if start == end:
            points.append((start, name))
        else:
            points += [(start, f"{name}, left"), (end, f"{name}, right")]
    rows = tuple(
        (
            name[:1].upper() + name[1:],
            bare(at, system, digits=3),
            _limit(setting_out.running_error(survey, at), system),
            "",
            "",
        )
        for at, name in sorted(points)
    )
    return Block(name="Fixed points", aside="the tape passes them anyway", columns=columns,
                 rows=rows)  # fmt: skip
