"""The verbs that close the drawing: check measurements, and how both ends meet."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from giornata.cli.app import app
from giornata.cli.words import All, Folder, Json, Quiet, Units

# What the libraries behind a verb take to load is spent only when the verb is used.


@app.command()
def close(
    folder: Folder = Path(),
    drawn: Annotated[
        list[int] | None,
        typer.Option(metavar="SET-UP", min=1, help="This set-up is drawn; goes into the log."),
    ] = None,
    report: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write the closing report as PDF.")
    ] = None,
    pictures: Annotated[
        bool,
        typer.Option(
            "--pictures",
            help="Write the pictures of squared set-ups still to draw by the moved design.",
        ),
    ] = False,
    new_marks: Annotated[
        bool,
        typer.Option(
            "--new-marks",
            help="Write the marks to chalk into the job file, and those they replace as lost.",
        ),
    ] = False,
    units: Units = None,
    every: All = False,
    json: Json = False,
    quiet: Quiet = False,
) -> int:
    """How both ends of the drawing meet.

    All marks, set-ups and check measurements adjusted together: what is wrong, how far seams and
    fronts miss, which measurement helps most, where to put what is left over, and for the set-ups
    still to draw which marks to chalk anew.
    """
    from giornata.cli.closing_doing import closed
    from giornata.cli.speaking import Manner

    manner = Manner(units=units, json=json, quiet=quiet, every=every)
    return closed(folder, tuple(drawn or ()), report, manner, pictures=pictures,
                  new_marks=new_marks)  # fmt: skip


@app.command()
def measure(
    folder: Folder = Path(),
    read: Annotated[
        list[str] | None,
        typer.Option(
            metavar="'KIND MARK, MARK LENGTH'",
            help="What was read: 'distance M03 lower, M04 lower 6.402 m'. Kinds: distance, "
            "diagonal, level, plumb, chainage.",
        ),
    ] = None,
    known_to: Annotated[
        str | None,
        typer.Option(metavar="LENGTH", help="Its standard error: '2 mm'; left out: the usual."),
    ] = None,
    undo: Annotated[
        str | None, typer.Option(metavar="NAME", help="Take back the measurement of this name.")
    ] = None,
    units: Units = None,
    every: All = False,
    json: Json = False,
    quiet: Quiet = False,
) -> int:
    """Write down check measurements between marks.

    Without one it lists those there are. A distance or diagonal is pulled straight from mark to
    mark. A level is how much higher the second mark is, or the level of one; plumb: how far the
    second is right of the first's plumb line; chainage: of one mark from the datum, by other means
    than the running tape.
    """
    from giornata.cli.closing_doing import measured
    from giornata.cli.speaking import Manner

    manner = Manner(units=units, json=json, quiet=quiet, every=every)
    return measured(folder, tuple(read or ()), known_to, undo, manner)
