"""The shipped typeface in a real browser, and nothing asked of any other host."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import Page, Request

import giornata

STATIC = Path(giornata.__file__).parent / "web/static"


def test_the_typeface_is_drawn_and_its_figures_are_tabular(page: Page) -> None:
    """Known by construction: in tabular figures eight ones are as wide as eight eights."""
    asked: list[str] = []

    def note(request: Request) -> None:
        asked.append(request.url)

    page.on("request", note)
    page.route(
        "http://wall.invalid/**",
        lambda route: route.fulfill(path=STATIC / re.sub(r"^.*invalid/", "", route.request.url)),
    )
    page.set_content(
        """
        <base href="http://wall.invalid/">
        <style>
          @font-face {
            font-family: Shipped;
            src: url(http://wall.invalid/fonts/IBMPlexSans-Regular.woff2);
          }
          span { font: 40px Shipped, monospace }
        </style>
        <span id="ones">11111111</span><br><span id="eights">88888888</span><br>
        <span id="letters">iiiiiiii</span>
        """
    )
    loaded = page.evaluate(
        "() => document.fonts.ready.then(() => document.fonts.check('40px Shipped'))"
    )
    width = {
        name: page.locator(f"#{name}").evaluate("e => e.getBoundingClientRect().width")
        for name in ("ones", "eights", "letters")
    }
    assert loaded is True
    assert width["ones"] == width["eights"]
    assert width["letters"] < 0.7 * width["ones"]  # the fallback is monospaced: not that one
    assert all(url.startswith("http://wall.invalid/") for url in asked)
