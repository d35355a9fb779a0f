"""The wheel carries all that the program reads: typeface, templates, bundle, example jobs."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from collections.abc import Sequence
from pathlib import Path

import pytest


@pytest.fixture(scope="module")
def wheel(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel of this checkout, built without a network."""
    folder = tmp_path_factory.mktemp("wheel")
    built = subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)],
        cwd=root,
        capture_output=True,
        text=True,
    )
    assert built.returncode == 0, built.stdout + built.stderr
    (path,) = folder.glob("*.whl")
    return path


def test_the_wheel_carries_every_file_of_the_package_and_its_examples(
    wheel: Path, root: Path, own_files: Sequence[Path]
) -> None:
    carried = set(zipfile.ZipFile(wheel).namelist())
    package = {
        path.relative_to(root / "src").as_posix()
        for path in own_files
        if root / "src" in path.parents
    }
    examples = {
        "giornata/" + path.relative_to(root).as_posix()
        for path in own_files
        if root / "examples" in path.parents
    }
    bundle = {f"giornata/web/static/dist/{name}" for name in ("viewer.js", "LICENSES.txt")}
    assert len(package) > 50
    assert len(examples) > 1
    assert (package | examples | bundle) - carried == set()


def test_the_wheel_carries_its_licences(wheel: Path) -> None:
    carried = zipfile.ZipFile(wheel).namelist()
    licences = {name.split("/licenses/")[1] for name in carried if "/licenses/" in name}
    assert {"LICENSE", "NOTICE", "src/giornata/files/fonts/LICENSE.txt"} <= licences


def test_the_example_is_found_in_an_unpacked_wheel(wheel: Path, tmp_path: Path) -> None:
    zipfile.ZipFile(wheel).extractall(tmp_path)
    found = subprocess.run(
        [
            sys.executable,
            "-c",
            "from giornata.files.examples import example_job; print(example_job('port-merrow'))",
        ],
        cwd=tmp_path,
        env={"PYTHONPATH": str(tmp_path)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert found.stdout.strip() == str(tmp_path / "giornata/examples/port-merrow")
