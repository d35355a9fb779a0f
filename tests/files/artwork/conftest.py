"""The comparison of readings with pictures, kept beside the tools that make reports of it."""

from __future__ import annotations

import importlib
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest


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
