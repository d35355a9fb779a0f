"""Projectors as their sheets say, and where they may stand, in the job file."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from giornata.core.foundation import JobFileError
from giornata.core.projection import Orientation
from giornata.core.site import Carrier
from giornata.files import job_file

DEMO = Path(__file__).parents[2] / "examples" / "port-merrow" / "job.toml"
POWER = 'power = "380 W"'
DISTANCE = 'distance = "8.0 m"'
SECOND = """
[[other_projectors]]
name = "Second"
columns = 1280
rows = 800
throw = "1.5"
lumens = "3000 lm"
mode = "full"
modes = { full = "100 %" }

[stand]
"""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return Path(shutil.copy(DEMO, tmp_path / "job.toml"))


def _changed(job: Path, old: str, new: str) -> int:
    """Change one place; the number of its line."""
    text = job.read_text()
    assert old in text
    job.write_text(text.replace(old, new, 1))
    return text[: text.index(old)].count("\n") + 1


def test_n46_offset_limits_of_shift_and_a_second_projector_are_read(job: Path) -> None:
    limits = '[{ up = "0 %", side = "10 %" }, { up = "25 %", side = "6 %" }]'
    _changed(job, POWER, f'{POWER}\noffset = "-50 %"\nshift_limits = {limits}')
    _changed(job, "\n[stand]\n", SECOND)
    tables = job_file.read(job).tables
    first = tables.projector.record()
    assert first.offset == -0.5
    assert first.shift_limits == ((0.0, 0.10), (0.25, 0.06))
    # Half an image under the axis, 50 % of shift either way: from 100 % below to level with it.
    assert first.upright_shift(Orientation.LEVEL) == (-1.0, 0.0)
    assert first.level_shift(Orientation.ON_SIDE) == (-1.0, 0.0)
    (second,) = (one.record() for one in tables.other_projectors)
    assert (second.name, second.columns, second.throw_min) == ("Second", 1280, 1.5)


def test_n46_distances_to_choose_from_are_read(job: Path) -> None:
    _changed(job, DISTANCE, f'{DISTANCE}\nnearest = "6 m"\nfarthest = "30 ft"')
    stand = job_file.read(job).tables.stand.record()
    assert (stand.nearest, stand.farthest) == (6.0, pytest.approx(9.144))


def test_n48_mounts_pan_and_contrast_are_read(job: Path) -> None:
    tower = '{ on = "scaffold tower", height = "2 m", up_to = "4 m" }'
    mounts = f'[{{ on = "vehicle", height = "7 ft" }}, {tower}]'
    _changed(job, DISTANCE, f'{DISTANCE}\non = "vehicle"\npan = "20 deg"\nmounts = {mounts}')
    _changed(job, POWER, f'{POWER}\ncontrast = 1000\ncontrast_kind = "dynamic"')
    tables = job_file.read(job).tables
    stand, machine = tables.stand.record(), tables.projector.record()
    assert stand.carrier is Carrier.VEHICLE
    assert stand.pan == pytest.approx(0.349066, abs=1e-6)
    assert [(m.carrier.value, m.lowest, m.highest) for m in stand.mounts] == [
        ("vehicle", pytest.approx(2.1336), pytest.approx(2.1336)), ("scaffold tower", 2.0, 4.0),
    ]  # fmt: skip
    assert stand.carriers == (Carrier.VEHICLE, Carrier.TOWER)
    assert (machine.contrast, machine.dynamic, machine.black) == (1000.0, True, 0.0)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (DISTANCE, f'{DISTANCE}\npan = "70 deg"', "below 60 degrees"),
        (
            DISTANCE,
            f'{DISTANCE}\nmounts = [{{ on = "vehicle", height = "3 m", up_to = "2 m" }}]',
            "above 0 and ascend",
        ),
        (POWER, f"{POWER}\ncontrast = 0.5", "brighter than its black"),
        (DISTANCE, f'{DISTANCE}\nnearest = "9 m"', "between its nearest and its farthest"),
        (POWER, f'{POWER}\noffset = "300 %"', "two image heights"),
        (
            POWER,
            f'{POWER}\nshift_limits = [{{ up = "10 %", side = "10 %" }}]',
            "begin at 0 up and ascend",
        ),
    ],
)
def test_what_cannot_be_is_a_finding(job: Path, old: str, new: str, words: str) -> None:
    line = _changed(job, old, new)
    with pytest.raises(JobFileError, match="1 fault") as caught:
        job_file.read(job)
    (found,) = caught.value.findings
    assert found.code == "job.impossible"
    assert words in found.message
    assert found.place is not None
    # Reported at its table, which begins a few lines above, or at the line itself.
    assert -1 <= line - found.place.line < 20
