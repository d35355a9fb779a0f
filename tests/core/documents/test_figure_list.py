"""Figures as plain values: reasons kept, parts by name, equal parts once."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from decimal import Decimal

from giornata.core.documents import figure_list, finding_list
from giornata.core.foundation import (
    Figure,
    Finding,
    Place,
    Severity,
    System,
    assumed,
    derived,
    given,
    measured,
)

DOUBT = Finding(
    code="survey.made", severity=Severity.NOTE, subject="wall", message="So.", remedy="Look.",
    place=Place(file="job.toml", line=7),
)  # fmt: skip


def area() -> Figure:
    return measured("net area", 167.52, "m²", sigma=0.4, source="tape")


def litres(name: str, rate: float) -> Figure:
    return derived(
        name, 167.52 / rate, "m³", method="made v1", formula="area ÷ rate",
        parts=(
            area(),
            assumed("spreading rate", rate, "m²/m³", source="maker's sheet", usual=(4e3, 9e3)),
            given("coats", 1.0, "-", source="painter"),
        ),
    )  # fmt: skip


NAMED = {
    "wall.net": area(),
    "A.day.paint": litres("paint", 6000.0),
    "A.dusk.paint": litres("paint", 7000.0),
    "A.dusk.price": given("price", Decimal("1200.50"), "EUR", source="painter"),
}


def test_a_figure_keeps_its_reasons() -> None:
    entries = figure_list(NAMED, System.METRIC)
    assert entries["wall.net"] == {
        "name": "net area", "value": 167.52, "unit": "m²", "shown": "167.52 m² ± 0.40 m²",
        "basis": "measured", "sigma": 0.4, "source": "tape",
    }  # fmt: skip
    assert entries["A.day.paint/spreading rate"] == {
        "name": "spreading rate", "value": 6000.0, "unit": "m²/m³", "shown": "6.00 m²/L",
        "basis": "assumed", "usual": [4e3, 9e3], "source": "maker's sheet",
    }  # fmt: skip
    assert entries["A.dusk.price"]["value"] == "1200.50"
    assert figure_list(NAMED, System.US)["wall.net"]["shown"].startswith("1,803.2 sq ft")


def test_parts_go_by_name_and_equal_ones_are_listed_once() -> None:
    entries = figure_list(NAMED, System.METRIC)
    assert entries["A.day.paint"]["parts"] == [
        "wall.net", "A.day.paint/spreading rate", "A.day.paint/coats",
    ]  # fmt: skip
    assert entries["A.dusk.paint"]["parts"] == [
        "wall.net", "A.dusk.paint/spreading rate", "A.day.paint/coats",
    ]  # fmt: skip
    assert len(entries) == 4 + 3
    assert all(part in entries for entry in entries.values() for part in entry.get("parts", []))


def test_a_part_with_two_names_goes_by_the_nearer_one() -> None:
    one = given("total", 5.0, "EUR", source="painter")
    per = derived("a half", 2.5, "EUR", method="made v1", formula="total ÷ 2", parts=(one,))
    entries = figure_list(
        {"A.day.total": one, "B.day.total": one, "B.day.half": per}, System.METRIC
    )
    assert entries["B.day.half"]["parts"] == ["B.day.total"]


def test_two_parts_of_one_name_are_told_apart() -> None:
    parts = tuple(given("tin", value, "EUR", source="list") for value in (12.0, 40.0))
    cost = derived("cost", 52.0, "EUR", method="made v1", formula="sum", parts=parts)
    entries = figure_list({"cost": cost}, System.METRIC)
    assert entries["cost"]["parts"] == ["cost/tin", "cost/tin (2)"]
    assert entries["cost/tin (2)"]["value"] == 40.0


def test_what_json_cannot_say_is_left_empty_and_doubts_stay() -> None:
    odd = replace(given("ratio", math.inf, "-", source="no light"), findings=(DOUBT,))
    entry = figure_list({"ratio": odd}, System.METRIC)["ratio"]
    assert entry["value"] is None
    assert entry["findings"] == finding_list([DOUBT], System.METRIC)
    json.dumps(entry, allow_nan=False)


def test_a_finding_keeps_its_place() -> None:
    assert finding_list([DOUBT], System.METRIC) == [
        {
            "severity": "note", "code": "survey.made", "subject": "wall", "message": "So.",
            "remedy": "Look.", "place": {"file": "job.toml", "line": 7},
        }
    ]  # fmt: skip
