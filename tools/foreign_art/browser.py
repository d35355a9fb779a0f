"""The second independent renderer: pictures of drawings as a real Chromium shows them."""

from __future__ import annotations

import base64
import math
import os
import shutil
from types import TracebackType

from playwright.sync_api import Error, sync_playwright

from foreign_art.painting import Pixels, premultiplied

__all__ = ["Chromium", "chromium_path"]

_NAMES = ("chromium", "chromium-browser", "google-chrome")
_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--force-color-profile=srgb",
]


def chromium_path() -> str | None:
    """The Chromium to drive: GIORNATA_CHROMIUM, or the first one on the PATH."""
    named = os.environ.get("GIORNATA_CHROMIUM")
    return named or next(filter(None, map(shutil.which, _NAMES)), None)


class Chromium:
    """A running browser; a context manager."""

    def __init__(self, path: str) -> None:
        self._play = sync_playwright().start()
        self._browser = self._play.chromium.launch(
            executable_path=path, args=_ARGUMENTS, headless=True
        )
        self.version: str = self._browser.version

    def __enter__(self) -> Chromium:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._browser.close()
        self._play.stop()

    def picture(
        self, source: bytes, width: float, height: float, side: int
    ) -> tuple[Pixels, float] | None:
        """The drawing in a window of its own size, and pixels to the unit.

        None where the browser shows no picture. The browser is offline, and a drawing that comes
        as an address that holds it may load no file.
        """
        scale = side / max(width, height)
        context = self._browser.new_context(
            viewport={"width": math.ceil(width), "height": math.ceil(height)},
            device_scale_factor=scale,
            offline=True,
        )
        try:
            page = context.new_page()
            link = base64.b64encode(source).decode("ascii")
            page.goto(f"data:image/svg+xml;base64,{link}", timeout=20_000)
            if not page.evaluate("document.documentElement.nodeName === 'svg'"):
                return None
            data = page.screenshot(omit_background=True, timeout=60_000)
        except Error:
            return None
        finally:
            context.close()
        return premultiplied(data), scale
