"""The pack from the command line: written, logged, the same again, refused where it must be."""

from __future__ import annotations

import errno
import json
import os
import tomllib
from datetime import UTC, datetime

import pypdfium2
import pytest

from giornata.files.site_log import SiteLog


def packed(folder):
    return {p.relative_to(folder).as_posix() for p in (folder / "pack").rglob("*") if p.is_file()}


def test_a_pack_is_written_and_logged(say, small_job, unharmed):
    before = unharmed(small_job)
    said = say("pack", small_job, "--json")
    assert said.code == 0
    listed = {f"pack/{row['file']}" for row in said.form["result"]["files"]}
    assert listed == packed(small_job)
    assert {"pack/proposal.pdf", "pack/elevation.pdf", "pack/pack.json"} <= listed
    record = json.loads((small_job / "pack/pack.json").read_text())
    assert record["job"]["digest"] == said.form["job"]["content_digest"]
    after = unharmed(small_job)
    assert {name: after[name] for name in before} == before  # job and artwork are as they were
    (event,) = say("log", small_job, "--json").form["result"]["events"]
    assert (event["kind"], event["subject"]) == ("issued", "pack")


def test_a_second_pack_is_the_same_in_every_byte(say, small_job, unharmed):
    assert say("pack", small_job).code == 0
    first = unharmed(small_job / "pack")
    assert say("pack", small_job).code == 0
    assert unharmed(small_job / "pack") == first
    assert len(say("log", small_job, "--json").form["result"]["events"]) == 1


def test_papers_come_before_frames_and_us_units_and_the_log_reach_them(say, small_job):
    with SiteLog(small_job / "site.sqlite") as log:
        moved = [[0.0, 0.0254, 0.0], [20.0, 0.0254, 0.0]]  # 1 in to the right
        log.append("design moved", "2", {"moved": moved}, at=datetime(2027, 5, 18, tzinfo=UTC))
    said = say("pack", small_job, "--units", "us", "--all")
    lines = said.out.splitlines()
    first = next(line for line in lines if line.startswith("frames/"))
    assert any(line.startswith("proposal.pdf") for line in lines[: lines.index(first)])
    assert str(small_job / "pack") in said.out
    assert json.loads((small_job / "pack/pack.json").read_text())["job"]["units"] == "us"
    assert tomllib.loads((small_job / "job.toml").read_text())["job"]["units"] == "metric"
    with pypdfium2.PdfDocument(small_job / "pack/set-up-cards.pdf") as cards:
        texts = [" ".join(page.get_textpage().get_text_bounded().split()) for page in cards]
    told = [text for text in texts if "Design moved, so that both ends meet" in text]
    assert len(told) == 1
    assert "meet: 1 in right. Throw" in told[0]
    assert "Set-up 2" in told[0]


@pytest.mark.parametrize(("number", "former"), [(errno.ENOSPC, True), (errno.EROFS, False)])
def test_a_disk_that_fails_during_the_pack(
    say, small_job, unharmed, monkeypatch, number, former
):  # fmt: skip
    if former:
        assert say("pack", small_job).code == 0
        assert say("set", "price.rate", "155 EUR", small_job).code == 0
    before = unharmed(small_job)

    def fails(*_args, **_more):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr("giornata.files.pack.os.fsync", fails)
    said = say("pack", small_job)
    monkeypatch.undo()
    assert said.code == 5
    expected = "disk is full" if number == errno.ENOSPC else "read-only"
    assert expected in said.words
    assert unharmed(small_job) == before


def test_a_pack_of_a_job_with_faults_is_not_begun(say, small_job, unharmed):
    path = small_job / "job.toml"
    path.write_text(path.read_text().replace('"150 EUR"', '"150 XYZ"'))
    before = unharmed(small_job)
    assert say("pack", small_job).code == 3
    assert unharmed(small_job) == before


def test_the_demo_says_where_it_lies_and_how_to_open_it(say, small_job, monkeypatch, tmp_path):
    # The small job stands in for the example, whose papers take longer; the copy of the example
    # itself is tested with the other beginnings.
    monkeypatch.setattr("giornata.desk.new_job.example_job", lambda name: small_job)
    folder = tmp_path / "there"
    for _ in range(2):  # a second time its papers are made again
        said = say("demo", "--to", folder)
        assert said.code == 0
        assert str(folder / "pack") in said.out
        assert f"giornata serve {folder}" in " ".join(said.out.split())
    assert (folder / "job.toml").read_bytes() == (small_job / "job.toml").read_bytes()
    assert say("set", "price.rate", "160 EUR", folder).code == 0
    said = say("demo", "--to", folder)
    assert said.code == 5
    assert "giornata pack" in said.words
