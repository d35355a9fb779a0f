"""What an adjustment finds amiss: readings that clash, doubtful ones, points left open."""

from __future__ import annotations

from difflib import get_close_matches

from giornata.core.foundation import Finding, Severity, number_of
from giornata.core.survey.adjusted import AdjustedReading, Adjustment
from giornata.core.survey.adjustment import GLOBAL_ALPHA
from giornata.core.survey.network import Axis
from giornata.core.survey.taken import DATUM, Kind
from giornata.core.survey.wall_network import WallNetwork

__all__ = ["adjustment_findings"]


def adjustment_findings(
    network: WallNetwork, found: Adjustment, *, limit: float, refused: bool, critical: float
) -> tuple[Finding, ...]:
    """Findings on an adjustment; one that stops means that it is not to be used.

    Parameters
    ----------
    network : WallNetwork
        The readings.
    found : Adjustment
        Of them.
    limit : float
        Error of one reading from which it is not spread over the others; above 0. [m]
    refused : bool
        Whether the chain of bays was refused already.
    critical : float
        Test above which one reading is doubted. [-]
    """
    findings = [*_pointless(network), *_undetermined(network, found), *_set_aside(found)]
    if not found.settled:
        return (*findings, _unsettled(network))
    worst = None if found.worst is None else found.readings[found.worst]
    doubted = worst is not None and worst.test is not None and abs(worst.test) > critical
    clash = doubted and worst is not None and abs(worst.error or 0.0) > limit
    if clash and worst is not None and not refused:
        findings.append(_contradictory(found, worst, limit))
    elif not found.passed and not refused:
        findings.append(_global_test(found))
    if doubted and worst is not None and not (refused and len(found.alike) > 1):
        findings.append(_doubtful(network, found, worst, critical))
    return tuple(findings)


def _mm(metres: float) -> str:
    return f"{1000 * metres:.0f} mm"


def _names(found: Adjustment) -> str:
    names = [f'"{found.readings[index].reading.name}"' for index in found.alike]
    if len(names) > 6:
        names = [*names[:5], f"{len(names) - 5} more"]
    return f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]


def _fit(found: Adjustment) -> str:
    return (
        f"chi-square {found.weighted_square:.1f}, limit {found.critical:.1f} for "
        f"{number_of(found.freedom, 'reading')} beyond those needed, which "
        f"{100 * GLOBAL_ALPHA.value:.0f} % of sound surveys exceed"
    )


def _contradictory(found: Adjustment, worst: AdjustedReading, limit: float) -> Finding:
    return Finding(
        code="survey.contradictory",
        severity=Severity.STOP,
        subject="readings between points",
        message=f"The readings contradict one another by {_mm(abs(worst.error or 0.0))}, limit "
        f"{_mm(limit)} ({_fit(found)}). Nothing was spread over the others: the wall is drawn as "
        "taped.",
        remedy=f"Re-measure {_names(found)} first. A reading that cannot be taken again is left "
        "out with doubtful = true.",
    )


def _global_test(found: Adjustment) -> Finding:
    return Finding(
        code="survey.global_test",
        severity=Severity.WARN,
        subject="readings between points",
        message=f"As a whole the readings fit worse than their precisions say: {_fit(found)}. "
        f"Uncertainties are taken {found.posterior or 1.0:.1f} times as large.",
        remedy="Re-measure what fits worst, or state worse precisions if all were taken in haste.",
    )


def _doubtful(
    network: WallNetwork, found: Adjustment, worst: AdjustedReading, critical: float
) -> Finding:
    reading = worst.reading
    error, residual = worst.error or 0.0, worst.residual or 0.0
    read = (
        f"{reading.value:g} courses" if reading.kind is Kind.COURSES else f"{reading.value:.3f} m"
    )
    others = (
        f"It read {read}; the others say it is {_mm(abs(error))} too "
        f"{'large' if error > 0 else 'small'} (residual {_mm(residual)}, test "
        f"{abs(worst.test or 0.0):.1f}, limit {critical:.2f}; errors from "
        f"{_mm(worst.detectable or 0.0)} on are found)."
    )
    if len(found.alike) > 1:
        others += f" It cannot be told apart from {_names(found)}: one of them is wrong."
    elif found.agrees_without:
        others += " Without it the rest agrees."
    own = found.worst is not None and found.worst < network.plain
    mark = "" if own else " If that cannot be done, mark it doubtful = true."
    return Finding(
        code="survey.reading_doubtful",
        severity=Severity.WARN,
        subject=reading.name,
        message=others,
        remedy=f"Take it again, from both ends.{mark}",
    )


def _set_aside(found: Adjustment) -> list[Finding]:
    findings = []
    for one in found.readings:
        if not one.reading.doubtful:
            continue
        says = "nothing else tells what it should be"
        if one.error is not None:
            size = _mm(abs(one.error))
            says = f"the others say it is {size} too {'large' if one.error > 0 else 'small'}"
        findings.append(
            Finding(
                code="survey.set_aside",
                severity=Severity.NOTE,
                subject=one.reading.name,
                message=f"Marked doubtful and left out; {says}.",
                remedy="Take it again when you are next at the wall, or strike it out.",
            )
        )
    return findings


def _pointless(network: WallNetwork) -> list[Finding]:
    return [
        Finding(
            code="survey.one_point",
            severity=Severity.WARN,
            subject=name,
            message="Both its points are one and the same place of the wall: it was left out.",
            remedy="Name the two points that it was taken between.",
        )
        for name in network.pointless
    ]


def _undetermined(network: WallNetwork, found: Adjustment) -> list[Finding]:
    own = network.own_points()
    findings = []
    for point in found.points:
        if point.name in own or not point.undetermined:
            continue
        what = " and ".join(str(axis) for axis in point.undetermined)
        near = [name for name in get_close_matches(point.name, own, n=1) if name != DATUM]
        spelled = f' Is it "{near[0]}"?' if near else ""
        findings.append(
            Finding(
                code="survey.undetermined",
                severity=Severity.WARN,
                subject=point.name,
                message=f"Nothing fixes its {what}: the readings that name it hang together, and "
                "none of them reaches the datum.",
                remedy=f"Take a reading of its {what} from the datum or from a point that is "
                f"known.{spelled}",
            )
        )
    findings.extend(
        Finding(
            code="survey.undetermined",
            severity=Severity.WARN,
            subject=f"coursing {name}",
            message="Courses were counted, and no height that tells how high one of them is.",
            remedy="Tape one height over counted courses.",
        )
        for axis, name in found.open
        if axis is Axis.COURSE
    )
    return findings


def _unsettled(network: WallNetwork) -> Finding:
    names = [r.name for r in network.readings if r.kind is Kind.DIAGONAL]
    return Finding(
        code="survey.unsettled",
        severity=Severity.STOP,
        subject="diagonals",
        message=f"{number_of(len(names), 'diagonal')} ({', '.join(names[:4])}) "
        f"{'leads' if len(names) == 1 else 'lead'} to no one place for "
        f"{'its' if len(names) == 1 else 'their'} points. Nothing was adjusted; the wall is drawn "
        "as taped.",
        remedy="Check that each is written from its left point to its right one, and that they "
        "are long enough to meet.",
    )
