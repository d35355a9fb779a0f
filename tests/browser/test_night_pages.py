"""The night in a real browser: laptop, projector's window and two phones, as they will be used."""

from __future__ import annotations

import io
import socket
import threading
from contextlib import ExitStack
from pathlib import Path

import numpy as np
import pytest
import uvicorn
from PIL import Image

from giornata import desk
from giornata.core.boards import Pattern, pattern_pixels
from giornata.core.documents import projector_frames
from giornata.desk.squared import squared_set_ups
from giornata.desk.squared_frames import Shows, squared_picture
from giornata.files.frames import frame_pixels
from giornata.files.region_pixels import RegionPaths
from giornata.web import serving
from giornata.web.addresses import local_addresses
from giornata.web.hub import Hub

ROOT = Path(__file__).parents[2]
AXE = ROOT / "frontend" / "node_modules" / "axe-core" / "axe.min.js"
KEY = "night-tests"
# A browser trusts loopback as it trusts https; a phone's page must do without that trust.
LOOPBACK, NETWORK = "127.0.0.1", (*local_addresses(), "127.0.0.2")[0]
PHONE = {"width": 360, "height": 740}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    made = tmp_path_factory.mktemp("night") / "wall"
    desk.begin_job(made)
    return made


@pytest.fixture(scope="module")
def doors(folder):
    """The laptop's door and the phones', served as `serve --phone` does."""
    with ExitStack() as open_doors:
        sockets = [open_doors.enter_context(socket.socket()) for _ in range(2)]
        sockets[0].bind((LOOPBACK, 0))
        port = sockets[0].getsockname()[1]
        sockets[1].bind((NETWORK, port))
        for door in sockets:
            door.listen()
        hub = Hub()
        app = serving.night_app(folder, key=KEY, port=port, addresses=[NETWORK], hub=hub)
        server = uvicorn.Server(
            uvicorn.Config(app, log_level="warning", timeout_graceful_shutdown=1)
        )
        thread = threading.Thread(target=server.run, kwargs={"sockets": sockets}, daemon=True)
        thread.start()
        yield f"http://{LOOPBACK}:{port}", f"http://{NETWORK}:{port}"
        hub.close()
        server.should_exit = True
        thread.join(timeout=10)


@pytest.fixture
def screens(browser, doors):
    """Opens screens; a script's fault, or a request to anywhere else, fails the test."""
    contexts, faults = [], []

    def opened(width, height, **more):
        context = browser.new_context(
            viewport={"width": width, "height": height}, locale="en-GB", **more
        )
        context.set_default_timeout(20_000)
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda fault: faults.append(str(fault)))
        page.on(
            "request",
            lambda asked: (
                None
                if asked.url.startswith((*doors, "data:", "blob:"))
                else faults.append(asked.url)
            ),
        )
        return page

    yield opened
    for context in contexts:
        context.close()
    assert faults == []


@pytest.fixture
def laptop(screens, doors):
    page = screens(1366, 768)
    page.goto(f"{doors[0]}/night?key={KEY}")
    ready(page)
    return page


@pytest.fixture
def projector(laptop, doors):
    page = laptop.context.new_page()
    page.set_viewport_size({"width": 1920, "height": 1200})
    page.goto(f"{doors[0]}/projector")
    page.wait_for_selector("html[data-linked=true]", state="attached")
    return page


@pytest.fixture
def pair(screens, doors, laptop):
    """Pairs a phone by the code on the laptop."""

    def paired(name, **more):
        laptop.click("text=Pair a phone")
        where = laptop.inner_text(".phones code >> nth=0")
        laptop.goto(f"{doors[0]}/night")
        phone = screens(**PHONE, has_touch=True, is_mobile=True, device_scale_factor=3, **more)
        phone.goto(where)
        phone.fill("[name=name]", name)
        phone.tap("button")
        ready(phone)
        return phone

    return paired


def ready(page):
    """Until the job is worked out and the page knows it."""
    page.wait_for_selector("html[data-linked=true][data-at]", state="attached")
    page.wait_for_selector("#way:not(:has-text('worked out'))", state="attached")


