"""A few named values, said in either form."""

from __future__ import annotations

from giornata.cli.report import Fact, Facts, Report
from giornata.cli.speaking import Manner, speak

__all__ = ["said"]


def said(
    title: str,
    lines: tuple[tuple[str, str, str | None], ...],
    manner: Manner,
    *,
    digest: str | None = None,
) -> int:
    """Say a few values, each by its JSON key, name and text; the exit code."""
    facts = [Fact(key=key, name=name, value=value, whole=True) for key, name, value in lines]
    if digest is not None:
        facts.append(Fact(key="digest", name="digest", value=digest))
    report = Report(title=title, sections=(Facts(facts=tuple(facts)),))
    return speak(report, manner=manner, digest=digest)
