"""Walls of other shapes as the job file says them, and faults in that at their lines."""

import math
import shutil
from pathlib import Path

import pytest

from giornata.core import survey
from giornata.core.foundation import JobFileError
from giornata.files import job_file

DEMO = Path(__file__).parents[2] / "examples/port-merrow/job.toml"
BENDS = 'bends = [{ at = "47.20 m", angle = "14 deg" }]'


@pytest.fixture
def job(tmp_path):
    return Path(shutil.copy(DEMO, tmp_path / "job.toml"))


def with_lines(job, old: str, new: str):
    text = job.read_text()
    assert old in text
    job.write_text(text.replace(old, new, 1))
    return job_file.read(job).tables.wall.record()


def fault(job, old: str, new: str):
    with pytest.raises(JobFileError, match="fault") as caught:
        with_lines(job, old, new)
    (finding,) = caught.value.findings
    assert finding.place is not None
    text = job.read_text().splitlines()[finding.place.line - 1]
    return finding, text


def test_an_arc_by_its_radius_and_by_chord_and_rise(job) -> None:
    # By hand: a chord of 6 m with a rise of 1 m is a radius of 5 m (3-4-5).
    arcs = (
        'arcs = [{ from = "3 m", to = "9 m", radius = "6 m", curve = "convex" },\n'
        '  { from = "30 m", to = "36 m", chord = "6 m", rise = "1 m", curve = "concave" }]'
    )
    made = with_lines(job, BENDS, arcs)
    assert made.arcs == (
        survey.Arc(start=3.0, end=9.0, radius=6.0, curve=survey.Curve.CONVEX),
        survey.Arc(start=30.0, end=36.0, radius=5.0, curve=survey.Curve.CONCAVE),
    )


@pytest.mark.parametrize(
    ("arc", "said"),
    [
        ('radius = "6 m", chord = "6 m", rise = "1 m"', "either a radius"),
        ("", "either a radius"),
        ('chord = "6 m"', "a chord and a rise"),
        ('chord = "6 m", rise = "4 m"', "at most half the chord"),
        ('radius = "0 m"', "radius is above 0"),
    ],
)
def test_an_arc_that_cannot_be_is_named_at_its_line(job, arc: str, said: str) -> None:
    start = 'arcs = [{ from = "3 m", to = "9 m", curve = "convex"'
    finding, line = fault(job, BENDS, start + (f", {arc}" if arc else "") + " }]")
    assert finding.code == "job.impossible"
    assert said in finding.message
    assert line.startswith("arcs")


SILO = """datum = "Ladder, on the level line"
surface = "smooth"
tape = "II"
silo = { SILO }
heights = [{ at = "0 m", height = "21 m" }]
"""


def silo(job, said: str):
    """The demo with its wall's tables replaced by a silo."""
    text = job.read_text()
    wall, rest = text.index("[wall]\n") + len("[wall]\n"), text.index("[artwork]")
    job.write_text(text[:wall] + SILO.replace("SILO", said) + text[rest:])
    return job_file.read(job).tables.wall.record()


@pytest.mark.parametrize("said", ['diameter = "9.2 m"', 'girth = "28.9027 m"'])
def test_n7_a_silo_in_the_job_file(job, said: str) -> None:
    # By hand: half of π × 9.2 × 21 = 303.48 m²; the girth is π × 9.2 = 28.9027 m.
    wall, _ = survey.develop(silo(job, said + ', turn = "180 deg"'))
    assert wall is not None
    assert round(float(wall.net_area), 1) == 303.5
    # Class II: 0.3 + 0.2 × 10 = 2.3 mm over 9.2 m, 0.3 + 0.2 × 29 = 6.1 mm over the girth; along
    # half a turn π ÷ 2 times the one, half of the other.
    across = 0.0023 * math.pi / 2 if "diameter" in said else 0.0061 / 2
    assert wall.wall_length.sigma == pytest.approx(across, rel=1e-6)


@pytest.mark.parametrize(
    ("said", "message"),
    [
        ('diameter = "9.2 m", girth = "28.9 m"', "either a diameter or a girth"),
        ('turn = "180 deg"', "either a diameter or a girth"),
        ('diameter = "9.2 m", turn = "400 deg"', "0 to 360 degrees"),
    ],
)
def test_a_silo_that_cannot_be_is_named_at_its_line(job, said: str, message: str) -> None:
    with pytest.raises(JobFileError, match="fault") as caught:
        silo(job, said)
    (finding,) = caught.value.findings
    assert finding.code == "job.impossible"
    assert message in finding.message
    assert finding.place is not None
    assert job.read_text().splitlines()[finding.place.line - 1].startswith("silo")


def test_a_silo_has_no_bays_beside_it(job) -> None:
    finding, _ = fault(job, BENDS, 'silo = { diameter = "9.2 m" }')
    assert "no bays" in finding.message


GATE = 'from = "60.20 m"\nto = "61.50 m"\nhead = "2.60 m"'


def test_openings_of_other_outlines(job) -> None:
    made = with_lines(job, GATE, GATE + '\nshape = "arched"\nspring = "2.30 m"')
    assert made.openings[1].shape is survey.OpeningShape.ARCHED
    assert made.openings[1].rise == pytest.approx(0.30)
    corners = 'corners = [["60.2 m", "0.6 m"], ["61.5 m", "0.6 m"], ["60.9 m", "8 ft"]]'
    made = with_lines(job, GATE + '\nshape = "arched"\nspring = "2.30 m"', corners)
    # By definition 8 ft are 2.4384 m.
    assert made.openings[1].points[:2] == ((60.2, 0.6), (61.5, 0.6))
    assert made.openings[1].points[2] == pytest.approx((60.9, 2.4384), abs=1e-12)
    assert (made.openings[1].start, made.openings[1].end) == (60.2, 61.5)


