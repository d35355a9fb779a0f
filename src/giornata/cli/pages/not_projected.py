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
    why = documents.put_on(results)[one.number].other_ways
    yield Facts(facts=(Fact(key="not_projected", name="not projected", value=why),))
