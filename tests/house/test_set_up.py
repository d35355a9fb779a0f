"""What the project asks for, what it uses and what is locked are the same."""

from __future__ import annotations

import ast
import json
import re
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

# Distribution -> module, where the names differ.
MODULES = {
    "opencv-python-headless": "cv2",
    "pillow": "PIL",
    "skia-python": "skia",
}
# Used by another package on our behalf, so never imported by us: why.
INDIRECT = {
    "itsdangerous": "starlette signs the session cookie with it",
    "tzdata": "zoneinfo reads it where a machine has no list of time zones",
    "python-multipart": "starlette reads forms and uploads with it",
}


def distribution(requirement: str) -> str:
    """Normalised name of the distribution a requirement asks for."""
    (name,) = re.findall(r"^[A-Za-z0-9._-]+", requirement)
    return re.sub(r"[-_.]+", "-", str(name)).lower()


def imported(paths: Sequence[Path]) -> set[str]:
    """Top-level names of the modules imported, our own and the standard library's left out."""
    found: set[str] = set()
    for path in paths:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                found |= {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                found.add(node.module.split(".")[0])
    return found - set(sys.stdlib_module_names) - {"giornata"}


def locked(path: Path) -> dict[str, tuple[str, int]]:
    """What a lock holds: distribution -> version and number of hashes."""
    found: dict[str, tuple[str, int]] = {}
    name = ""
    for line in path.read_text(encoding="utf-8").splitlines():
        pinned = re.match(r"([A-Za-z0-9._-]+)==([^\s;\\]+)", line)
        if pinned:
            name = distribution(pinned.group(1))
            found[name] = (pinned.group(2), 0)
        elif line.strip().startswith("--hash=sha256:"):
            version, hashes = found[name]
            found[name] = (version, hashes + 1)
        elif line.strip() and not line.startswith("#"):
            raise ValueError(f"{path}: {line!r} is neither a pin nor a hash")
    return found


@pytest.fixture(scope="module")
def declared(project: dict[str, Any]) -> set[str]:
    """Distributions that the program needs to run."""
    return {distribution(one) for one in project["project"]["dependencies"]}


def test_what_is_declared_is_used(declared: set[str], modules: Sequence[Path]) -> None:
    used = imported(modules)
    unused = {
        name
        for name in declared - INDIRECT.keys()
        if MODULES.get(name, name.replace("-", "_")) not in used
    }
    assert unused == set()


def test_what_is_used_is_declared(declared: set[str], modules: Sequence[Path]) -> None:
    names = {module: name for name, module in MODULES.items()}
    used = {names.get(module, module.replace("_", "-")) for module in imported(modules)}
    # These are the ground that FastAPI and pydantic stand on, and come with them.
    assert used - declared - {"starlette", "pydantic-core"} == set()


@pytest.mark.parametrize("lock", ["run.txt", "dev.txt", "uv.txt"])
def test_each_lock_pins_with_hashes(root: Path, lock: str) -> None:
    pins = locked(root / "requirements" / lock)
    assert len(pins) > 0
    assert [name for name, (_, hashes) in pins.items() if hashes == 0] == []


def test_the_locks_hold_what_is_declared(
    root: Path, project: dict[str, Any], declared: set[str]
) -> None:
    run = locked(root / "requirements/run.txt")
    dev = locked(root / "requirements/dev.txt")
    groups = project["dependency-groups"]
    assert declared | set(map(distribution, groups["build"])) <= run.keys()
    assert set(map(distribution, groups["test"] + groups["lint"])) <= dev.keys()
    assert {name: pin[0] for name, pin in run.items()}.items() <= {
        name: pin[0] for name, pin in dev.items()
    }.items()


def test_the_front_ends_lock_pins_with_hashes_and_without_addresses(root: Path) -> None:
    lock = json.loads((root / "frontend/package-lock.json").read_text(encoding="utf-8"))
    packages = {name: package for name, package in lock["packages"].items() if name}
    assert len(packages) > 0
    assert [name for name, package in packages.items() if "resolved" in package] == []
    assert [name for name, package in packages.items() if "integrity" not in package] == []


def test_an_unhashed_line_is_seen(tmp_path: Path) -> None:
    lock = tmp_path / "run.txt"
    lock.write_text("numpy==2.4.6 \\\n    --hash=sha256:00\nscipy==1.17.1 ; x \\\n")
    assert locked(lock) == {"numpy": ("2.4.6", 1), "scipy": ("1.17.1", 0)}


def test_another_line_is_refused(tmp_path: Path) -> None:
    lock = tmp_path / "run.txt"
    lock.write_text("--extra-index-url somewhere\n")
    with pytest.raises(ValueError, match="neither a pin nor a hash"):
        locked(lock)
