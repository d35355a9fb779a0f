"""Lens shift set by eye: said in the job file, estimated and told when a picture is squared."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from giornata import desk
from giornata.cli.pages import square_page
from giornata.core.foundation import readonly
from giornata.core.projection import FACING, MapKind, MarkSeen, turned, wall_shape
from giornata.files.job_marks import MarksTable


def test_shift_by_eye_is_read_from_the_job_file(say, small_job):
    assert not MarksTable().record().shift_by_eye
    assert MarksTable.model_validate({"shift_by_eye": True}).record().shift_by_eye
    path = small_job / "job.toml"
    path.write_text(path.read_text() + '\n[marks]\nshift_by_eye = "a little"\n')
    said = say("findings", small_job)
    assert said.code != 0
    line = len(path.read_text().splitlines())
    assert f"line {line}" in said.words or f":{line}" in said.words


def test_a_shift_set_by_eye_is_told_on_the_page(opened_block):
    results = opened_block.results()
    asked = replace(results.inputs.marks_asked, shift_by_eye=True)
    by_eye = replace(results, inputs=replace(results.inputs, marks_asked=asked))
    one = results.set_ups.set_ups[0]
    pose = wall_shape(results.wall, one)[0].pose(one)
    # Tilted and panned, its lens axis a twentieth of the height farther down the picture.
    truth = replace(
        pose, axes=turned(0.12, 0.10, 0.02).T @ FACING,
        centre=readonly(np.add(pose.centre, [0.0, one.rows / 20])),
    )  # fmt: skip
    x, y = (np.linspace(a, b, n) for a, b, n in (
        (one.start + 0.3, one.end - 0.3, 4), (one.wall_foot + 0.2, one.wall_head - 0.2, 3)
    ))  # fmt: skip
    places = np.array([(a, b) for a in x for b in y])
    marks = [
        MarkSeen(name=f"M{k:02d}", chainage=a, level=b, x_px=u, y_px=v, mark_sigma=0.001,
                 px_sigma=0.3)
        for k, ((a, b), (u, v)) in enumerate(
            zip(places.tolist(), truth.px_from_wall(places).tolist(), strict=True)
        )
    ]  # fmt: skip
    made, _ = desk.square_set_up(by_eye, one, marks)
    assert made.kind is MapKind.SHIFT
    assert made.shift is not None
    assert abs(made.shift.up - (one.shift + 0.05)) < 2 * made.shift.up_sigma
    report = square_page(by_eye, one, (), made)
    facts = {fact.key: fact.value for fact in report.sections[0].facts}
    assert ("% up" in facts["lens_shift"]) == made.shift.told
    planned, _ = desk.square_set_up(results, one, marks)
    facts = {
        fact.key: fact.value for fact in square_page(results, one, (), planned).sections[0].facts
    }
    assert facts["lens_shift"] == "as planned"
