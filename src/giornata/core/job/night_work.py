"""The step that plans the nights: order of work, darkness, and how the set-ups fall into it."""

from __future__ import annotations

from datetime import date

import shapely

from giornata.core import projection, works
from giornata.core import site as places
from giornata.core.foundation import Figure, Finding, Severity, derived, given, shown_day
from giornata.core.job.inputs import Site
from giornata.core.projection import Projector, Seam, SetUpPlan
from giornata.core.setting_out import PlacedArtwork
from giornata.core.survey import DevelopedWall
from giornata.core.works import (
    LabourTerms,
    NightPlan,
    NightTerms,
    PowerPlan,
    PowerTerms,
    StretchHours,
    TransferHours,
    TransferTerms,
)

__all__ = [
    "before_their_date", "night_hours", "night_power", "other_ways", "person_time",
    "place_of_nights", "transfers_of",
]  # fmt: skip

_Findings = tuple[Finding, ...]
_NOTHING = 1e-3  # m of edge under which a set-up is not worked at all


def place_of_nights(site: Site, nights: NightTerms, plan: SetUpPlan) -> places.NightPlace | None:
    """Where the nights are worked; None where the job does not say where and by which clock."""
    if site.latitude is None or site.longitude is None or site.zone is None:
        return None
    return places.NightPlace(
        latitude=site.latitude,
        longitude=site.longitude,
        zone=site.zone,
        limit=float(works.sky_limit(plan.set_ups, nights.usable_from)),
        facing=site.facing,
    )


def night_hours(
    traced: tuple[Figure, ...],
    nights: NightTerms,
    labour: LabourTerms,
    site: Site,
    placed: PlacedArtwork,
    plan: tuple[SetUpPlan, _Findings],
    seams: tuple[tuple[Seam, ...], _Findings],
    transfer: TransferTerms,
) -> tuple[NightPlan | None, _Findings]:
    """Nights of the set-ups."""
    set_ups = plan[0].set_ups
    away = works.unprojected(plan[0], transfer.stretches)
    closing = works.closing_place(placed.coverage, seams[0], away)
    runs = works.runs_from_ends(set_ups, closing)
    if away:
        left = _left_to(traced, plan[0], seams[0], away, chosen=bool(transfer.stretches))
        runs = tuple(tuple(one for one in run if one in left) for run in runs)
    where = place_of_nights(site, nights, plan[0])
    dated = nights.first is not None or bool(nights.dates)
    made, findings = works.night_plan(
        traced,
        nights,
        people=labour.people,
        runs=runs,
        closing=closing,
        evenings=() if where is None else places.evenings(where, nights.first, nights.dates),
    )
    if made is None or not dated:
        return made, findings
    if where is None:
        return made, (*findings, _no_place(site))
    seen = [one.night for one in made.planned if one.night is not None]
    hours = float(works.decided("nights.hours", nights.hours, works.HOURS))
    dark = places.darkness_findings(where, [*made.passed_over[:1], *seen], hours)
    return made, (*dark, *findings)


def _left_to(
    traced: tuple[Figure, ...],
    plan: SetUpPlan,
    seams: tuple[Seam, ...],
    away: tuple[tuple[float, float], ...],
    *,
    chosen: bool,
) -> frozenset[int]:
    """Numbers of the set-ups that are worked: all with edge to trace.

    Blank ones too where nothing was ``chosen`` for other ways and none of their wall is out of
    reach: the artwork may not be there yet.
    """
    left = set()
    for one, cell, edge in zip(
        plan.set_ups, projection.cells(plan.set_ups, seams), traced, strict=True
    ):
        start, _, end, _ = cell.bounds
        lost = any(min(end, b) - max(start, a) > _NOTHING for a, b in away)
        if float(edge) > _NOTHING or not (chosen or lost):
            left.add(one.number)
    return frozenset(left)


def transfers_of(
    placed: PlacedArtwork, wall: tuple[DevelopedWall, _Findings], transfer: TransferTerms
) -> tuple[StretchHours, ...]:
    """Hours of the stretches that are not projected."""
    return works.stretch_hours(placed.coverage, wall[0].net, transfer.stretches, transfer)


