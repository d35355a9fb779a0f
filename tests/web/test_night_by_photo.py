"""Photos sent from a phone square the set-up; those that cannot are refused, nothing written."""

from __future__ import annotations

import io
import itertools
import time
from datetime import UTC, datetime
from types import ModuleType

import numpy as np
import pytest
from PIL import Image
from starlette.testclient import TestClient

from giornata.core.boards import Pattern, pattern_pixels
from giornata.core.foundation import affine_applied
from giornata.core.projection import frame_from_wall
from giornata.desk import begin_job, marks_seen_events, undo_marks_seen
from giornata.web import create_app

KEY = "a-key-of-the-tests"
PRESSES = itertools.count()
ASIDE = 0.2  # m by which the projector stands beside its plan


@pytest.fixture(scope="module")
def night(tmp_path_factory):
    folder = tmp_path_factory.mktemp("night") / "wall"
    begin_job(folder)
    with TestClient(create_app(folder, key=KEY), base_url="http://127.0.0.1") as client:
        client.get("/", params={"key": KEY})
        for _ in range(600):
            if client.get("/api/state").json()["state"] == "ready":
                break
            time.sleep(0.1)
        yield folder, client, client.app.state.watch.look().results


@pytest.fixture(scope="module")
def photos(night, made_night: ModuleType):
    """Of set-up 1, its projector put 20 cm aside: the pattern, its neighbour's, and plain white."""
    results = night[2]
    one = results.set_ups.set_ups[0]
    rng = np.random.default_rng(3)
    matrix = np.array([[1, 0, ASIDE / one.pitch], [0, 1, 0], [0, 0, 1]]) @ frame_from_wall(one)
    lamp = made_night.Lamp(columns=one.columns, rows=one.rows, px_from_wall=matrix / matrix[2, 2])
    marks = np.array([(m.chainage, m.level) for m in results.marks if 1 in m.set_ups])
    wide = float(np.ptp(lamp.outline[:, 0]))
    made = made_night.Night(
        lamp=lamp,
        wall=made_night.Wall.drawn(rng, lamp.outline, marks, shapes=6, fine=0.004),
        phone=made_night.Phone.standing(
            lamp.outline.mean(axis=0), 1.4 * wide, width=2000, fills=1.2 * wide, oblique=15
        ),
    )
    frames = {
        "pattern": pattern_pixels(Pattern(columns=one.columns, rows=one.rows, set_up=1)),
        "other": pattern_pixels(Pattern(columns=one.columns, rows=one.rows, set_up=2)),
        "white": np.full((one.rows, one.columns), 255, np.uint8),
    }
    taken = {}
    for name, frame in frames.items():
        sink = io.BytesIO()
        Image.fromarray(made.photo(frame, rng)).save(sink, "JPEG", quality=92)
        taken[name] = sink.getvalue()
    return taken


def press(client, do, **what):
    named = {"do": do, "key": f"press-{next(PRESSES):016d}", **what}
    return client.post("/api/night/act", json=named)


def send(client, of, content):
    form = {"set_up": 1, "of": of, "key": f"press-{next(PRESSES):016d}"}
    sent = client.post("/api/night/photo", data=form, files={"file": ("IMG.JPG", content)})
    assert sent.status_code == 200, sent.text


def test_n50_photos_sent_from_a_phone_square_the_set_up(night, photos):
    folder, client, results = night
    press(client, "begin", set_up=1)
    assert "no photo of its pattern" in press(client, "photos", set_up=1).json()["message"]
    # A pattern of another set-up is refused, and nothing is written.
    send(client, "pattern", photos["other"])
    send(client, "white", photos["white"])
    refused = press(client, "photos", set_up=1)
    assert refused.status_code == 409
    assert "the picture is as it was, not squared yet" in refused.json()["message"]
    assert marks_seen_events(folder) == ()
    send(client, "pattern", photos["pattern"])
    answer = press(client, "photos", set_up=1)
    assert answer.status_code == 200, answer.text
    assert answer.json()["means"] == "photo"
    (reading,) = marks_seen_events(folder, 1)
    assert reading.photo == "photos/night-01-pattern-2.jpg"
    # By construction each mark lies where the plan has it, moved along by 20 cm of pixels; the
    # wall's wear and the made phone's noise blur that by a pixel or two.
    one = results.set_ups.set_ups[0]
    places = {m.name: (m.chainage, m.level) for m in results.marks}
    planned = affine_applied(frame_from_wall(one), [places[m.name] for m in reading.marks])
    seen = np.array([(m.x_px, m.y_px) for m in reading.marks])
    assert seen == pytest.approx(planned + np.array([ASIDE / one.pitch, 0]), abs=2.5)
    assert len(seen) >= 4
    # The same press again, the same photos sent again, and a press of its own: still one reading.
    press(client, "photos", set_up=1, key="the-same-press-again")
    send(client, "pattern", photos["pattern"])
    assert press(client, "photos", set_up=1, key="the-same-press-again").status_code == 200
    assert press(client, "photos", set_up=1).status_code == 200
    assert [one.event for one in marks_seen_events(folder, 1)] == [reading.event]
    # What is no photo is not kept, and the one before it stays; a refusal leaves the reading.
    form = {"set_up": 1, "of": "pattern", "key": "no-photo-00000000000"}
    page = client.post("/api/night/photo", data=form, files={"file": ("IMG.JPG", b"no photo")})
    assert page.status_code == 409
    assert "pattern-2.jpg stays the last one" in page.json()["message"]
    send(client, "pattern", photos["other"])
    said = press(client, "photos", set_up=1).json()["message"]
    assert "as it was, squared on" in said
    assert "found in a photo of the pattern" in said
    assert [one.event for one in marks_seen_events(folder, 1)] == [reading.event]
    send(client, "pattern", photos["pattern"])
    # Taken back, they may be read again.
    undo_marks_seen(folder, 1, at=datetime.now(UTC))
    assert press(client, "photos", set_up=1).status_code == 200
    (again,) = marks_seen_events(folder, 1)
    assert again.event > reading.event
