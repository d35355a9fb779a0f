"""Findings of squaring: where it is refused, where it is doubtful, and where hands are better."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np
import shapely

from giornata.core.foundation import Finding, Floats, Severity, number_of
from giornata.core.projection.alignment import Alignment
from giornata.core.projection.bad_mark import NAMED_FROM, BadMark
from giornata.core.projection.by_hand import ByHand, WarpCost, by_hand_words
from giornata.core.projection.line_errors import LineError, PictureError
from giornata.core.projection.setups import SetUp
from giornata.core.projection.sightings import LinePoint, MarkSeen, Sightings
from giornata.core.projection.wall_kinds import MapKind

__all__ = ["findings_of", "not_settled", "too_narrow"]

LEAST = 4  # marks: three leave nothing that checks them
_SPARE = 3  # equations, with which a bad mark would show
_CHECKED = 6  # marks with which a slip of one shows
_IN_LINE = 0.02  # of the marks' length: narrower, they lie on one line
_BUNCHED = 0.35  # of what is drawn: marks that span less say little of its corners
_LOST = 0.05  # m of line beyond the picture


def too_narrow(set_up: SetUp, marks: Sequence[MarkSeen]) -> Finding | None:
    """Why no map can be fitted: marks too few, far off or on one line; None where one can.

    Parameters
    ----------
    set_up : SetUp
    marks : sequence of MarkSeen
    """
    subject = f"set-up {set_up.number}"
    if len(marks) < LEAST:
        return Finding(
            code="projection.square_few",
            severity=Severity.STOP,
            subject=subject,
            message=f"{_count(len(marks))} seen; a picture is squared on {LEAST} at least, and a "
            f"slip of one is found among {NAMED_FROM}.",
            remedy="Set out more marks near the picture's corners, each from the datum, and type "
            "them all again.",
        )
    beyond = _far_off(set_up, marks)
    if beyond:
        return Finding(
            code="projection.square_far",
            severity=Severity.STOP,
            subject=subject,
            message=f"{', '.join(one.name for one in beyond)}: more than a picture's width beyond "
            "the picture, where no light of it falls.",
            remedy="Look for a slip in what was typed: a point in the wrong place, metres for "
            "millimetres, pixels of another picture.",
        )
    for places, where in ((_on_wall(marks), "on the wall"), (_in_picture(marks), "in the picture")):
        spread = np.linalg.svd(places - places.mean(axis=0), compute_uv=False)
        # Three of four marks on a line leave a map as open as four do.
        if spread[1] < _IN_LINE * spread[0] or _but_one_in_line(places):
            return Finding(
                code="projection.square_line",
                severity=Severity.STOP,
                subject=subject,
                message=f"Its marks lie on one line {where}, all or all but one: the picture could "
                "turn about it.",
                remedy="Add marks above and below, best near the picture's corners. A name may "
                "have been typed with another mark's numbers.",
            )
    return None


def _far_off(set_up: SetUp, marks: Sequence[MarkSeen]) -> list[MarkSeen]:
    """Marks whose light would fall more than a picture's width beyond the picture."""
    far = max(set_up.columns, set_up.rows)
    return [
        one
        for one in marks
        if not (-far <= one.x_px <= set_up.columns + far and -far <= one.y_px <= set_up.rows + far)
    ]


def _but_one_in_line(places: Floats) -> bool:
    for number in range(len(places)):
        rest = np.delete(places, number, axis=0)
        spread = np.linalg.svd(rest - rest.mean(axis=0), compute_uv=False)
        if spread[1] < _IN_LINE * spread[0]:
            return True
    return False


def _on_wall(marks: Sequence[MarkSeen]) -> Floats:
    return np.array([(one.chainage, one.level) for one in marks])


def _in_picture(marks: Sequence[MarkSeen]) -> Floats:
    return np.array([(one.x_px, one.y_px) for one in marks])


def _count(marks: int) -> str:
    return f"{marks} mark{'s are' if marks != 1 else ' is'}"


def not_settled(set_up: SetUp) -> Finding:
    """That no map fits the marks at all.

    Parameters
    ----------
    set_up : SetUp
    """
    return Finding(
        code="projection.square_open",
        severity=Severity.STOP,
        subject=f"set-up {set_up.number}",
        message="No map from wall to picture fits its marks: the fit does not come to rest, or it "
        "turns the picture inside out.",
        remedy="Two marks may be mixed up, or right and up changed about. Read them again, one by "
        "one, each by its name.",
    )


