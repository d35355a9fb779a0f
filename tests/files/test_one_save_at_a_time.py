"""Two programs that change one job at once: one of them is refused, and nothing is lost."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor, wait
from pathlib import Path

import pytest

from giornata.core.foundation import JobFolderError, StaleJobError
from giornata.files import history, job_file, saving

DEMO = Path(__file__).parents[2] / "examples" / "port-merrow" / "job.toml"

#: Another program, which stops between its look at the digest and its save until it is told.
OTHER = """
import sys
from pathlib import Path
from giornata.files import history, job_file
path, save = Path(sys.argv[1]), history.save
def slowly(*given):
    print("looked", flush=True)
    sys.stdin.readline()
    save(*given)
history.save = slowly
job_file.change(path, "price.rate", "160 EUR", expected=job_file.read(path).digest)
print("saved", flush=True)
sys.stdin.readline()
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return Path(shutil.copy(DEMO, tmp_path / "job.toml"))


@pytest.fixture
def other(job: Path) -> Iterator[subprocess.Popen[str]]:
    command = [sys.executable, "-c", OTHER, str(job)]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as program:
        assert program.stdout is not None
        assert program.stdout.readline() == "looked\n"
        yield program
        program.kill()


def tell(program: subprocess.Popen[str]) -> None:
    assert program.stdin is not None
    program.stdin.write("\n")
    program.stdin.flush()


def test_of_two_that_change_a_job_at_once_one_is_refused(job, other):
    seen = job_file.read(job).digest
    with ThreadPoolExecutor(1) as pool:
        ours = pool.submit(job_file.change, job, "paint.coats", 3, expected=seen)
        assert wait([ours], timeout=0.3).done == set()  # it waits for the other one
        tell(other)
        with pytest.raises(StaleJobError, match="has changed since"):
            ours.result(timeout=30)
    assert job_file.read(job).tables.price.rate.amount == 160
    assert len(history.kept(job.parent)) == 1
    again = job_file.read(job).digest
    job_file.change(job, "paint.coats", 3, expected=again)  # as the remedy says
    assert job_file.read(job).tables.price.rate.amount == 160


def test_what_another_program_does_not_finish_is_waited_for_and_then_told(job, other, monkeypatch):
    monkeypatch.setattr(saving, "_PATIENCE", 0.1)
    before, seen = job.read_bytes(), job_file.read(job).digest
    with pytest.raises(JobFolderError, match="another program is saving here"):
        job_file.change(job, "paint.coats", 3, expected=seen)
    assert job.read_bytes() == before
    other.kill()
    other.wait()
    job_file.change(job, "paint.coats", 3, expected=seen)  # it let go as it ended
    assert history.undo(job).name == "0001.toml"
    assert job.read_bytes() == before


def test_a_folder_that_cannot_be_opened_as_a_file_is_saved_in(tmp_path, monkeypatch):
    opened = os.open

    def as_on_windows(path: str | Path, *more: int) -> int:
        if Path(path).is_dir():
            raise PermissionError(13, "Permission denied")
        return opened(path, *more)

    monkeypatch.delattr(os, "O_DIRECTORY")  # which it has not
    monkeypatch.setattr(os, "open", as_on_windows)
    saving.replace_file(tmp_path / "job.toml", b"one")
    assert (tmp_path / "job.toml").read_bytes() == b"one"
