"""Hours by grid and pounce, and their sheets, from the command line."""

from __future__ import annotations

import pypdfium2
import pytest

from giornata import desk
from giornata.core import documents
from giornata.core.foundation import System
from giornata.web.night_left import order_of_work, where_words
from giornata.web.set_up_drawing import set_up_drawing
from giornata.web.wall_drawing import wall_drawing


def test_ways_stand_side_by_side(say, block):
    ways = say("transfer", block, "--json").form["result"]["ways"]
    assert len(ways) == 5  # set-ups of the small job
    # The middle of the wall bears no edge: 2 × its wall ÷ 0.5 m ÷ 60 m/h remain of the grid.
    assert all(row["grid"]["value"] > row["projected"]["value"] for row in ways if row["edge"])


@pytest.mark.parametrize("way", ["grid", "pounce"])
def test_sheets_are_written(say, small_job, way):
    said = say("transfer", small_job, "--way", way, "--from", "3.9 m", "--to", "6.1 m", "--json")
    assert said.code == 0
    target = small_job / "transfer" / f"{way}-3.90-6.10.pdf"
    assert said.form["result"]["file"] == str(target)
    pages = pypdfium2.PdfDocument(target.read_bytes())
    assert len(pages) == said.form["result"]["sheets"]


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (("--from", "90 m"), "chainages between 0 and 20.00 m"),
        (("--from", "3"), '"3" has no unit'),
        (("--paper", "A7"), "paper is called 'A7'"),
    ],
)
def test_what_cannot_be_read_is_refused(say, block, more, words):
    said = say("transfer", block, "--way", "grid", *more)
    assert said.code != 0
    assert words in " ".join(said.err.split())


def test_a_stretch_named_has_its_sheets_in_the_pack_and_no_card(say, small_job):
    job = small_job / "job.toml"
    stretch = '\n[transfer]\nstretches = [{ from = "0 m", to = "20 m", way = "grid" }]\n'
    job.write_text(job.read_text() + stretch)
    said = say("pack", small_job)
    assert said.code == 0
    assert (small_job / "pack" / "grid-sheets-1.pdf").is_file()
    cards = pypdfium2.PdfDocument((small_job / "pack" / "set-up-cards.pdf").read_bytes())
    words = "".join(page.get_textpage().get_text_range() for page in cards)
    assert "Every miss under" not in words  # what each card says


def test_c4_what_is_put_on_the_wall_by_grid_is_not_still_to_draw(say, small_job):
    """Known by construction: of five set-ups the second alone has an edge, from 5 to 7 m."""
    job = small_job / "job.toml"
    stretch = '\n[transfer]\nstretches = [{ from = "0 m", to = "TO", way = "grid" }]\n'
    for to, left in (("4 m", [2]), ("20 m", [])):
        job.write_text(job.read_text().split("\n[transfer]")[0] + stretch.replace("TO", to))
        said = say("close", small_job, "--json").form["result"]
        assert said["remaining"] == len(left)
        assert [row["set_up"] for row in said.get("to_draw", [])] == left


def test_n46_a_set_up_by_grid_has_no_form_and_squaring_says_so(say, small_job):
    """Of five set-ups the second alone has an edge to the right of 4 m, as above."""
    job = small_job / "job.toml"
    said = say("square", "1", small_job, "--json").form["result"]
    assert "not_projected" not in said
    stretch = '\n[transfer]\nstretches = [{ from = "0 m", to = "4 m", way = "grid" }]\n'
    job.write_text(job.read_text() + stretch)
    assert say("square", "1", small_job, "--json").form["result"]["not_projected"] == "by grid"
    assert "not_projected" not in say("square", "2", small_job, "--json").form["result"]
    results = desk.open_job(small_job).results()
    paper = documents.closing_forms(results, System.METRIC)
    texts = [label.text for sheet in paper.sheets for label in sheet.labels]
    assert [text for text in texts if text.startswith("Set-up ")] == ["Set-up 2"]
    # The console proposes the second alone, unless another one was begun all the same.
    assert order_of_work(results, {0}) == (2,)
    assert order_of_work(results, {4}) == (2, 4)
    # It counts what is projected, and says of the others what they are; so does the wall's drawing.
    assert where_words(results, 0) == "1 set-up"
    assert where_words(results, 1) == "Set-up 1, by grid"
    assert where_words(results, 2) == "Set-up 2 (1 of 1)"
    assert where_words(None, 2) == "Set-up 2"
    # One that was begun all the same has its pictures at the window.
    begun = set_up_drawing(results, 4, version="1", system=System.METRIC)
    assert begun is not None
    assert begun.number == 4
    drawn = wall_drawing(results, System.METRIC).set_ups
    assert [one.projected for one in drawn] == [False, True, False, False, False]
    assert drawn[0].text == "1, not projected: by grid"
    table = say("set-ups", small_job, "--json").form["result"]["set_ups"]
    assert [row["put_on"] for row in table][:2] == ["by grid", "by projector"]
    targets = say("targets", small_job, "--json").form["result"]["marks"].split(", ")
    assert targets == [mark.name for mark in results.marks if 2 in mark.set_ups]


def test_n46_where_all_is_projected_set_ups_are_counted_as_they_are_numbered(block, opened_block):
    results = opened_block.results()
    count = len(results.set_ups.set_ups)
    assert where_words(results, 0) == f"{count} set-ups"
    assert where_words(results, 3) == f"Set-up 3 of {count}"
