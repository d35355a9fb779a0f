"""Drag to projector: how long a thumb's move takes until the projector's window has drawn it.

A Chromium holds the phone's page and the projector's window of one job, served on loopback. The
thumb moves a cross once in each frame's time; each move bears a number, and the window says when
it has drawn that number (before the display shows it). Both pages read one clock. Moves that a
later one overtook are not drawn, which is meant; they are counted.

Printed: median, 95 % and worst delay in milliseconds, moves drawn of moves made, the time that
fit and drawing take in the window, and the machine's load.

    python bench/console.py [moves] [job folder]
"""

from __future__ import annotations

import os
import shutil
import socket
import statistics
import sys
import tempfile
import threading
from pathlib import Path

import uvicorn
from playwright.sync_api import Page, sync_playwright

from giornata import desk
from giornata.web import serving
from giornata.web.hub import Hub

KEY = "bench"
WARM = 20
CLOCK = "performance.timeOrigin + performance.now()"


def ready(page: Page) -> None:
    page.wait_for_selector("html[data-linked=true][data-at]", state="attached")
    page.wait_for_selector("#way:not(:has-text('worked out'))", state="attached", timeout=300_000)


def moves_timed(
    phone: Page, window: Page, moves: int, before: int
) -> tuple[list[float], int, list[float]]:
    """Delays of the moves that were drawn, moves made, and times of drawing. [ms]

    ``before`` is the number of the last move that was made before these.
    """
    window.evaluate(
        f"""() => {{
          window.drawn = {{}};
          document.addEventListener("giornata:dragged", (event) => {{
            window.drawn[event.detail.seq] = [{CLOCK}, event.detail.took];
          }});
        }}"""
    )
    made = phone.evaluate(
        f"""async (moves) => {{
          const pad = document.querySelector("#pad");
          const box = pad.getBoundingClientRect();
          const at = (x) => ({{ clientX: box.x + x, clientY: box.y + 40, pointerId: 1,
            bubbles: true, pointerType: "touch", isPrimary: true }});
          pad.setPointerCapture = () => undefined;
          pad.dispatchEvent(new PointerEvent("pointerdown", at(60)));
          const made = {{}};
          for (let i = 1; i <= moves; i++) {{
            made[i] = {CLOCK};
            pad.dispatchEvent(new PointerEvent("pointermove", at(60 + (i % 2 ? 1 : 0) + i / 50)));
            await new Promise((then) => setTimeout(then, 1000 / 60));
          }}
          await new Promise((then) => setTimeout(then, 1500));
          pad.dispatchEvent(new PointerEvent("pointerup", at(61)));
          return made;
        }}""",
        moves,
    )
    drawn = window.evaluate("() => window.drawn")
    late = {
        int(seq) - before: at - made[str(int(seq) - before)]
        for seq, (at, _) in drawn.items()
        if str(int(seq) - before) in made
    }
    kept = {seq: delay for seq, delay in late.items() if seq > WARM}
    return list(kept.values()), moves - WARM, [took for _, took in drawn.values()]


def main() -> None:
    moves = int(sys.argv[1]) if len(sys.argv) > 1 else 400
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(sys.argv[2]) if len(sys.argv) > 2 else Path(scratch) / "demo"
        if len(sys.argv) <= 2:
            desk.begin_demo(folder)
        measured(folder, moves)


def measured(folder: Path, moves: int) -> None:
    named = os.environ.get("GIORNATA_CHROMIUM")
    path = named or shutil.which("chromium") or shutil.which("google-chrome")
    with socket.socket() as door, sync_playwright() as playwright:
        door.bind(("127.0.0.1", 0))
        door.listen()
        port, hub = door.getsockname()[1], Hub()
        app = serving.night_app(folder, key=KEY, port=port, addresses=[], hub=hub)
        server = uvicorn.Server(
            uvicorn.Config(app, log_level="warning", timeout_graceful_shutdown=1)
        )
        thread = threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True)
        thread.start()
        browser = playwright.chromium.launch(
            executable_path=path, args=["--no-sandbox", "--disable-gpu"], headless=True
        )
        phone = browser.new_context(viewport={"width": 360, "height": 740}).new_page()
        phone.goto(f"http://127.0.0.1:{port}/night?key={KEY}")
        ready(phone)
        phone.click("#tab-more")
        phone.select_option("#jump", "1")  # the order of work begins elsewhere
        phone.wait_for_selector("html[data-drawn='1']", state="attached", timeout=60_000)
        phone.click("#tab-square")
        window = browser.new_context(viewport={"width": 1920, "height": 1080}).new_page()
        window.goto(f"http://127.0.0.1:{port}/projector?key={KEY}")
        window.wait_for_selector("html[data-drawn^='1 outline']", state="attached")
        for number, view in enumerate(("outline", "fill")):
            phone.click("#tab-picture")
            phone.click(f"[data-view={view}]")
            phone.click("#tab-square")
            window.wait_for_selector(f"html[data-drawn^='1 {view}']", state="attached")
            delays, made, took = moves_timed(phone, window, moves, number * moves)
            delays.sort()
            print(
                f"{view}: median {statistics.median(delays):.1f} ms, 95 % "
                f"{delays[int(0.95 * len(delays))]:.1f} ms, worst {delays[-1]:.1f} ms; "
                f"{len(delays)} of {made} moves drawn, the rest overtaken; drawing alone takes "
                f"{statistics.median(took):.1f} ms"
            )
        one, _, five = os.getloadavg()
        print(f"load of the machine {one:.1f} ({five:.1f} over a quarter of an hour), no GPU")
        browser.close()
        hub.close()
        server.should_exit = True
        thread.join(timeout=10)


if __name__ == "__main__":
    main()
