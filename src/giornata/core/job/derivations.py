"""Derivations: the function of each step; rooms are called here and nowhere else in the job."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import shapely

from giornata.core import artwork, colour, pricing, projection, setting_out, takeoff, viewing, works
from giornata.core.artwork import (
    Colourway,
    Decision,
    Drawing,
    FlatArtwork,
    Mapped,
    Option,
    Paint,
)
from giornata.core.foundation import Figure, Finding, Floats, NoWallError, Severity, derived
from giornata.core.geometry import Coverage
from giornata.core.job.ground import gates_in, rooms_before
from giornata.core.job.inputs import Site
from giornata.core.job.night_work import person_time
from giornata.core.job.results import Scheme
from giornata.core.pricing import BillableAreas, Candidate, ExtraCoat, PriceFloor, PriceTerms
from giornata.core.projection import InTheLight, Projector, Seam, SetUpPlan, Stand
from giornata.core.setting_out import ArtworkPlacement, PlacedArtwork
from giornata.core.site import Carrier, StandingRoom, StandingStretch
from giornata.core.survey import (
    DevelopedWall,
    WallSurvey,
    develop,
    fitting_spans,
    painted_area,
    space_from_wall,
)
from giornata.core.takeoff import BrushAndRoller, Making, TakeOff
from giornata.core.works import (
    AccessTerms,
    LabourTerms,
    NightPlan,
    PaintQuantity,
    PaintTerms,
    Preparation,
    PreparationTerms,
    StretchHours,
    TransferTerms,
    WorkPlan,
)

__all__ = [
    "compared",
    "contrasts",
    "costs_to_make",
    "decided_drawing",
    "decision_doubts",
    "flat",
    "hidden_by_obstacles",
    "one_more_coat",
    "painted_regions",
    "placed_artwork",
    "quantities",
    "readiness",
    "rooms",
    "scheme_of",
    "seams_of",
    "set_up_plan",
    "traced_edges",
    "wall",
    "work_of",
]

_Findings = tuple[Finding, ...]
_Rooms = tuple[tuple[Carrier, tuple[StandingRoom, ...]], ...]


def wall(survey: WallSurvey, site: Site) -> tuple[DevelopedWall, _Findings]:
    """The developed wall."""
    facing = math.pi if site.facing is None else site.facing
    wall, findings = develop(survey, facing=facing)
    if wall is None:
        stops = [finding for finding in findings if finding.severity is Severity.STOP]
        raise NoWallError(stops[0].message, remedy=stops[0].remedy, findings=findings)
    return wall, findings


def decided_drawing(
    drawing: Drawing, mappings: Sequence[Decision], paints: Sequence[Paint], option: Option
) -> tuple[Drawing, _Findings]:
    """The drawing with what is not flat as decided, and what is still open."""
    done, findings = artwork.carried_out(
        drawing,
        mappings,
        paints,
        tone=colour.lab_from_srgb,
        hide=option.hide,
        show=option.show,
    )
    return done, (*artwork.undecided(drawing.things, mappings, file=drawing.name), *findings)


def flat(decided: tuple[Drawing, _Findings], option: Option, mapped: Mapped = map) -> FlatArtwork:
    """An option's visible regions by flat colour."""
    return artwork.flattened(decided[0], hide=option.hide, show=option.show, mapped=mapped)


def painted_regions(flat: FlatArtwork, paints: Sequence[Paint]) -> tuple[Coverage, _Findings]:
    """The regions by paint."""
    return artwork.painted(flat, paints)


def placed_artwork(
    flat: FlatArtwork,
    painted: tuple[Coverage, _Findings],
    placement: ArtworkPlacement,
    wall: tuple[DevelopedWall, _Findings],
    paints: Sequence[Paint],
) -> PlacedArtwork:
    """The regions on the wall."""
    developed, canvas = wall[0], (flat.width, flat.height)
    located, anchors, findings = setting_out.located(
        placement, canvas, developed, figure=artwork.figure_bounds(painted[0], paints)
    )
    placed = setting_out.place(
        painted[0],
        canvas=canvas,
        placement=located,
        anchors=anchors,
        net=developed.net,
        paints=paints,
        openings=[(opening.name, opening.polygon) for opening in developed.openings],
        outline=developed.outline,
        joints=developed.joints,
        piers=[(pier.name, pier.start, pier.end) for pier in developed.piers if pier.proud > 0],
        fits=lambda height, width: fitting_spans(developed, height, width=width),
    )
    return replace(placed, findings=(*findings, *placed.findings))


