"""Marks chalked anew: listed by the verb, written into the job, squared on from then on."""

from __future__ import annotations

import pypdfium2
import pytest

from giornata import desk


def test_c4_a_lost_mark_is_chalked_anew_and_goes_into_the_job(say, small_job, tmp_path):
    # A mark of set-ups 1 and 2 is washed off: listed as lost, it is replaced where it stood.
    folder = small_job
    lost = next(m for m in desk.open_job(folder).results().marks if m.set_ups == (1, 2))
    text = (folder / "job.toml").read_text()
    (folder / "job.toml").write_text(text + f'\n[marks]  # own\nlost = ["{lost.name}"]\n')
    said = say("close", folder, "--new-marks", "--json")
    result = said.form["result"]
    new = result["new_marks"]
    assert result["chalked"] == ", ".join(row["mark"] for row in new)
    tapes = {row["mark"] for row in result["new_tapes"]}
    assert tapes == {row["mark"] for row in new}
    (replaced,) = [row for row in new if row["instead_of"] == lost.name]
    assert replaced["chainage"]["value"] == pytest.approx(lost.chainage)
    written = (folder / "job.toml").read_text()
    assert "[marks]  # own" in written
    results = desk.open_job(folder).results()
    names = {mark.name: mark for mark in results.marks}
    assert {row["mark"] for row in new} <= set(names)
    assert names[lost.name].set_ups == ()
    # Once they are in the job, nothing more is to be chalked.
    again = say("close", folder, "--json").form["result"]
    assert again["new_marks"] == []
    report = tmp_path / "left.pdf"
    say("close", folder, "--report", report)
    pages = pypdfium2.PdfDocument(report)
    text = " ".join("".join(page.get_textpage().get_text_bounded() for page in pages).split())
    assert "Set-ups still to be drawn" in text
