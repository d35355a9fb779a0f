"""The list of the nights, and of the control marks to set by day."""

from __future__ import annotations

import math
from datetime import timedelta

from giornata.core.documents.card_words import before_dark
from giornata.core.documents.display import bare, edge_text, figure_text, headed
from giornata.core.documents.drawing import Item, Label, Sheet
from giornata.core.documents.flowed_tables import Block, flowed
from giornata.core.documents.letters import lines_of
from giornata.core.documents.not_projected import left_out_block, marks_of_use
from giornata.core.documents.ruled_table import BOX, Column, tick_box
from giornata.core.documents.scales import MARGIN, PaperSize
from giornata.core.documents.title_block import TITLE_HEIGHT, Heading, title_block
from giornata.core.foundation import System, number_of, shown, shown_day
from giornata.core.job import JobResults
from giornata.core.site import clock_time
from giornata.core.works import PlannedNight

__all__ = ["list_sheets", "night_of"]

_SIZE = 14.0
_TOP = 22.0  # mm under the margin at which the first page's list begins
_HEADS = {"Nights": "Nights", "Control marks": "Control marks, to be set by day"}
_WRITTEN_IN = (("date", 34.0), ("begun at", 22.0))  # mm


def night_of(results: JobResults, number: int) -> str:
    """Which night a set-up falls in, its place there, and when it begins.

    Parameters
    ----------
    number : int
        Of the set-up. [-]
    """
    nights = results.design.nights
    for night, group in enumerate(nights.nights if nights else (), start=1):
        if number in group:
            place = group.index(number)
            words = f"Night {night}, {place + 1} of {len(group)}"
            planned = nights.planned[night - 1] if nights else None
            if planned is None or planned.begin is None or nights is None:
                return words
            since = nights.since(planned)[place]
            return f"{words}, {_begins(results, planned, since, System.METRIC)}"
    return f"{number} of {len(results.set_ups.set_ups)}"


def list_sheets(
    results: JobResults, system: System, size: PaperSize, head: Heading, *, more: int
) -> tuple[Sheet, ...]:
    """The sheets of the lists.

    Parameters
    ----------
    more : int
        Sheets that follow in the same document. [-]
    """
    margin = 1000 * MARGIN.value
    left, right = margin, size.short - margin
    lower = size.long - margin
    floor = lower - TITLE_HEIGHT - 3.0
    first = _before_dark(left, right, margin + _TOP, _to_do(results), _power(results, system))
    pages: list[tuple[str, list[Item]]] = []
    if results.set_ups.set_ups:
        y = margin + _TOP + _before_height(_to_do(results), right - left)
        blocks = [*_nights(results, system), *left_out_block(results, system)]
        pages += flowed(blocks, "Nights", left, right, margin, floor, y, first)
    else:
        pages.append(("Nights", [
            Label(x=left, y=margin + 24.0, text="No set-ups could be planned: see the findings.",
                  size=_SIZE)
        ]))  # fmt: skip
    if marks_of_use(results):
        pages += flowed([_marks(results, system)], "Control marks", left, right,
                         margin, floor, margin + 22.0, ())  # fmt: skip
    count = len(pages) + more
    return tuple(
        Sheet(
            name=name,
            width=size.short,
            height=size.long,
            items=(
                Label(x=left, y=margin + 8.0, text=_HEADS[name], size=22.0, bold=True),
                Label(x=left, y=margin + 14.5, text=_under(name, results, system), size=10.0),
                *items,
                *title_block(head, name, _design(results), (page, count), left, right, lower),
            ),
        )
        for page, (name, items) in enumerate(pages, start=1)
    )


def _under(name: str, results: JobResults, system: System) -> str:
    if name != "Nights":
        return (
            "Each measured from the datum, never from the mark before it. "
            f"Datum: {results.wall.datum}."
        )
    nights = results.design.nights
    what = f"{_design(results)}; {number_of(len(results.projected), 'set-up')}"
    if nights is None:
        return f"{what}."
    ends = ""
    if nights.closing is not None:
        ends = f" From both ends; closes at {shown(nights.closing.chainage, 'm', system)}."
    return (
        f"{what} in {number_of(len(nights.nights), 'night')}, "
        f"{figure_text(nights.duration, system)} by the clock without breaks.{ends}"
    )


def _power(results: JobResults, system: System) -> str:
    """Load and energy of the longest night, and how long the batteries last."""
    power = results.power
    if power is None or float(power.load) == 0:
        return ""
    text = (
        f"Power {figure_text(power.load, system)}, {figure_text(power.energy, system)} for the "
        "longest night"
    )
    if power.battery_time is not None:
        text += f"; the batteries last {figure_text(power.battery_time, system)}"
    return f"{text}."


def _design(results: JobResults) -> str:
    return f"{results.design.option.name}, {results.scheme.colourway.name}"


