"""The step that plans the nights: order of work, darkness, and how the set-ups fall into it."""

from __future__ import annotations

from giornata.core import site as places
from giornata.core import works
from giornata.core.foundation import Figure, Finding, Severity
from giornata.core.job.inputs import Site
from giornata.core.projection import Projector, Seam, SetUpPlan
from giornata.core.setting_out import PlacedArtwork
from giornata.core.works import LabourTerms, NightPlan, NightTerms, PowerPlan, PowerTerms

__all__ = ["night_hours", "night_power", "place_of_nights"]

_Findings = tuple[Finding, ...]


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
) -> tuple[NightPlan | None, _Findings]:
    """Nights of the set-ups."""
    set_ups = plan[0].set_ups
    closing = works.closing_place(placed.coverage, seams[0])
    where = place_of_nights(site, nights, plan[0])
    dated = nights.first is not None or bool(nights.dates)
    made, findings = works.night_plan(
        traced,
        nights,
        people=labour.people,
        order=works.order_from_ends(set_ups, closing),
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
    if power is None:
        return made, ()
    return made, works.power_findings(made, power, projector.power)


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
