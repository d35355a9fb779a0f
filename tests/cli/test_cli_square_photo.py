"""Squaring by photo from the command line: found, written down, drawn; refusals write nothing."""

from __future__ import annotations

import sys
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from PIL import Image

from giornata import desk
from giornata.cli.square_words import read_taps
from giornata.core.boards import Pattern, Tap, pattern_pixels
from giornata.core.foundation import affine_applied
from giornata.core.projection import frame_from_wall

MM = 0.001


@pytest.fixture(autouse=True)
def own_log(block):
    yield
    for path in block.glob("site.sqlite*"):
        path.unlink()


@pytest.fixture
def photos(block: Path, opened_block, tmp_path: Path, made_night: ModuleType) -> dict[str, Path]:
    """Set-up 1 of the small job, its projector placed by hand: turned 2 degrees, 20 cm aside."""
    results = opened_block.results()
    one = results.set_ups.set_ups[0]
    rng = np.random.default_rng(3)
    turn = np.radians(2.0)
    aside = np.array(
        [[np.cos(turn), -np.sin(turn), 0.2 / one.pitch], [np.sin(turn), np.cos(turn), 0.0],
         [2e-5, -1e-5, 1.0]]
    )  # fmt: skip
    matrix = aside @ frame_from_wall(one)
    lamp = made_night.Lamp(columns=one.columns, rows=one.rows, px_from_wall=matrix / matrix[2, 2])
    aimed = [mark for mark in results.marks if 1 in mark.set_ups]
    marks = np.array([(mark.chainage, mark.level) for mark in aimed])
    outline = lamp.outline
    wide = float(np.ptp(outline[:, 0]))
    night = made_night.Night(
        lamp=lamp,
        wall=made_night.Wall.drawn(rng, outline, marks, shapes=6, fine=0.004),
        phone=made_night.Phone.standing(
            outline.mean(axis=0), 1.4 * wide, width=1200, fills=1.2 * wide, oblique=15
        ),
    )
    pattern = Pattern(columns=one.columns, rows=one.rows, set_up=1)
    shown = {
        "positive": pattern_pixels(pattern),
        "other": pattern_pixels(Pattern(columns=one.columns, rows=one.rows, set_up=2)),
        "white": np.full((one.rows, one.columns), 255, np.uint8),
    }
    made = {}
    for name, frame in shown.items():
        made[name] = tmp_path / f"{name}.jpg"
        Image.fromarray(night.photo(frame, rng)).save(made[name], quality=92)
    return made


def test_n50_photos_square_a_set_up_and_show_what_was_found(say, block, opened_block, photos):
    said = say("square", "1", block, "--photo", photos["positive"], "--white", photos["white"])
    assert said.code in (0, 1), said.err
    assert "set-up-01.jpg" in said.out
    results = opened_block.results()
    one = results.set_ups.set_ups[0]
    (reading,) = desk.marks_seen_events(block, 1)
    assert reading.means is desk.Means.PHOTO
    assert 0 < reading.board_sigma_px < 0.5
    seen = desk.marks_seen(block)[1]
    aimed = [mark for mark in results.marks if 1 in mark.set_ups]
    assert len(seen) >= min(len(aimed), 4)
    # Where the crosses truly lie: the picture stands turned, aside and slanted as it was made.
    turn = np.radians(2.0)
    planned = affine_applied(frame_from_wall(one), [(m.chainage, m.level) for m in seen])
    x, y = planned.T
    depth = 2e-5 * x - 1e-5 * y + 1
    true = np.column_stack(
        [
            (np.cos(turn) * x - np.sin(turn) * y + 0.2 / one.pitch) / depth,
            (np.sin(turn) * x + np.cos(turn) * y) / depth,
        ]
    )
    missed = np.hypot(*(np.array([(m.x_px, m.y_px) for m in seen]) - true).T) * one.pitch
    assert missed.max() < 5 * MM
    with Image.open(block / "photos-seen" / "set-up-01.jpg") as picture:
        assert picture.width == 1200
        assert picture.height > 900
        colours = np.asarray(picture)
    # Rings of the crosses found are green: more so than anything in a grey photo.
    green = (colours[..., 1].astype(int) - colours[..., 0] > 60) & (colours[..., 1] > 180)
    assert green.sum() > 100


