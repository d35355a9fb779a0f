"""The job's page in a real browser: the demo wall, drawn, moved, recoloured and explained."""

from __future__ import annotations

import io
import re
import shutil
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import uvicorn
from PIL import Image
from playwright.sync_api import Page

from giornata.desk import Job, begin_job, open_job
from giornata.files.examples import example_job
from giornata.web import create_app, watching

ROOT = Path(__file__).parents[2]
AXE = ROOT / "frontend" / "node_modules" / "axe-core" / "axe.min.js"
KEY = "browser-tests"


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The pages of a job folder on an address of this machine."""
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        door.listen()  # who comes before the server is up waits, and is not refused
        app = create_app(folder, key=KEY)
        settings = uvicorn.Config(app, log_level="warning", timeout_graceful_shutdown=1)
        server = uvicorn.Server(settings)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{door.getsockname()[1]}"
        server.should_exit = True
        thread.join(timeout=10)


@pytest.fixture(scope="session")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Address of the demo job's pages, one server for all tests."""
    folder = tmp_path_factory.mktemp("pages") / "demo"
    shutil.copytree(example_job("port-merrow"), folder)
    with served(folder) as where:
        yield where


def opened(page: Page, address: str) -> Page:
    """The job's page, with its drawing on the screen."""
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{address}/?key={KEY}")
    page.wait_for_selector("html[data-drawn]", state="attached", timeout=180_000)
    page.wait_for_timeout(300)
    foreign = [url for url in asked if not url.startswith((address, "data:"))]
    assert foreign == []
    return page


def picture(page: Page, selector: str) -> Image.Image:
    page.wait_for_timeout(400)
    return Image.open(io.BytesIO(page.locator(selector).screenshot())).convert("RGB")


def share_of(image: Image.Image, colour: str, within: int = 6) -> float:
    """Share of the pixels that are a colour, to within a few levels."""
    wanted = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
    away = np.abs(np.asarray(image, dtype=int) - wanted).max(axis=2)
    return float((away <= within).mean())


def window_has(page: Page, side: str, more: float) -> None:
    """Wait until the window on the strip is farther along, or wider, than so many pixels."""
    page.wait_for_function(
        "([side, more]) => document.getElementById('window').getBoundingClientRect()[side] > more",
        arg=[side, more],
    )


def test_the_wall_is_drawn_in_the_chosen_colourway(page, address):
    opened(page, address)
    wall = picture(page, "#wall")
    # Slack water: haze is most of what shows, deep water lies along the foot.
    assert share_of(wall, "#cfdad6") > 0.15
    assert share_of(wall, "#1f4b60") > 0.02
    strip = picture(page, "#strip")
    assert share_of(strip, "#cfdad6") > 0.05
    assert "Net wall" in page.inner_text(".summary")
    assert "196.13 m²" in page.inner_text(".summary")


def test_a_colourway_recolours_and_asks_for_no_geometry(page, address):
    opened(page, address)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.get_by_role("link", name="Dulse").first.click()
    page.wait_for_selector("html[data-drawn='A dulse']", state="attached")
    wall = picture(page, "#wall")
    assert share_of(wall, "#ead9c4") > 0.15
    assert share_of(wall, "#cfdad6") < 0.01
    assert not [url for url in asked if "/api/artwork" in url]


def test_an_option_brings_its_own_figures(page, address):
    opened(page, address)
    before = page.inner_text(".summary")
    page.get_by_role("link", name="Low water").first.click()
    page.wait_for_selector("html[data-drawn^='B ']", state="attached")
    assert page.inner_text(".summary") != before


def test_of_two_choices_the_later_one_is_shown_whichever_answers_first(page, address):
    opened(page, address)
    held = []
    page.route(re.compile(r"/\?.*option=B"), lambda route: held.append(route))
    page.get_by_role("link", name="Low water").first.click()
    page.get_by_role("link", name="Dulse").first.click()  # of the option that is shown
    page.wait_for_selector("html[data-drawn='A dulse']", state="attached")
    shown = page.inner_text("main")
    with page.expect_response(re.compile(r"option=B")) as answer:
        held[0].continue_()
    answer.value.finished()
    page.wait_for_timeout(300)  # nothing is to come of it
    assert page.inner_text("main") == shown
    assert page.get_attribute("html", "data-drawn") == "A dulse"


def test_zoom_pan_and_the_whole_wall_change_the_picture_and_the_window(page, address):
    opened(page, address)
    start, box = picture(page, "#wall"), page.locator("#window").bounding_box()
    page.click("#nearer")
    nearer = picture(page, "#wall")
    assert nearer.tobytes() != start.tobytes()
    assert page.locator("#window").bounding_box()["width"] < box["width"]
    page.focus("#wall")
    page.keyboard.press("ArrowRight")
    assert picture(page, "#wall").tobytes() != nearer.tobytes()
    page.click("#whole")
    window_has(page, "width", 2 * box["width"])


