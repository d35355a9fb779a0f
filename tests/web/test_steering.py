"""What is done on the console, what the log then says, and what a restart finds."""

from __future__ import annotations

import io
import itertools
import math
import re
import sqlite3
import time
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from PIL import Image
from starlette.testclient import TestClient

from giornata.core.boards import Pattern, pattern_pixels
from giornata.core.foundation import System, given
from giornata.core.works import PowerPlan
from giornata.desk import (
    begin_job,
    events,
    lines_traced,
    marks_seen_events,
    moves_by_hand,
    squared_set_ups,
)
from giornata.desk.steering import night_of
from giornata.files.site_log import SiteLog
from giornata.web import create_app, serving
from giornata.web.night_left import left_of_night
from giornata.web.set_up_drawing import set_up_drawing

KEY = "a-key-of-the-tests"
LAPTOP = "http://127.0.0.1:8765"
PRESSES = itertools.count()


@pytest.fixture(scope="module")
def worked_out(tmp_path_factory):
    """One job, worked out once; its log is begun anew in each test."""
    folder = tmp_path_factory.mktemp("night") / "wall"
    begin_job(folder)
    with TestClient(create_app(folder, key=KEY), base_url=LAPTOP) as client:
        client.get("/", params={"key": KEY})
        for _ in range(600):
            if client.get("/api/state").json()["state"] == "ready":
                break
            time.sleep(0.1)
        yield folder, client


@pytest.fixture
def folder(worked_out):
    for path in worked_out[0].glob("site.sqlite*"):
        path.unlink()
    return worked_out[0]


@pytest.fixture
def laptop(worked_out, folder):
    return worked_out[1]


def press(client, do, status=200, key=None, **what):
    name = key or f"press-{next(PRESSES):016d}"
    answer = client.post("/api/night/act", json={"do": do, "key": name, **what})
    assert answer.status_code == status, answer.text
    return answer.json()


def test_a_night_is_written_as_it_goes_and_stands_after_a_restart(laptop, folder):
    said = laptop.get("/api/night").json()
    assert (said["set_up"], said["undo"]) == (0, None)
    press(laptop, "begin", set_up=1)
    press(laptop, "show", set_up=1, view="fill", thick=True)
    drawing = laptop.get("/api/night/set-up?number=1").json()
    mark = drawing["marks"][0]["name"]
    press(laptop, "lay", set_up=1, marks=[{"name": mark, "x": 101.5, "y": 77.25}])
    line = drawing["stretches"][0]["lines"][0]["key"]
    press(laptop, "tick", set_up=1, lines=[line], traced=True)
    press(laptop, "flash", set_up=1, mark=mark)
    press(laptop, "note", set_up=1, text="Plaster is damp at the door")
    last = press(laptop, "done", set_up=1)
    kinds = [event.kind for event in events(folder)]
    assert kinds == [
        "set-up begun", "picture shown", "marks seen", "line traced", "mark flashed", "note",
        "set-up done",
    ]  # fmt: skip
    (seen,) = marks_seen_events(folder, 1)
    assert (seen.means, seen.marks[0].x_px, seen.marks[0].y_px) == ("dragged", 101.5, 77.25)
    # Another program opens the folder: the night stands where it was.
    again = TestClient(serving.night_app(folder, key=KEY, port=8765, addresses=[]), base_url=LAPTOP)
    again.get("/", params={"key": KEY}, follow_redirects=False)
    found = again.get("/api/night").json()
    for name in ("number", "set_up", "begun", "shown", "placed", "traced", "undo", "note", "done"):
        assert found[name] == last[name], name
    assert found["shown"]["view"] == "fill"
    assert found["traced"] == [line]


def test_a_press_sent_twice_counts_once(laptop, folder):
    for _ in range(2):
        press(laptop, "begin", set_up=1, key="the-same-press-000")
    assert len(events(folder)) == 1


def test_undo_takes_back_the_last_thing_and_no_other(laptop, folder):
    press(laptop, "begin", set_up=1)
    seen = press(laptop, "show", set_up=1, view="fill")["undo"]
    later = press(laptop, "show", set_up=1, view="blank")["undo"]
    # Somebody else pressed meanwhile: what the first phone saw last is not the last any more.
    assert press(laptop, "undo", number=seen["number"], status=409)["stale"]
    assert press(laptop, "undo", number=later["number"])["shown"]["view"] == "fill"
    assert press(laptop, "undo", number=seen["number"])["shown"]["view"] == "outline"
    assert press(laptop, "undo", number=1)["set_up"] == 0
    assert events(folder) == []
    assert len(events(folder, standing=False)) == 6


