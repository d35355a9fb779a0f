"""The verb that prints targets for control marks."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from giornata.cli.app import app
from giornata.cli.words import Folder, Json, Quiet, Units

# What the libraries behind a verb take to load is spent only when the verb is used.


@app.command()
def targets(
    folder: Folder = Path(),
    mark: Annotated[
        list[str] | None,
        typer.Option("--mark", metavar="NAME", help="Only for this mark; may be repeated."),
    ] = None,
    set_up: Annotated[
        list[int] | None,
        typer.Option("--set-up", metavar="N", help="Only for marks this set-up aims at."),
    ] = None,
    paper: Annotated[
        str | None, typer.Option(metavar="SIZE", help="A4 or larger; left out: A4 or Letter.")
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Where; left out: target-sheets.pdf in the job folder."),
    ] = None,
    units: Units = None,
    json: Json = False,
    quiet: Quiet = False,
) -> int:
    """Printed targets for control marks, in place of chalk.

    One sheet for each mark, to hang where chalk crosses do not show in photos (docs/photos.md).
    """
    from giornata.cli.speaking import Manner
    from giornata.cli.target_words import Request, done

    request = Request(
        folder=folder, marks=tuple(mark or ()), set_ups=tuple(set_up or ()), paper=paper, out=out
    )
    return done(request, Manner(units=units, json=json, quiet=quiet))
