"""The folder: what was read, what was found, what happened in it."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence

from giornata.cli.report import Column, Fact, Facts, Report, Table
from giornata.core.foundation import Finding, Severity
from giornata.core.job import JobInputs, JobResults
from giornata.files.site_log import Event

__all__ = ["check_page", "findings_page", "log_page"]


def check_page(inputs: JobInputs, findings: Sequence[Finding]) -> Report:
    """What the job file and the artwork say, in short."""
    drawing = inputs.drawing
    verdict = "both can be read" if not findings else "both can be read; see below"
    return Report(
        title=f"{inputs.title.name}: job file and artwork",
        sections=(
            Facts(
                facts=(
                    Fact(key="verdict", name="verdict", value=verdict),
                    Fact(key="bays", name="bays", value=len(inputs.survey.bays)),
                    Fact(key="openings", name="openings", value=len(inputs.survey.openings)),
                    Fact(key="artwork", name="artwork", value=drawing.name),
                    Fact(key="shapes", name="its shapes", value=len(drawing.shapes)),
                    Fact(key="groups", name="its groups", value=len(drawing.groups)),
                    Fact(key="paints", name="paints", value=len(inputs.paints)),
                    Fact(key="options", name="options", value=len(inputs.options)),
                    Fact(key="colourways", name="colourways", value=len(inputs.colourways)),
                )
            ),
        ),
    )


def findings_page(results: JobResults, findings: Sequence[Finding]) -> Report:
    """How many findings there are of each severity; they themselves follow."""
    counts = Counter(finding.severity for finding in findings)
    facts = tuple(
        Fact(key=f"{severity}_count", name=name, value=counts[severity])
        for severity, name in (
            (Severity.STOP, "stop: holds up the job"),
            (Severity.WARN, "warn: may cost money"),
            (Severity.NOTE, "note: worth knowing"),
        )
    )
    return Report(title=f"{results.inputs.title.name}: findings", sections=(Facts(facts=facts),))


def log_page(events: Sequence[Event]) -> Report:
    """Events in order."""
    table = Table(
        key="events",
        title="What happened",
        columns=(
            Column(key="number", head="no."),
            Column(key="at", head="when"),
            Column(key="kind", head="what"),
            Column(key="subject", head="about"),
            Column(key="data", head="more"),
            Column(key="undoes", head="takes back"),
        ),
        rows=tuple(
            (
                event.number, event.at.isoformat(sep=" ", timespec="minutes"), event.kind,
                event.subject, json.dumps(event.data, ensure_ascii=False) if event.data else "",
                event.undoes,
            )
            for event in events
        ),
        none="Nothing yet.",
    )  # fmt: skip
    return Report(title="", sections=(table,))
