"""The command: verbs gathered in the order of the job."""

from __future__ import annotations

import typer

__all__ = ["app"]

app = typer.Typer(
    name="giornata",
    help="Plans, prices and sets out large flat-colour designs on long outside walls.\n\n"
    "Begin with: giornata new FOLDER, or: giornata demo. What a number comes from: giornata "
    "explain NAME. Exit codes and JSON: docs/commands.md.",
    subcommand_metavar="VERB ...",
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
)
