"""What happens at once, comes late, or comes twice in the night: nothing is lost or put back."""

from __future__ import annotations

import asyncio
import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from types import SimpleNamespace
from typing import Any

import pytest
from PIL import Image

from giornata.core.foundation import StaleJobError
from giornata.desk import add_photo, begin_job, night_photos, steering
from giornata.files import history, job_file
from giornata.files.site_log import Event, SiteLog
from giornata.web import night_routes, night_squared, watching
from giornata.web.hub import Hub, Listener
from giornata.web.night_squared import Squarer
from giornata.web.watching import JobWatch, Ready

NOON = datetime(2027, 2, 8, 12, 0, tzinfo=UTC)
DRAG = {"set_up": 1, "mark": "M01", "x": 5.0, "y": 5.0, "by": "phone", "seq": 7}


async def told(listener: Listener) -> dict[str, Any] | None:
    """The drag that a page is told of, once the loop has come round."""
    await asyncio.sleep(0)
    await asyncio.sleep(0)
    dragged, listener.drag = listener.drag, None
    return dragged


def test_a_drag_that_comes_after_the_cross_was_let_go_is_told_nobody():
    async def heard() -> list[dict[str, Any] | None]:
        hub = Hub()
        page = hub.listener()
        hub.dragged(DRAG)
        first = await told(page)
        hub.let_go("phone", 8)
        hub.dragged({**DRAG, "seq": 8})  # it was sent before, and took longer
        late = await told(page)
        hub.dragged({**DRAG, "seq": 9})
        next_one = await told(page)
        hub.dragged({**DRAG, "by": "another", "seq": 1})
        return [first, late, next_one, await told(page)]

    first, late, next_one, of_another = asyncio.run(heard())
    assert late is None
    assert [one and one["seq"] for one in (first, next_one, of_another)] == [7, 9, 1]


def test_a_window_that_listens_anew_keeps_what_it_said_when_the_old_stream_is_found_dead():
    async def faults() -> tuple[Any, Any]:
        hub = Hub()
        old, new = hub.listener("window-1"), hub.listener("window-1")
        hub.window_says("window-1", ("scaled",))
        hub.leave(old)
        both = hub.window_faults
        hub.leave(new)
        return both, hub.window_faults

    assert asyncio.run(faults()) == (("scaled",), None)


def test_a_page_that_is_gone_before_its_stream_begins_does_not_listen_for_ever():
    hub = Hub()
    state = SimpleNamespace(night=SimpleNamespace(hub=hub))
    request = SimpleNamespace(app=SimpleNamespace(state=state), scope={})

    async def asked() -> None:
        await night_routes.stream(request, window="window-1")  # type: ignore[arg-type]

    asyncio.run(asked())
    assert hub.window_faults is None  # no window is open


def test_a_set_up_that_is_waited_for_is_squared_whatever_is_asked_meanwhile(monkeypatch):
    go_on, begun = threading.Event(), threading.Event()

    def squared(_ready: Ready, number: int) -> Any:
        begun.set()
        go_on.wait(10)
        return SimpleNamespace(squared=f"set-up {number}", state=None, stands=())

    monkeypatch.setattr(night_squared, "_squared", squared)
    told_of: list[None] = []
    squarer = Squarer(lambda: told_of.append(None))
    ready: Any = SimpleNamespace(version="v")
    seen = {
        number: [
            Event(number=number, at=NOON, kind=night_squared.SEEN, subject=str(number), data={})
        ]
        for number in (1, 2, 3)
    }
    squarer.of(ready, 1, seen[1])
    assert begun.wait(10)
    with ThreadPoolExecutor(1) as pool:
        tick = pool.submit(squarer.squared, ready, 2, seen[2])  # lines of it were ticked
        while len(squarer._made) < 2:
            threading.Event().wait(0.01)
        squarer.of(ready, 3, seen[3])  # and the night moved on
        go_on.set()
        assert tick.result(timeout=10) == "set-up 2"
    squarer.close()


def test_an_undo_whose_answer_was_lost_is_done_once(tmp_path):
    begin_job(tmp_path / "wall")
    steering.begin_set_up(tmp_path / "wall", 1, at=NOON)
    second = steering.begin_set_up(tmp_path / "wall", 2, at=NOON)
    for _ in range(2):
        back = steering.take_back(tmp_path / "wall", second.number, at=NOON, key="the-same-press")
        assert back == second
    with pytest.raises(StaleJobError, match="Something else was done"):
        steering.take_back(tmp_path / "wall", second.number, at=NOON, key="another-press")
    with SiteLog(tmp_path / "wall" / "site.sqlite") as log:
        assert [event.subject for event in log.events()] == ["1"]


def test_photos_of_two_phones_at_once_are_both_kept(tmp_path, monkeypatch):
    begin_job(tmp_path / "wall")
    for name, colour in (("a", "#222222"), ("b", "#dddddd")):
        Image.new("RGB", (64, 48), colour).save(tmp_path / f"{name}.jpg")
    kept, write = [], night_photos.replace_file

    def keep(name: str) -> None:
        pattern = night_photos.PhotoOf.PATTERN
        kept.append(
            night_photos.keep_night_photo(
                tmp_path / "wall",
                1,
                pattern,
                tmp_path / f"{name}.jpg",
                at=NOON,
                key=f"press-{name}",
            )
        )

    def slowly(path: Any, content: bytes) -> None:
        monkeypatch.setattr(night_photos, "replace_file", write)
        keep("b")  # the other one comes while this one is being written
        write(path, content)

    monkeypatch.setattr(night_photos, "replace_file", slowly)
    keep("a")
    files = [tmp_path / "wall" / event.data["file"] for event in kept]
    assert [path.read_bytes() for path in files] == [
        (tmp_path / f"{name}.jpg").read_bytes() for name in ("b", "a")
    ]


def test_a_photo_for_a_job_that_moved_on_leaves_nothing_behind(tmp_path):
    folder = tmp_path / "wall"
    begin_job(folder)
    Image.new("RGB", (64, 48), "#222222").save(tmp_path / "north.jpg")
    seen = job_file.read(folder / "job.toml").digest
    with (folder / "job.toml").open("a") as text:
        text.write("\n# a note\n")
    with pytest.raises(StaleJobError, match="has changed since"):
        add_photo(folder, tmp_path / "north.jpg", seen=seen)
    assert not (folder / "photos" / "north.jpg").exists()
    add_photo(folder, tmp_path / "north.jpg")  # once more, as the remedy says
    assert (folder / "photos" / "north.jpg").is_file()
    assert len(history.kept(folder)) == 1


def test_a_job_that_is_saved_while_it_is_read_is_read_again(tmp_path, monkeypatch):
    folder = tmp_path / "wall"
    begin_job(folder)
    read = job_file.read

    def saved_meanwhile(path: Any) -> Any:
        monkeypatch.setattr(watching.job_file, "read", read)
        found = read(path)
        path.write_text(path.read_text().replace("180 EUR", "190 EUR", 1))
        return found

    monkeypatch.setattr(watching.job_file, "read", saved_meanwhile)
    monkeypatch.setattr(watching, "open_job", lambda *_, **__: job)
    job = SimpleNamespace(results=lambda **_: None, content_digest="as it was at first")
    watch = JobWatch(folder)
    watch.look()
    assert watch._run is not None
    first = watch._run
    first.result.result(timeout=20)
    watch.look()
    assert watch._run is not first
    watch.close()
