"""The recipe: the steps that lead from a survey, an artwork and decisions to a priced job."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

from giornata.core import artwork, pricing, projection, setting_out, takeoff, viewing, works
from giornata.core.artwork import Colourway, Drawing, FlatArtwork, Option, Paint
from giornata.core.foundation import Figure, Finding, NoWallError, Severity, derived
from giornata.core.geometry import Coverage
from giornata.core.job.inputs import JobInputs, Site
from giornata.core.job.results import Design, JobResults, Scheme
from giornata.core.job.steps import Memo, Progress, Step, run
from giornata.core.pricing import BillableAreas, Candidate, PriceTerms
from giornata.core.projection import Projector, SetUpPlan, Stand
from giornata.core.setting_out import ArtworkPlacement, ControlMark, PlacedArtwork
from giornata.core.survey import DevelopedWall, WallSurvey, develop
from giornata.core.takeoff import BrushAndRoller, TakeOff
from giornata.core.works import (
    AccessTerms,
    LabourTerms,
    NightPlan,
    NightTerms,
    PaintQuantity,
    PaintTerms,
    WorkPlan,
)

__all__ = ["derive", "recipe"]

_Findings = tuple[Finding, ...]


def derive(
    inputs: JobInputs,
    *,
    memo: Memo,
    progress: Progress | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> JobResults:
    """Everything that follows from a job's inputs.

    Parameters
    ----------
    memo : mutable mapping
        Results of earlier runs; what a change does not touch is taken from it.
    progress, stop : callable, optional
        As in `run`.

    Raises
    ------
    Stopped
        If ``stop`` said so.
    NoWallError
        If the readings give no wall; ``findings`` says why.
    """
    sources = {field.name: getattr(inputs, field.name) for field in fields(inputs)}
    sources |= {f"option.{option.key}": option for option in inputs.options}
    sources |= {f"colourway.{one.key}": one for one in inputs.colourways}
    done = run(recipe(inputs), sources, memo=memo, progress=progress, stop=stop)
    wall, wall_findings = done["wall"]
    set_ups, set_up_findings = done["set_ups"]
    marks, mark_findings = done["marks"]
    nights = {option.key: done[f"nights.{option.key}"] for option in inputs.options}
    designs = tuple(
        Design(
            option=option,
            placed=done[f"placed.{option.key}"],
            take_off=done[f"take_off.{option.key}"],
            traced=done[f"traced.{option.key}"],
            nights=nights[option.key][0],
        )
        for option in inputs.options
    )
    schemes = tuple(
        done[f"scheme.{option.key}.{colourway.key}"]
        for option in inputs.options
        for colourway in inputs.colourways
    )
    found: list[Iterable[Finding]] = [wall_findings, _design_findings(inputs.options, done)]
    found += [set_up_findings, mark_findings, *(planned[1] for planned in nights.values())]
    found += [done["decisions"], done["compared"], *_scheme_findings(inputs, schemes)]
    found.append(done["contrasts"])
    return JobResults(
        inputs=inputs,
        wall=wall,
        designs=designs,
        schemes=tuple(scheme[0] for scheme in schemes),
        set_ups=set_ups,
        marks=marks,
        findings=tuple(dict.fromkeys(finding for group in found for finding in group)),
    )


def _design_findings(options: Sequence[Option], done: Mapping[str, Any]) -> list[Finding]:
    """Findings of all options; one that not every option has says whose it is."""
    each = {
        option.key: [
            *done[f"flat.{option.key}"].findings,
            *done[f"painted.{option.key}"][1],
            *done[f"placed.{option.key}"].findings,
            *done[f"take_off.{option.key}"].findings,
        ]
        for option in options
    }
    common = set.intersection(*(set(findings) for findings in each.values())) if each else set()
    return [
        finding
        if finding in common
        else replace(finding, subject=f"{finding.subject}, option {key}")
        for key, findings in each.items()
        for finding in findings
    ]


def _scheme_findings(
    inputs: JobInputs, schemes: Sequence[tuple[Scheme, _Findings]]
) -> list[_Findings]:
    """All findings of the chosen scheme; of the others, what is more than a note."""
    return [
        findings
        if (scheme.option.key, scheme.colourway.key) == (inputs.option, inputs.colourway)
        else tuple(
            replace(one, subject=f"{one.subject}, {scheme.option.name}, {scheme.colourway.name}")
            for one in findings
            if one.severity is not Severity.NOTE
        )
        for scheme, findings in schemes
    ]


def recipe(inputs: JobInputs) -> tuple[Step, ...]:
    """The steps of a job, in order; options and colourways each have steps of their own."""
    steps = [Step(name="wall", function=_wall, needs={"survey": "survey", "site": "site"})]
    for option in inputs.options:
        steps += _design_steps(option.key)
    chosen = inputs.option
    steps += [
        Step(
            name="set_ups",
            function=_set_ups,
            needs={"wall": "wall", "projector": "projector", "stand": "stand", "tools": "tools"},
        ),
        Step(name="marks", function=_marks, needs={"plan": "set_ups", "wall": "wall"}),
        Step(
            name="decisions",
            function=_decisions,
            needs={"paint": "paint", "labour": "labour", "survey": "survey"},
        ),
    ]
    for option in inputs.options:
        steps += _night_steps(option.key)
        for colourway in inputs.colourways:
            steps += _scheme_steps(option.key, colourway.key)
    names = [f"scheme.{o.key}.{c.key}" for o in inputs.options for c in inputs.colourways]
    steps.append(
        Step(
            name="compared",
            function=_compared,
            needs={f"scheme_{number}": name for number, name in enumerate(names)},
        )
    )
    steps.append(
        Step(
            name="contrasts",
            function=_contrasts,
            needs={
                "paints": "paints",
                "colourways": "colourways",
                "take_off": f"take_off.{chosen}",
            },
        )
    )
    return tuple(steps)


def _design_steps(key: str) -> list[Step]:
    return [
        Step(
            name=f"flat.{key}",
            function=_flat,
            needs={"drawing": "drawing", "option": f"option.{key}"},
        ),
        Step(
            name=f"painted.{key}",
            function=_painted,
            needs={"flat": f"flat.{key}", "paints": "paints"},
        ),
        Step(
            name=f"placed.{key}",
            function=_placed,
            needs={
                "flat": f"flat.{key}",
                "painted": f"painted.{key}",
                "placement": "placement",
                "wall": "wall",
                "paints": "paints",
            },
        ),
        Step(
            name=f"take_off.{key}",
            function=_take_off,
            needs={
                "placed": f"placed.{key}",
                "wall": "wall",
                "paints": "paints",
                "tools": "tools",
            },
        ),
    ]


def _night_steps(key: str) -> list[Step]:
    return [
        Step(
            name=f"traced.{key}",
            function=_traced,
            needs={"placed": f"placed.{key}", "plan": "set_ups"},
        ),
        Step(
            name=f"nights.{key}",
            function=_nights,
            needs={"traced": f"traced.{key}", "nights": "nights", "labour": "labour"},
        ),
    ]


def _scheme_steps(option: str, colourway: str) -> list[Step]:
    key = f"{option}.{colourway}"
    return [
        Step(
            name=f"works.{key}",
            function=_works,
            needs={
                "wall": "wall",
                "take_off": f"take_off.{option}",
                "colourway": f"colourway.{colourway}",
                "paint": "paint",
                "labour": "labour",
                "access": "access",
            },
        ),
        Step(
            name=f"scheme.{key}",
            function=_scheme,
            needs={
                "wall": "wall",
                "option": f"option.{option}",
                "colourway": f"colourway.{colourway}",
                "take_off": f"take_off.{option}",
                "worked": f"works.{key}",
                "price": "price",
                "night_plan": f"nights.{option}",
                "paint": "paint",
                "labour": "labour",
            },
        ),
    ]


def _wall(survey: WallSurvey, site: Site) -> tuple[DevelopedWall, _Findings]:
    facing = math.pi if site.facing is None else site.facing
    wall, findings = develop(survey, facing=facing)
    if wall is None:
        stops = [finding for finding in findings if finding.severity is Severity.STOP]
        raise NoWallError(stops[0].message, remedy=stops[0].remedy, findings=findings)
    return wall, findings


def _flat(drawing: Drawing, option: Option) -> FlatArtwork:
    return artwork.flattened(drawing, hide=option.hide, show=option.show)


def _painted(flat: FlatArtwork, paints: Sequence[Paint]) -> tuple[Coverage, _Findings]:
    return artwork.painted(flat, paints)


def _placed(
    flat: FlatArtwork,
    painted: tuple[Coverage, _Findings],
    placement: ArtworkPlacement,
    wall: tuple[DevelopedWall, _Findings],
    paints: Sequence[Paint],
) -> PlacedArtwork:
    developed = wall[0]
    return setting_out.place(
        painted[0],
        canvas=(flat.width, flat.height),
        placement=placement,
        net=developed.net,
        paints=paints,
        openings=[(opening.name, opening.polygon) for opening in developed.openings],
        outline=developed.outline,
    )


def _take_off(
    placed: PlacedArtwork,
    wall: tuple[DevelopedWall, _Findings],
    paints: Sequence[Paint],
    tools: BrushAndRoller,
) -> TakeOff:
    return takeoff.take_off(placed, net_area=wall[0].net_area, paints=paints, tools=tools)


def _set_ups(
    wall: tuple[DevelopedWall, _Findings],
    projector: Projector,
    stand: Stand,
    tools: BrushAndRoller,
) -> tuple[SetUpPlan, _Findings]:
    developed = wall[0]
    return projection.plan_setups(
        developed.length,
        developed.top,
        developed.ground,
        [(lamp.start, lamp.end, lamp.ambient) for lamp in developed.lamps],
        projector,
        stand,
        tools.narrowest_brush,
        bends=[float(chainage) for chainage in developed.plan[1:-1, 0]],
    )


def _marks(
    plan: tuple[SetUpPlan, _Findings], wall: tuple[DevelopedWall, _Findings]
) -> tuple[tuple[ControlMark, ...], _Findings]:
    """Control marks row by row of set-ups; with several rows, a mark's name says which."""
    set_ups, developed = plan[0].set_ups, wall[0]
    keep_off = [(opening.name, opening.polygon) for opening in developed.openings]
    marks: list[ControlMark] = []
    findings: list[Finding] = []
    rows = sorted({one.row for one in set_ups})
    for row in rows:
        here = sorted((one for one in set_ups if one.row == row), key=lambda one: one.start)
        layout = setting_out.control_marks(
            [(one.start, one.end) for one in here],
            ground=developed.ground,
            top=developed.top,
            levels=[(one.foot, one.head) for one in here],
            keep_off=keep_off,
        )
        findings += layout.findings
        for mark in layout.marks:
            numbers = tuple(here[number - 1].number for number in mark.set_ups)
            name = mark.name if len(rows) == 1 else f"row {row} {mark.name}"
            marks.append(replace(mark, name=name, set_ups=numbers))
    return tuple(marks), tuple(findings)


