"""Building the job's page: a record from derived results, nothing read and nothing kept."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import urlencode

from giornata.core.foundation import Finding, Severity, System, finding_in_units
from giornata.core.job import Design, JobInputs, JobResults, named_figures
from giornata.web.explaining import figure_cell
from giornata.web.given_grids import given_grids
from giornata.web.locating import finding_boxes
from giornata.web.night_grids import nights_grid
from giornata.web.records import Box, Cell, Choice, FindingEntry, FindingGroup, JobPage, TitleBlock
from giornata.web.tables import (
    Sheet,
    paints_grid,
    price_grid,
    schemes_grid,
    set_ups_grids,
    wall_grid,
    works_grid,
)

__all__ = ["Asked", "asked_of", "fault_entries", "job_page", "title_block"]

_WORDS = {
    Severity.STOP: ("stop", "stops", "Stop"),
    Severity.WARN: ("warning", "warnings", "Warning"),
    Severity.NOTE: ("note", "notes", "Note"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a page was asked to show.

    Parameters
    ----------
    option, colourway : str
        Keys.
    system : System
        The reader's units.
    """

    option: str
    colourway: str
    system: System

    def href(self, **other: str) -> str:
        """Address of the page with something else shown."""
        shown = {"option": self.option, "colourway": self.colourway, "units": str(self.system)}
        return "/?" + urlencode({**shown, **other})


def asked_of(
    inputs: JobInputs, *, option: str | None, colourway: str | None, units: str | None
) -> Asked:
    """What to show: as asked where the job has it, else as the job has chosen."""
    options = {one.key for one in inputs.options}
    colourways = {one.key for one in inputs.colourways}
    systems = {str(system) for system in System}
    return Asked(
        option=option if option in options and option else inputs.option,
        colourway=colourway if colourway in colourways and colourway else inputs.colourway,
        system=System(units if units in systems and units else inputs.title.units),
    )


def title_block(inputs: JobInputs, version: str) -> TitleBlock:
    """The head of a page.

    Parameters
    ----------
    version : str
        Digest of everything the figures follow from.
    """
    title = inputs.title
    return TitleBlock(
        name=title.name,
        place=title.place,
        client=title.client,
        date=title.date.isoformat(),
        version=version,
    )


def job_page(
    results: JobResults, findings: Iterable[Finding], asked: Asked, *, version: str
) -> JobPage:
    """The page of a job.

    Parameters
    ----------
    results : JobResults
        Of the job.
    findings : iterable of Finding
        All of them, those of the artwork file as well.
    asked : Asked
        What to show.
    version : str
        Digest of everything the figures follow from.
    """
    inputs, system = results.inputs, asked.system
    design = next(one for one in results.designs if one.option.key == asked.option)
    figures = named_figures(results)
    sheet = Sheet(
        results=results,
        figures=figures,
        design=design,
        scheme=results.scheme_of(asked.option, asked.colourway),
        system=system,
    )
    own, others = _parted(findings, results, asked)
    entries = tuple(_entry(finding, results, design, system) for finding in own)
    return JobPage(
        title=title_block(inputs, version),
        units=(
            Choice(key="metric", name="Metric", href=asked.href(units="metric"),
                   current=system is System.METRIC),
            Choice(key="us", name="US", href=asked.href(units="us"),
                   current=system is System.US),
        ),
        options=tuple(
            Choice(key=one.key, name=f"{one.key} {one.name}", href=asked.href(option=one.key),
                   current=one.key == asked.option)
            for one in inputs.options
        ),
        colourways=tuple(
            Choice(key=one.key, name=one.name, href=asked.href(colourway=one.key),
                   current=one.key == asked.colourway,
                   colours=tuple(one.colours[p.key] for p in inputs.paints if p.key in one.colours))
            for one in inputs.colourways
        ),
        summary=_summary(sheet),
        schemes=schemes_grid(
            sheet, lambda option, colourway: asked.href(option=option, colourway=colourway)
        ),
        grids=(
            wall_grid(sheet), paints_grid(sheet), works_grid(sheet), price_grid(sheet),
            *set_ups_grids(sheet), nights_grid(sheet), *given_grids(sheet),
        ),
        findings=_grouped(entries),
        left_out=_left_out(others),
        places=_places(entries),
    )  # fmt: skip


