"""Openings cut to the wall, what obstacles hide of it, and findings on both."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import shapely

from giornata.core.foundation import Finding, Floats, Severity
from giornata.core.survey.closure import Span
from giornata.core.survey.features import clipped
from giornata.core.survey.observations import WallSurvey
from giornata.core.survey.opening_cut import opening_window
from giornata.core.survey.opening_outlines import Opening
from giornata.core.survey.outline import areal, band, strip
from giornata.core.survey.readings import SAME_PLACE
from giornata.core.survey.wall import HiddenBand, PierSpan, WallOpening

__all__ = ["hidden_bands", "opening_clashes", "openings_on_wall"]

_NO_AREA = 1e-6


def openings_on_wall(
    survey: WallSurvey, outline: Any, length: float, reach: float
) -> tuple[tuple[WallOpening, ...], Any, tuple[Finding, ...]]:
    """Openings inside the outline in order of chainage, the net wall, and findings. [m]

    Parameters
    ----------
    survey : WallSurvey
        Its openings; foot None reaches the ground, head None the top.
    outline : shapely geometry
        Gross wall. [m]
    length : float
        Of the wall; above 0. [m]
    reach : float
        How far beyond an end an opening may run without a finding; 0 or more. [m]
    """
    found: list[WallOpening] = []
    windows: list[Any] = []
    findings: list[Finding] = []
    for opening in survey.openings:
        span, doubts = clipped(f"opening {opening.name}", opening.start, opening.end, length, reach)
        findings.extend(doubts)
        if span is None:
            continue
        cut = opening_window(outline, opening, *span)
        polygon = areal(shapely.intersection(outline, cut))
        if polygon.area < _NO_AREA:
            findings.append(_off_wall(opening, outline))
            continue
        findings.extend(_beyond(opening, strip(outline, *span, None, None)))
        found.append(
            WallOpening(
                name=opening.name,
                start=span[0],
                end=span[1],
                shape=opening.shape,
                polygon=polygon,
            )
        )
        windows.append(cut)
    found.sort(key=lambda opening: (opening.start, opening.end))
    net = shapely.difference(outline, shapely.union_all(windows))
    return tuple(found), net, tuple(findings)


def opening_clashes(
    openings: tuple[WallOpening, ...], piers: Iterable[PierSpan]
) -> tuple[Finding, ...]:
    """Findings on openings that overlap one another and on piers that stand in openings."""
    findings = []
    for index, first in enumerate(openings):
        for second in openings[index + 1 :]:
            if second.start >= first.end:
                break
            shared = shapely.intersection(first.polygon, second.polygon).area
            if shared > _NO_AREA:
                findings.append(
                    Finding(
                        code="survey.openings_overlap",
                        severity=Severity.WARN,
                        subject=f"openings {first.name} and {second.name}",
                        message=f"They share {shared:.2f} m², between {second.start:.2f} and "
                        f"{min(first.end, second.end):.2f} m; it was taken off once.",
                        remedy="Measure both again, or strike one out.",
                    )
                )
    for pier in piers:
        for opening in openings:
            start, end = max(pier.start, opening.start), min(pier.end, opening.end)
            if end - start > SAME_PLACE.value / 10:
                findings.append(
                    Finding(
                        code="survey.pier_in_opening",
                        severity=Severity.WARN,
                        subject=f"pier {pier.name}, opening {opening.name}",
                        message=f"The pier ({pier.start:.2f} to {pier.end:.2f} m) stands "
                        f"{1000 * (end - start):.0f} mm into the opening ({opening.start:.2f} to "
                        f"{opening.end:.2f} m).",
                        remedy="Check both: a pier is given by its middle and its width.",
                    )
                )
    return tuple(findings)


def hidden_bands(
    survey: WallSurvey, outline: Any, ground: Floats, length: float, reach: float
) -> tuple[tuple[HiddenBand, ...], tuple[Finding, ...]]:
    """What obstacles hide of the outline, in order of chainage, and findings. [m]

    Parameters
    ----------
    survey : WallSurvey
        Its obstacles, each as high above the ground as it says.
    outline : shapely geometry
        Gross wall. [m]
    ground : ndarray, shape (n, 2)
        Ground line. [m]
    length : float
        Of the wall; above 0. [m]
    reach : float
        How far beyond an end an obstacle may run without a finding; 0 or more. [m]
    """
    found: list[HiddenBand] = []
    findings: list[Finding] = []
    for obstacle in sorted(survey.obstacles, key=lambda o: (o.start, o.end)):
        label = f"{obstacle.kind} {obstacle.name}"
        span, doubts = clipped(label, obstacle.start, obstacle.end, length, reach)
        findings.extend(doubts)
        if span is None:
            continue
        stretch = Span(name=obstacle.name, start=span[0], end=span[1])
        found.append(
            HiddenBand(
                name=obstacle.name,
                start=span[0],
                end=span[1],
                kind=obstacle.kind,
                height=obstacle.height,
                polygon=band(outline, ground, stretch, obstacle.height),
                near=obstacle.near,
                far=obstacle.far,
            )
        )
    return tuple(found), tuple(findings)


def _off_wall(opening: Opening, outline: Any) -> Finding:
    _, low, _, high = outline.bounds
    foot = "the ground" if opening.foot is None else f"{opening.foot:.2f} m"
    head = "the top" if opening.head is None else f"{opening.head:.2f} m"
    if opening.points:
        levels = [level for _, level in opening.points]
        foot, head = f"{min(levels):.2f} m", f"{max(levels):.2f} m"
    return Finding(
        code="survey.opening_off_wall",
        severity=Severity.WARN,
        subject=f"opening {opening.name}",
        message=f"From {foot} to {head} it meets no wall (levels {low:.2f} to {high:.2f} m): it "
        "takes nothing off.",
        remedy="Give foot and head as levels above the datum's level line, not above the ground.",
    )


def _beyond(opening: Opening, whole: Any) -> tuple[Finding, ...]:
    """A finding where foot or head was given beyond all of the wall at the opening."""
    _, low, _, high = whole.bounds
    parts = []
    if opening.head is not None and opening.head > high + SAME_PLACE.value:
        parts.append(f"its head, {opening.head:.2f} m, is above the top, {high:.2f} m")
    if opening.foot is not None and opening.foot < low - SAME_PLACE.value:
        parts.append(f"its foot, {opening.foot:.2f} m, is under the ground, {low:.2f} m")
    if not parts:
        return ()
    return (
        Finding(
            code="survey.opening_clipped",
            severity=Severity.WARN,
            subject=f"opening {opening.name}",
            message=f"{' and '.join(parts).capitalize()}: only what lies on the wall was taken "
            "off.",
            remedy="Correct the level, or leave it out to reach the ground or the top.",
        ),
    )
