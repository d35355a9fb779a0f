"""The proposal for the client: the wall in every option and colourway, the price and its terms."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from giornata.core.documents.drawing import Sheet
from giornata.core.documents.price_words import (
    basis_words,
    change_words,
    price_lines,
    rate_words,
    stage_table,
)
from giornata.core.documents.proposal_words import (
    assumption_words,
    caution_words,
    needs_words,
    stop_words,
)
from giornata.core.documents.scales import PaperSize, Scale, card_paper
from giornata.core.documents.side_by_side import side_by_side
from giornata.core.documents.title_block import BAR_HEIGHT, bars, heading
from giornata.core.documents.wall_pictures import ribbons, wall_cuts
from giornata.core.documents.written import Section, SignBlock, TextTable, WrittenPaper
from giornata.core.foundation import Finding, System, shown_day
from giornata.core.job import JobResults, Scheme

__all__ = ["TEXT_MARGIN", "proposal"]

TEXT_MARGIN = 15.0
"""Margin of a written paper, left and right. [mm]"""
_HEAD_AND_FOOT = 62.0
"""What margins, a heading and the scale bar take from a page of drawings. [mm]"""


def proposal(results: JobResults, findings: Sequence[Finding], system: System) -> WrittenPaper:
    """The proposal of a job, priced for the chosen option and colourway.

    Parameters
    ----------
    findings : sequence of Finding
        Of the whole job; where one holds it up, the paper says that it is a draft.
    system : System
        The client's units; the price keeps the unit it is billed in.

    Notes
    -----
    Hours and what an hour earns are the painter's own business and stand on the option sheet.
    """
    scheme, terms = results.scheme, results.inputs.price
    head = heading(results)
    paper = card_paper(system)
    until = head.date + timedelta(days=terms.valid_days)
    stages = stage_table(scheme)
    return WrittenPaper(
        name="Proposal",
        head=head,
        facts=(
            ("Place", head.place),
            ("Client", head.client),
            ("Date", shown_day(head.date)),
            ("Valid until", shown_day(until)),
            ("Priced here", _scheme_name(scheme)),
            ("Price", f"{_total(scheme)}{'' if terms.tax else ', no tax added'}"),
        ),
        warning=stop_words(findings),
        paper=paper,
        sections=(
            _ribbon_section(results, paper, system),
            *_cut_sections(results, paper, system),
            Section(
                title="Options and colourways side by side",
                tables=side_by_side(results, system, for_painter=False),
                new_page=True,
            ),
            Section(
                title=f"Price of {_scheme_name(scheme)}",
                words=(basis_words(scheme, results.wall.net_area), rate_words(scheme, terms)),
                tables=(price_lines(scheme, terms),),
            ),
            Section(title="Payment", tables=() if stages is None else (stages,),
                    words=() if stages else ("The whole sum is due on completion.",)),
            Section(title="When the price changes", points=change_words(scheme, terms)),
            *_exclusions(terms.exclusions),
            Section(title="What we need from you", points=needs_words(results, system)),
            Section(title="What the price rests on", points=assumption_words(results, system)),
            Section(title="Safety", points=caution_words(results)),
            Section(
                title="Acceptance",
                words=((f"Valid until {shown_day(until)}. Tick what is ordered; the price of "
                       "another option or colourway stands in the table above."),),
                signing=_signing(results),
            ),
        ),
    )  # fmt: skip


def _exclusions(points: Sequence[str]) -> tuple[Section, ...]:
    return (Section(title="Not in the price", points=tuple(points)),) if points else ()


def _scheme_name(scheme: Scheme) -> str:
    option, colourway = scheme.option, scheme.colourway
    return f"option {option.key}, {option.name}, in {colourway.name}"


def _total(scheme: Scheme) -> str:
    total = scheme.quote.total
    return f"{total.value:,} {total.unit}"


def _ribbon_section(results: JobResults, paper: PaperSize, system: System) -> Section:
    pictures, scale = ribbons(
        results.wall,
        results.schemes,
        results.designs,
        results.inputs.paints,
        results.scheme,
        paper.short - 2 * TEXT_MARGIN,
        system,
    )
    return Section(
        title=f"The whole wall, {_at(scale)}",
        words=(_ruler_words(results, system),),
        pictures=pictures,
        bar=_bar(scale, paper, system),
        tables=(_colour_table(results),),
    )


def _cut_sections(results: JobResults, paper: PaperSize, system: System) -> list[Section]:
    """A page of drawings for each option, in the chosen colourway."""
    sections = []
    colourway = results.scheme.colourway
    for design in results.designs:
        pictures, scale = wall_cuts(
            results.wall,
            design,
            colourway,
            results.inputs.paints,
            paper.short - 2 * TEXT_MARGIN,
            paper.long - _HEAD_AND_FOOT,
            system,
        )
        option = design.option
        sections.append(
            Section(
                title=f"Option {option.key}, {option.name}, in {colourway.name}, {_at(scale)}",
                pictures=pictures,
                bar=_bar(scale, paper, system),
                new_page=True,
            )
        )
    return sections


def _ruler_words(results: JobResults, system: System) -> str:
    unit = "feet" if system is System.US else "metres"
    return f"Datum: {results.wall.datum}. Numbers below the wall are {unit} from there."


def _bar(scale: Scale, paper: PaperSize, system: System) -> Sheet:
    width = paper.short - 2 * TEXT_MARGIN
    items = bars(scale, system, 0.3, width - 0.3, BAR_HEIGHT, "")
    return Sheet(name=f"scale {scale.ratio}", width=width, height=BAR_HEIGHT, items=items)


def _colour_table(results: JobResults) -> TextTable:
    """The colours of each colourway, as patches."""
    paints, colourways = results.inputs.paints, results.inputs.colourways
    return TextTable(
        heads=("Colours", *(colourway.name for colourway in colourways)),
        rows=tuple((f"{one.number} {one.name}", *("" for _ in colourways)) for one in paints),
        wide=tuple(range(1, len(colourways) + 1)),
        swatches=tuple(
            (row, column, colourway.colours[paint.key])
            for row, paint in enumerate(paints)
            for column, colourway in enumerate(colourways, start=1)
        ),
    )


def _at(scale: Scale) -> str:
    return f"drawn {scale.name}"


def _signing(results: JobResults) -> tuple[SignBlock, ...]:
    lines = ("Name", "Place and date", "Signature")
    return (
        SignBlock(ticks=tuple(f"{s.option.key} {s.option.name} in {s.colourway.name}"
                              for s in results.schemes)),
        SignBlock(ticks=("For the client",), lines=lines),
        SignBlock(ticks=("The painter",), lines=lines),
    )  # fmt: skip
