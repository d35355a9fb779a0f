"""Findings of the wall's readiness: what holds it, and what to do."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from types import MappingProxyType

from giornata.core.foundation import Finding, Severity, number_of, shown_day
from giornata.core.works.preparation_terms import HoldCause, OldPaint

__all__ = ["CAUSE_REMEDIES", "bay_held", "paint_doubts", "tests_short", "wall_young"]

CAUSE_REMEDIES = MappingProxyType(
    {
        HoldCause.SALTS: "find where the water comes from, brush the salts off dry, wait, look "
        "again; do not wash them in",
        HoldCause.RELEASE_AGENT: "wash it off with the cleaner its maker names, keep the wash "
        "water, and try whether water wets the wall",
        HoldCause.LAITANCE: "take the weak skin off (dust: extraction or water, and a mask), and "
        "try with tape",
        HoldCause.GROWTH: "kill it, leave the time the label says, brush and rinse",
        HoldCause.LOOSE: "take off what is loose, once lead is ruled out, and fill",
        HoldCause.SEEPAGE: "do not seal it; the owner drains the ground behind, weep holes stay "
        "open",
        HoldCause.CRACK: "show it to the owner; fill only what does not move",
    }
)

_DAMP = "let it dry, find where the water comes from, and read it again"


def bay_held(bay: str, reasons: Sequence[str], causes: Sequence[HoldCause]) -> Finding:
    """A bay that may not be painted yet."""
    do = [CAUSE_REMEDIES[cause] for cause in dict.fromkeys(causes)]
    if len(reasons) > len(causes):
        do.append(_DAMP)
    text = ". ".join(one[:1].upper() + one[1:] for one in do)
    return Finding(
        code="works.bay_held",
        severity=Severity.WARN,
        subject=f"bay {bay}",
        message=f"Not to be painted yet: {'; '.join(reasons)}.",
        remedy=f"{text}. The paint's data sheet goes before these limits.",
    )


def tests_short(
    needed: int, counted: int, unknown: Sequence[str], short: Sequence[str]
) -> list[Finding]:
    """Sheet tests that are missing, took too little time, or name no bay.

    Parameters
    ----------
    needed, counted : int
        Sheet tests that the wall needs, and those that count. [-]
    unknown : sequence of str
        Bays that the wall does not have.
    short : sequence of str
        Bays whose dry sheet came off too soon.
    """
    findings = []
    if unknown:
        names = ", ".join(dict.fromkeys(unknown))
        findings.append(
            Finding(
                code="works.unknown_bay",
                severity=Severity.WARN,
                subject="preparation",
                message=f"Readings name bays that the wall does not have: {names}.",
                remedy="Correct the bay's name under [preparation].",
            )
        )
    if short:
        findings.append(
            Finding(
                code="works.sheet_short",
                severity=Severity.NOTE,
                subject="bays " + ", ".join(dict.fromkeys(short)),
                message="A dry sheet was taken off before 16 h, so it says nothing.",
                remedy="Tape it on again and leave it 16 to 24 h.",
            )
        )
    if counted < needed:
        findings.append(
            Finding(
                code="works.sheets_missing",
                severity=Severity.NOTE,
                subject="sheet tests",
                message=f"{counted} of {number_of(needed, 'sheet test')} "
                f"{'is' if counted == 1 else 'are'} made.",
                remedy="Tape the sheets on at the places listed; look after 16 to 24 h for drops "
                "or a darker wall.",
            )
        )
    return findings


def paint_doubts(old: OldPaint | None) -> list[Finding]:
    """Old paint on the wall that may hold lead."""
    law = "Dry sanding and burning are out; local law says who may do it, how, and where it goes."
    if old in {None, OldPaint.UNTESTED}:
        message = (
            "Nobody has said whether there is old paint on the wall."
            if old is None
            else "There is old paint on the wall, and it was not tested for lead."
        )
        return [
            Finding(
                code="works.lead_untested",
                severity=Severity.WARN if old else Severity.NOTE,
                subject="old paint",
                message=f"{message} It counts as lead paint from 1.0 mg/cm² or 0.5 % by weight on.",
                remedy=f"Have it tested before it is washed, scraped or ground. {law}",
            )
        ]
    if old is OldPaint.LEAD:
        return [
            Finding(
                code="works.lead_paint",
                severity=Severity.STOP,
                subject="old paint",
                message="The old paint holds lead.",
                remedy=f"Leave it alone until people licensed for it have made it safe. {law} "
                'Then write old_paint = "made safe".',
            )
        ]
    return []


def wall_young(
    earliest: date, why: str, start: date | None, lost: tuple[date, date, int, int] | None
) -> Finding:
    """The first day of painting, and the days lost until then.

    Parameters
    ----------
    earliest : date
        First day of painting.
    why : str
        What it waits for.
    start : date or None
        As planned.
    lost : tuple of (date, date, int, int) or None
        First and last day lost, how many, how many of them Monday to Friday. [days]
    """
    message = f"Not before {shown_day(earliest)}: {why}."
    if lost is None:
        after = "" if start is None else f" The start, {shown_day(start)}, is late enough."
        return Finding(
            code="works.earliest_day",
            severity=Severity.NOTE,
            subject="first day of painting",
            message=message + after,
            remedy="Nothing, if the readings pass on that day.",
        )
    first, last, calendar, working = lost
    span = shown_day(first) if first == last else f"{shown_day(first)} to {shown_day(last)}"
    days = number_of(calendar, "day")
    return Finding(
        code="works.earliest_day",
        severity=Severity.WARN,
        subject="first day of painting",
        message=f"{message} {span} is lost: {days}, {working} of them working days (Monday to "
        "Friday).",
        remedy="Move the start and the hire, and tell the client the same day who made the wall "
        "late.",
    )