def hidden_by_obstacles(
    drawing: Drawing,
    option: Option,
    paints: Sequence[Paint],
    placed: PlacedArtwork,
    wall: tuple[DevelopedWall, _Findings],
) -> _Findings:
    """What obstacles hide of the wall, and the motifs that lose their feet."""
    developed = wall[0]
    bands = shapely.union_all([band.polygon for band in developed.hidden])
    motifs = viewing.motifs_near(drawing, option, paints, placed, developed.net, bands)
    lost = viewing.hidden_feet(motifs, developed.hidden)
    return viewing.hidden_findings(developed.hidden, lost, net=developed.net)


def quantities(
    placed: PlacedArtwork,
    wall: tuple[DevelopedWall, _Findings],
    paints: Sequence[Paint],
    tools: BrushAndRoller,
) -> TakeOff:
    """Areas, edges and narrow places."""
    return takeoff.take_off(placed, net_area=wall[0].net_area, paints=paints, tools=tools,
                            ribbed=wall[0].ribbed)  # fmt: skip


def costs_to_make(
    placed: PlacedArtwork,
    wall: tuple[DevelopedWall, _Findings],
    paints: Sequence[Paint],
    tools: BrushAndRoller,
) -> Making:
    """Rollers, bends, heights and the ground line."""
    developed = wall[0]
    return takeoff.making(
        placed.coverage,
        paints=paints,
        tools=tools,
        bays=[bay.start for bay in developed.bays[1:]],
        ground=developed.ground,
    )


def rooms(
    wall: tuple[DevelopedWall, _Findings],
    survey: WallSurvey,
    standing: Sequence[StandingStretch],
    access: AccessTerms | None,
    stand: Stand,
) -> tuple[_Rooms, _Findings]:
    """Standing room before the wall, for each carrier of the projector."""
    return rooms_before(
        wall[0].length, survey, standing, lift=access is not None, carriers=stand.carriers
    )


def set_up_plan(
    wall: tuple[DevelopedWall, _Findings],
    projector: Projector,
    stand: Stand,
    tools: BrushAndRoller,
    rooms: tuple[_Rooms, _Findings],
    placed: PlacedArtwork,
    others: Sequence[Projector],
) -> tuple[SetUpPlan, _Findings]:
    """Set-ups along the wall."""
    developed = wall[0]

    def in_plan(chainage: Floats, offset: Floats) -> Floats:
        return space_from_wall(developed, chainage, 0.0, offset)[..., :2]

    return projection.plan_setups(
        developed.length,
        developed.top,
        developed.ground,
        [(lamp.start, lamp.end, lamp.ambient) for lamp in developed.lamps],
        projector,
        stand,
        tools.narrowest_brush,
        bends=[bend.at for bend in developed.bends],
        arcs=[(arc.start, arc.end, arc.radius) for arc in developed.arcs],
        rooms=rooms[0][0][1] if rooms[0] else (),
        other_rooms=rooms[0][1:],
        obstacles=[
            InTheLight(
                name=f"{band.kind} {band.name}",
                start=band.start,
                end=band.end,
                near=band.near or 0.0,
                far=band.far,
                height=band.height,
            )
            for band in developed.hidden
            if band.far is not None
        ],
        coverage=placed.coverage,
        space=in_plan,
        gates=gates_in(developed),
        others=others,
    )


def seams_of(
    placed: PlacedArtwork, plan: tuple[SetUpPlan, _Findings]
) -> tuple[tuple[Seam, ...], _Findings]:
    """Where neighbouring set-ups meet."""
    set_ups = plan[0].set_ups
    made = projection.seams(placed.coverage, set_ups)
    return made, projection.seam_findings(made, set_ups)


def traced_edges(
    placed: PlacedArtwork,
    plan: tuple[SetUpPlan, _Findings],
    seams: tuple[tuple[Seam, ...], _Findings],
    transfer: TransferTerms,
) -> tuple[Figure, ...]:
    """Edge to trace in each set-up. [m]"""
    projected = works.without_transferred(
        placed.coverage, works.unprojected(plan[0], transfer.stretches)
    )
    return projection.edge_to_trace(projected, plan[0].set_ups, seams[0])