def other_ways(
    plan: tuple[SetUpPlan, _Findings],
    wall: tuple[DevelopedWall, _Findings],
    seams: tuple[tuple[Seam, ...], _Findings],
    traced: tuple[Figure, ...],
    night_plan: tuple[NightPlan | None, _Findings],
    transfer: TransferTerms,
    placed: PlacedArtwork,
) -> tuple[tuple[TransferHours, ...], _Findings]:
    """Hours of each set-up's part by grid and by pounce."""
    set_ups, nights = plan[0].set_ups, night_plan[0]
    length = wall[0].length
    dark = [(one.start, one.end) for one in plan[0].unreachable] if set_ups else [(0.0, length)]
    found = works.no_projection(placed.coverage, wall[0].net, dark, length, transfer)
    if not set_ups or nights is None:
        return (), found
    areas = [
        float(shapely.intersection(wall[0].net, cell).area)
        for cell in projection.cells(set_ups, seams[0])
    ]
    hours = works.transfer_hours(set_ups, areas, traced, nights.set_ups, transfer)
    dim = works.transfer_findings(set_ups, hours, transfer.stretches, length)
    return hours, (*found, *dim)


def person_time(
    nights: NightPlan | None, transfers: tuple[StretchHours, ...], people: int
) -> Figure | None:
    """Nights and other ways of transfer, of all people. [s]

    Parameters
    ----------
    nights : NightPlan or None
    transfers : tuple of StretchHours
        Stretches that are not projected.
    people : int
        At least 1. [-]
    """
    if not transfers:
        return None if nights is None else nights.person_time
    crew = given("people", float(people), "-", source="job file, labour.people")
    times = tuple(one.time for one in transfers)
    other = derived(
        "transfer hours of all people", people * sum(map(float, times)), "s",
        method="works.stretch_hours v1", formula="people × sum over the stretches",
        parts=(crew, *times),
    )  # fmt: skip
    if nights is None:
        return other
    return derived(
        "nights and transfer, all people", float(nights.person_time) + float(other), "s",
        method="works.stretch_hours v1", formula="night hours + transfer hours of all people",
        parts=(nights.person_time, other),
    )  # fmt: skip


def night_power(
    night_plan: tuple[NightPlan | None, _Findings],
    projector: Projector,
    nights: NightTerms,
    power: PowerTerms | None,
) -> tuple[PowerPlan | None, _Findings]:
    """Power of the longest night."""
    if night_plan[0] is None:
        return None, ()
    made = works.power_plan(projector.power, nights, night_plan[0], power)
    return made, works.power_findings(made, power, projector.power)


def before_their_date(nights: NightTerms, day: date) -> _Findings:
    """A warning where evenings lie before the day that the job's papers bear.

    Parameters
    ----------
    day : date
        Of the job's papers.
    """
    decided = nights.dates or (() if nights.first is None else (nights.first,))
    early = sorted(evening for evening in decided if evening < day)
    if not early:
        return ()
    named = ", ".join(map(shown_day, early))
    lie = "evening lies" if len(early) == 1 else "evenings lie"
    return (
        Finding(
            code="works.nights_past",
            severity=Severity.WARN,
            subject="nights",
            message=f"{len(early)} {lie} before {shown_day(day)}, the date of the job: {named}.",
            remedy="Correct the year under [nights], or date under [job]; leave it if those nights "
            "are done.",
        ),
    )


def _no_place(site: Site) -> Finding:
    asked = {"latitude": site.latitude, "longitude": site.longitude, "zone": site.zone}
    lacking = ", ".join(name for name, value in asked.items() if value is None)
    return Finding(
        code="site.no_place",
        severity=Severity.NOTE,
        subject="nights",
        message=f"Dates of nights are decided, but not their darkness: the job lacks {lacking}.",
        remedy=f"Write {lacking} under [site].",
    )
