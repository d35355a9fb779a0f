"""The front door: runs a verb, and turns whatever goes wrong into words and an exit code.

This is the one place of the command line that translates errors.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from importlib import import_module
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from giornata.core.foundation import GiornataError

__all__ = ["EXIT_CODES", "main"]

EXIT_CODES = {
    0: "done",
    1: "done, but a STOP finding stands, or the readings give no wall",
    2: "wrong use of the command",
    3: "the job file has faults",
    4: "the artwork or a photo cannot be used",
    5: "the folder or the disk: missing, read-only, full",
    6: "the job has changed since it was looked at",
    7: "a renderer failed, or something is not installed",
    70: "a fault of giornata itself; a report was written",
    130: "stopped by Ctrl-C",
    141: "the program that read the output closed it",
}


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line; the exit code, one of ``EXIT_CODES``. [-]"""
    words = list(sys.argv[1:] if arguments is None else arguments)
    as_json = "--json" in words
    try:
        code = _run(words, as_json)
        sys.stdout.flush()
        return code
    except KeyboardInterrupt:
        return _stopped(as_json)
    except BrokenPipeError:
        _let_go_of_the_pipe()
        return 141
    except Exception as fault:  # noqa: BLE001  (what failed is the saying of what failed)
        sys.stderr.write(f"giornata met a fault of its own: {type(fault).__name__}\n")
        return 70


def _run(words: list[str], as_json: bool) -> int:
    try:
        return _verb(words or ["--help"], as_json)
    except (KeyboardInterrupt, BrokenPipeError):
        raise
    except Exception as fault:  # noqa: BLE001  (the last resort: no traceback on the screen)
        from giornata.core.foundation import GiornataError

        if isinstance(fault, GiornataError):
            return _refused(fault, words, as_json)
        if isinstance(fault, OSError):
            return _refused(_of_the_disk(fault), words, as_json)
        return _crashed(fault, words, as_json)


def _verb(words: list[str], as_json: bool) -> int:
    """Run the verb that the words name."""
    import typer
    from typer.main import get_command

    from giornata.cli.app import app

    for verbs in (
        "beginning",
        "changing",
        "closing",
        "looking",
        "photographing",
        "squaring",
        "targeting",
        "transferring",
    ):
        import_module(f"giornata.cli.{verbs}")
    command = get_command(app)
    try:
        # Not through main(), which would answer Ctrl-C and closed pipes in its own way.
        with command.make_context("giornata", words) as context:
            code = command.invoke(context)
    except typer.Exit as done:
        return int(done.exit_code)
    except typer.Abort as stop:
        raise KeyboardInterrupt from stop
    except Exception as fault:
        if not hasattr(fault, "format_message"):
            raise
        return _misused(fault, as_json)
    return code if isinstance(code, int) else 0


def _misused(fault: Exception, as_json: bool) -> int:
    """Wrong use of the command, as the parser puts it."""
    context = getattr(fault, "ctx", None)
    path = context.command_path if context is not None else "giornata"
    message = str(fault.format_message()).strip()  # type: ignore[attr-defined]
    message = message.removeprefix("Invalid value: ")
    _say_error(message[:1].upper() + message[1:], f"See: {path} --help", (), 2, as_json)
    return 2


def _refused(fault: GiornataError, words: list[str], as_json: bool) -> int:
    """What the outside world said no to, in US units where they were asked for."""
    from giornata.core import foundation

    us = "--units=us" in words or ("--units", "us") in pairwise(words)
    system = foundation.System.US if us else foundation.System.METRIC
    findings = [foundation.fault_in_units(one, system) for one in fault.findings]

    codes = {
        foundation.NoWallError: 1,
        foundation.JobFileError: 3,
        foundation.ArtworkError: 4,
        foundation.PhotoError: 4,
        foundation.JobFolderError: 5,
        foundation.StaleJobError: 6,
        foundation.RenderError: 7,
        foundation.ToolMissingError: 7,
    }
    code = next((code for kind, code in codes.items() if isinstance(fault, kind)), 5)
    _say_error(fault.message, fault.remedy, findings, code, as_json)
    return code


def _of_the_disk(fault: OSError) -> GiornataError:
    """What the disk said, where no nearer place has put it in words."""
    from giornata.core.foundation import JobFolderError
    from giornata.files.saving import outside_faults

    try:
        with outside_faults(Path(str(fault.filename or "the folder")), "Using"):
            raise fault
    except JobFolderError as said:
        return said


def _say_error(
    message: str, remedy: str, findings: Sequence[object], code: int, as_json: bool
) -> None:
    """An error with its remedy and its findings: JSON on stdout, text on stderr."""
    from giornata.cli.printing import any_encoding

    any_encoding(sys.stdout, sys.stderr)
    if as_json:
        from giornata.cli.json_form import error_form, written
        from giornata.core.foundation import Finding

        found = tuple(one for one in findings if isinstance(one, Finding))
        form = error_form(message, remedy, found, code)
        sys.stdout.write(written(form, sys.stdout.encoding))
        return
    from giornata.cli.finding_print import print_error

    print_error(message, remedy, findings)


def _crashed(fault: Exception, words: list[str], as_json: bool) -> int:
    """A fault of the program: a report in a file, and a plain sentence on the screen."""
    from giornata.cli.crash import crash_report

    said, where = crash_report(fault, words)
    remedy = (
        f"A report for its makers lies at {where}. It holds the command and the program's own "
        "lines, none of the job's content beyond what these show."
        if where is not None
        else "A report could not be written anywhere."
    )
    _say_error(f"giornata met a fault of its own: {said}", remedy, (), 70, as_json)
    return 70


def _stopped(as_json: bool) -> int:
    if as_json:
        _say_error("Stopped.", "Start it again when you like.", (), 130, as_json)
    else:
        sys.stderr.write("\nStopped.\n")
    return 130


def _let_go_of_the_pipe() -> None:
    """Nobody reads any more: what is still unwritten goes nowhere, without a word."""
    sink = os.open(os.devnull, os.O_WRONLY)
    os.dup2(sink, sys.stdout.fileno())
