"""Every verb on the demo job, in both systems of units, as text and as JSON."""

from __future__ import annotations

import pytest

READING = (
    "check", "survey", "photo", "artwork", "set-out", "take-off", "options", "colourways", "price",
    "paint", "hours", "set-ups", "nights", "transfer", "explain", "findings", "log",
    "measure", "close",
)  # fmt: skip
WITHOUT_UNITS = {"check", "findings", "log"}
EMPTY = {"photo", "measure"}  # the demo has no photos and no check measurements


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("verb", READING)
def test_a_verb_prints_within_80_columns(say, demo, verb, units):
    more = [] if verb in WITHOUT_UNITS else ["--units", units]
    said = say(verb, demo, *more)
    assert said.code == 0
    assert said.err == ""
    lines = [line.rstrip() for line in said.out.splitlines()]
    # Only the command that is to be typed keeps its line whole.
    long = [line for line in lines if len(line) > 80 and "giornata findings" not in line]
    assert long == []
    assert len(lines) > 1


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("verb", READING)
def test_a_verb_writes_json_of_one_shape(say, demo, opened_demo, verb, units):
    more = [] if verb in WITHOUT_UNITS else ["--units", units]
    said = say(verb, demo, "--json", *more)
    assert said.code == 0
    form = said.form
    assert list(form) == ["job", "digest", "result", "findings"]
    assert form["result"]
    if verb != "log":
        assert form["job"]["name"] == "Tideline"
        assert form["digest"] == opened_demo.digest
    for finding in form["findings"]:
        assert list(finding) == ["severity", "code", "subject", "message", "remedy", "place"]
    assert "shown" in said.out or verb in WITHOUT_UNITS | EMPTY


def test_a_long_table_is_printed_whole_on_demand(say, demo):
    short, whole = say("artwork", demo).out, say("artwork", demo, "--all").out
    assert "more: --all prints them." in short
    assert "--all prints them" not in whole
    assert len(whole.splitlines()) > len(short.splitlines()) + 100


def test_many_notes_are_counted_and_not_printed(say, demo):
    said = say("take-off", demo).out
    assert said.count("\nNOTE ") == 3
    assert "more notes here" in said
    assert f"giornata findings {demo}" in said


def test_every_figure_has_a_unit_in_its_head_or_behind_it(say, demo):
    lines = say("take-off", demo, "--units", "us").out.splitlines()
    head = next(n for n, line in enumerate(lines) if line.startswith("no.  paint"))
    assert lines[head].split() == ["no.", "paint", "sq", "ft", "shapes", "ft", "ft", "ft", "sq",
                                   "ft", "sq", "ft"]  # fmt: skip
    assert lines[head - 1].split() == ["area", "edge", "cut", "in", "border", "roller", "brush"]


def test_the_demo_wall_is_known_by_construction(say, demo):
    result = say("survey", demo, "--json").form["result"]
    # Top 3.20 m to 52.40 m, then 2.75 m to 78.60 m: 167.68 + 72.05 = 239.73 m² above level 0.
    # Ground by trapezoids: 0.30 + 1.917 + 3.93 + 5.895 + 7.991 + 10.1525 = 30.1855 m².
    assert result["gross_area"]["value"] == pytest.approx(239.73 - 30.1855, abs=1e-9)
    assert result["length"]["value"] == 78.6
