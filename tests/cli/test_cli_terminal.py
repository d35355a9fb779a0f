"""The command in a process of its own: start, terminal, Ctrl-C, encodings."""

from __future__ import annotations

import json
import os
import pty
import re
import select
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from giornata.files import examples

COMMAND = [sys.executable, "-m", "giornata"]
ESCAPES = re.compile(r"\x1b\[[0-9;?]*[a-zA-Z]")


def run(*words: str | Path, **environment: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [*COMMAND, *map(str, words)],
        capture_output=True,
        timeout=120,
        env={**os.environ, **environment},
    )


def on_a_terminal(
    *words: str | Path, stop_at: bytes | None = None, **environment: str
) -> tuple[int, str]:
    """Run with a terminal for stdout and stderr; press Ctrl-C once ``stop_at`` is seen."""
    leader, follower = pty.openpty()
    running = subprocess.Popen(
        [*COMMAND, *map(str, words)], stdin=follower, stdout=follower, stderr=follower,
        env={**os.environ, "TERM": "xterm", "COLUMNS": "80", **environment},
        start_new_session=True,
        # A shell's background jobs ignore Ctrl-C, and what they start inherits that.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )  # fmt: skip
    os.close(follower)
    seen, until = b"", time.monotonic() + 90
    try:
        while time.monotonic() < until:
            if select.select([leader], [], [], 0.2)[0]:
                try:
                    read = os.read(leader, 65536)
                except OSError:  # the other end was closed
                    break
                if not read:
                    break
                seen += read
            if stop_at is not None and stop_at in seen:
                stop_at = None
                os.killpg(running.pid, signal.SIGINT)  # as a terminal does: to all at once
        return running.wait(timeout=60), seen.decode()
    finally:
        running.kill()
        running.wait()
        os.close(leader)


def test_help_loads_none_of_the_heavy_libraries():
    heavy = ("numpy", "scipy", "shapely", "cv2", "pydantic", "rich", "tomlkit", "skia", "fastapi")
    script = (
        "import sys; from giornata.cli import main; main(['--help']); "
        f"print(*[name for name in {heavy!r} if name in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True)
    assert done.stderr.strip() == ""
    assert "take-off" in done.stdout


def test_the_installed_command_is_this_one():
    script = Path(sys.executable).with_name("giornata")
    done = subprocess.run([str(script), "version"], capture_output=True, text=True)
    assert done.returncode == 0
    assert done.stdout.startswith("\ngiornata")


def test_progress_is_drawn_on_a_terminal_and_ctrl_c_stops_it():
    folder = examples.example_job("port-merrow")
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    code, seen = on_a_terminal("take-off", folder, stop_at=b"artwork")
    assert code == 130, seen
    said = ESCAPES.sub("", seen)
    assert "Stopped." in said
    assert "Traceback" not in said
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize("switch", ["--quiet", "--json"])
def test_progress_is_not_drawn_where_it_is_not_wanted(small_job, switch):
    code, seen = on_a_terminal("take-off", small_job, switch)
    assert code == 0
    assert "\r\x1b" not in seen
    assert "setting out" not in seen


def test_colour_on_a_terminal_alone_and_not_with_no_color(small_job):
    # NO_COLOR (no-color.org): present and not empty, no colour is added.
    coloured = re.compile(r"\x1b\[[0-9;]*3[0-9](;|m)")
    _, seen = on_a_terminal("colourways", small_job, "--quiet", COLORTERM="truecolor")
    assert coloured.search(seen)
    _, seen = on_a_terminal("colourways", small_job, "--quiet", NO_COLOR="1")
    assert not coloured.search(seen)
    assert "#cc0000" in seen


@pytest.mark.parametrize(
    ("encoding", "area"),
    [("latin-1", "48.00 m²"), ("ascii", "48.00 m2")],
)
def test_any_encoding_will_do(small_job, encoding, area):
    done = run("survey", small_job, PYTHONIOENCODING=encoding)
    assert done.returncode == 0
    assert b"\x1b" not in done.stdout  # no terminal, no colour
    text = done.stdout.decode(encoding)
    assert area in text
    assert "+/- " in text if encoding == "ascii" else "± " in text


def test_json_is_json_in_any_encoding(small_job):
    done = run("survey", small_job, "--json", PYTHONIOENCODING="ascii")
    assert json.loads(done.stdout.decode("ascii"))["result"]["net_area"]["unit"] == "m²"


def test_an_error_is_said_in_any_encoding(tmp_path):
    done = run("check", tmp_path / "Größe", PYTHONIOENCODING="ascii")
    assert done.returncode == 5
    assert b"Gro?e: there is no such folder" in b" ".join(done.stderr.split())
    assert b"Traceback" not in done.stderr
