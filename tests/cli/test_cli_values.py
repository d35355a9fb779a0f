"""What verbs print and write for the small job, whose answers are known by construction.

Its wall, paints and edges are drawn at the top of ``conftest.py``.
"""

from __future__ import annotations

import pytest

SQUARE_FOOT = 0.3048**2  # international foot of 1959, exact


def rows(said, table, key):
    return {row[key]: row for row in said.form["result"][table]}


def test_survey_gives_gross_openings_and_net(say, block):
    result = say("survey", block, "--json").form["result"]
    # 20 x 2.5 = 50; 1 x 2 = 2; 48
    assert result["gross_area"]["value"] == pytest.approx(50.0)
    assert result["openings_area"]["value"] == pytest.approx(2.0)
    assert result["net_area"]["value"] == pytest.approx(48.0)
    assert result["net_area"]["unit"] == "m²"
    assert result["net_area"]["sigma"] > 0
    assert result["closure"] == "accept"
    assert [bay["name"] for bay in result["bays"]] == ["1", "2", "3"]


def test_survey_needs_no_artwork(say, small_job):
    (small_job / "artwork/first.svg").unlink()
    said = say("survey", small_job)
    assert said.code == 0
    assert "48.00 m²" in said.out


def test_take_off_by_paint_and_by_pair(say, block):
    said = say("take-off", block, "--json")
    paints = rows(said, "paints", "paint")
    assert paints["White"]["area"]["value"] == pytest.approx(46.0)
    assert paints["Red"]["area"]["value"] == pytest.approx(1.0)
    assert paints["Blue"]["area"]["value"] == pytest.approx(1.0)
    pairs = {(p["first"], p["second"]): p["edge"]["value"] for p in said.form["result"]["pairs"]}
    assert pairs == {
        ("White", "Red"): pytest.approx(4.0),
        ("White", "Blue"): pytest.approx(2.0),
        ("Red", "Blue"): pytest.approx(2.0),
    }
    assert said.form["result"]["figure"]["value"] == pytest.approx(2.0)


def test_an_option_is_taken_off_by_its_key(say, block):
    said = say("take-off", block, "--option", "B", "--json")
    paints = rows(said, "paints", "paint")
    assert paints["Red"]["area"]["value"] == pytest.approx(2.0)  # the dot is left out
    assert paints["Blue"]["area"]["value"] == 0


def test_the_price_is_area_times_rate(say, block):
    result = say("price", block, "--json").form["result"]
    assert result["total"] == {
        "value": "7200.00", "unit": "EUR", "basis": "derived", "shown": "7,200.00 EUR",
    }  # fmt: skip  # 48 x 150
    # 40 and 60 % of it
    assert [stage["amount"]["value"] for stage in result["stages"]] == ["2880.00", "4320.00"]


def test_us_units_change_print_and_not_values(say, block):
    metric = say("survey", block, "--json").form["result"]["net_area"]
    us = say("survey", block, "--json", "--units", "us").form["result"]["net_area"]
    assert us["value"] == metric["value"]
    assert us["shown"].startswith(f"{48 / SQUARE_FOOT:,.1f} sq ft")  # 516.7
    printed = say("survey", block, "--units", "us").out
    assert "516.7 sq ft" in printed
    assert "65 ft 7 3/8 in" in printed  # 20 / 0.3048 = 65.617 ft; 0.617 x 12 = 7.402 in


def test_the_job_says_its_own_units(say, small_job):
    assert say("set", "job.units", "us", small_job).code == 0
    assert "516.7 sq ft" in say("survey", small_job).out


def test_paint_is_area_times_coats_over_spreading_rate(say, block):
    order = rows(say("paint", block, "--json"), "order", "paint")
    # 48 x 2 / 6 x 1.1 = 17.6 L; 1 x 2 / 6 x 1.1 = 0.367 L
    assert order["White"]["need"]["value"] == pytest.approx(0.0176)
    assert order["Red"]["need"]["value"] == pytest.approx(1 * 2 / 6000 * 1.1)
    assert order["White"]["need"]["shown"] == "17.6 L"


