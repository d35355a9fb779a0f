"""Closing by the verbs: measurements typed and taken back, what is drawn, the report."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pypdfium2
import pytest

from giornata import desk
from giornata.cli.measure_words import read_measures
from giornata.core.closing import MeasureKind
from giornata.core.projection import wall_shape
from giornata.desk import MarkInPicture
from giornata.files.site_log import SiteLog

MM = 0.001
AT = datetime(2026, 9, 18, 22, tzinfo=UTC)
NAMES = ("M01 lower", "M01 upper", "M02 lower", "row 2 M01 lower", "Gate")


@pytest.fixture(autouse=True)
def own_log(block):
    """The job is shared; what one test writes into its log is not there for the next."""
    yield
    for path in block.glob("site.sqlite*"):
        path.unlink()


@pytest.mark.parametrize(
    ("text", "kind", "marks", "value"),
    [
        ("distance M01 lower, M02 lower 6.402 m", "distance", ("M01 lower", "M02 lower"), 6.402),
        ("Diagonal M01 lower to M01 upper: 9 ft 4 in", "diagonal", ("M01 lower", "M01 upper"),
         2.8448),
        ("level M01 upper 2,9 m", "level", ("M01 upper",), 2.9),
        ("level m02, Gate -3 mm", "level", ("M02 lower", "Gate"), -0.003),
        ("plumb row 2 M01 lower, M01 upper 2 mm", "plumb", ("row 2 M01 lower", "M01 upper"), 0.002),
        ("chainage Gate 60' 2 1/2\"", "chainage", ("Gate",), 60 * 0.3048 + 2.5 * 0.0254),
    ],
)  # fmt: skip
def test_c4_a_measurement_is_typed_as_it_is_read(text, kind, marks, value):
    (one,) = read_measures((text,), NAMES, (), None)
    assert (one.kind, one.marks) == (MeasureKind(kind), marks)
    assert one.value == pytest.approx(value)
    assert one.name == f"{kind} {' to '.join(marks)}"
    assert one.sigma == 2 * MM


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("length M01 lower 3 m", "begins with no kind of measurement"),
        ("distance M01 lower, M02 lower 6.402", "has no unit"),
        ("distance M01 lower 6.402 m", "not measured on 1 mark"),
        ("chainage M77 3 m", "begins with no mark"),
        ("plumb M01 lower, M01 lower 0 m", "not the same"),
    ],
)
def test_what_is_typed_otherwise_is_refused(say, block, text, words):
    said = say("measure", block, "--read", text)
    assert said.code == 2
    assert words in said.words
    assert not (block / "site.sqlite").exists()


def test_c4_a_distance_longer_than_the_wall_is_refused(say, block):
    # The wall is 20 m long and 2.5 m high: sqrt(20² + 2.5²) = 20.156 m from corner to corner; 5 %
    # more are 21.164 m.
    far = say("measure", block, "--read", "distance M01 lower, M06 lower 5052 m")
    assert far.code == 2
    assert "the wall is 20.16 m from corner to corner" in far.words
    assert "is a decimal point missing" in far.words
    assert say("measure", block, "--read", "diagonal M01 lower, M06 upper 21.17 m").code == 2
    feet = say("measure", block, "--read", "distance M01 lower, M06 lower 640 ft", "--units", "us")
    # 20.156 m / 0.0254 = 793.5 in = 66 ft 1 1/2 in
    assert "the wall is 66 ft 1 1/2 in from corner to corner" in feet.words
    assert not (block / "site.sqlite").exists()
    assert say("measure", block, "--read", "diagonal M01 lower, M06 upper 21.16 m").code == 0


def test_c4_measurements_are_kept_listed_and_taken_back(say, block):
    read = ("--read", "level M01 lower 0.2 m")
    say("measure", block, *read, "--known-to", "1 mm")
    said = say("measure", block, *read, "--json")
    names = [row["name"] for row in said.form["result"]["measures"]]
    assert names == ["level M01 lower", "level M01 lower, 2"]
    assert [m.sigma for m in desk.check_measurements(block)] == [1 * MM, 2 * MM]
    assert say("measure", block, "--undo", "level M01 lower").code == 0
    assert [m.name for m in desk.check_measurements(block)] == ["level M01 lower, 2"]
    gone = say("measure", block, "--undo", "level M01 lower")
    assert gone.code == 5
    assert "No check measurement" in gone.words
    assert say("measure", block, "--known-to", "0 m", *read).code == 2
    assert say("measure", block, "--undo", "x", *read).code == 2


def squared(block, opened, slip=0.0):
    """Every set-up squared as planned, one mark of the first seen a slip to the right. [px]"""
    results = opened.results()
    for one in results.set_ups.set_ups:
        pose = wall_shape(results.wall, one)[0].pose(one)
        marks = [mark for mark in results.marks if one.number in mark.set_ups]
        px = pose.px_from_wall(np.array([(m.chainage, m.level) for m in marks]))
        seen = [
            MarkInPicture(name=m.name, x_px=x + (slip if (one.number, k) == (1, 0) else 0.0),
                          y_px=y, px_sigma=0.3)
            for k, (m, (x, y)) in enumerate(zip(marks, px.tolist(), strict=True))
        ]  # fmt: skip
        desk.record_marks_seen(block, one.number, seen, means="photo", at=AT)
    return results


def test_c4_both_ends_meet_and_the_report_says_so(say, block, opened_block, tmp_path):
    results = squared(block, opened_block)
    count = len(results.set_ups.set_ups)
    drawn = [word for k in range(1, count + 1) for word in ("--drawn", str(k))]
    report = tmp_path / "closing.pdf"
    said = say("close", block, *drawn, "--json", "--report", report)
    assert said.code == 0
    result = said.form["result"]
    assert (result["drawn"], result["remaining"]) == (count, 0)
    # Seen where the plan puts them and drawn by that: nothing misses anything.
    assert all(row["worst_mm"]["value"] == pytest.approx(0, abs=0.05) for row in result["seams"])
    assert said.form["findings"] == []
    pages = pypdfium2.PdfDocument(report)
    text = " ".join("".join(page.get_textpage().get_text_bounded() for page in pages).split())
    assert "Closing report" in text
    assert "Nothing that these readings can show" in text


def test_c4_the_closing_is_in_feet_and_inches_where_us_units_are_wanted(say, block, opened_block):
    squared(block, opened_block)
    said = say("close", block, "--units", "us")
    assert re.findall(r"[\d.,]+ (?:mm|m)\b|^.*\bmm\b.*$", said.out, re.M) == []
    # On a wall of 20 m, 65 ft 7 in, pictures 1 to 5 meet at 26 ft.
    assert re.search(r"ends meet at 26 ft [\d/ ]+ in, expected within  +0\.\d\d in\n", said.out)
    # No mark is off, so no column says which ones are.
    assert "not on" not in said.out


def test_c4_a_mark_seen_wrong_stops_the_closure(say, block, opened_block):
    squared(block, opened_block, slip=20.0)
    said = say("close", block, "--json")
    assert said.code == 1
    codes = {finding["code"] for finding in said.form["findings"]}
    assert codes & {"closing.wrong", "closing.one_of"}


def test_c4_pictures_of_what_is_left_follow_the_moved_design(say, block, opened_block, monkeypatch):
    # Set-up 1 was drawn by a picture whose every mark was read 20 px too far right.
    results = squared(block, opened_block)
    one = results.set_ups.set_ups[0]
    seen = desk.marks_seen_events(block, 1)[-1].marks
    off = [replace(mark, x_px=mark.x_px + 20.0) for mark in seen]
    desk.record_marks_seen(block, 1, off, means="photo", at=AT)
    desk.record_drawn(block, (1,), at=AT)
    # The lens is where the marks say, so nothing is off: lines fall where the marks are.
    before = desk.close_wall(block, results)
    assert before.taken is None
    none = say("close", block, "--pictures")
    assert "none are due: the fronts miss by no more" in " ".join(none.out.split())
    assert "pictures of the moved design" not in say("close", block).out
    # A chainage by other means says that the marks of set-up 1 stand 60 mm too far right.
    marks = [mark for mark in results.marks if 1 in mark.set_ups]
    for mark in marks:
        text = f"chainage {mark.name} {mark.chainage + 0.06:.3f} m"
        (read,) = read_measures((text,), [m.name for m in results.marks], (), 0.1 * MM)
        desk.record_measure(block, read, at=AT)
    written = []
    monkeypatch.setattr(
        "giornata.desk.closing_papers.write_squared",
        lambda folder, moved, made: written.append((made.set_up.number, moved)),
    )
    made = desk.close_wall(block, results)
    assert made.taken is not None
    numbers = desk.write_moved_pictures(block, results, made, at=AT)
    assert [number for number, _ in written] == list(numbers)
    assert 2 in numbers
    assert all(moved.design.placed.coverage is made.taken.coverage for _, moved in written)
    said = say("close", block, "--pictures", "--json")
    assert said.form["result"]["pictures"] == ", ".join(map(str, numbers))
    again = desk.close_wall(block, results)
    assert set(again.closure.readings.moved) == set(numbers)
    desk.record_marks_seen(block, 2, desk.marks_seen_events(block, 2)[-1].marks, means="typed",
                           at=AT)  # fmt: skip
    # Read anew, it is thrown by the moved design still: files and window keep it.
    assert 2 in desk.close_wall(block, results).closure.readings.moved
    assert one.number not in numbers


def test_c4_a_set_up_drawn_but_not_squared_is_named_and_not_planned_anew(say, block, opened_block):
    count = len(opened_block.results().set_ups.set_ups)
    said = say("close", block, "--drawn", "2", "--json").form
    result = said["result"]
    (found,) = [one for one in said["findings"] if one["code"] == "closing.drawn_unsquared"]
    assert found["subject"] == "set-up 2"
    assert "giornata square 2" in found["remedy"]
    assert (result["drawn"], result["remaining"]) == (0, count - 1)
    assert [row["set_up"] for row in result["to_draw"]] == [1, 3, 4, 5]
    # Its marks typed, it counts as drawn, and the finding goes.
    squared(block, opened_block)
    said = say("close", block, "--json").form
    assert not [one for one in said["findings"] if one["code"] == "closing.drawn_unsquared"]
    assert (said["result"]["drawn"], said["result"]["remaining"]) == (1, count - 1)


def test_a_set_up_that_the_job_has_not_cannot_be_drawn(say, block):
    said = say("close", block, "--drawn", "99")
    assert said.code == 2
    assert "the job has no set-up 99" in said.words


def test_a_log_entry_that_makes_no_sense_is_refused_with_its_number(say, block):
    desk.record_measure(block, read_measures(("level M01 lower 0.2 m",), NAMES, (), None)[0], at=AT)
    with SiteLog(block / "site.sqlite") as log:
        log.append("check measurement", "odd", {"kind": "weight"}, at=AT)
    said = say("measure", block)
    assert said.code == 5
    assert "does not say what was measured" in said.words