def begun(page, number=1):
    """Go to a set-up."""
    if page.inner_text("#where").startswith(f"Set-up {number} "):
        return
    tab = page.get_attribute("[role=tab][aria-selected=true]", "id")
    page.click("#tab-more")
    acts(page, lambda: page.select_option("#jump", str(number)))
    page.wait_for_selector(f"html[data-drawn='{number}']", state="attached")
    page.click(f"#{tab}")


def acts(page, press):
    """Press something, and wait until it is done."""
    count = int(page.get_attribute("html", "data-acts") or 0)
    press()
    page.wait_for_selector(f"html[data-acts='{count + 1}']", state="attached")
    assert page.is_hidden("#said"), page.inner_text("#said")


def shows(projector, what):
    projector.wait_for_selector(f"html[data-drawn^='{what} ']", state="attached")


def seen(page) -> np.ndarray:
    """The screen's pixels."""
    return np.asarray(Image.open(io.BytesIO(page.screenshot())).convert("RGB")).astype(int)


def looked_at(page, tmp_path, name, *, whole=True):
    page.screenshot(path=tmp_path / f"{name}.png", full_page=whole)


@pytest.fixture(scope="module")
def results(folder):
    return desk.open_job(folder).results()


def test_n50_a_phone_steers_the_projector_and_all_of_it_is_in_the_log(
    pair, projector, laptop, folder, results
):
    phone = pair("Ladder")
    if not NETWORK.startswith("127."):
        assert not phone.evaluate("() => window.isSecureContext")  # plain http, as on site
    begun(phone)
    one = results.set_ups.set_ups[0]
    projector.set_viewport_size({"width": one.columns, "height": one.rows})
    shows(projector, "1 outline")
    for view in ("fill", "contrast", "outline"):
        acts(phone, lambda view=view: phone.tap(f"[data-view={view}]"))
        shows(projector, f"1 {view}")
    assert projector.is_hidden("#faults"), projector.inner_text("#faults")
    acts(phone, lambda: phone.tap("#crosses"))
    # The same picture as the frame that the pack holds, drawn by other hands (skia there, the
    # browser's canvas here); crosses and words are left out of both, edges are smoothed apart.
    for view, kind in (("fill", "fill"), ("contrast", "high-contrast"), ("outline", "outline")):
        acts(phone, lambda view=view: phone.tap(f"[data-view={view}]"))
        shows(projector, f"1 {view}")
        frame = next(f for f in projector_frames(results) if f.name == f"set-up-01-{kind}")
        coverage = results.design.placed.coverage
        theirs = frame_pixels(frame, RegionPaths(coverage), results.wall.net).astype(int)
        apart = np.abs(seen(projector) - theirs).max(axis=2)
        assert (apart > 48).mean() < 0.012, view
        assert np.median(apart) == 0
    acts(phone, lambda: phone.tap("#black"))
    shows(projector, "1 blank")
    assert seen(projector).max() == 0
    acts(phone, lambda: phone.tap("#black"))
    shows(projector, "1 outline")
    acts(phone, lambda: phone.tap("#undo"))
    shows(projector, "1 blank")
    assert laptop.get_attribute("#black", "aria-pressed") == "true"
    kinds = {event.kind for event in desk.events(folder)}
    assert {"set-up begun", "picture shown", "device paired"} <= kinds


def test_single_pixels_are_single_pixels_and_a_scaled_window_is_said(
    laptop, projector, doors, results
):
    begun(laptop)
    one = results.set_ups.set_ups[0]
    projector.set_viewport_size({"width": one.columns, "height": one.rows})
    acts(laptop, lambda: laptop.click("[data-view=check]"))
    shows(projector, "1 check")
    picture = seen(projector)
    down, along = np.indices(picture.shape[:2])
    assert (picture[:, :, 0] == np.where((down + along) % 2 == 0, 255, 0)).all()
    # The coded pattern is thrown as it is, never warped, whatever the marks say.
    laptop.click("#tab-square")
    for view, negative in (("pattern", False), ("negative", True)):
        acts(laptop, lambda view=view: laptop.click(f"[data-view={view}]"))
        shows(projector, f"1 {view}")
        pattern = Pattern(columns=one.columns, rows=one.rows, set_up=1)
        assert (seen(projector)[:, :, 1] == pattern_pixels(pattern, negative=negative)).all()
    laptop.click("#tab-picture")
    # A window of another size, and one whose pixels are not the display's, say so on both screens.
    projector.set_viewport_size({"width": 1280, "height": 720})
    projector.wait_for_selector("#faults:has-text('1280 × 720')")
    laptop.wait_for_selector("#way:has-text('1280 × 720')")
    acts(laptop, lambda: laptop.click("[data-view=outline]"))
    projector.close()
    laptop.wait_for_selector("#way:has-text('No projector window')")


