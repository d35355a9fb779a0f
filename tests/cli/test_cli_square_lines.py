"""Squaring with level and plumb lines: typed, kept, used, named where they are wrong."""

from __future__ import annotations

import numpy as np
import pytest
import typer

from giornata import desk
from giornata.cli.square_words import is_line, read_lines
from giornata.core.projection import LineKind, wall_shape

MM = 0.001


@pytest.fixture(autouse=True)
def own_log(block):
    """The job is shared; what one test writes into its log is not there for the next."""
    yield
    for path in block.glob("site.sqlite*"):
        path.unlink()


@pytest.mark.parametrize(
    ("text", "kind", "at", "px"),
    [
        ("level 2.40 m: 812.4 77.0", LineKind.LEVEL, 2.4, (812.4, 77.0)),
        ("Plumb 90 ft 3 in 30, 400 px", LineKind.PLUMB, 90.25 * 0.3048, (30.0, 400.0)),
        ("level -5 cm = -3; 1200.5", LineKind.LEVEL, -0.05, (-3.0, 1200.5)),
    ],
)
def test_n69_a_point_of_a_line_is_typed(text, kind, at, px):
    (one,) = read_lines((text,), 1.0)
    assert (one.kind, one.x_px, one.y_px) == (kind, *px)
    assert one.at == pytest.approx(at)
    assert is_line(text, ["M01 upper"])
    assert not is_line(text, ["level 2.40", "plumb 90", "level -5"])  # a mark of that name


def test_points_of_one_line_go_by_one_name_and_each_by_its_own():
    made = read_lines(("level 2.4 m: 1 2", "level 240 cm: 3 4", "level 2.5 m: 5 6"), 1.0)
    assert [one.line for one in made] == ["level 2.400 m", "level 2.400 m", "level 2.500 m"]
    assert len({one.name for one in made}) == 3


@pytest.mark.parametrize("text", ["level 2.4: 1 2", "sloping 2 m: 1 2", "level 2.4 m: 1", "plumb"])
def test_a_line_typed_otherwise_is_refused(text):
    with pytest.raises(typer.BadParameter, match="a point of a line is"):
        read_lines((text,), 1.0)


def seen_words(job, number=1, *, off=0.0):
    """Marks and two level lines of a set-up as its plan has them; the upper one out by some mm."""
    results = job.results()
    one = results.set_ups.set_ups[number - 1]
    pose = wall_shape(results.wall, one)[0].pose(one)
    marks = [mark for mark in results.marks if number in mark.set_ups]
    at = [(m.chainage, m.level) for m in marks]
    words = []
    for mark, (x, y) in zip(marks, pose.px_from_wall(np.array(at)).tolist(), strict=True):
        words += ["--seen", f"{mark.name} {x:.2f} {y:.2f}"]
    for level, wrong in ((0.9, 0.0), (2.1, off)):
        places = np.column_stack([np.linspace(one.start + 0.5, one.end - 0.5, 3), [level] * 3])
        for x, y in pose.px_from_wall(places).tolist():
            words += ["--line", f"level {level + wrong:.3f} m: {x:.2f} {y:.2f}"]
    return words, marks


def test_n69_lines_are_kept_with_the_marks_and_make_the_picture_surer(say, block, opened_block):
    words, marks = seen_words(opened_block)
    alone = say("square", "1", block, "--json", *words[: 2 * len(marks)]).form["result"]
    said = say("square", "1", block, "--json", *words)
    assert said.code == 0, said.err
    result = said.form["result"]
    assert result["line_points"] == 6
    assert result["most_mm"]["value"] < alone["most_mm"]["value"]
    (reading,) = desk.marks_seen_events(block, 1)[1:]
    assert [one.name for one in reading.lines] == [
        f"level {at} m, point {k}" for at in ("0.900", "2.100") for k in (1, 2, 3)
    ]
    # The closure takes them up too: an unknown for each line, which all its points agree on.
    closed = desk.close_wall(block, opened_block.results())
    assert closed is not None
    lines = closed.closure.joint.equations.line_column
    assert sorted(lines) == [(1, "level 0.900 m"), (1, "level 2.100 m")]
    text = say("square", "1", block)
    assert "Points of lines" in text.out
    assert "level 2.100 m, point 3" in text.out


def test_n69_a_line_at_the_wrong_height_is_named(say, block, opened_block):
    words, _ = seen_words(opened_block, off=0.060)
    said = say("square", "1", block, "--json", *words)
    assert said.form["result"]["bad_mark"] == "level 2.160 m"
    assert "projection.square_bad_line" in [one["code"] for one in said.form["findings"]]


def test_n69_lines_stand_in_a_file_too_and_alone_fix_nothing(say, block, opened_block, tmp_path):
    words, _ = seen_words(opened_block)
    typed = tmp_path / "seen.txt"
    typed.write_text("".join(f"{text} px\n" for text in words[1::2]))
    assert say("square", "1", block, "--file", typed).code == 0
    assert len(desk.marks_seen_events(block, 1)[0].lines) == 6
    typed.write_text("level 2.1 m: 30 40 px\n")
    for given in (("--file", typed), ("--line", "level 2.1 m: 30 40")):
        said = say("square", "1", block, *given)
        assert said.code == 2
        assert "fix nothing" in said.words
