"""Squaring by what is typed: forms, units, the log, taking back, refusals."""

from __future__ import annotations

import io
import json
import re
import shutil
from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest
from PIL import Image

from giornata import desk
from giornata.cli.square_words import read_marks
from giornata.core.foundation import RenderError, affine_applied
from giornata.core.projection import frame_from_wall, planned_pose
from giornata.files.site_log import SiteLog

MM = 0.001
NAMES = ("M01 lower", "M01 upper", "M02 lower", "row 2 M01 lower", "Gate")


@pytest.fixture(autouse=True)
def own_log(block):
    """The job is shared; what one test writes into its log is not there for the next."""
    yield
    for path in block.glob("site.sqlite*"):
        path.unlink()


def corners(job, number=1):
    """A set-up, its marks, and where its planned picture draws their crosses."""
    results = job.results()
    one = results.set_ups.set_ups[number - 1]
    marks = [mark for mark in results.marks if number in mark.set_ups]
    px = affine_applied(frame_from_wall(one), [(m.chainage, m.level) for m in marks])
    return one, marks, px


@pytest.mark.parametrize(
    ("text", "name", "missed"),
    [
        ("M01 lower 34 mm, -12 mm", "M01 lower", (34, -12)),
        ("m01 LOWER: +3.4 cm, 12 mm down", "M01 lower", (34, -12)),
        ("row 2 M01 lower 34 mm left, 0", "row 2 M01 lower", (-34, 0)),
        ("M02 1 in, -1/2 in", "M02 lower", (25.4, -12.7)),
        ("Gate 0,2 mm up", "Gate", (0, 2)),
    ],
)
def test_n69_a_miss_is_typed_with_its_unit(text, name, missed):
    (one,) = read_marks((), (text,), (), NAMES)
    assert one.name == name
    assert one.missed == pytest.approx((missed[0] * MM, missed[1] * MM))


@pytest.mark.parametrize(
    ("text", "px"),
    [("M01 lower 812.4 77.0", (812.4, 77)), ("M02 -3, 1200.5 px", (-3, 1200.5))],
)
def test_n69_a_mark_seen_is_typed_in_pixels(text, px):
    (one,) = read_marks((text,), (), (), NAMES)
    assert one.px == px
    (of_file,) = read_marks((), (), (f"{text.removesuffix(' px')} px",), NAMES)
    assert of_file == one


REFUSED = {
    "no unit": ("--fell", "M01 lower 34, -12", "a miss is 'NAME RIGHT, UP' with units"),
    "wrong unit": ("--fell", "M01 lower 34 m, 0", "at most 10 m from its mark"),
    "one number": ("--seen", "M01 lower 34", "a mark seen is 'NAME X Y' in pixels"),
    "unknown": ("--seen", "M77 1 2", "begins with no mark"),
    "which of two": ("--seen", "M01 1 2", "begins with no mark; marks are M01 lower, M01 upper"),
}


@pytest.mark.parametrize("what", REFUSED)
def test_what_is_typed_otherwise_is_refused(say, block, what):
    option, text, words = REFUSED[what]
    said = say("square", "1", block, option, text)
    assert said.code == 2
    assert words in said.words
    assert not (block / "site.sqlite").exists()


def test_a_cross_that_a_picture_does_not_have_cannot_have_missed_its_mark(say, block, opened_block):
    _, own, _ = corners(opened_block)
    other = next(mark for mark in opened_block.results().marks if 1 not in mark.set_ups)
    said = say("square", "1", block, "--fell", f"{other.name} 9 mm, 9 mm")
    assert said.code == 2
    words = " ".join(said.words.split())
    assert f"the picture of set-up 1 has no cross for {other.name}; it has them for" in words
    assert all(mark.name in words for mark in own)
    assert not (block / "site.sqlite").exists()


def test_n69_pixels_and_lengths_are_not_mixed_and_no_mark_comes_twice(say, block):
    mixed = say("square", "1", block, "--seen", "M01 lower 3 4", "--fell", "M01 upper 1 mm, 2 mm")
    assert "Type pixels for all marks" in mixed.words
    twice = say("square", "1", block, "--seen", "M01 lower 3 4", "--seen", "M01 lower 3 5")
    assert "M01 lower is typed twice" in twice.words
    assert (mixed.code, twice.code) == (2, 2)


