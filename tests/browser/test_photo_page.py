"""The page of photos in a real browser: a photo marked, drawn on, kept in the job."""

from __future__ import annotations

import io
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest
import uvicorn
from PIL import Image
from playwright.sync_api import Page

from giornata import desk
from giornata.files import job_file
from giornata.web import create_app

ROOT = Path(__file__).parents[2]
AXE = ROOT / "frontend" / "node_modules" / "axe-core" / "axe.min.js"
KEY = "photo-tests"
PLACES = [(0.0, 0.0), (12.0, 0.0), (12.0, 2.5), (0.0, 2.5), (4.0, 0.5), (9.0, 1.5), (2.0, 2.0)]
DOOR = [(7.2, 2.05), (8.1, 2.05), (8.1, 0.0), (7.2, 0.0)]


@contextmanager
def serving(folder: Path) -> Iterator[str]:
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        door.listen()
        settings = uvicorn.Config(
            create_app(folder, key=KEY), log_level="warning", timeout_graceful_shutdown=1
        )
        server = uvicorn.Server(settings)
        thread = threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{door.getsockname()[1]}"
        server.should_exit = True
        thread.join(timeout=10)


@pytest.fixture
def job(tmp_path, made_photo):
    """A job with a photo that seven places are marked on."""
    folder = tmp_path / "job"
    desk.begin_job(folder)
    desk.add_photo(folder, made_photo.save(tmp_path / "wall.jpg", turned=6, focal_35=26))
    desk.mark_points(
        folder,
        "wall",
        [
            {"at": f"{at} m", "level": f"{level} m", "x": x, "y": y}
            for (at, level), (x, y) in zip(PLACES, made_photo.at(*PLACES), strict=True)
        ],
    )
    return folder


@pytest.fixture
def address(job):
    with serving(job) as where:
        yield where


def opened(page: Page, address: str, path: str = "/photos") -> Page:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{address}{path}?key={KEY}")
    page.wait_for_selector("html[data-drawn]", state="attached")
    page.wait_for_function(
        "() => fetch(document.querySelector('#picture').href.baseVal).then(a => a.ok)"
    )
    page.wait_for_timeout(500)
    assert [url for url in asked if not url.startswith((address, "data:"))] == []
    return page


def put_cross(page: Page, place: tuple[float, float]) -> None:
    """Tap the photo at one of its pixels, as it is seen."""
    x, y = page.evaluate(
        """([x, y]) => {
          const at = new DOMPoint(x, y).matrixTransform(
            document.querySelector('#stage').getScreenCTM());
          return [at.x, at.y];
        }""",
        list(place),
    )
    page.mouse.click(x, y)


def posted(page: Page, count: int) -> None:
    page.wait_for_function(
        "count => Number(document.documentElement?.dataset.posted ?? 0) >= count", arg=count
    )


def points_of(folder: Path):
    return job_file.read(folder / "job.toml").tables.photos[0].points


def test_a_tap_a_nudge_and_a_place_make_a_known_point(page, address, job, made_photo):
    opened(page, address)
    ((x, y),) = made_photo.at((10.5, 0.5))
    page.click("#nearer")
    page.click("#whole")
    put_cross(page, (x, y))
    page.focus("#stage")
    said = page.inner_text("#cross-at")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowDown")
    assert page.inner_text("#cross-at") != said
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Shift+ArrowUp")
    assert page.inner_text("#cross-at") == said
    page.fill("#pointing [name=at]", "10.50 m")
    page.fill("#pointing [name=level]", "0.50 m")
    page.click("#pointing button")
    posted(page, 1)
    added = points_of(job)[-1]
    assert (added.at, added.level) == (10.5, 0.5)
    # A pixel of the screen is two or three of the photo.
    assert (added.x, added.y) == (pytest.approx(x, abs=2.5), pytest.approx(y, abs=2.5))
    assert page.locator("[data-point]").count() == 8
    assert "points agree" in page.inner_text("#verdict")


def test_a_label_at_the_photos_right_rim_stands_left_of_its_point(page, job, made_photo):
    # On a phone of 390 px a label to the right of a point near the rim would be cut off.
    page.set_viewport_size({"width": 390, "height": 844})
    wide = made_photo.pixels.shape[1]
    near = [
        {"at": f"{at} m", "level": "1 m", "x": x, "y": 300}
        for at, x in ((1, 40), (11.9, wide - 12))
    ]
    desk.mark_points(job, "wall", near)
    with serving(job) as address:
        opened(page, address)
        left, right = page.evaluate(
            "() => [...document.querySelectorAll('#drawn .drawn-word')].map(word => {"
            " const box = word.getBBox(); return [box.x, box.x + box.width]; })"
        )
    assert left[0] > 40
    assert right[0] > left[1]
    assert right[1] < wide - 12


def test_a_place_by_name_from_the_list(page, address, job, made_photo):
    opened(page, address)
    put_cross(page, made_photo.at((7.2, 2.05))[0])
    page.fill("#pointing [name=place]", "Door, upper left")
    page.click("#pointing button")
    posted(page, 1)
    assert points_of(job)[-1].place == "Door, upper left"


