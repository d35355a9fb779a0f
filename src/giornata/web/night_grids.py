"""Table of the nights of a plan: when each is dark, and what of the work fits into it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from itertools import groupby

from giornata.core.foundation import System, number_of, shown, shown_day
from giornata.core.job import place_of_nights
from giornata.core.site import Night, clock_time
from giornata.core.works import NightPlan, PlannedNight
from giornata.web.records import Cell, Column, Grid, Row
from giornata.web.tables import Sheet

__all__ = ["nights_grid"]

_COLUMNS = (
    Column(head="night", number=False),
    Column(head="evening", number=False),
    Column(head="dark from"),
    Column(head="till"),
    Column(head="time there is"),
    Column(head="set-ups, in order of work", number=False),
    Column(head="they take"),
    Column(head="still to do after it", number=False),
)


def nights_grid(sheet: Sheet) -> Grid:
    """The nights of the option that is shown, with their darkness and what fits."""
    inputs, plan = sheet.results.inputs, sheet.design.nights
    where = place_of_nights(inputs.site, inputs.nights, sheet.results.set_ups)
    note = "By the sun and moon of the place, on level ground under a clear sky."
    if where is None:
        note = (
            "How long it is dark is not known: write latitude, longitude and zone under [site]. "
            "Until then a night is as long as the working time decided."
        )
    elif inputs.nights.first is None and not inputs.nights.dates:
        note = "No evening is decided: write first or dates under [nights]."
    return Grid(
        key="nights",
        title="Nights",
        note=note,
        columns=_COLUMNS,
        rows=() if plan is None else tuple(_rows(plan, sheet)),
        none="No night is planned.",
    )


def _rows(plan: NightPlan, sheet: Sheet) -> Iterator[Row]:
    """Nights in order, those without enough darkness between them where they fall."""
    passed = _runs(plan.passed_over)
    for number, one in enumerate(plan.planned, start=1):
        while passed and (one.night is None or passed[0][0].evening < one.night.evening):
            yield _passed(passed.pop(0), sheet.system)
        yield _worked(number, one, sheet)


def _worked(number: int, one: PlannedNight, sheet: Sheet) -> Row:
    zone, system, night = sheet.results.inputs.site.zone, sheet.system, one.night
    spans = () if night is None or zone is None else night.dark
    left = (
        f"{number_of(len(one.left), 'set-up')}, {shown(one.left_time, 's', system)}"
        if one.left
        else "none"
    )
    return Row(
        cells=(
            Cell(text=str(number)),
            Cell(text="–" if night is None else shown_day(night.evening)),
            Cell(text=", ".join(clock_time(start, zone) for start, _ in spans if zone) or "–"),
            Cell(text=", ".join(clock_time(end, zone) for _, end in spans if zone) or "–"),
            Cell(text=shown(one.limit, "s", system)),
            Cell(text=", ".join(map(str, one.set_ups)) or "none"),
            Cell(text=shown(one.used, "s", system) if one.set_ups else "–"),
            Cell(text=left),
        )
    )


def _runs(nights: tuple[Night, ...]) -> list[list[Night]]:
    """Evenings that follow one another, all with some darkness or all without any."""

    def run(one: tuple[int, Night]) -> tuple[date, bool]:
        at, night = one
        return night.evening - timedelta(days=at), bool(night.dark)

    ordered = sorted(nights, key=lambda night: night.evening)
    return [[night for _, night in group] for _, group in groupby(enumerate(ordered), key=run)]


def _passed(nights: list[Night], system: System) -> Row:
    first, last = shown_day(nights[0].evening), shown_day(nights[-1].evening)
    most = max(night.length for night in nights)
    why = "none: it does not get dark enough"
    if most > 0:
        why = "none: too little darkness"
    return Row(
        cells=(
            Cell(text="–"),
            Cell(text=first if len(nights) == 1 else f"{first} to {last}"),
            Cell(text="–"),
            Cell(text="–"),
            Cell(text=f"at most {shown(most, 's', system)}" if most else "0 h"),
            Cell(text=why),
            Cell(text="–"),
            Cell(text="–"),
        )
    )
