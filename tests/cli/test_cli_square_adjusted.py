"""Squaring on marks as check measurements adjust them, and by the design as it was moved."""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest

from giornata import desk
from giornata.core.closing import Measure, MeasureKind
from giornata.core.geometry import RowShift, shifted_in_rows
from giornata.core.projection import wall_shape
from giornata.desk import MarkInPicture
from giornata.desk.steering import move_picture
from giornata.files.site_log import SiteLog

MM = 0.001
AT = datetime(2026, 9, 18, 22, tzinfo=UTC)


@pytest.fixture(autouse=True)
def own_log(block):
    """The job is shared; what one test writes into its log is not there for the next."""
    yield
    for path in block.glob("site.sqlite*"):
        path.unlink()


def seen(block, results, number, *, right=0.0, means="typed"):
    """A set-up's marks as its plan has them, all of them so far to the right of their places."""
    one = results.set_ups.set_ups[number - 1]
    pose = wall_shape(results.wall, one)[0].pose(one)
    marks = [mark for mark in results.marks if number in mark.set_ups]
    px = pose.px_from_wall(np.array([(m.chainage + right, m.level) for m in marks]))
    read = [
        MarkInPicture(name=m.name, x_px=x, y_px=y, px_sigma=0.3)
        for m, (x, y) in zip(marks, px.tolist(), strict=True)
    ]
    desk.record_marks_seen(block, number, read, means=means, at=AT)
    return one, pose, marks


def measured(block, marks, *, right):
    """Each mark's chainage by other means, to a tenth of a millimetre."""
    for mark in marks:
        one = Measure(name=f"chainage {mark.name}", kind=MeasureKind.CHAINAGE, marks=(mark.name,),
                      value=mark.chainage + right, sigma=0.1 * MM)  # fmt: skip
        desk.record_measure(block, one, at=AT)


def test_c4_a_picture_is_squared_on_marks_where_check_measurements_put_them(
    say, block, opened_block
):
    # All its marks stand 5 mm too far right, says a tape pulled afterwards, and its picture shows
    # them there: so the projector stands as planned, and lines fall where the design has them.
    results = opened_block.results()
    one, pose, marks = seen(block, results, 1, right=5 * MM)
    measured(block, marks, right=5 * MM)
    said = say("square", "1", block, "--json")
    assert said.form["result"]["marks_moved_mm"]["value"] == pytest.approx(5.0, abs=0.05)
    (note,) = [f for f in said.form["findings"] if f["code"] == "closing.marks_adjusted"]
    assert "5 mm right" in note["message"]
    read = desk.marks_seen_events(block, 1)[-1]
    made, _, known = desk.square_as_adjusted(block, results, one, read)
    assert known is not None
    grid = np.array([(x, y) for x in (one.start + 0.3, one.end - 0.3) for y in (0.3, 2.3)])
    assert made.on_wall is not None
    apart = made.on_wall.px_from_wall(grid) - pose.px_from_wall(grid)
    assert np.abs(apart).max() * one.pitch < 0.3 * MM
    # The job's own places are 5 mm beside: a picture squared on those would be off by as much.
    raw = desk.squared_reading(results, one, read).on_wall
    assert raw is not None
    assert np.abs(raw.px_from_wall(grid) - pose.px_from_wall(grid)).max() * one.pitch > 4.5 * MM


def test_c4_neighbours_say_where_shared_marks_are_and_nothing_said_changes_nothing(
    say, block, opened_block
):
    results = opened_block.results()
    one, _, marks = seen(block, results, 1)
    alone = desk.adjusted_marks(block, results, one, desk.marks_seen_events(block, 1)[-1].marks)
    assert alone.known is None
    assert {mark.name: mark.chainage for mark in alone.marks} == {
        mark.name: mark.chainage for mark in marks
    }
    seen(block, results, 2)
    both = desk.adjusted_marks(block, results, one, desk.marks_seen_events(block, 1)[-1].marks)
    assert both.known is not None
    assert (both.known.pictures, both.known.measures) == (1, 0)
    # The neighbour saw its marks where they were set: they stand there, and are surer.
    assert np.abs(both.known.moved).max() < 0.1 * MM
    sigma = np.sqrt(np.diag(both.known.covariance))
    assert sigma.min() < 0.98 * desk.mark_sigma(results)
    assert sigma.max() <= desk.mark_sigma(results) * (1 + 1e-6)