def test_a_cross_that_may_not_be_laid_is_put_back_on_every_screen(laptop, monkeypatch):
    press(laptop, "begin", set_up=1)
    told = []
    monkeypatch.setattr(laptop.app.state.night.hub, "changed", lambda: told.append(None))
    press(laptop, "lay", set_up=1, marks=[{"name": "nobody's", "x": 10, "y": 20}], status=409)
    assert len(told) == 1  # pages that showed where it was dragged read the log again


def test_two_phones_that_lay_different_marks_keep_both(laptop):
    press(laptop, "begin", set_up=1)
    names = [mark["name"] for mark in laptop.get("/api/night/set-up?number=1").json()["marks"]]
    press(laptop, "lay", set_up=1, marks=[{"name": names[0], "x": 10, "y": 20}])
    press(laptop, "lay", set_up=1, marks=[{"name": names[1], "x": 30, "y": 40}])
    placed = press(laptop, "lay", set_up=1, marks=[{"name": names[0], "x": 11, "y": 20}])["placed"]
    assert {one["name"]: (one["x"], one["y"]) for one in placed} == {
        names[0]: (11.0, 20.0), names[1]: (30.0, 40.0),
    }  # fmt: skip


def test_a_cross_that_fell_beside_its_mark_is_typed(laptop, folder):
    press(laptop, "begin", set_up=1)
    drawing = laptop.get("/api/night/set-up?number=1").json()
    plan, pitch = drawing["plan"], drawing["pitch"]
    pairs = []
    for mark in drawing["marks"]:
        x, y = (row[0] * mark["at"][0] + row[1] * mark["at"][1] + row[2] for row in plan[:2])
        pairs.append({"name": mark["name"], "x": x, "y": y, "right": 0.030, "up": -0.012})
    press(laptop, "fell", set_up=1, marks=pairs)
    (seen,) = marks_seen_events(folder, 1)
    # By construction: every cross fell 30 mm right and 12 mm low, so the light is shifted as a
    # whole, and each mark lies that many pixels the other way in the picture (y runs down).
    for pair, mark in zip(pairs, seen.marks, strict=True):
        assert mark.x_px == pytest.approx(pair["x"] - 0.030 / pitch, abs=0.05)
        assert mark.y_px == pytest.approx(pair["y"] - 0.012 / pitch, abs=0.05)
    assert seen.means == "typed"


def test_n50_the_whole_picture_is_moved_and_moved_back(laptop, folder, worked_out):
    press(laptop, "begin", set_up=1)
    press(laptop, "nudge", set_up=1, right=0.005, up=0)
    said = press(laptop, "nudge", set_up=1, right=0.020, up=-0.001)
    assert (said["by_hand"]["right"], said["by_hand"]["up"]) == (0.025, -0.001)
    assert said["by_hand"]["words"] == "25 mm right and 1.0 mm down"
    assert [event.kind for event in events(folder)][1:] == ["picture moved"] * 2
    back = press(laptop, "undo", number=said["undo"]["number"])
    assert back["by_hand"] == {"right": 0.005, "up": 0.0, "words": "5.0 mm right"}
    # Another set-up is not moved; this one is where it was on coming back.
    assert press(laptop, "begin", set_up=2)["by_hand"]["words"] == ""
    press(laptop, "nudge", set_up=1, right=0.001, up=0, status=409)
    assert press(laptop, "begin", set_up=1)["by_hand"]["right"] == 0.005
    # Marks read anew say where the picture is: the move is in them. What is drawn by the program
    # is moved as what is drawn by the browser.
    drawing = laptop.get("/api/night/set-up?number=1").json()
    plan = np.array(drawing["plan"])
    laid = [
        dict(zip(("name", "x", "y"), (m["name"], *(plan @ (*m["at"], 1))[:2]), strict=True))
        for m in drawing["marks"]
    ]
    assert press(laptop, "lay", set_up=1, marks=laid)["by_hand"]["words"] == ""
    results = worked_out[1].app.state.watch.look().results
    before = squared_set_ups(folder, results)[1].on_wall
    press(laptop, "nudge", set_up=1, right=0.020, up=0.005)
    after = squared_set_ups(folder, results)[1].on_wall
    places = np.array([m["at"] for m in drawing["marks"]])
    assert after.px_from_wall(places) == pytest.approx(
        before.px_from_wall(places + np.array([0.020, 0.005])), abs=1e-6
    )
    assert moves_by_hand(events(folder)) == {1: (0.020, 0.005)}
    for wrong in (0.6, -0.6):
        press(laptop, "nudge", set_up=1, right=wrong, up=0, status=422)


