"""Marks chalked anew: listed by the verb, written into the job, squared on from then on."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pypdfium2
import pytest

from giornata import desk
from giornata.core.projection import wall_shape
from giornata.desk import MarkInPicture

AT = datetime(2027, 5, 3, 22, 0, tzinfo=UTC)


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


def test_c4_asked_twice_no_more_marks_are_chalked(say, small_job):
    # Set-ups are squared, then two marks of set-ups 1 and 2 are washed off: pictures of before see
    # none of the new ones, which stand in the job and wait to be set.
    results = desk.open_job(small_job).results()
    for one in results.set_ups.set_ups[:2]:
        pose = wall_shape(results.wall, one)[0].pose(one)
        marks = [mark for mark in results.marks if one.number in mark.set_ups]
        px = pose.px_from_wall(np.array([(m.chainage, m.level) for m in marks])).tolist()
        seen = [
            MarkInPicture(name=m.name, x_px=x, y_px=y, px_sigma=0.3)
            for m, (x, y) in zip(marks, px, strict=True)
        ]
        desk.record_marks_seen(small_job, one.number, seen, means="photo", at=AT)
    lost = ", ".join(f'"{m.name}"' for m in results.marks if m.set_ups == (1, 2))
    job = small_job / "job.toml"
    job.write_text(job.read_text() + f"\n[marks]\nlost = [{lost}]\n")
    first = say("close", small_job, "--new-marks", "--json").form["result"]
    assert first["new_marks"]
    written = job.read_text()
    for _ in range(2):
        again = say("close", small_job, "--new-marks", "--json").form["result"]
        assert again["new_marks"] == []
        assert "chalked" not in again
        assert job.read_text() == written
    # The set-ups are to be squared on them, as the first time.
    counts = [{row["set_up"]: row["marks"] for row in said["to_draw"]} for said in (first, again)]
    assert counts[0] == counts[1]


def test_n49_new_marks_hold_the_seams_asked_for_and_no_more_are_asked_for(say, small_job, tmp_path):
    # From 3.5 m there are two rows, whose level seams are held too. One mark of four pictures is
    # washed off, without which the others do not hold what the plan holds with it.
    job = small_job / "job.toml"
    text = job.read_text().replace('distance = "6.5 m" ', 'distance = "3.5 m" ')
    job.write_text(text + '\n[marks]\nseam = "9 mm"\n')
    results = desk.open_job(small_job).results()
    assert max(one.expected for one in results.seam_misses) <= 0.009
    lost = next(m for m in results.marks if len(m.set_ups) == 4)
    job.write_text(job.read_text() + f'lost = ["{lost.name}"]\n')
    before = desk.open_job(small_job).results()
    assert max(one.expected for one in before.seam_misses) > 0.009
    first = say("close", small_job, "--new-marks", "--json").form["result"]
    assert first["new_marks"]
    after = desk.open_job(small_job).results()
    seams = {row["set_ups"]: row["then_mm"]["value"] for row in first["seams_to_draw"]}
    assert len(seams) == len(after.seam_misses)
    for one in after.seam_misses:
        assert one.expected <= 0.009
        assert seams[f"{one.left}, {one.right}"] == pytest.approx(1000 * one.expected, abs=0.05)
    report = tmp_path / "left.pdf"
    again = say("close", small_job, "--new-marks", "--report", report, "--json").form["result"]
    assert again["new_marks"] == []
    pages = pypdfium2.PdfDocument(report)
    text = " ".join("".join(page.get_textpage().get_text_bounded() for page in pages).split())
    assert "Seam of set-ups" in text
    assert "9.0 mm asked" in text
