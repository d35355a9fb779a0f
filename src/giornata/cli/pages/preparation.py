"""Readiness of the wall: tests, holds, the first day of painting."""

from __future__ import annotations

from giornata.cli.report import Column, Fact, Facts, Report, Table
from giornata.core.job import JobResults

__all__ = ["preparation_page"]

_VERDICTS = {True: "passes", False: "fails", None: "does not count"}


def preparation_page(results: JobResults) -> Report:
    """Whether and when the wall may be painted."""
    title = f"{results.inputs.title.name}: readiness of the wall"
    found = results.preparation
    if found is None:
        fact = Fact(key="known", name="known", value="nothing", whole=True,
                    remark="Write [preparation] in job.toml.")  # fmt: skip
        return Report(title=title, sections=(Facts(facts=(fact,)),), rooms=())
    facts = [
        Fact(key="earliest", name="first day of painting",
             value=None if found.earliest is None else found.earliest.isoformat()),
        Fact(key="held", name="bays on hold",
             value=", ".join(one.bay for one in found.held) or "none"),
        Fact(key="sheets_needed", name="sheet tests", value=found.sheets_needed),
    ]  # fmt: skip
    if found.lost is not None:
        facts += [
            Fact(key="lost", name="days lost", value=found.lost.calendar,
                 remark=f"{found.lost.first.isoformat()} to {found.lost.last.isoformat()}"),
            Fact(key="lost_working", name="of them working days", value=found.lost.working),
        ]  # fmt: skip
    waits = Table(
        key="waits",
        title="What must pass first",
        columns=(Column(key="until", head="until"), Column(key="why", head="why")),
        rows=tuple((wait.until.isoformat(), wait.why) for wait in found.waits),
        none="No date was given for the wall's making or washing.",
    )
    held = Table(
        key="bays_on_hold",
        title="Bays on hold",
        columns=(Column(key="bay", head="bay"), Column(key="why", head="why")),
        rows=tuple((one.bay, "; ".join(one.reasons)) for one in found.held),
        none="None by what was read so far.",
    )
    places = Table(
        key="sheets",
        title="Where sheets are taped on",
        columns=(Column(key="bay", head="bay"),
                 Column(key="chainage", head="chainage", unit="m"),
                 Column(key="above_ground", head="above ground", unit="m")),
        rows=tuple((one.bay, one.chainage, one.above_ground) for one in found.places),
    )  # fmt: skip
    tests = Table(
        key="tests",
        title="Tests made",
        columns=(Column(key="bay", head="bay"), Column(key="test", head="test"),
                 Column(key="reading", head="reading"), Column(key="limit", head="limit"),
                 Column(key="verdict", head="verdict")),
        rows=tuple(
            (one.bay, one.what, one.reading, one.limit, _VERDICTS[one.passes])
            for one in found.verdicts
        ),
        none="None.",
    )  # fmt: skip
    return Report(
        title=title,
        sections=(Facts(facts=tuple(facts)), waits, held, tests, places),
        rooms=_OF_READINESS,
    )


_OF_READINESS = (
    "works.bay_held", "works.unknown_bay", "works.sheet_short", "works.sheets_missing",
    "works.lead_untested", "works.lead_paint", "works.earliest_day",
)  # fmt: skip
