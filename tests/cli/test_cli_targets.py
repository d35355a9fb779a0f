"""Targets printed from the command line."""

from __future__ import annotations

import pypdfium2
import pytest


def test_n50_targets_are_written_for_the_marks_that_are_meant(say, small_job, opened_block):
    marks = opened_block.results().marks
    aimed = [mark.name for mark in marks if 1 in mark.set_ups]
    said = say("targets", small_job, "--set-up", "1", "--json")
    assert said.code in (0, 1), said.err
    target = small_job / "target-sheets.pdf"
    assert said.form["result"]["file"] == str(target)
    pages = pypdfium2.PdfDocument(target.read_bytes())
    assert len(pages) == said.form["result"]["sheets"] == len(aimed)
    for page, name in zip(pages, aimed, strict=True):
        assert name in page.get_textpage().get_text_range()


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (("--mark", "Nobody"), "begins with no mark"),
        (("--set-up", "99"), "no set-up 99"),
        (("--paper", "A5"), "too small for a target"),
    ],
)
def test_what_cannot_be_printed_is_refused(say, block, more, words):
    said = say("targets", block, *more)
    assert said.code == 2
    assert words in said.words