def test_a_scaled_display_is_said(laptop, screens, doors):
    begun(laptop)
    scaled = screens(1536, 864, device_scale_factor=1.25)
    scaled.goto(f"{doors[0]}/projector?key={KEY}")
    scaled.wait_for_selector("#faults:has-text('scaled by 1.25')")
    assert scaled.evaluate("() => getComputedStyle(document.body).cursor") == "none"


def test_n50_a_cross_is_dragged_on_the_phone_and_follows_on_the_wall(
    pair, projector, laptop, folder, results
):
    phone, other = pair("Ladder"), pair("Wall")
    begun(phone, 2)
    shows(projector, "2 outline")
    phone.tap("#tab-square")
    name = phone.inner_text("#chosen")
    before = seen(projector)
    box = phone.locator("#pad").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    phone.mouse.move(x, y)
    phone.mouse.down()
    for step in range(1, 9):
        phone.mouse.move(x + 2 * step, y)
    projector.wait_for_selector("html[data-drag]", state="attached")
    # 16 px of the finger's way, four of the projector's each: the whole picture moves by 64.
    projector.wait_for_selector("html[data-drag$=' 8']", state="attached")
    after = seen(projector)
    assert (np.abs(before[:, 100:800] - after[:, 164:864]).max(axis=2) > 64).mean() < 0.005
    assert not [e for e in desk.events(folder) if e.kind == "marks seen" and e.subject == "2"]
    acts(phone, phone.mouse.up)
    (reading,) = desk.marks_seen_events(folder, 2)
    mark = next(m for m in results.marks if m.name == name)
    one = results.set_ups.set_ups[1]
    planned = (mark.chainage - one.start) / one.pitch
    assert reading.marks[0].x_px == pytest.approx(planned + 64, abs=0.01)
    # The other phone knows it, and lays another mark; both stand.
    other.tap("#tab-square")
    other.wait_for_selector("#placed:has-text('1 of')")
    other.tap("#mark-next")
    acts(other, lambda: other.tap("[data-nudge='0 -1']"))
    phone.wait_for_selector("#placed:has-text('2 of')")
    assert len(desk.marks_seen_events(folder, 2)[-1].marks) == 2


def test_n50_the_whole_picture_is_moved_by_a_press(pair, projector, folder, results):
    phone = pair("Ladder")
    begun(phone, 2)
    shows(projector, "2 outline")
    one = results.set_ups.set_ups[1]
    projector.set_viewport_size({"width": one.columns, "height": one.rows})
    phone.tap("#tab-square")
    assert phone.locator("#steps button").all_inner_texts() == ["1 mm", "5 mm", "20 mm"]
    assert phone.inner_text("#steps [aria-pressed=true]") == "5 mm"
    phone.tap("#steps button:has-text('20 mm')")
    acts(phone, lambda: phone.tap("#tab-picture") or phone.tap("[data-view=contrast]"))
    shows(projector, "2 contrast")
    phone.tap("#tab-square")
    before = seen(projector)
    for way in ("1 0", "1 0", "0 1"):
        acts(phone, lambda way=way: phone.tap(f"[data-whole='{way}']"))
    assert (
        phone.inner_text("#by-hand") == "Moved 40 mm right and 20 mm up since the marks were read."
    )
    last = desk.events(folder)[-1]
    assert (last.kind, last.data) == ("picture moved", {"right": 0.0, "up": 0.02})
    projector.wait_for_selector(f"html[data-drawn='2 contrast {last.number}']", state="attached")
    after = seen(projector)
    # The light moved as a whole, by as many pixels as 40 and 20 mm are, to half a pixel.
    along, up = round(0.040 / one.pitch), round(0.020 / one.pitch)
    inner = before[300:800, 300:1200]
    moved = after[300 - up : 800 - up, 300 + along : 1200 + along]
    unmoved = after[300:800, 300:1200]
    apart = [(np.abs(inner - other).max(axis=2) > 40).mean() for other in (moved, unmoved)]
    assert 4 * apart[0] < apart[1], apart
    for _ in range(3):
        acts(phone, lambda: phone.tap("#undo"))
    assert phone.inner_text("#by-hand") == "Not moved since the marks were read."