def test_n69_what_is_typed_is_logged_read_back_and_taken_back(say, block, opened_block):
    one, marks, px = corners(opened_block)
    first = [f"{m.name} {x:.2f} {y:.2f}" for m, (x, y) in zip(marks, px, strict=True)]
    said = say("square", "1", block, *(w for text in first for w in ("--seen", text)))
    assert said.code == 0, said.err
    shift = 30 * MM
    second = [f"{m.name} 30 mm, 0 mm" for m in marks]
    words = [w for t in second for w in ("--fell", t)]
    unsaid = say("square", "1", block, *words)
    assert unsaid.code == 2
    assert "say whose crosses fell there" in unsaid.words
    assert say("square", "1", block, *words, "--shown", "planned").code == 0
    # A cross 30 mm to the right of its mark: the mark lies 30 mm of pixels to its left.
    seen = desk.marks_seen(block)[1]
    for mark, (x, y), found in zip(marks, px, seen, strict=True):
        assert (found.name, found.chainage) == (mark.name, mark.chainage)
        assert (found.x_px, found.y_px) == pytest.approx((x - shift / one.pitch, y), abs=0.1)
    form = say("square", "1", block, "--history", "--json").form
    assert len(form["result"]["readings"]) == 2 * len(marks)
    assert say("square", "1", block, "--undo").code == 0
    back = desk.marks_seen(block)[1]
    assert [xy for m in back for xy in (m.x_px, m.y_px)] == pytest.approx(px.ravel(), abs=0.006)
    assert [e.kind for e in desk.events(block, standing=False)][-1] == "undone"
    assert say("square", "1", block, "--undo").code == 0
    empty = say("square", "1", block, "--undo")
    assert empty.code == 5
    assert "no marks seen in it" in empty.words


@pytest.mark.parametrize(
    ("content", "px"),
    [
        ("# set-up 1\nM01 lower 10.5 20 px\n\nM01 upper 30 40 px  # by the gate\n", True),
        ("mark,x_px,y_px\nM01 lower,10.5,20\nM01 upper,30,40\n", True),
        ("mark;right_mm;up_mm\nM01 lower;10.5;20\nM01 upper;30;-40\n", False),
        ("Mark\tright\tup\nM01 lower\t1 cm\t2 mm\nM01 upper\t1/8 in\t-1/4 in\n", False),
    ],
)
def test_n69_a_small_file_of_pairs(say, block, tmp_path, content, px):
    pairs = tmp_path / "pairs.txt"
    pairs.write_text(content)
    said = say("square", "1", block, "--file", pairs)
    assert said.code == 1, said.err  # two marks square nothing, and the page says so
    assert "[projection.square_few]" in said.out
    seen = desk.marks_seen(block)[1]
    assert [one.name for one in seen] == ["M01 lower", "M01 upper"]
    if px:
        assert [(one.x_px, one.y_px) for one in seen] == [(10.5, 20.0), (30.0, 40.0)]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\xff\xfe\x00", "not text in UTF-8"),
        ("é".encode() * 100_001, "no list of marks"),  # what is read ends within a letter
        (b"M01 lower \x00", "no list of marks"),
        (b"  \n# nothing\n", "holds no mark"),
        (b"mark,east,north\nM01 lower,1,2\n", "heads or a row do not fit"),
        (b"M01 lower 10 20\n", "with units"),
    ],
)
def test_a_file_that_holds_something_else_is_refused(say, block, tmp_path, content, words):
    pairs = tmp_path / "pairs.txt"
    pairs.write_bytes(content)
    said = say("square", "1", block, "--file", pairs)
    assert said.code in (2, 5)
    assert words in said.words


def test_a_set_up_that_the_job_has_not(say, block):
    said = say("square", "77", block)
    assert said.code == 2
    assert "no set-up 77" in said.words


