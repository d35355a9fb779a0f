"""The console squares as the command line does: on adjusted marks, by a moved design."""

from __future__ import annotations

import itertools
import re
import time
from datetime import UTC, datetime

import numpy as np
import pytest
from starlette.testclient import TestClient

from giornata import desk
from giornata.core.closing import Measure, MeasureKind
from giornata.core.projection import PoseMap, ProjectiveMap, wall_shape
from giornata.desk.pictures import MOVED
from giornata.files.site_log import SiteLog
from giornata.web import create_app

MM = 0.001
AT = datetime(2026, 9, 18, 22, tzinfo=UTC)
KEY = "a-key-of-the-tests"
PRESSES = itertools.count()


@pytest.fixture(scope="module")
def worked_out(tmp_path_factory):
    """One job, worked out once; its log is begun anew in each test."""
    folder = tmp_path_factory.mktemp("adjusted") / "wall"
    desk.begin_job(folder)
    with TestClient(create_app(folder, key=KEY), base_url="http://127.0.0.1:8765") as client:
        client.get("/", params={"key": KEY})
        for _ in range(600):
            if client.get("/api/state").json()["state"] == "ready":
                break
            time.sleep(0.1)
        yield folder, client, client.app.state.watch.look().results


@pytest.fixture
def night(worked_out):
    folder, client, results = worked_out
    for path in folder.glob("site.sqlite*"):
        path.unlink()
    return folder, client, results


def press(client, do, **what):
    name = f"press-{next(PRESSES):016d}"
    answer = client.post("/api/night/act", json={"do": do, "key": name, **what})
    assert answer.status_code == 200, answer.text
    return answer.json()


def laid(client, results, number, moved):
    """A set-up's crosses are laid on its marks, which stand so far right of where they should."""
    one = results.set_ups.set_ups[number - 1]
    pose = wall_shape(results.wall, one)[0].pose(one)
    marks = [mark for mark in results.marks if number in mark.set_ups]
    at = np.array([(m.chainage + moved.get(m.name, 0.0), m.level) for m in marks])
    places = [
        {"name": m.name, "x": x, "y": y}
        for m, (x, y) in zip(marks, pose.px_from_wall(at).tolist(), strict=True)
    ]
    press(client, "begin", set_up=number)
    press(client, "lay", set_up=number, marks=places)
    return one, marks


def settled(client):
    """Where the night stands once its set-up is squared."""
    for _ in range(300):
        said = client.get("/api/night").json()
        if said["square"] is not None:
            return said
        time.sleep(0.1)
    raise AssertionError("never squared")


def map_of(said):
    form = {name: value for name, value in said["square"]["form"].items() if name != "kind"}
    kind = PoseMap if said["square"]["form"]["kind"] == "pose" else ProjectiveMap
    return kind(**{k: np.array(v) if isinstance(v, list) else v for k, v in form.items()})


def wall_of(one):
    return np.array([(x, y) for x in (one.start, one.centre, one.end) for y in (0.1, 1.2, 2.4)])


def test_c4_phone_and_command_line_square_by_one_map_on_adjusted_marks(night):
    folder, client, results = night
    name = next(m.name for m in results.marks if 1 in m.set_ups)
    one, marks = laid(client, results, 1, {name: 12 * MM})
    before = map_of(settled(client))
    # A tape pulled along afterwards finds one mark 12 mm too far right, and the others in place.
    for mark in marks:
        tape = Measure(
            name=f"chainage {mark.name}", kind=MeasureKind.CHAINAGE, marks=(mark.name,),
            value=mark.chainage + (12 * MM if mark.name == name else 0.0), sigma=0.1 * MM,
        )  # fmt: skip
        desk.record_measure(folder, tape, at=AT)
    said = settled(client)
    made, findings, known = desk.square_as_adjusted(
        folder, results, one, desk.marks_seen_events(folder, 1)[-1]
    )
    assert known is not None
    at = wall_of(one)
    there = map_of(said)
    assert there.px_from_wall(at) == pytest.approx(made.on_wall.px_from_wall(at), abs=1e-9)
    # It is not the map of the job's own places, and by truth the projector stands as planned.
    truth = wall_shape(results.wall, one)[0].pose(one).px_from_wall(at)
    assert np.abs(before.px_from_wall(at) - truth).max() * one.pitch > 1 * MM
    assert np.abs(there.px_from_wall(at) - truth).max() * one.pitch < 1 * MM
    # Crosses lie where the marks stand, and the same is said of them.
    stands = {mark["name"]: mark["at"] for mark in said["stands"]}
    places = np.array([stands[mark.name] for mark in made.marks])
    assert places == pytest.approx(np.array([(m.chainage, m.level) for m in made.marks]), abs=1e-9)
    own = next(m for m in marks if m.name == name)
    assert stands[name][0] - own.chainage == pytest.approx(12 * MM, abs=0.2 * MM)
    assert dict(zip(desk.cross_places(made), there.px_from_wall(places).tolist(), strict=True)) == {
        mark: pytest.approx(px, abs=1e-3) for mark, px in desk.cross_places(made).items()
    }
    assert len(said["square"]["findings"]) == len(findings)
    # Nothing is worked out again for a picture that is only shown or moved.
    assert press(client, "nudge", set_up=1, right=0.005, up=0)["square"] == said["square"]


