"""The command: verbs gathered in the order of the job."""

from __future__ import annotations

from typing import Any

import typer
from typer.core import TyperGroup

__all__ = ["VERBS", "app"]

#: Every verb, in the order the help lists them.
VERBS = (
    "new", "demo", "check", "survey", "photo", "preparation", "artwork", "set-out", "take-off",
    "options", "colourways", "price", "paint", "hours", "set-ups", "nights", "transfer",
    "targets", "square", "measure", "close", "explain", "findings", "pack", "set", "undo", "log",
    "serve", "version",
)  # fmt: skip


class _InOrder(TyperGroup):
    """Verbs in the order of the job, whichever module was imported first."""

    def list_commands(self, ctx: Any) -> list[str]:
        return sorted(super().list_commands(ctx), key=VERBS.index)


app = typer.Typer(
    name="giornata",
    cls=_InOrder,
    help="Plans, prices and sets out large flat-colour designs on long outside walls.\n\n"
    "Begin with: giornata new FOLDER, or: giornata demo. What a number comes from: giornata "
    "explain NAME. Exit codes and JSON: docs/commands.md.",
    subcommand_metavar="VERB ...",
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
)