def test_a_colourway_changes_coats_and_keeps_areas(say, block):
    day = rows(say("paint", block, "--json"), "order", "paint")["Red"]
    dusk = rows(say("paint", block, "--colourway", "dusk", "--json"), "order", "paint")["Red"]
    assert (day["coats"], dusk["coats"]) == (2, 4)
    assert dusk["need"]["value"] == pytest.approx(2 * day["need"]["value"])


def test_hours_are_the_sum_of_their_tasks(say, block):
    result = say("hours", block, "--json").form["result"]
    hours = {(t["task"], t["paint"]): t["hours"]["value"] / 3600 for t in result["tasks"]}
    assert hours["base coat", "White"] == pytest.approx(48 * 2 / 15)
    assert hours["primer", ""] == pytest.approx(48 / 20)
    assert sum(hours.values()) * 3600 == pytest.approx(result["painting_hours"]["value"])


def test_own_rates_come_from_finished_jobs_n68(say, small_job):
    # Three jobs of 62 m² 180 m 58.6 h, 110 140 80.1, 45 260 62.0: 0.544 h/m² and 0.143 h/m,
    # a worked example of the trade (least squares without constant).
    past = (
        '[ { job = "a", area = "62 m²", edge = "180 m", hours = "58.6 h" },'
        ' { job = "b", area = "110 m²", edge = "140 m", hours = "80.1 h" },'
        ' { job = "c", area = "45 m²", edge = "260 m", hours = "62.0 h" } ]'
    )
    assert say("set", "labour.past", past, small_job).code == 0
    result = say("hours", small_job, "--json").form["result"]
    assert result["own_per_area"]["shown"].startswith("0.544 h/m²")
    assert result["own_per_edge"]["shown"].startswith("0.143 h/m")


def test_options_stand_side_by_side(say, block):
    result = say("options", block, "--json").form["result"]
    keys = [(row["option"], row["colourway"]) for row in result["work"]]
    assert keys == [("A", "day"), ("A", "dusk"), ("B", "day"), ("B", "dusk")]
    assert [row["chosen"] for row in result["work"]] == ["*", "", "", ""]
    red = rows(say("options", block, "--json"), "areas", "paint")["Red"]
    assert red["option_A"]["value"] == pytest.approx(1.0)
    assert red["option_B"]["value"] == pytest.approx(2.0)


def test_colourways_show_light_reflectance_and_contrast(say, block):
    result = say("colourways", block, "--colourway", "day", "--json").form["result"]
    white = result["colours_day"][0]
    assert white["reflectance"]["value"] == pytest.approx(100.0)  # white reflects all light
    assert "colours_dusk" not in result
    pairs = {(p["first"], p["second"]): p for p in result["contrasts_day"]}
    assert pairs["White", "Red"]["verdict"] == "clear"
    # sRGB luminance (W3C): 0xcc is 0.6038 linear; red 0.2126 x 0.6038 = 12.8, blue 0.0722 x
    # 0.6038 = 4.4: 8.5 points apart, below 20
    assert pairs["Red", "Blue"]["points"]["value"] == pytest.approx(8.48, abs=0.02)
    assert pairs["Red", "Blue"]["verdict"] == "alike"


def test_set_ups_are_counted_and_judged(say, block):
    said = say("set-ups", block, "--json")
    result = said.form["result"]
    # 6.5 m off at throw 1.4: 6.5 / 1.4 = 4.643 m wide; (20 - 0.4) / (4.643 - 0.4) = 4.62: 5
    assert result["count"]["value"] == 5
    assert result["image_width"]["value"] == pytest.approx(6.5 / 1.4)
    # 4000 lm / (4.643 x 2.902 m²) = 296.9 lx, against 3 lx: 99 times
    first = result["light"][0]
    assert first["illuminance"]["value"] == pytest.approx(296.9, abs=0.05)
    assert first["verdict"] == "enough"
    assert [row["set_ups"] for row in result["nights"]] == ["1, 2, 5, 4, 3"]  # from both ends


