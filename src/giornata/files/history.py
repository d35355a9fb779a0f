"""History: each save keeps the file it replaced; undo brings it back."""

from __future__ import annotations

import re
from pathlib import Path

from giornata.core.foundation import JobFolderError
from giornata.files.saving import outside_faults, replace_file

__all__ = ["kept", "save", "undo"]

_NAME = re.compile(r"(\d{4,})\.toml")
_TAKEN = re.compile(r"(?:undone-)?(\d{4,})\.toml")


def kept(folder: Path) -> list[Path]:
    """Former job files of a job folder, oldest first."""
    found = [p for p in (folder / "history").glob("*.toml") if _NAME.fullmatch(p.name)]
    return sorted(found, key=lambda path: int(path.stem))


def save(path: Path, content: bytes) -> None:
    """Replace the job file, keeping the former one in ``history/`` beside it.

    Raises
    ------
    JobFolderError
        If the folder is read-only or full; the job file is then the old one.
    """
    folder = path.parent
    with outside_faults(folder / "history", "Making"):
        (folder / "history").mkdir(exist_ok=True)
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
    former = kept(path.parent)
    if not former:
        raise JobFolderError(
            f"{path}: there is no earlier job file to go back to.",
            remedy="Edit job.toml by hand; each save from now on can be undone.",
        )
    last = former[-1]
    with outside_faults(path, "Undoing"):
        if path.exists():
            replace_file(last.with_name(f"undone-{last.name}"), path.read_bytes())
        replace_file(path, last.read_bytes())
        last.unlink()
    return last
