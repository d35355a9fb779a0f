"""Closure: the chain of bays against the whole length, and what a misclosure points to."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import accumulate
from math import fsum

from giornata.core.foundation import Assumption, Finding, Severity, number_of
from giornata.core.survey.line import to_nanometre
from giornata.core.survey.observations import WallSurvey
from giornata.core.survey.tape import Precision, bay_error, length_error, precision

__all__ = ["Closure", "Span", "Verdict", "bay_spans", "closure", "likely_cause", "taped_length"]

WIDEST_PIER = Assumption(
    name="greatest misclosure that a missed pier explains",
    value=1.2,
    unit="m",
    source="common practice, no source",
    usual=(0.6, 1.5),
)
NARROWEST_PIER = Assumption(
    name="least misclosure that a missed pier explains",
    value=0.05,
    unit="m",
    source="common practice, no source",
    usual=(0.03, 0.1),
)
_FOOT = 0.3048


class Verdict(StrEnum):
    """What to do with a chain of bays."""

    ACCEPT = "accept"
    REMEASURE = "re-measure"


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A named stretch of the wall between two chainages.

    Parameters
    ----------
    name : str
        As the painter calls it.
    start, end : float
        Chainages; it ends after it starts. [m]
    """

    name: str
    start: float
    end: float

    def __post_init__(self) -> None:
        if not self.end > self.start:
            raise ValueError("a span ends after it starts")

    @property
    def length(self) -> float:
        """End less start. [m]"""
        return self.end - self.start


@dataclass(frozen=True, slots=True, kw_only=True)
class Closure:
    """The chain of bays against the overall.

    Parameters
    ----------
    bays : int
        Bays in the chain. [-]
    chain : float
        Sum of the bays. [m]
    overall : float
        The whole length, measured apart from the bays. [m]
    misclosure : float
        Overall less chain. [m]
    of_chain : Precision
        What the tape lets one expect of the chain alone. [m]
    expected : Precision
        What it lets one expect of the misclosure: chain and overall together. [m]
    limit : float
        Greatest misclosure accepted. [m]
    verdict : Verdict
        Accepted up to the limit.
    """

    bays: int
    chain: float
    overall: float
    misclosure: float
    of_chain: Precision
    expected: Precision
    limit: float
    verdict: Verdict


def closure(survey: WallSurvey) -> tuple[Closure | None, tuple[Finding, ...]]:
    """Closure of the bays with its verdict; None where there is no overall to close on.

    Parameters
    ----------
    survey : WallSurvey
        Bays, overall, limit, and the tape or stated precision.

    Notes
    -----
    The limit is the survey's own. Within it, a misclosure above the tape's worst case is still
    warned of. Expected sizes take the tape's greatest permissible error for each length.
    """
    if survey.overall is None:
        return None, (_no_overall(survey),)
    errors = [bay_error(survey, bay) for bay in survey.bays]
    whole = length_error(survey, survey.overall)
    chain = fsum(bay.length for bay in survey.bays)
    misclosure = survey.overall - chain
    accepted = abs(misclosure) <= survey.closure_limit + 1e-9
    found = Closure(
        bays=len(survey.bays),
        chain=chain,
        overall=survey.overall,
        misclosure=misclosure,
        of_chain=precision(errors),
        expected=precision([*errors, whole]),
        limit=survey.closure_limit,
        verdict=Verdict.ACCEPT if accepted else Verdict.REMEASURE,
    )
    return found, _findings(survey, found)


def taped_length(survey: WallSurvey) -> float:
    """Length of the wall: the overall where there is one, else the sum of the bays. [m]

    Parameters
    ----------
    survey : WallSurvey
        Its bays and overall.
    """
    return survey.overall or to_nanometre(fsum(bay.length for bay in survey.bays))


def bay_spans(survey: WallSurvey, found: Closure | None) -> tuple[Span, ...]:
    """Bays as spans from the datum; an accepted misclosure is spread over them. [m]

    Notes
    -----
    Each bay takes a share of the misclosure in proportion to the square of its own expected
    error (least squares with the overall held). A refused misclosure is not spread: the bays
    then stand as taped and do not reach the end of the wall.
    """
    lengths = [bay.length for bay in survey.bays]
    if found and found.verdict is Verdict.ACCEPT:
        squares = [bay_error(survey, bay) ** 2 for bay in survey.bays]
        lengths = _spread(lengths, squares, found.misclosure)
    ends = list(accumulate(lengths))
    if found and found.verdict is Verdict.ACCEPT:
        ends[-1] = found.overall
    return tuple(
        Span(name=bay.name, start=start, end=end)
        for bay, start, end in zip(survey.bays, [0.0, *ends], ends, strict=False)
    )