def test_the_page_says_errors_in_millimetres_and_what_drifted(say, block, opened_block):
    _, marks, px = corners(opened_block, 2)
    first = [f"{m.name} {x:.2f} {y:.2f}" for m, (x, y) in zip(marks, px, strict=True)]
    said = say("square", "2", block, *(w for text in first for w in ("--seen", text)))
    assert "flat wall" in said.out
    assert "off, at worst" in said.out
    assert "[projection.square_unchecked]" in said.out
    for more in ([], ["--units", "us"], ["--history"]):
        lines = say("square", "2", block, *more).out.splitlines()
        assert max(len(line.rstrip()) for line in lines) <= 80
        metric = re.search(r"\d (?:mm|m)\b|\bmm$", "\n".join(lines), re.MULTILINE)
        assert (metric is None) is ("us" in more)
    with SiteLog(block / "site.sqlite") as log:
        for line, traced in (("7", True), ("8", True), ("8", False)):
            data = {"line": line, "traced": traced}
            log.append("line traced", "2", data, at=datetime.now(UTC))
    # 60 mm to the right of every mark: more than the 10 mm let pass, and a line drawn since is
    # wrong by as much.
    fell = [w for m in marks for w in ("--fell", f"{m.name} 60 mm, 0 mm")]
    form = say("square", "2", block, *fell, "--shown", "squared", "--json").form
    result = form["result"]
    assert result["drift_rms_mm"]["value"] == pytest.approx(60, abs=0.5)
    assert result["traced_since"] == "1: 7"
    assert "projection.drifted" in [one["code"] for one in form["findings"]]
    assert max(line["worst_mm"]["value"] for line in result["lines_moved"]) == pytest.approx(
        60, abs=2
    )
    assert [m["right_mm"]["value"] for m in result["marks"]] == pytest.approx([0] * 4, abs=4)


def test_a_picture_that_was_never_squared_shows_no_squared_crosses(say, block):
    said = say("square", "1", block, "--fell", "M01 lower 1 mm, 1 mm", "--shown", "squared")
    assert said.code == 2
    assert "has not been squared yet" in said.words


def test_squared_pictures_are_written_beside_their_warp(say, block, opened_block):
    one, marks, px = corners(opened_block, 2)
    assert say("square", "2", block, "--frames").code == 2  # nothing seen yet
    typed = [f"{m.name} {x + 4:.2f} {y - 3:.2f}" for m, (x, y) in zip(marks, px, strict=True)]
    words = [w for text in typed for w in ("--seen", text)]
    said = say("square", "2", block, "--frames", "--json", *words)
    assert said.code == 0, said.err
    folder = block / "frames-squared"
    names = sorted(path.name for path in folder.iterdir())
    assert names == [
        "set-up-02-fill.png", "set-up-02-high-contrast.png", "set-up-02-marks.png",
        "set-up-02-outline.png", "set-up-02.json",
    ]  # fmt: skip
    assert [row["file"].rsplit("/", 1)[-1] for row in said.form["result"]["files"]]
    with Image.open(folder / "set-up-02-fill.png") as picture:
        assert picture.size == (one.columns, one.rows)
    form = json.loads((folder / "set-up-02.json").read_text())
    assert form["pixel_centre"] == 0.5
    assert form["mesh"]["error_px"] <= form["mesh"]["limit_px"] == 0.05
    # Moved by 4 px right and 3 up: so is the mesh, within what four marks leave open.
    planned, squared = (np.array(form["mesh"][k]) for k in ("planned_px", "squared_px"))
    assert (squared - planned).reshape(-1, 2).mean(axis=0) == pytest.approx([4, -3], abs=0.3)
    shutil.rmtree(folder)
    folder.write_text("in the way")
    blocked = say("square", "2", block, "--frames")
    folder.unlink()
    assert blocked.code == 5
    assert "frames-squared" in blocked.words


def test_one_mark_may_be_thrown_alone_and_lines_thicker(block, opened_block):
    one, marks, _ = corners(opened_block, 2)
    results = opened_block.results()
    planned = desk.square_set_up(results, one, ())[0]
    assert planned.on_wall is None
    with pytest.raises(ValueError, match="only a picture that was squared"):
        desk.write_squared(block, results, planned)
    on_wall = planned_pose(one)
    light = {}
    for kind, more in (
        ("one", {"shows": desk.Shows.MARKS, "marks": [marks[0].name]}),
        ("all", {"shows": desk.Shows.MARKS}),
        ("thin", {"shows": desk.Shows.OUTLINE}),
        ("thick", {"shows": desk.Shows.OUTLINE, "line_px": 6.0}),
    ):
        png = desk.squared_picture(results, one, on_wall, **more)
        light[kind] = np.asarray(Image.open(io.BytesIO(png)).convert("L")).sum(dtype=float)
    assert light["one"] < 0.6 * light["all"]
    assert light["thick"] > 1.5 * light["thin"]
    form = desk.warp_form(one, on_wall)
    assert np.array(form["px_from_planned_px"]) == pytest.approx(np.eye(3), abs=1e-9)
    bent = replace(on_wall, bend=-400.0)
    with pytest.raises(RenderError, match="has no warp"):
        desk.warp_form(one, bent)
