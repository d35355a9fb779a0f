"""The words that verbs take: arguments and options, each described once."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

__all__ = [
    "All",
    "ColourwayKey",
    "Folder",
    "Json",
    "OptionKey",
    "Quiet",
    "Severities",
    "UnitSystem",
    "Units",
    "Ways",
]  # fmt: skip


class UnitSystem(StrEnum):
    """Units a reader wants."""

    METRIC = "metric"
    US = "us"


class Severities(StrEnum):
    """How far a finding holds up the work."""

    STOP = "stop"
    WARN = "warn"
    NOTE = "note"


class Ways(StrEnum):
    """Ways of transfer other than the projector."""

    GRID = "grid"
    POUNCE = "pounce"


Folder = Annotated[
    Path, typer.Argument(metavar="FOLDER", help="The job folder.", show_default="here")
]
Units = Annotated[
    UnitSystem | None,
    typer.Option("--units", help="Print in these units; left out: as the job says."),
]
Json = Annotated[bool, typer.Option("--json", help="Write JSON instead of text.")]
Quiet = Annotated[bool, typer.Option("--quiet", help="Draw no progress bar.")]
All = Annotated[bool, typer.Option("--all", help="Print long tables whole.")]
OptionKey = Annotated[
    str | None,
    typer.Option("--option", metavar="KEY", help="This option; left out: the chosen one."),
]
ColourwayKey = Annotated[
    str | None,
    typer.Option("--colourway", metavar="KEY", help="This colourway; left out: the chosen one."),
]
