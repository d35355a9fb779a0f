"""The artwork verb lists what is not flat colour, draws it, and carries out what is decided."""

from __future__ import annotations

import csv
import io

import numpy as np
import pytest
from PIL import Image

GRADIENT = (
    '<linearGradient id="sky"><stop stop-color="#cc0000"/><stop offset="1" stop-color="#0000cc"/>'
    '</linearGradient><rect x="1000" y="50" width="400" height="100" fill="url(#sky)"/></svg>'
)
DECISION = '\n[[artwork.decisions]]\nfor = "sky"\nbecomes = "steps"\npaints = ["red", "blue"]\n'


@pytest.fixture
def sky_job(small_job):
    """The small job with a gradient of 4 x 1 m, 10 mm to a unit, from 10 m on."""
    drawing = small_job / "artwork/first.svg"
    drawing.write_text(drawing.read_text().replace("</svg>", GRADIENT))
    return small_job


def decided(job):
    file = job / "job.toml"
    file.write_text(file.read_text() + DECISION)
    return job


def test_an_undecided_gradient_stops_the_job_and_is_listed_with_its_place(sky_job, say):
    said = say("artwork", sky_job, "--json")
    assert said.code == 1
    assert '"artwork.gradient"' in said.out
    said = say("artwork", sky_job)
    # 1000 to 1400 units of 10 mm; the artwork's foot is at level 0 and it is 250 units high, so
    # y 150 and 50 are 1.00 and 2.00 m up
    row = next(line for line in said.out.splitlines() if " sky " in line)
    assert row.split() == ["1", "gradient", "sky", "10.00", "14.00", "1.00", "2.00", "undecided"]
    assert 'for = "sky"' in " ".join(said.out.split())


def test_a_decided_gradient_is_taken_off_in_its_steps(sky_job, say):
    before = say("take-off", sky_job, "--json")
    assert before.code == 1
    said = say("artwork", decided(sky_job))
    assert said.code == 0
    assert "steps: red, blue" in said.out
    table = say("take-off", sky_job).out
    # red 1 m² and blue 1 m² of the small job, and half of 4 x 1 m each
    areas = {
        row.split()[1]: row.split()[2]
        for row in table.splitlines()
        if row[:4].strip()[:1].isdigit()
    }
    assert areas["Red"] == areas["Blue"] == "3.00"
    assert say("check", sky_job).code == 0


@pytest.mark.parametrize("ending", ["png", "svg"])
def test_the_picture_is_written(sky_job, say, tmp_path, ending):
    path = tmp_path / f"picture.{ending}"
    say("artwork", sky_job, "--picture", path)
    content = path.read_bytes()
    if ending == "svg":
        assert b"<svg" in content
        assert content.upper().count(b"#D40078") >= 2  # its box and its flag
        return
    levels = np.asarray(Image.open(io.BytesIO(content)).convert("RGB")).astype(int)
    # The artwork is 2000 x 250 units; the flag of number 1 stands at the gradient's corner.
    scale = levels.shape[1] / 2000
    flag = levels[round(54 * scale), round(1004 * scale)]
    assert flag.tolist() == [0xD4, 0x00, 0x78]
    open_ = levels.tobytes()
    say("artwork", decided(sky_job), "--picture", path)
    assert np.asarray(Image.open(path).convert("RGB")).astype(int).tobytes() != open_


def test_a_picture_of_another_kind_is_refused(sky_job, say):
    said = say("artwork", sky_job, "--picture", "picture.gif")
    assert said.code == 2
    assert ".png or .svg" in said.words


def test_n21_the_brief_against_the_artwork(small_job, say):
    file = small_job / "job.toml"
    text = file.read_text()
    words = 'words = ["HARBOUR STEPS 1898"]\ndrawn_words = ["HARBOR STEPS 1889"]\n'
    file.write_text(text.replace("[artwork]\n", f"[artwork]\n{words}", 1))
    said = say("artwork", small_job)
    out = " ".join(said.out.split())
    assert said.code == 1
    assert out.count("[artwork.wording]") == 2
    assert 'letter 6 "U" is missing' in out
    assert 'digit 3 to 4 "98" drawn as "89"' in out
    file.write_text(text.replace("[artwork]\n", f"[artwork]\n{words.replace('OR S', 'OUR S')}", 1))
    assert " ".join(say("artwork", small_job).out.split()).count("[artwork.wording]") == 1


def test_a_photograph_is_painted_in_the_nearest_paints_by_decision(small_job, say):
    levels = np.tile(np.linspace(0, 255, 2000).astype(np.uint8)[None, :, None], (250, 1, 3))
    levels[..., 1:] = 255 - levels[..., 1:]  # from cyan-white to red
    Image.fromarray(levels).save(small_job / "artwork/first.png")
    file = small_job / "job.toml"
    file.write_text(file.read_text().replace("artwork/first.svg", "artwork/first.png"))
    assert say("check", small_job).code == 4
    decision = '\n[[artwork.decisions]]\nfor = "first.png"\nbecomes = "nearest"\n'
    file.write_text(file.read_text().replace('hide = ["dot"]', "hide = []") + decision)
    said = say("check", small_job)
    assert said.code == 0
    assert "artwork.decision_unmatched" not in said.out
    assert "each pixel has the paint that looks nearest" in " ".join(said.out.split())


def test_the_pack_lists_what_is_not_flat_and_draws_it(sky_job, say):
    assert say("pack", decided(sky_job)).code == 0
    pack = sky_job / "pack"
    with (pack / "not-flat.csv").open(newline="", encoding="utf-8-sig") as file:
        rows = list(csv.DictReader(file))
    assert [row["Option"] for row in rows] == ["A", "B"]
    # 1000 to 1400 units of 10 mm
    assert rows[0]["From chainage [mm]"] == "10000"
    assert rows[0]["To chainage [mm]"] == "14000"
    assert rows[0]["Becomes"] == "steps: red, blue"
    with Image.open(pack / "not-flat-A.png") as picture:
        assert picture.width / picture.height == pytest.approx(8.0, rel=0.01)
    assert sky_job.joinpath("pack/survey-points.csv").exists() is False