def _nights(results: JobResults, system: System) -> list[Block]:
    design = results.design
    plan = design.nights
    clock = plan is not None and any(one.begin for one in plan.planned)
    columns = (
        Column(head="Set-up", align="middle", bold=True),
        Column(head=headed("Lens at", system), bold=True),
        Column(head=headed("Lens to wall", system)),
        Column(head=headed("Lens above ground", system)),
        Column(head="Light : ambient"),
        Column(head="Edge to trace"),
        Column(head="Takes, h"),
        Column(head="Begins" if clock else "From, h"),
        Column(head="Aimed", align="middle"),
        Column(head="Traced", align="middle"),
    )
    groups = plan.nights if plan else ()
    blocks = []
    for night, group in enumerate(groups, start=1):
        planned = plan.planned[night - 1] if plan else None
        rows, since = [], 0.0
        for number in group:
            one = results.set_ups.set_ups[number - 1]
            time = float(plan.set_ups[number - 1]) if plan else 0.0
            traced = design.traced[number - 1] if number <= len(design.traced) else None
            ratio = "–" if math.isinf(one.light.ratio) else f"{one.light.ratio:.1f}"
            rows.append(
                (
                    str(number),
                    bare(one.centre, system),
                    bare(one.distance, system),
                    bare(one.lens_height, system),
                    ratio if one.light.passes else f"{ratio} !",
                    edge_text(traced, system) if traced is not None else "–",
                    shown(time, "s", system).removesuffix(" h"),
                    _begins(results, planned, since, system),
                    BOX,
                    BOX,
                )
            )
            since += time
        spent = shown(since, "s", system)
        blocks.append(
            Block(
                name=f"Night {night}",
                aside=_aside(
                    results, planned, f"{number_of(len(group), 'set-up')}, {spent}", system
                ),
                columns=columns,
                rows=tuple(rows),
                written_in=() if planned and planned.night else _WRITTEN_IN,
            )
        )
    return blocks


def _begins(results: JobResults, planned: PlannedNight | None, since: float, system: System) -> str:
    """When a set-up begins: by the clock where the darkness is known, else after the first."""
    zone = results.inputs.site.zone
    if planned is None or planned.begin is None or zone is None:
        return shown(since, "s", system).removesuffix(" h")
    return clock_time(planned.begin + timedelta(seconds=since), zone)


def _aside(results: JobResults, planned: PlannedNight | None, spent: str, system: System) -> str:
    """Date and darkness of a night, what it takes, and what it leaves."""
    if planned is None:
        return spent
    left = f"; then left: {len(planned.left)}" if planned.left else ""
    zone, night = results.inputs.site.zone, planned.night
    span = None if night is None else night.longest
    if night is None or span is None or zone is None or planned.on_site is None:
        return f"{spent}{left}"
    day = shown_day(night.evening).rsplit(" ", 1)[0]
    return (
        f"{day}: on site {clock_time(planned.on_site, zone)}, dark {clock_time(span[0], zone)} to "
        f"{clock_time(span[1], zone)}; {spent}{left}"
    )


def _marks(results: JobResults, system: System) -> Block:
    away = results.unprojected
    columns = (
        Column(head="Mark", align="start", bold=True),
        Column(head=headed("Chainage", system), bold=True),
        Column(head=headed("Above ground", system), bold=True),
        Column(head=headed("Level", system)),
        Column(head="For set-ups", align="middle"),
        Column(head="Set", align="middle"),
        Column(head="Checked", align="middle"),
    )
    rows = tuple(
        (
            mark.name,
            bare(mark.chainage, system, digits=3),
            bare(mark.above_ground, system, digits=3),
            bare(mark.level, system, digits=3),
            ", ".join(str(n) for n in mark.set_ups if n not in away),
            BOX,
            BOX,
        )
        for mark in marks_of_use(results)
    )
    return Block(name="", aside="", columns=columns, rows=rows)


def _to_do(results: JobResults) -> tuple[str, ...]:
    power = results.inputs.power
    return before_dark(None if power is None else power.source)


def _before_height(words: tuple[str, ...], width: float) -> float:
    return 7.0 + 4.6 * sum(len(lines_of(text, width - 8.0, 10.0)) for text in words) + 3.0


def _before_dark(
    left: float, right: float, upper: float, words: tuple[str, ...], power: str
) -> tuple[Item, ...]:
    items: list[Item] = [Label(x=left, y=upper + 3.0, text="Before dark", size=12.0, bold=True)]
    if power:
        items.append(Label(x=right, y=upper + 3.0, text=power, size=10.0, anchor="end"))
    y = upper + 8.6
    for text in words:
        items.append(tick_box(left, y + 0.4, 3.6))
        for line in lines_of(text, right - left - 8.0, 10.0):
            items.append(Label(x=left + 6.0, y=y, text=line, size=10.0))
            y += 4.6
    return tuple(items)
