"""History: each save keeps the file it replaced; undo brings it back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from giornata.core.foundation import JobFolderError
from giornata.files.saving import held, outside_faults, replace_file

__all__ = ["alone", "kept", "save", "undo"]

_NAME = re.compile(r"(\d{4,})\.toml")
_TAKEN = re.compile(r"(?:undone-)?(\d{4,})\.toml")


def kept(folder: Path) -> list[Path]:
    """Former job files of a job folder, oldest first."""
    found = [p for p in (folder / "history").glob("*.toml") if _NAME.fullmatch(p.name)]
    return sorted(found, key=lambda path: int(path.stem))


@contextmanager
def alone(path: Path) -> Iterator[None]:
    """Be the only program that changes the job file, from looking at it until it is saved.

    Raises
    ------
    JobFolderError
        If the folder is read-only, or another program does not finish its change.
    """
    with outside_faults(path.parent / "history", "Making"):
        (path.parent / "history").mkdir(exist_ok=True)
    with held(path.parent / "history" / ".lock"):
        yield


def save(path: Path, content: bytes) -> None:
    """Replace the job file, keeping the former one in ``history/``; to be done `alone`.

    Raises
    ------
    JobFolderError
        If the folder is read-only or full; the job file is then the old one.
    """
    folder = path.parent
    if path.exists():
        # Above those undone too: what an undo put aside is never written over.
        taken = map(_TAKEN.fullmatch, (p.name for p in (folder / "history").glob("*.toml")))
        number = 1 + max((int(name[1]) for name in taken if name), default=0)
        with outside_faults(path, "Reading"):
            replace_file(folder / "history" / f"{number:04d}.toml", path.read_bytes())
    replace_file(path, content)


def undo(path: Path) -> Path:
    """Bring back the job file that the last save replaced; the undone one is kept aside.

    Raises
    ------
    JobFolderError
        If there is nothing to undo.
    """
    _last(path)  # where there is none, nothing is made in the folder
    with alone(path), outside_faults(path, "Undoing"):
        last = _last(path)
        if path.exists():
            replace_file(last.with_name(f"undone-{last.name}"), path.read_bytes())
        replace_file(path, last.read_bytes())
        last.unlink()
    return last


def _last(path: Path) -> Path:
    former = kept(path.parent)
    if not former:
        raise JobFolderError(
            f"{path}: there is no earlier job file to go back to.",
            remedy="Edit job.toml by hand; each save from now on can be undone.",
        )
    return former[-1]
