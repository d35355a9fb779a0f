"""What is wrong with the power of the nights, and what to beware of."""

from __future__ import annotations

from giornata.core.foundation import Finding, Severity
from giornata.core.works.power import (
    CONTINUOUS,
    CONTINUOUS_SHARE,
    IDLING,
    PowerPlan,
    PowerSource,
    PowerTerms,
)

__all__ = ["power_findings"]

_LOCAL = (
    "Local electrical codes and the makers' manuals come first; fixed or shared supplies are for a "
    "licensed electrician."
)


def power_findings(
    plan: PowerPlan, terms: PowerTerms | None, projector: float
) -> tuple[Finding, ...]:
    """Batteries, inverters and circuits that are too small, an idling vehicle, and the wet.

    Parameters
    ----------
    plan : PowerPlan
        Of the longest night.
    terms : PowerTerms or None
        Where the power comes from; of what is not decided only the wet can be said.
    projector : float
        Power it draws; 0 or more. [W]
    """
    if terms is None:
        return (_outdoors(None),) if projector > 0 else ()
    found: list[Finding] = []
    hours = float(plan.time) / 3600
    continuous = float(plan.time) >= CONTINUOUS.value - 1e-6
    share = CONTINUOUS_SHARE.value if continuous else 1.0
    rule = f"{100 * share:.0f} % of it" if continuous else "all of it"
    load = float(plan.load)
    if projector == 0:
        found.append(_no_projector())
    if plan.battery_time is not None and float(plan.battery_time) < float(plan.time) - 1:
        found.append(_battery_short(plan, terms, hours))
    if terms.rating is not None and load > share * terms.rating + 1e-6:
        found.append(
            Finding(
                code="works.inverter_small",
                severity=Severity.WARN,
                subject="power, generator" if terms.source is PowerSource.GENERATOR
                else "power, inverter",
                message=f"{load:.0f} W for {hours:.1f} h on a rating of {terms.rating:.0f} W; "
                f"{rule}, {share * terms.rating:.0f} W, may be taken so long.",
                remedy=f"Take one rated {load / share:.0f} W or more for continuous load, or run "
                "less at once.",
            )
        )  # fmt: skip
    if (
        terms.circuit is not None
        and plan.current is not None
        and float(plan.current) > share * terms.circuit + 1e-6
    ):
        found.append(
            Finding(
                code="works.circuit_overloaded",
                severity=Severity.WARN,
                subject="power, circuit",
                message=f"{float(plan.current):.1f} A for {hours:.1f} h on a circuit of "
                f"{terms.circuit:g} A; {rule}, {share * terms.circuit:.1f} A, may be taken so long "
                "by everything on it.",
                remedy=f"Take a circuit of {float(plan.current) / share:.1f} A or more, or share "
                f"the load between two. {_LOCAL}",
            )
        )
    if terms.source is PowerSource.VEHICLE:
        found.append(_vehicle(load, hours))
    found.append(_outdoors(terms.source))
    return tuple(found)


def _no_projector() -> Finding:
    return Finding(
        code="works.no_projector_power",
        severity=Severity.WARN,
        subject="power",
        message="The projector's power is not written down, so load and battery hours leave it "
        "out.",
        remedy='Write it from its plate under [projector]: power = "320 W".',
    )


def _battery_short(plan: PowerPlan, terms: PowerTerms, hours: float) -> Finding:
    assert plan.battery_time is not None
    assert plan.batteries is not None
    lasts = float(plan.battery_time) / 3600
    return Finding(
        code="works.battery_short",
        severity=Severity.WARN,
        subject="power, battery",
        message=f"{terms.batteries} of {(terms.battery or 0) / 3.6e6:.2g} kWh last {lasts:.1f} h "
        f"at {float(plan.load):.0f} W; the longest night takes {hours:.1f} h.",
        remedy=f"Bring {float(plan.batteries):.0f}, a generator, or the projector's eco mode; cold "
        "nights take more off a battery.",
    )


def _vehicle(load: float, hours: float) -> Finding:
    more = load > IDLING.value
    much = (
        f"more than the {IDLING.value:.0f} W an idling car may give"
        if more
        else f"of perhaps {IDLING.value:.0f} W that an idling car gives"
    )
    return Finding(
        code="works.idling_vehicle",
        severity=Severity.WARN if more else Severity.NOTE,
        subject="power, vehicle",
        message=f"{load:.0f} W for {hours:.1f} h is {much}; what it lacks drains the "
        "starter battery.",
        remedy="Use a battery of its own. Exhaust gas kills: never in or beside a closed space, "
        "never unattended; many places forbid idling. The car's manual says what it may feed.",
    )


def _outdoors(source: PowerSource | None) -> Finding:
    exhaust = (
        " Keep a generator far from doors and windows, refuel it cold."
        if source is PowerSource.GENERATOR
        else ""
    )
    return Finding(
        code="works.power_outdoors",
        severity=Severity.NOTE,
        subject="power, outdoors",
        message="Wet ground, dew and cables go together: a fault outdoors can kill at any of these "
        "loads.",
        remedy="Feed it through a residual current device of 30 mA (GFCI) and try its button each "
        "night; outdoor leads only, drums unwound, plugs covered and off the ground, no lead in "
        f"the way or under the lift; stop in rain.{exhaust} {_LOCAL}",
    )