def drawn_as_the_program_draws_it(phone, projector, folder, results):
    """The squared picture by the browser's canvas and by the program's own hand are one."""
    one = results.set_ups.set_ups[0]
    made = squared_set_ups(folder, results)[1]
    projector.set_viewport_size({"width": one.columns, "height": one.rows})
    phone.tap("#tab-picture")
    if phone.get_attribute("#crosses", "aria-pressed") == "true":
        acts(phone, lambda: phone.tap("#crosses"))
    acts(phone, lambda: phone.tap("[data-view=fill]"))
    shows(projector, "1 fill")
    projector.wait_for_selector(f"html[data-squared='{made.kind}']", state="attached")
    picture = squared_picture(results, one, made.on_wall, Shows.FILL, marks=())
    theirs = np.asarray(Image.open(io.BytesIO(picture)).convert("RGB")).astype(int)
    apart = np.abs(seen(projector) - theirs).max(axis=2)
    assert (apart > 48).mean() < 0.012
    planned = next(f for f in projector_frames(results) if f.name == "set-up-01-fill")
    coverage = results.design.placed.coverage
    unmoved = frame_pixels(planned, RegionPaths(coverage), results.wall.net).astype(int)
    assert (np.abs(unmoved - theirs).max(axis=2) > 48).mean() > 0.015  # it was moved at all


def test_n50_numbers_are_typed_a_photo_is_sent_lines_are_ticked_and_a_note_is_kept(
    pair, projector, folder, results, made_photo, tmp_path
):
    phone = pair("Ladder")
    begun(phone)
    assert phone.inner_text("#jump").count("Set-up") == len(results.set_ups.set_ups)
    phone.tap("#tab-square")
    fields = phone.locator(".pair")
    for index in range(fields.count()):
        fields.nth(index).locator("[name=right]").fill("30")
        fields.nth(index).locator("[name=up]").fill("-12,5")
    fields.nth(0).locator("[name=up]").fill("a hand")
    phone.tap("#typing button")
    assert "two numbers in mm" in phone.inner_text("#typed-said")
    fields.nth(0).locator("[name=up]").fill("-12,5")
    acts(phone, lambda: phone.tap("#typing button"))
    reading = desk.marks_seen_events(folder, 1)[-1]
    one = results.set_ups.set_ups[0]
    mark = next(m for m in results.marks if m.name == reading.marks[0].name)
    planned = (mark.chainage - one.start) / one.pitch
    assert str(reading.means) == "typed"
    assert reading.marks[0].x_px == pytest.approx(planned - 0.030 / one.pitch, abs=0.1)
    if len(reading.marks) >= 4:
        phone.wait_for_selector("#fit:has-text('Squared as')")
    drawn_as_the_program_draws_it(phone, projector, folder, results)
    phone.tap("#tab-square")
    taken = made_photo.save(tmp_path / "taken.jpg")
    acts(phone, lambda: phone.set_input_files("[data-photo=white]", taken))
    assert phone.inner_text("#photos-said") == "Kept: white."
    assert (folder / "photos/night-01-white-1.jpg").read_bytes() == taken.read_bytes()
    phone.tap("#tab-lines")
    lines_are_ticked(phone, folder)
    phone.tap("#tab-more")
    phone.fill("#note", "Hedge in the way at the left")
    acts(phone, lambda: phone.tap("#noting button"))
    assert "Hedge" in phone.inner_text("#last-note")
    kinds = [event.kind for event in desk.events(folder)][-2:]
    assert kinds == ["line traced", "note"]


