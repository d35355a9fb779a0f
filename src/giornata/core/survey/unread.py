"""What nobody read: ends, gaps and levels taken as straight, and what one reading would change."""

from __future__ import annotations

import itertools

from giornata.core.foundation import Assumption, Finding, Severity, number_of
from giornata.core.survey.profile import Profile
from giornata.core.survey.readings import SAME_PLACE

__all__ = ["leverage", "unread"]

DEVIATION = Assumption(
    name="deviation that the worth of one more reading is stated for",
    value=0.1,
    unit="m",
    source="common practice, no source",
    usual=(0.05, 0.2),
)
TELLING = Assumption(
    name="change of the gross area worth speaking of",
    value=0.01,
    unit="-",
    source="no published source",
    usual=(0.005, 0.05),
)


def leverage(gap: float, deviation: float) -> float:
    """Change of area for one reading off the line assumed, by trapezoids. [m²]

    Parameters
    ----------
    gap : float
        Between the readings on either side, or from the last reading to the end; 0 or more. [m]
    deviation : float
        Of the new reading from the line. [m]

    Notes
    -----
    Gap ÷ 2 × deviation, wherever in the gap the reading is made: the new triangle has the gap
    for its base. At an end the new triangle has the missing stretch for its base.

    Examples
    --------
    >>> leverage(30.0, 0.1)
    1.5
    """
    if gap < 0:
        raise ValueError("a gap is 0 or more")
    return gap / 2 * deviation


def unread(made: Profile, gross: float) -> tuple[Finding, ...]:
    """Findings on ends and gaps without a reading.

    Parameters
    ----------
    made : Profile
        The lines and where they were read.
    gross : float
        Gross area; above 0. [m²]
    """
    length = float(made.top.points[-1, 0])
    findings: list[Finding] = []
    for line, read_at in made.read_at.items():
        at = sorted({min(max(chainage, 0.0), length) for chainage in read_at})
        if not at:
            continue
        if at[-1] - at[0] < SAME_PLACE.value:
            findings.append(_one_reading(line, at[0], length, gross))
            continue
        findings.extend(_ends(line, at, length, gross))
        findings.extend(_gap(line, at, gross, always=line == "height"))
    return tuple(findings)


def _worth(gap: float, gross: float) -> tuple[float, str]:
    """Share of the gross area that one reading would move, and the sentence for it."""
    change = leverage(gap, DEVIATION.value)
    share = change / gross
    each = f"each {1000 * DEVIATION.value:.0f} mm"
    return share, f"{each} changes the area by {change:.2f} m² ({100 * share:.1f} %)"


def _one_reading(line: str, at: float, length: float, gross: float) -> Finding:
    far = max(at, length - at)
    share, worth = _worth(far, gross)
    end = length if length - at >= at else 0.0
    return Finding(
        code="survey.one_reading",
        severity=Severity.WARN if share > TELLING.value else Severity.NOTE,
        subject=f"{line} of the wall",
        message=f"The {line} was read once, at {at:.2f} m, and is taken as the same over all "
        f"{length:.2f} m. If it differs at {end:.2f} m, {worth}.",
        remedy=f"Read the {line} at {end:.2f} m as well, and wherever it changes.",
    )


def _ends(line: str, at: list[float], length: float, gross: float) -> list[Finding]:
    findings = []
    for end, nearest in ((0.0, at[0]), (length, at[-1])):
        gap = abs(nearest - end)
        if gap <= SAME_PLACE.value:
            continue
        share, worth = _worth(gap, gross)
        findings.append(
            Finding(
                code="survey.end_assumed",
                severity=Severity.WARN if share > TELLING.value else Severity.NOTE,
                subject=f"{line} at {end:.2f} m",
                message=f"The {line} was read up to {nearest:.2f} m and is carried on unchanged "
                f"to the end at {end:.2f} m. If it differs there, {worth}.",
                remedy=f"Read the {line} at {end:.2f} m.",
            )
        )
    return findings


def _gap(line: str, at: list[float], gross: float, *, always: bool) -> list[Finding]:
    widest, start = max((b - a, a) for a, b in itertools.pairwise(at))
    share, worth = _worth(widest, gross)
    if not always and share <= TELLING.value:
        return []
    middle = start + widest / 2
    return [
        Finding(
            code="survey.trapezoids",
            severity=Severity.NOTE,
            subject=f"{line} of the wall",
            message=f"The {line} was read at {number_of(len(at), 'place')} and is taken as "
            "straight "
            f"between them (trapezoids). The widest gap is {start:.2f} to {start + widest:.2f} m; "
            "if a "
            f"reading in it is off that straight line, {worth}.",
            remedy=f"Read the {line} at {middle:.2f} m as well.",
        )
    ]
