"""What a proposal says besides pictures and sums: needs, grounds of the price, safety."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from giornata.core.documents.display import bare, figure_text
from giornata.core.foundation import (
    Finding,
    Severity,
    System,
    number_of,
    shown,
    shown_day,
    shown_figure,
)
from giornata.core.job import JobResults
from giornata.core.works import NightPlan

__all__ = ["assumption_words", "caution_words", "needs_words", "stop_words"]


def stop_words(findings: Sequence[Finding]) -> str:
    """That a paper may not go out, where a finding holds the job up; else ""."""
    count = sum(one.severity is Severity.STOP for one in findings)
    if not count:
        return ""
    held = "1 finding holds" if count == 1 else f"{count} findings hold"
    return f"Draft, not to be sent: {held} this job up. See the option sheet."


def needs_words(results: JobResults, system: System) -> tuple[str, ...]:
    """What the client sees to, after what the wall, the nights and the lift ask for."""
    wall, inputs = results.wall, results.inputs
    nights = results.design.nights
    needs = [
        (
            "The wall clean, dry, sound and old enough to be painted, and free for us over its "
            "whole length until we are done."
        ),
        "Consents of the owner and of the authorities, where they are needed.",
        (
            "Your approval of the design, and of the colours by painted samples, in writing before "
            "paint is ordered."
        ),
    ]
    if nights is not None and results.set_ups.set_ups:
        distance = shown(inputs.stand.distance, "m", system)
        needs.append(
            f"{_nights_needed(nights)}, and {distance} of clear ground in front of the wall."
        )
        needs += [
            f"{lamp.name} ({_span(lamp.start, lamp.end, system)}) switched off on "
            "those nights, or covered."
            for lamp in wall.lamps
        ]
    needs += [
        f"{band.name} ({_span(band.start, band.end, system)}) cut or tied back: it "
        f"hides the wall up to {shown(band.height, 'm', system)} above the ground."
        for band in wall.hidden
    ]
    if results.scheme.plan.lift is not None:
        needs.append("Firm, level ground for the lift along the wall.")
    needs.append("A place to park, and to lock up paint and tools, within reach.")
    return tuple(needs)


def _nights_needed(nights: NightPlan) -> str:
    """What the client sees to for the nights; where evenings decided on are not dark, that too."""
    count, dark = len(nights.nights), sum(one.night is not None for one in nights.planned)
    asked = "A night" if count == 1 else number_of(count, "night")
    words = f"{asked} of darkness for setting out the design with a projector"
    if dark == count or not (dark or nights.passed_over):  # all are dark, or none has a date
        return words
    if dark:
        many = "the dates decided on hold 1 of them" if dark == 1 else f"{dark} have their dates"
        return f"{words} ({many}; the others are to be agreed)"
    first, last = (shown_day(nights.passed_over[at].evening) for at in (0, -1))
    when = f"on {first}" if first == last else f"on any evening looked at, {first} to {last}"
    return (
        f"Other dates, or another way to set out the design, to be agreed: it does not "
        f"get dark enough for a projector {when}. A projector needs "
        f"{number_of(count, 'night')} of darkness"
    )


def assumption_words(results: JobResults, system: System) -> tuple[str, ...]:
    """What was measured, and what coats, days and details were reckoned with."""
    wall, scheme, inputs = results.wall, results.scheme, results.inputs
    plan = scheme.plan
    names = {paint.key: paint.name for paint in inputs.paints}
    usual = Counter(coats for _, coats in plan.coats.figures).most_common(1)
    usual_coats = usual[0][0] if usual else 0
    others = [f"{names[key]} {coats}" for key, coats in plan.coats.figures if coats != usual_coats]
    coats = (
        f"Coats: primer {plan.coats.primer} and base {plan.coats.base} over the whole wall, "
        f"colours {usual_coats}" + (f", but {', '.join(others)}" if others else "") + "."
    )
    nights = results.design.nights
    night_words = ""
    if nights is not None and nights.nights:
        night_words = f"; before them {number_of(len(nights.nights), 'night')} of setting out"
        if nights.passed_over and not any(one.night for one in nights.planned):
            night_words += ", on dates to be agreed (those decided on do not get dark enough)"
    people = inputs.labour.people
    brush = shown(inputs.tools.narrowest_brush, "m", system)
    return (
        (
            f"Wall: {figure_text(wall.wall_length, system)} long, net area "
            f"{shown_figure(wall.net_area, system)}, {wall.surface.value}; measured on the wall."
        ),
        coats,
        (
            f"Time: {number_of(round(float(plan.days.booked)), 'working day')} booked for "
            f"{'one painter' if people == 1 else number_of(people, 'painter')}, of which "
            f"{figure_text(plan.days.work, system)} on the wall in fit weather{night_words}."
        ),
        (
            f"Details: lines and gaps narrower than {brush} cannot be painted cleanly; they are "
            "widened or left out."
        ),
        "Colours on paper and on a screen are not those of the paint: the painted samples decide.",
    )


def caution_words(results: JobResults) -> tuple[str, ...]:
    """What keeps people and the wall safe, in short; local rules and makers come first."""
    cautions = [
        (
            "Paint goes on only within the limits of its maker for temperature, damp and dew; rain "
            "and wind move the programme."
        ),
        "Work at height follows the local rules.",
        (
            "Old coatings may hold lead or other harmful substances: they are tested before "
            "anybody washes, scrapes or sands them."
        ),
        (
            "Joints, weep holes and inspection marks stay open; what the wall's owner forbids to "
            "cover is left out."
        ),
    ]
    if results.scheme.plan.lift is not None:
        cautions[1] = (
            "Work at height follows the local rules; a lift is driven by trained people, within "
            "its manual and its wind plate, and the network is asked before it comes near a line."
        )
    if results.set_ups.set_ups:
        cautions.append(
            "The projector dazzles: nobody looks into its lens, and its beam is kept off the road."
        )
    return tuple(cautions)


def _span(start: float, end: float, system: System) -> str:
    unit = "" if system is System.US else " m"
    return f"{bare(start, system)} to {bare(end, system)}{unit}"