def test_the_window_moves_by_the_keyboard(page, address):
    opened(page, address)
    before = page.locator("#window").bounding_box()["x"]
    page.focus("#window")
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    window_has(page, "x", before)


def test_a_layer_can_be_switched_off(page, address):
    opened(page, address)
    page.uncheck("input[name=artwork]")
    assert share_of(picture(page, "#wall"), "#1f4b60") < 0.005


def test_a_figure_unfolds_to_what_it_was_made_from(page, address):
    opened(page, address)
    figure = page.locator(".summary button.figure").first
    figure.click()
    page.wait_for_selector(".explanation")
    said = page.inner_text(".explanation")
    assert "gross area - openings" in said
    assert "derived" in said
    deeper = page.locator(".explanation button.figure").first
    deeper.click()
    page.wait_for_function("() => document.querySelectorAll('.explanation').length > 1")
    assert figure.get_attribute("aria-expanded") == "true"


def test_findings_say_what_to_do_and_lead_to_their_place(page, address):
    opened(page, address)
    findings = page.locator("#findings li.finding")
    assert findings.count() > 5
    assert "Do:" in findings.first.inner_text()
    before = page.locator("#window").bounding_box()["x"]
    page.locator("#findings button.place", has_text=re.compile("Steps gate")).first.click()
    window_has(page, "x", before + 100)  # the gate is at 60 of 78 m


def test_n52_the_nights_their_darkness_and_what_fits_stand_on_the_page(page, address):
    opened(page, address)
    assert re.match(
        r"Dark (from|for another)|No more darkness|It does not", page.inner_text("#tonight")
    )
    rows = [
        row.locator("th, td").all_inner_texts()
        for row in page.locator("#table-nights tbody tr").all()
    ]
    assert rows[0][1] == "17 May 2027"  # the job's first evening
    # 56.02 N 2.61 W on 17 May: sunset about 21.15, civil dusk about 21.59, civil dawn about 4.08
    # by the place's clocks (from memory, to some minutes); a bright image may begin near dusk.
    assert "21:15" < rows[0][2] < "23:30"
    assert "02:30" < rows[0][3] < "05:00"
    numbers = sorted(int(one) for row in rows for one in row[5].split(", "))
    assert numbers == list(range(1, len(numbers) + 1))  # each set-up in one night
    assert rows[-1][7] == "none"


def test_us_units(page, address):
    opened(page, address)
    page.get_by_role("link", name="US", exact=True).click()
    page.wait_for_load_state()
    assert "2,111.2 sq ft" in page.inner_text(".summary")  # 196.13 / 0.3048²


@pytest.mark.parametrize("light", ["light", "dark", "night"])
@pytest.mark.parametrize("size", [(1366, 768), (360, 740)])
def test_every_light_and_size_is_legible_and_nothing_sticks_out(browser, address, light, size):
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, bypass_csp=True, locale="en-GB"
    )
    page = context.new_page()
    opened(page, address)
    page.select_option("#theme", light)
    page.wait_for_timeout(300)
    wide = page.evaluate("() => document.documentElement.scrollWidth")
    assert wide <= size[0]
    assert AXE.is_file(), "npm --prefix frontend ci installs axe-core"
    page.add_script_tag(path=str(AXE))
    report = page.evaluate(
        "async () => (await axe.run()).violations.map("
        "v => [v.impact, v.id, v.nodes.map(n => n.target.join(' ')).slice(0, 4)])"
    )
    assert [one for one in report if one[0] in ("serious", "critical")] == []
    if light == "night":
        shot = np.asarray(Image.open(io.BytesIO(page.screenshot())).convert("RGB"))
        assert float((shot.min(axis=2) > 120).mean()) < 0.002  # deep red on black, no white
    context.close()


def test_a_slow_job_shows_how_far_it_is(page: Page, tmp_path: Path, monkeypatch):
    begin_job(tmp_path / "wall")
    go_on = threading.Event()

    def slowly(*given: Any, **more: Any) -> Job:
        assert go_on.wait(120)
        return open_job(*given, **more)

    monkeypatch.setattr(watching, "open_job", slowly)
    with served(tmp_path / "wall") as where:
        page.goto(f"{where}/?key={KEY}")  # answered at once; the job is worked out behind it
        assert page.get_attribute("#waiting", "data-state") == "deriving"
        page.wait_for_selector("#step:has-text('reading the files')")
        go_on.set()
        page.wait_for_selector("html[data-drawn]", state="attached", timeout=180_000)