def test_c4_a_picture_squared_again_follows_the_moved_design_and_the_closure_knows(
    say, block, opened_block
):
    results = opened_block.results()
    one, _, marks = seen(block, results, 2)
    knots = [[one.start, 0.020, -0.005], [one.end, 0.040, -0.005]]
    with SiteLog(block / "site.sqlite") as log:
        log.append("design moved", "2", {"moved": knots}, at=AT)
    seen(block, results, 2)  # read again: all that shows it from now on is moved as well
    readings = desk.close_wall(block, results).closure.readings
    assert readings.moved[2] == tuple(map(tuple, knots))
    said = say("square", "2", block, "--frames")
    assert said.code == 0, said.err
    assert "the design moved as it was for closing" in said.out
    (words,) = re.findall(r"design moved, so that both ends meet +(.*(?:\n {20,}.*)*)", said.out)
    assert re.sub(r"\.0+ mm", " mm", " ".join(words.split())) == (
        "20 mm right at the left edge and 40 mm right at the right, 5 mm down"
    )
    assert "so that both ends meet" not in say("square", "1", block).out
    readings = desk.close_wall(block, results).closure.readings
    assert readings.moved[2] == tuple(map(tuple, knots))
    moved = (block / "frames-squared" / "set-up-02-outline.png").read_bytes()
    made, _, _ = desk.square_as_adjusted(block, results, one, desk.marks_seen_events(block, 2)[-1])
    plain = desk.squared_picture(results, one, made.on_wall, desk.Shows.OUTLINE)
    assert plain != moved
    # It is that picture, not another: the same one is written by a design moved as the knots say.
    x, right, up = np.array(knots).T
    coverage = shifted_in_rows(
        results.design.placed.coverage, [RowShift(top=math.inf, knots=x, shifts=right, lifts=up)]
    )
    placed = replace(results.design.placed, coverage=coverage)
    design = replace(results.design, placed=placed)
    by_hand = replace(
        results, designs=tuple(design if d is results.design else d for d in results.designs)
    )
    assert desk.squared_picture(by_hand, one, made.on_wall, desk.Shows.OUTLINE) == moved
    # By which map it was drawn is in the log, crosses and all, for the closure and the next check.
    picture = desk.pictures_made(block)[2]
    assert picture.on_wall.px_from_wall(np.array([[one.centre, 1.5]])) == pytest.approx(
        made.on_wall.px_from_wall(np.array([[one.centre, 1.5]])), abs=1e-6
    )
    assert set(picture.crosses) == {mark.name for mark in marks}
    desk.record_drawn(block, (2,), at=AT)
    seen(block, results, 2, right=10 * MM)  # typed to check it: the same picture is drawn by still
    drawn = desk.close_wall(block, results).closure.readings.drawn[2]
    assert drawn.px_from_wall(np.array([[one.centre, 1.5]])) == pytest.approx(
        picture.on_wall.px_from_wall(np.array([[one.centre, 1.5]]))
    )
    # Crosses that fell on their marks say that nothing moved since the picture was written.
    words = [w for mark in marks for w in ("--fell", f"{mark.name} 0 mm, 0 mm")]
    assert say("square", "2", block, "--shown", "squared", *words).code == 0
    last = {mark.name: mark for mark in desk.marks_seen_events(block, 2)[-1].marks}
    for name, (x, y) in picture.crosses.items():
        assert (last[name].x_px, last[name].y_px) == pytest.approx((x, y), abs=2e-3)
    seen(block, results, 2, means="dragged")  # at the projector: squared anew there
    assert 2 not in desk.pictures_made(block)


def test_n50_a_picture_moved_by_hand_is_said_and_its_crosses_are_where_they_were_moved_to(
    say, block, opened_block
):
    results = opened_block.results()
    _, _, marks = seen(block, results, 1, means="dragged")
    assert "moved by hand" not in say("square", "1", block).out
    move_picture(block, 1, 0.020, -0.005, at=AT)
    said = say("square", "1", block)
    (line,) = [line for line in said.out.splitlines() if "moved by hand" in line]
    assert "+20.0 mm right, -5.0 mm up" in line
    # Its crosses then fell where it was moved to: 20 mm right of the marks and 5 mm below. So the
    # marks lie in the picture where they were read.
    read = {
        mark.name: (mark.x_px, mark.y_px) for mark in desk.marks_seen_events(block, 1)[-1].marks
    }
    words = [w for mark in marks for w in ("--fell", f"{mark.name} 20 mm, -5 mm")]
    assert say("square", "1", block, "--shown", "squared", *words).code == 0
    for mark in desk.marks_seen_events(block, 1)[-1].marks:
        assert (mark.x_px, mark.y_px) == pytest.approx(read[mark.name], abs=0.1)


def test_a_picture_by_an_unknown_map_is_refused_with_its_number(say, block, opened_block):
    seen(block, opened_block.results(), 1)
    with SiteLog(block / "site.sqlite") as log:
        log.append("picture squared", "1", {"map": json.loads("{}"), "crosses": {}}, at=AT)
    said = say("close", block)
    assert said.code == 5
    assert "does not say by which map" in said.words