def _spread(lengths: list[float], squares: list[float], misclosure: float) -> list[float]:
    """Lengths with a misclosure spread by squared error, or by length where that reverses one."""
    whole = fsum(squares)
    if whole > 0:
        spread = [b + misclosure * v / whole for b, v in zip(lengths, squares, strict=True)]
        if min(spread) > 0:
            return spread
    chain = fsum(lengths)
    return [length * (1 + misclosure / chain) for length in lengths]


def likely_cause(survey: WallSurvey, found: Closure) -> str:
    """What a misclosure of this size usually comes from, as a sentence.

    Parameters
    ----------
    survey : WallSurvey
        Bays and piers to compare the misclosure with.
    found : Closure
        The misclosure and the error to expect of it.
    """
    ratio = found.overall / found.chain
    size = abs(found.misclosure)
    reach = max(found.expected.root_sum, 0.01)
    missing = found.misclosure > 0
    for factor in (_FOOT, 1 / _FOOT):
        if abs(ratio / factor - 1) < 0.01:
            return "One of the two is written in feet and the other in metres."
    bays = [bay.name for bay in survey.bays if abs(bay.length - size) <= reach]
    if bays:
        names = ", ".join(bays[:4]) + (" and others" if len(bays) > 4 else "")
        like = f"one bay ({size:.2f} m, as long as bay {names})"
        return f"Likely {like} was {'left out' if missing else 'counted twice'}."
    piers = [pier.name for pier in survey.piers if abs(pier.width - size) <= reach]
    if piers:
        done = "left out of the chain" if missing else "taped twice, in both its bays"
        return f"Likely pier {piers[0]} ({size:.2f} m wide) was {done}."
    if abs(size - round(size)) <= reach and round(size) >= 1:
        return f"Likely a reading is {round(size)} m out: whole metres miscounted on the tape."
    if NARROWEST_PIER.value <= size <= WIDEST_PIER.value:
        if missing:
            return f"Likely a pier or recess {1000 * size:.0f} mm wide was left out of the chain."
        return f"Likely a pier {1000 * size:.0f} mm wide was taped twice, in both its bays."
    if size < NARROWEST_PIER.value:
        return (
            f"Spread over {number_of(found.bays, 'bay')} it is {1000 * size / found.bays:.0f} mm "
            "each: "
            "the tape's end was not held at the mark, or it sagged."
        )
    return "No single bay or pier fits: tape all bays again, reading from one end."


def _findings(survey: WallSurvey, found: Closure) -> tuple[Finding, ...]:
    size = abs(found.misclosure)
    subject = f"bays {survey.bays[0].name} to {survey.bays[-1].name}"
    sums = (
        f"The {number_of(found.bays, 'bay sums', 'bays sum')} to {found.chain:.3f} m, the overall "
        "is "
        f"{found.overall:.3f} m: "
        f"misclosure {1000 * found.misclosure:.0f} mm"
    )
    expect = (
        f"the tape explains {1000 * found.of_chain.root_sum:.0f} mm (root-sum) to "
        f"{1000 * found.of_chain.worst:.0f} mm (worst) in the bays, "
        f"{1000 * found.expected.root_sum:.0f} to {1000 * found.expected.worst:.0f} mm with the "
        "overall"
    )
    limit = f"limit {1000 * found.limit:.0f} mm"
    findings = []
    if found.verdict is Verdict.REMEASURE:
        findings.append(
            Finding(
                code="survey.misclosure",
                severity=Severity.STOP,
                subject=subject,
                message=f"{sums}, {limit}; {expect}. Refused: re-measure.",
                remedy=f"{likely_cause(survey, found)} Look there first, then tape the bays again "
                "with one running tape from the datum.",
            )
        )
    elif size > found.expected.worst + 1e-9:
        findings.append(
            Finding(
                code="survey.misclosure_large",
                severity=Severity.WARN,
                subject=subject,
                message=f"{sums}, within the {limit}, but {expect}.",
                remedy=f"{likely_cause(survey, found)} Re-measure, or keep it and let the bays "
                "take the difference.",
            )
        )
    if found.limit < found.expected.root_sum:
        findings.append(
            Finding(
                code="survey.closure_limit",
                severity=Severity.NOTE,
                subject=subject,
                message=f"The closure {limit} is tighter than the tape allows: {expect}.",
                remedy=f"Set the limit to {1000 * found.expected.root_sum:.0f} mm or more, or use "
                "a better tape.",
            )
        )
    return tuple(findings)


def _no_overall(survey: WallSurvey) -> Finding:
    chain = fsum(bay.length for bay in survey.bays)
    return Finding(
        code="survey.no_overall",
        severity=Severity.NOTE,
        subject="wall length",
        message=(
            f"The length is the sum of {len(survey.bays)} bays"
            if len(survey.bays) > 1
            else "The length is that of the one bay"
        )
        + f", {chain:.2f} m; nothing checks it: a missed bay or pier would not show.",
        remedy="Measure the whole length once, apart from the bays, and write it as the overall.",
    )