@pytest.mark.parametrize(
    ("new", "code", "said", "line"),
    [
        (GATE + '\nshape = "oval"', "job.not_a_choice", "rectangle", "shape"),
        (GATE + '\ncorners = [["60 m", "0 m"], ["61 m", "0 m"], ["61 m", "1 m"]]',
         "job.impossible", "no more", "[[wall.openings]]"),
        ('corners = [["60 m", "0 m"], ["61 m", "1 m"], ["61 m", "0 m"], ["60 m", "1 m"]]',
         "job.impossible", "cross or touch itself", "[[wall.openings]]"),
        ('corners = [["60 m", "0 m"], ["61 m", 1], ["61 m", "0 m"]]', "job.not_text",
         "without quotes", "corners"),
        ('head = "2.6 m"', "job.impossible", "from and to", "[[wall.openings]]"),
    ],
)  # fmt: skip
def test_openings_that_cannot_be_are_named_at_their_lines(
    job, new: str, code: str, said: str, line: str
) -> None:
    finding, text = fault(job, GATE, new)
    assert finding.code == code
    assert said in finding.message + finding.remedy
    assert text.startswith(line)


def test_a_sheet_and_a_stated_form_factor(job) -> None:
    sheet = 'sheet = { form = "sinusoidal", pitch = "76 mm", depth = "18 mm" }'
    made = with_lines(job, BENDS, sheet)
    assert made.corrugation is not None
    assert made.corrugation.form is survey.SheetForm.SINUSOIDAL
    assert (made.corrugation.pitch, made.corrugation.depth) == pytest.approx((0.076, 0.018))
    assert made.ribs is None
    assert with_lines(job, sheet, "form_factor = 1.13").form_factor == 1.13
    level = with_lines(job, "form_factor = 1.13", 'form_factor = 1.13\nribs = "level"')
    assert level.ribs is survey.Ribs.LEVEL


@pytest.mark.parametrize(
    ("new", "said", "line"),
    [
        ('sheet = { form = "sinusoidal", pitch = "0 mm", depth = "18 mm" }', "above 0", "sheet"),
        ("form_factor = 0.8", "1 or more", "[wall]"),
        ('ribs = "level"', "Only a wall with a sheet or a form factor has ribs", "[wall]"),
    ],
)
def test_a_sheet_that_cannot_be_is_named_at_its_line(job, new: str, said: str, line: str) -> None:
    finding, text = fault(job, BENDS, new)
    assert finding.code == "job.impossible"
    assert said in finding.message
    assert text.startswith(line)


STANDING = """
[[site.standing]]
name = "Quay"
from = "0 m"
to = "50 m"
near = "2 m"
far = "30 ft"
across = "2 deg"

# ---------------------------------------------------------------- what was measured"""
MEASURED = "\n# ---------------------------------------------------------------- what was measured"
HEDGE = 'to = "75.00 m"\nheight = "0.60 m"'


def test_standing_room_and_where_an_obstacle_lies(job) -> None:
    made = with_lines(job, HEDGE, HEDGE + '\nnear = "0.1 m"\nfar = "0.9 m"')
    assert (made.obstacles[0].near, made.obstacles[0].far) == (0.1, 0.9)
    with_lines(job, MEASURED, STANDING)
    (quay,) = job_file.read(job).tables.site.stretches()
    assert (quay.start, quay.end, quay.near) == (0.0, 50.0, 2.0)
    assert quay.far == pytest.approx(9.144)  # 30 ft of 0.3048 m
    assert math.degrees(quay.across) == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("old", "new", "said", "line"),
    [
        (MEASURED, STANDING.replace("2 m", "12 m"), "ends beyond that", "[[site.standing]]"),
        (MEASURED, STANDING.replace("2 deg", "90 deg"), "right angle", "[[site.standing]]"),
        (HEDGE, HEDGE + '\nnear = "0.4 m"', "has an end there too", "[[wall.obstacles]]"),
        (HEDGE, HEDGE + '\nnear = "1 m"\nfar = "0.5 m"', "two distances", "[[wall.obstacles]]"),
    ],
)
def test_standing_room_that_cannot_be(job, old: str, new: str, said: str, line: str) -> None:
    finding, text = fault(job, old, new)
    assert finding.code == "job.impossible"
    assert said in finding.message
    assert text.startswith(line)


LAMP = 'ambient = "24 lx"'


def test_a_lamp_by_the_class_of_its_street(job) -> None:
    """EN 13201-2:2015, pedestrian classes, from memory: P3 asks for 7.5 lx on the ground."""
    made = with_lines(job, LAMP, 'class = "P3"')
    (lamp,) = made.lamps
    assert (lamp.ambient, lamp.light_class) == (7.5, "P3")
    _, findings = survey.develop(made)
    (said,) = (one for one in findings if one.code == "survey.light_by_class")
    assert "7.5 lx" in said.message
    assert survey.STREET_LIGHT == {"P1": 15, "P2": 10, "P3": 7.5, "P4": 5, "P5": 3, "P6": 2}


@pytest.mark.parametrize("keys", ['ambient = "24 lx"\nclass = "P3"', "# nothing"])
def test_a_lamp_has_one_of_both(job, keys: str) -> None:
    finding, _ = fault(job, LAMP, keys)
    assert "either ambient" in finding.message


def test_a_class_that_there_is_not_is_named_at_its_line(job) -> None:
    finding, line = fault(job, LAMP, 'class = "P9"')
    assert "P1" in finding.remedy
    assert line.startswith("class")
