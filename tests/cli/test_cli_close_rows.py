"""Closing over two rows of set-ups, by the whole command on a made job."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pypdfium2
import pytest

from giornata import desk
from giornata.cli.measure_words import read_measures
from giornata.core.projection import wall_shape
from giornata.desk import MarkInPicture

MM = 0.001
AT = datetime(2027, 5, 3, 22, 0, tzinfo=UTC)
# x, y, width, height in centimetres; y down from 2.5 m. The block, at 4 m, and the shapes at 8 and
# 17 m reach into both rows, the one at 10.5 m into the lower alone, at 13.5 m into the upper.
SHAPES = ((400, 50, 200, 100), (800, 20, 60, 210), (1050, 140, 150, 90), (1350, 40, 120, 60),
          (1700, 100, 120, 120))  # fmt: skip
LOW, LEAN = 40 * MM, 10 * MM  # how far right the first column's marks are at level 0, less a metre


@pytest.fixture
def two_rows(small_job):
    """From 3.5 m a picture is 2.5 by 1.56 m: two rows over 2.5 m of wall, ten columns."""
    job = small_job / "job.toml"
    job.write_text(job.read_text().replace('distance = "6.5 m" ', 'distance = "3.5 m" '))
    block = "".join(
        f'<rect x="{x}" y="{y}" width="{w}" height="{h}" fill="#cc0000"/>' for x, y, w, h in SHAPES
    )
    (small_job / "artwork/first.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2000 250">'
        '<rect width="2000" height="250" fill="#ffffff"/>'
        f'<g id="block">{block}</g><g id="dot"><rect x="450" y="50" width="100" height="100" '
        'fill="#0000cc"/></g></svg>'
    )
    return small_job


def squared(folder, results, one, true):
    """A set-up squared by photo on its marks, where they truly are."""
    marks = [mark for mark in results.marks if one.number in mark.set_ups]
    pose = wall_shape(results.wall, one)[0].pose(one)
    px = pose.px_from_wall(np.array([true[mark.name] for mark in marks])).tolist()
    seen = [
        MarkInPicture(name=m.name, x_px=x, y_px=y, px_sigma=0.3)
        for m, (x, y) in zip(marks, px, strict=True)
    ]
    desk.record_marks_seen(folder, one.number, seen, means="photo", at=AT)
    return marks


def test_c4_two_rows_close_each_to_its_own_front(say, two_rows, tmp_path, monkeypatch):
    # The marks of the first column's pictures were set too far right, the less the higher up: 40 mm
    # at level 0, 10 mm less for each metre. Both pictures, which share those between the rows, are
    # drawn by them, and chainages taken afterwards tell.
    results = desk.open_job(two_rows).results()
    assert results.set_ups.rows == 2
    first = [one for one in results.set_ups.set_ups if one.column == 1]
    second = [one for one in results.set_ups.set_ups if one.column == 2]
    true = {m.name: [m.chainage, m.level] for m in results.marks}
    numbers = {one.number for one in first}
    for mark in results.marks:
        if numbers & set(mark.set_ups):
            true[mark.name][0] += LOW - LEAN * mark.level
    names = [mark.name for mark in results.marks]
    between = [mark for mark in results.marks if numbers <= set(mark.set_ups)]
    assert len(between) == 4  # two at each side of the first column, in the overlap of its rows
    measured = set()
    for one in first:
        for mark in squared(two_rows, results, one, true):
            if mark.name in measured:
                continue
            measured.add(mark.name)
            text = f"chainage {mark.name} {true[mark.name][0]:.3f} m"
            (read,) = read_measures((text,), names, (), 0.5 * MM)
            desk.record_measure(two_rows, read, at=AT)
    for one in second:
        squared(two_rows, results, one, true)
    written = []
    monkeypatch.setattr(
        "giornata.desk.closing_papers.write_squared",
        lambda folder, moved, made: written.append(made.set_up.number),
    )
    report = tmp_path / "closing.pdf"
    drawn = [word for one in first for word in ("--drawn", str(one.number))]
    said = say("close", two_rows, *drawn, "--pictures", "--report", report, "--json").form
    result = said["result"]
    # Each row's front is where its own marks are, and each neighbour is of the same row.
    for one in first:
        middle = (max(one.foot, one.wall_foot) + min(one.head, one.wall_head)) / 2
        front = result[f"left_{one.row}"]["value"]
        assert front == pytest.approx(1000 * (LOW - LEAN * middle), abs=1.5)
    place_of = {one.number: (one.column, one.row) for one in results.set_ups.set_ups}
    pairs = [
        (*(place_of[int(number)] for number in row["set_ups"].split(", ")), row["level"])
        for row in result["seams"]
    ]
    beside = [(a, b) for a, b, level in pairs if level is None]
    above = [(a, b) for a, b, level in pairs if level is not None]
    assert len(beside) == 18
    assert all(b == (a[0] + 1, a[1]) for a, b in beside)
    assert above == [((k, 1), (k, 2)) for k in range(1, 11)]
    assert written == [one.number for one in second]
    # Shapes of one row move in that row; those of both are listed in both, and move alike.
    moves = {1: {}, 2: {}}
    for row in result["moves"]:
        moves[row["row"]][round(row["from"]["value"], 2)] = row["shift_mm"]["value"]
    assert set(moves[1]) == {4.0, 8.0, 10.5, 17.0}
    assert set(moves[2]) == {4.0, 8.0, 13.5, 17.0}
    for at in (4.0, 8.0, 17.0):
        assert moves[1][at] == pytest.approx(moves[2][at], abs=0.05)
    # Less the farther from the front, and never beyond either of them.
    for shifts in moves.values():
        by_place = [shifts[at] for at in sorted(shifts)]
        assert by_place == sorted(by_place, reverse=True)
        assert 0 < by_place[-1] < by_place[0] < 30
    # What is said of the most that shapes move is what the table lists.
    taken = [f["message"] for f in said["findings"] if f["code"] == "closing.taken_up"]
    assert len(taken) == 2
    for row in (1, 2):
        assert f"up to {max(moves[row].values()):.0f} mm along" in taken[row - 1]
    pages = pypdfium2.PdfDocument(report)
    text = " ".join("".join(page.get_textpage().get_text_bounded() for page in pages).split())
    assert "Where the left-over goes" in text
    assert "in row 1 they are expected to meet" in text
    assert "in row 2 they are expected to meet" in text
    words = say("close", two_rows).out
    assert "ends meet in row 1 at" in words
    assert "ends meet in row 2 at" in words
    assert " -0.0" not in words
