"""A small job behind the pages, without a browser."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from giornata.desk import begin_job
from giornata.web import create_app

KEY = "a-key-of-the-tests"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    begin_job(tmp_path / "wall")
    return tmp_path / "wall"


@pytest.fixture
def stranger(folder: Path) -> Iterator[TestClient]:
    """Somebody without the key."""
    with TestClient(create_app(folder, key=KEY), base_url="http://127.0.0.1") as client:
        yield client


@pytest.fixture
def client(stranger: TestClient) -> TestClient:
    """The painter, who came by the start address."""
    stranger.get("/", params={"key": KEY})
    return stranger


@pytest.fixture
def until() -> Callable[[TestClient, str], dict[str, object]]:
    """Wait until the job is in a state; its record."""

    def wait(client: TestClient, state: str) -> dict[str, object]:
        for _ in range(300):
            said: dict[str, object] = client.get("/api/state").json()
            if said["state"] == state:
                return said
            time.sleep(0.1)
        raise AssertionError(f"never {state}: {said}")

    return wait
