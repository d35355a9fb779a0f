"""The pack folder: old or new at any moment, never a mixture, never somebody's own work lost."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from giornata.core.foundation import JobFolderError
from giornata.files import pack as packing
from giornata.files.pack import PackedFile, new_pack, recover

Tree = dict[str, bytes]


def tree(folder: Path) -> Tree:
    """Every file below a folder, by its name."""
    found = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def make(folder: Path, letter: bytes, *, size: int = 2000) -> tuple[PackedFile, ...]:
    with new_pack(folder) as writer:
        writer.write("a.pdf", letter * size)
        writer.write("frames/1.png", letter * size)
        writer.write_record({"of": letter.decode()})
        return writer.files


def test_a_pack_stands_with_its_record(tmp_path: Path) -> None:
    files = make(tmp_path, b"x")
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]
    assert sorted(tree(tmp_path / "pack")) == ["a.pdf", "frames/1.png", "pack.json"]
    record = json.loads((tmp_path / "pack/pack.json").read_text(encoding="utf-8"))
    sha256 = hashlib.sha256(b"x" * 2000).hexdigest()
    assert record == {
        "of": "x",
        "files": [
            {"name": "a.pdf", "size": 2000, "sha256": sha256},
            {"name": "frames/1.png", "size": 2000, "sha256": sha256},
        ],
    }
    assert [file.name for file in files] == ["a.pdf", "frames/1.png", "pack.json"]


def test_a_new_pack_replaces_the_former_one_whole(tmp_path: Path) -> None:
    make(tmp_path, b"x")
    with new_pack(tmp_path) as writer:
        writer.write("b.pdf", b"new")
        writer.write_record({})
        assert sorted(tree(tmp_path / "pack")) == ["a.pdf", "frames/1.png", "pack.json"]
    assert sorted(tree(tmp_path / "pack")) == ["b.pdf", "pack.json"]
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]


def test_a_pack_that_fails_leaves_the_former_one(tmp_path: Path) -> None:
    make(tmp_path, b"x")
    before = tree(tmp_path)
    with pytest.raises(RuntimeError, match="typesetter"):
        _fail(tmp_path)
    assert tree(tmp_path) == before


def _fail(folder: Path) -> None:
    with new_pack(folder) as writer:
        writer.write("a.pdf", b"half")
        raise RuntimeError("the typesetter broke")


@pytest.mark.parametrize("exchange", [True, False])
@pytest.mark.parametrize("moment", range(9))
def test_a_disk_full_at_any_moment_leaves_a_whole_pack(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: int, exchange: bool
) -> None:
    """Each forcing to the disk in turn says that it is full: three files, three folders."""
    make(tmp_path, b"x")
    before = tree(tmp_path)
    if not exchange:
        monkeypatch.setattr(packing, "_exchanged", lambda one, other: False)
    real, calls = os.fsync, iter(range(100))

    def full(descriptor: int) -> None:
        if next(calls) == moment:
            raise OSError(errno.ENOSPC, "No space left on device")
        real(descriptor)

    monkeypatch.setattr(packing.os, "fsync", full)
    if moment < 6:
        said = "the disk is full" if moment < 5 else "the new pack stands, but the disk does not"
        with pytest.raises(JobFolderError, match=said):
            make(tmp_path, b"y")
        monkeypatch.undo()
        after = tree(tmp_path)
        # The sixth comes when the new one stands already.
        assert after == before if moment < 5 else after != before
        assert {name.split("/")[0] for name in after} == {"pack"}
    else:
        make(tmp_path, b"y")
        assert json.loads((tmp_path / "pack/pack.json").read_text())["of"] == "y"


def test_a_file_beyond_the_systems_limit_leaves_the_former_pack(tmp_path: Path) -> None:
    """A real refusal of the system while a file is being written."""
    make(tmp_path, b"x")
    before = tree(tmp_path)
    script = (
        "import resource, signal, sys\n"
        "from pathlib import Path\n"
        "from giornata.core.foundation import JobFolderError\n"
        "from giornata.files.pack import new_pack\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (50_000, 50_000))\n"
        "try:\n"
        "    with new_pack(Path(sys.argv[1])) as writer:\n"
        "        writer.write('small', b's' * 1000)\n"
        "        writer.write('large', b'l' * 60_000)\n"
        "except JobFolderError as error:\n"
        "    print(error.message, '|', error.remedy)\n"
    )
    said = _run(script, tmp_path)
    assert said == (
        f"Writing {tmp_path}/pack/large: file too large. Nothing was changed. | Check the disk.\n"
    )
    assert tree(tmp_path) == before


def test_a_read_only_folder_is_said_and_left_alone(tmp_path: Path) -> None:
    """As a user without rights on the folder; root is let through everywhere."""
    make(tmp_path, b"x")
    before = tree(tmp_path)
    script = (
        "import os, sys\n"
        "from pathlib import Path\n"
        "from giornata.core.foundation import JobFolderError\n"
        "from giornata.files.pack import new_pack\n"
        "os.chdir(sys.argv[1])\n"
        "if os.geteuid() == 0:\n"
        "    os.seteuid(65534)\n"
        "try:\n"
        "    with new_pack(Path()) as writer:\n"
        "        writer.write('a', b'a')\n"
        "except JobFolderError as error:\n"
        "    print(error.message)\n"
    )
    tmp_path.chmod(0o555)
    try:
        said = _run(script, tmp_path)
    finally:
        tmp_path.chmod(0o755)
    assert said == "Making pack: the folder is read-only. Nothing was changed.\n"
    assert tree(tmp_path) == before


KILLED = """
import os, sys
from pathlib import Path
from giornata.files import pack
folder, moment, exchange = Path(sys.argv[1]), int(sys.argv[2]), sys.argv[3] == "True"
if not exchange:
    pack._exchanged = lambda one, other: False