def _traced(placed: PlacedArtwork, plan: tuple[SetUpPlan, _Findings]) -> tuple[Figure, ...]:
    return projection.edge_to_trace(placed.coverage, plan[0].set_ups)


def _nights(
    traced: tuple[Figure, ...], nights: NightTerms, labour: LabourTerms
) -> tuple[NightPlan | None, _Findings]:
    return works.night_plan(traced, nights, people=labour.people)


def _decisions(paint: PaintTerms, labour: LabourTerms, survey: WallSurvey) -> _Findings:
    return works.decision_findings(paint, labour, survey.surface)


def _quantities(take_off: TakeOff) -> tuple[PaintQuantity, ...]:
    return tuple(
        PaintQuantity(
            number=one.number,
            key=one.key,
            name=one.name,
            role=one.role,
            area=one.area,
            cut_edge=one.cut,
        )
        for one in take_off.paints
    )


def _works(
    wall: tuple[DevelopedWall, _Findings],
    take_off: TakeOff,
    colourway: Colourway,
    paint: PaintTerms,
    labour: LabourTerms,
    access: AccessTerms | None,
) -> tuple[WorkPlan, _Findings]:
    developed = wall[0]
    height = derived(
        "greatest height of the wall",
        developed.greatest_height,
        "m",
        method="survey.develop v1",
        formula="greatest distance from the ground line to the top line",
        parts=(developed.gross_area,),
    )
    return works.work_plan(
        net_area=developed.net_area,
        quantities=_quantities(take_off),
        colourway=colourway,
        paint=paint,
        rates=labour,
        access=access,
        wall_height=height,
    )