def test_what_cannot_be_is_refused_and_not_written(laptop, folder):
    press(laptop, "begin", set_up=1)
    before = len(events(folder, standing=False))
    press(laptop, "begin", set_up=99, status=409)
    press(laptop, "lay", set_up=1, marks=[{"name": "none", "x": 1, "y": 1}], status=409)
    press(laptop, "tick", set_up=1, lines=["no|line|0.00|0.00"], traced=True, status=409)
    press(laptop, "show", set_up=1, view="a rainbow", status=422)
    press(laptop, "note", set_up=1, text="", status=422)
    press(laptop, "lay", set_up=1, marks=[], status=422)
    press(laptop, "begin", set_up=1, key="short", status=422)
    assert laptop.post("/api/night/act", content=b"no json").status_code == 422
    assert laptop.get("/api/night/set-up?number=99").status_code == 409
    assert len(events(folder, standing=False)) == before


def test_marks_of_a_set_up_that_was_left_are_not_laid(laptop, folder):
    press(laptop, "begin", set_up=1)
    name = laptop.get("/api/night/set-up?number=1").json()["marks"][0]["name"]
    press(laptop, "begin", set_up=2)
    said = press(laptop, "lay", set_up=1, marks=[{"name": name, "x": 1, "y": 1}], status=409)
    assert "moved on to set-up 2" in said["message"]
    assert marks_seen_events(folder) == ()


def test_a_log_that_cannot_be_written_says_so(laptop, folder):
    press(laptop, "begin", set_up=1)
    with sqlite3.connect(folder / "site.sqlite") as base:
        base.execute("DROP TABLE events")
    base.close()
    (folder / "site.sqlite").write_bytes(b"no database at all, but long enough to be read" * 40)
    for ending in ("-wal", "-shm"):
        (folder / f"site.sqlite{ending}").unlink(missing_ok=True)
    said = press(laptop, "show", set_up=1, view="fill", status=409)
    assert "site log cannot be used" in said["message"]
    assert str(folder) not in said["message"]


def test_lines_to_trace_are_the_edges_of_the_set_ups_part(laptop, worked_out):
    drawings = [laptop.get(f"/api/night/set-up?number={n}").json() for n in (1, 2)]
    every = [[line for s in drawing["stretches"] for line in s["lines"]] for drawing in drawings]
    keys = [line["key"] for lines in every for line in lines]
    assert len(set(keys)) == len(keys) > 0  # no line is asked for twice
    # All of them together are what the set-up has to trace: the figure of the works.
    results = worked_out[1].app.state.watch.look().results
    for lines, figure in zip(every, results.design.traced, strict=False):
        assert sum(line["metres"] for line in lines) == pytest.approx(float(figure), abs=0.001)
    for drawing in drawings:
        assert len(drawing["paint"]) == len(drawing["regions"]) > 0
        assert set(map(str, drawing["paint"])) <= set(drawing["fill"])


def test_n51_marks_that_are_laid_square_the_picture_and_say_how_far_to_trust_it(laptop):
    press(laptop, "begin", set_up=2)
    drawing = laptop.get("/api/night/set-up?number=2").json()
    plan = drawing["plan"]
    laid = []
    for mark in drawing["marks"]:
        x, y = (row[0] * mark["at"][0] + row[1] * mark["at"][1] + row[2] for row in plan[:2])
        laid.append({"name": mark["name"], "x": x + 40, "y": y + 25})
    press(laptop, "lay", set_up=2, marks=laid)
    for _ in range(300):
        squared = laptop.get("/api/night").json()["square"]
        if squared is not None:
            break
        time.sleep(0.1)
    assert squared["kind"]
    assert squared["most"].endswith(("mm", "m"))
    assert squared["form"]["kind"] in ("pose", "projective")
    # Marks that agree to the pixel blame nobody.
    assert squared["bad"] == []
    # The next set-up has no marks yet, so nothing is said of it.
    assert press(laptop, "begin", set_up=3)["square"] is None


