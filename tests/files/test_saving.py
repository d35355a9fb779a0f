"""Saving and the site log under crashes."""

from __future__ import annotations

import os
import signal
import sqlite3
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path

import pytest

from giornata.core.foundation import JobFolderError
from giornata.files import saving
from giornata.files.site_log import SiteLog

NOON = datetime(2027, 2, 8, 12, 0, tzinfo=UTC)


def test_a_new_file_takes_the_old_ones_place(tmp_path):
    path = tmp_path / "job.toml"
    saving.replace_file(path, b"one")
    saving.replace_file(path, b"two")
    assert path.read_bytes() == b"two"
    assert [p.name for p in tmp_path.iterdir()] == ["job.toml"]


SAVER = """
import sys
from pathlib import Path
from giornata.files.saving import replace_file
path = Path(sys.argv[1])
print("begun", flush=True)
for n in range(10**9):
    letter = b"ab"[n % 2 : n % 2 + 1]
    replace_file(path, letter * 200_000)
"""


def test_a_killed_save_leaves_a_whole_file(tmp_path):
    path = tmp_path / "job.toml"
    path.write_bytes(b"a" * 200_000)
    for wait in (0.005, 0.011, 0.017, 0.023, 0.031):
        worker = subprocess.Popen(
            [sys.executable, "-c", SAVER, str(path)], stdout=subprocess.PIPE, text=True
        )
        assert worker.stdout is not None
        assert worker.stdout.readline() == "begun\n"
        time.sleep(wait)
        os.kill(worker.pid, signal.SIGKILL)
        worker.wait()
        worker.stdout.close()
        content = path.read_bytes()
        assert content in (b"a" * 200_000, b"b" * 200_000)
    young = tmp_path / "job.toml.0.giornata-tmp"
    young.touch()
    saving.sweep(tmp_path)  # another process may be at work on it
    assert young.exists()
    for left in tmp_path.glob("*.giornata-tmp"):
        os.utime(left, (0, 0))
    assert saving.sweep(tmp_path) >= 1
    assert [p.name for p in tmp_path.iterdir()] == ["job.toml"]


def test_two_that_save_the_same_file_at_once_leave_one_of_both_whole(tmp_path):
    path = tmp_path / "job.toml"
    contents = [letter * 300_000 for letter in (b"a", b"b", b"c")]

    def save(content: bytes) -> None:
        for _ in range(15):
            saving.replace_file(path, content)
            saving.sweep(tmp_path)

    with ThreadPoolExecutor(3) as pool:
        for done in [pool.submit(save, content) for content in contents]:
            done.result()
    assert path.read_bytes() in contents
    assert [p.name for p in tmp_path.iterdir()] == ["job.toml"]


def test_a_full_disk_is_told_from_a_read_only_one(tmp_path):
    with pytest.raises(JobFolderError, match="disk is full"):
        _fill()


def _fill() -> None:
    with saving.outside_faults(Path("/dev/full"), "Saving"), Path("/dev/full").open("wb") as sink:
        sink.write(b"x" * 100_000)


def test_the_log_keeps_order_and_undoes_by_another_event(tmp_path):
    with SiteLog(tmp_path / "site.sqlite") as log:
        first = log.append("traced", "set-up 1", {"lines": 4}, at=NOON)
        second = log.append("traced", "set-up 2", {}, at=NOON)
        log.undo(first, at=NOON)
        assert [e.subject for e in log.events()] == ["set-up 2"]
        assert [e.number for e in log.events(standing=False)] == [1, 2, 3]
        assert log.events()[0] == second


def test_undoing_an_undoing_brings_the_event_back(tmp_path):
    with SiteLog(tmp_path / "site.sqlite") as log:
        first = log.append("traced", "set-up 1", {}, at=NOON)
        gone = log.undo(first, at=NOON)
        log.undo(gone, at=NOON)
        assert [e.number for e in log.events()] == [1]


def test_an_event_is_undone_once(tmp_path):
    with SiteLog(tmp_path / "site.sqlite") as log:
        first = log.append("traced", "set-up 1", {}, at=NOON)
        log.undo(first, at=NOON)
        with pytest.raises(JobFolderError, match="UNIQUE"):
            log.undo(first, at=NOON)


def test_a_retry_with_the_same_key_counts_once(tmp_path):
    with SiteLog(tmp_path / "site.sqlite") as log:
        once = log.append("mark", "M1", {"x": 1}, at=NOON, key="k1")
        again = log.append("mark", "M1", {"x": 1}, at=NOON, key="k1")
        assert once == again
        assert len(log.events()) == 1


def test_nothing_in_the_log_is_changed_or_removed(tmp_path):
    with SiteLog(tmp_path / "site.sqlite") as log:
        log.append("mark", "M1", {}, at=NOON)
    base = sqlite3.connect(tmp_path / "site.sqlite")
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        base.execute("UPDATE events SET kind = 'x'")
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        base.execute("DELETE FROM events")
    base.close()


def test_a_file_that_is_no_log_is_refused_and_left_alone(tmp_path):
    path = tmp_path / "site.sqlite"
    path.write_bytes(b"not a database at all" * 100)
    with pytest.raises(JobFolderError, match="cannot be used"):
        SiteLog(path)
    assert path.read_bytes() == b"not a database at all" * 100


def test_an_event_without_a_zone_is_refused(tmp_path):
    with SiteLog(tmp_path / "site.sqlite") as log:
        bare = datetime(2027, 2, 8, 12, 0)  # noqa: DTZ001
        with pytest.raises(ValueError, match="zone"):
            log.append("mark", "M1", {}, at=bare)


LOGGER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from giornata.files.site_log import SiteLog
log = SiteLog(Path(sys.argv[1]))
for n in range(10**6):
    event = log.append("mark", "M", {"n": n}, at=datetime.now(UTC))
    print(event.number, flush=True)
"""


def test_acknowledged_events_survive_a_kill(tmp_path):
    path = tmp_path / "site.sqlite"
    worker = subprocess.Popen(
        [sys.executable, "-c", LOGGER, str(path)], stdout=subprocess.PIPE, text=True
    )
    assert worker.stdout is not None
    acknowledged = [int(worker.stdout.readline()) for _ in range(40)]
    os.kill(worker.pid, signal.SIGKILL)
    acknowledged += [int(row) for row in worker.stdout.read().split() if row.isdigit()]
    worker.stdout.close()
    worker.wait()
    with SiteLog(path) as log:
        kept = {e.number for e in log.events()}
    assert set(acknowledged[:-1]) <= kept  # the last row read may be cut off in the middle
