"""The example job is found from a checkout and from an installed package alike."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from giornata.core.foundation import JobFolderError
from giornata.files.examples import example_job, example_names

ROOT = Path(__file__).resolve().parents[2]


def test_the_demo_job_comes_with_the_program() -> None:
    assert "port-merrow" in example_names()
    assert (example_job("port-merrow") / "job.toml").is_file()


def test_an_unknown_example_names_those_that_there_are() -> None:
    with pytest.raises(JobFolderError, match="no example job called 'atlantis'") as told:
        example_job("atlantis")
    assert "port-merrow" in told.value.remedy


def test_an_installed_package_carries_its_examples_inside(tmp_path: Path) -> None:
    """Known by construction: the layout that a wheel unpacks to."""
    package = tmp_path / "giornata"
    for part in ("__init__.py", "files/examples.py", "core/__init__.py"):
        (package / part).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(ROOT / "src/giornata" / part, package / part)
    (package / "files/__init__.py").touch()
    shutil.copytree(ROOT / "src/giornata/core/foundation", package / "core/foundation")
    (package / "examples/quay").mkdir(parents=True)
    (package / "examples/quay/job.toml").touch()
    found = subprocess.run(
        [
            sys.executable,
            "-c",
            "from giornata.files.examples import *; print(*example_names(), example_job('quay'))",
        ],
        cwd=tmp_path,
        env={"PYTHONPATH": str(tmp_path)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert found.stdout.split() == ["quay", str(package / "examples/quay")]
