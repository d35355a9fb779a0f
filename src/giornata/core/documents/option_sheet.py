"""The painter's own option sheet: what each option takes, costs and earns, and what is doubtful."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from giornata.core.documents.display import figure_text
from giornata.core.documents.price_words import basis_words, price_lines, rate_words
from giornata.core.documents.proposal_words import stop_words
from giornata.core.documents.scales import card_paper
from giornata.core.documents.side_by_side import side_by_side
from giornata.core.documents.title_block import heading
from giornata.core.documents.work_tables import tin_name
from giornata.core.documents.written import Section, TextTable, WrittenPaper
from giornata.core.foundation import (
    Figure,
    Finding,
    Severity,
    System,
    finding_in_units,
    shown_column,
    shown_day,
)
from giornata.core.job import JobResults, Scheme

__all__ = ["option_sheet"]


def option_sheet(results: JobResults, findings: Sequence[Finding], system: System) -> WrittenPaper:
    """The option sheet of a job, for the painter alone.

    Parameters
    ----------
    findings : sequence of Finding
        Of the artwork and of all steps: stops and warnings are all printed, alike notes once.
    """
    scheme, head = results.scheme, heading(results)
    option, colourway = scheme.option, scheme.colourway
    chosen = f"option {option.key}, {option.name}, in {colourway.name}"
    return WrittenPaper(
        name="Option sheet",
        head=head,
        facts=(
            ("Place", head.place),
            ("Client", head.client),
            ("Date", shown_day(head.date)),
            ("Chosen", chosen),
            ("For", "the painter alone: hours and earnings"),
        ),
        warning=stop_words(findings),
        paper=card_paper(system),
        sections=(
            Section(
                title="Options and colourways side by side",
                tables=side_by_side(results, system, for_painter=True),
            ),
            Section(
                title=f"Price of {chosen}",
                words=(
                    basis_words(scheme, results.wall.net_area),
                    rate_words(scheme, results.inputs.price),
                ),
                tables=(price_lines(scheme, results.inputs.price),),
                new_page=True,
            ),
            *_floor_section(scheme, system),
            Section(title="Hours", tables=(_hours(scheme, system),)),
            *_extra_coats(scheme, system),
            Section(title="Paint to buy", tables=(_paint(scheme, system),)),
            Section(
                title=f"Findings: {len(findings)}" if findings else "No findings",
                tables=(_findings(findings, system),) if findings else (),
            ),
        ),
    )


def _floor_section(scheme: Scheme, system: System) -> tuple[Section, ...]:
    floor = scheme.floor
    if floor is None:
        return (
            Section(
                title="Price floor",
                words=(
                    (
                        "What an hour must earn was not decided, so no floor is given. Set "
                        "[labour] hour in job.toml to have one."
                    ),
                ),
            ),
        )
    currency = scheme.quote.total.unit
    every = (
        ("Paint, lift and fixed sums", floor.outlay),
        ("Hours at what an hour must earn", floor.wages),
        ("Price floor", floor.floor),
        ("Subtotal of the quote, over the floor", floor.margin),
        ("Earned in an hour", floor.earned_per_hour),
    )
    _, texts = shown_column([one.value for _, one in every], currency, system)
    table = TextTable(
        heads=("Price floor", currency),
        rows=tuple((name, text) for (name, _), text in zip(every, texts, strict=True)),
        right=(1,),
        strong=(2,),
    )
    return (Section(title="Price floor", tables=(table,)),)


def _hours(scheme: Scheme, system: System) -> TextTable:
    """Person-hours by task, and those of the nights."""
    labour = scheme.plan.labour
    lines = [(line.task.value.capitalize(), line.name, str(line.coats or ""), line.duration)
             for line in labour.lines]  # fmt: skip
    lines.append(("Painting", "", "", labour.total))
    strong = [len(lines) - 1]
    night = scheme.candidate.night_time
    if night is not None:
        lines += [("Nights", "all people", "", night), ("Together", "", "", scheme.row.hours)]
        strong.append(len(lines) - 1)
    unit, texts = _column([line[3] for line in lines], "s", system)
    return TextTable(
        heads=("Work", "Paint", "Coats", f"Hours [{unit}]"),
        rows=tuple((*line[:3], text) for line, text in zip(lines, texts, strict=True)),
        right=(2, 3),
        strong=tuple(strong),
        wide=(0, 1),
    )


def _extra_coats(scheme: Scheme, system: System) -> tuple[Section, ...]:
    extras = scheme.extra_coats
    if not extras:
        return ()
    currency = scheme.quote.total.unit
    hour_unit, hours = _column([one.hours for one in extras], "s", system)
    paint_unit, paint = _column([one.volume for one in extras], "m³", system)
    columns = [
        (f"Hours [{hour_unit}]", hours),
        (f"Paint [{paint_unit}]", paint),
        (f"Tins [{currency}]", _column([one.paint_cost for one in extras], currency, system)[1]),
        (
            f"Tins and hours [{currency}]",
            _column([one.cost for one in extras], currency, system)[1],
        ),
    ]
    columns = [(head, texts) for head, texts in columns if any(texts)]
    table = TextTable(
        heads=("One more coat of", "Coats then", *(head for head, _ in columns)),
        rows=tuple(
            (
                f"{one.number} {one.name}" if one.number else one.name,
                str(one.coats),
                *(texts[row] for _, texts in columns),
            )
            for row, one in enumerate(extras)
        ),
        right=tuple(range(1, len(columns) + 2)),
    )
    return (Section(title="What one more coat adds", tables=(table,)),)


def _paint(scheme: Scheme, system: System) -> TextTable:
    order = scheme.plan.order
    lines = order.lines
    currency = scheme.quote.total.unit
    unit, needs = _column([line.need for line in lines], "m³", system)
    _, reserves = _column([line.reserve for line in lines], "m³", system)
    _, left_over = _column([line.left_over for line in lines], "m³", system)
    _, costs = _column([line.cost for line in lines], currency, system)
    tins = [
        " + ".join(f"{n} × {tin_name(tin, system)}" for tin, n in line.tins.for_reserve.counts)
        if line.tins
        else figure_text(line.bought, system)
        for line in lines
    ]
    rows = [
        (f"{line.number} {line.name}" if line.number else line.name, line.layer.value, *texts)
        for line, *texts in zip(lines, needs, reserves, tins, left_over, costs, strict=True)
    ]
    if order.volume is not None:
        (whole,) = _column([order.volume], "m³", system)[1]
        (cost,) = _column([order.cost], currency, system)[1]
        rows.append(("All paints", "", whole, "", "", "", cost))
    return TextTable(
        heads=(
            "Paint",
            "Coat",
            f"Need [{unit}]",
            f"Reserve [{unit}]",
            "Buy",
            f"Left [{unit}]",
            currency,
        ),
        rows=tuple(rows),
        right=(2, 3, 5, 6),
        strong=(len(rows) - 1,) if order.volume is not None else (),
        wide=(0, 4),
        swatches=tuple(
            (row, 0, line.colour_hex) for row, line in enumerate(lines) if line.colour_hex
        ),
    )


def _column(
    figures: Sequence[Figure | None], unit: str, system: System
) -> tuple[str, tuple[str, ...]]:
    values: list[float | Decimal | None] = [
        None if figure is None else figure.value for figure in figures
    ]
    return shown_column(values, unit, system)


def _findings(findings: Sequence[Finding], system: System) -> TextTable:
    """Stops, warnings, then notes; of alike notes the first speaks for all."""
    said = [finding_in_units(one, system) for one in findings]
    return TextTable(
        heads=("", "About", "Finding", "What to do"),
        rows=tuple(
            (severity.value, *texts)
            for severity in Severity
            for texts in _texts([one for one in said if one.severity is severity], severity)
        ),
        wide=(1, 2, 2, 3),
    )


def _texts(findings: Sequence[Finding], severity: Severity) -> Iterator[tuple[str, str, str]]:
    """Rows of one severity: whom it is about, what is found, what to do."""
    alike: dict[str, list[Finding]] = {}
    for one in findings:
        alike.setdefault(one.code, []).append(one)
    for group in alike.values():
        first, others = group[0], group[1:]
        if severity is not Severity.NOTE:
            said = ""
            for one in group:
                yield one.subject, one.message, "The same." if one.remedy == said else one.remedy
                said = one.remedy
        elif others:
            more = f"{len(others)} more alike (giornata findings lists them)."
            yield (
                f"{first.subject}, and {len(others)} more",
                f"{first.message} {more}",
                first.remedy,
            )
        else:
            yield first.subject, first.message, first.remedy