def findings_of(
    *,
    set_up: SetUp,
    marks: Sequence[MarkSeen],
    lines_seen: Sequence[LinePoint],
    cell: Any,
    expected: MapKind,
    kind: MapKind,
    fit: Alignment,
    bad: BadMark | None,
    widened: float,
    lines: Sequence[LineError],
    error: PictureError,
    hand: ByHand | None,
    cost: WarpCost,
    limit: float,
    needed_pitch: float,
) -> tuple[Finding, ...]:
    """What is to be said of a picture that could be squared, the gravest first.

    Parameters
    ----------
    set_up : SetUp
    marks : sequence of MarkSeen
        All that were seen.
    lines_seen : sequence of LinePoint
    cell : shapely.Polygon
        The part of the wall that is drawn. [m]
    expected, kind : MapKind
        What wall and projector are known to be, and what the marks ask for.
    fit : Alignment
    bad : BadMark or None
    widened : float
        By which the stated deviations fall short. [-]
    lines : sequence of LineError
        The worst first.
    error : PictureError
    hand : ByHand or None
    cost : WarpCost
    limit : float
        How far off a line may be. [m]
    needed_pitch : float
        Longest side of a pixel with which the thinnest line can be traced. [m]
    """
    subject = f"set-up {set_up.number}"
    found = [
        *_of_bad_mark(subject, bad, fit, kind, lines_seen),
        *_of_kind(subject, expected, kind, fit),
        *_of_misfit(subject, fit, widened),
        *_of_places(subject, marks, lines_seen, fit, cell, error),
        *_of_lines(subject, lines, error, limit),
        *_of_warp(subject, set_up, hand, cost, needed_pitch),
    ]
    order = list(Severity)
    return tuple(sorted(found, key=lambda one: order.index(one.severity)))


def _of_bad_mark(
    subject: str,
    bad: BadMark | None,
    fit: Alignment,
    kind: MapKind,
    lines_seen: Sequence[LinePoint],
) -> Iterator[Finding]:
    if bad is None:
        return
    if bad.named is not None and bad.named in {p for o in lines_seen for p in (o.name, o.line)}:
        yield Finding(
            code="projection.square_bad_line",
            severity=Severity.WARN,
            subject=f"{subject}, {bad.named}",
            message=f"{bad.named} does not fit the marks and lines beside it; the picture is "
            f"squared without it ({kind}). Without it the misfit falls from "
            f"{fit.misfit + bad.drop:.0f} to {fit.misfit:.0f}.",
            remedy="Set the line out again from the datum and turn the laser round to see that it "
            "is level; read the point's pixels again.",
        )
        return
    if bad.named is not None:
        yield Finding(
            code="projection.square_bad_mark",
            severity=Severity.WARN,
            subject=f"{subject}, {bad.named}",
            message=f"{bad.named} does not fit the others; the picture is squared without it, on "
            f"{len(fit.marks)} marks ({kind}). Without it the misfit falls from "
            f"{fit.misfit + bad.drop:.0f} to {fit.misfit:.0f}.",
            remedy=f"Measure {bad.named} again from the datum, read its cross again, and type it "
            "again: every set-up that uses it is squared by it.",
        )
        return
    yield Finding(
        code="projection.square_doubt",
        severity=Severity.WARN,
        subject=subject,
        message=f"One of these marks is wrong, and {len(fit.marks)} do not tell which: "
        f"{', '.join(bad.doubted)}. The errors below hold only for right marks.",
        remedy="Measure them again from the datum before anything is drawn, or set out more marks "
        f"(from {NAMED_FROM} on, well spread, the bad one is named).",
    )


def _of_kind(subject: str, expected: MapKind, kind: MapKind, fit: Alignment) -> Iterator[Finding]:
    if kind is expected:
        return
    few = "" if fit.freedom >= _SPARE else " Or one mark is wrong: so few do not tell."
    remedy = {
        MapKind.POSE_CURVE: "Measure the wall's curve (a long straight edge or a line, and its "
        "depth in the middle) and write it into the survey.",
        MapKind.POSE: "Look at the bend's angle in the survey: the marks see none.",
    }.get(
        kind,
        "Look whether throw ratio and lens shift are as the job says, and whether the wall bends "
        "where the survey says nothing.",
    )
    yield Finding(
        code="projection.square_kind",
        severity=Severity.WARN,
        subject=subject,
        message=f"The marks fit better to: {kind}; by the job it is: {expected}. The picture is "
        f"squared as the marks ask.{few}",
        remedy=remedy,
    )


