"""Readings between points as the job file says them, faults at their lines, needs by number."""

import itertools
import shutil
from pathlib import Path

import pytest

from giornata.core import survey
from giornata.core.foundation import JobFileError
from giornata.files import job_file

DEMO = Path(__file__).parents[2] / "examples/port-merrow/job.toml"
MM = 0.001


@pytest.fixture
def job(tmp_path):
    return Path(shutil.copy(DEMO, tmp_path / "job.toml"))


def reading(**entries: str) -> str:
    lines = [f'{key} = "{value}"' for key, value in entries.items()]
    return "\n".join(["[[wall.readings]]", *lines, ""])


def between(start: str, end: str, **entries: str) -> str:
    return reading(**{"from": start, "to": end}, **entries)


def table(wall: str, *readings: str) -> str:
    """The demo's job with another wall."""
    text = DEMO.read_text(encoding="utf-8")
    begin, end = text.index("[wall]"), text.index("# ---", text.index("[wall]"))
    return text[:begin] + wall + "\n" + "\n".join(readings) + "\n" + text[end:]


def written(job, text: str) -> survey.WallSurvey:
    job.write_text(text, encoding="utf-8")
    made: survey.WallSurvey = job_file.read(job).tables.wall.record()
    return made


def fault(job, text: str):
    with pytest.raises(JobFileError, match="fault") as caught:
        written(job, text)
    (finding,) = caught.value.findings
    assert finding.place is not None
    return finding, text.splitlines()[finding.place.line - 1]


WALL = """[wall]
datum = "left end, foot"
surface = "masonry"
tape = "II"
"""


def bays(*lengths: str) -> str:
    rows = ", ".join(f'{{ name = "{n}", length = "{v}" }}' for n, v in enumerate(lengths, 1))
    return f"bays = [{rows}]\n"


PLAIN = WALL + bays("10 m", "10 m") + 'heights = [{ at = "0 m", height = "3 m" }]\n'


def test_every_word_of_a_reading_is_read(job) -> None:
    made = written(
        job,
        table(
            PLAIN,
            between("end of bay 1", "end of bay 2", kind="length", read="10.004 m", name="again",
                    **{"with": "laser"}) + "doubtful = true\n",
            reading(kind="offset", to="end of bay 1", read="-12 mm", precision="2 mm"),
            between("G", "T", kind="courses", course="block") + "courses = 13.5\n",
        ),
    )  # fmt: skip
    assert made.readings == (
        survey.Taken(kind=survey.Kind.LENGTH, start="end of bay 1", end="end of bay 2",
                     value=10.004, name="again", instrument=survey.Instrument.LASER,
                     doubtful=True),
        survey.Taken(kind=survey.Kind.OFFSET, end="end of bay 1", value=-0.012, sigma=0.002),
        survey.Taken(kind=survey.Kind.COURSES, start="G", end="T", value=13.5, course="block"),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("entry", "code", "said", "at"),
    [
        (reading(kind="length", to="B"), "job.impossible", 'has read = "2.9 m"', "[[wall.read"),
        (reading(kind="courses", to="B", read="2 m"), "job.impossible", "courses = 14", "[[wall"),
        (reading(kind="length", to="B", read="12.5"), "units.missing", "no unit", "read = "),
        (reading(kind="span", to="B", read="2 m"), "job.not_a_choice", "choices", "kind = "),
        (reading(kind="length", read="2 m"), "job.missing", '"to" is missing', "[[wall.read"),
        (reading(kind="length", to="datum", read="2 m"), "job.impossible", "two points", "[[wall"),
        (reading(kind="length", to="B", read="-2 m"), "job.impossible", "is above 0", "[[wall"),
        (reading(kind="length", to="B", read="2 m", wiht="laser"), "job.unknown_key", "wiht", "wi"),
        (
            reading(kind="length", to="B", read="2 m", precision="0 mm"),
            "job.impossible", "precision is above 0", "[[wall",
        ),
    ],
)  # fmt: skip
def test_a_wrong_reading_is_reported_at_its_line(job, entry, code, said, at) -> None:
    finding, line = fault(job, table(PLAIN, reading(kind="chainage", to="A", read="3 m"), entry))
    assert finding.code == code
    assert said in finding.message
    assert line.startswith(at)


