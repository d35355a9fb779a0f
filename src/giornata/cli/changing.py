"""Verbs that change a job, look back on it, or show it: set, undo, log, serve; and version."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import Annotated

import typer

from giornata.cli.app import app
from giornata.cli.words import Folder, Json

# What the libraries behind a verb take to load is spent only when the verb is used.


@app.command("set", context_settings={"ignore_unknown_options": True})  # "-0.10 m" is a value
def set_value(
    key: Annotated[
        str, typer.Argument(metavar="KEY", help="As in the file: price.rate, wall.bays.3.length.")
    ],
    value: Annotated[
        str, typer.Argument(metavar="VALUE", help="The value: '160 EUR', 3, '[ \"boats\" ]'.")
    ],
    folder: Folder = Path(),
    seen: Annotated[
        str | None,
        typer.Option(
            metavar="DIGEST", help="Only if the job file still has this digest; left out: as it is."
        ),
    ] = None,
    json: Json = False,
) -> int:  # fmt: skip
    """Change one value of the job file.

    Comments stay. Undo brings the old file back. A value that would leave a fault is refused.
    """
    from giornata.cli.few_words import said
    from giornata.cli.speaking import Manner
    from giornata.desk import set_value as change_value

    change = change_value(folder, key, value, seen=seen)
    return said(
        "Changed",
        (
            ("key", "key", change.key),
            ("before", "before", change.before or None),
            ("after", "now", change.after),
        ),
        Manner(json=json),
        digest=change.digest,
    )


@app.command()
def undo(folder: Folder = Path(), json: Json = False) -> int:
    """Take back the last change of the job file."""
    from giornata.cli.few_words import said
    from giornata.cli.speaking import Manner
    from giornata.desk import undo as undo_change

    brought_back, digest = undo_change(folder)
    lines = (("brought_back", "brought back", brought_back.name),)
    return said("The last change is undone", lines, Manner(json=json), digest=digest)


@app.command()
def log(
    folder: Folder = Path(),
    all_events: Annotated[bool, typer.Option("--all", help="With what was taken back.")] = False,
    json: Json = False,
) -> int:
    """What happened: the job's log."""
    from giornata.cli.pages import log_page
    from giornata.cli.speaking import Manner, speak
    from giornata.desk import events

    page = log_page(events(folder, standing=not all_events))
    return speak(page, manner=Manner(json=json), folder=folder)


@app.command()
def serve(
    folder: Folder = Path(),
    port: Annotated[
        int, typer.Option(min=0, max=65535, help="Port on this machine; 0 takes a free one.")
    ] = 8765,
    open_browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the page in the browser.")
    ] = True,
    phone: Annotated[
        bool,
        typer.Option(
            "--phone",
            help="Also open a door to the local network, for paired phones to steer the night.",
        ),
    ] = False,
    address: Annotated[
        list[str] | None,
        typer.Option(
            "--address", metavar="ADDRESS", help="With --phone: this machine's address there."
        ),
    ] = None,
) -> int:
    """Show the job as pages in the browser.

    On this machine only, until Ctrl-C. With --phone it prints which addresses are opened, and
    what a paired phone can do.
    """
    from importlib import import_module

    from giornata.core.foundation import ToolMissingError

    if address and not phone:
        raise typer.BadParameter("goes with --phone", param_hint="--address")
    try:
        pages = import_module("giornata.web")
        show = pages.serve
    except (ImportError, AttributeError) as fault:
        raise ToolMissingError(
            f"The pages are missing from this installation ({fault}).",
            remedy="Install giornata anew; all verbs but this one work without them.",
        ) from fault
    with suppress(KeyboardInterrupt):  # the way to end it, not an accident
        show(
            folder,
            port=port,
            open_browser=open_browser,
            phone=phone,
            addresses=tuple(address or ()),
        )
    return 0


@app.command()
def version(json: Json = False) -> int:
    """The version of giornata and of Python."""
    import platform

    from giornata import __version__
    from giornata.cli.few_words import said
    from giornata.cli.speaking import Manner

    lines = (
        ("version", "giornata", __version__),
        ("python", "Python", platform.python_version()),
    )
    return said("", lines, Manner(json=json))