def test_an_answer_that_comes_late_puts_nothing_back(pair, folder):
    """What a press answers may be overtaken by the stream, on a slow network or a busy laptop."""
    phone = pair("Ladder")
    begun(phone, 3)  # no other test squares it
    phone.tap("#tab-square")
    fields = phone.locator(".pair")
    for index in range(fields.count()):
        fields.nth(index).locator("[name=right]").fill("21")
        fields.nth(index).locator("[name=up]").fill("4")
    held = []
    phone.route("**/api/night/act", lambda route: held.append((route, route.fetch())))
    phone.tap("#typing button")
    phone.wait_for_selector("#fit:has-text('Squared as')")
    words = phone.inner_text("#fit")
    ((route, answer),) = held
    # Read before the squaring was done, it has the same number in the log as what the stream told.
    late = {**answer.json(), "square": None}
    assert late["number"] == desk.events(folder, standing=False)[-1].number
    acts(phone, lambda: route.fulfill(response=answer, json=late))
    assert phone.inner_text("#fit") == words


def test_a_page_follows_a_program_begun_anew_and_no_answer_of_the_one_before(laptop):
    """A network that goes without a word breaks no stream: a press may tell of the new program."""
    begun(laptop, 1)
    laptop.click("#tab-more")
    told = []

    def of_another(route):
        answer = route.fetch()
        form = {**answer.json(), **told.pop()}
        route.fulfill(response=answer, json=form)

    laptop.route("**/api/night/act", of_another)
    first = laptop.evaluate("fetch('/api/night').then((one) => one.json())")
    for note, form in (
        ("as the new one has it", {"run": "begun-anew", "read": 1}),
        ("as the new one has it", {"run": first["run"], "read": first["read"] + 1_000_000}),
        ("and goes on with it", {"run": "begun-anew", "read": 2}),
    ):
        said = "late" if form["run"] == first["run"] else note
        told.append({**form, "note": said})
        laptop.fill("#note", "damp")
        acts(laptop, lambda: laptop.click("#noting button"))
        assert laptop.inner_text("#last-note") == f"Last: {note}"


def test_a_drawing_or_a_pattern_that_fails_on_its_way_is_asked_for_again(
    laptop, projector, results
):
    begun(laptop, 1)
    failed = []
    for page, what in ((laptop, "set-up"), (projector, "set-up"), (projector, "pattern")):

        def fails(route, which=(page, what)):
            failed.append(which)
            route.abort()

        page.route(f"**/api/night/{what}?*", fails, times=1)
    acts(laptop, lambda: laptop.click("[data-view=outline]"))
    acts(laptop, lambda: laptop.click("#next"))
    number = laptop.evaluate("fetch('/api/night').then((one) => one.json())")["set_up"]
    laptop.wait_for_selector(f"html[data-drawn='{number}']", state="attached")
    shows(projector, f"{number} outline")
    laptop.click("#tab-square")
    acts(laptop, lambda: laptop.click("[data-view=pattern]"))
    shows(projector, f"{number} pattern")
    one = results.set_ups.set_ups[number - 1]
    projector.set_viewport_size({"width": one.columns, "height": one.rows})
    pattern = Pattern(columns=one.columns, rows=one.rows, set_up=number)
    assert (seen(projector)[:, :, 1] == pattern_pixels(pattern)).all()
    assert len(failed) == 3


def test_a_stream_that_falls_silent_is_opened_anew_and_the_window_says_again_what_it_shows(
    laptop, doors
):
    page = laptop.context.new_page()
    asked = []
    page.on("request", lambda one: asked.append(one.url.partition("/api/night/")[2][:6]))
    page.clock.install()
    page.goto(f"{doors[0]}/projector")
    page.wait_for_selector("html[data-drawn]", state="attached")
    page.wait_for_selector("#faults:has-text('put the window on')")
    assert (asked.count("stream"), asked.count("window")) == (1, 1)
    page.clock.fast_forward(20_000)  # the laptop speaks every 4 s, if only to say that it is there
    page.wait_for_selector("html[data-linked=false]", state="attached")
    with page.expect_request("**/api/night/window"):
        page.clock.fast_forward(2_000)
    page.wait_for_selector("html[data-linked=true]", state="attached")
    laptop.wait_for_selector("#way:has-text('put the window on')")
    page.close()


