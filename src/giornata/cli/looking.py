"""Verbs that look at a job and change nothing, in the order of the job."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from giornata.cli.app import app
from giornata.cli.words import (
    All,
    ColourwayKey,
    Folder,
    Json,
    OptionKey,
    Quiet,
    Severities,
    Units,
)

if TYPE_CHECKING:
    from giornata.cli.report import Report
    from giornata.cli.speaking import Manner
    from giornata.core.job import JobResults, Scheme

# What the libraries behind a verb take to load is spent only when the verb is used.


@app.command()
def check(folder: Folder = Path(), json: Json = False) -> int:
    """Faults of the job file and the artwork.

    Each with its line and what to do; nothing is derived.
    """
    from giornata.cli.opened import job_form
    from giornata.cli.pages import check_page
    from giornata.cli.speaking import Manner, speak
    from giornata.desk import open_job

    job = open_job(folder)
    title = job.inputs.title
    return speak(
        check_page(job.inputs, job.artwork_findings),
        manner=Manner(json=json, every=True),
        units=title.units,
        folder=folder,
        job=job_form(folder, title, job.content_digest),
        digest=job.digest,
        findings=job.artwork_findings,
    )


@app.command()
def survey(folder: Folder = Path(), units: Units = None, json: Json = False) -> int:
    """The wall: bays, closure, gross and net area.

    Each area with its precision; the artwork may be missing.
    """
    from giornata.cli.opened import job_form
    from giornata.cli.pages import survey_page
    from giornata.cli.speaking import Manner, speak
    from giornata.desk import survey_wall

    seen = survey_wall(folder)
    return speak(
        survey_page(seen.title.name, seen.survey, seen.wall, seen.rooms),
        manner=Manner(units=units, json=json),
        units=seen.title.units,
        folder=folder,
        job=job_form(folder, seen.title),
        digest=seen.digest,
        findings=seen.findings,
    )


@app.command()
def artwork(
    folder: Folder = Path(), option: OptionKey = None, units: Units = None,
    picture: Annotated[
        Path | None,
        typer.Option(
            "--picture", metavar="FILE",
            help="Also draw it with what is not flat numbered; PNG or SVG.",
        ),
    ] = None,
    every: All = False, json: Json = False, quiet: Quiet = False,
) -> int:  # fmt: skip
    """The artwork: colours, groups, narrow places.

    And what is not flat colour, by name and place, with what it becomes.
    """
    from giornata.cli.opened import Opened, answer
    from giornata.cli.pages import artwork_page
    from giornata.cli.speaking import Manner
    from giornata.desk import draw_artwork

    if picture is not None and picture.suffix.lower() not in (".png", ".svg"):
        raise typer.BadParameter(f"{picture.name}: a picture ends in .png or .svg")

    def page(found: Opened) -> Report:
        if picture is not None:
            draw_artwork(found.results, found.design, picture)
        return artwork_page(found.results, found.design)

    manner = Manner(units=units, json=json, quiet=quiet, every=every)
    return answer(folder, manner, page, option=option)


@app.command()
def preparation(
    folder: Folder = Path(), units: Units = None, json: Json = False, quiet: Quiet = False
) -> int:
    """Tests on the wall, bays on hold, first day."""
    from giornata.cli.opened import answer
    from giornata.cli.pages import preparation_page
    from giornata.cli.speaking import Manner

    manner = Manner(units=units, json=json, quiet=quiet)
    return answer(folder, manner, lambda f: preparation_page(f.results))


@app.command("set-out")
def set_out(
    folder: Folder = Path(), option: OptionKey = None, units: Units = None, every: All = False,
    json: Json = False, quiet: Quiet = False,
) -> int:  # fmt: skip
    """Placement, clashes with openings, control marks."""
    from giornata.cli.opened import answer
    from giornata.cli.pages import set_out_page
    from giornata.cli.speaking import Manner

    manner = Manner(units=units, json=json, quiet=quiet, every=every)
    return answer(folder, manner, lambda f: set_out_page(f.results, f.design), option=option)


@app.command("take-off")
def take_off(
    folder: Folder = Path(), option: OptionKey = None, units: Units = None, json: Json = False,
    quiet: Quiet = False,
) -> int:  # fmt: skip
    """Areas and edges of each paint, and of pairs."""
    from giornata.cli.opened import answer
    from giornata.cli.pages import take_off_page
    from giornata.cli.speaking import Manner

    manner = Manner(units=units, json=json, quiet=quiet)
    return answer(folder, manner, lambda f: take_off_page(f.results, f.design), option=option)


@app.command()
def options(
    folder: Folder = Path(), units: Units = None, json: Json = False, quiet: Quiet = False
) -> int:
    """Options and colourways side by side.

    Areas, edges, litres, hours, days, prices, and what an hour earns.
    """
    from giornata.cli.opened import answer
    from giornata.cli.pages import options_page
    from giornata.cli.speaking import Manner

    manner = Manner(units=units, json=json, quiet=quiet)
    return answer(folder, manner, lambda f: options_page(f.results))


@app.command()
def colourways(
    folder: Folder = Path(), option: OptionKey = None, colourway: ColourwayKey = None,
    units: Units = None, every: All = False, json: Json = False, quiet: Quiet = False,
) -> int:  # fmt: skip
    """Colours, and contrast of paints that touch."""
    from giornata.cli.opened import answer
    from giornata.cli.pages import colourways_page
    from giornata.cli.speaking import Manner

    manner = Manner(units=units, json=json, quiet=quiet, every=every)
    return answer(
        folder, manner, lambda f: colourways_page(f.results, f.design, f.colourways),
        option=option, colourway=colourway,
    )  # fmt: skip


def _of_scheme(
    page: Callable[[JobResults, Scheme], Report], folder: Path, manner: Manner, *,
    option: str | None, colourway: str | None,
) -> int:  # fmt: skip
    from giornata.cli.opened import answer

    return answer(
        folder, manner, lambda f: page(f.results, f.scheme), option=option, colourway=colourway
    )


@app.command()
def price(
    folder: Folder = Path(), option: OptionKey = None, colourway: ColourwayKey = None,
    units: Units = None, json: Json = False, quiet: Quiet = False,
) -> int:  # fmt: skip
    """The quote: lines, tax, total, stage payments."""
    from giornata.cli.pages import price_page
    from giornata.cli.speaking import Manner

    manner = Manner(units=units, json=json, quiet=quiet)
    return _of_scheme(price_page, folder, manner, option=option, colourway=colourway)


@app.command()
def paint(
    folder: Folder = Path(), option: OptionKey = None, colourway: ColourwayKey = None,
    units: Units = None, json: Json = False, quiet: Quiet = False,
) -> int:  # fmt: skip
    """The paint order with its tins."""
    from giornata.cli.pages import paint_page
    from giornata.cli.speaking import Manner

    manner = Manner(units=units, json=json, quiet=quiet)
    return _of_scheme(paint_page, folder, manner, option=option, colourway=colourway)


@app.command()
def hours(
    folder: Folder = Path(), option: OptionKey = None, colourway: ColourwayKey = None,
    units: Units = None, json: Json = False, quiet: Quiet = False,
) -> int:  # fmt: skip
    """Hours by task, days, lift, your own rates."""
    from giornata.cli.pages import hours_page
    from giornata.cli.speaking import Manner

    manner = Manner(units=units, json=json, quiet=quiet)
    return _of_scheme(hours_page, folder, manner, option=option, colourway=colourway)


@app.command("set-ups")
def set_ups(
    folder: Folder = Path(), option: OptionKey = None, units: Units = None, json: Json = False,
    quiet: Quiet = False,
) -> int:  # fmt: skip
    """Set-ups of the projector, light, nights."""
    from giornata.cli.opened import answer
    from giornata.cli.pages import set_ups_page
    from giornata.cli.speaking import Manner

    manner = Manner(units=units, json=json, quiet=quiet)
    return answer(folder, manner, lambda f: set_ups_page(f.results, f.design), option=option)


@app.command()
def nights(
    folder: Folder = Path(), option: OptionKey = None, units: Units = None, json: Json = False,
    quiet: Quiet = False,
) -> int:  # fmt: skip
    """Darkness of each night, order of work, what is left."""
    from giornata.cli.opened import answer
    from giornata.cli.pages import nights_page
    from giornata.cli.speaking import Manner

    manner = Manner(units=units, json=json, quiet=quiet)
    return answer(folder, manner, lambda f: nights_page(f.results, f.design), option=option)


@app.command()
def explain(
    words: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="NAME FOLDER",
            help="A figure's name or how it begins, and the job folder; left out: all, here.",
        ),
    ] = None,
    depth: Annotated[
        int, typer.Option(min=0, max=99, help="How many levels of parts are shown.")
    ] = 9,
    units: Units = None,
    json: Json = False,
    quiet: Quiet = False,
) -> int:
    """Where a figure comes from; all their names.

    Down to readings and decisions. A beginning that several names share lists them.
    """
    from giornata.cli.naming import explained, name_and_folder
    from giornata.cli.opened import answer
    from giornata.cli.speaking import Manner

    name, folder = name_and_folder(words or [])
    manner = Manner(units=units, json=json, quiet=quiet)
    return answer(folder, manner, lambda f: explained(f.results, name, depth))


@app.command()
def findings(
    folder: Folder = Path(),
    only: Annotated[
        Severities | None, typer.Option("--only", help="Only those of this severity.")
    ] = None,
    json: Json = False,
    quiet: Quiet = False,
) -> int:
    """All findings in full, the gravest first."""
    from giornata.cli.opened import answer
    from giornata.cli.pages import findings_page
    from giornata.cli.speaking import Manner

    manner = Manner(json=json, quiet=quiet, every=True)
    wanted = None if only is None else str(only)
    return answer(folder, manner, lambda f: findings_page(f.results, f.findings), only=wanted)


@app.command()
def pack(
    folder: Folder = Path(), units: Units = None, every: All = False, json: Json = False,
    quiet: Quiet = False,
) -> int:  # fmt: skip
    """Write all papers into the job's pack/ folder.

    Papers, projector frames, tables, and pack.json with every figure and finding.
    """
    from giornata.cli.papers import make_pack
    from giornata.cli.speaking import Manner

    return make_pack(folder, Manner(units=units, json=json, quiet=quiet, every=every))
