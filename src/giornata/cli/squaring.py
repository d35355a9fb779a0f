"""The verb that squares a set-up's picture on its marks."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from giornata.cli.app import app
from giornata.cli.words import All, Folder, Json, Quiet, Units


class Shown(StrEnum):
    """Which of a set-up's pictures stood on the wall while its crosses were measured."""

    PLANNED = "planned"
    SQUARED = "squared"


# What the libraries behind a verb take to load is spent only when the verb is used.


@app.command(context_settings={"ignore_unknown_options": False})
def square(
    set_up: Annotated[
        int, typer.Argument(metavar="SET-UP", min=1, help="Its number, as on its card.")
    ],
    folder: Folder = Path(),
    seen: Annotated[
        list[str] | None,
        typer.Option(
            metavar="'MARK X Y'",
            help="Where a mark lies in the picture, in the projector's own pixels: 'M03 upper "
            "812.4 77.0'.",
        ),
    ] = None,
    fell: Annotated[
        list[str] | None,
        typer.Option(
            metavar="'MARK RIGHT, UP'",
            help="How far right and up of its mark a cross fell: 'M03 upper 34 mm, -12 mm'.",
        ),
    ] = None,
    line: Annotated[
        list[str] | None,
        typer.Option(
            metavar="'level HEIGHT: X Y'",
            help="With marks: a pixel on a level line of that height, or 'plumb CHAINAGE: X Y'.",
        ),
    ] = None,
    file: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="The same, one mark a line (pixels end in px), or CSV."),
    ] = None,
    photo: Annotated[
        Path | None,
        typer.Option(
            "--photo", metavar="FILE", help="Photo of its pattern; the crosses are found in it."
        ),
    ] = None,
    negative: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="With --photo: of the pattern's negative."),
    ] = None,
    white: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="With --photo: in plain white light."),
    ] = None,
    tap: Annotated[
        list[str] | None,
        typer.Option(
            metavar="'MARK @ X,Y'",
            help="With --photo: near this pixel of it a mark's cross is looked for first.",
        ),
    ] = None,
    shown: Annotated[
        Shown | None,
        typer.Option(
            help="Whose crosses fell there; to be said once the set-up has been squared."
        ),
    ] = None,
    frames: Annotated[
        bool,
        typer.Option("--frames", help="Write its squared pictures into the job's frames-squared/."),
    ] = False,
    undo: Annotated[bool, typer.Option("--undo", help="Take back its last reading.")] = False,
    history: Annotated[
        bool, typer.Option("--history", help="All its readings, the first one first.")
    ] = False,
    units: Units = None,
    every: All = False,
    json: Json = False,
    quiet: Quiet = False,
) -> int:  # fmt: skip
    """Square a set-up's picture on its marks.

    Type where the marks lie in the picture, or how far its crosses fell from them, right and up
    above 0; or give photos of its pattern (docs/photos.md). What is typed or found goes into the
    log. Without it: how the set-up stands.
    """
    from giornata.cli.speaking import Manner
    from giornata.cli.square_doing import Request, done

    request = Request(
        folder=folder,
        set_up=set_up,
        seen=tuple(seen or ()),
        fell=tuple(fell or ()),
        lines=tuple(line or ()),
        file=file,
        photo=photo,
        negative=negative,
        white=white,
        taps=tuple(tap or ()),
        shown=None if shown is None else str(shown),
        frames=frames,
        undo=undo,
        history=history,
    )
    return done(request, Manner(units=units, json=json, quiet=quiet, every=every))
