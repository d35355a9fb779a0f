"""Decisions on the artwork in the job file, and what can be wrong with them."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from giornata.core.artwork import Decision, Way
from giornata.core.foundation import JobFileError
from giornata.files import job_file

DEMO = Path(__file__).parents[2] / "examples" / "port-merrow" / "job.toml"


def written(tmp_path, *decisions):
    job = Path(shutil.copy(DEMO, tmp_path / "job.toml"))
    rows = "".join(f"\n[[artwork.decisions]]\n{one}\n" for one in decisions)
    job.write_text(job.read_text() + rows)
    return job


def test_decisions_are_read(tmp_path):
    job = written(
        tmp_path,
        'for = "sky"\nbecomes = "steps"\npaints = ["haze", "tide"]',
        'for = "sun"\nbecomes = "one paint"\npaint = "ember"',
        'for = "gradients"\nbecomes = "steps"\nsteps = 3',
        'for = "pictures"\nbecomes = "as drawn"',
    )
    assert [one.record() for one in job_file.read(job).tables.artwork.decisions] == [
        Decision(thing="sky", way=Way.STEPS, paints=("haze", "tide")),
        Decision(thing="sun", way=Way.ONE_PAINT, paints=("ember",)),
        Decision(thing="gradients", way=Way.STEPS, steps=3),
        Decision(thing="pictures", way=Way.AS_DRAWN),
    ]


@pytest.mark.parametrize(
    ("decision", "code"),
    [
        ('for = "sky"\nbecomes = "one paint"', "job.decision_paint"),
        ('for = "sky"\nbecomes = "left out"\npaint = "tide"', "job.decision_paint"),
        ('for = "sky"\nbecomes = "steps"', "job.decision_steps"),
        ('for = "sky"\nbecomes = "steps"\nsteps = 2\npaints = ["tide"]', "job.decision_steps"),
        ('for = "sky"\nbecomes = "nearest"\nsteps = 2', "job.decision_steps"),
        ('for = "sky"\nbecomes = "refused"\npaints = ["tide"]', "job.decision_steps"),
        ('for = "sky"\nbecomes = "nearest"\npaints = ["tied"]', "job.unknown_paint"),
        ('for = "sky"\nbecomes = "blended"', "job.not_a_choice"),
        ('becomes = "refused"', "job.missing"),
    ],
)
def test_a_decision_that_is_none(tmp_path, decision, code):
    job = written(tmp_path, decision)
    with pytest.raises(JobFileError, match="1 fault") as caught:
        job_file.read(job)
    (found,) = caught.value.findings
    assert found.code == code
    first = job.read_text().splitlines().index("[[artwork.decisions]]") + 1
    assert first <= found.place.line <= first + 3


def test_two_decisions_for_one_thing(tmp_path):
    job = written(tmp_path, *['for = "sky"\nbecomes = "refused"'] * 2)
    with pytest.raises(JobFileError, match="1 fault") as caught:
        job_file.read(job)
    assert [one.code for one in caught.value.findings] == ["job.name_twice"]


def test_a_paint_without_a_colour_cannot_be_decided_for(tmp_path):
    job = written(tmp_path, 'for = "sky"\nbecomes = "one paint"\npaint = "kelp"')
    job.write_text(job.read_text().replace('artwork = ["#94802f"]\n', ""))
    with pytest.raises(JobFileError, match="1 fault") as caught:
        job_file.read(job)
    assert [one.code for one in caught.value.findings] == ["job.decision_colour"]
