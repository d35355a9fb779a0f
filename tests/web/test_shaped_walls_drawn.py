"""Curves, and openings that are no rectangles, as the page draws them."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
import shapely
from starlette.testclient import TestClient

from giornata.web import create_app

DOOR = 'head = "2.05 m"'


def test_an_arched_door_on_a_curved_wall(folder: Path, until) -> None:
    job = folder / "job.toml"
    text = job.read_text()
    assert DOOR in text
    arcs = 'arcs = [{ from = "2 m", to = "10 m", radius = "9 m", curve = "concave" }]\n'
    text = text.replace(DOOR, DOOR + '\nshape = "arched"', 1)
    job.write_text(text.replace("[[wall.openings]]", arcs + "\n[[wall.openings]]", 1))
    with TestClient(create_app(folder, key="k"), base_url="http://127.0.0.1") as client:
        client.get("/", params={"key": "k"})
        until(client, "ready")
        wall = client.get("/api/wall").json()
    assert wall["bends"] == []
    (curve,) = wall["curves"]
    assert (curve["start"], curve["end"]) == (2.0, 10.0)
    assert curve["name"].startswith("concave curve, radius 9.00")
    (door,) = wall["openings"]
    drawn = shapely.Polygon(door["rings"][0])
    # By hand: 0.9 m wide, half a circle of 0.45 m over it, crown at 2.05 m; the ground rises
    # from 0.022 to 0.0235 m between 7.2 and 8.1 m. The page rounds to the millimetre.
    ground = 0.02 + 0.01 * (7.65 - 6.0) / 6.0
    area = 0.9 * (1.6 - ground) + math.pi * 0.45**2 / 2
    assert drawn.area == pytest.approx(area, abs=2e-3)
    # Its cross runs through the middle of its box and never leaves the arch.
    lines = shapely.MultiLineString(door["cross"])
    assert len(lines.geoms) == 2
    assert lines.difference(drawn.buffer(0.002)).length == pytest.approx(0.0)
    low = np.array(drawn.bounds)
    middle = shapely.Point((low[0] + low[2]) / 2, (low[1] + low[3]) / 2)
    assert lines.distance(middle) < 0.002