def test_n52_what_is_left_of_the_night(worked_out):
    ready = worked_out[1].app.state.watch.look()
    results, zone = ready.results, ZoneInfo("Europe/London")
    assert left_at(results, datetime(2027, 1, 10, 23, tzinfo=UTC)).battery == ""
    placed = stood_at(results, 50, -5, zone)
    left = {
        hour: left_at(placed, datetime(2027, 1, day, hour, tzinfo=UTC))
        for day, hour in ((10, 16), (10, 23), (11, 1))
    }
    # 10 January 2027 at 50 N 5 W, a young moon: dark between sunset (about 16.35 UTC) and the end
    # of twilight (18.30), light again before sunrise (8.15); all from memory, to a few minutes.
    assert left[16] == left[23] == left[1]  # one night, till noon
    (span,) = left[16].dark
    assert "2027-01-10T16:35" <= span.begins < "2027-01-10T18:30"
    assert "2027-01-11T06:00" < span.ends < "2027-01-11T08:15"
    assert span.begins[11:16] == span.begin  # clocks of January are UTC
    # Batteries for 5 h by the plan, work begun at 21.00: they last till 2.00.
    five = given("batteries", 5 * 3600.0, "s", source="made for the test")
    load = given("load", 300.0, "W", source="made for the test")
    power = PowerPlan(load=load, time=five, energy=load, battery_time=five)
    begun = [datetime(2027, 1, 9, 20, tzinfo=UTC), datetime(2027, 1, 10, 21, tzinfo=UTC)]
    found = left_at(replace(placed, power=power), datetime(2027, 1, 10, 23, tzinfo=UTC), begun)
    assert datetime.fromisoformat(found.battery) == datetime(2027, 1, 11, 2, tzinfo=UTC)


def test_n52_set_ups_that_fit_before_light_are_counted(worked_out):
    # Each takes 4 h by construction; by hand, with light at E: of 9 h two fit. The one that is
    # worked for 3 h has 1 h to go, and 8 h hold two others; of 4.5 h no more than itself and none.
    results = worked_out[1].app.state.watch.look().results
    placed = stood_at(results, 50, -5, ZoneInfo("Europe/London"))
    plan = placed.design.nights
    each = tuple(given("set-up", 4 * 3600.0, "s", source="made") for _ in plan.set_ups)
    plan = replace(plan, set_ups=each)
    designs = tuple(
        replace(one, nights=plan) if one.option.key == placed.design.option.key else one
        for one in placed.designs
    )
    placed = replace(placed, designs=designs)
    first, *others = [n for group in plan.nights for n in group]
    evening = datetime(2027, 1, 10, 23, tzinfo=UTC)
    ends = datetime.fromisoformat(left_at(placed, evening).dark[0].ends)
    night = night_of((), number=0)

    def told(hours, **changes):
        return left_at(
            placed, ends - timedelta(hours=hours), steered=replace(night, **changes)
        ).fits

    assert left_at(placed, evening).fits == ""
    assert told(9).endswith(f": 2 set-ups fit before light; {len(others) - 1} left")
    begun = ends - timedelta(hours=12)
    here = told(9, set_up=first, begun=begun)
    assert here.endswith(f": 2 set-ups fit before light after this one; {len(others) - 2} left")
    late = told(4.5, set_up=first, begun=ends - timedelta(hours=4.5))
    assert late.endswith(f": 0 set-ups fit before light after this one; {len(others)} left")
    assert told(9, done=frozenset((first, *others))) == ""
    assert told(-0.1) == ""


def test_n52_a_night_that_never_gets_dark_says_why(worked_out):
    results = worked_out[1].app.state.watch.look().results
    assert not left_at(results, datetime(2027, 6, 21, 23, tzinfo=UTC)).known
    # Tromsoe, 69.6 N: the midnight sun of June (from memory: about 20 May to 22 July).
    north = stood_at(results, 69.6, 19, ZoneInfo("Europe/Oslo"))
    left = left_at(north, datetime(2027, 6, 21, 23, tzinfo=UTC))
    assert left.dark == ()
    assert "does not get dark enough" in left.never
    assert "above the horizon" in left.never
    winter = left_at(north, datetime(2027, 12, 21, 23, tzinfo=UTC))
    assert winter.never == ""
    assert len(winter.dark) == 1  # noon of the polar night lies in twilight
    assert "lx" in left.never
    assert "lx" not in left_at(north, datetime(2027, 6, 21, 23, tzinfo=UTC), us=True).never


def left_at(results, now, begun=(), us=False, steered=None):
    units = System.US if us else System.METRIC
    return left_of_night(results, now, begun, units, steered=steered)


def stood_at(results, north, east, zone):
    site = replace(
        results.inputs.site, latitude=math.radians(north), longitude=math.radians(east), zone=zone
    )
    return replace(results, inputs=replace(results.inputs, site=site))


def sent(client, of, content, key=None, name="IMG_0001.JPG"):
    form = {"set_up": 1, "of": of, "key": key or f"press-{next(PRESSES):016d}"}
    return client.post("/api/night/photo", data=form, files={"file": (name, content)})


