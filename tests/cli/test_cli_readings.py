"""What `survey` says of readings between points; the small job is drawn in ``conftest.py``."""

from __future__ import annotations

import csv

import pytest

RUNNING = """
[[wall.readings]]
kind = "chainage"
to = "end of bay 1"
read = "{first}"

[[wall.readings]]
kind = "chainage"
to = "end of bay 2"
read = "12.001 m"

[[wall.readings]]
kind = "courses"
from = "ground at 0 m"
to = "top at 0 m"
courses = 12
"""


@pytest.fixture
def read(say, small_job):
    def with_first(first: str, *words: str):
        job = small_job / "job.toml"
        job.write_text(job.read_text() + RUNNING.format(first=first))
        return say("survey", small_job, *words)

    return with_first


def test_points_residuals_and_the_worst_reading_are_printed(read) -> None:
    said = read("6.002 m")
    assert said.code == 0
    assert "Readings adjusted together" in said.out
    assert "the wall is drawn            from these" in said.out
    assert "Points, each with its standard deviation" in said.out
    assert "end of bay 2" in said.out
    assert "Readings that others check, the worst first" in said.out
    assert "worst reading" in said.out
    assert max(map(len, said.out.splitlines())) <= 80


def test_readings_as_json(read) -> None:
    result = read("6.002 m", "--json").form["result"]
    points = {point["name"]: point for point in result["points"]}
    assert points["end of bay 2"]["chainage"]["value"] == pytest.approx(12.0, abs=0.001)
    assert points["end of bay 2"]["chainage_sigma_mm"]["value"] < 3
    # By construction: 2.5 m over 12 courses.
    (coursing,) = result["coursings"]
    assert coursing["height_mm"]["value"] == pytest.approx(2500 / 12)
    assert result["redundancy"] == 3
    assert {row["name"] for row in result["readings"]} >= {"bay 1", "overall"}


def test_a_slip_is_named_with_what_to_do(read) -> None:
    said = read("6.15 m")
    assert "as taped: these were not used" in said.out
    assert "survey.contradictory" in said.out
    assert "chainage end of bay 1" in said.out
    assert "20.00 m" in said.out


def test_a_whole_job_stands_on_the_adjusted_wall(read, say, small_job) -> None:
    read("6.002 m")
    said = say("explain", small_job, "wall.net_area")
    assert said.code == 0
    assert "adjusted together" in " ".join(said.out.split())
    assert "bay 1 as taped" in said.out


def test_the_pack_holds_points_and_readings(read, say, small_job) -> None:
    read("6.002 m")
    assert say("pack", small_job).code == 0
    with (small_job / "pack/survey-points.csv").open(newline="", encoding="utf-8-sig") as file:
        points = {row["Point"]: row for row in csv.DictReader(file)}
    assert points["end of bay 2"]["Chainage [mm]"] in {"12000", "12001"}
    with (small_job / "pack/survey-readings.csv").open(newline="", encoding="utf-8-sig") as file:
        readings = {row["Reading"]: row for row in csv.DictReader(file)}
    checked = {row["name"] for row in say("survey", small_job, "--json").form["result"]["readings"]}
    assert checked <= set(readings)
    assert all(
        (float(row["Checked by others"]) > 0) == bool(row["Test"]) for row in readings.values()
    )