def lines_are_ticked(phone, folder):
    """A stretch at one press, its lines one by one, those of one colour, and what a log says."""
    stretch, more = phone.locator(".stretch").first, phone.locator(".more").first
    assert "0 of" in phone.inner_text("#traced")
    acts(phone, stretch.tap)
    assert stretch.get_attribute("aria-pressed") == "true"
    more.tap()
    lines = phone.locator("#lines > li").first.locator(".line")
    states = [line.get_attribute("aria-pressed") for line in lines.all()]
    assert states == ["true"] * len(states)
    assert "0 of" not in phone.inner_text("#traced")
    (event,) = [e for e in desk.events(folder) if e.kind == "line traced"]
    assert len(event.data["lines"]) == len(states)  # one press, one event, one undo
    acts(phone, lines.first.tap)
    wanted = "false" if len(states) == 1 else "mixed"
    assert stretch.get_attribute("aria-pressed") == wanted
    acts(phone, lambda: phone.tap("#undo"))
    assert stretch.get_attribute("aria-pressed") == "true"
    paint = phone.locator("#lines-of option").nth(1).get_attribute("value")
    phone.select_option("#lines-of", paint)
    assert all(paint in one.get_attribute("data-line") for one in phone.locator(".line").all())
    phone.select_option("#lines-of", "")


def test_a_revoked_phone_is_let_go_at_once(pair, laptop, doors):
    phone = pair("Lost")
    laptop.goto(f"{doors[0]}/night")
    laptop.click("li:has-text('Lost') button")
    phone.wait_for_selector("html[data-linked=false]", state="attached")
    assert phone.goto(doors[1]).status == 403


def test_everything_is_red_on_black_large_and_within_the_screen(pair, tmp_path, browser):
    phone = pair("Ladder", bypass_csp=True)
    begun(phone)
    assert AXE.is_file(), "npm --prefix frontend ci installs axe-core"
    for tab in ("picture", "square", "lines", "more"):
        phone.tap(f"#tab-{tab}")
        looked_at(phone, tmp_path, f"phone-{tab}")
        assert phone.evaluate("() => document.documentElement.scrollWidth") <= PHONE["width"]
        small = phone.evaluate(
            """() => [...document.querySelectorAll('button, input, select, textarea, a')]
              .filter(e => e.offsetParent !== null)
              .map(e => [e.id || e.textContent, e.getBoundingClientRect()])
              .filter(([, box]) => box.width < 56 || box.height < 56).map(([name]) => name)"""
        )
        assert small == [], tab
        pixels = seen(phone)
        # Red on black alone: no green or blue that a dark-adapted eye would see.
        assert pixels[:, :, 1:].max() < 90
        assert pixels.mean() < 60
        phone.add_script_tag(path=str(AXE))
        report = phone.evaluate(
            "async () => (await axe.run()).violations.map("
            "v => [v.impact, v.id, v.nodes.map(n => n.target.join(' ')).slice(0, 4)])"
        )
        assert [one for one in report if one[0] in ("serious", "critical")] == [], tab


@pytest.mark.parametrize("light", ["light", "night"])
def test_the_laptops_page_is_legible(screens, doors, tmp_path, light):
    page = screens(1366, 768, bypass_csp=True)
    page.goto(f"{doors[0]}/night?key={KEY}")
    ready(page)
    begun(page)
    page.select_option("#theme", light)
    page.click("text=Pair a phone")
    page.wait_for_selector(".qr")
    ready(page)
    looked_at(page, tmp_path, f"laptop-{light}")
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 1366
    page.add_script_tag(path=str(AXE))
    report = page.evaluate(
        "async () => (await axe.run()).violations.map("
        "v => [v.impact, v.id, v.nodes.map(n => n.target.join(' ')).slice(0, 4)])"
    )
    assert [one for one in report if one[0] in ("serious", "critical")] == []