def test_a_point_moved_far_is_left_out_and_said_so(page, address, job, made_photo):
    opened(page, address)
    before = page.inner_text("#marks")
    page.locator("[data-point='4']").click()
    for _ in range(6):
        page.keyboard.press("Shift+ArrowRight")
    page.locator("[data-move='4']").click()
    posted(page, 1)
    assert page.inner_text("#marks") != before
    assert points_of(job)[4].x == pytest.approx(made_photo.at(PLACES[4])[0][0] + 60, abs=0.2)
    said = page.inner_text("#verdict") + page.inner_text("#findings")
    assert "left out" in said or "disagree" in said
    page.locator("[data-strike='4']").click()
    posted(page, 2)
    assert len(points_of(job)) == 6


def test_errors_are_written_on_the_photo_when_asked(page, address):
    opened(page, address)
    assert page.locator(".drawn-error").count() == 0
    page.check("#errors")
    # Five by five places over a rectangle of known points.
    assert page.locator(".drawn-error").count() == 25
    millimetres = [int(text) for text in page.locator(".drawn-error").all_text_contents()]
    facts = page.inner_text(".summary")
    assert f"{min(millimetres)} mm" in facts or min(millimetres) < 12
    assert f"{max(millimetres)} mm" in facts  # the worst place is a corner


def test_a_door_is_drawn_and_written_into_the_job(page, address, job, made_photo):
    opened(page, address)
    for number, corner in enumerate(made_photo.at(*DOOR), start=1):
        put_cross(page, corner)
        page.click("#corner")
        assert f"{number} corner" in page.inner_text("#corners")
    page.fill("#drawing [name=name]", "Shop door")
    page.click("#drawing button[type=submit]")
    posted(page, 1)
    drawn = page.inner_text(".outline")
    assert "Shop door" in drawn
    assert "m² ±" in drawn
    page.locator("[data-keep='Shop door']").click()
    posted(page, 2)
    assert "written into the job" in page.inner_text("#said")
    openings = job_file.read(job / "job.toml").tables.wall.openings
    kept = next(one for one in openings if one.name == "Shop door")
    # Picked on the screen to two or three pixels of the photo, each 5 to 15 mm there.
    assert np.array(kept.corners) == pytest.approx(np.array(DOOR), abs=0.06)


def test_a_job_that_changed_meanwhile_is_not_overwritten(page, address, job):
    opened(page, address)
    file = job / "job.toml"
    file.write_text(file.read_text() + "\n# a word from another window\n")
    page.locator("[data-strike='0']").click()
    page.wait_for_function("() => !document.querySelector('#said').hidden")
    assert "Reload" in page.inner_text("#said")
    assert "another window" in file.read_text()
    assert len(points_of(job)) == 7


def test_a_fault_is_said_in_words(page, address):
    opened(page, address)
    page.focus("#stage")
    page.keyboard.press("ArrowRight")
    page.fill("#pointing [name=at]", "3.2")
    page.fill("#pointing [name=level]", "0 m")
    page.click("#pointing button")
    page.wait_for_function("() => !document.querySelector('#said').hidden")
    assert "unit" in page.inner_text("#said")


def test_a_photo_is_added_from_the_page(page, tmp_path, made_photo):
    desk.begin_job(tmp_path / "bare")
    with serving(tmp_path / "bare") as where:
        page.goto(f"{where}/photos?key={KEY}")
        assert "Choose one of the wall above, then press Add" in page.inner_text("main")
        assert page.locator("[aria-label=Photo]").count() == 0  # there is nothing to choose from
        page.set_input_files("[name=file]", made_photo.save(tmp_path / "North side.jpg"))
        page.click(".adding button")
        page.wait_for_selector("html[data-drawn='North-side']", state="attached")
        assert "few" not in page.inner_text("#verdict")
        assert "not to scale" in page.inner_text("#verdict")
        assert (tmp_path / "bare/photos/North-side.jpg").is_file()


@pytest.mark.parametrize("light", ["light", "dark", "night"])
@pytest.mark.parametrize("size", [(1366, 768), (390, 844)])
def test_every_light_and_size_is_legible_and_nothing_sticks_out(
    browser, address, job, made_photo, light, size, tmp_path
):
    desk.draw_outlines(
        job, "wall", [{"name": "Door", "kind": "opening",
                       "corners": [list(place) for place in made_photo.at(*DOOR)]}]
    )  # fmt: skip
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, bypass_csp=True, locale="en-GB"
    )
    page = context.new_page()
    opened(page, address)
    page.select_option("#theme", light)
    put_cross(page, made_photo.at((6.0, 1.0))[0])
    page.wait_for_timeout(300)
    assert page.evaluate("() => document.documentElement.scrollWidth") <= size[0]
    page.screenshot(path=tmp_path / f"photos-{light}-{size[0]}.png", full_page=True)
    assert AXE.is_file(), "npm --prefix frontend ci installs axe-core"
    page.add_script_tag(path=str(AXE))
    report = page.evaluate(
        "async () => (await axe.run()).violations.map("
        "v => [v.impact, v.id, v.nodes.map(n => n.target.join(' ')).slice(0, 4)])"
    )
    assert [one for one in report if one[0] in ("serious", "critical")] == []
    stage = np.asarray(
        Image.open(io.BytesIO(page.locator("#stage").screenshot())).convert("RGB")
    ).astype(int)
    # The wall is light grey: seen by day, red on black by night.
    bright = float((stage.min(axis=2) > 120).mean())
    assert bright < 0.002 if light == "night" else bright > 0.1
    assert stage.max() > 100
    context.close()