def _scheme(
    wall: tuple[DevelopedWall, _Findings],
    option: Option,
    colourway: Colourway,
    take_off: TakeOff,
    worked: tuple[WorkPlan, _Findings],
    price: PriceTerms,
    night_plan: tuple[NightPlan | None, _Findings],
    paint: PaintTerms,
    labour: LabourTerms,
) -> tuple[Scheme, _Findings]:
    plan, work_findings = worked
    developed = wall[0]
    areas = BillableAreas(
        gross=developed.gross_area, net=developed.net_area, figure=take_off.figure
    )
    quoted, quote_findings = pricing.quote(areas=areas, terms=price, lift=plan.lift)
    nights = night_plan[0]
    candidate = Candidate(
        option=option,
        colourway=colourway,
        plan=plan,
        quote=quoted,
        night_time=None if nights is None else nights.person_time,
    )
    row = pricing.option_row(candidate)
    floor, floor_findings = None, ()
    if labour.hour is not None and float(row.hours) > 0:
        floor, floor_findings = pricing.price_floor(
            quoted,
            paint_cost=plan.order.cost,
            hours=row.hours,
            hour=labour.hour,
            subject=f"{option.name}, {colourway.name}",
        )
    scheme = Scheme(
        candidate=candidate,
        row=row,
        floor=floor,
        extra_coats=pricing.extra_coats(plan, paint=paint, rates=labour),
    )
    return scheme, (*work_findings, *quote_findings, *floor_findings)


def _compared(**schemes: tuple[Scheme, _Findings]) -> _Findings:
    ordered = [schemes[f"scheme_{number}"][0].candidate for number in range(len(schemes))]
    return pricing.compare(ordered)[1]


def _contrasts(
    paints: Sequence[Paint], colourways: Sequence[Colourway], take_off: TakeOff
) -> _Findings:
    edges = [(pair.first, pair.second, pair.length) for pair in take_off.pairs]
    found: list[Any] = []
    for colourway in colourways:
        found += viewing.contrast_findings(edges, paints, colourway)
    return tuple(found)
