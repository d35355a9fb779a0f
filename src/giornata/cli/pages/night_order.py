"""The nights: their darkness, the order of work, and what each leaves."""

from __future__ import annotations

from datetime import datetime, timedelta, tzinfo

from giornata.cli.report import Column, Fact, Facts, Measure, Report, Section, Table
from giornata.core import works
from giornata.core.foundation import shown_day
from giornata.core.job import Design, JobResults
from giornata.core.site import Night, clock_time
from giornata.core.works import NightPlan, PowerPlan

__all__ = ["nights_page"]

_WORKS = (
    "works.long_set_up", "works.nights_run_out", "works.nights_past", "works.battery_short",
    "works.inverter_small",
    "works.circuit_overloaded", "works.idling_vehicle", "works.no_projector_power",
    "works.power_outdoors",
)  # fmt: skip


def nights_page(results: JobResults, design: Design) -> Report:
    """When it is dark enough, in what order the set-ups are worked, and how far each night gets."""
    plan = design.nights
    title = f"{results.inputs.title.name}, option {design.option.key}: nights"
    if plan is None:
        facts = Facts(facts=(Fact(key="nights", name="nights", value="nothing is to be traced"),))
        return Report(title=title, sections=(facts,), rooms=("works", "site"))
    zone = results.inputs.site.zone
    sections: list[Section] = [_facts(results, plan, zone), _nights(plan, zone)]
    dated = tuple(one.night for one in plan.planned if one.night is not None)
    if dated:
        sections += [_sun(dated, zone), _moon(dated, zone)]
    sections.append(_order(results, design, plan, zone))
    if results.power is not None:
        sections.append(_power(results.power))
    return Report(
        title=title,
        sections=tuple(sections),
        rooms=("site", *_WORKS),
    )


def _facts(results: JobResults, plan: NightPlan, zone: tzinfo | None) -> Facts:
    inputs = results.inputs
    limit = works.sky_limit(results.set_ups.set_ups, inputs.nights.usable_from)
    facts = [
        Fact(key="clock", name="by the clock of", value=str(zone) if zone else "no zone decided"),
        Fact(key="limit", name="light of the sky at most", value=limit),
        Fact(key="duration", name="by the clock", value=plan.duration),
        Fact(key="person_time", name="of all people", value=plan.person_time),
    ]
    if inputs.nights.first is None and not inputs.nights.dates:
        facts.append(
            Fact(key="evenings", name="evenings", value="none decided",
                 remark="write first or dates under [nights]")
        )  # fmt: skip
    if plan.closing is not None:
        facts += [
            Fact(
                key="closing",
                name="closes at",
                value=Measure(value=plan.closing.chainage, unit="m"),
                remark="from both ends; what the marks leave over ends up here",
            ),
            Fact(key="closing_edge", name="edge about it", value=plan.closing.edge),
        ]
    return Facts(facts=tuple(facts))


def _power(power: PowerPlan) -> Facts:
    facts = (
        ("load", "load", power.load),
        ("longest_night", "longest night", power.time),
        ("energy", "energy for it", power.energy),
        ("current", "current", power.current),
        ("printed_time", "battery by its plate", power.printed_time),
        ("battery_time", "batteries last", power.battery_time),
        ("batteries", "batteries for it", power.batteries),
    )
    return Facts(
        title="Power",
        facts=tuple(
            Fact(key=f"power_{key}", name=name, value=figure)
            for key, name, figure in facts
            if figure is not None
        ),
    )


def _nights(plan: NightPlan, zone: tzinfo | None) -> Table:
    return Table(
        key="nights",
        title="Nights",
        columns=(
            Column(key="night", head="night"),
            Column(key="evening", head="evening"),
            Column(key="on_site", head="on site"),
            Column(key="dark_from", head="dark from"),
            Column(key="dark_to", head="to"),
            Column(key="set_ups", head="set-ups"),
            Column(key="used", head="takes", unit="s"),
            Column(key="limit", head="of", unit="s"),
            Column(key="left", head="left"),
            Column(key="left_time", head="takes", unit="s"),
        ),
        rows=tuple(
            (
                number,
                _day(one.night) if one.night else "-",
                _clock(one.on_site, zone),
                *(_clock(at, zone) for at in _span(one.night)),
                ", ".join(map(str, one.set_ups)),
                one.used,
                one.limit,
                len(one.left),
                one.left_time,
            )
            for number, one in enumerate(plan.planned, start=1)
        ),
    )


def _sun(nights: tuple[Night, ...], zone: tzinfo | None) -> Table:
    return Table(
        key="sun",
        title="Sun",
        columns=(
            Column(key="evening", head="evening"),
            Column(key="sunset", head="sunset"),
            Column(key="civil_dusk", head="6° down"),
            Column(key="nautical_dusk", head="12°"),
            Column(key="astronomical_dusk", head="18°"),
            Column(key="astronomical_dawn", head="18°"),
            Column(key="nautical_dawn", head="12°"),
            Column(key="civil_dawn", head="6°"),
            Column(key="sunrise", head="sunrise"),
        ),
        rows=tuple(
            (
                _day(night),
                *(
                    _clock(at, zone)
                    for at in (
                        night.sunset, night.civil[0], night.nautical[0], night.astronomical[0],
                        night.astronomical[1], night.nautical[1], night.civil[1], night.sunrise,
                    )
                ),
            )
            for night in nights
        ),
    )  # fmt: skip


def _moon(nights: tuple[Night, ...], zone: tzinfo | None) -> Table:
    return Table(
        key="moon",
        title="Moon",
        columns=(
            Column(key="evening", head="evening"),
            Column(key="moonrise", head="rises"),
            Column(key="moonset", head="sets"),
            Column(key="moon_lit", head="lit", unit="%", digits=0),
            Column(key="moonlight", head="on the wall", unit="lx", digits=2),
        ),
        rows=tuple(
            (
                _day(night),
                _clock(night.moonrise, zone),
                _clock(night.moonset, zone),
                100 * night.moon_lit,
                night.moonlight,
            )
            for night in nights
        ),
    )


def _order(results: JobResults, design: Design, plan: NightPlan, zone: tzinfo | None) -> Table:
    rows = []
    for number, one in enumerate(plan.planned, start=1):
        for set_up, since in zip(one.set_ups, plan.since(one), strict=True):
            begin = None if one.begin is None else one.begin + timedelta(seconds=since)
            rows.append(
                (
                    number,
                    set_up,
                    results.set_ups.set_ups[set_up - 1].centre,
                    design.traced[set_up - 1],
                    plan.set_ups[set_up - 1],
                    since,
                    _clock(begin, zone),
                )
            )
    return Table(
        key="order",
        title="Order of work",
        columns=(
            Column(key="night", head="night"),
            Column(key="set_up", head="set-up"),
            Column(key="centre", head="lens at", unit="m", taped=True),
            Column(key="edge", head="edge", unit="m", digits=1),
            Column(key="time", head="takes", unit="s"),
            Column(key="since", head="after", unit="s"),
            Column(key="begins", head="begins"),
        ),
        rows=tuple(rows),
    )


def _day(night: Night) -> str:
    return shown_day(night.evening).rsplit(" ", 1)[0]


def _span(night: Night | None) -> tuple[datetime | None, datetime | None]:
    span = None if night is None else night.longest
    return (None, None) if span is None else span


def _clock(at: datetime | None, zone: tzinfo | None) -> str:
    return "-" if at is None or zone is None else clock_time(at, zone)
