"""Beginning a job, changing it, going back, looking at the log."""

from __future__ import annotations

import json
import sys
import tomllib
from datetime import UTC, datetime
from types import ModuleType

import pytest

from giornata import desk
from giornata.files import examples, job_file
from giornata.files.site_log import SiteLog


def of(folder):
    return tomllib.loads((folder / "job.toml").read_text())


@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_new_job_works_at_once(say, tmp_path, units):
    folder = tmp_path / "north wall"
    said = say("new", folder, "--units", units)
    assert said.code == 0
    assert str(folder) in said.out
    assert of(folder)["job"]["name"] == "north wall"
    assert of(folder)["job"]["units"] == units
    assert say("options", folder).code == 0
    found = say("findings", folder, "--json").form["findings"]
    assert [f["code"] for f in found if f["severity"] != "note"] == ["setting_out.overrun"] * 2


def test_a_new_job_explains_its_keys(say, tmp_path):
    say("new", tmp_path / "wall")
    text = (tmp_path / "wall/job.toml").read_text()
    keys = [line for line in text.splitlines() if " = " in line and not line.startswith("#")]
    assert len(keys) > 80
    assert sum("#" in line.partition(" = ")[2] for line in keys) > 40


@pytest.mark.parametrize("name", ['say "hello" \\ twice', "Größe", "a\tb"])
def test_a_new_job_may_have_any_name(say, tmp_path, name):
    assert say("new", tmp_path / name).code == 0
    assert of(tmp_path / name)["job"]["name"] == name


def test_a_new_job_never_overwrites(say, tmp_path, small_job, unharmed):
    before = unharmed(small_job)
    said = say("new", small_job)
    assert said.code == 5
    assert "there is something here already" in said.words
    assert unharmed(small_job) == before


def test_an_empty_folder_will_do(say, tmp_path):
    (tmp_path / "empty").mkdir()
    assert say("new", tmp_path / "empty").code == 0


def test_set_keeps_comments_and_kind(say, small_job):
    comments = (small_job / "job.toml").read_text().count("#")
    assert say("set", "price.rate", "160 EUR", small_job).code == 0
    assert say("set", "paint.coats", "3", small_job).code == 0
    assert say("set", "wall.bays.2.name", "7", small_job).code == 0  # text stays text
    assert say("set", "job.date", "2028-02-29", small_job).code == 0
    assert say("set", "options.2.hide", '[ "block", "dot" ]', small_job).code == 0
    job = of(small_job)
    assert job["price"]["rate"] == "160 EUR"
    assert job["paint"]["coats"] == 3
    assert job["wall"]["bays"][1]["name"] == "7"
    assert job["job"]["date"].isoformat() == "2028-02-29"
    assert job["options"][1]["hide"] == ["block", "dot"]
    assert (small_job / "job.toml").read_text().count("#") == comments


def test_set_says_what_was_and_what_is(say, small_job):
    said = say("set", "price.rate", "160 EUR", small_job, "--json")
    result = said.form["result"]
    assert (result["before"], result["after"]) == ("150 EUR", "160 EUR")
    assert said.form["digest"] == job_file.read(small_job / "job.toml").digest
    assert say("set", "labour.hour", "40 EUR", small_job, "--json").form["result"]["before"] is None


def test_a_change_from_an_older_look_is_refused(say, small_job, unharmed):
    seen = say("check", small_job, "--json").form["digest"]
    assert say("set", "price.rate", "160 EUR", small_job, "--seen", seen).code == 0
    before = unharmed(small_job)
    said = say("set", "price.rate", "170 EUR", small_job, "--seen", seen)
    assert said.code == 6
    assert "has changed since you looked at it" in said.words
    assert unharmed(small_job) == before