def test_n3_through_the_job_file(job) -> None:
    bare = WALL + bays(*["4.35 m"] * 14) + 'overall = "61.05 m"\n'
    bare += 'heights = [{ at = "0 m", height = "2.9 m" }]\n'
    # Known by construction: a pier of 150 mm stands in bay 5.
    running = [
        reading(kind="chainage", to=f"end of bay {n}", read=f"{4.35 * n + 0.15 * (n >= 5):.2f} m")
        for n in (3, 4, 5, 6)
    ]
    found, findings = survey.develop(written(job, table(bare, *running)))
    assert found is not None
    said = {finding.code: finding for finding in findings}
    assert "150 mm wide was left out" in said["survey.misclosure"].remedy
    assert said["survey.reading_doubtful"].subject == "bay 5"
    assert found.length == 61.05
    assert found.bays[-1].end == pytest.approx(60.90)


def test_n4_through_the_job_file(job) -> None:
    foot, head = "A", "D"
    made = written(
        job,
        table(
            WALL + bays("20 m") + 'heights = [{ at = "0 m", height = "6 m" }]\n',
            reading(kind="level", to="B", read="0 m", precision="1 mm"),
            reading(kind="chainage", to="B", read="20.00 m"),
            reading(kind="height", to=head, read="6.00 m"),
            between("B", "C", kind="height", read="6.00 m"),
            between(head, "C", kind="length", read="20.00 m"),
            reading(kind="diagonal", to="C", read="20.93 m"),
            between(head, "B", kind="diagonal", read="20.83 m"),
            between(foot, head, kind="plumb", read="52 mm") + "doubtful = true\n",
        ),
    )
    found, _ = survey.develop(made)
    assert found is not None
    assert found.adjustment is not None
    points = {point.name: point for point in found.adjustment.points}
    # N4: the top sits 52 mm along from the bottom, towards the top end of the longer diagonal.
    assert round((points[head].chainage or 0) / MM) == 52
    assert found.adjustment.passed


def test_n5_through_the_job_file(job) -> None:
    wall = WALL + bays("20 m")
    wall += 'heights = [{ at = "0 m", height = "2.90 m" }]\n'
    made = written(
        job,
        table(
            wall,
            between("ground at 0 m", "top at 0 m", kind="courses") + "courses = 14\n",
            between("ground at 20 m", "top at 20 m", kind="courses") + "courses = 10\n",
        ),
    )
    found, _ = survey.develop(made)
    assert found is not None
    assert found.adjustment is not None
    (course,) = found.adjustment.coursings
    # N5: 2900 ÷ 14 = 207.1 mm.
    assert round(course.height / MM, 1) == 207.1


def test_n11_through_the_job_file_with_one_more_height_read_twice(job) -> None:
    heights = [("0 m", "2.9 m"), ("20 m", "2.7 m"), ("61.2 m", "2.4 m")]
    rows = ", ".join(f'{{ at = "{at}", height = "{height}" }}' for at, height in heights)
    wall = WALL + bays("61.2 m") + f"heights = [{rows}]\n"
    plain, _ = survey.develop(written(job, table(wall)))
    again = between("ground at 20 m", "top at 20 m", kind="height", read="2.704 m")
    found, findings = survey.develop(written(job, table(wall, again)))
    assert plain is not None
    assert found is not None
    # N11: 20 × (2.9 + 2.7) ÷ 2 + 41.2 × (2.7 + 2.4) ÷ 2 = 161.06; the mean height at 20 m is 2 mm
    # more, over (20 + 41.2) ÷ 2 m.
    assert float(plain.gross_area) == pytest.approx(161.06)
    assert float(found.gross_area) == pytest.approx(161.06 + 30.6 * 2 * MM)
    assert (found.gross_area.sigma or 0) < (plain.gross_area.sigma or 0)
    assert {"survey.top_assumed", "survey.trapezoids"} <= {finding.code for finding in findings}


def test_readings_of_the_demo_wall_leave_its_areas_within_their_uncertainty(job) -> None:
    text = DEMO.read_text(encoding="utf-8")
    ends = list(itertools.accumulate([6.55, 6.55, 6.56, 6.54]))
    extra = [
        reading(kind="chainage", to=f"end of bay {n}", read=f"{at:.2f} m")
        for n, at in enumerate(ends, 1)
    ]
    plain, _ = survey.develop(written(job, text))
    found, findings = survey.develop(written(job, text + "\n" + "\n".join(extra)))
    assert plain is not None
    assert found is not None
    assert not {"survey.contradictory", "survey.global_test"} & {f.code for f in findings}
    assert abs(float(found.net_area) - float(plain.net_area)) < (plain.net_area.sigma or 0)
