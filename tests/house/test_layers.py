"""The contracts of pyproject.toml hold, and each of them can break.

The real tree is checked by ``lint-imports``, here and as a gate. The faults are planted in an empty
house with the same contracts.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

FLOORS = ("web", "cli", "desk", "files")


def lint(folder: Path, house: Path) -> subprocess.CompletedProcess[str]:
    """Run import-linter with the contracts in ``folder`` on the package in ``house``."""
    script = (
        "import sys; sys.path.insert(0, sys.argv.pop(1));"
        "from importlinter.cli import lint_imports_command as run; run()"
    )
    return subprocess.run(
        [sys.executable, "-c", script, str(house), "--no-cache", "--no-logo"],
        cwd=folder,
        capture_output=True,
        text=True,
    )


@pytest.fixture
def empty_house(
    tmp_path: Path, root: Path, core_rooms: tuple[str, ...], project: dict[str, Any]
) -> Path:
    """A package with every floor and room in it, two modules in each room, and no fault."""
    house = tmp_path / "giornata"
    homes = [house, *(house / floor for floor in FLOORS), house / "core"]
    homes += [house / "core" / room for room in core_rooms]
    for home in homes:
        home.mkdir()
        (home / "__init__.py").touch()
        (home / "wall.py").touch()
        (home / "line.py").touch()
    (house / "__main__.py").touch()
    (house / "wall.py").unlink()
    (house / "line.py").unlink()
    (house / "core/wall.py").unlink()
    (house / "core/line.py").unlink()
    text = (root / "pyproject.toml").read_text()
    (tmp_path / "pyproject.toml").write_text(text)
    return house


def test_the_tree_keeps_its_contracts(root: Path) -> None:
    done = lint(root, root / "src")
    assert done.returncode == 0, done.stdout + done.stderr


def test_an_empty_house_keeps_its_contracts(empty_house: Path) -> None:
    done = lint(empty_house.parent, empty_house.parent)
    assert done.returncode == 0, done.stdout + done.stderr


FAULTS = {
    "a lower floor knows a higher one": (
        "core/survey/wall.py",
        "from giornata.files import wall",
        "giornata.core.survey.wall -> giornata.files.wall",
    ),
    "a room knows one above it": (
        "core/survey/wall.py",
        "from giornata.core.takeoff import wall",
        "giornata.core.survey.wall -> giornata.core.takeoff.wall",
    ),
    "a room knows its neighbour": (
        "core/survey/wall.py",
        "from giornata.core.artwork import wall",
        "giornata.core.survey.wall -> giornata.core.artwork.wall",
    ),
    "faces know each other": (
        "cli/wall.py",
        "from giornata.web import wall",
        "giornata.cli.wall -> giornata.web.wall",
    ),
    "the core opens files": (
        "core/survey/wall.py",
        "import pathlib",
        "giornata.core.survey.wall -> pathlib",
    ),
    "the core draws": (
        "core/documents/wall.py",
        "from PIL import Image",
        "giornata.core.documents.wall -> PIL",
    ),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_wrong_import_is_named(empty_house: Path, fault: str) -> None:
    where, line, named = FAULTS[fault]
    (empty_house / where).write_text(line + "\n")
    done = lint(empty_house.parent, empty_house.parent)
    assert done.returncode == 1
    assert named in " ".join(done.stdout.split())


def test_a_cycle_inside_a_room_is_named(empty_house: Path) -> None:
    room = empty_house / "core/survey"
    (room / "wall.py").write_text("from giornata.core.survey import line\n")
    (room / "line.py").write_text("from giornata.core.survey import wall\n")
    done = lint(empty_house.parent, empty_house.parent)
    assert done.returncode == 1
    assert "No cycles inside a room BROKEN" in done.stdout


@pytest.mark.parametrize("container", ["giornata", "giornata.core"])
def test_a_room_in_no_layer_is_named(empty_house: Path, container: str) -> None:
    attic = empty_house.parent.joinpath(*container.split("."), "attic")
    attic.mkdir()
    (attic / "__init__.py").touch()
    done = lint(empty_house.parent, empty_house.parent)
    assert done.returncode == 1
    assert f"{container}.attic" in done.stdout
