"""What the tests of the house walk over."""

from __future__ import annotations

import subprocess
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def root() -> Path:
    """Folder of the checkout."""
    return ROOT


@pytest.fixture(scope="session")
def project() -> dict[str, Any]:
    """What pyproject.toml says."""
    return tomllib.loads((ROOT / "pyproject.toml").read_text())


@pytest.fixture(scope="session")
def core_rooms(project: dict[str, Any]) -> tuple[str, ...]:
    """Names of the rooms of the core, as the layers contract lists them.

    A room in brackets need not be there yet.
    """
    (rooms,) = (
        contract["layers"]
        for contract in project["tool"]["importlinter"]["contracts"]
        if contract.get("containers") == ["giornata.core"]
    )
    names = [name.strip() for floor in rooms for name in floor.split("|")]
    planned = {name.strip("()") for name in names if name.startswith("(")}
    built = {
        name for name in planned if (ROOT / "src/giornata/core" / name / "__init__.py").exists()
    }
    return tuple(sorted({name.strip("()") for name in names} - planned | built))


@pytest.fixture(scope="session")
def own_files() -> Sequence[Path]:
    """Every file of the checkout that is ours: known to git, or new and not ignored."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        check=True,
        capture_output=True,
        text=True,
    )
    paths = (ROOT / name for name in listed.stdout.split("\0") if name)
    return tuple(sorted(path for path in paths if path.is_file()))


@pytest.fixture(scope="session")
def modules() -> Sequence[Path]:
    """Every Python module of the package."""
    return tuple(sorted((ROOT / "src/giornata").rglob("*.py")))


@pytest.fixture(scope="session")
def core_modules() -> Sequence[Path]:
    """Every Python module of the core."""
    return tuple(sorted((ROOT / "src/giornata/core").rglob("*.py")))


@pytest.fixture(scope="session")
def files_of_tests() -> Sequence[Path]:
    """Every Python file of the tests."""
    return tuple(sorted((ROOT / "tests").rglob("*.py")))
