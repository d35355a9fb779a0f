"""Values that no job can have: refused at their line, each with what to write instead."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from giornata.core.foundation import JobFileError, JobFolderError
from giornata.files import history, job_file
from giornata.files.typed_pairs import typed_pairs

DEMO = Path(__file__).parents[2] / "examples" / "port-merrow" / "job.toml"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return Path(shutil.copy(DEMO, tmp_path / "job.toml"))


def spoiled(job: Path, old: str, new: str) -> JobFileError:
    text = job.read_text()
    assert old in text
    job.write_text(text.replace(old, new, 1))
    with pytest.raises(JobFileError, match="fault") as caught:
        job_file.read(job)
    return caught.value


@pytest.mark.parametrize(
    ("old", "new", "code", "says", "do"),
    [
        ('throw = "', 'throw = "2.9 - ', "job.not_a_throw_ratio", "", 'Write "1.4'),
        ('throw = "', 'throw = "0.3:', "units.not_a_number", "not a number", "Write"),
        ("first = 2027-05-17", "first = 9999-12-31", "job.not_a_date", "1900 to 2199", "year"),
        ("date = 2027-02-08", 'date = "08/02/2027"', "job.not_a_date", "not a day", "2027-05-17"),
        ("date = 2027-02-08", "date = 20270208", "job.not_a_date", "is not a day", "2027-05-17"),
        ('overall = "78.60 m"', f'overall = "{"9" * 40} m"', "job.too_large", "any wall", "unit"),
        ('hours = "5.5 h"', 'hours = "999999999 h"', "job.too_large", "any wall", "unit"),
        ('valid = "', 'valid = "999999999', "job.too_large", "any wall", "unit"),
        ('rate = "', f'rate = "{"9" * 30}', "job.too_large", "any wall", "unit"),
        ('tax = "', 'tax = "101 %" # ', "job.impossible", "at most 100 %", "value"),
        ('waste = "', 'waste = "9', "job.impossible", "at most 100 %", "value"),
        ('roller = "', 'roller = "9', "job.impossible", "at most 1 m", "value"),
        ('facing = "215', 'facing = "400', "job.impossible", "360 degrees", "value"),
        ('name = "Tideline"', 'name = " "', "job.no_name", "Nothing is written", "Write a name"),
        ('name = "Slipway gate"', 'name = ""', "job.no_name", "Nothing is written", "Write a name"),
        ('name = "Haze"', 'name = " "', "job.no_name", "Nothing is written", "Write a name"),
        ('name = "P1"', 'name = ""', "job.no_name", "Nothing is written", "Write a name"),
        ("\ncontrast = ", "\ncontrast = inf #", "job.not_a_number", "inf is not a number", "12.5"),
        ("\ncontrast = ", "\ncontrast = 1e300 #", "job.too_large", "any wall", "unit"),
    ],
)  # fmt: skip
def test_a_value_beyond_all_jobs_is_refused_at_its_line(job, old, new, code, says, do):
    fault = spoiled(job, old, new)
    (finding,) = fault.findings
    assert finding.code == code
    assert says in finding.message
    assert do in finding.remedy
    assert finding.place is not None
    assert finding.place.line > 1


def test_a_throw_range_the_wrong_way_round_is_written_out_the_right_way(job):
    text = job.read_text()
    low, high = text.split('throw = "')[1].split('"')[0].split(" - ")
    (finding,) = spoiled(job, f'throw = "{low} - {high}"', f'throw = "{high} - {low}"').findings
    assert f'"{float(low):g} - {float(high):g}"' in finding.remedy


@pytest.mark.parametrize(
    ("old", "new", "written", "do"),
    [  # from must be written for a hedge, and may be left out for an opening
        ('"hedge"\nfrom = ', '"hedge"\nstart = ', "start", 'Write "from", or take it out.'),
        ('gate"\nfrom = ', 'gate"\nstart = ', "start", 'Write "from", or take it out.'),
        ("closure_limit", "closure_limits", "closure_limits", 'Write "closure_limit", or take'),
        ("schema = 1", "schema = 1\nschema_number = 1", "schema_number", "Check the spelling"),
    ],
)
def test_a_misnamed_key_is_refused_and_told_its_name(job, old, new, written, do):
    fault = spoiled(job, old, new)
    unknown = next(one for one in fault.findings if one.code == "job.unknown_key")
    assert unknown.message == f'"{written}" is no word known here.'
    assert unknown.remedy.startswith(do)
    rows = job.read_text().split("\n")
    assert unknown.place is not None
    assert rows[unknown.place.line - 1].startswith(f"{written} = ")


def test_a_table_that_stands_twice_is_one_fault_at_the_second_one(job):
    text = job.read_text()
    job.write_text(text + '\n[stand]\ndistance = "6 m"\n')
    with pytest.raises(JobFileError, match="1 fault in") as caught:
        job_file.read(job)
    (finding,) = caught.value.findings
    assert finding.message == '"stand" stands in the file a second time.'
    # The text ends in a line break: one empty line, then the header.
    assert finding.place is not None
    assert finding.place.line == text.count("\n") + 2


def test_a_key_that_stands_twice_is_one_fault_at_the_second_one(job):
    text = job.read_text()
    row = next(one for one in text.splitlines() if one.startswith("contrast = "))
    job.write_text(text.replace(row, f"{row}\n{row}", 1))
    with pytest.raises(JobFileError, match="1 fault in") as caught:
        job_file.read(job)
    (finding,) = caught.value.findings
    line = text[: text.index(row)].count("\n") + 2
    assert finding.place is not None
    assert (finding.message, finding.place.line) == (
        '"contrast" stands in the file a second time.', line,
    )  # fmt: skip


def test_a_key_on_a_line_that_cannot_be_read_is_not_also_called_missing(job):
    (finding,) = spoiled(job, "date = 2027-02-08", "date = 2027-02-30").findings
    assert finding.code == "job.broken_line"


@pytest.mark.parametrize("place", ["0", "00", "-1", "1.5", "³"])
def test_a_place_in_a_list_is_counted_from_one(job, place):
    seen = job_file.read(job).digest
    before = job.read_bytes()
    with pytest.raises(JobFileError, match="leads nowhere"):
        job_file.change(job, f"wall.bays.{place}.length", "9 m", expected=seen)
    assert job.read_bytes() == before


def test_the_last_of_a_list_is_not_its_place_nought(job):
    seen = job_file.read(job).digest
    with pytest.raises(JobFileError, match="leads nowhere"):
        job_file.change(job, "wall.joints.0", "9 m", expected=seen)


def test_pairs_in_another_encoding_say_so(tmp_path):
    path = tmp_path / "pairs.csv"
    path.write_bytes("mark;right;up\nTür;34 mm;5 mm\n".encode("latin-1"))
    with pytest.raises(JobFolderError, match="not text in UTF-8"):
        typed_pairs(path)


def test_a_table_that_csv_cannot_hold_is_refused(tmp_path):
    path = tmp_path / "pairs.csv"
    # RFC 4180 gives no bound; the csv module of Python takes fields of at most 131,072 letters.
    path.write_text("mark,right,up\n" + "a" * 140_000 + ",1 mm,1 mm\n")
    with pytest.raises(JobFolderError, match="field larger than"):
        typed_pairs(path)


def test_what_an_undo_put_aside_is_never_written_over(job):
    first = job.read_bytes()
    for rate in ("161 EUR", "162 EUR"):
        job_file.change(job, "price.rate", rate, expected=job_file.read(job).digest)
        history.undo(job)
        assert job.read_bytes() == first
    aside = [path.read_text() for path in (job.parent / "history").glob("undone-*.toml")]
    assert sorted(rate in text for text in aside for rate in ("161 EUR", "162 EUR")) == [
        False, False, True, True,
    ]  # fmt: skip