real, calls = os.fsync, iter(range(100))
def dying(descriptor):
    if next(calls) == moment:
        os._exit(9)
    real(descriptor)
os.fsync = dying
rename, renames = Path.rename, iter(range(100))
def dying_rename(self, target):
    if not exchange and next(renames) == moment - 6:
        os._exit(9)
    return rename(self, target)
Path.rename = dying_rename
with pack.new_pack(folder) as writer:
    writer.write("a.pdf", b"y" * 2000)
    writer.write("frames/1.png", b"y" * 2000)
    writer.write_record({"of": "y"})
"""


@pytest.mark.parametrize(
    ("moment", "exchange"),
    [*((moment, True) for moment in (0, 2, 3, 5)), *((moment, False) for moment in (5, 6, 7))],
)
def test_a_kill_at_any_moment_leaves_the_old_or_the_new_pack(
    tmp_path: Path, moment: int, exchange: bool
) -> None:
    make(tmp_path, b"x")
    old = tree(tmp_path / "pack")
    done = subprocess.run(
        [sys.executable, "-c", KILLED, str(tmp_path), str(moment), str(exchange)], check=False
    )
    assert done.returncode == 9
    if exchange or moment != 7:  # without an exchange the pack is away between two renames
        assert (tmp_path / "pack").is_dir()
    recover(tmp_path)
    left = tree(tmp_path / "pack")
    new = {"a.pdf": b"y" * 2000, "frames/1.png": b"y" * 2000}
    assert left == old or new.items() <= left.items()
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]
    make(tmp_path, b"z")
    assert json.loads((tmp_path / "pack/pack.json").read_text())["of"] == "z"


HELD = """
import sys, time
from pathlib import Path
from giornata.files.pack import new_pack
with new_pack(Path(sys.argv[1])) as writer:
    writer.write("a.pdf", b"y")
    print("begun", flush=True)
    time.sleep(60)
"""


def test_two_packs_at_once_are_refused_and_a_killed_one_frees_the_folder(tmp_path: Path) -> None:
    worker = subprocess.Popen(
        [sys.executable, "-c", HELD, str(tmp_path)], stdout=subprocess.PIPE, text=True
    )
    assert worker.stdout is not None
    try:
        assert worker.stdout.readline() == "begun\n"
        with pytest.raises(JobFolderError, match="another pack is being made here"):
            make(tmp_path, b"x")
    finally:
        os.kill(worker.pid, signal.SIGKILL)
        worker.wait()
        worker.stdout.close()
    time.sleep(0.01)
    make(tmp_path, b"x")
    assert [path.name for path in tmp_path.iterdir()] == ["pack"]


@pytest.mark.parametrize("name", ["notes.txt", "frames/2.png"])
def test_a_file_put_into_the_pack_is_not_written_over(tmp_path: Path, name: str) -> None:
    make(tmp_path, b"x")
    (tmp_path / "pack" / name).write_text("mine")
    before = tree(tmp_path)
    with pytest.raises(JobFolderError, match=f"{name}: it was not written by giornata"):
        make(tmp_path, b"y")
    assert tree(tmp_path) == before


def test_a_file_changed_by_hand_is_not_written_over(tmp_path: Path) -> None:
    make(tmp_path, b"x")
    (tmp_path / "pack/a.pdf").write_bytes(b"signed by the client")
    with pytest.raises(JobFolderError, match=r"a\.pdf: it was changed by hand"):
        make(tmp_path, b"y")
    assert (tmp_path / "pack/a.pdf").read_bytes() == b"signed by the client"


def test_a_pack_without_its_record_is_not_written_over(tmp_path: Path) -> None:
    make(tmp_path, b"x")
    (tmp_path / "pack/pack.json").write_text("{")
    with pytest.raises(JobFolderError, match="was not written by giornata"):
        make(tmp_path, b"y")
    assert (tmp_path / "pack/a.pdf").read_bytes() == b"x" * 2000


def test_what_other_programs_leave_behind_is_no_hindrance(tmp_path: Path) -> None:
    make(tmp_path, b"x")
    for name in (".DS_Store", "Thumbs.db", "~$pack.xlsx", "frames/.~lock.1#"):
        (tmp_path / "pack" / name).write_text("")
    make(tmp_path, b"y")
    assert sorted(tree(tmp_path / "pack")) == ["a.pdf", "frames/1.png", "pack.json"]


def test_a_file_called_pack_is_not_removed(tmp_path: Path) -> None:
    (tmp_path / "pack").write_text("mine")
    with pytest.raises(JobFolderError, match="not a folder of its own"):
        make(tmp_path, b"x")
    assert (tmp_path / "pack").read_text() == "mine"


@pytest.mark.parametrize("name", ["", "../a", "/a", "a/../b", "a\\b", "./a", "a.pdf", "b/"])
def test_a_name_that_leads_out_or_stands_already_is_refused(tmp_path: Path, name: str) -> None:
    with new_pack(tmp_path) as writer:
        writer.write("a.pdf", b"x")
        with pytest.raises(ValueError, match="is no new name in the pack"):
            writer.write(name, b"y")


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(JobFolderError, match="there is no such file or folder"):
        make(tmp_path / "nowhere", b"x")


def _run(script: str, *arguments: Any) -> str:
    return subprocess.run(
        [sys.executable, "-c", script, *map(str, arguments)],
        check=True,
        capture_output=True,
        text=True,
    ).stdout