def test_n50_refused_photos_write_nothing_down(say, block, photos, tmp_path):
    wrong = say("square", "1", block, "--photo", photos["other"], "--white", photos["white"])
    assert wrong.code == 1
    assert "boards.other_set_up" in wrong.out
    assert "not squared yet" in wrong.out
    assert "set-up-01.jpg" in wrong.out
    assert desk.marks_seen_events(block) == ()
    page = tmp_path / "page.jpg"
    page.write_text("no photo")
    damaged = say("square", "1", block, "--photo", page)
    assert damaged.code == 1
    assert "boards.unreadable" in damaged.out
    assert "save it as JPEG" in damaged.out
    assert desk.marks_seen_events(block) == ()


def test_n50_of_a_photo_that_is_not_there_that_alone_is_said(say, block, opened_block, tmp_path):
    # The set-up was squared before: how it stands would fill the screen before the fault.
    aimed = [mark for mark in opened_block.results().marks if 1 in mark.set_ups]
    seen = [word for m in aimed for word in ("--fell", f"{m.name} 3 mm, 2 mm")]
    assert "squared as" in say("square", "1", block, *seen).out
    gone = say("square", "1", block, "--photo", tmp_path / "nothere.jpg")
    assert gone.code == 1
    assert "squared as" not in gone.out
    assert "nothere.jpg: there is no such photo." in gone.out
    assert "Do: Look at the file's name" in gone.out
    assert "JPEG" not in gone.out
    assert f"squared on {len(aimed)} marks, typed, 20" in " ".join(gone.out.split())
    assert len(gone.out.splitlines()) < 12
    assert len(desk.marks_seen_events(block)) == 1


def test_n50_a_refusal_says_what_becomes_of_the_photo_before(say, block, photos, tmp_path):
    said = say("square", "1", block, "--photo", photos["positive"], "--white", photos["white"])
    assert "squared as" in said.out
    wrong = say(
        "square", "1", block, "--photo", photos["other"], "--white", photos["white"], "--frames"
    )
    assert wrong.code == 1
    # How the set-up stands by the photo before is said in a line, not in tables before the fault.
    assert "squared as" not in wrong.out
    assert "marks, found in a photo of the pattern, 20" in " ".join(wrong.out.split())
    assert "none written" in wrong.out
    gone = say("square", "1", block, "--photo", tmp_path / "nothere.jpg")
    assert "still of the photo before" in gone.out
    assert "set-up-01.jpg" in gone.out
    assert len(desk.marks_seen_events(block, 1)) == 1


def test_n50_marks_of_the_set_ups_beside_are_known_when_crosses_are_named(
    opened_block, tmp_path, monkeypatch
):
    # Where the middle set-up aims at no end of the wall, marks to either side are others' only.
    results = opened_block.results()
    one = results.set_ups.set_ups[1]
    asked = {}

    def looked(*given, **more):
        asked.update(more, marks=given[2])
        raise ValueError("asked")

    monkeypatch.setattr(sys.modules["giornata.desk.photographed"], "sighting", looked)
    Image.new("RGB", (64, 48)).save(tmp_path / "any.jpg")
    with pytest.raises(ValueError, match="asked"):
        desk.photographed(results, one, tmp_path / "any.jpg")
    own = {mark.name for mark in results.marks if 2 in mark.set_ups}
    assert {mark.name for mark in asked["marks"]} == own
    near = [m for m in results.marks if one.start - one.width < m.chainage < one.end + one.width]
    assert {mark.name for mark in asked["beside"]} == {m.name for m in near} - own
    assert asked["beside"]
    for mark in asked["beside"]:
        (where,) = [m for m in near if m.name == mark.name]
        assert mark.x_px == pytest.approx((where.chainage - one.start) / one.pitch, abs=0.5)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--white", "w.jpg"), "which photo shows the pattern"),
        (("--photo", "p.jpg", "--seen", "M01 lower 3 4"), "one at a time"),
        (("--photo", "p.jpg", "--undo"), "one at a time"),
        (("--photo", "p.jpg", "--tap", "M01 lower 3 4"), "a tap is"),
        (("--photo", "p.jpg", "--tap", "Nobody @ 3,4"), "begins with no mark"),
    ],
)
def test_what_does_not_go_together(say, block, words, said):
    refused = say("square", "1", block, *words)
    assert refused.code == 2
    assert said in refused.words


def test_a_tap_is_a_mark_and_a_pixel():
    names = ("M01 lower", "M01 upper")
    assert read_taps(("m01 upper @ 812,344.5", "M01 lower@3, 4 px"), names) == (
        Tap(name="M01 upper", x=812.0, y=344.5),
        Tap(name="M01 lower", x=3.0, y=4.0),
    )
