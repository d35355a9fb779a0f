"""The verb for photos of the wall: look, mark, draw, keep, rectify."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from giornata.cli.app import app
from giornata.cli.words import All, Folder, Json, Units

# What the libraries behind a verb take to load is spent only when the verb is used.

_POINT = "PLACE @ X,Y"
_OUTLINE = "KIND NAME @ X,Y X,Y ..."


@app.command(context_settings={"ignore_unknown_options": False})
def photo(
    folder: Folder = Path(),
    name: Annotated[
        str | None,
        typer.Option("--name", metavar="PHOTO", help="This photo; left out: all, or the only one."),
    ] = None,
    add: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Copy this JPEG or PNG into the job.")
    ] = None,
    point: Annotated[
        list[str] | None,
        typer.Option(
            metavar=f"'{_POINT}'",
            help="A known point: 'Gate, upper left @ 812,344' or '3.2 m, 0.1 m @ 812,344'.",
        ),
    ] = None,
    outline: Annotated[
        list[str] | None,
        typer.Option(
            metavar=f"'{_OUTLINE}'",
            help="Draw: opening, top, ground or obstacle, its name and its corners.",
        ),
    ] = None,
    keep: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="Write this outline into the job, as it is on the wall."),
    ] = None,
    rectify: Annotated[
        bool, typer.Option("--rectify", help="Write a picture of the wall square on, to scale.")
    ] = False,
    out: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Where the picture goes; left out: beside the photo."),
    ] = None,
    stretch: Annotated[
        str | None,
        typer.Option(
            metavar="'A B LOW HIGH'",
            help="Chainages and levels of the picture, '2 m, 9 m, 0 m, 3 m'.",
        ),
    ] = None,
    scale: Annotated[
        float | None,
        typer.Option(min=1.0, max=10000.0, help="Pixels to a metre of wall; left out: by photo."),
    ] = None,
    seen: Annotated[
        str | None,
        typer.Option(
            metavar="DIGEST", help="Only if the job file still has this digest; left out: as it is."
        ),
    ] = None,
    units: Units = None,
    every: All = False,
    json: Json = False,
) -> int:
    """Photos of the wall, brought to scale.

    Points with their residuals, errors in mm, what was drawn. With options: add a photo, mark it,
    draw on it, keep an outline as opening, top, ground or obstacle, write the rectified picture.
    """
    from giornata.cli import photo_words
    from giornata.cli.speaking import Manner

    manner = Manner(units=units, json=json, every=every)
    request = photo_words.Request(
        folder=folder,
        name=name,
        add=add,
        points=tuple(photo_words.point_of(one) for one in point or ()),
        outlines=tuple(photo_words.outline_of(one) for one in outline or ()),
        keep=keep,
        rectify=rectify,
        out=out,
        stretch=None if stretch is None else photo_words.stretch_of(stretch),
        scale=scale,
        seen=seen,
    )
    return photo_words.done(request, manner)
