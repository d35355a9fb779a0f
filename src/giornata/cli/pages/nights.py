"""Set-ups of the projector, their light, and the nights they fall into."""

from __future__ import annotations

from itertools import zip_longest

from giornata.cli.report import Column, Fact, Facts, Report, Section, Table
from giornata.core import documents
from giornata.core.job import Design, JobResults

__all__ = ["set_ups_page"]


def set_ups_page(results: JobResults, design: Design) -> Report:
    """Where the projector stands, what it lights, whether it is bright enough, and when."""
    plan, inputs = results.set_ups, results.inputs
    facts = Facts(
        facts=(
            Fact(key="projector", name="projector", value=inputs.projector.name),
            Fact(key="mode", name="mode", value=inputs.projector.mode),
            Fact(key="orientation", name="orientation", value=str(plan.orientation)),
            Fact(key="rows", name="rows", value=plan.rows),
            Fact(key="count", name="set-ups", value=plan.count),
            Fact(key="bound", name="no plan has fewer than", value=plan.bound),
            Fact(key="crossed", name="edge crossed at the seams", value=plan.crossed),
            Fact(key="image_width", name="widest image, width", value=plan.image_width),
            Fact(key="image_height", name="its height", value=plan.image_height),
            Fact(key="pitch", name="its pixels on the wall", value=plan.pitch),
            Fact(key="overlap", name="smallest overlap", value=plan.overlap),
            Fact(key="illuminance", name="least light of an image", value=plan.illuminance),
            Fact(key="ratio", name="to ambient light, times", value=plan.ratio),
        )
    )
    sections: list[Section] = [facts, _places(results), _light(results, design)]
    if plan.unreachable:
        sections.append(
            Table(
                key="unreachable",
                title="What no place of the projector reaches within the limits",
                columns=(
                    Column(key="from", head="from", unit="m", taped=True),
                    Column(key="to", head="to", unit="m", taped=True),
                    Column(key="limit", head="limit that bites"),
                ),
                rows=tuple((one.start, one.end, one.limit.value) for one in plan.unreachable),
            )
        )
    if len(plan.trade_offs) > 1:
        sections.append(
            Table(
                key="trade_offs",
                title="Edge crossed at the seams with more set-ups",
                columns=(
                    Column(key="count", head="set-ups"),
                    Column(key="crossed", head="crossed", unit="m", digits=1),
                ),
                rows=tuple((one.count, one.cost) for one in plan.trade_offs),
            )
        )
    if plan.alternatives:
        sections.append(
            Table(
                key="alternatives",
                title="Other plans: with fewer rows, with other projectors",
                columns=(
                    Column(key="projector", head="projector"),
                    Column(key="distance", head="distance", unit="m", taped=True),
                    Column(key="orientation", head="orientation"),
                    Column(key="rows", head="rows"),
                    Column(key="count", head="set-ups"),
                    Column(key="light", head="light"),
                    Column(key="whole", head="reaches"),
                    Column(key="crossed", head="crossed", unit="m", digits=1),
                ),
                rows=tuple(
                    (a.projector or inputs.projector.name, a.distance, str(a.orientation), a.rows,
                     a.count, "enough" if a.bright else "too little",
                     "all" if a.whole else "not all", a.crossed)
                    for a in plan.alternatives
                ),
            )
        )  # fmt: skip
    return Report(
        title=f"{inputs.title.name}, option {design.option.key}: set-ups",
        sections=(*sections, *_nights(design)),
        rooms=("projection", "works.long_set_up", "works.power_outdoors"),
    )


def _places(results: JobResults) -> Table:
    ways = documents.put_on(results)
    some = any(way.other_ways for way in ways.values())
    return Table(
        key="set_ups",
        title="Where the projector stands and what it lights",
        columns=(
            Column(key="set_up", head="no."),
            Column(key="row", head="row"),
            Column(key="centre", head="lens at", unit="m", taped=True),
            Column(key="distance", head="off wall", unit="m", taped=True),
            Column(key="lens_height", head="lens high", unit="m", taped=True),
            Column(key="from", head="from", unit="m", taped=True),
            Column(key="to", head="to", unit="m", taped=True),
            Column(key="head", head="up to", unit="m", taped=True),
            Column(key="throw_ratio", head="throw", unit="-", digits=2),
            *((Column(key="put_on", head="put on"),) if some else ()),
        ),
        rows=tuple(
            (s.number, s.row, s.centre, s.distance, s.lens_height, s.start, s.end, s.head,
             s.throw_ratio, *((ways[s.number].words,) if some else ()))
            for s in results.set_ups.set_ups
        ),
        none="No plan can be made.",
    )  # fmt: skip


def _light(results: JobResults, design: Design) -> Table:
    times = () if design.nights is None else design.nights.set_ups
    return Table(
        key="light",
        title="Light and time",
        columns=(
            Column(key="set_up", head="no."),
            Column(key="illuminance", head="image", unit="lx"),
            Column(key="ambient", head="ambient", unit="lx"),
            Column(key="ratio", head="times", unit="-", digits=1),
            Column(key="least", head="least", unit="-", digits=1),
            Column(key="verdict", head="light"),
            Column(key="pitch", head="pixel", unit="m/px"),
            Column(key="edge", head="edge", unit="m", digits=1),
            Column(key="time", head="time", unit="s"),
        ),
        rows=tuple(
            (
                s.number, s.light.illuminance, s.light.ambient, s.light.ratio, s.light.limit,
                "enough" if s.light.passes else "too little", s.pitch, edge, time,
            )
            for s, edge, time in zip_longest(results.set_ups.set_ups, design.traced, times)
        ),
        none="No plan can be made.",
    )  # fmt: skip


def _nights(design: Design) -> tuple[Section, ...]:
    nights = design.nights
    if nights is None:
        return ()
    return (
        Table(
            key="nights",
            title="Nights",
            columns=(Column(key="night", head="night"), Column(key="set_ups", head="set-ups"),
                     Column(key="count", head="how many")),
            rows=tuple(
                (number, ", ".join(map(str, group)), len(group))
                for number, group in enumerate(nights.nights, start=1)
            ),
        ),
        Facts(
            facts=(
                Fact(key="night_time", name="by the clock", value=nights.duration),
                Fact(key="night_person_time", name="of all people", value=nights.person_time),
            )
        ),
    )  # fmt: skip
