"""Where pictures squared on their marks are not as good as lines must be, of what is projected."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence

from giornata.core import setting_out, works
from giornata.core.foundation import Finding, Severity
from giornata.core.job.marking import Marked
from giornata.core.projection import SetUpPlan
from giornata.core.setting_out import MarkTerms
from giornata.core.takeoff import BrushAndRoller
from giornata.core.works import NightPlan, TransferTerms

__all__ = ["coarse_marks"]

_Findings = tuple[Finding, ...]


def coarse_marks(
    plan: tuple[SetUpPlan, _Findings],
    marked: Marked,
    terms: MarkTerms,
    tools: BrushAndRoller,
    transfer: TransferTerms,
    night_plan: tuple[NightPlan | None, _Findings],
) -> _Findings:
    """What is to be told of pictures and seams; nothing of set-ups that are not projected."""
    away = works.set_ups_left_out(plan[0], transfer.stretches, night_plan[0])
    findings: list[Finding] = []
    if terms.accuracy is None:
        findings += _coarse(marked.errors, tools.registration, away)
    findings += setting_out.seam_findings(
        [one for one in marked.misses if not {one.left, one.right} & away],
        marked.for_seams,
        limit=tools.registration if terms.seam is None else terms.seam,
        asked=terms.seam is not None,
    )
    return tuple(findings)


def _coarse(
    errors: Sequence[float], registration: float, away: Collection[int]
) -> Iterator[Finding]:
    """Where two marks in a column, as nothing else was asked, are not as good as lines must be."""
    worse = [(number, error) for number, error in enumerate(errors, start=1)
             if number not in away and registration < error < math.inf]  # fmt: skip
    if not worse:
        return
    number, error = max(worse, key=lambda pair: pair[1])
    named = ", ".join(str(one) for one, _ in worse)
    yield Finding(
        code="setting_out.marks_coarse",
        severity=Severity.NOTE,
        subject=f"set-ups {named}" if len(worse) > 1 else f"set-up {named}",
        message=f"Squared on their marks, pictures may be off by up to {1000 * error:.0f} mm, at "
        f"set-up {number}; lines are taken to be good for {1000 * registration:.0f} mm.",
        remedy="Ask for an accuracy in [marks], which sets more marks there; set the marks more "
        "carefully; or allow lines to be off by so much (registration in [artwork]).",
    )
