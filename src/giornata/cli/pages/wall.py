"""The wall: bays, closure, openings, areas with their precision."""

from __future__ import annotations

import math
from collections.abc import Sequence

from giornata.cli.pages.readings import adjustment_sections
from giornata.cli.report import Column, Fact, Facts, Measure, Report, Table
from giornata.core.site import StandingRoom
from giornata.core.survey import Closure, DevelopedWall, WallSurvey, hidden_area, painted_area

__all__ = ["survey_page"]

_SPAN = (
    Column(key="name", head="name"),
    Column(key="from", head="from", unit="m", taped=True),
    Column(key="to", head="to", unit="m", taped=True),
)


def survey_page(
    title: str, survey: WallSurvey, wall: DevelopedWall, rooms: Sequence[StandingRoom] = ()
) -> Report:
    """What was measured, what area it makes, and how well that is known."""
    gross, net = wall.gross_precision, wall.net_precision
    areas = [
        Fact(key="datum", name="datum", value=wall.datum),
        Fact(key="surface", name="surface", value=str(wall.surface)),
        Fact(key="length", name="length", value=wall.wall_length),
        Fact(key="greatest_height", name="greatest height",
             value=Measure(value=wall.greatest_height, unit="m")),
        Fact(key="gross_area", name="gross area", value=wall.gross_area),
        Fact(key="openings_area", name="openings", value=wall.openings_area),
        Fact(key="net_area", name="net area", value=wall.net_area),
        Fact(key="gross_worst", name="gross, worst case",
             value=Measure(value=gross.worst, unit="m²"), remark="all readings out one way"),
        Fact(key="net_worst", name="net, worst case", value=Measure(value=net.worst, unit="m²"),
             remark="all readings out one way"),
    ]  # fmt: skip
    if wall.returns_area is not None:
        areas.append(Fact(key="returns_area", name="pier returns", value=wall.returns_area))
    if wall.form_factor is not None:
        areas.append(Fact(key="form_factor", name="form factor", value=wall.form_factor))
    surface = painted_area(wall)
    if surface is not wall.net_area:
        areas.append(
            Fact(key="painted_area", name="surface to paint", value=surface,
                 remark="for paint and hours")
        )  # fmt: skip
    if wall.hidden:
        areas.append(
            Fact(key="hidden_area", name="hidden by obstacles", value=hidden_area(wall),
                 remark="seen square on")
        )  # fmt: skip
    facts = Facts(facts=tuple(areas))
    openings = Table(
        key="openings",
        title="Openings",
        columns=(*_SPAN, Column(key="area", head="area", unit="m²")),
        rows=tuple((o.name, o.start, o.end, float(o.polygon.area)) for o in wall.openings),
    )
    return Report(
        title=f"{title}: the wall",
        sections=(
            facts,
            _closure(wall.closure),
            _bays(survey, wall),
            openings,
            *_features(wall),
            *_standing(rooms),
            *adjustment_sections(wall.adjustment),
        ),
        rooms=("survey", "site"),
    )


def _closure(found: Closure | None) -> Facts:
    if found is None:
        said: tuple[Fact, ...] = (
            Fact(key="closure", name="verdict", value="no overall was measured to close on"),
        )
        return Facts(title="Closure", facts=said)
    return Facts(
        title="Closure",
        facts=(
            Fact(key="chain", name="chain of bays", value=Measure(value=found.chain, unit="m",
                                                                  digits=3)),
            Fact(key="overall", name="overall", value=Measure(value=found.overall, unit="m",
                                                              digits=3)),
            Fact(key="misclosure", name="misclosure",
                 value=Measure(value=found.misclosure, unit="m")),
            Fact(key="closure_limit", name="limit", value=Measure(value=found.limit, unit="m")),
            Fact(key="tape_explains", name="the tape explains",
                 value=Measure(value=found.expected.root_sum, unit="m"), remark="root-sum"),
            Fact(key="tape_explains_worst", name="at the worst",
                 value=Measure(value=found.expected.worst, unit="m")),
            Fact(key="closure", name="verdict", value=str(found.verdict)),
        ),
    )  # fmt: skip


def _bays(survey: WallSurvey, wall: DevelopedWall) -> Table:
    return Table(
        key="bays",
        title="Bays, a small misclosure spread over them",
        columns=(
            Column(key="name", head="bay"),
            Column(key="taped", head="taped", unit="m", digits=3, taped=True),
            Column(key="from", head="from", unit="m", digits=3, taped=True),
            Column(key="to", head="to", unit="m", digits=3, taped=True),
        ),
        rows=tuple(
            (bay.name, bay.length, span.start, span.end)
            for bay, span in zip(survey.bays, wall.bays, strict=True)
        ),
    )


def _standing(rooms: Sequence[StandingRoom]) -> tuple[Table, ...]:
    """Where one may stand before the wall, where that was recorded."""
    if not rooms:
        return ()
    known = any(room.surveyed for room in rooms)
    return (
        Table(
            key="standing",
            title="Standing room before the wall",
            columns=(
                Column(key="from", head="from", unit="m", taped=True),
                Column(key="to", head="to", unit="m", taped=True),
                Column(key="near", head="nearest", unit="m", taped=True),
                Column(key="far", head="farthest", unit="m", taped=True),
                Column(key="remark", head="remark"),
            ),
            rows=tuple(
                (room.start, room.end, near, None if math.isinf(far) else far,
                 "no room" if near is None else "not recorded" if known and not room.surveyed
                 else "")
                for room in rooms
                for near, far in room.free or ((None, math.inf),)
            ),
        ),
    )  # fmt: skip


def _features(wall: DevelopedWall) -> tuple[Table, ...]:
    """Piers, joints, bends, curves, obstacles and lamps, where there are any."""
    tables = (
        Table(
            key="piers",
            title="Piers",
            columns=(*_SPAN, Column(key="proud", head="proud", unit="m"),
                     Column(key="returns", head="returns")),
            rows=tuple(
                (p.name, p.start, p.end, p.proud, "paint" if p.returns_painted else "skip")
                for p in wall.piers
            ),
        ),
        Table(
            key="joints",
            title="Movement joints",
            columns=(Column(key="at", head="at", unit="m", taped=True),),
            rows=tuple((at,) for at in wall.joints),
        ),
        Table(
            key="bends",
            title="Bends in plan",
            columns=(Column(key="at", head="at", unit="m", taped=True),
                     Column(key="angle", head="towards you", unit="rad")),
            rows=tuple((bend.at, bend.angle) for bend in wall.bends),
        ),
        Table(
            key="curves",
            title="Curved in plan",
            columns=(Column(key="from", head="from", unit="m", taped=True),
                     Column(key="to", head="to", unit="m", taped=True),
                     Column(key="curve", head="curve"),
                     Column(key="radius", head="radius", unit="m"),
                     Column(key="sweep", head="turns", unit="rad")),
            rows=tuple(
                (arc.start, arc.end, str(arc.curve), arc.radius, arc.sweep) for arc in wall.arcs
            ),
        ),
        Table(
            key="obstacles",
            title="In front of the wall",
            columns=(*_SPAN, Column(key="kind", head="kind"),
                     Column(key="height", head="height", unit="m", taped=True)),
            rows=tuple((h.name, h.start, h.end, h.kind, h.height) for h in wall.hidden),
        ),
        Table(
            key="lamps",
            title="Lamps",
            columns=(*_SPAN, Column(key="ambient", head="light", unit="lx")),
            rows=tuple((lamp.name, lamp.start, lamp.end, lamp.ambient) for lamp in wall.lamps),
        ),
    )  # fmt: skip
    return tuple(table for table in tables if table.rows)