def test_too_much_ambient_light_is_said(say, small_job):
    # At the long end the image has 4000 x 0.8 / (2.95 x 1.85 m²) = 587 lx; 5 x 200 lx is more.
    assert say("set", "site.ambient", "200 lx", small_job).code == 0
    said = say("set-ups", small_job)
    assert "too little" in said.out
    assert "[projection.dim]" in said.out


def test_control_marks_stand_in_pairs(say, block):
    marks = say("set-out", block, "--json").form["result"]["marks"]
    assert len(marks) == 2 * 6  # five set-ups have six columns
    assert [mark["set_ups"] for mark in marks[:4]] == ["1", "1", "1, 2", "1, 2"]


def test_artwork_names_groups_and_colours(say, block):
    result = say("artwork", block, "--option", "B", "--json").form["result"]
    assert {row["group"]: row["state"] for row in result["groups"]} == {
        "block": "shown", "dot": "left out",
    }  # fmt: skip
    colours = {row["colour"]: (row["paint"], row["area"]["value"]) for row in result["colours"]}
    assert colours["#cc0000"] == ("Red", pytest.approx(200 * 100))


def test_explain_leads_down_to_readings(say, block):
    said = say("explain", "A.day.total", block)
    assert "total = 7,200.00 EUR" in said.out
    assert "billed area × rate" in said.out
    assert "given: job file, price.rate" in said.out
    assert "measured: " in said.out
    tree = say("explain", block, "A.day.total", "--json").form["result"]["figure"]
    assert tree["value"] == "7200.00"
    assert {part["name"] for part in tree["parts"]} == {"price before tax", "tax"}


def test_explain_lists_names_and_beginnings(say, block):
    every = say("explain", block, "--json").form["result"]["figures"]
    names = [row["name"] for row in every]
    assert "wall.net_area" in names
    begun = say("explain", "A.red.", block, "--json").form["result"]["figures"]
    assert [row["name"] for row in begun] == [n for n in names if n.startswith("A.red.")]
    assert len(begun) > 3


def test_explain_stops_at_a_depth(say, block):
    tree = say("explain", "wall.net_area", block, "--depth", "1", "--json").form["result"]
    assert all("parts" not in part for part in tree["figure"]["parts"])


def test_explain_takes_the_only_figure_that_begins_so(say, block):
    said = say("explain", "wall.net", block)
    assert "net area = 48.00 m²" in said.out


def test_findings_by_severity(say, small_job):
    # The block then reaches from level -0.5 to 0.5 m, half of it in the ground: a warning.
    assert say("set", "artwork.foot", "-1.5 m", small_job).code == 0
    whole = say("findings", small_job, "--json").form
    notes = say("findings", small_job, "--only", "note", "--json").form
    assert {f["severity"] for f in notes["findings"]} == {"note"}
    assert len(notes["findings"]) == whole["result"]["note_count"]
    assert 0 < len(notes["findings"]) < len(whole["findings"])
    printed = say("findings", small_job).out
    assert all(finding["code"] in printed for finding in whole["findings"])
    assert printed.index("WARN ") < printed.index("NOTE ")  # the gravest first


def test_check_reads_and_derives_nothing(say, small_job, monkeypatch):
    monkeypatch.delattr("giornata.desk.opening.derive")
    result = say("check", small_job, "--json").form["result"]
    assert (result["bays"], result["paints"], result["shapes"]) == (3, 3, 3)


def test_n52_nights_without_a_place_have_hours_and_an_order(say, block):
    result = say("nights", block, "--json").form["result"]
    (night,) = result["nights"]
    # From both ends of five set-ups; the default night of 5.5 h holds them, nothing is left.
    assert (night["set_ups"], night["left"], night["evening"]) == ("1, 2, 5, 4, 3", 0, "-")
    assert [row["set_up"] for row in result["order"]] == [1, 2, 5, 4, 3]
    assert result["order"][0]["since"]["value"] == 0.0
