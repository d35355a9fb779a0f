"""A real Chromium for the tests of the pages.

Where there is none these tests are skipped at a desk and fail in a gate (``CI`` set), so that a
gate never passes without having looked.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

HERE = Path(__file__).parent
NAMES = ("chromium", "chromium-browser", "google-chrome")
# The program is alone with a local server: no sandbox (root), no calls home.
ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark every test of this folder, so that ``-m "not browser"`` leaves them out."""
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def chromium_path() -> str:
    """The Chromium to drive: GIORNATA_CHROMIUM, or the first one on the PATH."""
    named = os.environ.get("GIORNATA_CHROMIUM")
    found = named or next(filter(None, map(shutil.which, NAMES)), None)
    if found is None:
        missing = "no Chromium on this machine; tools/need-chromium installs one"
        if os.environ.get("CI"):
            pytest.fail(missing)
        pytest.skip(missing)
    return found


@pytest.fixture(scope="module")
def browser(chromium_path: str) -> Iterator[Browser]:
    """One browser for each file, each test in a context of its own.

    Not for the whole session: another driver of browsers cannot run beside this one.
    """
    with sync_playwright() as playwright:
        running = playwright.chromium.launch(
            executable_path=chromium_path, args=list(ARGUMENTS), headless=True
        )
        yield running
        running.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A fresh page in a context of its own, in British English; a script's fault fails the test."""
    context = browser.new_context(locale="en-GB", viewport={"width": 1280, "height": 800})
    context.set_default_timeout(30_000)  # against hanging; at load 20 a page took 10 s
    opened = context.new_page()
    faults: list[str] = []
    opened.on("pageerror", lambda fault: faults.append(str(fault)))
    yield opened
    context.close()
    assert faults == []
