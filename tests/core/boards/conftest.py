"""Made photos at night: see tests/made_night.py."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def made_night() -> ModuleType:
    path = Path(__file__).parents[2] / "made_night.py"
    spec = importlib.util.spec_from_file_location("made_night", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["made_night"] = module  # records look their module up
    spec.loader.exec_module(module)
    return module