def _summary(sheet: Sheet) -> tuple[tuple[str, Cell], ...]:
    scheme = sheet.scheme.key
    asked = (
        ("Net wall", "wall.net_area"),
        ("Edge", f"{sheet.scheme.option.key}.edge"),
        ("Paint", f"{scheme}.paint"),
        ("Hours", f"{scheme}.hours"),
        ("Days to book", f"{scheme}.booked_days"),
        ("Set-ups", "set_ups.set-ups"),
        ("For 1 m²", f"{scheme}.per_square_metre"),
        ("Total", f"{scheme}.total"),
    )
    return tuple(
        (label, figure_cell(sheet.figures, name, sheet.system))
        for label, name in asked
        if name in sheet.figures
    )


def _parted(
    findings: Iterable[Finding], results: JobResults, asked: Asked
) -> tuple[list[Finding], list[Finding]]:
    """Findings of what is shown, and those of another option or colourway."""
    names = {one.key: one.name for one in results.inputs.options}
    hues = {one.key: one.name for one in results.inputs.colourways}
    foreign = [f", option {key}" for key in names if key != asked.option]
    foreign += [f"colourway {name}" for key, name in hues.items() if key != asked.colourway]
    foreign += [
        ending
        for option, name in names.items()
        for colourway, hue in hues.items()
        if (option, colourway) != (asked.option, asked.colourway)
        for ending in (f", {name}, {hue}", f"option {option} in {hue}")
    ]
    own: list[Finding] = []
    others: list[Finding] = []
    for finding in findings:
        away = any(finding.subject.endswith(ending) for ending in foreign)
        (others if away else own).append(finding)
    return own, others


def _left_out(others: list[Finding]) -> str:
    if not others:
        return ""
    counted = f"{len(others)} more" if len(others) > 1 else "1 more"
    return f"{counted} of other options and colourways: show those to read them."


def _entry(finding: Finding, results: JobResults, design: Design, system: System) -> FindingEntry:
    boxes = finding_boxes(finding, results, design)
    return _plain_entry(finding_in_units(finding, system), boxes)


def _plain_entry(finding: Finding, boxes: tuple[Box, ...] = ()) -> FindingEntry:
    return FindingEntry(
        severity=str(finding.severity),
        word=_WORDS[finding.severity][2],
        code=finding.code,
        subject=finding.subject,
        message=finding.message,
        remedy=finding.remedy,
        source="" if finding.place is None else str(finding.place),
        boxes=tuple(_rounded(box) for box in boxes),
    )


def _rounded(box: Box) -> Box:
    x0, y0, x1, y1 = (round(float(value), 3) for value in box)
    return (x0, y0, x1, y1)


def fault_entries(findings: Iterable[Finding]) -> tuple[FindingGroup, ...]:
    """Findings of a job that cannot be worked out."""
    return _grouped(tuple(_plain_entry(finding) for finding in findings))


def _grouped(entries: tuple[FindingEntry, ...]) -> tuple[FindingGroup, ...]:
    groups = []
    for severity, (one, many, _) in _WORDS.items():
        here = tuple(entry for entry in entries if entry.severity == severity)
        if here:
            title = f"{len(here)} {one if len(here) == 1 else many}"
            groups.append(FindingGroup(severity=str(severity), title=title, entries=here))
    return tuple(groups)


def _places(entries: Iterable[FindingEntry]) -> tuple[Box, ...]:
    """Of what is more than a note, the first place of each, each once."""
    grave = [entry for entry in entries if entry.severity != Severity.NOTE and entry.boxes]
    return tuple(dict.fromkeys(entry.boxes[0] for entry in grave))
