"""Reading a vector file in a process of its own that is stopped when it takes too much."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from giornata.core.foundation import ArtworkError
from giornata.files.artwork.kinds import Kind
from giornata.files.artwork.reading import Reading
from giornata.files.artwork.transfer import from_bytes

__all__ = ["Allowance", "read_confined"]

_SIMPLER = "Simplify the artwork in the drawing program (join shapes, fewer points), save it again."


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowance:
    """What one reading may use.

    Parameters
    ----------
    seconds : float
        Time by the clock; above 0. [s]
    memory : int
        Address space; above 0. [bytes]
    """

    seconds: float = 60.0
    memory: int = 3 * 2**30


def _source_folder() -> str:
    """Folder that holds the package, so that the other process finds the same one."""
    return str(Path(__file__).resolve().parents[3])


def read_confined(data: bytes, name: str, kind: Kind, allowance: Allowance) -> Reading:
    """The file read in another process.

    Parameters
    ----------
    data : bytes
        The file, not compressed.
    name : str
        File name, for findings.
    kind : Kind
        SVG or PDF.
    allowance : Allowance
        Time and memory.

    Raises
    ------
    ArtworkError
        If the process was stopped or broke down.
    """
    path = os.pathsep.join(filter(None, (_source_folder(), os.environ.get("PYTHONPATH", ""))))
    command = [
        sys.executable,
        "-P",
        "-m",
        "giornata.files.artwork.child",
        name,
        kind.name,
        str(allowance.memory),
        str(max(1, round(allowance.seconds))),
    ]
    with tempfile.TemporaryDirectory(prefix="giornata-") as nowhere:
        try:
            done = subprocess.run(
                command,
                input=data,
                capture_output=True,
                timeout=allowance.seconds,
                cwd=nowhere,
                env={**os.environ, "PYTHONPATH": path, "OPENBLAS_NUM_THREADS": "1"},
                check=False,
            )
        except subprocess.TimeoutExpired as error:
            raise ArtworkError(
                f"Reading {name} took longer than {allowance.seconds:g} s and was stopped.",
                remedy=_SIMPLER,
            ) from error
    if done.returncode == 0:
        try:
            return from_bytes(done.stdout)
        except (ValueError, KeyError, TypeError) as error:
            raise ArtworkError(f"Reading {name} gave no whole answer.", remedy=_SIMPLER) from error
    last = done.stderr.decode("utf-8", "replace").strip().splitlines()[-1:] or ["no word said"]
    raise ArtworkError(
        f"Reading {name} broke down or took more than {allowance.memory / 2**30:.1f} GiB or"
        f" {allowance.seconds:g} s of work, and was stopped ({last[0][:120]}).",
        remedy=_SIMPLER,
    )
