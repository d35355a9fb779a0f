"""Derive: everything that follows from a job, with all its findings in order."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields, replace
from typing import Any

from giornata.core.artwork import Mapped, Option
from giornata.core.foundation import Finding, Severity
from giornata.core.job.inputs import JobInputs
from giornata.core.job.marking import Marked
from giornata.core.job.night_work import before_their_date
from giornata.core.job.recipe import recipe
from giornata.core.job.results import Design, JobResults, Scheme
from giornata.core.job.steps import Memo, Progress, run

__all__ = ["derive"]

_Findings = tuple[Finding, ...]


def derive(
    inputs: JobInputs,
    *,
    memo: Memo,
    progress: Progress | None = None,
    stop: Callable[[], bool] = lambda: False,
    mapped: Mapped = map,
) -> JobResults:
    """Everything that follows from a job's inputs.

    Parameters
    ----------
    memo : mutable mapping
        Results of earlier runs; what a change does not touch is taken from it.
    progress, stop : callable, optional
        As in `run`.
    mapped : callable
        As in `artwork.flattened`.

    Raises
    ------
    Stopped
        If ``stop`` said so.
    NoWallError
        If the readings give no wall; ``findings`` says why.
    """
    sources = {field.name: getattr(inputs, field.name) for field in fields(inputs)}
    sources |= {f"option.{option.key}": option for option in inputs.options}
    sources |= {f"colourway.{one.key}": one for one in inputs.colourways}
    done = run(recipe(inputs, mapped=mapped), sources, memo=memo, progress=progress, stop=stop)
    wall, wall_findings = done["wall"]
    set_ups, set_up_findings = done["set_ups"]
    marked: Marked = done["marks"]
    nights = {option.key: done[f"nights.{option.key}"] for option in inputs.options}
    designs = tuple(
        Design(
            option=option,
            flat=done[f"flat.{option.key}"],
            placed=done[f"placed.{option.key}"],
            take_off=done[f"take_off.{option.key}"],
            making=done[f"making.{option.key}"],
            seams=done[f"seams.{option.key}"][0],
            traced=done[f"traced.{option.key}"],
            nights=nights[option.key][0],
            transfers=done[f"transfers.{option.key}"],
        )
        for option in inputs.options
    )
    schemes = tuple(
        done[f"scheme.{option.key}.{colourway.key}"]
        for option in inputs.options
        for colourway in inputs.colourways
    )
    found: list[Iterable[Finding]] = [wall_findings, _design_findings(inputs.options, done)]
    rooms, room_findings = done["rooms"]
    found.append(room_findings)
    found += [set_up_findings, marked.findings, done["coarse_marks"]]
    found += [done[f"seams.{inputs.option}"][1]]
    found += [planned[1] for planned in nights.values()]
    found.append(before_their_date(inputs.nights, inputs.title.date))
    power, power_found = done["power"]
    other_ways, other_found = done["transfer_hours"]
    found += [power_found, other_found]
    prepared, held = done.get("preparation", (None, ()))
    found += [held, done["decisions"], done["compared"], *_scheme_findings(inputs, schemes)]
    found += [done["contrasts"], done["wording"]]
    return JobResults(
        inputs=inputs,
        wall=wall,
        designs=designs,
        schemes=tuple(scheme[0] for scheme in schemes),
        rooms=rooms[0][1] if rooms else (),
        set_ups=set_ups,
        marks=marked.marks,
        mark_errors=marked.errors,
        seam_misses=marked.misses,
        preparation=prepared,
        power=power,
        other_ways=other_ways,
        findings=tuple(dict.fromkeys(finding for group in found for finding in group)),
    )


def _design_findings(options: Sequence[Option], done: Mapping[str, Any]) -> list[Finding]:
    """Findings of all options; one that not every option has says whose it is."""
    each = {
        option.key: [
            *done[f"decided.{option.key}"][1],
            *done[f"flat.{option.key}"].findings,
            *done[f"painted.{option.key}"][1],
            *done[f"placed.{option.key}"].findings,
            *done[f"take_off.{option.key}"].findings,
            *done[f"hidden.{option.key}"],
        ]
        for option in options
    }
    common = set.intersection(*(set(findings) for findings in each.values())) if each else set()
    return [
        finding
        if finding in common
        else replace(finding, subject=f"{finding.subject}, option {key}")
        for key, findings in each.items()
        for finding in findings
    ]


def _scheme_findings(
    inputs: JobInputs, schemes: Sequence[tuple[Scheme, _Findings]]
) -> list[_Findings]:
    """Findings of all schemes; one that not every scheme has says whose it is.

    Of schemes that are not chosen, only what is more than a note.
    """
    each = [set(findings) for _, findings in schemes]
    common = set.intersection(*each) if each else set()
    return [
        findings
        if (scheme.option.key, scheme.colourway.key) == (inputs.option, inputs.colourway)
        else tuple(
            one
            if one in common or one.subject == _called(scheme)
            else replace(one, subject=f"{one.subject}, {_called(scheme)}")
            for one in findings
            if one.severity is not Severity.NOTE
        )
        for scheme, findings in schemes
    ]


def _called(scheme: Scheme) -> str:
    return f"{scheme.option.name}, {scheme.colourway.name}"
