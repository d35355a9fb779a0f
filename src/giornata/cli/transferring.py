"""The verb for ways of transfer other than the projector."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from giornata.cli.app import app
from giornata.cli.words import Folder, Json, Quiet, Units, Ways

# What the libraries behind a verb take to load is spent only when the verb is used.


@app.command()
def transfer(
    folder: Folder = Path(),
    way: Annotated[
        Ways | None, typer.Option("--way", help="Write its sheets; left out: hours only.")
    ] = None,
    start: Annotated[
        str | None,
        typer.Option("--from", metavar="LENGTH", help="Chainage; left out: the wall's start."),
    ] = None,
    end: Annotated[
        str | None,
        typer.Option("--to", metavar="LENGTH", help="Chainage; left out: the wall's end."),
    ] = None,
    paper: Annotated[
        str | None,
        typer.Option(metavar="SIZE", help="A4 to A0, Letter, Tabloid; left out: A3 or Tabloid."),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Where they go; left out: transfer/ in the job folder."),
    ] = None,
    units: Units = None,
    json: Json = False,
    quiet: Quiet = False,
) -> int:
    """Hours by grid and pounce, and their sheets.

    Grid sheets: the design in numbered squares of the wall, with each crossing measured. Pounce:
    the design full size in tiles, after an index of them.
    """
    from giornata.cli.speaking import Manner
    from giornata.cli.transfer_words import Request, done

    request = Request(folder=folder, way=way, start=start, end=end, paper=paper, out=out)
    return done(request, Manner(units=units, json=json, quiet=quiet))
