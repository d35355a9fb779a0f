"""A report of a fault in the program, for its makers."""

from __future__ import annotations

import platform
import tempfile
import traceback
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

from giornata import __version__

__all__ = ["crash_report"]


def crash_report(fault: Exception, words: Sequence[str]) -> tuple[str, Path | None]:
    """What happened in one line, and the file that says it in full; None where none can be written.

    Parameters
    ----------
    words : sequence of str
        The command that was given.
    """
    said = f"{type(fault).__name__}: {fault}".splitlines()[0].rstrip(": ")
    at = datetime.now(UTC)
    text = "\n".join(
        (
            f"giornata {__version__}, Python {platform.python_version()}, {platform.platform()}",
            f"{at.isoformat(timespec='seconds')}",
            "command: giornata " + " ".join(map(repr, words)),
            "",
            "".join(traceback.format_exception(fault)),
        )
    )
    name = f"giornata-fault-{at:%Y%m%d-%H%M%S}-"
    for folder in (tempfile.gettempdir(), str(Path.home())):
        try:
            with tempfile.NamedTemporaryFile(
                "w", prefix=name, suffix=".txt", dir=folder, delete=False, encoding="utf-8",
                errors="backslashreplace",
            ) as sink:  # fmt: skip
                sink.write(text)
            return said, Path(sink.name)
        except OSError:
            continue
    return said, None