def test_photos_of_the_night_are_kept_by_what_they_show(laptop, folder, made_photo, tmp_path):
    press(laptop, "begin", set_up=1)
    content = made_photo.save(tmp_path / "taken.jpg").read_bytes()
    assert sent(laptop, "white", content, key="the-same-photo-000").status_code == 200
    assert sent(laptop, "white", content, key="the-same-photo-000").status_code == 200
    assert sent(laptop, "pattern", content, name="../../job.toml").status_code == 200
    assert laptop.get("/api/night").json()["photos"] == ["pattern", "white"]
    kept = sorted(path.name for path in (folder / "photos").iterdir())
    assert kept == ["night-01-pattern-1.jpg", "night-01-white-1.jpg"]
    assert (folder / "photos/night-01-white-1.jpg").read_bytes() == content
    assert [e.data["of"] for e in events(folder)[1:]] == ["white", "pattern"]
    # The same file under another press is no second photo; another one is kept beside it.
    assert sent(laptop, "white", content).status_code == 200
    assert len(events(folder)) == 3
    assert not (folder / "photos/night-01-white-2.jpg").exists()
    sent(laptop, "white", made_photo.save(tmp_path / "next.jpg", focal_35=26).read_bytes())
    assert (folder / "photos/night-01-white-2.jpg").is_file()


def test_what_is_no_photo_is_refused_and_leaves_nothing(laptop, folder):
    press(laptop, "begin", set_up=1)
    before = sorted((folder / "photos").rglob("*"))
    for content in (b"", b"no photo", b"<svg xmlns='http://www.w3.org/2000/svg'/>"):
        assert sent(laptop, "white", content).status_code == 409
    assert sent(laptop, "a cat", b"x").status_code == 422
    assert sorted((folder / "photos").rglob("*")) == before
    assert len(events(folder)) == 1


def test_the_pattern_is_given_at_the_projectors_own_pixels(laptop):
    drawing = laptop.get("/api/night/set-up?number=1").json()
    size = {"columns": drawing["columns"], "rows": drawing["rows"], "set_up": 1}
    for negative in (False, True):
        answer = laptop.get("/api/night/pattern", params={"number": 1, "negative": negative})
        shown = np.asarray(Image.open(io.BytesIO(answer.content)).convert("L"))
        assert (shown == pattern_pixels(Pattern(**size), negative=negative)).all()
    assert laptop.get("/api/night/pattern?number=99").status_code == 409


def test_ticks_of_an_older_log_are_read(laptop, folder):
    press(laptop, "begin", set_up=1)
    drawing = laptop.get("/api/night/set-up?number=1").json()
    every = [line for stretch in drawing["stretches"] for line in stretch["lines"]]
    old = sorted({key for line in every for key in line["once"]})
    # Then one event held one line, and lines were named by the metre in which they begin.
    assert all(re.fullmatch(r"\S+ \| \S+, -?\d+ m, \d+\.\d\d m", key) for key in old)
    with SiteLog(folder / "site.sqlite") as log:
        for key in old:
            log.append("line traced", "1", {"line": key, "traced": True}, at=datetime.now(UTC))
    assert set(old) <= set(laptop.get("/api/night").json()["traced"])
    # What is taken back now is taken back for both.
    gone = press(laptop, "tick", set_up=1, lines=[every[0]["key"], *every[0]["once"]], traced=False)
    assert not set(every[0]["once"]) & set(gone["traced"])
    assert lines_traced(folder, 1, after=0, before=10_000) == tuple(
        key for key in old if key not in every[0]["once"]
    )


def test_n50_a_set_up_in_us_units_is_traced_and_moved_in_feet_and_inches(worked_out):
    results = worked_out[1].app.state.watch.look().results
    us, metric = (
        set_up_drawing(results, 1, version="", system=system)
        for system in (System.US, System.METRIC)
    )
    assert [name for name, _ in us.steps] == ["1/16 in", "1/4 in", "1 in"]
    assert us.small_unit == ("in", 0.0254)  # NIST SP 811, appendix B
    assert us.line_unit == ("ft", pytest.approx(0.3048))
    # Every fourth foot, but for the ends of the picture's part.
    inner = [s.where for s in us.stretches[1:-1]]
    assert all(re.fullmatch(r"\d+ to \d+ ft", where) for where in inner)
    assert all((int(b) - int(a), int(a) % 4) == (4, 0) for a, _, b, _ in map(str.split, inner))
    one, other = (
        sum(line.metres for s in drawing.stretches for line in s.lines) for drawing in (us, metric)
    )
    assert one == pytest.approx(other, abs=0.01)