def decision_doubts(paint: PaintTerms, labour: LabourTerms, survey: WallSurvey) -> _Findings:
    """Doubts about the decisions alone."""
    return works.decision_findings(paint, labour, survey.surface)


def readiness(
    terms: PreparationTerms, wall: tuple[DevelopedWall, _Findings]
) -> tuple[Preparation, _Findings]:
    """Tests on the wall, bays on hold, the first day of painting."""
    return works.preparation(terms, wall[0])


def _quantities(wall: DevelopedWall, take_off: TakeOff) -> tuple[PaintQuantity, ...]:
    """What the works are reckoned from: each area with the form of the wall's face in it."""
    form = wall.form_factor

    def surface(area: Figure) -> Figure:
        if form is None:
            return area
        return derived(
            f"{area.name}, with the form of the face", float(area) * float(form), "m²",
            method="survey.painted_area v1", formula="area × form factor", parts=(area, form),
        )  # fmt: skip

    return tuple(
        PaintQuantity(
            number=one.number,
            key=one.key,
            name=one.name,
            role=one.role,
            area=surface(one.area),
            cut_edge=one.cut_on_face,
        )
        for one in take_off.paints
    )


def work_of(
    wall: tuple[DevelopedWall, _Findings],
    take_off: TakeOff,
    colourway: Colourway,
    paint: PaintTerms,
    labour: LabourTerms,
    access: AccessTerms | None,
) -> tuple[WorkPlan, _Findings]:
    """Paint, hours, days and lift."""
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
        net_area=painted_area(developed),
        quantities=_quantities(developed, take_off),
        colourway=colourway,
        paint=paint,
        rates=labour,
        access=access,
        wall_height=height,
    )


def one_more_coat(
    worked: tuple[WorkPlan, _Findings], paint: PaintTerms, labour: LabourTerms
) -> tuple[ExtraCoat, ...]:
    """What one more coat of each paint would change."""
    return pricing.extra_coats(worked[0], paint=paint, rates=labour)


def scheme_of(
    wall: tuple[DevelopedWall, _Findings],
    option: Option,
    colourway: Colourway,
    take_off: TakeOff,
    worked: tuple[WorkPlan, _Findings],
    price: PriceTerms,
    night_plan: tuple[NightPlan | None, _Findings],
    extra_coats: tuple[ExtraCoat, ...],
    labour: LabourTerms,
    transfers: tuple[StretchHours, ...],
) -> tuple[Scheme, _Findings]:
    """Price, and what it earns."""
    plan, work_findings = worked
    developed = wall[0]
    areas = BillableAreas(
        gross=developed.gross_area,
        net=developed.net_area,
        figure=take_off.figure,
        surface=painted_area(developed),
    )
    quoted, quote_findings = pricing.quote(areas=areas, terms=price, lift=plan.lift)
    nights = night_plan[0]
    candidate = Candidate(
        option=option,
        colourway=colourway,
        plan=plan,
        quote=quoted,
        night_time=person_time(nights, transfers, labour.people),
    )
    row = pricing.option_row(candidate)
    floor: PriceFloor | None = None
    floor_findings: _Findings = ()
    if labour.hour is not None and float(row.hours) > 0:
        floor, floor_findings = pricing.price_floor(
            quoted,
            paint_cost=plan.order.cost,
            hours=row.hours,
            hour=labour.hour,
            subject=f"{option.name}, {colourway.name}",
        )
    scheme = Scheme(candidate=candidate, row=row, floor=floor, extra_coats=extra_coats)
    return scheme, (*work_findings, *quote_findings, *floor_findings)


def compared(**schemes: tuple[Scheme, _Findings]) -> _Findings:
    """Warnings where one price basis pays schemes unevenly."""
    ordered = [schemes[f"scheme_{number}"][0].candidate for number in range(len(schemes))]
    return pricing.compare(ordered)[1]


def contrasts(
    paints: Sequence[Paint], colourways: Sequence[Colourway], take_off: TakeOff
) -> _Findings:
    """Touching paints that stand out too little, in every colourway."""
    edges = [(pair.first, pair.second, pair.length) for pair in take_off.pairs]
    found: list[Any] = []
    for colourway in colourways:
        found += viewing.contrast_findings(edges, paints, colourway)
    return tuple(found)