@pytest.mark.parametrize(
    ("key", "value", "code"),
    [
        ("price.rate", "160 XYZ", "job.unknown_currency"),
        ("price.rate", "160 USD", "job.two_currencies"),
        ("paint.coats", "-1", "job.wrong_kind"),
        ("wall.overall", "twenty", "units.unreadable"),
        ("price.colour", "1", "job.unknown_key"),
        ("wall.bays.9.length", "1 m", "job.no_such_key"),
    ],
)
def test_a_value_that_leaves_a_fault_is_refused(say, small_job, unharmed, key, value, code):
    before = unharmed(small_job)
    said = say("set", key, value, small_job, "--json")
    assert said.code == 3
    assert code in [finding["code"] for finding in said.form["error"]["findings"]]
    assert unharmed(small_job) == before


def test_undo_brings_the_former_file_back(say, small_job):
    first = (small_job / "job.toml").read_bytes()
    say("set", "price.rate", "160 EUR", small_job)
    second = (small_job / "job.toml").read_bytes()
    say("set", "price.rate", "170 EUR", small_job)
    assert say("undo", small_job).code == 0
    assert (small_job / "job.toml").read_bytes() == second
    said = say("undo", small_job, "--json")
    assert (small_job / "job.toml").read_bytes() == first
    assert said.form["digest"] == job_file.file_digest(first)
    said = say("undo", small_job)
    assert said.code == 5
    assert "no earlier job file" in said.words


def test_the_log_is_read_and_not_made(say, small_job):
    assert "Nothing yet." in say("log", small_job).out
    assert not (small_job / "site.sqlite").exists()
    at = datetime(2027, 4, 1, 9, 30, tzinfo=UTC)
    with SiteLog(small_job / "site.sqlite") as log:
        issued = log.append("issued", "pack", {"digest": "abc"}, at=at)
        log.undo(issued, at=at)
        log.append("hours", "bay 2", {}, at=at)
    said = say("log", small_job, "--json")
    assert [event["subject"] for event in said.form["result"]["events"]] == ["bay 2"]
    every = say("log", small_job, "--all", "--json").form["result"]["events"]
    assert [event["undoes"] for event in every] == [None, 1, None]
    assert "2027-04-01 09:30" in say("log", small_job).out


def test_the_demo_is_copied_whole_and_never_over_something_else(tmp_path, unharmed):
    folder = tmp_path / "demo"
    assert desk.begin_demo(folder) is True
    source = unharmed(examples.example_job("port-merrow"))
    assert unharmed(folder) == {k: v for k, v in source.items() if not k.startswith("pack/")}
    assert desk.begin_demo(folder) is False  # it is there already
    (folder / "job.toml").write_text("# mine\n")
    before = unharmed(folder)
    with pytest.raises(desk_error(), match="untouched demo job"):
        desk.begin_demo(folder)
    assert unharmed(folder) == before


def desk_error():
    from giornata.core.foundation import JobFolderError

    return JobFolderError


def test_serve_hands_the_folder_to_the_pages(say, small_job, monkeypatch):
    asked = []
    web = ModuleType("giornata.web")
    web.serve = lambda folder, **more: asked.append((folder, more))
    monkeypatch.setitem(sys.modules, "giornata.web", web)
    assert say("serve", small_job, "--no-browser", "--port", "0").code == 0
    ((folder, more),) = asked
    assert folder == small_job
    assert (more["port"], more["open_browser"], more["phone"]) == (0, False, False)


def test_ctrl_c_is_how_serving_ends(say, small_job, monkeypatch):
    def show(folder, **_):
        raise KeyboardInterrupt

    web = ModuleType("giornata.web")
    web.serve = show
    monkeypatch.setitem(sys.modules, "giornata.web", web)
    assert say("serve", small_job).code == 0


def test_serve_without_the_pages_says_so(say, small_job, monkeypatch):
    monkeypatch.setitem(sys.modules, "giornata.web", None)
    said = say("serve", small_job)
    assert said.code == 7
    assert "pages are missing" in said.err


def test_version_is_that_of_the_package(say):
    from giornata import __version__

    assert say("version", "--json").form["result"]["version"] == __version__
    assert __version__ in say("version").out


def test_json_is_utf8_text_that_any_reader_takes(say, small_job):
    said = say("survey", small_job, "--json")
    assert json.loads(said.out.encode().decode("utf-8"))["result"]["net_area"]["unit"] == "m²"
