"""Speaking: what every verb does around its own work: derive with progress, print, exit code."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from giornata.cli.finding_print import print_own_findings
from giornata.cli.json_form import finding_form, report_form, written
from giornata.cli.printing import any_encoding, console, plain, print_report
from giornata.cli.report import Report
from giornata.core.foundation import Finding, Severity, System, finding_in_units, worst

__all__ = ["Manner", "progress_bar", "speak"]

DONE, STOPPED = 0, 1
_STEPS = {
    "wall": "wall",
    "wording": "artwork",
    "decided": "artwork",
    "flat": "artwork",
    "painted": "artwork",
    "placed": "setting out",
    "take_off": "take-off",
    "set_ups": "set-ups",
    "marks": "control marks",
    "traced": "set-ups",
    "nights": "nights",
    "power": "nights",
    "transfers": "nights",
    "transfer_hours": "nights",
    "works": "paint and hours",
    "extra_coats": "paint and hours",
    "scheme": "price",
    "compared": "options",
    "contrasts": "colourways",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How a verb is to speak.

    Parameters
    ----------
    units : str or None
        "metric" or "us"; None: as the job says.
    json : bool
        As JSON instead of text.
    quiet : bool
        Without progress.
    every : bool
        Long tables whole.
    """

    units: str | None = None
    json: bool = False
    quiet: bool = False
    every: bool = False

    def system(self, of_job: str) -> System:
        """The reader's units, given those of the job."""
        return System(self.units or of_job)

    @property
    def progress(self) -> bool:
        """Whether a bar is wanted and there is a terminal to draw it on."""
        return not (self.json or self.quiet) and sys.stderr.isatty()


Progress = Callable[[str, int, int], None]


@contextmanager
def progress_bar(manner: Manner, words: Mapping[str, str] = _STEPS) -> Iterator[Progress | None]:
    """A bar on stderr that a derivation tells how far it is; None where none is wanted."""
    if not manner.progress:
        yield None
        return
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    columns = (TextColumn("{task.description:<18}", markup=False), BarColumn(),
               MofNCompleteColumn())  # fmt: skip
    with Progress(*columns, console=console(errors=True), transient=True) as bar:
        task = bar.add_task("", total=None)

        def tell(step: str, done: int, of: int) -> None:
            name, _, rest = step.partition(".")
            said = " ".join(part for part in (words.get(name, name), rest) if part)
            bar.update(task, description=plain(said), completed=done, total=of)

        yield tell


def speak(
    report: Report,
    *,
    manner: Manner,
    units: str = "metric",
    folder: Path | None = None,
    job: Mapping[str, Any] | None = None,
    digest: str | None = None,
    findings: Sequence[Finding] = (),
    only: str | None = None,
) -> int:
    """Print a report with its findings, or write it as JSON; the exit code of the verb.

    Parameters
    ----------
    units : str
        Units of the job.
    folder : Path or None
        The job folder, for the hint where all findings are.
    job : mapping or None
        What JSON says of the job.
    digest : str or None
        Of the job file.
    findings : sequence of Finding
        All that are known to the verb; the exit code goes by them.
    only : str or None
        Severity of those that are said.
    """
    system = manner.system(units)
    said = [
        finding_in_units(finding, system)
        for finding in findings
        if only in (None, str(finding.severity))
    ]
    any_encoding(sys.stdout, sys.stderr)
    if manner.json:
        form = {
            "job": job,
            "digest": digest,
            "result": report_form(report, system),
            "findings": [finding_form(finding) for finding in said],
        }
        sys.stdout.write(written(form, sys.stdout.encoding))
    else:
        to = console()
        print_report(report, system, every=manner.every, to=to)
        print_own_findings(said, report.rooms, str(folder or "."), to, every=manner.every)
    return STOPPED if worst(findings) is Severity.STOP else DONE
