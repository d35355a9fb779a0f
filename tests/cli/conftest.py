"""A small job whose answers are known by construction, the demo job, and a way to run verbs."""

from __future__ import annotations

import hashlib
import json
import re
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from giornata import cli, desk
from giornata.files import examples, first_job
from giornata.files.artwork import read_artwork

# The wall is 20 x 2.5 m with a door of 1 x 2 m. On it, at 10 mm to a unit, a red block of
# 2 x 1 m with a blue 1 m square inside it. So the net wall is 50 - 2 = 48 m², red shows
# 2 - 1 = 1 m², blue 1 m², white 46 m². The dot is as high as the block: blue meets white along
# 2 m above and below and red along 2 m at its sides; red keeps 6 - 2 = 4 m of edge with white.
DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2000 250">
<rect width="2000" height="250" fill="#ffffff"/>
<g id="block"><rect x="400" y="50" width="200" height="100" fill="#cc0000"/></g>
<g id="dot"><rect x="450" y="50" width="100" height="100" fill="#0000cc"/></g>
</svg>
"""
CHANGES = (
    ('overall = "12.00 m"', 'overall = "20.00 m"'),
    ('length = "4.00 m"', 'length = "6.00 m"'),
    ('length = "4.00 m"', 'length = "6.00 m"'),
    ('length = "3.998 m"', 'length = "8.00 m"'),
    ('{ at = "12.00 m", level = "2.50 m" }', '{ at = "20.00 m", level = "2.50 m" }'),
    ('{ at = "6.00 m", level = "0.02 m" }', '{ at = "6.00 m", level = "0.00 m" }'),
    ('{ at = "12.00 m", level = "0.03 m" }', '{ at = "20.00 m", level = "0.00 m" }'),
    ('from = "7.20 m"', 'from = "15.00 m"'),
    ('to = "8.10 m"', 'to = "16.00 m"'),
    ('head = "2.05 m"', 'head = "2.00 m"'),
    ('width = "12.00 m"', 'width = "20.00 m"'),
    ('hide = ["sun"]', 'hide = ["dot"]'),
    ('rate = "180 EUR"', 'rate = "150 EUR"'),
    ('contingency = "5 %"', 'contingency = "0 %"'),
)
PAINTS = re.compile(r"\[\[paints\]\].*?(?=# Options)", re.S)
COLOURWAYS = re.compile(r"\[\[colourways\]\].*?(?=\[choice\])", re.S)
NEW_PAINTS = """[[paints]]
key = "white"
name = "White"
role = "ground"
artwork = ["#ffffff"]
[[paints]]
key = "red"
name = "Red"
artwork = ["#cc0000"]
[[paints]]
key = "blue"
name = "Blue"
artwork = ["#0000cc"]

"""
NEW_COLOURWAYS = """[[colourways]]
key = "day"
name = "Day"
[colourways.colours]
white = "#ffffff"
red = "#cc0000"
blue = "#0000cc"
[[colourways]]
key = "dusk"
name = "Dusk"
[colourways.colours]
white = "#dddddd"
red = "#cc6600"
blue = "#003300"
[colourways.coats]
red = 4

"""


@dataclass(frozen=True, kw_only=True)
class Said:
    """What a verb said, and its exit code."""

    code: int
    out: str
    err: str

    @property
    def words(self) -> str:
        """What was said on stderr, whatever the lines."""
        return " ".join(self.err.split())

    @property
    def form(self) -> dict[str, Any]:
        form: dict[str, Any] = json.loads(self.out)
        return form


@pytest.fixture
def say(capsys: pytest.CaptureFixture[str]) -> Callable[..., Said]:
    """Run a verb in this process; nothing it says may be a traceback."""

    def run(*words: str | Path) -> Said:
        capsys.readouterr()
        code = cli.main([str(word) for word in words])
        printed = capsys.readouterr()
        assert "Traceback" not in printed.out + printed.err
        return Said(code=code, out=printed.out, err=printed.err)

    return run


def write_small_job(folder: Path) -> Path:
    content = first_job.first_job(units="metric", name="Block")
    text = content["job.toml"].decode()
    for old, new in CHANGES:
        assert old in text, old
        text = text.replace(old, new, 1)
    text, paints = PAINTS.subn(NEW_PAINTS, text, count=1)
    text, colourways = COLOURWAYS.subn(NEW_COLOURWAYS, text, count=1)
    assert (paints, colourways) == (1, 1)
    (folder / "artwork").mkdir(parents=True)
    (folder / "job.toml").write_text(text)
    (folder / "artwork/first.svg").write_text(DRAWING)
    return folder


_READ: dict[tuple[str, bytes, str], Any] = {}


@pytest.fixture(autouse=True)
def read_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Equal drawings are read once: each reading starts a process of its own."""

    def read(path: Path, **more: Any) -> Any:
        if path.stat().st_size >= 10_000:
            return read_artwork(path, **more)
        key = (path.name, path.read_bytes(), repr(sorted(more.items())))
        if key not in _READ:
            _READ[key] = read_artwork(path, **more)
        return _READ[key]

    monkeypatch.setattr("giornata.desk.opening.read_artwork", read)


@pytest.fixture
def small_job(tmp_path: Path) -> Path:
    """The folder of the small job."""
    return write_small_job(tmp_path / "block")


@pytest.fixture(scope="session")
def opened_block(tmp_path_factory: pytest.TempPathFactory) -> desk.Job:
    """The small job, opened once."""
    return desk.open_job(write_small_job(tmp_path_factory.mktemp("small") / "block"))


@pytest.fixture
def block(opened_block: desk.Job, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Folder of the small job for tests that only look at it; verbs find it open already."""
    monkeypatch.setattr("giornata.cli.opened.open_job", lambda folder: opened_block)
    monkeypatch.setattr("giornata.desk.open_job", lambda folder: opened_block)
    return opened_block.folder


@pytest.fixture(scope="session")
def opened_demo(tmp_path_factory: pytest.TempPathFactory) -> desk.Job:
    """The demo job, derived once."""
    folder = tmp_path_factory.mktemp("demo") / "port-merrow"
    shutil.copytree(examples.example_job("port-merrow"), folder)
    job = desk.open_job(folder)
    job.results()
    return job


@pytest.fixture
def demo(opened_demo: desk.Job, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Folder of the demo job; verbs find it open already."""
    monkeypatch.setattr("giornata.cli.opened.open_job", lambda folder: opened_demo)
    monkeypatch.setattr("giornata.desk.open_job", lambda folder: opened_demo)
    return opened_demo.folder


def bytes_of(folder: Path) -> dict[str, str]:
    """Digest of every file under a folder, by its path."""
    return {
        path.relative_to(folder).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture
def unharmed() -> Callable[[Path], dict[str, str]]:
    """Digests to compare a folder before and after."""
    return bytes_of
