"""The comparison of readings with pictures, kept beside the tools that make reports of it."""

from __future__ import annotations

import importlib
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

from giornata.files.artwork.child import read_vector
from giornata.files.artwork.confinement import Allowance
from giornata.files.artwork.kinds import Kind
from giornata.files.artwork.reading import Reading
from giornata.files.artwork.transfer import from_bytes, to_bytes


@pytest.fixture(scope="session")
def tools_path() -> Iterator[None]:
    """Modules of ``tools`` can be imported."""
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(str(Path(__file__).resolve().parents[3] / "tools"))
        yield


@pytest.fixture(scope="session")
def comparing(tools_path: None) -> ModuleType:
    """Differences of two pictures."""
    return importlib.import_module("foreign_art.comparing")


@pytest.fixture(scope="session")
def painting(tools_path: None) -> ModuleType:
    """Shapes as read, painted as pixels."""
    return importlib.import_module("foreign_art.painting")


@pytest.fixture(scope="session")
def report(tools_path: None) -> ModuleType:
    """The report on foreign drawings."""
    return importlib.import_module("corpus_report")


@pytest.fixture
def read_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """Vector files are read in this process: of use where limits on it are not what is tested."""

    def read(data: bytes, name: str, kind: Kind, allowance: Allowance) -> Reading:
        return from_bytes(to_bytes(read_vector(data, name, kind)))

    monkeypatch.setattr("giornata.files.artwork.door.read_confined", read)
