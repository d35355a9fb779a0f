"""The page of photos behind its guards: what it says, what it refuses, what it never writes."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from giornata import desk
from giornata.core.foundation import Dimension, parse
from giornata.files import job_file

PLACES = [(0.0, 0.0), (12.0, 0.0), (12.0, 2.5), (0.0, 2.5), (4.0, 0.5), (9.0, 1.5)]


@pytest.fixture
def marked(folder, made_photo, tmp_path):
    desk.add_photo(folder, made_photo.save(tmp_path / "wall.jpg"), name="North side")
    points = [
        {"at": f"{at} m", "level": f"{level} m", "x": x, "y": y}
        for (at, level), (x, y) in zip(PLACES, made_photo.at(*PLACES), strict=True)
    ]
    desk.mark_points(folder, "North side", points)
    return folder


def asked(client, **more):
    digest = client.get("/api/photos").json()["digest"]
    return {"photo": "North side", "seen": digest, **more}


def test_nothing_of_a_photo_without_the_key(stranger, marked):
    for path in ("/photos", "/api/photos", "/photos/picture?photo=North+side"):
        assert stranger.get(path).status_code == 403, path
    assert stranger.post("/api/photos/points", json={}).status_code == 403


def test_a_change_from_another_site_is_refused(client, marked):
    before = (marked / "job.toml").read_bytes()
    told = asked(client, points=[])
    for headers in ({"Origin": "http://evil.example"}, {"Sec-Fetch-Site": "cross-site"}):
        answer = client.post("/api/photos/points", json=told, headers=headers)
        assert answer.status_code == 403
    assert (marked / "job.toml").read_bytes() == before


def test_page_and_record_say_the_same(client, marked):
    page, record = client.get("/photos").text, client.get("/api/photos").json()
    assert record["digest"] in page
    assert record["photo"]["verdict"] == "points agree"
    for name, value in record["photo"]["facts"]:
        assert name in page
        assert value in page
    assert (record["photo"]["width"], record["photo"]["height"]) == (1600, 1200)
    assert "Door, upper left" in record["places"]
    assert "/tmp" not in page


def test_errors_and_examples_are_in_the_units_of_the_job(client, marked):
    metric = client.get("/api/photos").json()
    job = marked / "job.toml"
    job.write_text(job.read_text().replace('units = "metric"', 'units = "us"'))
    us, page = client.get("/api/photos").json(), client.get("/photos").text
    # By hand: 12 m / 0.3048 = 39.370 ft, 39 ft 4.44 in; 2.5 m = 8.202 ft, 8 ft 2.43 in.
    assert us["photo"]["points"][2]["label"] == "39 ft 4 7/16 in, 8 ft 2 7/16 in"
    assert (metric["small_unit"], us["small_unit"]) == ("mm", "in")
    assert "Errors on the photo, in<" in page
    assert 'placeholder="10 ft 6 in"' in page
    assert " mm" not in page
    for one, other in zip(metric["photo"]["errors"], us["photo"]["errors"], strict=True):
        # NIST SP 811, appendix B: 25.4 mm to the inch; printed to 1 mm and to 0.01 in.
        assert float(other["text"]) * 25.4 == pytest.approx(float(one["text"]), abs=0.63)
    # What the page gives as an example can be typed.
    assert [parse(text, Dimension.LENGTH, subject="") for text in us["examples"]] == pytest.approx(
        [3.2004, 0.1016]
    )


def test_looking_at_photos_writes_nothing(client, marked):
    before = {p: p.read_bytes() for p in marked.rglob("*") if p.is_file()}
    record = client.get("/api/photos").json()["photo"]
    for path in ("/photos", record["picture"], record["to_scale"]):
        assert client.get(path).status_code == 200
    assert {p: p.read_bytes() for p in marked.rglob("*") if p.is_file()} == before


def test_the_pictures_are_upright_and_to_scale(client, marked):
    record = client.get("/api/photos").json()["photo"]
    with Image.open(io.BytesIO(client.get(record["picture"]).content)) as shown:
        assert (shown.format, shown.size) == ("JPEG", (1600, 1200))
    with Image.open(io.BytesIO(client.get(record["to_scale"]).content)) as square:
        # 12 m of wall at the finest round scale that the photo holds.
        assert square.format == "PNG"
        assert square.size[0] in {12 * scale for scale in (100, 200, 400)}
        dark = (np.asarray(square.convert("RGB")).astype(int) < 100).all(axis=2)
    assert dark.any()


def test_points_posted_with_the_digest_seen_are_saved_once(client, marked):
    told = asked(client, points=[{"place": "Door, upper left", "x": 10, "y": 20.126}])
    answer = client.post("/api/photos/points", json=told)
    assert answer.status_code == 200
    assert answer.json()["photo"]["verdict"] == "not to scale"
    (point,) = job_file.read(marked / "job.toml").tables.photos[0].points
    assert (point.place, point.x, point.y) == ("Door, upper left", 10.0, 20.13)
    again = client.post("/api/photos/points", json=told)
    assert again.status_code == 409
    assert again.json()["stale"] is True


@pytest.mark.parametrize(
    "wrong",
    [
        {"points": [{"x": 1e9, "y": 2}]},
        {"points": [{"x": "left", "y": 2}]},
        {"points": [{"x": 1, "y": 2, "z": 3}]},
        {"points": [{"x": 1, "y": 2}] * 201},
        {},
    ],
)
def test_what_is_no_list_of_points_is_refused(client, marked, wrong):
    before = (marked / "job.toml").read_bytes()
    assert client.post("/api/photos/points", json=asked(client, **wrong)).status_code == 422
    assert (marked / "job.toml").read_bytes() == before


def test_a_point_without_a_unit_is_refused_in_words(client, marked):
    told = asked(client, points=[{"at": "3", "level": "0 m", "x": 1, "y": 2}])
    answer = client.post("/api/photos/points", json=told)
    assert answer.status_code == 409
    assert "unit" in answer.json()["findings"][0]["entries"][0]["message"]


def test_an_outline_is_drawn_and_kept(client, marked, made_photo):
    door = [(7.2, 2.05), (8.1, 2.05), (8.1, 0.0), (7.2, 0.0)]
    outline = {"name": "Hatch", "kind": "opening", "corners": made_photo.at(*door)}
    drawn = client.post("/api/photos/outlines", json=asked(client, outlines=[outline])).json()
    assert drawn["photo"]["outlines"][0]["size"] == "900 mm × 2.05 m"
    kept = client.post("/api/photos/keep", json=asked(client, outline="Hatch"))
    assert kept.status_code == 200
    names = [one.name for one in job_file.read(marked / "job.toml").tables.wall.openings]
    assert names == ["Door", "Hatch"]
    lost = client.post("/api/photos/keep", json=asked(client, outline="None"))
    assert lost.status_code == 409
    assert "Nothing called" in lost.json()["message"]


def test_uploads_that_are_no_photos_are_refused_and_leave_nothing(client, marked):
    before = {p: p.read_bytes() for p in marked.rglob("*") if p.is_file()}
    for name, content in (("a.jpg", b""), ("../../evil.jpg", b"GIF89a"), ("b.png", b"\x89PNG")):
        answer = client.post("/photos/add", files={"file": (name, content)})
        assert answer.status_code == 409
        assert "Not done" in answer.text
    assert {p: p.read_bytes() for p in marked.rglob("*") if p.is_file()} == before


def test_an_upload_lands_in_photos_whatever_its_name_says(client, folder, made_photo, tmp_path):
    content = made_photo.save(tmp_path / "wall.jpg").read_bytes()
    answer = client.post("/photos/add", files={"file": ("../../up & over.jpg", content)})
    assert answer.status_code == 200
    assert [path.name for path in (folder / "photos").iterdir()] == ["up-over.jpg"]
    assert client.get("/api/photos").json()["photo"]["name"] == "up-over"


def test_no_such_photo_and_a_faulty_job(client, marked):
    assert client.get("/photos/picture", params={"photo": "None"}).status_code == 409
    job = marked / "job.toml"
    job.write_text(job.read_text().replace('overall = "12.00 m"', 'overall = "12"'))
    answer = client.get("/photos")
    assert answer.status_code == 409
    assert "has no unit" in answer.text
    assert client.get("/api/photos").status_code == 409
