"""Saving: a file is either the old one or the new one, whatever happens in between."""

from __future__ import annotations

import errno
import os
import secrets
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from giornata.core.foundation import JobFolderError

__all__ = ["held", "outside_faults", "replace_file", "sweep"]

_TEMPORARY = ".giornata-tmp"
_STALE = 60.0  # s; a younger one may be that of another process, at work
_PATIENCE = 10.0  # s; a save takes milliseconds


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


@contextmanager
def held(lock: Path) -> Iterator[None]:
    """Hold a lock that one program at a time can have; a program that is killed lets go of it.

    Parameters
    ----------
    lock : Path
        File that stands for the lock, made when absent; it stays empty. SQLite locks it as each
        system can, so that there is one way on all of them.

    Raises
    ------
    JobFolderError
        If another program holds it and does not let go, or the file cannot be made.
    """
    with outside_faults(lock, "Locking"):
        lock.touch()
    with closing(sqlite3.connect(lock, isolation_level=None, timeout=_PATIENCE)) as base:
        try:
            base.execute("BEGIN EXCLUSIVE")
        except sqlite3.DatabaseError as fault:
            raise JobFolderError(
                f"{lock.parent}: another program is saving here and does not finish ({fault}). "
                "Nothing was changed.",
                remedy="Look whether giornata runs in another window, then do it again.",
            ) from fault
        yield


def replace_file(path: Path, content: bytes) -> None:
    """Put new content in a file so that a crash at any byte leaves the old or the new one.

    The content goes to a temporary file of its own beside it, is forced to the disk, and takes
    the old file's name in one step: of two processes that save at once the later one counts.

    Raises
    ------
    JobFolderError
        If the folder is read-only, full or missing; the old file is untouched.
    """
    temporary = path.with_name(f"{path.name}.{secrets.token_hex(4)}{_TEMPORARY}")
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
    if not hasattr(os, "O_DIRECTORY"):  # Windows: a folder cannot be opened there
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def sweep(folder: Path, *, older_than: float = _STALE) -> int:
    """Remove what interrupted saves left behind; the number of files removed. [-]

    Parameters
    ----------
    older_than : float
        Age of what is removed; younger files may be another process's. [s]
    """
    until = time.time() - older_than
    removed = 0
    with outside_faults(folder, "Sweeping"):
        for path in folder.glob(f"*{_TEMPORARY}"):
            try:
                if path.stat().st_mtime <= until:
                    path.unlink()
                    removed += 1
            except FileNotFoundError:  # its process has just put it in place
                continue
    return removed
