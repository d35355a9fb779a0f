"""The photo verb: a photo added, marked, drawn on, kept in the job and rectified."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from giornata import desk
from giornata.files import job_file

CORNERS = [(0.0, 0.0), (12.0, 0.0), (12.0, 2.5), (0.0, 2.5)]
MORE = [(4.0, 0.5), (9.0, 1.5), (2.0, 2.0), (10.5, 0.5)]
DOOR = [(7.2, 2.05), (8.1, 2.05), (8.1, 0.0), (7.2, 0.0)]


def pixels(places):
    return " ".join(f"{x:.2f},{y:.2f}" for x, y in places)


@pytest.fixture
def job(tmp_path):
    desk.begin_job(tmp_path / "job")
    return tmp_path / "job"


@pytest.fixture
def marked(job, made_photo, tmp_path, say):
    """The photo added and marked at eight places."""
    source = made_photo.save(tmp_path / "The wall.jpg", focal_35=26)
    words = []
    for (at, level), (x, y) in zip(CORNERS + MORE, made_photo.at(*CORNERS, *MORE), strict=True):
        words += ["--point", f"{at} m, {level} m @ {x:.2f},{y:.2f}"]
    said = say("photo", job, "--add", source, *words)
    assert said.code == 0, said.err
    return job


def test_a_job_without_photos_says_how_to_begin(say, job):
    said = say("photo", job)
    assert said.code == 0
    assert "giornata photo --add FILE" in said.out


def test_points_come_back_with_their_residuals(say, marked):
    form = say("photo", marked, "--json").form
    (photo,) = form["result"]["photos"]
    assert (photo["name"], photo["points"], photo["verdict"]) == ("The-wall", 8, "points agree")
    for point in form["result"]["points"]:
        # Known by construction: picked to a hundredth of a pixel.
        assert abs(point["right_px"]["value"]) < 0.05
        assert point["along_mm"]["unit"] == "mm"
    assert (marked / "photos/The-wall.jpg").is_file()
    # A grid of five by five over the points; the worst of it is the worst stated.
    errors = [one["error_mm"]["value"] for one in form["result"]["errors"]]
    assert len(errors) == 25
    assert max(errors) == pytest.approx(photo["worst_mm"]["value"], rel=0.01)
    text = say("photo", marked).out
    assert max(map(len, text.splitlines())) <= 80


def test_a_point_at_the_same_place_takes_the_former_ones(say, marked, made_photo):
    ((x, y),) = made_photo.at((4.0, 0.5))
    said = say("photo", marked, "--point", f"4 m, 500 mm @ {x + 60:.2f},{y:.2f}", "--json")
    assert said.form["result"]["photos"][0]["points"] == 8
    # 60 px off among eight: named and left out.
    assert said.form["result"]["photos"][0]["verdict"] == "one point left out"
    out = [one for one in said.form["result"]["points"] if one["left_out"]]
    assert [one["at"]["value"] for one in out] == [4.0]
    codes = {finding["code"] for finding in said.form["findings"]}
    assert "photography.point_off" in codes


def test_a_door_drawn_and_kept_is_an_opening_of_the_job_and_can_be_undone(say, marked, made_photo):
    before = (marked / "job.toml").read_text()
    outline = f"opening Shop door @ {pixels(made_photo.at(*DOOR))}"
    said = say("photo", marked, "--outline", outline, "--keep", "Shop door", "--json")
    assert said.code == 0
    openings = job_file.read(marked / "job.toml").tables.wall.openings
    kept = next(one for one in openings if one.name == "Shop door")
    assert np.array(kept.corners) == pytest.approx(np.array(DOOR), abs=0.002)
    (drawn,) = said.form["result"]["outlines"]
    assert drawn["area"]["value"] == pytest.approx(0.9 * 2.05, abs=0.005)
    assert drawn["area"]["sigma"] > 0
    # Comments stay; twice undone, the file is what it was.
    assert "# shape = " in (marked / "job.toml").read_text()
    say("undo", marked)
    say("undo", marked)
    assert (marked / "job.toml").read_text() == before


def test_kept_again_an_opening_takes_the_place_of_the_former(say, marked, made_photo):
    for corner in (7.2, 7.3):
        door = [(corner, 2.05), *DOOR[1:3], (corner, 0.0)]
        outline = f"opening Door @ {pixels(made_photo.at(*door))}"
        said = say("photo", marked, "--outline", outline, "--keep", "Door")
        assert said.code == 0
        assert "in place of" in " ".join(said.out.split())
    openings = job_file.read(marked / "job.toml").tables.wall.openings
    assert [one.name for one in openings] == ["Door"]
    assert openings[0].corners[0] == pytest.approx((7.3, 2.05), abs=0.002)


def test_ground_drawn_gives_way_to_taped_readings(say, marked, made_photo):
    line = [(2.0, 0.01), (6.02, 0.5), (9.0, 0.02)]  # 6.00 m was taped: the second gives way
    outline = f"ground Foot @ {pixels(made_photo.at(*line))}"
    said = say("photo", marked, "--outline", outline, "--keep", "Foot")
    assert "1 reading left out" in " ".join(said.out.split())
    ground = job_file.read(marked / "job.toml").tables.wall.ground
    assert [one.at for one in ground] == pytest.approx([0, 2, 6, 9, 12], abs=0.002)


def test_an_obstacle_has_its_ends_and_its_height_above_the_ground(say, marked, made_photo):
    bush = [(2.0, 0.0), (3.0, 0.0), (3.0, 0.5), (2.0, 0.6)]
    outline = f"obstacle Bush @ {pixels(made_photo.at(*bush))}"
    assert say("photo", marked, "--outline", outline, "--keep", "Bush").code == 0
    (kept,) = job_file.read(marked / "job.toml").tables.wall.obstacles
    assert (kept.start, kept.end) == pytest.approx((2.0, 3.0), abs=0.002)
    # The ground rises from 0.00 at 0 m to 0.02 at 6 m: 0.6 - 0.02 x 2 / 6 at the left corner.
    assert kept.height == pytest.approx(0.6 - 0.02 * 2 / 6, abs=0.003)


def test_the_rectified_picture_is_to_scale(say, marked, tmp_path):
    target = tmp_path / "square.png"
    said = say("photo", marked, "--rectify", "--out", target, "--stretch",
               "6 m, 10 m, 0 m, 2.5 m", "--scale", "100")  # fmt: skip
    assert said.code == 0
    with Image.open(target) as opened:
        picture = np.asarray(opened.convert("RGB")).astype(int)
    assert picture.shape[1] == 400
    # Without the dashed line round the points, 3 px from the edges.
    dark = (picture[3:247] < 100).all(axis=2)
    # The door of 0.9 x 2.05 m at 100 px/m, from 7.2 - 6.0 = 1.2 m in: by construction.
    assert dark.sum() == pytest.approx(90 * (205 - 3), rel=0.01)
    columns = np.nonzero(dark.sum(axis=0) > 100)[0]
    assert (columns.min(), columns.max()) == (pytest.approx(120, abs=1), pytest.approx(209, abs=1))
    foot = picture[250:]
    assert ((foot < 60).all(axis=2)).sum() > 500  # the bar and the words


def test_a_stale_digest_changes_nothing(say, marked):
    before = (marked / "job.toml").read_text()
    said = say("photo", marked, "--point", "1 m, 1 m @ 300,700", "--seen", "0000000000000000")
    assert said.code == 6
    assert (marked / "job.toml").read_text() == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--point", "here"], "a point is"),
        (["--outline", "window W @ 1,2 3,4 5,6"], "an outline is"),
        (["--stretch", "1 m, 2 m"], "four lengths"),
        (["--name", "no such"], "no photo"),
        (["--keep", "Nothing"], "Nothing called"),
        (["--rectify", "--stretch", "9 m, 2 m, 0 m, 1 m"], "ends after it starts"),
        (["--rectify", "--scale", "9000"], "the limit is 100 million"),
        (["--add", "gone.jpg"], "no such photo"),
    ],
)
def test_what_cannot_be_done_says_what_can(say, marked, words, said):
    answer = say("photo", marked, *words)
    assert answer.code in {2, 4}
    assert said in answer.words


def test_bad_tables_are_faults_at_their_lines(say, job):
    text = (job / "job.toml").read_text()
    (job / "job.toml").write_text(
        text + '\n[[photos]]\nfile = "../wall.jpg"\n'
        '[[photos]]\nfile = "photos/a.jpg"\npoints = [ { x = 1, y = 2 } ]\n'
        '[[photos]]\nfile = "photos/a.png"\n'
        'outlines = [ { name = "A", kind = "door", corners = [] } ]\n'
    )
    said = say("photo", job, "--json")
    assert said.code == 3
    found = {f["code"]: f["place"]["line"] for f in said.form["error"]["findings"]}
    count = text.count("\n")
    assert found["job.photo_outside"] == count + 3
    assert found["job.impossible"] == count + 6
    assert found["job.not_a_choice"] == count + 9


def test_two_photos_of_one_name_are_a_fault(say, job):
    with (job / "job.toml").open("a") as file:
        file.write('\n[[photos]]\nfile = "photos/a.jpg"\n[[photos]]\nfile = "photos/a.png"\n')
    said = say("photo", job, "--json")
    assert said.code == 3
    (found,) = said.form["error"]["findings"]
    assert found["code"] == "job.name_twice"


def test_lost_photos_and_lost_names_leave_the_others_standing(say, marked):
    with (marked / "job.toml").open("a") as file:
        file.write(
            '\n[[photos]]\nfile = "photos/gone.jpg"\n'
            '[[photos]]\nname = "again"\nfile = "photos/The-wall.jpg"\n'
            'points = [ { place = "Gate, upper left", x = 5, y = 5 } ]\n'
        )
    said = say("photo", marked, "--json")
    assert said.code == 1
    codes = {finding["code"] for finding in said.form["findings"]}
    assert {"photography.unreadable", "photography.unknown_place"} <= codes
    verdicts = [photo["verdict"] for photo in said.form["result"]["photos"]]
    assert verdicts == ["points agree", "not to scale", "not to scale"]


def test_the_example_of_the_docs_is_read(job):
    """What docs/photos.md shows is a table that the job file takes."""
    page = (Path(__file__).parents[2] / "docs/photos.md").read_text()
    (table,) = re.findall(r"```toml\n(.*?)```", page, re.S)
    (job / "job.toml").write_text((job / "job.toml").read_text() + table)
    (photo,) = job_file.read(job / "job.toml").tables.photos
    assert len(photo.points) == 6
    assert [outline.name for outline in photo.outlines] == ["Side door"]


def test_findings_of_photos_stand_among_all_findings_and_change_the_digest(say, marked):
    before = say("findings", marked, "--json").form
    (marked / "photos/The-wall.jpg").unlink()
    said = say("findings", marked, "--json").form
    lost = [one for one in said["findings"] if one["code"] == "photography.unreadable"]
    assert [one["subject"] for one in lost] == ["photo The-wall"]
    assert not [one for one in before["findings"] if one["code"] == "photography.unreadable"]
    assert said["job"]["content_digest"] != before["job"]["content_digest"]
