"""That a closure moved the design in a set-up, and by how much."""

from __future__ import annotations

from dataclasses import replace

from giornata.cli.report import Fact, Facts, Report
from giornata.core import documents
from giornata.core.foundation import System
from giornata.core.projection import SetUp
from giornata.desk import MovedDesign

__all__ = ["with_moved_design"]


def with_moved_design(
    report: Report, one: SetUp, moved: MovedDesign | None, system: System
) -> Report:
    """A set-up's page with the move in words at its head; the same page where there is none."""
    words = "" if moved is None else documents.moved_words(moved.knots, one, system)
    if not words:
        return report
    fact = Fact(key="design_moved", name="design moved, so that both ends meet", value=words)
    return replace(report, sections=(Facts(facts=(fact,)), *report.sections))
