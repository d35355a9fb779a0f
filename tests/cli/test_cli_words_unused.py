"""Options that would do nothing are refused, and marks are found however they are parted."""

from __future__ import annotations

import pytest
import typer

from giornata.cli.square_words import read_marks, read_taps

NAMES = ("M03 lower", "M03 upper")


@pytest.mark.parametrize(
    ("verb", "words", "goes_with"),
    [
        ("measure", ("--known-to", "2 mm"), "goes with --read"),
        ("transfer", ("--from", "2 m"), "goes with --way"),
        ("transfer", ("--out", "sheets.pdf"), "goes with --way"),
        ("photo", ("--out", "wall.png"), "goes with --rectify"),
        ("photo", ("--stretch", "2 m, 9 m, 0 m, 3 m"), "goes with --rectify"),
    ],
)
def test_an_option_that_would_do_nothing_is_refused(say, small_job, verb, words, goes_with):
    said = say(verb, small_job, *words)
    assert said.code == 2
    assert goes_with in said.words


def test_n69_a_comma_may_stand_behind_a_mark():
    fell = read_marks((), ("M03 upper, 34 mm, -12 mm",), (), NAMES)
    seen = read_marks(("M03 lower, 812.4, 77",), (), (), NAMES)
    assert [(one.name, one.missed) for one in fell] == [("M03 upper", (0.034, -0.012))]
    assert [(one.name, one.px) for one in seen] == [("M03 lower", (812.4, 77.0))]


def test_a_tap_that_is_no_number_is_refused():
    with pytest.raises(typer.BadParameter, match="a tap is"):
        read_taps(("M03 upper @ 8.1.2,344",), NAMES)


def test_the_artwork_page_says_what_each_colour_is_painted_with(say, small_job):
    # #cc0001 is within a level or two of #cc0000, which Red lists (renderers round so); nobody
    # lists #0000a0, which is nearest to the blue #0000cc. Neither is the ground.
    file = next((small_job / "artwork").glob("*.svg"))
    text = file.read_text().replace("#cc0000", "#cc0001").replace("#0000cc", "#0000a0")
    file.write_text(text)
    said = say("artwork", small_job, "--json")
    painted = {row["colour"]: row["paint"] for row in said.form["result"]["colours"]}
    assert painted == {"#ffffff": "White", "#cc0001": "Red", "#0000a0": "Blue"}
    assert [f["code"] for f in said.form["findings"]].count("artwork.unknown_colour") >= 1


def test_a_scheme_under_cost_is_named_once(say, small_job):
    path = small_job / "job.toml"
    text = path.read_text().replace('# hour = "40 EUR"', 'hour = "4000 EUR"')
    path.write_text(text)
    found = say("findings", small_job, "--json").form["findings"]
    subjects = [one["subject"] for one in found if one["code"] == "pricing.under_cost"]
    assert len(subjects) == len(set(subjects)) >= 2
    assert all(subject.count(",") == 1 for subject in subjects)


def test_tins_are_called_as_their_labels_and_notes_call_them(say, small_job):
    # A US gallon is 231 cubic inches (NIST SP 811, appendix B): 3.785411784 L.
    path = small_job / "job.toml"
    tins = 'tins = [ { size = "1 US gal", price = "60 EUR" }, { size = "5 L", price = "70 EUR" } ]'
    path.write_text(path.read_text().replace("# tins = [", f"{tins} # [", 1))
    shown = say("paint", small_job, "--units", "us").out
    assert "× 1.00 gal" in shown
    assert "× 5 L" in shown
    assert "3.785" not in shown


def test_millimetres_are_printed_without_the_digits_of_metres(say, small_job):
    # Marks hold a picture to some millimetres: a thousandth of one is nothing anybody reads.
    shown = say("set-out", small_job).out
    table = shown.split("Pictures squared on their marks")[1].split("\n\n")[0]
    within = [row.split()[-1] for row in table.splitlines() if row.strip()[:1].isdigit()]
    assert within
    assert all(text.isdigit() for text in within)


def test_a_folder_given_for_a_file_of_pairs_is_named_as_such(say, small_job):
    said = say("square", "1", small_job, "--file", small_job)
    assert said.code == 5
    assert "it is a folder, not a file" in said.words
    assert "Name a file." in said.words
