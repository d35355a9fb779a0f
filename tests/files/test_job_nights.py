"""Place, clock and dates of the nights in the job file."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from giornata.core.foundation import JobFileError
from giornata.files import job_file

DEMO = Path(__file__).parents[2] / "examples" / "port-merrow" / "job.toml"
FIRST = "first = 2027-05-17"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return Path(shutil.copy(DEMO, tmp_path / "job.toml"))


def _changed(job: Path, old: str, new: str) -> int:
    """Change one line; its number."""
    text = job.read_text()
    assert old in text
    job.write_text(text.replace(old, new, 1))
    return text[: text.index(old)].count("\n") + 1


def test_zone_and_evenings_are_read(job: Path) -> None:
    _changed(job, FIRST, 'dates = [2027-05-17, 2027-05-19]\nusable_from = "0.5 fc"')
    tables = job_file.read(job).tables
    assert str(tables.site.record().zone) == "Europe/London"
    terms = tables.nights.record()
    assert terms.dates == (date(2027, 5, 17), date(2027, 5, 19))
    assert terms.usable_from == pytest.approx(5.38, abs=0.01)  # a foot-candle is 10.76 lx


def test_a_zone_nobody_knows_is_a_finding_at_its_line(job: Path) -> None:
    line = _changed(job, '"Europe/London"', '"Europe/Londonn"')
    with pytest.raises(JobFileError, match="1 fault") as caught:
        job_file.read(job)
    (found,) = caught.value.findings
    assert found.code == "job.unknown_zone"
    assert "Europe/London" in found.remedy
    assert found.place is not None
    assert found.place.line == line


def test_two_ways_to_say_when_are_refused(job: Path) -> None:
    _changed(job, FIRST, FIRST + "\ndates = [2027-05-17]")
    with pytest.raises(JobFileError, match="1 fault") as caught:
        job_file.read(job)
    (found,) = caught.value.findings
    assert found.code == "job.impossible"
    assert "not both" in found.message


def test_no_such_day(job: Path) -> None:
    line = _changed(job, FIRST, "first = 2027-02-30")
    with pytest.raises(JobFileError, match="fault") as caught:
        job_file.read(job)
    assert line in {one.place.line for one in caught.value.findings if one.place}


def test_n53_power_is_read_in_si(job: Path) -> None:
    _changed(job, 'battery = "1.5 kWh"', 'battery = "1200 Wh"\ncircuit = "16 A"')
    power = job_file.read(job).tables.power
    assert power is not None
    assert power.record().battery == 1200 * 3600.0
    assert power.record().circuit == 16.0


def test_n53_a_battery_in_ampere_hours_is_asked_for_its_energy(job: Path) -> None:
    line = _changed(job, 'battery = "1.5 kWh"', 'battery = "100 Ah"')
    with pytest.raises(JobFileError, match="fault") as caught:
        job_file.read(job)
    (found,) = caught.value.findings
    assert found.code == "units.unknown"
    assert "kWh" in found.remedy
    assert found.place is not None
    assert found.place.line == line
