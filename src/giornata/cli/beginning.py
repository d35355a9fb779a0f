"""Verbs that begin a job: from a template, or from the demo."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from giornata.cli.app import app
from giornata.cli.words import All, Json, Quiet, Units, UnitSystem

# What the libraries behind a verb take to load is spent only when the verb is used.


@app.command()
def new(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="A folder that is empty or not there yet.")
    ],
    units: Units = None,
    json: Json = False,
) -> int:
    """Begin a job from a small wall and artwork.

    They are there to be changed; every key of job.toml is explained beside it.
    """
    from giornata.cli.few_words import said
    from giornata.cli.speaking import Manner
    from giornata.desk import begin_job

    begin_job(folder, units=str(units or UnitSystem.METRIC))
    return said(
        f"A job is begun in {folder}",
        (
            ("folder", "folder", str(folder)),
            ("change", "change it in", str(folder / "job.toml")),
            ("drawings", "drawings go to", str(folder / "artwork")),
            ("next", "then", f"giornata check {folder}"),
        ),
        Manner(units=units, json=json),
    )


@app.command()
def demo(
    to: Annotated[Path, typer.Option("--to", metavar="FOLDER", help="Where it goes.")] = Path(
        "demo-job"
    ),
    units: Units = None,
    every: All = False,
    json: Json = False,
    quiet: Quiet = False,
) -> int:
    """Copy the demo job and make its papers.

    Where it lies there already as it came, only its papers are made again.
    """
    from giornata.cli.papers import make_pack
    from giornata.cli.speaking import Manner
    from giornata.desk import begin_demo

    begin_demo(to)
    return make_pack(to, Manner(units=units, json=json, quiet=quiet, every=every), pages=True)
