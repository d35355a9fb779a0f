"""That a set-up is not projected, and why."""

from __future__ import annotations

from collections.abc import Iterator

from giornata.cli.report import Fact, Facts
from giornata.core import documents
from giornata.core.job import JobResults
from giornata.core.projection import SetUp

__all__ = ["not_projected"]


def not_projected(results: JobResults, one: SetUp) -> Iterator[Facts]:
    """Why a set-up falls into no night; nothing where it falls into one."""
    if one.number not in results.unprojected:
        return
    ways = dict.fromkeys(
        f"by {stretch.way}" if stretch.way else "out of reach"
        for stretch in documents.left_out(results)
        if stretch.start < one.end and one.start < stretch.end
    )
    why = ", ".join(ways) or "nothing of it is left to draw"
    yield Facts(facts=(Fact(key="not_projected", name="not projected", value=why),))
