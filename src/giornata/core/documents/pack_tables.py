"""All tables of a job pack, in the order of its workbook."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from giornata.core.documents.given_tables import not_flat_table, point_table, reading_table
from giornata.core.documents.making_tables import (
    area_place_table,
    bend_table,
    foot_table,
    ground_table,
    roller_table,
)
from giornata.core.documents.narrow_tables import narrow_table, smallest_table
from giornata.core.documents.not_projected import left_out_table
from giornata.core.documents.site_tables import mark_table, set_up_table
from giornata.core.documents.tables import Column, PrintedTable, Table, printed_table
from giornata.core.documents.take_off_tables import bill_table, edge_table, take_off_table
from giornata.core.documents.work_tables import (
    extra_coat_table,
    option_table,
    paint_order_table,
    price_table,
)
from giornata.core.foundation import Finding, System, finding_in_units
from giornata.core.job import JobResults

__all__ = ["finding_table", "job_table", "pack_tables", "table_names"]

_ALWAYS = (
    "job", "options", "price", "take-off", "edges", "bill", "smallest", "narrow-places", "rollers",
    "edge-bends", "areas-by-bay", "at-the-ground", "feet",
    "paint-order", "one-more-coat", "marks", "set-ups", "findings",
)  # fmt: skip


def table_names(results: JobResults) -> tuple[str, ...]:
    """Names of the tables of a pack, in their order."""
    return (*_ALWAYS[:-1], *(table.name for table in _where_any(results)), _ALWAYS[-1])


def _where_any(results: JobResults) -> tuple[Table, ...]:
    """Tables that only some jobs have: what is not projected, readings, what is not flat colour."""
    every = (
        left_out_table(results), point_table(results.wall), reading_table(results.wall),
        not_flat_table(results),
    )  # fmt: skip
    return tuple(table for table in every if table.rows)


def pack_tables(
    results: JobResults, findings: Sequence[Finding], digest: str, system: System
) -> tuple[PrintedTable, ...]:
    """The tables of a job in the reader's units: the job itself first, the findings last.

    Parameters
    ----------
    findings : sequence of Finding
        Of the artwork and of all steps.
    digest : str
        Of everything the results follow from.
    """
    scheme = results.scheme
    tables = (
        job_table(results, digest),
        option_table(results),
        price_table(scheme),
        take_off_table(results.designs),
        edge_table(results.designs),
        bill_table(results.designs),
        smallest_table(results.designs, results.inputs.tools.registration),
        narrow_table(results.designs),
        roller_table(results.designs),
        bend_table(results.designs),
        area_place_table(results.designs),
        ground_table(results.designs),
        foot_table(results.designs),
        paint_order_table(scheme, system),
        extra_coat_table(scheme),
        mark_table(results),
        set_up_table(results),
        *_where_any(results),
        finding_table([finding_in_units(one, system) for one in findings]),
    )
    return tuple(printed_table(table, system) for table in tables)


def job_table(results: JobResults, digest: str) -> Table:
    """What the other tables were made from."""
    inputs, scheme = results.inputs, results.scheme
    title = inputs.title
    until = title.date + timedelta(days=inputs.price.valid_days)
    quoted = scheme.quote
    rows = (
        ("Job", title.name),
        ("Place", title.place),
        ("Client", title.client),
        ("Date", title.date.isoformat()),
        ("Price valid until", until.isoformat()),
        ("Option", f"{scheme.option.key} {scheme.option.name}"),
        ("Colourway", scheme.colourway.name),
        ("Billed", f"{quoted.billed_area.value} {quoted.unit} of {quoted.basis}"),
        ("Datum", results.wall.datum),
        ("Made from job", digest),
    )
    return Table(
        name="job",
        title="The job",
        columns=(Column(head="What"), Column(head="Is")),
        rows=rows,
    )


def finding_table(findings: Sequence[Finding]) -> Table:
    """Findings, those that hold up the job first."""
    order = {"stop": 0, "warn": 1, "note": 2}
    return Table(
        name="findings",
        title="Findings: what is doubtful, and what to do about it",
        columns=tuple(
            Column(head=head) for head in ("Severity", "Code", "About", "Finding", "What to do")
        ),
        rows=tuple(
            (one.severity.value, one.code, one.subject, one.message, one.remedy)
            for one in sorted(findings, key=lambda one: order[one.severity.value])
        ),
    )
