"""Bad input: a clear message, a remedy, the documented exit code, the folder unharmed."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from giornata.cli.front import EXIT_CODES

READING = ("check", "survey")
ENTITY = (
    b"<!DOCTYPE svg [<!ENTITY a SYSTEM 'file:///etc/hostname'>]>"
    b"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 9 9'><text>&a;</text></svg>"
)


def refused(say, unharmed, folder, code, *words, verb="check"):
    """A verb is refused in text and in JSON alike; the folder keeps every byte."""
    before = unharmed(folder)
    text, form = say(verb, folder), say(verb, folder, "--json")
    assert text.code == form.code == code
    assert code in EXIT_CODES
    assert text.out == ""
    assert form.err == ""
    error = form.form["error"]
    assert error["exit_code"] == code
    assert error["message"].strip()
    assert error["remedy"].strip()
    assert all(finding["remedy"].strip() for finding in error["findings"])
    assert error["remedy"].split()[0] in text.err
    said = text.words
    for word in words:
        assert word in said, said
    assert unharmed(folder) == before
    return error


def change(folder, old, new):
    path = folder / "job.toml"
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new, 1))


# ---------------------------------------------------------------- the job file


@pytest.mark.parametrize("verb", READING)
@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "The job file is empty."),
        (b" \n\t\n", "The job file is empty."),
        (bytes(range(256)) * 20, "not text in UTF-8"),
        (b"\x00" * 4096, "bytes that are no text"),
        ("schema = 1\n".encode("utf-16"), "not text in UTF-8"),
    ],
    ids=["empty", "blank", "binary", "zeros", "utf-16"],
)
def test_a_job_file_that_is_no_text(say, small_job, unharmed, verb, content, words):
    (small_job / "job.toml").write_bytes(content)
    refused(say, unharmed, small_job, 3, words, verb=verb)


@pytest.mark.parametrize("part", [0.1, 0.37, 0.5, 0.82])
def test_a_truncated_job_file(say, small_job, unharmed, part):
    path = small_job / "job.toml"
    content = path.read_bytes()
    path.write_bytes(content[: int(len(content) * part)])
    error = refused(say, unharmed, small_job, 3)
    assert error["findings"]


def test_a_job_file_of_one_gigabyte(say, small_job, unharmed):
    path = small_job / "job.toml"
    with path.open("r+b") as sink:
        sink.truncate(10**9)  # sparse: it takes no room
    said = say("check", small_job)
    assert said.code == 5
    assert "1,000 MB is no job file" in said.err
    assert path.stat().st_size == 10**9


def test_every_fault_of_a_job_file_with_its_line(say, small_job, unharmed):
    change(small_job, 'overall = "20.00 m"', 'overall = "20.00 furlongs"')
    change(small_job, 'currency = "EUR"', 'currency = "XYZ"')
    change(small_job, "coats = 2", "coats = -2")
    change(small_job, 'name = "3"', 'name = "2"')
    error = refused(say, unharmed, small_job, 3, "job.toml:", "furlongs", "XYZ")
    lines = [finding["place"]["line"] for finding in error["findings"]]
    text = (small_job / "job.toml").read_text().splitlines()
    starts = [text[line - 1].split(" = ")[0].strip(" {") for line in lines]
    assert starts == ["currency", "overall", "name", "coats"]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('length = "6.00 m"', 'length = "-6.00 m"', "above 0"),
        ('length = "6.00 m"', 'length = "nan m"', "nan"),
        ('length = "6.00 m"', "length = nan", "length"),
        ('length = "6.00 m"', 'length = "6.00 ells"', "ells"),
        ('length = "6.00 m"', 'length = "6,00"', "6,00"),
        ('length = "6.00 m"', 'length = "0 m"', "above 0"),
        ('length = "6.00 m"', 'length = "1e400 m"', "length"),
        ('overall = "20.00 m"', 'overall = "20000 m"', "at most 10,000 m; check the unit"),
        ('length = "6.00 m"', 'length = "60 km"', "at most 10,000 m; check the unit"),
        ('level = "2.50 m"', 'level = "2500 m"', "at most 1,000 m; check the unit"),
        ('currency = "EUR"', 'currency = "GULDEN"', "GULDEN"),
        ('name = "3"', 'name = "2"', '"2" is used twice'),
        ('key = "blue"', 'key = "red"', '"red" is used twice'),
        ('key = "B"', 'key = "A"', '"A" is used twice'),
        ('spreading_rate = "6 m²/L"', 'spreading_rate = "-6 m²/L"', "spreading rate is above 0"),
        ('rate = "150 EUR"', 'rate = "-150 EUR"', "below 0"),
        ("contrast = 5", "contrast = nan", "contrast"),
        ("columns = 1920", "columns = 0", "columns"),
        ('option = "A"', 'option = "Z"', '"Z" is no option'),
        ('roller = "180 mm"', 'roller = "-180 mm"', "above 0"),
        ('narrowest_brush = "25 mm"', 'narrowest_brush = "0 mm"', "above 0"),
    ],
)
def test_values_that_cannot_be(say, small_job, unharmed, old, new, words):
    change(small_job, old, new)
    refused(say, unharmed, small_job, 3, words)


def test_readings_that_give_no_wall(say, small_job, unharmed):
    change(small_job, 'level = "2.50 m"', 'level = "-2.50 m"')
    change(small_job, 'level = "2.50 m"', 'level = "-2.50 m"')
    for verb in ("survey", "options"):
        refused(say, unharmed, small_job, 1, "no wall there", verb=verb)


@pytest.mark.parametrize("overall", ["0.001 mm", "1 mm"])
def test_a_wall_too_small_to_be_billed(say, small_job, unharmed, overall):
    change(small_job, 'overall = "20.00 m"', f'overall = "{overall}"')
    refused(say, unharmed, small_job, 1, verb="options")


def test_a_wall_that_tapers_to_nothing_is_worked_through(say, small_job):
    change(small_job, '{ at = "20.00 m", level = "2.50 m" }', '{ at = "20.00 m", level = "0 m" }')
    change(small_job, 'head = "2.00 m"', 'head = "0.20 m"')
    said = say("options", small_job)
    assert said.code == 0
    # 20 x 2.5 / 2 = 25 m² less 1 x 0.2 = 0.2 m²
    assert "24.80" in said.out
    assert say("set-ups", small_job).code == 0


def test_an_overlap_wider_than_the_image_is_a_finding(say, small_job):
    change(small_job, 'overlap = "0.40 m"', 'overlap = "12 m"')
    said = say("set-ups", small_job)
    assert said.code == 1
    assert "[projection.no_plan]" in said.out


def test_a_stop_that_stands_gives_1(say, small_job):
    change(small_job, 'share = "40 %"', 'share = "50 %"')
    said = say("price", small_job)
    assert said.code == 1
    assert "STOP" in said.out
    assert "7,200.00 EUR" in said.out  # what does not depend on it is said all the same
    assert say("take-off", small_job).code == 1  # it stands for every verb that derives
    assert "pricing.stages" in say("take-off", small_job).out


# ---------------------------------------------------------------- the artwork


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (bytes(range(256)) * 20, "first.svg"),
        (b"\x00" * 5000, "empty"),
        (b"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 10", "first.svg"),
        (b"<svg xmlns='http://www.w3.org/2000/svg' width='0' height='0'/>", "first.svg"),
        (b"\x89PNG\r\n\x1a\n" + b"\x00" * 100, "first.svg"),
        (
            ENTITY,
            "first.svg",
        ),
    ],
    ids=["empty", "binary", "zeros", "truncated", "size-0", "broken-png", "entity"],
)
def test_artwork_that_cannot_be_read(say, small_job, unharmed, content, words):
    (small_job / "artwork/first.svg").write_bytes(content)
    refused(say, unharmed, small_job, 4, words)


@pytest.mark.parametrize("content", ["viewBox='0 0 0 0'/>", "viewBox='0 0 2000 250'></svg>"])
def test_artwork_with_nothing_on_it_stops_the_job(say, small_job, content):
    drawing = f"<svg xmlns='http://www.w3.org/2000/svg' {content}"
    (small_job / "artwork/first.svg").write_text(drawing)
    for verb in ("check", "price"):
        said = say(verb, small_job)
        assert said.code == 1
        assert "[artwork.empty]" in said.out


def test_artwork_that_is_missing(say, small_job, unharmed):
    (small_job / "artwork/first.svg").unlink()
    refused(say, unharmed, small_job, 4, "there is no such artwork")


def test_artwork_outside_the_folder(say, small_job, unharmed, tmp_path):
    (tmp_path / "other.svg").write_bytes((small_job / "artwork/first.svg").read_bytes())
    change(small_job, 'file = "artwork/first.svg"', 'file = "../other.svg"')
    refused(say, unharmed, small_job, 4, "outside the job folder")


def test_artwork_that_crosses_itself_is_used(say, small_job):
    # A bow-tie over 100 x 100 units encloses two triangles: 2 x (100 x 50 / 2) = 5000 square
    # units, 0.5 m² at 10 mm to a unit; the block takes its 2 m² elsewhere.
    path = small_job / "artwork/first.svg"
    bow = '<path fill="#0000cc" d="M1000 50 L1100 150 L1100 50 L1000 150 Z"/></svg>'
    path.write_text(path.read_text().replace("</svg>", bow))
    said = say("take-off", small_job, "--option", "B", "--json")
    assert said.code == 0
    (blue,) = [row for row in said.form["result"]["paints"] if row["paint"] == "Blue"]
    assert blue["area"]["value"] == pytest.approx(0.5)


# ---------------------------------------------------------------- the folder and the disk


def test_no_such_folder(say, tmp_path):
    said = say("options", tmp_path / "nowhere")
    assert said.code == 5
    assert "there is no such folder" in said.words
    assert "giornata new FOLDER" in said.err


def test_a_folder_without_a_job(say, tmp_path, unharmed):
    refused(say, unharmed, tmp_path, 5, "there is no job file here")


def test_a_folder_where_the_job_file_should_be(say, tmp_path, unharmed):
    (tmp_path / "job.toml").mkdir()
    refused(say, unharmed, tmp_path, 5, "there is no job file here")


@pytest.mark.parametrize("fault", [errno.EROFS, errno.EACCES, errno.ENOSPC, errno.EDQUOT])
@pytest.mark.parametrize("words", [("set", "price.rate", "160 EUR"), ("undo",)])
def test_a_disk_that_takes_nothing(say, small_job, unharmed, monkeypatch, fault, words):
    assert say("set", "price.rate", "155 EUR", small_job).code == 0
    before = unharmed(small_job)

    def full(*_args, **_more):
        raise OSError(fault, os.strerror(fault))

    monkeypatch.setattr("giornata.files.saving.open", full, raising=False)
    said = say(*words, small_job)
    assert said.code == 5
    expected = "disk is full" if fault in (errno.ENOSPC, errno.EDQUOT) else "read-only"
    assert expected in said.words
    assert unharmed(small_job) == before


@pytest.mark.parametrize("many", [0, 1])
def test_nothing_is_left_of_a_new_job_that_found_the_disk_full(say, tmp_path, monkeypatch, many):
    write, done = Path.write_bytes, []

    def fills(self, data):
        if len(done) >= many:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(self))
        done.append(self)
        return write(self, data)

    monkeypatch.setattr(Path, "write_bytes", fills)
    said = say("new", tmp_path / "deep/wall")
    assert said.code == 5
    assert "disk is full" in said.words
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def mounted(tmp_path):
    """A file system of 64 kB, where this machine lets one be mounted; else None."""
    folder = tmp_path / "small-disk"
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(folder)]
    try:
        made = subprocess.run(mount, capture_output=True).returncode == 0
    except OSError:
        made = False
    yield folder if made else None
    if made:
        subprocess.run(["umount", str(folder)], check=True)


def test_a_small_disk_in_earnest(say, small_job, unharmed, mounted, monkeypatch):
    """On a real full, then a real read-only file system; where none can be had, on made ones."""
    if mounted is None:

        def full(*_args, **_more):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

        monkeypatch.setattr("giornata.files.saving.open", full, raising=False)
        assert say("set", "price.rate", "160 EUR", small_job).code == 5
        return
    folder = mounted / "block"
    for path in sorted(small_job.rglob("*")):
        if path.is_file():
            target = folder / path.relative_to(small_job)
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(path.read_bytes())
    (folder / "history").mkdir()
    (folder / "history/.lock").touch()  # empty: it needs no room, and holds nothing
    with pytest.raises(OSError, match="No space left"):
        (mounted / "ballast").write_bytes(b"x" * 65536)
    before = unharmed(folder)
    said = say("set", "price.rate", "160 EUR", folder)
    assert said.code == 5
    assert "disk is full" in said.words
    assert unharmed(folder) == before
    assert say("survey", folder).code == 0  # looking needs no room
    (mounted / "ballast").unlink()
    subprocess.run(["mount", "-o", "remount,ro", str(mounted)], check=True)
    said = say("set", "price.rate", "160 EUR", folder)
    assert said.code == 5
    assert "read-only" in said.words
    assert unharmed(folder) == before
    for verb in ("check", "survey", "options", "log"):
        assert say(verb, folder).code == 0
    subprocess.run(["mount", "-o", "remount,rw", str(mounted)], check=True)


def test_a_damaged_log(say, small_job, unharmed):
    (small_job / "site.sqlite").write_bytes(b"no database at all" * 100)
    refused(say, unharmed, small_job, 5, "site log cannot be used", verb="log")


# ---------------------------------------------------------------- the command itself


@pytest.mark.parametrize(
    "words",
    [
        ("paints",),
        ("survey", "--colour"),
        ("survey", "a", "b"),
        ("survey", "--units", "imperial"),
        ("set", "price.rate"),
        ("explain", "a", "b", "c"),
        ("findings", "--only", "all"),
        ("serve", "--port", "99999"),
        ("new",),
    ],
)
def test_wrong_use_is_2(say, words):
    said = say(*words)
    assert said.code == 2
    assert said.out == ""
    assert "--help" in said.err
    assert say(*words, "--json").form["error"]["exit_code"] == 2


@pytest.mark.parametrize(
    ("words", "hint"),
    [
        (("price", "--option", "Z"), "write one of A, B"),
        (("price", "--colourway", "noon"), "write one of day, dusk"),
        (("explain", "A.day.totl"), "A.day.total"),
        (("explain", "zzz"), "all names: giornata explain"),
    ],
)
def test_a_name_that_is_not_there_is_2_with_a_hint(say, block, words, hint):
    said = say(*words, block)
    assert said.code == 2
    assert hint in said.words


def test_without_a_verb_the_help_is_said(say):
    said = say()
    assert said.code == 0
    assert "take-off" in said.out


def test_a_fault_of_the_program_is_reported_in_a_file(say, block, monkeypatch, tmp_path):
    def broken(*_):
        raise RuntimeError("a step fell over\nand over")

    monkeypatch.setattr("giornata.cli.pages.options_page", broken)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    said = say("options", block)
    assert said.code == 70
    assert "RuntimeError: a step fell over" in said.err
    (report,) = tmp_path.glob("giornata-fault-*.txt")
    assert report.name in said.err.replace("\n", "")
    written = report.read_text()
    assert "Traceback" in written
    assert "'options'" in written
    form = say("options", block, "--json").form
    assert form["error"]["exit_code"] == 70


def test_a_report_that_cannot_be_written(say, block, monkeypatch):
    def broken(*_):
        raise RuntimeError("no")

    def full(*_args, **_more):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("giornata.cli.pages.options_page", broken)
    monkeypatch.setattr("tempfile.NamedTemporaryFile", full)
    said = say("options", block)
    assert said.code == 70
    assert "could not be written" in said.err


@pytest.mark.parametrize("words", [("options",), ("options", "--json")])
def test_ctrl_c_is_130(say, small_job, monkeypatch, words):
    def pressed(*_args, **_more):
        raise KeyboardInterrupt

    monkeypatch.setattr("giornata.desk.opening.derive", pressed)
    said = say(*words, small_job)
    assert said.code == 130
    assert "Stopped." in said.out + said.err


def test_a_fault_of_the_disk_that_nobody_put_in_words(say, small_job, monkeypatch):
    def broken(*_args, **_more):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), "artwork/first.svg")

    monkeypatch.setattr("giornata.desk.opening.read_artwork", broken)
    said = say("options", small_job)
    assert said.code == 5
    assert "artwork/first.svg" in said.err


def test_a_reader_that_leaves_is_141(small_job):
    """As `giornata explain | head -1` does."""
    running = subprocess.Popen(
        [sys.executable, "-m", "giornata", "explain", str(small_job)],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert running.stdout is not None
    running.stdout.close()
    _, said = running.communicate(timeout=60)
    assert said == ""
    assert running.returncode == 141
