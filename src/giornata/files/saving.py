"""Saving: a file is either the old one or the new one, whatever happens in between."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from giornata.core.foundation import JobFolderError

__all__ = ["outside_faults", "replace_file", "sweep"]

_TEMPORARY = ".giornata-tmp"


@contextmanager
def outside_faults(path: Path, doing: str) -> Iterator[None]:
    """Turn what the disk says into an error that names the place and the remedy.

    Raises
    ------
    JobFolderError
        Where the folder is read-only, full, missing or not ours to touch.
    """
    try:
        yield
    except OSError as fault:
        where = f"{doing} {path}"
        match fault.errno:
            case errno.ENOSPC | errno.EDQUOT:
                said, remedy = "the disk is full", "Free some space and do it again."
            case errno.EROFS | errno.EACCES | errno.EPERM:
                said, remedy = (
                    "the folder is read-only",
                    "Copy the job to a folder you may write to, or change its permissions.",
                )
            case errno.ENOENT:
                said, remedy = "there is no such file or folder", "Check the path."
            case errno.EISDIR:
                said, remedy = "it is a folder, not a file", "Name a file."
            case errno.ENOTDIR | errno.EEXIST:
                said, remedy = (
                    "a file stands where a folder should, or the other way round",
                    ("Move it out of the way."),
                )
            case _:
                said, remedy = (fault.strerror or "it failed").lower(), "Check the disk."
        message = f"{where}: {said}. Nothing was changed."
        raise JobFolderError(message, remedy=remedy) from fault


def replace_file(path: Path, content: bytes) -> None:
    """Put new content in a file so that a crash at any byte leaves the old or the new one.

    The content goes to a temporary file beside it, is forced to the disk, and takes the old
    file's name in one step.

    Raises
    ------
    JobFolderError
        If the folder is read-only, full or missing; the old file is untouched.
    """
    temporary = path.with_name(path.name + _TEMPORARY)
    with outside_faults(path, "Saving"):
        try:
            with open(temporary, "wb") as sink:  # noqa: PTH123  (fsync wants the descriptor)
                sink.write(content)
                sink.flush()
                os.fsync(sink.fileno())
            os.replace(temporary, path)  # noqa: PTH105
        except OSError:
            temporary.unlink(missing_ok=True)
            raise
        _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def sweep(folder: Path) -> int:
    """Remove what interrupted saves left behind; the number of files removed. [-]"""
    left = list(folder.glob(f"*{_TEMPORARY}"))
    with outside_faults(folder, "Sweeping"):
        for path in left:
            path.unlink(missing_ok=True)
    return len(left)
