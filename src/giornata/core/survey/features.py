"""Piers, bends, joints, obstacles and lamps: cut to the wall, in order, with what is amiss."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from giornata.core.foundation import Finding, Severity
from giornata.core.survey.arcs import Arc
from giornata.core.survey.line import to_nanometre
from giornata.core.survey.observations import Bend, Lamp, WallSurvey
from giornata.core.survey.opening_outlines import Opening
from giornata.core.survey.street_light import by_class_finding
from giornata.core.survey.wall import PierSpan

__all__ = [
    "arcs_inside",
    "bends_inside",
    "clipped",
    "joints_inside",
    "lamps_on_wall",
    "names_twice",
    "piers_on_wall",
]

_STRAIGHT = 0.005  # m between arc and chord that matter; as close as a wall is measured
_TOUCH = 0.0005  # chainages closer than this are one; half of the last digit taped


def clipped(
    what: str, start: float, end: float, length: float, reach: float
) -> tuple[tuple[float, float] | None, tuple[Finding, ...]]:
    """A stretch cut to the wall, None where it lies wholly off it. [m]

    Parameters
    ----------
    what : str
        The thing, for the findings.
    start, end : float
        Its chainages. [m]
    length : float
        Of the wall; above 0. [m]
    reach : float
        How far beyond an end it may run without a finding; 0 or more. [m]
    """
    low, high = to_nanometre(max(start, 0.0)), min(to_nanometre(end), length)
    if high - low < _TOUCH:
        return None, (_outside(what, f"{start:.2f} to {end:.2f} m", length),)
    if start < -reach - 1e-9 or end > length + reach + 1e-9:
        return (low, high), (
            Finding(
                code="survey.partly_outside",
                severity=Severity.WARN,
                subject=what,
                message=f"Runs from {start:.2f} to {end:.2f} m; the wall is 0 to {length:.2f} m. "
                f"Only {low:.2f} to {high:.2f} m counts.",
                remedy="Correct its chainages, or the bays and the overall.",
            ),
        )
    return (low, high), ()


def piers_on_wall(
    survey: WallSurvey, length: float, reach: float
) -> tuple[tuple[PierSpan, ...], tuple[Finding, ...]]:
    """Piers as spans of the wall in order of chainage, and findings. [m]

    Parameters
    ----------
    survey : WallSurvey
        Its piers.
    length : float
        Of the wall; above 0. [m]
    reach : float
        How far beyond an end it may run without a finding; 0 or more. [m]
    """
    piers: list[PierSpan] = []
    findings: list[Finding] = []
    for pier in survey.piers:
        half = pier.width / 2
        span, doubts = clipped(f"pier {pier.name}", pier.at - half, pier.at + half, length, reach)
        findings.extend(doubts)
        if span is not None:
            piers.append(
                PierSpan(
                    name=pier.name,
                    start=span[0],
                    end=span[1],
                    proud=pier.proud,
                    returns_painted=pier.returns_painted,
                )
            )
    piers.sort(key=lambda pier: (pier.start, pier.end))
    for a, b in itertools.pairwise(piers):
        if a.end - b.start > _TOUCH:
            findings.append(
                Finding(
                    code="survey.piers_overlap",
                    severity=Severity.WARN,
                    subject=f"piers {a.name} and {b.name}",
                    message=f"They overlap by {a.end - b.start:.2f} m, from {b.start:.2f} to "
                    f"{min(a.end, b.end):.2f} m.",
                    remedy="Measure both again: a pier is given by its middle and its width.",
                )
            )
    return tuple(piers), tuple(findings)


def joints_inside(
    survey: WallSurvey, length: float
) -> tuple[tuple[float, ...], tuple[Finding, ...]]:
    """Chainages of joints inside the wall, in order and each once, and findings. [m]

    Parameters
    ----------
    survey : WallSurvey
        Its joints; those at the very ends are none.
    length : float
        Of the wall; above 0. [m]
    """
    inside: list[float] = []
    off = []
    for at in sorted(survey.joints):
        if not _TOUCH < at < length - _TOUCH:
            off.append(at)
        elif not inside or at - inside[-1] > _TOUCH:
            inside.append(at)
    findings = []
    if off:
        where = ", ".join(f"{at:.2f} m" for at in off)
        findings.append(_outside("joints", where, length))
    twice = len(survey.joints) - len(off) - len(inside)
    if twice:
        findings.append(
            Finding(
                code="survey.joint_twice",
                severity=Severity.NOTE,
                subject="joints",
                message=f"{twice} of {len(survey.joints)} joints {'is' if twice == 1 else 'are'} "
                "written "
                "twice; each counts once.",
                remedy="Strike out the repeats.",
            )
        )
    return tuple(inside), tuple(findings)


def bends_inside(
    survey: WallSurvey, length: float, openings: Iterable[Opening]
) -> tuple[tuple[Bend, ...], tuple[Finding, ...]]:
    """Bends inside the wall in order, those at one chainage added up, and findings. [m], [rad]

    Parameters
    ----------
    survey : WallSurvey
        Its bends.
    length : float
        Of the wall; above 0. [m]
    openings : iterable of Opening
        Looked through for bends inside them.
    """
    bends: list[Bend] = []
    findings: list[Finding] = []
    for bend in sorted(survey.bends, key=lambda bend: bend.at):
        if not _TOUCH < bend.at < length - _TOUCH:
            findings.append(_outside("bend", f"{bend.at:.2f} m", length))
        elif bends and bend.at - bends[-1].at < _TOUCH:
            findings.append(_bend_twice(bend.at))
            angle = bends[-1].angle + bend.angle
            if -math.pi < angle < math.pi:
                bends[-1] = Bend(at=bends[-1].at, angle=angle)
        else:
            bends.append(bend)
    for bend in bends:
        for opening in openings:
            if opening.start + _TOUCH < bend.at < opening.end - _TOUCH:
                findings.append(
                    Finding(
                        code="survey.bend_in_opening",
                        severity=Severity.WARN,
                        subject=f"bend at {bend.at:.2f} m, opening {opening.name}",
                        message=f"The wall bends inside the opening, {opening.start:.2f} to "
                        f"{opening.end:.2f} m: the opening's width is then not one straight "
                        "measure.",
                        remedy="Measure the opening on either side of the bend, or correct one "
                        "of the two chainages.",
                    )
                )
    return tuple(bends), tuple(findings)


def _bend_twice(at: float) -> Finding:
    return Finding(
        code="survey.bend_twice",
        severity=Severity.WARN,
        subject=f"bend at {at:.2f} m",
        message="Two bends stand at one chainage; their angles were added, or the second left "
        "out where the sum would fold the wall back on itself.",
        remedy="Give each bend its own chainage, or one angle for both.",
    )


def arcs_inside(
    survey: WallSurvey, length: float, reach: float
) -> tuple[tuple[Arc, ...], tuple[Finding, ...]]:
    """Curved stretches cut to the wall, in order, none over another, and findings. [m]

    Parameters
    ----------
    survey : WallSurvey
        Its arcs, and the openings that lie in them.
    length : float
        Of the wall; above 0. [m]
    reach : float
        How far beyond an end an arc may run without a finding; 0 or more. [m]
    """
    arcs: list[Arc] = []
    findings: list[Finding] = []
    for arc in sorted(survey.arcs, key=lambda arc: (arc.start, arc.end)):
        name = f"curve from {arc.start:.2f} to {arc.end:.2f} m"
        span, doubts = clipped(name, arc.start, arc.end, length, reach)
        findings.extend(doubts)
        if span is None:
            continue
        start = span[0]
        if arcs and arcs[-1].end > start:
            if arcs[-1].end - start > _TOUCH:
                findings.append(_arcs_overlap(name, arcs[-1].end))
            start = arcs[-1].end
        if span[1] - start < _TOUCH:
            continue
        cut = Arc(start=start, end=span[1], radius=arc.radius, curve=arc.curve)
        arcs.append(cut)
        if cut.sweep > math.tau * (1 + 1e-9):
            findings.append(_beyond_circle(name, cut))
        findings.extend(_opening_on_curve(name, cut, survey.openings))
    return tuple(arcs), tuple(findings)


def _arcs_overlap(name: str, before: float) -> Finding:
    return Finding(
        code="survey.curves_overlap",
        severity=Severity.WARN,
        subject=name,
        message=f"It begins before the curve on its left ends, at {before:.2f} m; it was taken "
        "from there on.",
        remedy="Correct the chainages: each place of the wall has one curve at most.",
    )


def _beyond_circle(name: str, arc: Arc) -> Finding:
    return Finding(
        code="survey.curve_beyond_circle",
        severity=Severity.WARN,
        subject=name,
        message=f"At a radius of {arc.radius:.3f} m, {arc.end - arc.start:.2f} m of wall turn "
        f"through {math.degrees(arc.sweep):.1f} degrees: more than once round. Areas come from "
        "the chainages and stand; the place in space does not.",
        remedy="Measure the girth and the diameter again; the girth is 3.1416 times the diameter.",
    )


def _opening_on_curve(name: str, arc: Arc, openings: Iterable[Opening]) -> Iterable[Finding]:
    for opening in openings:
        width = min(opening.end, arc.end) - max(opening.start, arc.start)
        if width < _TOUCH:
            continue
        turned = min(width / arc.radius, math.tau)
        chord = 2 * arc.radius * math.sin(turned / 2)
        if width - chord > _STRAIGHT:
            yield Finding(
                code="survey.opening_on_curve",
                severity=Severity.NOTE,
                subject=f"opening {opening.name}, {name}",
                message=f"Its {width:.3f} m on the curve are taken along the face; straight "
                f"across they are {chord:.3f} m.",
                remedy="Measure an opening on a curve with the tape laid along the wall.",
            )


def lamps_on_wall(
    survey: WallSurvey, length: float, reach: float
) -> tuple[tuple[Lamp, ...], tuple[Finding, ...]]:
    """Lit stretches cut to the wall, in order of chainage, and findings. [m], [lx]

    Parameters
    ----------
    survey : WallSurvey
        Its lamps.
    length : float
        Of the wall; above 0. [m]
    reach : float
        How far beyond an end it may run without a finding; 0 or more. [m]
    """
    lamps: list[Lamp] = []
    findings: list[Finding] = []
    for lamp in sorted(survey.lamps, key=lambda lamp: (lamp.start, lamp.end)):
        span, doubts = clipped(f"lamp {lamp.name}", lamp.start, lamp.end, length, reach)
        findings.extend(doubts)
        if span is not None:
            lamps.append(replace(lamp, start=span[0], end=span[1]))
            if lamp.light_class:
                findings.append(by_class_finding(lamp.name, lamp.light_class, lamp.ambient))
    return tuple(lamps), tuple(findings)


def names_twice(survey: WallSurvey) -> tuple[Finding, ...]:
    """Findings on names borne by two bays, openings, piers, obstacles or lamps."""
    kinds: dict[str, Sequence[str]] = {
        "bays": [bay.name for bay in survey.bays],
        "openings": [opening.name for opening in survey.openings],
        "piers": [pier.name for pier in survey.piers],
        "obstacles": [obstacle.name for obstacle in survey.obstacles],
        "lamps": [lamp.name for lamp in survey.lamps],
    }
    return tuple(
        Finding(
            code="survey.name_twice",
            severity=Severity.WARN,
            subject=f"{kind} named {name}",
            message=f"{count} {kind} bear the name {name}: sheets and lists cannot tell them "
            "apart. Both were counted.",
            remedy="Rename one, or strike it out if it was written twice.",
        )
        for kind, names in kinds.items()
        for name, count in Counter(names).items()
        if count > 1
    )


def _outside(what: str, where: str, length: float) -> Finding:
    return Finding(
        code="survey.outside",
        severity=Severity.WARN,
        subject=what,
        message=f"At {where}: not on the wall, which is 0 to {length:.2f} m. Left out.",
        remedy="Correct the chainage, or strike it out.",
    )
