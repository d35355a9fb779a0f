"""The pack folder: written whole beside the standing one, then put in its place in one step."""

from __future__ import annotations

import ctypes
import errno
import fcntl
import hashlib
import json
import os
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from giornata.core.foundation import JobFolderError
from giornata.files.saving import outside_faults

__all__ = ["PACK", "RECORD", "PackWriter", "PackedFile", "new_pack", "recover"]

PACK = "pack"
RECORD = "pack.json"
_NEW, _OLD = "pack.giornata-new", "pack.giornata-old"
_NOT_OURS_TO_MIND = {"Thumbs.db", "desktop.ini"}
_EXCHANGE = 2  # RENAME_EXCHANGE, linux/fs.h
_HERE = -100  # AT_FDCWD, fcntl.h
_CANNOT_EXCHANGE = {errno.ENOSYS, errno.EINVAL, errno.EOPNOTSUPP}


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedFile:
    """A file of the pack.

    Parameters
    ----------
    name : str
        In the pack folder, with ``/`` between folders.
    size : int
        [bytes]
    sha256 : str
        Of its bytes, hexadecimal.
    """

    name: str
    size: int
    sha256: str


class PackWriter:
    """Takes the files of a pack that is being written."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._files: dict[str, PackedFile] = {}

    @property
    def files(self) -> tuple[PackedFile, ...]:
        """Files written so far, by name."""
        return tuple(self._files[name] for name in sorted(self._files))

    def write(self, name: str, content: bytes) -> None:
        """Write one file of the pack and force it to the disk.

        Raises
        ------
        ValueError
            If the name leads out of the pack, or was written already.
        JobFolderError
            If the disk is full or read-only.
        """
        parts = name.split("/")
        if name in self._files or not all(parts) or {".", ".."} & set(parts) or "\\" in name:
            raise ValueError(f"{name!r} is no new name in the pack")
        path = self._folder.joinpath(*parts)
        with outside_faults(self._folder.with_name(PACK).joinpath(*parts), "Writing"):
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("xb") as sink:
                sink.write(content)
                sink.flush()
                os.fsync(sink.fileno())
        self._files[name] = PackedFile(
            name=name, size=len(content), sha256=hashlib.sha256(content).hexdigest()
        )

    def write_record(self, record: Mapping[str, Any]) -> None:
        """Write ``pack.json``: a record, and beside it the list of all files written before."""
        files = [{"name": f.name, "size": f.size, "sha256": f.sha256} for f in self.files]
        text = json.dumps(
            {**record, "files": files}, ensure_ascii=False, allow_nan=False, indent=1,
            sort_keys=True,
        )  # fmt: skip
        self.write(RECORD, f"{text}\n".encode())


@contextmanager
def new_pack(folder: Path) -> Iterator[PackWriter]:
    """A new pack for a job folder: it stands once the block ends, and not at all if it fails.

    Until then the former pack stands untouched; a crash at any moment leaves one or the other.

    Raises
    ------
    JobFolderError
        If the folder is read-only or full, another pack is being made in it, or the former pack
        holds a file that was put there or changed by hand.
    """
    new = folder / _NEW
    with _locked(folder):
        recover(folder)
        _spare_work_by_hand(folder / PACK)
        with outside_faults(folder / PACK, "Making"):
            new.mkdir()
        try:
            writer = PackWriter(new)
            yield writer
            _put_in_place(folder)
        finally:
            shutil.rmtree(new, ignore_errors=True)


def recover(folder: Path) -> None:
    """Clear away what an interrupted pack left behind; a former pack set aside comes back.

    Raises
    ------
    JobFolderError
        If the folder is read-only.
    """
    new, old, pack = folder / _NEW, folder / _OLD, folder / PACK
    with outside_faults(pack, "Clearing up beside"):
        if old.exists() and not pack.exists():
            old.rename(pack)
        for left in (new, old):
            if left.exists():
                shutil.rmtree(left)


@contextmanager
def _locked(folder: Path) -> Iterator[None]:
    """Hold the folder against another pack; the lock falls with the process."""
    with outside_faults(folder, "Opening"):
        descriptor = os.open(folder, os.O_RDONLY)
    try:
        with outside_faults(folder, "Locking"):
            try:
                fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError as fault:
                raise JobFolderError(
                    f"{folder}: another pack is being made here at this moment.",
                    remedy="Wait until it is done.",
                ) from fault
        yield
    finally:
        os.close(descriptor)


def _spare_work_by_hand(pack: Path) -> None:
    """Refuse to write over what somebody put or changed in the former pack."""
    if not pack.exists() and not pack.is_symlink():
        return
    if pack.is_symlink() or not pack.is_dir():
        raise JobFolderError(
            f"{pack}: it is not a folder of its own.", remedy="Move it out of the way."
        )
    with outside_faults(pack, "Reading"):
        known = _recorded(pack / RECORD)
        for path in sorted(pack.rglob("*")):
            name = path.relative_to(pack).as_posix()
            if path.is_dir() and not path.is_symlink():
                continue
            if path.name.startswith((".", "~$")) or path.name in _NOT_OURS_TO_MIND:
                continue
            if name not in known or _digest(path) != known[name]:
                what = "was not written by giornata" if name not in known else "was changed by hand"
                raise JobFolderError(
                    f"{path}: it {what}, and a new pack would write over it. Nothing was changed.",
                    remedy="Keep it somewhere else: move it, or rename the folder pack.",
                )


def _recorded(record: Path) -> dict[str, str]:
    """Digest of each file that the former pack's record lists; the record's own stands in it."""
    try:
        data = record.read_bytes()
        files = json.loads(data)["files"]
        known = {str(one["name"]): str(one["sha256"]) for one in files}
    except (FileNotFoundError, ValueError, KeyError, TypeError):
        return {}
    return {**known, RECORD: hashlib.sha256(data).hexdigest()}


def _digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def _put_in_place(folder: Path) -> None:
    """The new folder takes the pack's name, in one step where the disk knows how."""
    new, old, pack = folder / _NEW, folder / _OLD, folder / PACK
    with outside_faults(pack, "Writing"):
        for inside in [*(path for path in new.rglob("*") if path.is_dir()), new]:
            _sync(inside)
        if not pack.exists():
            new.rename(pack)
        elif not _exchanged(new, pack):
            # Between these two steps the former pack stands under the other name, and `recover`
            # brings it back.
            pack.rename(old)
            new.rename(pack)
    try:
        _sync(folder)
    except OSError as fault:
        raise JobFolderError(
            f"{pack}: the new pack stands, but the disk does not confirm it: {fault.strerror}.",
            remedy="Check the disk, and make the pack again.",
        ) from fault
    finally:
        shutil.rmtree(old, ignore_errors=True)


def _exchanged(one: Path, other: Path) -> bool:
    """Let two names change places in one step; False where the system cannot."""
    exchange = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if exchange is None:
        return False
    if exchange(_HERE, os.fsencode(one), _HERE, os.fsencode(other), _EXCHANGE) == 0:
        return True
    fault = ctypes.get_errno()
    if fault in _CANNOT_EXCHANGE:
        return False
    raise OSError(fault, os.strerror(fault), str(other))


def _sync(folder: Path) -> None:
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