def _of_misfit(subject: str, fit: Alignment, widened: float) -> Iterator[Finding]:
    if widened > 1.0:
        yield Finding(
            code="projection.square_misfit",
            severity=Severity.WARN,
            subject=subject,
            message=f"The marks scatter {widened:.1f} times as far as they should: right marks do "
            f"so once in {1 / max(fit.chance, 1e-6):,.0f} times. The errors below are widened by "
            "as much.",
            remedy="Look for wind on the tripod, marks that were smudged, or a wall that is not "
            "flat between its marks; or say in [marks] how well they are really drawn and aimed.",
        )


def _of_places(
    subject: str,
    marks: Sequence[MarkSeen],
    lines_seen: Sequence[LinePoint],
    fit: Alignment,
    cell: Any,
    error: PictureError,
) -> Iterator[Finding]:
    if 2 * len(marks) + len(lines_seen) < 2 * _CHECKED:
        yield Finding(
            code="projection.square_unchecked",
            severity=Severity.NOTE,
            subject=subject,
            message=f"{len(marks)} marks: a slip of one would not show, it would turn the picture.",
            remedy=f"Read each twice, or set out more: from {_CHECKED} on a slip shows, from "
            f"{NAMED_FROM} on it is named.",
        )
    feet = Sightings(fit.marks, fit.lines).feet(fit.on_wall)
    places = np.vstack([_on_wall(fit.marks), feet])
    hull = shapely.convex_hull(shapely.multipoints(places))
    share = float(shapely.area(shapely.intersection(hull, cell)) / shapely.area(cell))
    if share < _BUNCHED:
        yield Finding(
            code="projection.square_bunched",
            severity=Severity.WARN,
            subject=subject,
            message=f"The marks span {100 * share:.0f} % of what is drawn; at its worst place, "
            f"{error.worst.chainage:.2f} m, level {error.worst.level:.2f} m, the light may be off "
            f"by {_mm(error.worst.longer)}.",
            remedy="Add two marks near the corners that have none: spread helps more than number. "
            "Where no ladder stands, plumb them up from low marks.",
        )


def _of_lines(
    subject: str, lines: Sequence[LineError], error: PictureError, limit: float
) -> Iterator[Finding]:
    over = [one for one in lines if one.worst > limit]
    if over:
        first = over[0]
        yield Finding(
            code="projection.square_off",
            severity=Severity.WARN,
            subject=subject,
            message=f"{len(over)} of {number_of(len(lines), 'line')} may be off by more than "
            f"{_mm(limit)}, 95 times of 100; the worst by {_mm(first.worst)} at "
            f"{first.chainage:.2f} m, level {first.level:.2f} m.",
            remedy="Add marks near those lines or read the present ones better (a photo reads "
            "them to a third of a pixel); or draw those lines by the grid.",
        )


def _of_warp(
    subject: str, set_up: SetUp, hand: ByHand | None, cost: WarpCost, needed_pitch: float
) -> Iterator[Finding]:
    words = () if hand is None else by_hand_words(hand)
    do = "; ".join(words) if words else "aim the projector square to the wall at its chalked place"
    remedy = f"At the projector first: {do}. Then read the marks again."
    if cost.outside > _LOST:
        yield Finding(
            code="projection.square_outside",
            severity=Severity.WARN,
            subject=subject,
            message=f"{cost.outside:.1f} m of its lines fall beyond the picture: no warp brings "
            "light there.",
            remedy=remedy,
        )
    if cost.pitch > needed_pitch >= set_up.pitch:
        yield Finding(
            code="projection.square_coarse",
            severity=Severity.WARN,
            subject=subject,
            message=f"Warped, a pixel is {_mm(cost.pitch, 1)} long at {cost.chainage:.2f} m; the "
            f"thinnest line takes {_mm(needed_pitch, 1)} at most, and square to the wall it is "
            f"{_mm(set_up.pitch, 1)}.",
            remedy=remedy,
        )
    if set_up.light.passes and cost.ratio < set_up.light.limit:
        yield Finding(
            code="projection.square_dim",
            severity=Severity.WARN,
            subject=subject,
            message=f"Warped, the light at its faintest line is {cost.ratio:.1f} times the ambient "
            f"light; {set_up.light.limit:.1f} is the least, and square to the wall it is "
            f"{set_up.light.ratio:.1f}.",
            remedy=remedy,
        )


def _mm(value: float, digits: int = 0) -> str:
    return f"{1000 * value:.{digits}f} mm"