def test_c4_the_window_shows_the_design_as_closing_moved_it_and_the_closure_knows(night):
    folder, client, results = night
    one, _ = laid(client, results, 1, {})
    plain = client.get("/api/night/set-up?number=1").json()
    assert client.get("/api/night").json()["moved"] == ""
    knots = [[one.start - 1, 0.012, -0.005], [one.end + 1, 0.012, -0.005]]
    with SiteLog(folder / "site.sqlite") as log:
        event = log.append(MOVED, "1", {"moved": knots}, at=AT)
    said = client.get("/api/night").json()
    assert said["design"] == event.number
    assert re.fullmatch(
        r"The design is moved here, so that both ends meet: 12(\.0+)? mm right, 5(\.0+)? mm down\.",
        said["moved"],
    )
    moved = client.get("/api/night/set-up?number=1").json()
    # Steps are of 10 µm and rings begin with a place: 12 mm are 1200 steps right, 5 mm 500 down.
    # Pieces are cut where the picture may reach to, so the rim of the design is looked at.
    edges = [np.cumsum(np.reshape(line, (-1, 2)), axis=0) for line in plain["between"]]
    found = {tuple(p) for line in moved["between"] for p in
             np.cumsum(np.reshape(line, (-1, 2)), axis=0).tolist()}  # fmt: skip
    inner = [
        (x + 1200, y - 500)
        for line in edges
        for x, y in line.tolist()
        if one.start < x / 1e5 < one.end and 0 < y / 1e5 < one.head
    ]
    assert len(inner) > 10
    near = [any((x + i, y + j) in found for i in (-1, 0, 1) for j in (-1, 0, 1)) for x, y in inner]
    assert np.mean(near) > 0.9
    # Read anew: still that design, on the window and to the closure.
    laid(client, results, 1, {})
    assert client.get("/api/night").json()["design"] == event.number
    assert desk.close_wall(folder, results).closure.readings.moved[1] == tuple(map(tuple, knots))


def test_c4_by_which_map_lines_were_drawn_at_the_window_is_in_the_log(night):
    folder, client, results = night
    one, marks = laid(client, results, 1, {})
    press(client, "nudge", set_up=1, right=0.005, up=0)
    line = client.get("/api/night/set-up?number=1").json()["stretches"][0]["lines"][0]["key"]
    for _ in range(2):
        press(client, "tick", set_up=1, lines=[line], traced=True)
    press(client, "done", set_up=1)
    # One picture, said once: the map as moved by hand.
    assert [e.kind for e in desk.events(folder)].count("picture squared") == 1
    picture = desk.pictures_made(folder)[1]
    made, _, _ = desk.square_as_adjusted(
        folder, results, one, desk.marks_seen_events(folder, 1)[-1]
    )
    at = wall_of(one)
    by_hand = made.on_wall.px_from_wall(at + np.array([0.005, 0.0]))
    assert picture.on_wall.px_from_wall(at) == pytest.approx(by_hand, abs=1e-6)
    # What is measured afterwards moves the marks, not the lines that are on the wall.
    for mark in marks:
        tape = Measure(name=mark.name, kind=MeasureKind.CHAINAGE, marks=(mark.name,),
                       value=mark.chainage + 5 * MM, sigma=0.1 * MM)  # fmt: skip
        desk.record_measure(folder, tape, at=AT)
    drawn = desk.close_wall(folder, results).closure.readings.drawn[1]
    assert drawn.px_from_wall(at) == pytest.approx(by_hand, abs=1e-6)
