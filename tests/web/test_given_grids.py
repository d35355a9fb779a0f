"""The page of a job with readings between points and with a gradient: two more tables."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from starlette.testclient import TestClient

READINGS = """
[[wall.readings]]
kind = "chainage"
to = "end of bay 1"
read = "{read}"

[[wall.readings]]
kind = "chainage"
to = "end of bay 2"
read = "8.001 m"
"""
DECISION = '\n[[artwork.decisions]]\nfor = "sky"\nbecomes = "steps"\nsteps = 3\n'
GRADIENT = (
    '<linearGradient id="sky"><stop stop-color="#cc0000"/><stop offset="1" stop-color="#0000cc"/>'
    '</linearGradient><rect x="10" y="20" width="40" height="10" fill="url(#sky)"/></svg>'
)


def grids(folder: Path, client: TestClient, until: Callable[..., dict[str, object]]):
    until(client, "ready")
    return {grid["key"]: grid for grid in client.get("/api/job").json()["grids"]}


def test_a_usual_job_has_neither(client, folder, until):
    assert not {"survey_points", "not_flat"} & set(grids(folder, client, until))


def test_readings_that_agree_are_listed_with_their_points(folder, client, until):
    file = folder / "job.toml"
    file.write_text(file.read_text() + READINGS.format(read="4.001 m"))
    table = grids(folder, client, until)["survey_points"]
    rows = {
        row["cells"][0]["text"]: [cell["text"] for cell in row["cells"]] for row in table["rows"]
    }
    assert rows["end of bay 1"][1].startswith("4.00")
    assert table["columns"][2]["unit"] == "mm"
    assert "agree within" in table["note"]


def test_readings_that_contradict_are_said_to(folder, client, until):
    file = folder / "job.toml"
    file.write_text(file.read_text() + READINGS.format(read="4.20 m"))
    assert "do not agree" in grids(folder, client, until)["survey_points"]["note"]


def test_a_gradient_is_listed_and_lies_on_the_wall(folder, client, until):
    drawing = next((folder / "artwork").glob("*.svg"))
    drawing.write_text(drawing.read_text().replace("</svg>", GRADIENT))
    file = folder / "job.toml"
    file.write_text(file.read_text() + DECISION)
    (row,) = grids(folder, client, until)["not_flat"]["rows"]
    assert [cell["text"] for cell in row["cells"]][:2] == ["1 sky", "gradient"]
    (box,) = row["boxes"]
    assert box[2] > box[0]
    assert box[3] > box[1]
